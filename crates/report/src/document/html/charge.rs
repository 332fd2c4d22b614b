//! The charge budget of every set.

use super::{Pack, Part, chart, sheet_of, take_care};
use crate::document::text;
use maud::html;

pub(super) fn part(pack: Pack<'_>) -> Part {
    let charge = &pack.view.charge;
    let body = html! {
        @for (index, set) in charge.sets.iter().enumerate() {
            (sheet_of(|sheet| text::print_charge(sheet, set, pack.units)))
            (chart::of(pack, &["charge-against-run"], index))
        }
        (take_care(&charge.cautions))
    };
    Part { id: "charge", title: "Charge budget", body }
}
