//! Balances of random sets: one to three circuits of real refrigerants, each with its compressor, and with lines or without;
//! condensers that draw one another's air, split and interlaced. Every answer is made up again from its parts, every refusal
//! has to be true by a slow solution of another kind. The draws are the same in every run.

use crate::{
    random::{Worst, for_all},
    support::*,
};
use physics::{
    balance::{Balance, BalanceError, Circuit, CircuitState, GREATEST_RESIDUAL, Tube, balance},
    compressor::{
        Compressor, CompressorError, CompressorMap, ConstantEfficiency, TemperatureScale, TenCoefficients,
    },
    condenser::{AIR_HEAT_CAPACITY_J_KG_K, SaturationReference},
    fluid::{GridRefrigerant, Phase, Refrigerant, Region, State},
    heat::Linear,
    layout::{Branch, Layout, LayoutError, Sharing, Unit},
    line::{Element, Flow, Inlet, Line, Local, MarchError, Tolerance, march_with_heat},
    units::{
        AbsolutePressure, MassRate, SpecificEnthalpy, TemperatureInterval, ThermalConductance,
        ThermalConductivity, VolumeRate, delta,
        unit::{
            thermal_conductance::watt_per_kelvin, thermal_conductivity::watt_per_meter_kelvin,
            volume_rate::cubic_meter_per_second,
        },
    },
};
use proptest::{prelude::*, test_runner::TestCaseResult};
use std::{
    cell::{Cell, RefCell},
    collections::BTreeMap,
    mem::discriminant,
};

/// Most of the tables; not R-744, whose critical point lies below a summer's day.
const REFRIGERANTS: [&str; 14] = [
    "R-134a", "R-404A", "R-449A", "R-290", "R-410A", "R-407C", "R-22", "R-507A", "R-455A", "R-454C",
    "R-1234yf", "R-600a", "R-32", "R-717",
];
/// Condensing temperature that compressors and condensers of a job are sized at.
const SIZED_AT_C: f64 = 45.0;
/// Bores of copper tube, mm.
const BORES_MM: [f64; 10] = [4.826, 8.001, 10.92, 13.84, 16.92, 19.94, 26.04, 32.13, 38.23, 50.42];
const ELBOW: physics::fittings::ThreeK = physics::fittings::ThreeK { k1: 800.0, k_infinity: 0.091, kd: 4.0 };

#[derive(Clone, Copy, Debug)]
struct Leg {
    length_m: f64,
    rise_share: f64,
    conductance_w_m_k: f64,
    surroundings_c: f64,
}

#[derive(Clone, Debug)]
struct Tubing {
    /// The narrowest tube in which the flow that the job is sized for is slower than this is taken.
    velocity_m_s: f64,
    legs: Vec<Leg>,
    elbows: u32,
}

#[derive(Clone, Debug)]
struct Set {
    name: &'static str,
    evaporating_c: f64,
    superheat_k: f64,
    capacity_w: f64,
    efficiency: f64,
    mapped: bool,
    subcooling_k: f64,
    held_c: Option<f64>,
    /// Of its condensers where it was sized.
    difference_k: f64,
    /// Share of them that stands in a second housing.
    elsewhere: f64,
    lines: [Option<Tubing>; 3],
}

#[derive(Clone, Debug)]
struct Job {
    sets: Vec<Set>,
    /// Effectiveness of each housing and whether its circuits are interlaced.
    housings: Vec<(f64, bool)>,
    draws: Vec<f64>,
    outdoor_c: f64,
    /// How much more one of the fractions grows, and which.
    more: (f64, prop::sample::Index),
}

/// A circuit that owns its lines.
#[derive(Clone)]
struct Built {
    fluid: &'static GridRefrigerant,
    suction: State,
    compressor: Compressor,
    subcooling: TemperatureInterval,
    lowest: Option<AbsolutePressure>,
    lines: [Option<(Line, Vec<Linear>)>; 3],
    conductance_w_k: f64,
}

impl Built {
    fn circuit(&self) -> Circuit<'_> {
        let [suction_line, discharge_line, liquid_line] = [0, 1, 2].map(|index| {
            self.lines[index].as_ref().map(|(line, exchanges)| Tube { line, exchanges: exchanges.as_slice() })
        });
        Circuit {
            fluid: self.fluid,
            suction: self.suction,
            compressor: self.compressor.clone(),
            subcooling: self.subcooling,
            lowest: self.lowest,
            suction_line,
            discharge_line,
            liquid_line,
        }
    }
}

