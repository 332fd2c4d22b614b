//! Viscosity, conductivity and surface tension of pure refrigerants and of four blends, from the grids, against published
//! tables, correlations, check values and measurements.
//!
//! `transport.csv` holds 1,055 rows of 14 components; the grids answer for those that are refrigerants of the library.
//! `data/generate/check_published.py` holds the same rows against the component models that the grids were made
//! of, all 14 included. Rows marked as rejected are counted, not compared; exceptions are listed for both checks at once.

use crate::support::*;
use physics::{
    fluid::{GridRefrigerant, OutsideRange, Refrigerant, State},
    units::{
        BubbleTemperature, DewTemperature, ThermodynamicTemperature, unit::thermodynamic_temperature::kelvin,
    },
};
use std::collections::BTreeMap;

/// What a look-up in the grid adds to the model behind it: the grids' target for viscosity. A dilute gas is extrapolated
/// from two pressures besides.
const GRID: f64 = 0.005;
/// How far a listed deviation may shift: the straight line to no density misses the bend of conductivity by up to 0.9 %
/// (R-744, whose least pressure is 6 bar).
const DILUTE: f64 = 0.01;

/// Viscosity in Pa s and conductivity in W/(m K).
fn viscosity_and_conductivity(fluid: &GridRefrigerant, state: &State) -> Result<(f64, f64), OutsideRange> {
    Ok((state.viscosity.value, fluid.thermal(state)?.conductivity.value))
}

/// A dilute gas: the straight line through the two least pressures of the grid, 8 K of dew temperature apart, carried to
/// no density; and by how much the gas at the lower pressure differs from it. `None` where the grid has no gas that cold
/// or that hot.
fn dilute(
    fluid: &GridRefrigerant,
    first_dew_k: f64,
    at: ThermodynamicTemperature,
) -> Option<[(f64, f64); 2]> {
    let gas = |dew_k: f64| {
        let dew = fluid.at_dew(DewTemperature::new(ThermodynamicTemperature::new::<kelvin>(dew_k))).ok()?;
        let state = fluid.vapour_at(dew.pressure, at).ok()?;
        Some((state.density.value, viscosity_and_conductivity(fluid, &state).ok()?))
    };
    // A gas that is too hot for the lowest row (105 K of superheat) is read from the lowest row that has it.
    let lowest =
        (0..20).map(|step| first_dew_k + 4.0 * f64::from(step)).find(|dew_k| gas(*dew_k).is_some())?;
    let (thin_kg_m3, thin) = gas(lowest)?;
    let (thick_kg_m3, thick) = gas(lowest + 8.0)?;
    let to_zero = |thin: f64, thick: f64| thin - (thick - thin) * thin_kg_m3 / (thick_kg_m3 - thin_kg_m3);
    let (viscosity, conductivity) = (to_zero(thin.0, thick.0), to_zero(thin.1, thick.1));
    Some([(viscosity, thin.0 / viscosity - 1.0), (conductivity, thin.1 / conductivity - 1.0)])
}

#[test]
fn pure_refrigerants() {
    let tolerances: BTreeMap<_, _> = read("published/data/transport_tolerances.csv")
        .iter()
        .map(|row| {
            let key = ["refrigerant", "quantity", "state"].map(|column| row.text(column).to_owned());
            (key, row.number("tolerance_pct") / 100.0)
        })
        .collect();
    let mut known = Known::of("transport.csv", DILUTE);
    let mut tallies: BTreeMap<String, Tally> = BTreeMap::new();
    let mut effect_of_density: BTreeMap<String, f64> = BTreeMap::new();
    let (mut other_components, mut rejected) = (0, 0);
    let library = refrigerants();
    for row in read("published/data/transport.csv") {
        let (name, quantity, at) =
            (row.text("refrigerant"), row.text("quantity"), celsius(row.number("T_C")));
        if !library.contains(&name) {
            other_components += 1;
            continue;
        }
        if !row.text("rejected").is_empty() {
            rejected += 1;
            continue;
        }
        let fluid = refrigerant(name);
        let found = match (row.text("state"), quantity) {
            ("bubble", "surface tension") => {
                fluid.surface_tension(BubbleTemperature::new(at)).ok().map(|tension| tension.value)
            }
            ("bubble", _) => fluid.at_bubble(BubbleTemperature::new(at)).ok().map(|state| {
                let (viscosity, conductivity) = viscosity_and_conductivity(fluid, &state).unwrap();
                if quantity == "viscosity" { viscosity } else { conductivity }
            }),
            ("dilute gas", _) => {
                let first_dew_k = grid(name).saturation.temperature_k[0];
                dilute(fluid, first_dew_k, at).map(|[viscosity, conductivity]| {
                    let (value, effect) = if quantity == "viscosity" { viscosity } else { conductivity };
                    let worst = effect_of_density.entry(format!("{name} {quantity}")).or_default();
                    if effect.abs() > worst.abs() {
                        *worst = effect;
                    }
                    value
                })
            }
            other => panic!("{}: {other:?}", row.place()),
        };
        let found = found.unwrap_or_else(|| panic!("{}: outside the grid", row.place()));
        let group = format!("{name} {} {quantity}", row.text("state"));
        let tolerance = tolerances[&[name, quantity, row.text("state")].map(str::to_owned)];
        let tally = tallies.entry(group.clone()).or_insert_with(|| Tally::new(group));
        known.compare(tally, &Known::key(&row), found, row.number("value"), tolerance + GRID);
    }
    for (what, effect) in effect_of_density {
        println!(
            "{what}: gas at the least pressure of the grid differs from the dilute gas by up to {:+.2} %",
            100.0 * effect
        );
    }
    let compared: usize = tallies.into_values().map(Tally::finish_and_count).sum();
    let met = known.finish_where(|key| library.contains(&key.split(" | ").next().unwrap_or_default()));
    println!(
        "{compared} rows within tolerance, {met} known exceptions, {rejected} rejected, {other_components} of components \
         that are no refrigerant here"
    );
    assert_eq!(compared + met + rejected + other_components, 1055);
    assert_eq!((rejected, other_components), (47, 222));
}

