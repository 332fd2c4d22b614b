//! Condensers on roofs against own calculations with the same equations (`data/condenser_roof.csv` says which): what is
//! left is the rounding of the printed values.

use crate::support::{roof::*, *};
use physics::{
    jet::{Discharge, bending_length, greatest_share, momentum_length},
    sound::{Radiation, SoundPowerLevel, SoundPressureLevel, level_at},
    units::{
        Mass, Pressure, Velocity,
        unit::{
            force::pound_force,
            length::meter,
            mass::pound,
            pressure::{pascal, pound_force_per_square_foot},
            ratio::ratio,
            velocity::{meter_per_second, mile_per_hour},
        },
    },
    wind::*,
};

/// 0.00256 of the American units is 0.05 % more than 0.613 of SI, which the program takes.
const TWO_CONSTANTS: f64 = 1e-3;
/// The American form of the atmosphere has constants of its own rounding: 14.696 psi is 3e-6 off 101 325 Pa, 6.8754e-6 a foot
/// 3e-5 off 2.25577e-5 a metre, which makes 4e-5 of the pressure at 10 000 ft; and three printed decimals are 5e-5 of it.
const ROUNDED_CONSTANTS: f64 = 1e-4;

fn rows(quantity: &str) -> Vec<Row> {
    let all = read("cross/data/condenser_roof.csv");
    assert_eq!(all.len(), 90);
    all.into_iter().filter(|row| row.text("quantity") == quantity).collect()
}

/// What the rows of one quantity are compared with.
type Found<'a> = (&'static str, &'a dyn Fn(&Row) -> f64);

