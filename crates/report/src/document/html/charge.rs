//! The charge budget of every set.

use super::{Pack, Part, chart, sheet, take_care};
use crate::document::{sheet::Sheet, text};
use maud::html;

pub(super) fn part(pack: Pack<'_>) -> Part {
    let charge = &pack.view.charge;
    let budget = |set| {
        let mut sheet = Sheet::default();
        text::print_charge(&mut sheet, set, pack.units);
        sheet::set(sheet)
    };
    let body = html! {
        @for (index, set) in charge.sets.iter().enumerate() {
            (budget(set))
            (chart::of(pack, "charge-against-run", index))
        }
        (take_care(&charge.cautions))
    };
    Part { id: "charge", title: "Charge budget", body }
}
