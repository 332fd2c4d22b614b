//! Rated pressures and loop constants from memory.

use crate::{
    strength::{Group, compare, hot_legs, rows},
    support::*,
};
use physics::{
    strength::expansion::{Leg, flexibility, free_expansion, loop_length},
    units::{
        Length, OutsideDiameter, Pressure,
        unit::{
            length::{foot, inch, meter, millimeter},
            pressure::psi,
            ratio::ratio,
        },
    },
};

/// Copper Tube Handbook, ACR coil at 100 °F.
#[test]
fn recalled_pressures_of_coil_are_those_of_the_formula() {
    let mut tally = Tally::new("rated pressures, recalled");
    compare(&mut tally, &rows(Group::Recalled));
    tally.finish(11);
}

/// Printed to three digits.
const PRINTED: f64 = 2e-3;

#[test]
fn loops_come_out_as_the_handbooks_formula_is_recalled() {
    let mut tally = Tally::new("expansion loops, recalled");
    let copper = LIBRARY.strength().copper();
    let (modulus, stress) = (copper.modulus.value, copper.loop_stress.value);
    let one_inch = Length::new::<inch>(1.0);
    let developed = |modulus| loop_length(OutsideDiameter::new(one_inch), one_inch, modulus, stress).unwrap();
    tally.relative("ft", developed(modulus).get::<foot>(), hot_legs("loop constant"), PRINTED);
    tally.relative("any unit", developed(modulus).get::<inch>(), hot_legs("loop constant any unit"), PRINTED);
    let old = Pressure::new::<psi>(15.6e6);
    tally.relative("older modulus, ft", developed(old).get::<foot>(), hot_legs("loop constant old"), PRINTED);

    let (length, warming) = (Length::new::<meter>(30.0), kelvins(70.0));
    let growth = free_expansion(length, copper.expansion.value, warming);
    tally.relative("worked growth, mm", growth.get::<millimeter>(), hot_legs("worked growth"), PRINTED);
    let outside = OutsideDiameter::new(Length::new::<inch>(1.125));
    let loop_m = loop_length(outside, growth, modulus, stress).unwrap().get::<meter>();
    tally.relative("worked loop, m", loop_m, hot_legs("worked loop"), PRINTED);
    tally.finish(5);

    // The route's own turn does what the loop would: beside a leg of the loop's length the long one needs none.
    let leg = |length_m: f64| Leg { length: metres(length_m), free: metres(length_m) };
    let found = |short_m| {
        let legs = [leg(30.0), leg(short_m)];
        flexibility(&legs, outside, warming, &copper.material(), stress).unwrap()[0]
    };
    assert!(found(1.005 * loop_m).loop_length.is_none());
    assert!(found(0.995 * loop_m).utilisation.unwrap().get::<ratio>() > 1.0);
}
