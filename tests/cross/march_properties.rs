//! What holds for every line, whatever flows in it: balances of energy, momentum and mass, independence of the steps, order,
//! continuity, and a typed answer to any input. Random lines of real refrigerants, liquid and gas, that climb and fall, pass
//! parts, and exchange heat until they flash or condense. The draws are the same in every run.

use crate::support::*;
use physics::{
    fittings::ThreeK,
    fluid::{Refrigerant, State},
    heat::Linear,
    line::{Element, Flow, Inlet, Line, Local, MarchError, Outlet, Phase, Station, Tolerance, march_with_heat},
    two_phase::{self, VoidModel},
    units::{
        BubbleTemperature, Pressure, Ratio, STANDARD_GRAVITY_M_S2, SpecificEnthalpy, TemperatureInterval,
        ThermalConductivity, ThermodynamicTemperature,
        unit::{
            available_energy::joule_per_kilogram, pressure::pascal, temperature_interval,
            thermal_conductivity::watt_per_meter_kelvin, thermodynamic_temperature::kelvin,
        },
    },
};
use proptest::{
    prelude::*,
    test_runner::{Config, RngAlgorithm, TestCaseResult, TestRng, TestRunner},
};
use std::{cell::RefCell, fmt};

const REFRIGERANTS: [&str; 5] = ["R-134a", "R-449A", "R-410A", "R-404A", "R-455A"];
const ELBOW: ThreeK = ThreeK { k1: 800.0, k_infinity: 0.091, kd: 4.0 };

/// A leg, the part behind it, and what is around it.
#[derive(Clone, Copy, Debug)]
struct Piece {
    length_m: f64,
    rise_share: f64,
    conductance_w_m_k: f64,
    surroundings_c: f64,
    part: Part,
}

#[derive(Clone, Copy, Debug)]
enum Part {
    None,
    Elbows(u32),
    Resistance(f64),
    CheckValve(f64),
}

#[derive(Clone, Debug)]
struct Case {
    name: &'static str,
    phase: Phase,
    /// Bubble temperature of liquid, dew temperature of gas.
    saturation_c: f64,
    /// Subcooling or superheat.
    distance_k: f64,
    bore_mm: f64,
    velocity_m_s: f64,
    pieces: Vec<Piece>,
}

impl Case {
    fn state(&self) -> State {
        let fluid = refrigerant(self.name);
        match self.phase {
            Phase::Liquid => {
                let pressure = bubble(fluid, celsius(self.saturation_c)).pressure;
                fluid.liquid_at(pressure, celsius(self.saturation_c - self.distance_k)).unwrap()
            }
            Phase::Vapour => {
                let pressure = dew(fluid, celsius(self.saturation_c)).pressure;
                fluid.vapour_at(pressure, celsius(self.saturation_c + self.distance_k)).unwrap()
            }
        }
    }

    fn rate_kg_s(&self) -> f64 {
        self.velocity_m_s * self.state().density.value * bore_mm(self.bore_mm).area().value
    }

    fn inlet(&self) -> Inlet {
        inlet(self.phase, &self.state(), self.rate_kg_s())
    }

    /// The line with every leg cut into `cuts` equal ones.
    fn line(&self, cuts: u32) -> (Line, Vec<Linear>) {
        let (mut elements, mut exchanges) = (Vec::new(), Vec::new());
        for piece in &self.pieces {
            let length_m = piece.length_m / f64::from(cuts);
            for _ in 0..cuts {
                elements.push(leg(length_m, piece.rise_share * length_m));
                exchanges.push(linear(piece.conductance_w_m_k, piece.surroundings_c + 273.15));
            }
            match piece.part {
                Part::None => {}
                Part::Elbows(count) => elements.push(fitting(ELBOW, count)),
                Part::Resistance(coefficient) => {
                    elements.push(Element::Resistance { coefficient: number(coefficient) });
                }
                Part::CheckValve(cracking_pa) => elements.push(Element::CheckValve {
                    coefficient: number(2.0),
                    cracking: Pressure::new::<pascal>(cracking_pa),
                }),
            }
        }
        (line(bore_mm(self.bore_mm), DRAWN_COPPER_UM, elements), exchanges)
    }