fn conductance(w_k: f64) -> ThermalConductance {
    ThermalConductance::new::<watt_per_kelvin>(w_k)
}

fn mid_pressure(fluid: &dyn Refrigerant, at_c: f64) -> AbsolutePressure {
    SaturationReference::Mid.pressure(fluid, celsius(at_c)).unwrap()
}

/// Mass rate and power that fall and rise with the condensing temperature as those of a compressor do, through a point
/// (invented).
fn map(at: (f64, f64), rate_kg_s: f64, power_w: f64, superheat: TemperatureInterval) -> CompressorMap {
    let (s_0, d_0) = at;
    // k (1 + a (S - S0) + b (D - D0) + c (S - S0)² + d (D - D0)²), multiplied out.
    let row = |k: f64, [a, b, c, d]: [f64; 4]| {
        let constant = 1.0 - a * s_0 - b * d_0 + c * s_0 * s_0 + d * d_0 * d_0;
        let mut coefficients = [0.0; 10];
        let head = [constant, a - 2.0 * c * s_0, b - 2.0 * d * d_0, c, 0.0, d];
        coefficients[..6].copy_from_slice(&head.map(|one| k * one));
        TenCoefficients { coefficients, scale: TemperatureScale::Celsius, to_si: 1.0 }
    };
    CompressorMap {
        mass_rate: row(rate_kg_s, [0.035, -0.003, 0.0004, 0.0]),
        power: row(power_w, [0.012, 0.02, 0.0, 0.0001]),
        superheat,
        evaporating: celsius(-45.0)..=celsius(15.0),
        condensing: celsius(10.0)..=celsius(65.0),
    }
}

fn tubing(drawn: &Tubing, state: &State, rate_kg_s: f64) -> (Line, Vec<Linear>) {
    let volume_m3_s = rate_kg_s / state.density.value;
    let slow = |bore: f64| volume_m3_s / bore_mm(bore).area().value < drawn.velocity_m_s;
    let bore = BORES_MM.into_iter().find(|bore| slow(*bore)).unwrap_or(BORES_MM[9]);
    let mut elements = vec![Element::Fitting { coefficients: ELBOW, count: drawn.elbows }];
    let mut exchanges = Vec::new();
    for piece in &drawn.legs {
        elements.push(leg(piece.length_m, piece.rise_share * piece.length_m));
        exchanges.push(Linear {
            conductance: ThermalConductivity::new::<watt_per_meter_kelvin>(piece.conductance_w_m_k),
            surroundings: celsius(piece.surroundings_c),
        });
    }
    (line(bore_mm(bore), DRAWN_COPPER_UM, elements), exchanges)
}

impl Set {
    fn built(&self) -> Built {
        let fluid = refrigerant(self.name);
        let pressure = dew(fluid, celsius(self.evaporating_c)).pressure;
        let suction = fluid.vapour_at(pressure, celsius(self.evaporating_c + self.superheat_k)).unwrap();
        let condensing = mid_pressure(fluid, SIZED_AT_C);
        let liquid = fluid.ends(condensing).unwrap().bubble;
        let rate_kg_s = self.capacity_w / (suction.enthalpy - liquid.enthalpy).value;
        let swept = VolumeRate::new::<cubic_meter_per_second>(rate_kg_s / suction.density.value);
        // Such gas as ammonia's leaves the data where this efficiency is compressed from deep cold: a better machine then.
        let sized = [self.efficiency, 1.0].into_iter().find_map(|efficiency| {
            let constant = ConstantEfficiency::new(number(efficiency), swept).unwrap();
            let work = Compressor::Constant(constant).at(fluid, &suction, condensing).ok()?.value;
            let gas = fluid.vapour(condensing, work.discharge_enthalpy).ok()?;
            Some((constant, work.power.value, gas))
        });
        let (constant, power_w, gas) = sized.unwrap();
        let compressor = if self.mapped {
            let dew_c = fluid.dew_temperature(condensing).unwrap().get().value - 273.15;
            let made_with = kelvins((self.superheat_k + 5.0).min(20.0));
            Compressor::Map(Box::new(map((self.evaporating_c, dew_c), rate_kg_s, power_w, made_with)))
        } else {
            Compressor::Constant(constant)
        };
        let [on_suction, on_discharge, on_liquid] = &self.lines;
        Built {
            fluid,
            suction,
            compressor,
            subcooling: kelvins(self.subcooling_k),
            lowest: self.held_c.map(|at_c| mid_pressure(fluid, at_c)),
            lines: [
                on_suction.as_ref().map(|drawn| tubing(drawn, &suction, rate_kg_s)),
                on_discharge.as_ref().map(|drawn| tubing(drawn, &gas, rate_kg_s)),
                on_liquid.as_ref().map(|drawn| tubing(drawn, &liquid, rate_kg_s)),
            ],
            conductance_w_k: (self.capacity_w + power_w) / self.difference_k,
        }
    }
}

