//! Look-up of properties and start-up. See `benches/README.md`.
//!
//! The states are those of `benches/reference/properties_with_library.py`, taken in turn, so that neither side answers
//! one question from its caches.

// A bench that can not set up its job has nothing to measure.
#![allow(clippy::unwrap_used)]

use divan::{Bencher, black_box};
use physics::{
    fluid::{GridRefrigerant, Refrigerant, State},
    units::{DewTemperature, ThermodynamicTemperature, unit::thermodynamic_temperature::degree_celsius},
};
use std::{collections::BTreeMap, sync::LazyLock};
use tables::Library;

const NAMES: [&str; 3] = ["R-134a", "R-410A", "R-448A"];
const STATES: u32 = 64;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().unwrap());
static FLUIDS: LazyLock<BTreeMap<&str, GridRefrigerant>> =
    LazyLock::new(|| NAMES.map(|name| (name, fluid(name))).into());

fn main() {
    divan::main();
}

fn fluid(name: &str) -> GridRefrigerant {
    GridRefrigerant::new(&LIBRARY.grid(name).unwrap()).unwrap()
}

fn celsius(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(value)
}

/// From -40 to 40 °C, in no order.
fn dew_c(state: u32) -> f64 {
    -40.0 + 80.0 * f64::from(state * 37 % STATES) / f64::from(STATES - 1)
}

/// From 5 to 50 K, in no order.
fn superheat_k(state: u32) -> f64 {
    5.0 + 45.0 * f64::from(state * 23 % STATES) / f64::from(STATES - 1)
}

fn vapours(fluid: &dyn Refrigerant) -> impl Iterator<Item = State> + Clone {
    let at = |state| {
        let pressure = fluid.at_dew(DewTemperature::new(celsius(dew_c(state)))).unwrap().pressure;
        fluid.vapour_at(pressure, celsius(dew_c(state) + superheat_k(state))).unwrap()
    };
    (0..STATES).map(at).collect::<Vec<_>>().into_iter()
}

/// Pressure and density are read from the state; so are density and enthalpy below: a state holds them all.
#[divan::bench(args = NAMES)]
fn saturation_at_temperature(bencher: Bencher<'_, '_>, name: &str) {
    let fluid = &FLUIDS[name];
    let mut inputs = (0..STATES).map(|state| DewTemperature::new(celsius(dew_c(state)))).cycle();
    bencher
        .with_inputs(|| inputs.next().unwrap())
        .bench_local_values(|at| black_box(fluid).at_dew(at).unwrap());
}

#[divan::bench(args = NAMES)]
fn vapour_at_pressure_and_temperature(bencher: Bencher<'_, '_>, name: &str) {
    let fluid = &FLUIDS[name];
    let mut inputs = vapours(fluid).map(|state| (state.pressure, state.temperature)).cycle();
    bencher
        .with_inputs(|| inputs.next().unwrap())
        .bench_local_values(|(pressure, at)| black_box(fluid).vapour_at(pressure, at).unwrap());
}

#[divan::bench(args = NAMES)]
fn vapour_at_pressure_and_enthalpy(bencher: Bencher<'_, '_>, name: &str) {
    let fluid = &FLUIDS[name];
    let mut inputs = vapours(fluid).map(|state| (state.pressure, state.enthalpy)).cycle();
    bencher
        .with_inputs(|| inputs.next().unwrap())
        .bench_local_values(|(pressure, enthalpy)| black_box(fluid).vapour(pressure, enthalpy).unwrap());
}

/// The look-up by pressure and temperature again: the viscosity comes with the state.
#[divan::bench(args = NAMES)]
fn vapour_viscosity(bencher: Bencher<'_, '_>, name: &str) {
    let fluid = &FLUIDS[name];
    let mut inputs = vapours(fluid).map(|state| (state.pressure, state.temperature)).cycle();
    bencher
        .with_inputs(|| inputs.next().unwrap())
        .bench_local_values(|(pressure, at)| black_box(fluid).vapour_at(pressure, at).unwrap().viscosity);
}

/// Text of the grid to a refrigerant that answers.
#[divan::bench(args = NAMES)]
fn parse_one_refrigerant(name: &str) -> GridRefrigerant {
    fluid(name)
}

/// The small tables; grids are parsed when asked for.
#[divan::bench]
fn open_library() -> Library {
    Library::embedded().unwrap()
}
