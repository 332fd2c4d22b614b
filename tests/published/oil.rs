//! Measured densities of oils in the criterion of oil return: the files of `data/limits/oil_density.csv`, whose source and grade
//! are beside them (measured data of an open oil-refrigerant property package; the papers behind it were not opened).

use crate::support::*;
use physics::oil_return::minimum_mass_rate;

/// Between its measured ends the density of the ISO 32 oil lies on a straight line, 1001 - 0.75 t, to half a kilogram.
const STRAIGHT: f64 = 6e-4;

#[test]
fn an_oil_falls_in_density_along_a_straight_line() {
    let mut tally = Tally::new("density of an ISO 32 oil against a straight line");
    for celsius_value in [-25.0, 0.0, 25.0, 50.0, 75.0] {
        let density = LIBRARY.limits().oil_density("iso-32", celsius(celsius_value)).unwrap().value;
        tally.relative(&format!("{celsius_value} C"), density.value, 1001.0 - 0.75 * celsius_value, STRAIGHT);
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
    let margin = limits.limit("oil-return-flux-margin").unwrap().value.value;
    let mut most: f64 = 0.0;
    for oil in limits.oil_densities() {
        let more = (rate(oil.density) / plain).value - 1.0;
        println!("{}: {:+.1} %", oil.key, 100.0 * more);
        most = most.max(more);
        assert!(more > 0.0 && more < margin);
    }
    assert!((0.06..0.08).contains(&most), "{most}");
}
