//! Thresholds, sizes and concentration limits of the field, from memory.

use crate::{
    field::{refrigerant_limits, rows, thresholds},
    support::*,
};
use physics::units::unit::electric_current::ampere;

#[test]
fn thresholds_are_those_recalled() {
    thresholds("thresholds of the field, recalled", true, 9);
}

#[test]
fn concentration_limits_are_those_recalled() {
    let mut tally = Tally::new("concentration limits, recalled");
    refrigerant_limits(&mut tally, true);
    tally.finish(5);
}

#[test]
fn overcurrent_sizes_are_those_recalled() {
    let [row] = &rows("overcurrent sizes", true)[..] else { panic!("one list of sizes") };
    let sizes = row.text("inputs").split(' ').map(|size| size.parse::<f64>().unwrap());
    let mut tally = Tally::new("overcurrent sizes, recalled, A");
    for (size, listed) in sizes.zip(LIBRARY.field().overcurrent_sizes()) {
        tally.absolute(row.place(), listed.value.get::<ampere>(), size, 1e-9);
    }
    tally.finish(LIBRARY.field().overcurrent_sizes().len());
}
