//! Wind, sound and air on roofs, against pages and open transcriptions of the standards; the source of each row is beside it
//! in `data/condenser_roof.csv`. Coefficients of the library were read from the same pages: there the checks are on its
//! look-ups and conversions. Its recalled rows stand in `recalled::condenser_roof`: 37 here, 5 there.

use crate::support::{roof::*, *};
use physics::{
    sound::{Radiation, SoundPowerLevel, SoundPressureLevel, carried, level_at},
    units::unit::{pressure::pound_force_per_square_foot, ratio::ratio},
};

/// Entries are multiples of 0.01 inHg, half of one either way (0.4912 psi an inHg).
const MERCURY_PSI: f64 = 0.0025;
/// Read from the same page: nothing is rounded on the way.
const SAME: f64 = 1e-12;

pub(crate) fn rows(quantity: &str) -> Vec<Row> {
    let all = read("published/data/condenser_roof.csv");
    assert_eq!(all.len(), 42);
    all.into_iter().filter(|row| row.text("quantity") == quantity).collect()
}

/// The tolerance of a printed row as share of it.
fn rounding(row: &Row) -> f64 {
    row.print_rounding("value") / row.number("value").abs()
}

#[test]
fn exposure_coefficients_are_those_printed() {
    let mut known = Known::of("condenser_roof.csv", 1e-4);
    let mut tally = Tally::new("exposure coefficients");
    for row in rows("exposure coefficient") {
        known.compare(&mut tally, row.text("id"), exposure(&row), row.number("value"), rounding(&row));
    }
    assert_eq!(known.finish_where(|id| id.starts_with('K')), 3);
    tally.finish(9);
}

#[test]
fn the_atmosphere_is_that_printed() {
    let mut known = Known::of("condenser_roof.csv", 1e-4);
    let mut tally = Tally::new("standard atmosphere, psi");
    for row in rows("standard atmosphere") {
        let found = atmosphere_psi(row.keyed("inputs", "altitude_ft"));
        let tolerance = row.print_rounding("value").max(MERCURY_PSI) / row.number("value");
        known.compare(&mut tally, row.text("id"), found, row.number("value"), tolerance);
    }
    assert_eq!(known.finish_where(|id| id.starts_with('A')), 1);
    tally.finish(5);

    let mut tally = Tally::new("air density ratio");
    for row in rows("air density ratio") {
        let found = density_ratio(row.keyed("inputs", "altitude_ft"));
        tally.absolute(row.place(), found, row.number("value"), row.print_rounding("value"));
    }
    tally.finish(4);
}

#[test]
fn coefficients_of_the_library_are_those_read() {
    let mut tally = Tally::new("coefficients and rules of roofs");
    for row in rows("gust coefficient") {
        let rule = row.pair("inputs", "rule");
        let rule = LIBRARY.roof().gusts().iter().find(|listed| *listed.name == *rule).unwrap();
        let curve = match row.pair("inputs", "direction") {
            "lateral" => rule.curves.value.lateral,
            "uplift" => rule.curves.value.uplift,
            other => panic!("{}: direction {other}", row.place()),
        };
        let found = curve.at(number(row.keyed("inputs", "share"))).unwrap().value;
        tally.absolute(row.place(), found.get::<ratio>(), row.number("value"), SAME);
    }
    let values = LIBRARY.roof().values();
    for (quantity, found) in [
        ("directionality factor", values.directionality.value.get::<ratio>()),
        ("roof live load", values.live_load.value.get::<pound_force_per_square_foot>()),
        ("spacing beside", values.spacing_beside.value.get::<ratio>()),
        ("spacing in a pit", values.spacing_in_pit.value.get::<ratio>()),
    ] {
        for row in rows(quantity) {
            tally.relative(row.place(), found, row.number("value"), SAME);
        }
    }
    tally.finish(12);
}

#[test]
fn sound_falls_as_printed() {
    let mut tally = Tally::new("sound over distance, dB");
    let side = metres(0.4);
    for row in rows("sound, constant") {
        let radiation = match row.pair("inputs", "radiation") {
            "sphere" => Radiation::Sphere,
            "half sphere" => Radiation::HalfSphere,
            other => panic!("{}: radiation {other}", row.place()),
        };
        let power = SoundPowerLevel::from_decibel(90.0).unwrap();
        let found = level_at(power, metres(1.0), radiation, side).unwrap().value.decibel() - 90.0;
        tally.absolute(row.place(), found, row.number("value"), row.print_rounding("value"));
    }
    for row in rows("sound, distance doubled") {
        let stated = SoundPressureLevel::from_decibel(60.0).unwrap();
        let found = carried(stated, metres(3.0), metres(6.0), side).unwrap().value.decibel() - 60.0;
        tally.absolute(row.place(), found, row.number("value"), row.print_rounding("value"));
    }
    tally.finish(3);
}
