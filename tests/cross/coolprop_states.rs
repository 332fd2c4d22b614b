//! States between the grids' points against CoolProp 8.0.0 called directly: single phase and saturation
//! (`data/generate/cross_points.py`), and two phases of blends (`data/generate/two_phase_points.py`).
//!
//! Saturation from -55 °C to 15 K below critical, superheat to 105 K, subcooling to 60 K. Nearer to critical the targets
//! are not claimed. The worst deviation of each quantity and refrigerant is printed in `data/properties/DEVIATIONS.md`,
//! which `LINESET_ACCEPT=1` rewrites.

use crate::support::*;
use physics::{
    fluid::{AnyState, OutsideRange, Refrigerant, State},
    units::{
        BubbleTemperature, DewTemperature, SpecificEnthalpy, ThermodynamicTemperature,
        unit::{available_energy::joule_per_kilogram, thermodynamic_temperature::kelvin},
    },
};
use std::{fmt::Write as _, fs, path::Path};

/// Points of each refrigerant: 40 on either saturation line, 80 on either side of them.
const SATURATED: usize = 80;
const SINGLE_PHASE: usize = 160;
const TWO_PHASE: usize = 50;

/// What is compared: its column in the table of deviations, in what unit, and the deviation admitted.
struct Quantity {
    name: &'static str,
    /// Per cent of the value, or absolute in the unit named.
    unit: &'static str,
    admitted: f64,
    reason: &'static str,
}

const QUANTITIES: [Quantity; 11] = [
    Quantity { name: "pressure", unit: "%", admitted: 0.05, reason: "target of the grids" },
    Quantity { name: "density", unit: "%", admitted: 0.05, reason: "target of the grids" },
    Quantity { name: "enthalpy", unit: "kJ/kg", admitted: 0.1, reason: "0.1 K of temperature" },
    Quantity { name: "entropy", unit: "kJ/(kg K)", admitted: 4e-4, reason: "0.1 kJ/kg of enthalpy at 250 K" },
    Quantity { name: "heat capacity", unit: "%", admitted: 0.5, reason: "target of the grids" },
    Quantity { name: "viscosity", unit: "%", admitted: 0.5, reason: "0.1 % of a pressure drop" },
    Quantity { name: "conductivity", unit: "%", admitted: 0.5, reason: "a tenth of the model's own doubt" },
    Quantity {
        name: "surface tension",
        unit: "%",
        admitted: 0.5,
        reason: "a tenth of the model's own doubt",
    },
    Quantity {
        name: "temperature from p and h",
        unit: "K",
        admitted: 1e-6,
        reason: "inverse of the grid itself",
    },
    Quantity {
        name: "quality",
        unit: "% of the mass",
        admitted: 0.1,
        reason: "a hundredth of a blend's departure from the lever rule",
    },
    Quantity {
        name: "two-phase temperature",
        unit: "K",
        admitted: 0.02,
        reason: "0.05 % of pressure is 0.015 K",
    },
];

/// Worst deviation of each quantity of one refrigerant, and how many values were compared.
struct Worst {
    name: &'static str,
    deviations: [(f64, usize, String); QUANTITIES.len()],
}

impl Worst {
    fn new(name: &'static str) -> Self {
        Self { name, deviations: std::array::from_fn(|_| (0.0, 0, String::new())) }
    }

    fn note(&mut self, quantity: &str, what: &str, deviation: f64) {
        let index = QUANTITIES.iter().position(|known| known.name == quantity).unwrap();
        let (worst, count, place) = &mut self.deviations[index];
        *count += 1;
        // A deviation that is no number is the worst of all.
        if deviation.abs() > *worst || deviation.is_nan() {
            *worst = if deviation.is_nan() { f64::INFINITY } else { deviation.abs() };
            what.clone_into(place);
        }
    }

    fn percent(&mut self, quantity: &str, what: &str, found: f64, expected: f64) {
        self.note(quantity, what, 100.0 * (found / expected - 1.0));
    }

    fn compared(&self, quantity: &str) -> usize {
        self.deviations[QUANTITIES.iter().position(|known| known.name == quantity).unwrap()].1
    }

