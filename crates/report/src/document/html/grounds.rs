//! What it all rests on: inputs and assumptions, sources with their grades, cautions.

use super::{LOCAL_CODE, Pack, Part, sheet, sheet_of};
use crate::document::text;
use maud::html;

/// Inputs as understood, assumptions, and what no sheet holds.
pub(super) fn assumptions(pack: Pack<'_>) -> Part {
    let view = pack.view;
    let body = sheet_of(|sheet| {
        for set in &view.size.sets {
            let heading = format!("Inputs of {} as understood", set.name);
            text::print_echo(sheet, &heading, &set.echo, pack.units);
            text::print_list(sheet, &format!("Assumed for the lines of {}", set.name), &set.assumptions);
        }
        if let Some(compare) = &view.compare {
            text::print_list(sheet, "Assumed for the layouts", &compare.assumptions);
        }
        for (work, field) in [("proving", &view.prove), ("supply", &view.supply)] {
            for set in &field.sets {
                text::print_list(sheet, &format!("Assumed for {work}, {}", set.name), &set.assumptions);
            }
        }
        text::print_list(sheet, "Not in this pack", &view.not_contained);
    });
    Part { id: "assumptions", title: "Assumptions", body }
}

/// Every source once, with all that was taken from it.
pub(super) fn sources(pack: Pack<'_>) -> Part {
    Part {
        id: "sources",
        title: "Sources",
        body: sheet_of(|sheet| text::print_sources(sheet, &pack.view.sources)),
    }
}

/// Every caution once.
pub(super) fn cautions(pack: Pack<'_>) -> Part {
    let body = html! { aside.care { (sheet::list(&pack.view.cautions)) p { (LOCAL_CODE) } } };
    Part { id: "cautions", title: "Cautions", body }
}