/// Check values and measurements, by id: `V-` viscosity, `T-` conductivity.
mod models {
    use super::*;

    /// The blend's own correlation is also the library's: the gap is the equation of state behind the density.
    const BLEND_VISCOSITY: f64 = 0.02;
    /// Measurements: the model's own error.
    const BLEND_CONDUCTIVITY: f64 = 0.025;
    /// A correlation that is the library's own, read through the grid.
    const CHECK_VALUE: f64 = 1e-4 + GRID;

    fn state(row: &Row, fluid: &GridRefrigerant) -> Option<State> {
        let inputs = row.text("inputs");
        let given = |key: &str| {
            row.pairs("inputs").iter().any(|(name, _)| *name == key).then(|| row.keyed("inputs", key))
        };
        let at = given("T_K").map(ThermodynamicTemperature::new::<kelvin>);
        let saturated = |temperature: ThermodynamicTemperature| {
            if inputs.contains("saturated liquid") {
                fluid.at_bubble(BubbleTemperature::new(temperature)).ok()
            } else if inputs.contains("saturated vapour") {
                fluid.at_dew(DewTemperature::new(temperature)).ok()
            } else {
                None
            }
        };
        if let (Some(evaporating), Some(superheat)) = (given("evap_C"), given("superheat_K")) {
            let dew = dew(fluid, celsius(evaporating));
            return fluid.vapour_at(dew.pressure, celsius(evaporating) + kelvins(superheat)).ok();
        }
        match given("p_MPa") {
            Some(pressure) => fluid.vapour_at(pascals(1e6 * pressure), at?).ok(),
            None => at.and_then(saturated),
        }
    }

    #[test]
    fn blends_and_check_values() {
        let library = refrigerants();
        let mut viscosity = Tally::new("viscosity of R-404A, R-407C, R-410A, R-507A");
        let mut conductivity = Tally::new("conductivity of the gas of R-404A, R-407C, R-410A, R-507A");
        let mut check = Tally::new("check values of transport models");
        let mut elsewhere = 0;
        for row in read("published/data/model_check_values.csv") {
            let name =
                row.pairs("inputs").iter().find(|(key, _)| *key == "refrigerant").map(|(_, name)| *name);
            // States of a given density, other components and mixture models: `check_published.py`.
            let name = name.filter(|name| library.contains(name));
            let found = name.and_then(|name| Some((refrigerant(name), state(&row, refrigerant(name))?)));
            let Some((fluid, state)) = found else {
                elsewhere += 1;
                continue;
            };
            let (id, expected) = (row.text("id"), row.number("value"));
            let (viscous, conducting) = viscosity_and_conductivity(fluid, &state).unwrap();
            let blend = LIBRARY.refrigerants().find(name.unwrap()).unwrap().components.value.len() > 1;
            match (row.text("unit"), blend) {
                ("uPa.s", true) => viscosity.relative(id, 1e6 * viscous, expected, BLEND_VISCOSITY),
                ("uPa.s", false) => check.relative(id, 1e6 * viscous, expected, CHECK_VALUE),
                ("mW/m.K", true) => conductivity.relative(id, 1e3 * conducting, expected, BLEND_CONDUCTIVITY),
                other => panic!("{id}: {other:?}"),
            }
        }
        viscosity.finish(19);
        conductivity.finish(8);
        // R-134a at 360 K; at 185 K it lies below the grid.
        check.finish(2);
        assert_eq!(elsewhere, 22);
    }
}
