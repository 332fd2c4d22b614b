//! What each layout makes of the sets, and what the roof bears.

use super::{Pack, Part, chart, sheet_of, take_care};
use crate::document::text;
use maud::html;

/// All layouts beside each other, then each.
pub(super) fn part(pack: Pack<'_>) -> Option<Part> {
    let (compare, units) = (pack.view.compare.as_ref()?, pack.units);
    let body = html! {
        (sheet_of(|sheet| {
            sheet.paragraph(&text::ended(&text::capital(&compare.recommendation)));
            text::print_list(sheet, "What would change it", &compare.would_change);
            text::print_layouts(sheet, compare, units);
            text::print_year(sheet, compare, units);
            text::print_list(sheet, "Mind, in every layout", &text::shared_warnings(compare));
        }))
        (chart::all(pack, "layout"))
        (chart::all(pack, "head-pressure"))
        @for layout in &compare.layouts {
            (sheet_of(|sheet| text::print_layout(sheet, compare, layout, units)))
        }
        (chart::all(pack, "cycle"))
        (sheet_of(|sheet| {
            sheet.heading("Loads");
            text::print_loads(sheet, &compare.sets, units);
        }))
        (take_care(&compare.cautions))
    };
    Some(Part { id: "layout", title: "Layout", body })
}

/// Wind, anchors and weight.
pub(super) fn roof(pack: Pack<'_>) -> Option<Part> {
    let compare = pack.view.compare.as_ref().filter(|it| it.layouts.iter().any(|it| it.roof.is_some()))?;
    let body = sheet_of(|sheet| text::print_roof(sheet, compare, pack.units));
    Some(Part { id: "roof", title: "Roof", body })
}
