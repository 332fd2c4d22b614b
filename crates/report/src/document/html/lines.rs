//! The route in space, and the lines with their tubes and checks.

use super::{Pack, Part, chart, sheet, take_care};
use crate::document::{sheet::Sheet, text};
use maud::html;

/// The route of every set.
pub(super) fn isometric(pack: Pack<'_>) -> Part {
    let body = html! {
        div.charts.large { @for index in 0..pack.view.size.sets.len() { (chart::of(pack, "isometric", index)) } }
    };
    Part { id: "isometric", title: "Isometric", body }
}

/// Tubes, checks, conditions and stock of every set, with its charts.
pub(super) fn part(pack: Pack<'_>) -> Part {
    let size = &pack.view.size;
    let lines = |set| {
        let mut sheet = Sheet::default();
        text::print_lines(&mut sheet, set, pack.units);
        text::print_not_counted(&mut sheet, set);
        sheet::set(sheet)
    };
    let body = html! {
        @for (index, set) in size.sets.iter().enumerate() {
            h3 { (set.name) ", " (set.refrigerant) }
            @for kind in ["run-against-allowable", "line-profile", "riser-flux"] { (chart::of(pack, kind, index)) }
            (lines(set))
        }
        (take_care(&size.cautions))
    };
    Part { id: "lines", title: "Line table", body }
}
