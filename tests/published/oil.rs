//! Measured densities of oils in the criterion of oil return: the files of `data/limits/oil_density.csv`, whose source and grade
//! are beside them (measured data of an open oil-refrigerant property package; the papers behind it were not opened).

use crate::support::*;
use physics::{oil_return::minimum_mass_rate, units::unit::thermodynamic_temperature::degree_celsius};
use tables::limits::Quantity;

/// Between its measured ends the density of the ISO 32 oil lies on a straight line, 1001 - 0.75 t, to half a kilogram.
const STRAIGHT: f64 = 6e-4;

#[test]
fn an_oil_falls_in_density_along_a_straight_line() {
    let mut tally = Tally::new("density of an ISO 32 oil against a straight line");
    for oil in LIBRARY.limits().oil_densities().iter().filter(|oil| &*oil.key == "iso-32") {
        let expected = 1001.0 - 0.75 * oil.temperature.get::<degree_celsius>();
        tally.relative(&format!("{expected:.0}"), oil.density.value.value, expected, STRAIGHT);
    }
    tally.finish(5);
}

/// The criterion goes with the root of the oil's density less that of the gas: oils as dense as measured ask for up to 8 % more
/// flow than the 900 kg/m3 of the default, which the design margin of 15 % covers.
#[test]
fn measured_oils_ask_for_more_flow_within_the_margin() {
    let limits = LIBRARY.limits();
    let rate = |oil| minimum_mass_rate(bore_mm(20.0), density(10.0), oil).unwrap().value;
    let plain = rate(limits.defaults().oil_density.value);
    let Quantity::Ratio(margin) = limits.limit("oil-return-flux-margin").unwrap().value else {
        panic!("the margin is a share")
    };
    let mut most: f64 = 0.0;
    for oil in limits.oil_densities() {
        let more = (rate(oil.density.value) / plain).value - 1.0;
        println!("{}: {:+.1} %", oil.key, 100.0 * more);
        most = most.max(more);
        assert!(more > 0.0 && more < margin.value);
    }
    assert!((0.06..0.08).contains(&most), "{most}");
}