    fn misses(&self) -> Vec<String> {
        let beyond = QUANTITIES.iter().zip(&self.deviations);
        beyond
            .filter(|(quantity, (worst, ..))| *worst > quantity.admitted)
            .map(|(quantity, (worst, _, place))| {
                let Quantity { name, unit, admitted, .. } = quantity;
                format!("{} {name}: {worst:.3e} {unit} where {admitted} is admitted, at {place}", self.name)
            })
            .collect()
    }
}

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

fn single_phase(worst: &mut Worst, fluid: &dyn Refrigerant) {
    let rows = read(&format!("cross/coolprop/{}.csv", worst.name));
    assert_eq!(rows.len(), SATURATED + SINGLE_PHASE, "{}", worst.name);
    for row in rows {
        let region = row.text("region");
        let what = format!("{} {region}", row.place());
        let found = state(fluid, &row).unwrap_or_else(|refusal| panic!("{what}: {refusal}"));
        let thermal = fluid.thermal(&found).unwrap();
        if region == "bubble" || region == "dew" {
            worst.percent("pressure", &what, found.pressure.pascal(), row.number("pressure_pa"));
        } else {
            let by_enthalpy = match region {
                "vapour" => fluid.vapour(found.pressure, found.enthalpy),
                _ => fluid.liquid(found.pressure, found.enthalpy),
            };
            let off_k = by_enthalpy.unwrap().temperature.value - row.number("temperature_k");
            worst.note("temperature from p and h", &what, off_k);
        }
        worst.percent("density", &what, found.density.value, row.number("density_kg_m3"));
        worst.note("enthalpy", &what, 1e-3 * (found.enthalpy.value - row.number("enthalpy_j_kg")));
        worst.note("entropy", &what, 1e-3 * (thermal.entropy.value - row.number("entropy_j_kg_k")));
        let capacity = row.number("heat_capacity_j_kg_k");
        worst.percent("heat capacity", &what, thermal.heat_capacity.value, capacity);
        // Empty where the grid does not hold the library's own: mixing rules, and what published values correct.
        if !row.text("viscosity_pa_s").is_empty() {
            worst.percent("viscosity", &what, found.viscosity.value, row.number("viscosity_pa_s"));
        }
        if !row.text("conductivity_w_m_k").is_empty() {
            let conductivity = row.number("conductivity_w_m_k");
            worst.percent("conductivity", &what, thermal.conductivity.value, conductivity);
        }
        if !row.text("surface_tension_n_m").is_empty() {
            let tension = fluid.surface_tension(BubbleTemperature::new(found.temperature)).unwrap();
            worst.percent("surface tension", &what, tension.value, row.number("surface_tension_n_m"));
        }
    }
}

/// Blends: quality and temperature between bubble and dew point by pressure and enthalpy. A pseudo-pure equation has ends of
/// its own: there the share of the enthalpy between them, and the departure from the straight line between their
/// temperatures, are what the mixture tells.
fn two_phase(worst: &mut Worst, fluid: &dyn Refrigerant) {
    let source = LIBRARY.property_table(worst.name).unwrap().provenance.source.text;
    let pseudo_pure = source.contains("pseudo-pure");
    let rows = read(&format!("cross/two_phase/{}.csv", worst.name));
    assert_eq!(rows.len(), TWO_PHASE, "{}", worst.name);
    for row in rows {
        let (bubble_k, share) = (row.number("bubble_temperature_k"), row.number("enthalpy_share"));
        let (pressure, enthalpy) = if pseudo_pure {
            let bubble = BubbleTemperature::new(ThermodynamicTemperature::new::<kelvin>(bubble_k));
            let pressure = fluid.at_bubble(bubble).unwrap().pressure;
            let ends = fluid.ends(pressure).unwrap();
            (pressure, ends.bubble.enthalpy + share * (ends.dew.enthalpy - ends.bubble.enthalpy))
        } else {
            let enthalpy = SpecificEnthalpy::new::<joule_per_kilogram>(row.number("enthalpy_j_kg"));
            (pascals(row.number("pressure_pa")), enthalpy)
        };
        let AnyState::TwoPhase(found) = fluid.state(pressure, enthalpy).unwrap() else {
            panic!("{}: not two-phase", row.place())
        };
        worst.note("quality", row.place(), 100.0 * (found.quality.value - row.number("quality")));
        let straight_k = |bubble_k: f64, dew_k: f64| bubble_k + share * (dew_k - bubble_k);
        let shifted_k = if pseudo_pure {
            straight_k(found.ends.bubble.temperature.value, found.ends.dew.temperature.value)
                - straight_k(bubble_k, row.number("dew_temperature_k"))
        } else {
            0.0
        };
        let off_k = found.temperature.value - shifted_k - row.number("temperature_k");
        worst.note("two-phase temperature", row.place(), off_k);
    }
}