impl Job {
    fn layout(&self, built: &[Built]) -> Result<Layout, TestCaseError> {
        let (circuits, count) = (built.len(), self.housings.len());
        let mut shares: BTreeMap<(usize, usize), f64> = BTreeMap::new();
        for (index, set) in self.sets.iter().enumerate() {
            *shares.entry((index % count, index)).or_default() += 1.0;
            *shares.entry(((index + 1) % count, index)).or_default() += set.elsewhere;
        }
        shares.retain(|_, share| *share > 0.0);
        for unit in 0..count {
            if !shares.keys().any(|(other, _)| *other == unit) {
                shares.insert((unit, unit % circuits), 0.5);
            }
        }
        let whole =
            |circuit| shares.iter().filter(|((_, c), _)| *c == circuit).map(|(_, share)| share).sum::<f64>();
        let units: Vec<Unit> = self
            .housings
            .iter()
            .enumerate()
            .map(|(index, (effectiveness, interlaced))| {
                let here = shares.iter().filter(|((unit, _), _)| *unit == index);
                let branches: Vec<Branch> = here
                    .map(|((_, circuit), share)| Branch {
                        circuit: *circuit,
                        conductance: conductance(built[*circuit].conductance_w_k * share / whole(*circuit)),
                    })
                    .collect();
                let sum_w_k: f64 = branches.iter().map(|branch| branch.conductance.value).sum();
                let sharing = if *interlaced { Sharing::Interlaced } else { Sharing::Split };
                Unit {
                    air_rate: mass_rate(sum_w_k / (effectiveness * AIR_HEAT_CAPACITY_J_KG_K)),
                    branches,
                    sharing,
                }
            })
            .collect();
        let mut factor = 1.0;
        loop {
            let fraction = |i: usize, j: usize| factor * self.draws[3 * i + j];
            let rows: Vec<_> =
                (0..count).map(|i| (0..count).map(|j| number(fraction(i, j))).collect()).collect();
            match Layout::new(units.clone(), &rows, circuits) {
                Ok(layout) => return Ok(layout),
                // Small housings blow less than the great one beside them would draw.
                Err(LayoutError::MoreThanDischarged { from, drawn }) => {
                    let own = (0..count).map(|i| fraction(i, from) * units[i].air_rate.value).sum::<f64>();
                    prop_assert!((own / units[from].air_rate.value / drawn - 1.0).abs() < 1e-12);
                    factor *= 0.99 / drawn;
                }
                Err(other) => return Err(TestCaseError::fail(other.to_string())),
            }
        }
    }
}

fn tube(
    velocity_m_s: std::ops::Range<f64>,
    surroundings_c: std::ops::Range<f64>,
) -> impl Strategy<Value = Option<Tubing>> {
    let rise = prop_oneof![Just(0.0), Just(1.0), Just(-1.0), -1.0..1.0_f64];
    let exchanged = prop_oneof![Just(0.0), 0.05..0.4_f64, 0.1..2.0_f64];
    let leg = (0.5..12.0_f64, rise, exchanged, surroundings_c).prop_map(
        |(length_m, rise_share, conductance_w_m_k, surroundings_c)| Leg {
            length_m,
            rise_share,
            conductance_w_m_k,
            surroundings_c,
        },
    );
    let drawn = (velocity_m_s, prop::collection::vec(leg, 1..=3), 0..9_u32)
        .prop_map(|(velocity_m_s, legs, elbows)| Tubing { velocity_m_s, legs, elbows });
    prop::option::weighted(0.7, drawn)
}

