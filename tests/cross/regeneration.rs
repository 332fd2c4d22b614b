//! The property grids made afresh by their generator against those that are committed.

use crate::support::generator;

/// A pure refrigerant, a pseudo-pure one and a mixture, some of whose points are repaired.
const REFRIGERANTS: [&str; 3] = ["R-134a", "R-410A", "R-454B"];

#[test]
fn property_grids_are_those_that_the_generator_makes() {
    let Some(said) = generator::run("regeneration.py", &REFRIGERANTS) else { return };
    // Three tables each, and the glide of the two blends.
    assert_eq!(said.lines().count(), 11, "{said}");
}
