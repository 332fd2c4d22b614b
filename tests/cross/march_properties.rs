//! What holds for every line, whatever flows in it: balances of energy, momentum and mass, independence of the steps, order,
//! continuity, and a typed answer to any input. Random lines of real refrigerants, liquid and gas, that climb and fall, pass
//! parts, and exchange heat until they flash or condense. The draws are the same in every run.

use crate::{
    random::{Worst, for_all},
    support::*,
};
use physics::{
    fittings::ThreeK,
    fluid::{Refrigerant, State},
    heat::Linear,
    line::{
        Element, Flow, Inlet, Line, Local, MarchError, Outlet, Phase, Station, Tolerance, march_with_heat,
    },
    two_phase::{self, VoidModel},
    units::{
        BubbleTemperature, Pressure, STANDARD_GRAVITY_M_S2, SpecificEnthalpy, TemperatureInterval,
        ThermalConductivity, ThermodynamicTemperature,
        unit::{
            available_energy::joule_per_kilogram, pressure::pascal, temperature_interval,
            thermal_conductivity::watt_per_meter_kelvin, thermodynamic_temperature::kelvin,
        },
    },
};
use proptest::prelude::*;

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

/// Enthalpy from what a station prints: pressure and temperature, or pressure and quality.
fn enthalpy_j_kg(fluid: &dyn Refrigerant, local: &Local) -> f64 {
    match local.flow {
        Flow::Liquid => {
            fluid.liquid_at(local.pressure, local.temperature).map_or(f64::NAN, |state| state.enthalpy.value)
        }
        Flow::Vapour => {
            fluid.vapour_at(local.pressure, local.temperature).map_or(f64::NAN, |state| state.enthalpy.value)
        }
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

fn kelvins_of(interval: TemperatureInterval) -> f64 {
    interval.get::<temperature_interval::kelvin>()
}

/// `p + G^2 v` and `h + (G v)^2/2 + g z` at the ends of the line differ by what was lost and by the heat: enthalpy anew from
/// pressure and temperature (or quality), the volume of momentum from the two-phase laws.
#[test]
fn energy_and_momentum_close() {
    /// J/kg: what liquid that cools by tens of kelvins changes of its kinetic energy, which the march leaves out (2 m/s:
    /// 2 J/kg, by a tenth). 0.2 mK.
    const KINETIC_OF_LIQUID_J_KG: f64 = 0.25;
    /// What a step may leave out of acceleration is a hundred-thousandth of the pressure; a line takes some ten steps.
    const STEPS_OF_SLOW_FLOW: f64 = 1e-4;
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
        let lacking_j_kg = (enthalpy + height + kinetic - outlet.heat.value / rate).abs();
        let allowed = KINETIC_OF_LIQUID_J_KG + 1e-6 * walked.heat_w() / rate;
        worst.note("energy lacking, J/kg", lacking_j_kg, &case);
        prop_assert!(lacking_j_kg < allowed, "{lacking_j_kg} J/kg of {allowed}");
        let accelerated = flux * flux * (outlet_m3_kg - inlet_m3_kg);
        let lacking = (outlet.acceleration_drop.value - accelerated).abs() / outlet.outlet.pressure.pascal();
        worst.note("momentum lacking, share of the pressure", lacking, &case);
        prop_assert!(lacking < STEPS_OF_SLOW_FLOW, "{lacking} of the pressure");
        Ok(())
    });
}

