//! Capacity of a line at a given drop of saturation temperature, the way that handbook tables are made: properties at
//! the inlet, the pressure gradient of the saturation line there, and a mass rate times an enthalpy difference.
//!
//! The gradient is the engine's: a march over a piece of line so short that the gas does not expand.

use super::{Row, quantities::*, refrigerant};
use physics::{
    fluid::{Refrigerant, State},
    line::{Line, Phase},
    uncertainty::Factors,
    units::{Bore, ThermodynamicTemperature},
};

/// So short that saturated liquid does not flash within it at the tables' gradients.
const PIECE_M: f64 = 1e-3;
/// So slow that it does not in any tube.
const SLOW_KG_S: f64 = 1e-3;

/// One tube with what enters it.
pub(crate) struct Task {
    fluid: &'static dyn Refrigerant,
    phase: Phase,
    inlet: State,
    line: Line,
}

impl Task {
    pub(crate) fn vapour(fluid: &'static dyn Refrigerant, inlet: State, bore: Bore) -> Self {
        Self::new(fluid, Phase::Vapour, inlet, bore)
    }

    pub(crate) fn liquid(fluid: &'static dyn Refrigerant, inlet: State, bore: Bore) -> Self {
        Self::new(fluid, Phase::Liquid, inlet, bore)
    }

    fn new(fluid: &'static dyn Refrigerant, phase: Phase, inlet: State, bore: Bore) -> Self {
        Self { fluid, phase, inlet, line: line(bore, DRAWN_COPPER_UM, vec![leg(PIECE_M, 0.0)]) }
    }

    /// The same tube with the viscosity multiplied by a factor.
    pub(crate) fn with_viscosity_times(mut self, factor: f64) -> Self {
        self.line.factors = Factors { viscosity: factor, ..Factors::default() };
        self
    }

    /// Mass rate at which the pressure falls by `gradient_pa_m`.
    pub(crate) fn rate_kg_s(&self, gradient_pa_m: f64) -> f64 {
        // The drop goes with a power of the flow between 1.75 and 2, so each step takes a digit or more.
        let mut rate_kg_s = 0.01;
        for _ in 0..60 {
            let ratio = gradient_pa_m / drop_pa_per_m(self, rate_kg_s);
            rate_kg_s *= ratio.powf(1.0 / 1.85);
            if (ratio - 1.0).abs() < 1e-9 {
                return rate_kg_s;
            }
        }
        panic!("no flow found for {gradient_pa_m} Pa/m");
    }

    /// Greatest velocity at a mass rate.
    pub(crate) fn velocity_m_s(&self, rate_kg_s: f64) -> f64 {
        outlet(self.fluid, &self.line, inlet(self.phase, &self.inlet, rate_kg_s)).velocity_max.value
    }
}

/// Friction alone: tables and charts of the trade leave out what accelerating gas costs.
pub(crate) fn drop_pa_per_m(task: &Task, rate_kg_s: f64) -> f64 {
    let outlet = outlet(task.fluid, &task.line, inlet(task.phase, &task.inlet, rate_kg_s));
    outlet.friction_drop.value / PIECE_M
}

/// Pressure gradient of a drop of dew (vapour) or bubble (liquid) temperature by `kelvin_per_m`: `p(T) - p(T - dT)` over
/// one metre. Taken over the whole 100 ft of the I-P tables the capacities come out 1 % lower and fit them less well.
pub(crate) fn gradient_pa_m(
    fluid: &dyn Refrigerant,
    phase: Phase,
    from: ThermodynamicTemperature,
    kelvin_per_m: f64,
) -> f64 {
    let to = from - kelvins(kelvin_per_m);
    let (from, to) = match phase {
        Phase::Vapour => (dew(fluid, from), dew(fluid, to)),
        Phase::Liquid => (bubble(fluid, from), bubble(fluid, to)),
    };
    from.pressure.pascal() - to.pressure.pascal()
}

/// What the criterion of a table asks for.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Criterion {
    /// Drop of saturation temperature, K/m.
    Drop { kelvin_per_m: f64 },
    /// Velocity, m/s.
    Velocity { metres_per_second: f64 },
}

impl Criterion {
    pub(crate) fn parse(text: &str) -> Self {
        let begins = |start: &str| text.starts_with(start);
        let per_hundred_feet =
            |fahrenheit: f64| Self::Drop { kelvin_per_m: fahrenheit / 1.8 / (100.0 * FOOT_M) };
        if begins("0.04 K/m") {
            Self::Drop { kelvin_per_m: 0.04 }
        } else if begins("0.02 K/m") {
            Self::Drop { kelvin_per_m: 0.02 }
        } else if begins("2 F per 100 ft") {
            per_hundred_feet(2.0)
        } else if begins("1 F per 100 ft") {
            per_hundred_feet(1.0)
        } else if begins("0.5 m/s") {
            Self::Velocity { metres_per_second: 0.5 }
        } else if begins("100 ft/min") {
            Self::Velocity { metres_per_second: 100.0 * FOOT_M / 60.0 }
        } else {
            panic!("criterion {text:?}")
        }
    }
}

/// Capacity of one row of a capacity table, kW. `gas` is the temperature of the discharge gas that the table assumes.
pub(crate) fn capacity_kw(row: &Row, viscosity_times: f64, gas: Option<ThermodynamicTemperature>) -> f64 {
    let fluid: &'static dyn Refrigerant = refrigerant(row.text("refrigerant"));
    let (evaporating, condensing) = (celsius(row.number("sat_suction_C")), celsius(row.number("cond_C")));
    let bore = bore_mm(row.number("tube_id_mm"));
    let liquid = bubble(fluid, condensing);
    let effect_kj_kg = (dew(fluid, evaporating).enthalpy - liquid.enthalpy).value / 1e3;
    let (task, saturation) = match (row.text("line"), gas) {
        ("suction", _) => (Task::vapour(fluid, dew(fluid, evaporating), bore), evaporating),
        ("discharge", Some(gas)) => {
            let state = fluid.vapour_at(dew(fluid, condensing).pressure, gas).unwrap();
            (Task::vapour(fluid, state, bore), condensing)
        }
        ("liquid", _) => (Task::liquid(fluid, liquid, bore), condensing),
        (other, _) => panic!("{}: line {other}, gas {gas:?}", row.place()),
    };
    let task = task.with_viscosity_times(viscosity_times);
    let rate_kg_s = match Criterion::parse(row.text("criterion")) {
        Criterion::Drop { kelvin_per_m } => {
            task.rate_kg_s(gradient_pa_m(fluid, task.phase, saturation, kelvin_per_m))
        }
        // Velocity is proportional to the flow.
        Criterion::Velocity { metres_per_second } => {
            metres_per_second * SLOW_KG_S / task.velocity_m_s(SLOW_KG_S)
        }
    };
    rate_kg_s * effect_kj_kg
}
