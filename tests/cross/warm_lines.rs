//! Whole lines with heat, flashing and condensing against another integration (`data/generate/warm_lines.py`): conserved
//! quantities by scipy's DOP853, phase changes as events, states of CoolProp 8.0.0, laws of the library fluids 1.3.1. It catches
//! slips of the march, of the grids between their rows, and of the laws as the march uses them.

use crate::support::*;
use physics::{
    fluid::Refrigerant,
    heat::Linear,
    line::{Element, Flow, Phase, Tolerance, march_with_heat},
    units::{
        ThermalConductivity, ThermodynamicTemperature,
        unit::{thermal_conductivity::watt_per_meter_kelvin, thermodynamic_temperature::kelvin},
    },
};

const ROWS: usize = 36;

/// Of the pressure lost (as friction and height, which may cancel, to a twentieth of the pressure): steps of the march, 1e-4 with
/// heat; and the grid between its rows, 0.05 % of density and viscosity at most, here a tenth of it.
const DROP: f64 = 2e-4;
const CANCELLED: f64 = 0.05;
/// Flash gas of a blend: the reference has quality straight in enthalpy, the engine with the departure of an explicit mixture,
/// which is up to 2.5 % of a small quality (R-410A), as much of the friction that flash gas adds, and of the liquid it displaces.
const DEPARTURE: f64 = 0.003;
const DEPARTURE_OF_QUALITY: f64 = 0.0015;
const DEPARTURE_K: f64 = 0.02;
/// Steps of the march where nothing departs.
const STEPS: f64 = 1e-4;
const STEPS_K: f64 = 0.003;
/// W of heat: kelvins above by the conductances (up to 20 W/K a line).
const HEAT_W_PER_K: f64 = 20.0;
/// Dew lines are reached by cooling, a millikelvin of the steps being that much of a line that cools by a kelvin a metre; bubble
/// lines the same.
const POSITION_M: f64 = 0.004;

struct Found {
    drop_pa: f64,
    temperature_k: f64,
    quality: Option<f64>,
    charge_kg: f64,
    heat_w: f64,
    other_phase_at_m: Option<f64>,
}

fn walk(row: &Row) -> Found {
    let (mut elements, mut exchanges) = (Vec::new(), Vec::new());
    for part in row.text("legs").split('|') {
        let numbers: Vec<f64> = part.split(':').map(|number| number.parse().unwrap()).collect();
        let [length_m, rise_m, conductance, surroundings_k, coefficient] = numbers[..] else {
            panic!("{}: {part}", row.place())
        };
        elements.push(leg(length_m, rise_m));
        exchanges.push(Linear {
            conductance: ThermalConductivity::new::<watt_per_meter_kelvin>(conductance),
            surroundings: ThermodynamicTemperature::new::<kelvin>(surroundings_k),
        });
        if coefficient > 0.0 {
            elements.push(Element::Resistance { coefficient: number(coefficient) });
        }
    }
    let fluid = refrigerant(row.text("refrigerant"));
    let (pressure, temperature) = (
        pascals(row.number("pressure_pa")),
        ThermodynamicTemperature::new::<kelvin>(row.number("temperature_k")),
    );
    let (phase, state) = match row.text("entering") {
        "liquid" => (Phase::Liquid, fluid.liquid_at(pressure, temperature).unwrap()),
        "vapour" => (Phase::Vapour, fluid.vapour_at(pressure, temperature).unwrap()),
        other => panic!("{}: {other}", row.place()),
    };
    let line = line(bore_mm(1e3 * row.number("bore_m")), DRAWN_COPPER_UM, elements);
    let inlet = inlet(phase, &state, row.number("rate_kg_s"));
    let outlet =
        march_with_heat(fluid, &line, &exchanges, inlet, Tolerance::default(), &mut |_| {}).unwrap().value;
    Found {
        drop_pa: outlet.pressure_drop.value,
        temperature_k: outlet.outlet.temperature.value,
        quality: match outlet.outlet.flow {
            Flow::TwoPhase { quality, .. } => Some(quality.value),
            _ => None,
        },
        charge_kg: outlet.charge.value,
        heat_w: outlet.heat.value,
        other_phase_at_m: outlet.saturation_reached_at.map(|position| position.value),
    }
}

#[test]
fn lines_march_as_another_integration_has_them() {
    let mut drop = Tally::new("drop, share");
    let mut temperature = Tally::new("outlet temperature, K");
    let mut quality = Tally::new("outlet quality");
    let mut charge = Tally::new("charge, share");
    let mut heat = Tally::new("heat, W");
    let mut position = Tally::new("where the other phase begins, m");
    let rows = read("cross/data/warm_lines.csv");
    for row in &rows {
        let what = format!("{} {} {}", row.place(), row.text("refrigerant"), row.text("kind"));
        let found = walk(row);
        let blank = |column: &str| row.text(column).is_empty();
        let departs = row.text("refrigerant") != "R-134a" && !blank("other_phase_at_m");
        let or = |departure: f64, steps: f64| if departs { departure } else { steps };
        let lost_pa = row.number("drop_pa").abs().max(CANCELLED * row.number("pressure_pa"));
        let lost = (found.drop_pa - row.number("drop_pa")) / lost_pa;
        drop.absolute(&what, lost, 0.0, or(DEPARTURE, DROP));
        let within_k = or(DEPARTURE_K, STEPS_K);
        temperature.absolute(&what, found.temperature_k, row.number("outlet_temperature_k"), within_k);
        charge.relative(&what, found.charge_kg, row.number("charge_kg"), or(DEPARTURE, STEPS));
        heat.absolute(&what, found.heat_w, row.number("heat_w"), HEAT_W_PER_K * within_k);
        match found.quality {
            Some(share) if !blank("outlet_quality") => {
                quality.absolute(&what, share, row.number("outlet_quality"), or(DEPARTURE_OF_QUALITY, STEPS));
            }
            other => assert_eq!(other.is_none(), blank("outlet_quality"), "{what}"),
        }
        match found.other_phase_at_m {
            Some(at_m) if !blank("other_phase_at_m") => {
                position.absolute(&what, at_m, row.number("other_phase_at_m"), POSITION_M);
            }
            other => assert_eq!(other.is_none(), blank("other_phase_at_m"), "{what}"),
        }
    }
    for tally in [drop, temperature, charge, heat] {
        tally.finish(ROWS);
    }
    quality.finish_at_least(18);
    position.finish(21);
}