#[test]
fn smaller_steps_change_nothing_that_anyone_reads() {
    /// Of the drop (its parts in magnitude), the charge, the heat (likewise), the warming and the margin.
    const SHARE: f64 = 1e-3;
    /// Nobody measures less.
    const SMALL_K: f64 = 0.002;
    let worst = Worst::default();
    for_all(400, &any_case(), |case| {
        let found = marched(&case, 1, DEFAULT)?;
        for tolerance in [0.5 * DEFAULT, 0.1 * DEFAULT] {
            let finer = case.walk(1, tolerance).map_err(|error| TestCaseError::fail(error.to_string()))?;
            let (one, other) = (&found.outlet, &finer.outlet);
            let warmed = (one.outlet.temperature.value - one.inlet.temperature.value).abs();
            let by_k = (one.outlet.temperature.value - other.outlet.temperature.value).abs();
            let (margin, finer_margin) =
                (kelvins_of(one.least_phase_margin), kelvins_of(other.least_phase_margin));
            for (what, share) in [
                ("drop", (one.pressure_drop - other.pressure_drop).value.abs() / found.drop_pa()),
                ("charge", ((one.charge / other.charge).value - 1.0).abs()),
                ("heat", (one.heat - other.heat).value.abs() / found.heat_w().max(1e-9)),
                ("temperature beyond 2 mK", (by_k - SMALL_K) / warmed.max(1e-9)),
                (
                    "margin beyond 2 mK",
                    ((margin - finer_margin).abs() - SMALL_K) / (margin.abs() + case.distance_k),
                ),
            ] {
                worst.note(what, share, &case);
                prop_assert!(share < SHARE, "{what} moves by {share} at {tolerance}");
            }
        }
        Ok(())
    });
}

/// The line cut into 200 pieces a leg, and the density at their ends summed by trapezia.
#[test]
fn charge_is_density_times_volume() {
    /// One piece in which the flow turns to two phases is summed with half of it wrong: a share of 1/400 of its leg, in which
    /// the density falls by up to a fifth.
    const TRAPEZIA: f64 = 5e-4;
    /// Without one the sum is good to the square of a 200th.
    const SMOOTH: f64 = 1e-4;
    let worst = Worst::default();
    for_all(150, &any_case(), |case| {
        let found = marched(&case, 1, DEFAULT)?;
        let fine = case.walk(200, DEFAULT).map_err(|error| TestCaseError::fail(error.to_string()))?;
        let trapezium = |pair: &[Station]| {
            let sum = (pair[0].local.density + pair[1].local.density).value;
            0.5 * sum * (pair[1].position - pair[0].position).value
        };
        let area = fine.line.bore.area().value;
        let summed_kg = area * fine.stations.windows(2).map(trapezium).sum::<f64>();
        let share = (found.outlet.charge.value / summed_kg - 1.0).abs();
        let smooth = found.outlet.phase_changes[0].is_none();
        worst.note(if smooth { "charge, one phase" } else { "charge, phases change" }, share, &case);
        prop_assert!(share < if smooth { SMOOTH } else { TRAPEZIA }, "{share}");
        Ok(())
    });
}

fn quality(outlet: &Outlet) -> f64 {
    match outlet.outlet.flow {
        Flow::Liquid => 0.0,
        Flow::TwoPhase { quality, .. } => quality.value,
        Flow::Vapour => 1.0,
    }
}

fn level_liquid() -> impl Strategy<Value = Case> {
    case(Phase::Liquid).prop_map(|mut case| {
        // Never colder than the liquid that enters, nor than what has warmed it before.
        let liquid_c = case.saturation_c - case.distance_k;
        let mut around_c = liquid_c;
        for piece in &mut case.pieces {
            piece.rise_share = 0.0;
            around_c += (piece.surroundings_c + 40.0) / 110.0 * (75.0 - around_c);
            piece.surroundings_c = around_c;
        }
        case
    })
}