    fn walk(&self, cuts: u32, tolerance: f64) -> Result<Walked, MarchError> {
        let (line, exchanges) = self.line(cuts);
        let mut stations = Vec::new();
        let tolerance = Tolerance { step: number(tolerance) };
        let mut observe = |station: &Station| stations.push(*station);
        march_with_heat(refrigerant(self.name), &line, &exchanges, self.inlet(), tolerance, &mut observe)
            .map(|outcome| Walked { outlet: outcome.value, stations, line })
    }
}

struct Walked {
    outlet: Outlet,
    stations: Vec<Station>,
    line: Line,
}

impl Walked {
    /// What the heat of all steps amounts to when gains and losses do not cancel, W.
    fn heat_w(&self) -> f64 {
        self.stations.windows(2).map(|pair| (pair[1].heat - pair[0].heat).value.abs()).sum()
    }

    /// What the drop would be if heights did not cancel, Pa.
    fn drop_pa(&self) -> f64 {
        let heights_m: f64 = self.line.legs().map(|(_, rise)| rise.value.abs()).sum();
        let density = self.outlet.inlet.density.value;
        let outlet = &self.outlet;
        (outlet.friction_drop + outlet.fittings_drop).value.abs()
            + outlet.acceleration_drop.value.abs()
            + density * STANDARD_GRAVITY_M_S2 * heights_m
    }
}

fn linear(conductance_w_m_k: f64, surroundings_k: f64) -> Linear {
    Linear {
        conductance: ThermalConductivity::new::<watt_per_meter_kelvin>(conductance_w_m_k),
        surroundings: ThermodynamicTemperature::new::<kelvin>(surroundings_k),
    }
}

fn part() -> impl Strategy<Value = Part> {
    prop_oneof![
        Just(Part::None),
        (1..4_u32).prop_map(Part::Elbows),
        (0.1..8.0_f64).prop_map(Part::Resistance),
        (0.0..3e4_f64).prop_map(Part::CheckValve),
    ]
}

fn piece() -> impl Strategy<Value = Piece> {
    let rise = prop_oneof![Just(0.0), Just(1.0), Just(-1.0), -1.0..1.0_f64];
    let conductance = prop_oneof![Just(0.0), 0.05..0.4_f64, 0.0..3.0_f64];
    (0.5..15.0_f64, rise, conductance, -40.0..70.0_f64, part()).prop_map(
        |(length_m, rise_share, conductance_w_m_k, surroundings_c, part)| Piece {
            length_m,
            rise_share,
            conductance_w_m_k,
            surroundings_c,
            part,
        },
    )
}

fn case(phase: Phase) -> impl Strategy<Value = Case> {
    let (saturation, distance, velocity) = match phase {
        Phase::Liquid => (20.0..50.0_f64, 0.2..20.0_f64, 0.1..2.0_f64),
        Phase::Vapour => (-30.0..50.0_f64, 0.5..50.0_f64, 2.0..18.0_f64),
    };
    let pieces = prop::collection::vec(piece(), 1..=6);
    (prop::sample::select(&REFRIGERANTS[..]), saturation, distance, 5.0..28.0_f64, velocity, pieces).prop_map(
        move |(name, saturation_c, distance_k, bore_mm, velocity_m_s, pieces)| Case {
            name,
            phase,
            saturation_c,
            distance_k,
            bore_mm,
            velocity_m_s,
            pieces,
        },
    )
}

fn any_case() -> impl Strategy<Value = Case> {
    prop_oneof![case(Phase::Liquid), case(Phase::Vapour)]
}