fn set(lines: bool) -> impl Strategy<Value = Set> {
    let lines = if lines {
        (tube(5.0..18.0, -30.0..45.0), tube(5.0..20.0, -30.0..45.0), tube(0.3..1.5, -30.0..45.0)).boxed()
    } else {
        Just((None, None, None)).boxed()
    };
    let machine = (1_500.0..20_000.0_f64, 0.5..0.75_f64, any::<bool>());
    let evaporator = (-35.0..5.0_f64, 3.0..15.0_f64);
    let condenser =
        (5.0..30.0_f64, prop_oneof![Just(0.0), 0.1..1.0_f64], prop::option::of(15.0..35.0_f64), 0.0..8.0_f64);
    (prop::sample::select(&REFRIGERANTS[..]), evaporator, machine, condenser, lines).prop_map(
        |(name, (evaporating_c, superheat_k), (capacity_w, efficiency, mapped), condenser, lines)| {
            let (difference_k, elsewhere, held_c, subcooling_k) = condenser;
            Set {
                name,
                // Ammonia gets too hot for its data in one stage from deep cold.
                evaporating_c: if name == "R-717" { evaporating_c.max(-12.0) } else { evaporating_c },
                superheat_k,
                capacity_w,
                efficiency,
                mapped,
                subcooling_k,
                held_c,
                difference_k,
                elsewhere,
                lines: lines.into(),
            }
        },
    )
}

fn job(lines: bool) -> impl Strategy<Value = Job> {
    let draw = prop_oneof![Just(0.0), 0.0..0.15_f64, 0.0..0.32_f64];
    (
        prop::collection::vec(set(lines), 1..=3),
        prop::collection::vec((0.4..0.8_f64, any::<bool>()), 1..=3),
        prop::collection::vec(draw, 9),
        -30.0..48.0_f64,
        (0.01..0.2_f64, any::<prop::sample::Index>()),
    )
        .prop_map(|(sets, housings, draws, outdoor_c, more)| Job {
            sets,
            housings,
            draws,
            outdoor_c,
            more,
        })
}

/// A line marched again, in steps of another size than those of the balance; none where there is none.
fn line_outlet(
    built: &Built,
    index: usize,
    phase: Phase,
    pressure: AbsolutePressure,
    enthalpy: SpecificEnthalpy,
    mass_rate: MassRate,
) -> Option<Result<Local, MarchError>> {
    let (line, exchanges) = built.lines[index].as_ref()?;
    let inlet = Inlet { phase, pressure, enthalpy, mass_rate };
    let tolerance = Tolerance { step: number(3e-9) };
    let marched = march_with_heat(built.fluid, line, exchanges, inlet, tolerance, &mut |_| {});
    Some(marched.map(|outcome| outcome.value.outlet))
}

/// Whatever the lines exchange and lift comes back in the sum of energy: nothing is left out of it.
fn check_circuit(worst: &Worst, built: &Built, found: &CircuitState, job: &Job) -> TestCaseResult {
    /// A march admits a share of the pressure a step, a thousand times as much of what the step changes, and tenfold where two
    /// phases flow: with 1e-9 and 3e-9 two marches of these lines differ by this at most.
    const OTHER_STEPS: f64 = 1e-6;
    let rate = found.mass_rate;
    let same = |what: &'static str, one: f64, other: f64, scale: f64| -> TestCaseResult {
        let share = (one - other).abs() / scale;
        worst.note(what, share, job);
        prop_assert!(share < OTHER_STEPS, "{what}: {one} and {other}");
        Ok(())
    };
    let inlet = line_outlet(built, 0, Phase::Vapour, built.suction.pressure, built.suction.enthalpy, rate);
    let inlet = inlet.map_or_else(|| built.suction.into(), Result::unwrap);
    let (inlet_pa, latent) =
        (inlet.pressure.pascal(), (built.suction.enthalpy - found.liquid.enthalpy).value);
    same("compressor inlet, pressure", found.compressor_inlet.pressure.pascal(), inlet_pa, inlet_pa)?;
    same("compressor inlet, enthalpy", found.compressor_inlet.enthalpy.value, inlet.enthalpy.value, latent)?;
    let work = built.compressor.at(built.fluid, &found.compressor_inlet, found.compressor_outlet);
    let work = work.map_err(|error| TestCaseError::fail(error.to_string()))?.value;
    same("mass rate", work.mass_rate.value, rate.value, rate.value)?;
    same("power", work.power.value, found.power.value, found.power.value)?;
    let after = line_outlet(built, 1, Phase::Vapour, found.compressor_outlet, work.discharge_enthalpy, rate);
    let (after_pa, after_j_kg) = after
        .map(Result::unwrap)
        .map_or((found.compressor_outlet.pascal(), work.discharge_enthalpy.value), |outlet| {
            (outlet.pressure.pascal(), outlet.enthalpy.value)
        });
    let condensing_pa = found.condensing.pascal();
    same("condenser, pressure", after_pa, condensing_pa, condensing_pa)?;
    same("condenser, enthalpy", after_j_kg, found.condenser_enthalpy.value, latent)?;
    let bubble = built.fluid.ends(found.condensing).unwrap().bubble;
    let liquid_k = bubble.temperature.value - built.subcooling.value;
    same("liquid", found.liquid.temperature.value, liquid_k, liquid_k)?;
    let valve = line_outlet(built, 2, Phase::Liquid, found.condensing, found.liquid.enthalpy, rate);
    let (valve_pa, valve_j_kg) =
        valve.map(Result::unwrap).map_or((condensing_pa, found.liquid.enthalpy.value), |outlet| {
            (outlet.pressure.pascal(), outlet.enthalpy.value)
        });
    // Liquid that flashes and condenses again crosses its bubble line where the march finds it, to 1e-5 K and a step each time.
    let share = (found.valve_pressure.pascal() - valve_pa).abs() / condensing_pa;
    worst.note("valve, pressure", share, job);
    prop_assert!(share < 1e-4, "{valve_pa} Pa at the valve of {found:?}");
    same("valve, enthalpy", found.valve_enthalpy.value, valve_j_kg, latent)?;
    let rejected_w = rate.value * (after_j_kg - found.liquid.enthalpy.value);
    same("heat rejected", found.heat_rejection.value, rejected_w, rejected_w)?;
    let lines_j_kg = (inlet.enthalpy - built.suction.enthalpy).value
        + (after_j_kg - work.discharge_enthalpy.value)
        + (valve_j_kg - found.liquid.enthalpy.value);
    let sum_w = found.capacity.value + found.power.value + rate.value * lines_j_kg;
    same("energy", found.heat_rejection.value, sum_w, rejected_w)
}

