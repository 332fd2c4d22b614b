//! Where condensers stand, what each layout makes of the sets, and what the roof bears.

use super::{Pack, Part, chart, sheet, take_care};
use crate::{
    document::{sheet::Sheet, text},
    figure::area,
    view::{CompareView, LayoutView},
};
use maud::html;

/// Room, access and warnings of the layout to be built.
pub(super) fn placing(pack: Pack<'_>) -> Option<Part> {
    let compare = pack.view.compare.as_ref()?;
    let mut sheet = Sheet::default();
    sheet.paragraph(&text::ended(&text::capital(&compare.recommendation)));
    text::print_list(&mut sheet, "Mind, in every layout", &text::shared_warnings(compare));
    for layout in &compare.layouts {
        let mut said: Vec<String> = Vec::new();
        let both = |area_m2: f64| area(area_m2).both(pack.units);
        said.extend(layout.footprint_m2.map(|area_m2| format!("frames take {} of roof", both(area_m2))));
        said.extend(layout.taken_m2.map(|area_m2| format!("with the room around them {}", both(area_m2))));
        if !layout.access.is_empty() {
            said.push(layout.access.clone());
        }
        let shared = text::shared_warnings(compare);
        said.extend(layout.warnings.iter().filter(|warning| !shared.contains(warning)).cloned());
        text::print_list(&mut sheet, &title(compare, layout), &said);
    }
    Some(Part::of("placing", "Placing", sheet))
}

fn title(compare: &CompareView, layout: &LayoutView) -> String {
    let recommended = if compare.recommends(layout) { ", recommended" } else { "" };
    format!("{}{recommended}", text::capital(&layout.name))
}

/// All layouts beside each other, then each.
pub(super) fn part(pack: Pack<'_>) -> Option<Part> {
    let (compare, units) = (pack.view.compare.as_ref()?, pack.units);
    let sheet_of = |print: &dyn Fn(&mut Sheet)| {
        let mut sheet = Sheet::default();
        print(&mut sheet);
        sheet::set(sheet)
    };
    let body = html! {
        (sheet_of(&|sheet| {
            sheet.paragraph(&text::ended(&text::capital(&compare.recommendation)));
            text::print_list(sheet, "What would change it", &compare.would_change);
            text::print_layouts(sheet, compare, units);
            text::print_year(sheet, compare, units);
        }))
        div.charts {
            @for index in 0..compare.layouts.len() { (chart::of(pack, "layout", index)) }
            @for index in 0..compare.sets.len() { (chart::of(pack, "head-pressure", index)) }
        }
        @for layout in &compare.layouts { (sheet_of(&|sheet| text::print_layout(sheet, compare, layout, units))) }
        div.charts { @for chart in pack.charts.iter().filter(|chart| chart.kind == "cycle") { (chart::of(pack, "cycle", chart.index)) } }
        (sheet_of(&|sheet| {
            sheet.heading("All layouts");
            text::print_loads(sheet, &compare.sets, units);
        }))
        (take_care(&compare.cautions))
    };
    Some(Part { id: "layout", title: "Layout", body })
}

/// Wind, anchors and weight.
pub(super) fn roof(pack: Pack<'_>) -> Option<Part> {
    let compare = pack.view.compare.as_ref()?;
    let mut sheet = Sheet::default();
    text::print_roof(&mut sheet, compare, pack.units);
    compare.layouts.iter().any(|layout| layout.roof.is_some()).then(|| Part::of("roof", "Roof", sheet))
}