#[test]
fn level_liquid_lines_lose_margin_by_length_conductance_and_warmth() {
    /// The march is good to this (above).
    const SMALL_K: f64 = 0.002;
    const SHARE: f64 = 1e-3;
    let worst = Worst::default();
    let changes = (level_liquid(), any::<prop::sample::Index>(), 0..3_usize, 0.01..1.0_f64);
    for_all(500, &changes, |(case, which, what, by)| {
        let found = marched(&case, 1, DEFAULT)?;
        let mut harder = case.clone();
        let which = which.index(case.pieces.len());
        match what {
            0 => harder.pieces[which].length_m *= 1.0 + by,
            1 => harder.pieces[which].conductance_w_m_k += by,
            _ => harder.pieces[which..].iter_mut().for_each(|piece| piece.surroundings_c += 20.0 * by),
        }
        let worse = marched(&harder, 1, DEFAULT)?;
        // Friedel's friction is greatest at a quality of some 0.8: what evaporates sooner may lose less pressure.
        if [&found, &worse].iter().any(|walked| quality(&walked.outlet) > 0.5) {
            return Err(TestCaseError::reject("evaporates"));
        }
        let margin = kelvins_of(found.outlet.least_phase_margin);
        let gained = kelvins_of(worse.outlet.least_phase_margin) - margin;
        worst.note("margin gained, K", gained, &(what, by, &case));
        prop_assert!(gained <= SMALL_K + SHARE * (margin.abs() + case.distance_k), "{gained} K of {margin}");
        Ok(())
    });
}

#[test]
fn level_adiabatic_lines_lose_more_by_length_and_still_ones_nothing() {
    for_all(300, &(any_case(), 0.01..1.0_f64), |(mut case, by)| {
        for piece in &mut case.pieces {
            (piece.rise_share, piece.conductance_w_m_k) = (0.0, 0.0);
        }
        let found = marched(&case, 1, DEFAULT)?.outlet;
        case.pieces[0].length_m *= 1.0 + by;
        let longer = marched(&case, 1, DEFAULT)?.outlet;
        prop_assert!(longer.pressure_drop > found.pressure_drop);
        let still = Case { velocity_m_s: 0.0, ..case };
        let still = marched(&still, 1, DEFAULT)?.outlet;
        prop_assert_eq!(still.friction_drop + still.fittings_drop, Pressure::new::<pascal>(0.0));
        prop_assert_eq!(still.heat.value, 0.0);
        Ok(())
    });
}

/// Any number at all, or one that could be.
fn wild(likely: std::ops::Range<f64>) -> impl Strategy<Value = f64> {
    let odd = prop::sample::select(vec![
        0.0,
        -0.0,
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::MAX,
        1e-300,
        -1.0,
    ]);
    prop_oneof![40 => likely, 1 => any::<f64>(), 1 => odd]
}

/// A march ends, with an outlet whose numbers are numbers or with an error that says why.
#[test]
fn any_input_has_an_answer() {
    let piece = (
        wild(0.0..30.0),
        wild(-1.0..1.0),
        wild(0.0..3.0),
        wild(230.0..350.0),
        prop_oneof![
            wild(0.0..5.0).prop_map(|k| Element::Resistance { coefficient: number(k) }),
            (wild(0.0..900.0), wild(0.0..1.0), wild(0.0..5.0), 0..3_u32)
                .prop_map(|(k1, k_infinity, kd, count)| fitting(ThreeK { k1, k_infinity, kd }, count)),
            (wild(0.0..5.0), wild(0.0..1e5)).prop_map(|(k, cracking)| Element::CheckValve {
                coefficient: number(k),
                cracking: Pressure::new::<pascal>(cracking),
            }),
        ],
    );
    let inputs = (
        prop::sample::select(&REFRIGERANTS[..]),
        any::<bool>(),
        (wild(3e5..25e5), wild(200e3..460e3), wild(0.0..0.2)),
        (wild(4.0..30.0), wild(0.0..5.0)),
        prop::collection::vec(piece, 0..5),
        prop_oneof![4 => Just(1e-7), 1 => wild(1e-8..1e-5)],
    );
    let (answered, refused) = (std::cell::Cell::new(0), std::cell::Cell::new(0));
    for_all(
        4000,
        &inputs,
        |(name, is_liquid, (pressure_pa, enthalpy, rate), (bore, roughness), pieces, step)| {
            let (mut elements, mut exchanges) = (Vec::new(), Vec::new());
            for (length_m, rise, conductance, surroundings_k, part) in pieces {
                elements.extend([leg(length_m, rise), part]);
                exchanges.push(linear(conductance, surroundings_k));
            }
            let line = line(bore_mm(bore), roughness, elements);
            let inlet = Inlet {
                phase: if is_liquid { Phase::Liquid } else { Phase::Vapour },
                pressure: pascals(pressure_pa),
                enthalpy: SpecificEnthalpy::new::<joule_per_kilogram>(enthalpy),
                mass_rate: mass_rate(rate),
            };
            let tolerance = Tolerance { step: number(step) };
            match march_with_heat(refrigerant(name), &line, &exchanges, inlet, tolerance, &mut |_| {}) {
                Ok(found) => {
                    let outlet = found.value;
                    answered.set(answered.get() + 1);
                    for (what, value) in [
                        ("pressure", outlet.outlet.pressure.pascal()),
                        ("temperature", outlet.outlet.temperature.value),
                        ("density", outlet.outlet.density.value),
                        ("charge", outlet.charge.value + 1.0),
                    ] {
                        prop_assert!(value.is_finite() && value > 0.0, "{what} of {value}");
                    }
                    let parts = outlet.friction_drop + outlet.fittings_drop + outlet.static_drop;
                    prop_assert!(parts.value.is_finite() && outlet.heat.value.is_finite());
                }
                Err(error) => {
                    refused.set(refused.get() + 1);
                    prop_assert!(!error.to_string().is_empty());
                }
            }
            Ok(())
        },
    );
    println!("{} answered, {} refused", answered.get(), refused.get());
    assert!(answered.get() > 200 && refused.get() > 200, "both kinds are drawn");
}