/// Air of every housing from its neighbours', heat from the warmth of its coils.
fn check_air(worst: &Worst, layout: &Layout, found: &Balance, built: &[Built], job: &Job) -> TestCaseResult {
    const LINEAR_ALGEBRA: f64 = 1e-8;
    let outdoor = celsius(job.outdoor_c);
    for (index, (unit, state)) in layout.units().iter().zip(&found.units).enumerate() {
        let air_w_k = unit.air_rate.value * AIR_HEAT_CAPACITY_J_KG_K;
        let drawn =
            |from: usize| layout.fraction(index, from).unwrap().value * found.units[from].outlet.value;
        let inlet_k: f64 = (0..found.units.len()).map(drawn).sum();
        let taken_w: f64 = state.heats.iter().map(|heat| heat.value).sum();
        let outlet_k = inlet_k + taken_w / air_w_k;
        for (what, one, other) in
            [("inlet", state.inlet.value, inlet_k), ("outlet", state.outlet.value, outlet_k)]
        {
            let share = (one - other).abs() / outlet_k.abs().max(1.0);
            worst.note("air", share, job);
            prop_assert!(share < LINEAR_ALGEBRA, "air at the {what} of {index}: {one} and {other} K");
        }
        if unit.branches.iter().any(|branch| found.circuits[branch.circuit].held) {
            continue;
        }
        // All coils together heat the air as one of their mean warmth would.
        let mut warmth_w = 0.0;
        for (branch, heat) in unit.branches.iter().zip(&state.heats) {
            let (circuit, fluid) = (&found.circuits[branch.circuit], built[branch.circuit].fluid);
            let coil = SaturationReference::Mid.temperature(fluid, circuit.condensing).unwrap();
            let own_w = branch.conductance.value * (delta(coil, outdoor).value - inlet_k);
            warmth_w += own_w;
            if unit.sharing == Sharing::Split {
                prop_assert!((own_w / heat.value - 1.0).abs() < LINEAR_ALGEBRA, "{own_w} and {heat:?}");
            }
        }
        prop_assert!((warmth_w / taken_w - 1.0).abs() < LINEAR_ALGEBRA, "{warmth_w} and {taken_w} W");
    }
    for (index, circuit) in found.circuits.iter().enumerate() {
        let parts = layout
            .units()
            .iter()
            .zip(&found.units)
            .flat_map(|(unit, state)| unit.branches.iter().zip(&state.heats));
        let sum_w: f64 =
            parts.filter(|(branch, _)| branch.circuit == index).map(|(_, heat)| heat.value).sum();
        let share = (sum_w / circuit.heat_rejection.value - 1.0).abs();
        worst.note("heat of the condensers", share, job);
        prop_assert!(share <= 2.0 * GREATEST_RESIDUAL, "{sum_w} W of {circuit:?}");
        let lowest = built[index].lowest;
        prop_assert!(lowest.is_none_or(|lowest| circuit.condensing >= lowest));
        prop_assert_eq!(circuit.held, lowest == Some(circuit.condensing));
        prop_assert!(
            circuit.active_share.value > 0.0 && circuit.active_share.value <= 1.0 + 1e-9,
            "{circuit:?}"
        );
    }
    Ok(())
}