/// Every row of these quantities to half a unit of its last printed digit.
fn compare(name: &str, count: usize, quantities: &[Found<'_>]) {
    let mut tally = Tally::new(name);
    for (quantity, found) in quantities {
        for row in rows(quantity) {
            let what = format!("{} {quantity}, {}", row.place(), row.text("inputs"));
            tally.absolute(&what, found(&row), row.number("value"), row.print_rounding("value"));
        }
    }
    tally.finish(count);
}

/// The frame of the example, and how many units it carries.
fn frame(row: &Row) -> Frame {
    let unit =
        Unit { width: feet(4.0), depth: feet(3.0), height: feet(3.0), mass: Mass::new::<pound>(250.0) };
    let (units, width_ft, row_width, count) = match row.pair("inputs", "layout") {
        "single" => (stacked(&[unit]), 4.0, 2, 4),
        "stacked" => (stacked(&[unit, unit]), 4.0, 2, 4),
        "side by side" => (side_by_side(&[unit, unit], feet(0.0)), 8.0, 4, 8),
        other => panic!("{}: layout {other}", row.place()),
    };
    let stand = Stand { height: feet(1.5), clad: false, mass: Mass::new::<pound>(0.0) };
    let anchors =
        Anchors { span_width: feet(width_ft), span_depth: feet(3.0), row_width, row_depth: 2, count };
    Frame::new(&units, stand, anchors).unwrap()
}

fn wind() -> RoofWind {
    let curves = &LIBRARY.roof().gusts()[0].curves;
    RoofWind {
        pressure: Pressure::new::<pound_force_per_square_foot>(25.90),
        building: Building { width: feet(60.0), length: feet(80.0), height: feet(20.0) },
        lateral: curves.value.lateral,
        uplift: curves.value.uplift,
    }
}

fn force(row: &Row) -> RooftopForce {
    rooftop_force(&frame(row), Face::Width, &wind()).unwrap().value
}

fn anchors(row: &Row) -> AnchorLoads {
    anchor_loads(&frame(row), &wind(), &combination(row)).unwrap().value
}

#[test]
fn wind_by_height_and_altitude() {
    compare(
        "exposure and elevation",
        39,
        &[
            ("exposure coefficient", &exposure),
            ("ground elevation factor", &|row| {
                let altitude = feet(row.keyed("inputs", "altitude_ft"));
                ground_elevation_factor(altitude).unwrap().value.get::<ratio>()
            }),
        ],
    );
    let mut tally = Tally::new("velocity pressure");
    for row in rows("velocity pressure") {
        let factor = |key| number(row.keyed("inputs", key));
        let factors = PressureFactors {
            exposure: factor("exposure"),
            topography: factor("topography"),
            directionality: factor("directionality"),
            elevation: factor("elevation"),
        };
        let wind = Velocity::new::<mile_per_hour>(row.keyed("inputs", "wind_mph"));
        let found = velocity_pressure(wind, &factors).unwrap().value;
        let expected = row.number("value");
        match row.text("unit") {
            "psf" => {
                tally.relative("psf", found.get::<pound_force_per_square_foot>(), expected, TWO_CONSTANTS);
            }
            "Pa" => tally.absolute("Pa", found.get::<pascal>(), expected, row.print_rounding("value")),
            other => panic!("{}: unit {other}", row.place()),
        }
    }
    tally.finish(2);
}

#[test]
fn the_wind_example() {
    compare(
        "forces and anchors",
        22,
        &[
            ("lateral force", &|row| force(row).lateral.get::<pound_force>()),
            ("uplift force", &|row| force(row).uplift.get::<pound_force>()),
            ("anchor tension", &|row| anchors(row).governing().tension().get::<pound_force>()),
            ("anchor shear", &|row| anchors(row).shear().get::<pound_force>()),
            ("footprint pressure", &|row| {
                frame(row).footprint_pressure().get::<pound_force_per_square_foot>()
            }),
            ("gust coefficient", &|row| {
                let input = |key| row.keyed("inputs", key);
                let share = input("area_ft2") / (input("width_ft") * input("height_ft"));
                wind().lateral.at(number(share)).unwrap().value.get::<ratio>()
            }),
        ],
    );
}

#[test]
fn sums_and_distances_of_sound() {
    compare(
        "sound levels, dB",
        5,
        &[
            ("sum of levels", &|row| {
                let levels = row.pair("inputs", "levels_db").split(' ');
                let levels: Vec<_> = levels
                    .map(|level| SoundPressureLevel::from_decibel(level.parse().unwrap()).unwrap())
                    .collect();
                SoundPressureLevel::sum(&levels).unwrap().value.decibel()
            }),
            ("level at a distance", &|row| {
                let power = SoundPowerLevel::from_decibel(row.keyed("inputs", "power_db")).unwrap();
                let units = vec![power; row.keyed("inputs", "units") as usize];
                let power = SoundPowerLevel::sum(&units).unwrap().value;
                let distance = metres(row.keyed("inputs", "distance_m"));
                level_at(power, distance, Radiation::HalfSphere, metres(1.2)).unwrap().value.decibel()
            }),
        ],
    );
}

#[test]
fn ways_and_shares_of_a_discharge() {
    let speed = |row: &Row, key| Velocity::new::<meter_per_second>(row.keyed("inputs", key));
    let discharge = |row: &Row| Discharge {
        velocity: speed(row, "velocity_m_s"),
        diameter: metres(row.keyed("inputs", "diameter_m")),
    };
    compare(
        "discharges",
        8,
        &[
            ("greatest share", &|row| {
                let distance = metres(0.6 * row.keyed("inputs", "diameters"));
                let flow_ratio = number(row.keyed("inputs", "flow_ratio"));
                greatest_share(distance, metres(0.6), flow_ratio).unwrap().value.get::<ratio>()
            }),
            ("momentum length", &|row| {
                let warmer = kelvins(row.keyed("inputs", "warming_k"));
                let air = celsius(row.keyed("inputs", "air_c"));
                momentum_length(&discharge(row), warmer, air).unwrap().value.get::<meter>()
            }),
            ("bending length", &|row| {
                bending_length(&discharge(row), speed(row, "wind_m_s")).unwrap().value.get::<meter>()
            }),
        ],
    );
}

#[test]
fn the_air_of_a_height() {
    let mut tally = Tally::new("standard atmosphere, psi");
    for row in rows("standard atmosphere") {
        let found = atmosphere_psi(row.keyed("inputs", "altitude_ft"));
        tally.relative(row.place(), found, row.number("value"), ROUNDED_CONSTANTS);
    }
    tally.finish(7);
    let density = |row: &Row| density_ratio(row.keyed("inputs", "altitude_ft"));
    compare("air density ratio", 7, &[("air density ratio", &density)]);
}
