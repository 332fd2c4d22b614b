//! The route in space, and the lines with their tubes and checks.

use super::{Pack, Part, chart, sheet_of, take_care};
use crate::document::text;
use maud::html;

/// The route of every set.
pub(super) fn isometric(pack: Pack<'_>) -> Part {
    Part { id: "isometric", title: "Isometric", body: chart::all(pack, "isometric") }
}

/// Tubes, checks, conditions and stock of every set, with its charts.
pub(super) fn part(pack: Pack<'_>) -> Part {
    let size = &pack.view.size;
    let body = html! {
        @for (index, set) in size.sets.iter().enumerate() {
            h3 { (set.name) ", " (set.refrigerant) }
            (chart::of(pack, &["run-against-allowable", "line-profile", "riser-flux"], index))
            (sheet_of(|sheet| {
                text::print_lines(sheet, set, pack.units);
                text::print_not_counted(sheet, set);
            }))
        }
        (take_care(&size.cautions))
    };
    Part { id: "lines", title: "Line table", body }
}