/// How a set without lines comes out when it is solved slowly: every coil by itself, its neighbours as they are, from the
/// coldest on. More warmth of one only ever warms the others, so they rise to the least answer, or one of them leaves its data.
#[derive(Debug, PartialEq)]
enum Slow {
    /// Warmth of every coil, K, and how near the nearest of them is to where its data or its compressor end.
    Balanced(Vec<f64>, f64),
    TooHot(usize),
    TooCold(usize),
    /// Nowhere can the compressor be computed.
    Nowhere(usize),
}

/// Heat that a circuit without lines has to reject at a warmth of its coils, W; none where it can not be computed.
fn heat_w(built: &Built, outdoor_c: f64, warmth_k: f64) -> Option<f64> {
    let fluid = built.fluid;
    let pressure = match SaturationReference::Mid.pressure(fluid, celsius(outdoor_c + warmth_k)) {
        Ok(pressure) => {
            built.lowest.map_or(pressure, |lowest| if pressure < lowest { lowest } else { pressure })
        }
        Err(outside) if outside.value < outside.low => built.lowest?,
        Err(_) => return None,
    };
    let work = built.compressor.at(fluid, &built.suction, pressure).ok()?.value;
    let bubble = fluid.ends(pressure).ok()?.bubble;
    let liquid = fluid.liquid_at(pressure, bubble.temperature - built.subcooling).ok()?;
    Some(work.mass_rate.value * (work.discharge_enthalpy - liquid.enthalpy).value)
}

/// Where a circuit can be computed, K above the outdoor air: ends to 1e-6 K.
fn domain(built: &Built, outdoor_c: f64) -> Option<(f64, f64)> {
    let good = |warmth_k: f64| heat_w(built, outdoor_c, warmth_k).is_some();
    let step = |index: u32| 0.01 + 2.0 * f64::from(index);
    let first = (0..80).map(step).find(|warmth| good(*warmth))?;
    let last = (0..80).map(step).take_while(|warmth| *warmth <= first || good(*warmth)).last()?;
    let edge = |mut inside: f64, mut outside: f64| {
        while (outside - inside).abs() > 1e-6 {
            let middle = 0.5 * (inside + outside);
            if good(middle) { inside = middle } else { outside = middle }
        }
        inside
    };
    let low = if first < 0.1 { first } else { edge(first, first - 2.0) };
    Some((low, edge(last, last + 2.0)))
}

fn slow(built: &[Built], layout: &Layout, outdoor_c: f64) -> Slow {
    let mut ends = Vec::new();
    for (index, one) in built.iter().enumerate() {
        let Some(domain) = domain(one, outdoor_c) else { return Slow::Nowhere(index) };
        ends.push(domain);
    }
    let mut warm_k: Vec<f64> = ends.iter().map(|(low, _)| *low).collect();
    for _ in 0..400 {
        let mut moved_k = 0.0_f64;
        for index in 0..built.len() {
            let excess = |warmth_k: f64| {
                let mut tried = warm_k.clone();
                tried[index] = warmth_k;
                let rejected =
                    layout.heats(&tried.iter().map(|one| kelvins(*one)).collect::<Vec<_>>())[index];
                rejected.value - heat_w(&built[index], outdoor_c, warmth_k).unwrap()
            };
            let (mut low, mut high) = ends[index];
            let (mut at_low, mut at_high) = (excess(low), excess(high));
            if at_high < 0.0 {
                return Slow::TooHot(index);
            }
            let found = if at_low > 0.0 {
                low
            } else {
                // False position, the end that stays losing half its weight.
                for _ in 0..60 {
                    let middle = (low * at_high - high * at_low) / (at_high - at_low);
                    let there = excess(middle);
                    if there < 0.0 {
                        (low, at_low, at_high) = (middle, there, 0.5 * at_high);
                    } else {
                        (high, at_high, at_low) = (middle, there, 0.5 * at_low);
                    }
                    if there.abs() < 1e-7 || high - low < 1e-11 {
                        break;
                    }
                }
                0.5 * (low + high)
            };
            moved_k = moved_k.max((found - warm_k[index]).abs());
            warm_k[index] = found;
        }
        if moved_k < 1e-9 {
            break;
        }
    }
    if let Some(index) = (0..built.len()).find(|index| warm_k[*index] <= ends[*index].0) {
        return Slow::TooCold(index);
    }
    let room = warm_k
        .iter()
        .zip(&ends)
        .map(|(warm, (low, high))| (warm - low).min(high - warm))
        .fold(f64::INFINITY, f64::min);
    Slow::Balanced(warm_k, room)
}

