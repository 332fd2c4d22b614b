//! States between the grid's points against CoolProp 8.0.0 called directly (`data/generate/cross_points.py`).
//!
//! Saturation from -55 °C to 15 K below critical, superheat to 105 K, subcooling to 60 K. Nearer to critical the targets
//! are not claimed.

use crate::support::*;
use physics::{
    fluid::{OutsideRange, Refrigerant, State},
    units::{
        BubbleTemperature, DewTemperature, ThermodynamicTemperature, delta,
        unit::thermodynamic_temperature::kelvin,
    },
};

/// Target of the grids for pressure and density, 0.05 %.
const PRESSURE_AND_DENSITY: f64 = 5e-4;
/// 0.1 kJ/kg: 0.1 K of temperature.
const ENTHALPY_J_KG: f64 = 100.0;
/// Target for viscosity: 0.1 % of a pressure drop.
const VISCOSITY: f64 = 5e-3;
/// Points of each refrigerant: 40 on either saturation line, 80 on either side of them.
const SATURATED: usize = 80;
const SINGLE_PHASE: usize = 160;

fn state(fluid: &dyn Refrigerant, row: &Row) -> Result<State, OutsideRange> {
    let at = ThermodynamicTemperature::new::<kelvin>(row.number("temperature_k"));
    let pressure = pascals(row.number("pressure_pa"));
    match row.text("region") {
        "bubble" => fluid.at_bubble(BubbleTemperature::new(at)),
        "dew" => fluid.at_dew(DewTemperature::new(at)),
        "vapour" => fluid.vapour_at(pressure, at),
        "liquid" => fluid.liquid_at(pressure, at),
        other => panic!("{}: region {other}", row.place()),
    }
}

fn against_coolprop(name: &str, with_viscosity: bool) {
    let fluid = refrigerant(name);
    let mut pressure = Tally::new(format!("{name} saturation pressure"));
    let mut density = Tally::new(format!("{name} density"));
    let mut enthalpy = Tally::new(format!("{name} enthalpy, J/kg"));
    let mut viscosity = Tally::new(format!("{name} viscosity"));
    let mut round_trip = Tally::new(format!("{name} temperature from pressure and enthalpy, K"));
    // The grid's last step, from 40 to 60 K, is its widest: twice the tolerance there. No liquid line is that cold.
    let tally = |what: &str| Tally::new(format!("{name} beyond 40 K of subcooling, {what}"));
    let (mut deep, mut deeper) = ((tally("density"), tally("enthalpy, J/kg"), tally("viscosity")), 0);
    for row in read(&format!("cross/coolprop/{name}.csv")) {
        let region = row.text("region");
        let what = format!("{} {region}", row.place());
        let found = state(fluid, &row).unwrap();
        if region == "bubble" || region == "dew" {
            pressure.relative(
                &what,
                found.pressure.pascal(),
                row.number("pressure_pa"),
                PRESSURE_AND_DENSITY,
            );
        } else {
            // The way in that a march takes, by pressure and enthalpy of the reference.
            let by_enthalpy = match region {
                "vapour" => fluid.vapour(found.pressure, found.enthalpy),
                _ => fluid.liquid(found.pressure, found.enthalpy),
            };
            round_trip.absolute(
                &what,
                by_enthalpy.unwrap().temperature.value,
                row.number("temperature_k"),
                1e-4,
            );
        }
        let subcooling = match region {
            "liquid" => delta(fluid.bubble_temperature(found.pressure).unwrap().get(), found.temperature),
            _ => kelvins(0.0),
        };
        let beyond = subcooling > kelvins(40.0);
        let (density, enthalpy, viscosity, widened) = if beyond {
            (&mut deep.0, &mut deep.1, &mut deep.2, 2.0)
        } else {
            (&mut density, &mut enthalpy, &mut viscosity, 1.0)
        };
        deeper += usize::from(beyond);
        density.relative(
            &what,
            found.density.value,
            row.number("density_kg_m3"),
            widened * PRESSURE_AND_DENSITY,
        );
        enthalpy.absolute(&what, found.enthalpy.value, row.number("enthalpy_j_kg"), ENTHALPY_J_KG);
        if with_viscosity {
            viscosity.relative(
                &what,
                found.viscosity.value,
                row.number("viscosity_pa_s"),
                widened * VISCOSITY,
            );
        } else {
            assert!(
                row.text("viscosity_pa_s").is_empty(),
                "{what}: CoolProp's viscosity of blends is no reference"
            );
        }
    }
    // The draw is fixed: about a third of the liquid points.
    assert!((15..40).contains(&deeper), "{name}: {deeper} liquid points beyond 40 K");
    let compared = SATURATED + SINGLE_PHASE - deeper;
    pressure.finish(SATURATED);
    round_trip.finish(SINGLE_PHASE);
    density.finish(compared);
    enthalpy.finish(compared);
    deep.0.finish(deeper);
    deep.1.finish(deeper);
    if with_viscosity {
        viscosity.finish(compared);
        deep.2.finish(deeper);
    }
}

#[test]
fn r22() {
    against_coolprop("R-22", true);
}

#[test]
fn r134a() {
    against_coolprop("R-134a", true);
}

#[test]
fn r404a() {
    against_coolprop("R-404A", true);
}

#[test]
fn r449a() {
    against_coolprop("R-449A", false);
}
