//! Listed weights of tubes against their listed dimensions: a misread wall shows in its weight.
//!
//! The weights were read apart from the dimensions (source in each row of `data/tubes/tubes.csv`); weights that were
//! calculated from the dimensions are no check and are left out.

use crate::support::{LIBRARY, Tally, density};
use physics::units::unit::linear_mass_density::kilogram_per_meter;
use std::f64::consts::PI;

/// C12200 copper, 0.323 lb/in3 (Copper Tube Handbook); other catalogues say 8920 to 8960.
const COPPER_KG_M3: f64 = 8940.0;
/// Listed weights are printed to three digits and use densities from 8920 to 8960 kg/m3; a wall one gauge off moves the
/// weight by 10 % and more.
const ROUNDING_AND_DENSITY: f64 = 0.02;

#[test]
fn weigh_what_their_dimensions_say() {
    let mut tally = Tally::new("tube weights");
    for product in LIBRARY.tubes().products() {
        let Some(listed) = product.listed_weight else { continue };
        let (outside, wall) = (product.tube.outside().get(), product.tube.wall());
        let computed = PI * (outside - wall) * wall * density(COPPER_KG_M3);
        tally.relative(
            &product.printed_name(),
            computed.get::<kilogram_per_meter>(),
            listed.get::<kilogram_per_meter>(),
            ROUNDING_AND_DENSITY,
        );
    }
    // A tube that is added brings its own weight.
    tally.finish_at_least(65);
}