#[derive(Default)]
struct Count {
    answered: Cell<u32>,
    refused: RefCell<BTreeMap<String, u32>>,
}

fn run(jobs: u32, lines: bool) -> Count {
    let (worst, count) = (Worst::default(), Count::default());
    for_all(jobs, &job(lines), |job| {
        let built: Vec<Built> = job.sets.iter().map(Set::built).collect();
        let circuits: Vec<Circuit<'_>> = built.iter().map(Built::circuit).collect();
        let layout = job.layout(&built)?;
        let outdoor = celsius(job.outdoor_c);
        let found = match balance(&circuits, &layout, outdoor) {
            Ok(found) => found.value,
            Err(refused) => return refusal(&count, &refused, &built, &layout, &job, lines),
        };
        count.answered.set(count.answered.get() + 1);
        worst.note("residual", found.residual, &job);
        worst.note("steps", f64::from(found.steps), &job);
        prop_assert!(found.residual <= GREATEST_RESIDUAL);
        for (built, state) in built.iter().zip(&found.circuits) {
            check_circuit(&worst, built, state, &job)?;
        }
        check_air(&worst, &layout, &found, &built, &job)?;
        // One fraction more: nobody gets colder for it.
        let units = layout.units().len();
        let which = job.more.1.index(units * units);
        let (drawing, from) = (which / units, which % units);
        let fraction = layout.fraction(drawing, from).unwrap() + number(job.more.0);
        let Ok(worse) = layout.with_fraction(drawing, from, fraction) else { return Ok(()) };
        let Ok(worse) = balance(&circuits, &worse, outdoor) else { return Ok(()) };
        for (index, (before, after)) in found.circuits.iter().zip(&worse.value.circuits).enumerate() {
            // Liquid in a place warmer than itself flashes and takes up heat: the colder it comes, the more.
            let exchanges = built[index].lines[2].as_ref().map(|(_, exchanges)| exchanges);
            if exchanges.is_some_and(|all| all.iter().any(|one| one.conductance.value > 0.0)) {
                continue;
            }
            let gained = after.capacity.value / before.capacity.value - 1.0;
            worst.note("capacity gained by more recirculation", gained, &job);
            prop_assert!(gained < 1e-7, "{gained}");
        }
        Ok(())
    });
    println!("{} answered, refused {:?}", count.answered.get(), count.refused.borrow());
    count
}

