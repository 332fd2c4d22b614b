//! Studies: a checked job and the tables in, views out.
//!
//! [`resolve()`] looks up names and forms what physics needs, and reports what only property data can find wrong;
//! [`size()`] judges tubes, [`charge()`] computes what to add. All words of the answers are here; all numbers are physics'.

mod alternatives;
mod branch;
mod brief;
mod budget;
mod charge;
mod check;
mod coil;
mod compare;
mod elements;
mod field;
mod flags;
mod heat;
mod kits;
mod ledger;
mod load;
mod oil;
mod own_limit;
mod pack;
mod pictures;
mod prove;
mod refrigerants;
mod resolve;
mod service;
mod size;
mod strength;
mod supply;
mod surroundings;
mod tubes;
mod wording;

pub use brief::brief;
pub use charge::{ChargeFigures, LineFigures, charge, charge_from_figures};
pub use compare::{CompareError, compare};
pub use flags::{ChargeInputs, FlagFault, FlagText, charge_from_flags};
pub use pack::pack;
pub use prove::prove;
pub use refrigerants::{
    CardInputs, RefrigerantFault, SheetInputs, refrigerant_card, refrigerant_sheet, refrigerants,
};
pub use resolve::{Fluids, ResolveError, Resolved, resolve, resolve_among, settable_limits};
pub use size::{size, tube_view};
pub use supply::supply;
pub use tubes::{NotPicked, Picked, pick};
pub use wording::quantity_words;

/// In their order, what is said again left out.
fn each_once<T: PartialEq>(all: impl IntoIterator<Item = T>) -> Vec<T> {
    let mut once: Vec<T> = Vec::new();
    for one in all {
        if !once.contains(&one) {
            once.push(one);
        }
    }
    once
}