/// Runs a property on the same draws in every run.
fn for_all<S: Strategy>(cases: u32, strategy: &S, holds: impl Fn(S::Value) -> TestCaseResult)
where
    S::Value: fmt::Debug,
{
    let config =
        Config { cases, failure_persistence: None, max_global_rejects: 4 * cases, ..Config::default() };
    let mut runner = TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    runner.run(&strategy, holds).unwrap_or_else(|fault| panic!("{fault}"));
}

/// The worst of each kind, printed at the end.
#[derive(Default)]
struct Worst(RefCell<Vec<(&'static str, f64, String)>>);

impl Worst {
    fn note(&self, what: &'static str, share: f64, case: &dyn fmt::Debug) {
        let mut all = self.0.borrow_mut();
        match all.iter_mut().find(|(name, ..)| *name == what) {
            Some(found) if found.1 >= share => {}
            Some(found) => *found = (what, share, format!("{case:?}")),
            None => all.push((what, share, format!("{case:?}"))),
        }
    }
}

impl Drop for Worst {
    fn drop(&mut self) {
        for (what, share, case) in self.0.borrow().iter() {
            println!("{what}: worst {share:.3e} at {case}");
        }
    }
}

/// Enthalpy from what a station prints: pressure and temperature, or pressure and quality.
fn enthalpy_j_kg(fluid: &dyn Refrigerant, local: &Local) -> f64 {
    match local.flow {
        Flow::Liquid => fluid.liquid_at(local.pressure, local.temperature).map_or(f64::NAN, |state| state.enthalpy.value),
        Flow::Vapour => fluid.vapour_at(local.pressure, local.temperature).map_or(f64::NAN, |state| state.enthalpy.value),
        Flow::TwoPhase { quality, .. } => {
            let ends = fluid.ends(local.pressure).unwrap();
            let (mut low, mut high) = (ends.bubble.enthalpy.value, ends.dew.enthalpy.value);
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                let enthalpy = SpecificEnthalpy::new::<joule_per_kilogram>(middle);
                if fluid.two_phase(local.pressure, enthalpy).unwrap().quality < quality {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            0.5 * (low + high)
        }
    }
}

/// The momentum volume of a place, from the laws of flow alone.
fn momentum_m3_kg(fluid: &dyn Refrigerant, local: &Local, line: &Line, rate_kg_s: f64) -> f64 {
    let Flow::TwoPhase { quality, .. } = local.flow else { return 1.0 / local.density.value };
    let ends = fluid.ends(local.pressure).unwrap();
    let flow = two_phase::Flow {
        mass_flux: mass_rate(rate_kg_s) / line.bore.area(),
        quality,
        bore: line.bore,
        roughness: line.roughness,
        rise: number(0.0),
        liquid_density: ends.bubble.density,
        vapour_density: ends.dew.density,
        liquid_viscosity: ends.bubble.viscosity,
        vapour_viscosity: ends.dew.viscosity,
        surface_tension: fluid.surface_tension(BubbleTemperature::new(ends.bubble.temperature)).unwrap(),
    };
    1.0 / two_phase::mixture(&flow, VoidModel::Steiner).unwrap().value.momentum_density.value
}

/// Lines that are marched to their end, of those drawn.
fn marched(case: &Case, cuts: u32, tolerance: f64) -> Result<Walked, TestCaseError> {
    match case.walk(cuts, tolerance) {
        Ok(walked) => Ok(walked),
        Err(MarchError::PressureUsedUp { .. } | MarchError::Property { .. }) => {
            Err(TestCaseError::reject("no outlet"))
        }
        Err(other) => Err(TestCaseError::fail(other.to_string())),
    }
}

const DEFAULT: f64 = 1e-7;

#[test]
fn energy_momentum_and_parts_of_the_drop_close() {
    let worst = Worst::default();
    for_all(600, &any_case(), |case| {
        let walked = marched(&case, 1, DEFAULT)?;
        let (fluid, outlet, rate) = (refrigerant(case.name), &walked.outlet, case.rate_kg_s());
        let flux = rate / walked.line.bore.area().value;
        let inlet_m3_kg = 1.0 / outlet.inlet.density.value;
        let outlet_m3_kg = momentum_m3_kg(fluid, &outlet.outlet, &walked.line, rate);
        let enthalpy = enthalpy_j_kg(fluid, &outlet.outlet) - outlet.inlet.enthalpy.value;
        let height = STANDARD_GRAVITY_M_S2 * walked.line.lift().value;
        let kinetic = 0.5 * flux * flux * (outlet_m3_kg * outlet_m3_kg - inlet_m3_kg * inlet_m3_kg);
        let left_j_kg = enthalpy + height + kinetic - outlet.heat.value / rate;
        let heat = walked.heat_w() / rate;
        worst.note("energy, J/kg", left_j_kg.abs(), &(heat, kinetic, &case));
        worst.note("energy over heat", left_j_kg.abs() / (heat + 1.0), &(heat, kinetic, left_j_kg, &case));
        worst.note("energy less kinetic", (left_j_kg.abs() - 0.05 * kinetic.abs())/(heat+1.0), &(heat, kinetic, left_j_kg, &case));
        let accelerated = flux * flux * (outlet_m3_kg - inlet_m3_kg);
        let missed = (outlet.acceleration_drop.value - accelerated).abs();
        worst.note("momentum over drop", missed / walked.drop_pa(), &(missed, accelerated, &case));
        worst.note("momentum over pressure", missed / outlet.outlet.pressure.pascal(), &(missed, accelerated, &case));
        Ok(())
    });
}

#[test]
fn smaller_steps_change_nothing_that_anyone_reads() {
    let worst = Worst::default();
    for_all(400, &any_case(), |case| {
        let found = marched(&case, 1, DEFAULT)?;
        for tolerance in [0.5 * DEFAULT, 0.1 * DEFAULT] {
            let Ok(finer) = case.walk(1, tolerance) else {
                worst.note("lost", 1.0, &case);
                continue;
            };
            let (one, other) = (&found.outlet, &finer.outlet);
            let kelvins = |t: TemperatureInterval| t.get::<temperature_interval::kelvin>();
            let warmed = (one.outlet.temperature.value - one.inlet.temperature.value).abs();
            worst.note("drop", (one.pressure_drop - other.pressure_drop).value.abs() / found.drop_pa(), &(one.phase_changes, &case));
            worst.note("charge", ((one.charge / other.charge).value - 1.0).abs(), &(one.phase_changes, &case));
            worst.note("heat", (one.heat - other.heat).value.abs() / (found.heat_w() + 1e-3), &(one.phase_changes, &case));
            let by_k = (one.outlet.temperature.value - other.outlet.temperature.value).abs();
            worst.note("temperature beyond 2 mK", (by_k - 0.002) / (warmed + 1e-9), &(by_k, warmed, one.phase_changes, &case));
            let (a, b) = (kelvins(one.least_phase_margin), kelvins(other.least_phase_margin));
            worst.note("margin beyond 2 mK", ((a - b).abs() - 0.002) / (a.abs() + case.distance_k), &(a, b, one.phase_changes, &case));
        }
        Ok(())
    });
}

#[test]
fn charge_is_density_times_volume() {
    let worst = Worst::default();
    for_all(120, &any_case(), |case| {
        let found = marched(&case, 1, DEFAULT)?;
        let Ok(fine) = case.walk(200, DEFAULT) else { return Ok(()) };
        let area = fine.line.bore.area().value;
        let kg: f64 = fine
            .stations
            .windows(2)
            .map(|pair| {
                let mean = 0.5 * (pair[0].local.density + pair[1].local.density).value;
                mean * area * (pair[1].position - pair[0].position).value
            })
            .sum();
        worst.note("charge", (found.outlet.charge.value / kg - 1.0).abs(), &(found.outlet.phase_changes, &case));
        Ok(())
    });
}