fn refusal(
    count: &Count,
    refused: &BalanceError,
    built: &[Built],
    layout: &Layout,
    job: &Job,
    lines: bool,
) -> TestCaseResult {
    let class = match refused {
        BalanceError::Property { source, .. } => format!("property, {}", source.region),
        BalanceError::Compressor { source: CompressorError::Property(source), .. } => {
            format!("compressor, {}", source.region)
        }
        BalanceError::Compressor { source, .. } => format!("compressor: {source}"),
        BalanceError::Line { .. } => "line".to_owned(),
        other => return Err(TestCaseError::fail(other.to_string())),
    };
    let slowly = slow(built, layout, job.outdoor_c);
    *count
        .refused
        .borrow_mut()
        .entry(format!("{class}, {}", if lines { "with lines" } else { "without" }))
        .or_default() += 1;
    let (too_hot, too_cold) = match refused {
        BalanceError::Compressor { source: CompressorError::NotLifting, .. } => (false, true),
        BalanceError::Property { source, .. }
        | BalanceError::Compressor { source: CompressorError::Property(source), .. } => {
            (source.value > source.high, source.value < source.low)
        }
        _ => (false, false),
    };
    match (refused, slowly) {
        (_, Slow::TooHot(_)) => prop_assert!(too_hot || lines, "{refused}: too hot"),
        (_, Slow::TooCold(_)) => prop_assert!(too_cold || lines, "{refused}: too cold"),
        (_, Slow::Nowhere(_)) => {}
        (BalanceError::Property { circuit, source }, Slow::Balanced(warm, _))
            if source.region == Region::Superheat =>
        {
            let one = &built[*circuit];
            let rate = rate_at(one, job.outdoor_c, warm[*circuit]);
            let inlet = line_outlet(one, 0, Phase::Vapour, one.suction.pressure, one.suction.enthalpy, rate)
                .unwrap()
                .unwrap();
            // As wet as that, or so near that the little that the rate differs decides.
            let dew = one.fluid.dew_temperature(inlet.pressure).unwrap().get();
            let dry_k = delta(inlet.temperature, dew).value;
            prop_assert!(
                inlet.flow != Flow::Vapour || dry_k < 0.5,
                "{refused} although {inlet:?} enters the compressor"
            );
        }
        // Gas that a line brings warmer, or at less pressure, gets hotter; what the lines behind it drop may be what is too much.
        (_, Slow::Balanced(warm, _)) => {
            prop_assert!(lines);
            let mut met = Vec::new();
            let mut brought = built.to_vec();
            for (one, warm) in brought.iter_mut().zip(&warm) {
                let rate = rate_at(one, job.outdoor_c, *warm);
                match line_outlet(one, 0, Phase::Vapour, one.suction.pressure, one.suction.enthalpy, rate) {
                    Some(Ok(inlet)) => match one.fluid.vapour(inlet.pressure, inlet.enthalpy) {
                        Ok(suction) => one.suction = suction,
                        // No compressor here takes wet gas: whichever circuit is named, one of them has no balance.
                        Err(_) => return Ok(()),
                    },
                    Some(Err(error)) => met.push(error),
                    None => {}
                }
            }
            if let Slow::Balanced(warm, room_k) = slow(&brought, layout, job.outdoor_c) {
                met.extend(
                    brought.iter().zip(&warm).flat_map(|(one, warm)| line_errors(one, job.outdoor_c, *warm)),
                );
                // From a higher inlet pressure the gas would choke as well, at its outlet.
                let alike = |met: &MarchError, told: &MarchError| {
                    let choked = matches!(told, MarchError::NoInletPressure)
                        && matches!(met, MarchError::PressureUsedUp { .. });
                    choked || discriminant(met) == discriminant(told)
                };
                let of_lines = matches!(
                    refused,
                    BalanceError::Line { source, .. } if met.iter().any(|one| alike(one, source))
                );
                prop_assert!(of_lines || room_k < 3.0, "{refused} at {room_k} K from the end, {met:?}");
            }
        }
    }
    Ok(())
}

fn coil_pressure(built: &Built, outdoor_c: f64, warmth_k: f64) -> AbsolutePressure {
    let pressure = mid_pressure(built.fluid, outdoor_c + warmth_k);
    built.lowest.map_or(pressure, |lowest| if pressure < lowest { lowest } else { pressure })
}

fn rate_at(built: &Built, outdoor_c: f64, warmth_k: f64) -> MassRate {
    let pressure = coil_pressure(built, outdoor_c, warmth_k);
    built.compressor.at(built.fluid, &built.suction, pressure).unwrap().value.mass_rate
}

/// What discharge and liquid line refuse at the balance that a circuit would have without them.
fn line_errors(built: &Built, outdoor_c: f64, warmth_k: f64) -> Vec<MarchError> {
    let pressure = coil_pressure(built, outdoor_c, warmth_k);
    let work = built.compressor.at(built.fluid, &built.suction, pressure).unwrap().value;
    let bubble = built.fluid.ends(pressure).unwrap().bubble;
    let liquid = built.fluid.liquid_at(pressure, bubble.temperature - built.subcooling).unwrap();
    let gas = line_outlet(built, 1, Phase::Vapour, pressure, work.discharge_enthalpy, work.mass_rate);
    let liquid = line_outlet(built, 2, Phase::Liquid, pressure, liquid.enthalpy, work.mass_rate);
    [gas, liquid].into_iter().flatten().filter_map(Result::err).collect()
}

#[test]
fn sets_without_lines() {
    run(8500, false);
}

#[test]
fn sets_with_lines() {
    run(1500, true);
}
