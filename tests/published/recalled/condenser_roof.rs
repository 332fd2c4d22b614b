//! Load factors and the growth of a jet, from memory.

use crate::{condenser_roof::rows, support::*};
use physics::{jet::greatest_share, units::unit::ratio::ratio};

/// Printed in full.
const SAME: f64 = 1e-12;

#[test]
fn load_factors_are_those_recalled() {
    let mut tally = Tally::new("load factors, recalled");
    for row in rows("load factor") {
        let factors = roof::combination(&row);
        let found = match row.pair("inputs", "load") {
            "dead" => factors.dead,
            "wind" => factors.wind,
            other => panic!("{}: load {other}", row.place()),
        };
        tally.relative(row.place(), found.get::<ratio>(), row.number("value"), SAME);
    }
    tally.finish(4);
}

/// Ten diameters away a jet is `10 growth` times what left the outlet, so that its own air is the rest of it.
#[test]
fn a_jet_grows_as_recalled() {
    let mut tally = Tally::new("growth of a jet, recalled");
    for row in rows("jet mass growth") {
        let share = greatest_share(metres(10.0), metres(1.0), number(1.0)).unwrap().value;
        tally.relative(row.place(), 0.1 / share.get::<ratio>(), row.number("value"), SAME);
    }
    tally.finish(1);
}