#[test]
fn every_refrigerant_agrees_with_the_library_it_comes_from() {
    let mut all = Vec::new();
    for name in refrigerants() {
        let fluid = refrigerant(name);
        let mut worst = Worst::new(name);
        single_phase(&mut worst, fluid);
        if grid(name).glide.is_some() {
            two_phase(&mut worst, fluid);
        }
        for always in ["density", "enthalpy", "entropy", "heat capacity"] {
            assert_eq!(worst.compared(always), SATURATED + SINGLE_PHASE, "{name} {always}");
        }
        all.push(worst);
    }
    let misses: Vec<String> = all.iter().flat_map(Worst::misses).collect();
    println!("{}", table(&all));
    assert!(misses.is_empty(), "{}", misses.join("\n"));
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/properties/DEVIATIONS.md");
    if std::env::var_os("LINESET_ACCEPT").is_some() {
        fs::write(&file, table(&all)).unwrap();
    }
    let committed = fs::read_to_string(&file).unwrap_or_default();
    assert!(committed == table(&all), "DEVIATIONS.md is stale: run this test with LINESET_ACCEPT=1");
}

/// The worst deviations, rounded up to two digits.
fn table(all: &[Worst]) -> String {
    let mut text = String::from(
        "# Grids against the library they come from\n\n\
         Worst deviation of each quantity from CoolProp 8.0.0 called directly, over 240 random states of each refrigerant \
         (40 bubble, 40 dew, 80 superheated to 105 K, 80 subcooled to 60 K) from -55 °C (R-744: -53 °C) to 15 K below critical, and over 50 \
         two-phase states of each blend; rounded up. A dash: the grid does not hold the library's own (mixing rules of blends, \
         values that published data correct), or there is nothing to compare. Written by `tests/cross/coolprop_states.rs`.\n\n",
    );
    let heads = QUANTITIES.iter().map(|Quantity { name, unit, .. }| format!("{name}, {unit}"));
    let _ = writeln!(text, "| refrigerant | {} |", heads.collect::<Vec<_>>().join(" | "));
    let _ = writeln!(text, "|---|{}", "---|".repeat(QUANTITIES.len()));
    let admitted = QUANTITIES.iter().map(|quantity| format!("{}", quantity.admitted));
    let _ = writeln!(text, "| *admitted* | {} |", admitted.collect::<Vec<_>>().join(" | "));
    for worst in all {
        let cells = worst.deviations.iter().map(|(deviation, count, _)| match count {
            0 => "-".to_owned(),
            _ => rounded_up(*deviation),
        });
        let _ = writeln!(text, "| {} | {} |", worst.name, cells.collect::<Vec<_>>().join(" | "));
    }
    let reasons = QUANTITIES.iter().map(|Quantity { name, reason, .. }| format!("{name}: {reason}"));
    let _ = writeln!(text, "\nWhy so much is admitted: {}.", reasons.collect::<Vec<_>>().join("; "));
    text
}

fn rounded_up(deviation: f64) -> String {
    // Below a hundred-millionth nothing but rounding is left.
    if deviation < 1e-8 {
        return "0".to_owned();
    }
    let digit = 10_f64.powi(deviation.log10().floor() as i32 - 1);
    let rounded = (deviation / digit).ceil() * digit;
    if rounded < 1e-3 { format!("{rounded:.1e}") } else { format!("{}", (rounded * 1e6).round() / 1e6) }
}
