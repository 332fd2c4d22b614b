//! Any pressure, temperature and enthalpy give a finite state or a refusal, and a state given has heat and work.
#![no_main]

use libfuzzer_sys::fuzz_target;
use physics::{
    fluid::{AnyState, GridRefrigerant, OutsideRange, Refrigerant, State},
    units::{
        AbsolutePressure, BubbleTemperature, DewTemperature, SpecificEnthalpy, TemperatureInterval,
        ThermodynamicTemperature,
        unit::{
            available_energy::joule_per_kilogram, temperature_interval::kelvin as kelvin_interval,
            thermodynamic_temperature::kelvin,
        },
    },
};
use std::sync::LazyLock;

/// Pure, a blend with little glide, blends with much, and the one with the lowest critical temperature.
const NAMES: [&str; 6] = ["R-134a", "R-410A", "R-448A", "R-455A", "R-717", "R-744"];

static FLUIDS: LazyLock<Vec<GridRefrigerant>> = LazyLock::new(|| {
    let library = tables::Library::embedded().expect("the tests read the embedded tables");
    let fluid = |name| GridRefrigerant::new(&library.grid(name).expect("a grid")).expect("a refrigerant");
    NAMES.into_iter().map(fluid).collect()
});

/// A state is refused, or is finite and what has been asked for; then its heat and work are finite or refused.
fn judge(fluid: &dyn Refrigerant, found: Result<State, OutsideRange>) -> Option<State> {
    let state = match found {
        Ok(state) => state,
        Err(refused) => {
            assert!(!refused.to_string().is_empty());
            return None;
        }
    };
    let positive =
        [state.pressure.pascal(), state.temperature.value, state.density.value, state.viscosity.value];
    assert!(positive.iter().all(|value| value.is_finite() && *value > 0.0), "{state:?}");
    assert!(state.enthalpy.value.is_finite(), "{state:?}");
    let distance = state.saturation_distance;
    assert!(
        distance.value.is_finite() && distance >= TemperatureInterval::new::<kelvin_interval>(0.0),
        "{state:?}"
    );
    if let Ok(thermal) = fluid.thermal(&state) {
        assert!(thermal.entropy.value.is_finite(), "{state:?}: {thermal:?}");
        let positive = [thermal.heat_capacity.value, thermal.conductivity.value];
        assert!(positive.iter().all(|value| value.is_finite() && *value > 0.0), "{state:?}: {thermal:?}");
    }
    Some(state)
}

fn judge_any(fluid: &dyn Refrigerant, pressure: AbsolutePressure, enthalpy: SpecificEnthalpy) {
    match fluid.state(pressure, enthalpy) {
        Ok(AnyState::Liquid(state) | AnyState::Vapour(state)) => {
            assert!(state.pressure == pressure);
            judge(fluid, Ok(state));
        }
        Ok(AnyState::TwoPhase(mixture)) => {
            assert!((0.0..=1.0).contains(&mixture.quality.value), "{mixture:?}");
            assert!(mixture.temperature.value.is_finite() && mixture.temperature.value > 0.0, "{mixture:?}");
            judge(fluid, Ok(mixture.ends.bubble));
            judge(fluid, Ok(mixture.ends.dew));
        }
        Err(refused) => assert!(!refused.to_string().is_empty()),
    }
}

/// As it is, or folded into the span where states are; most bit patterns are no pressure at all.
fn folded(value: f64, fold: bool, low: f64, high: f64) -> f64 {
    if fold { low + (high - low) * (value.to_bits() as f64 / u64::MAX as f64) } else { value }
}

fuzz_target!(|input: (u8, u8, f64, f64, f64)| {
    let (which, fold, pressure, temperature, enthalpy) = input;
    let fluid: &dyn Refrigerant = &FLUIDS[usize::from(which) % NAMES.len()];
    let pressure = AbsolutePressure::from_pascal(folded(pressure, fold & 1 != 0, 1e4, 8e6));
    let temperature =
        ThermodynamicTemperature::new::<kelvin>(folded(temperature, fold & 2 != 0, 150.0, 500.0));
    let enthalpy = SpecificEnthalpy::new::<joule_per_kilogram>(folded(enthalpy, fold & 4 != 0, -2e5, 2e6));

    for found in [
        fluid.at_bubble(BubbleTemperature::new(temperature)),
        fluid.at_dew(DewTemperature::new(temperature)),
        fluid.vapour(pressure, enthalpy),
        fluid.liquid(pressure, enthalpy),
        fluid.vapour_at(pressure, temperature),
        fluid.liquid_at(pressure, temperature),
    ] {
        // A state given by temperature is a state by its own pressure and enthalpy, or refused.
        if let Some(state) = judge(fluid, found) {
            judge_any(fluid, state.pressure, state.enthalpy);
        }
    }
    judge_any(fluid, pressure, enthalpy);
    if let Ok(tension) = fluid.surface_tension(BubbleTemperature::new(temperature)) {
        assert!(tension.value.is_finite() && tension.value >= 0.0);
    }
    if let Ok(ends) = fluid.ends(pressure) {
        assert!(fluid.distance_to_last_saturation(pressure).is_ok_and(|distance_k| distance_k >= -1e-9));
        for state in [ends.bubble, ends.dew] {
            judge(fluid, Ok(state));
        }
    }
});
