//! Supports, bends, insulation and what a line holds without running, as the trade has them; the source of each row is
//! beside it in `data/line_practice.csv`. The tables of the library were read from the same pages: the checks are on its
//! look-ups, units and conversions.

use crate::support::*;
use physics::{
    fluid::Refrigerant,
    heat::moisture::saturation_pressure,
    strength::Temper,
    units::{
        AbsolutePressure, Length, OutsideDiameter, Volume,
        unit::{
            length::{foot, inch},
            thermal_conductivity::watt_per_meter_kelvin,
            velocity::meter_per_second,
            volume::milliliter,
        },
    },
};
use std::f64::consts::PI;
use tables::strength::Direction;

/// Standard atmosphere, to which the rows add their gauge pressures.
const ATMOSPHERE_PA: f64 = 101_325.0;
/// Gas constant of water vapour, J/(kg K): 8.314 46 over 0.018 015.
const WATER_J_KG_K: f64 = 461.52;
/// Three to four printed digits, of the value and of the volume behind it.
const PRINTED: f64 = 1e-3;

fn rows(quantity: &str) -> Vec<Row> {
    let all = read("published/data/line_practice.csv");
    let found: Vec<_> = all.into_iter().filter(|row| row.text("quantity") == quantity).collect();
    assert!(!found.is_empty(), "no rows of {quantity}");
    found
}

fn outside(row: &Row) -> OutsideDiameter {
    OutsideDiameter::new(Length::new::<inch>(row.keyed("inputs", "tube_in")))
}

/// Volume of a length of 1/2 in soft coil.
fn half_inch(length: Length) -> Volume {
    let stock = LIBRARY.tubes().stock("ASTM B280 coil").unwrap();
    let coil = stock.iter().find(|product| &*product.designation == "1/2 in").unwrap();
    let bore = coil.tube.bore().get();
    PI / 4.0 * bore * bore * length
}

#[test]
fn supports_stand_as_the_rules_say() {
    let mut tally = Tally::new("spacing of supports, ft");
    for row in rows("support") {
        let direction = match row.pair("inputs", "direction") {
            "horizontal" => Direction::Horizontal,
            "vertical" => Direction::Vertical,
            other => panic!("{}: direction {other}", row.place()),
        };
        let spacing = LIBRARY.strength().support_spacing(outside(&row), direction);
        let rule = spacing.rules().iter().find(|(rule, _)| rule.to_string() == row.pair("inputs", "rule"));
        let (_, length) = rule.unwrap_or_else(|| panic!("{}: the rule does not speak", row.place()));
        tally.relative(row.text("id"), length.value.get::<foot>(), row.number("value"), 1e-9);
    }
    tally.finish(18);
}

#[test]
fn bends_are_as_wide_as_the_guide_says() {
    // Printed to a tenth of an outside diameter.
    const TENTH: f64 = 0.051;
    let mut tally = Tally::new("bend radius, outside diameters");
    for row in rows("bend radius") {
        let temper = match row.pair("inputs", "temper") {
            "annealed" => Temper::Annealed,
            "drawn" => Temper::Drawn,
            other => panic!("{}: temper {other}", row.place()),
        };
        let radius = LIBRARY.strength().bend_radius(outside(&row), temper).unwrap().value;
        let found = (radius / outside(&row).get()).value;
        tally.absolute(row.text("id"), found, row.number("value"), TENTH);
    }
    tally.finish(9);
}

#[test]
fn foam_conducts_as_its_sheets_say_in_both_units() {
    // Half a unit of three printed digits.
    const THREE_DIGITS: f64 = 2e-3;
    let mut tally = Tally::new("conductivity of foam");
    for row in rows("conductivity") {
        let material = LIBRARY.insulation().material(Some(row.pair("inputs", "material"))).unwrap();
        let found = material.conductivity.value.value.get::<watt_per_meter_kelvin>();
        tally.relative(row.text("id"), found, row.number("value"), THREE_DIGITS);
    }
    tally.finish(3);
}

/// Article on mechanical insulation: no wind in the design against condensation indoors.
#[test]
fn no_wind_blows_indoors() {
    let wind = &LIBRARY.limits().defaults().wind_indoors;
    assert_eq!(wind.value.get::<meter_per_second>(), 0.0);
}

#[test]
fn a_holding_charge_weighs_what_coolprop_says() {
    let volume = half_inch(Length::new::<foot>(50.0));
    let mut tally = Tally::new("gas in 50 ft of 1/2 in tube, g");
    for row in rows("gas in a line") {
        let fluid = refrigerant(row.pair("inputs", "refrigerant"));
        let pressure_pa = ATMOSPHERE_PA + row.keyed("inputs", "gauge_psi") * PSI_PA;
        let gas = fluid.vapour_at(AbsolutePressure::from_pascal(pressure_pa), fahrenheit(70.0)).unwrap();
        let grams = 1e3 * (gas.density * volume).value;
        tally.relative(row.text("id"), grams, row.number("value"), PRINTED);
    }
    tally.finish(4);
}

#[test]
fn moist_air_in_an_open_line_holds_less_than_a_drop() {
    let mut tally = Tally::new("water vapour in 50 ft of 1/2 in tube, mg");
    for row in rows("water vapour in an open line") {
        let celsius_value = row.keyed("inputs", "t_C");
        let humidity = row.keyed("inputs", "humidity_percent") / 100.0;
        let vapour_pa = humidity * saturation_pressure(celsius(celsius_value)).unwrap().value.value;
        let density_kg_m3 = vapour_pa / (WATER_J_KG_K * (celsius_value + 273.15));
        let milligrams = 1e6 * density_kg_m3 * half_inch(Length::new::<foot>(50.0)).value;
        tally.relative(row.text("id"), milligrams, row.number("value"), PRINTED);
    }
    tally.finish(1);
}

#[test]
fn a_trap_holds_its_length_of_oil() {
    let mut tally = Tally::new("oil in a full trap, mL");
    for row in rows("oil in a full trap") {
        let held = half_inch(LIBRARY.limits().defaults().trap_length.value);
        tally.relative(row.text("id"), held.get::<milliliter>(), row.number("value"), PRINTED);
    }
    tally.finish(1);
}