/// Where flashing sets in, and where it ends, drop and charge bend but do not jump: of the widest step of a scan nothing is left
/// when its interval is halved again and again.
#[test]
fn nothing_jumps_where_flashing_sets_in() {
    const HALVINGS: u32 = 14;
    // Friction of two phases begins with the 0.78th power of the quality: of a step that is all bend this is left, and as much
    // again.
    let left: f64 = 2.0 * 0.5_f64.powf(0.78 * f64::from(HALVINGS));
    /// Two marches of almost the same line differ by the errors of their steps: share of the drop, as in smaller steps.
    const STEPS: f64 = 1e-3;
    let worst = Worst::default();
    for_all(60, &(case(Phase::Liquid), any::<bool>()), |(case, by_subcooling)| {
        let at = |share: f64| -> Result<[f64; 2], TestCaseError> {
            let mut case = case.clone();
            if by_subcooling {
                case.distance_k = 0.01 + 12.0 * share;
            } else {
                for piece in &mut case.pieces {
                    piece.conductance_w_m_k *= share;
                }
            }
            let outlet = marched(&case, 1, 0.01 * DEFAULT)?.outlet;
            Ok([outlet.pressure_drop.value, outlet.charge.value])
        };
        let scan = (0..=40).map(|step| at(f64::from(step) / 40.0)).collect::<Result<Vec<_>, _>>()?;
        for (index, what) in ["drop", "charge"].into_iter().enumerate() {
            let jump = |pair: &[[f64; 2]]| (pair[1][index] - pair[0][index]).abs();
            let widest =
                (0..40).max_by(|&a, &b| jump(&scan[a..=a + 1]).total_cmp(&jump(&scan[b..=b + 1]))).unwrap();
            let first = jump(&scan[widest..=widest + 1]);
            let (mut low, mut high) = (widest as f64 / 40.0, (widest + 1) as f64 / 40.0);
            let (mut at_low, mut at_high) = (at(low)?, at(high)?);
            for _ in 0..HALVINGS {
                let middle = 0.5 * (low + high);
                let found = at(middle)?;
                if jump(&[at_low, found]) > jump(&[found, at_high]) {
                    (high, at_high) = (middle, found);
                } else {
                    (low, at_low) = (middle, found);
                }
            }
            let share = jump(&[at_low, at_high]) / (left * first + STEPS * at_low[index].abs());
            worst.note(what, share, &(by_subcooling, first, &case));
            prop_assert!(share < 1.0, "{what} jumps: {share}");
        }
        Ok(())
    });
}
