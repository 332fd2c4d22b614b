//! Where compressor, lines and condensers meet: the condensing temperature, capacity and power that a set settles at.
//!
//! Three equations a circuit, solved together for all circuits whose condensers share air: the gas that the compressor moves
//! at its inlet and outlet pressure, the pressure that the discharge line leaves of it, and the heat that the condensers
//! reject at their temperature. The evaporating pressure stays as it is stated: what the load does to it is not modelled.

use crate::{
    compressor::{Compressor, CompressorError, Work},
    condenser::SaturationReference,
    fluid::{OutsideRange, Phase, Refrigerant, State},
    heat::Linear,
    layout::{Layout, UnitState},
    line::{Inlet, Line, MarchError, Tolerance, march_to_outlet, march_with_heat},
    operation::subcooled,
    outcome::{Caveats, Method, Outcome},
    units::{
        AbsolutePressure, MassRate, Power, Pressure, Ratio, SpecificEnthalpy, TemperatureInterval,
        ThermodynamicTemperature, delta,
    },
};
use nalgebra::{DMatrix, DVector, Dyn, LU};
use thiserror::Error;
use uom::si::{
    available_energy::joule_per_kilogram, mass_rate::kilogram_per_second, power::watt, pressure::pascal,
    ratio::ratio, temperature_interval::kelvin,
};

/// Greatest residual of an answer, relative to flow, pressure and heat.
pub const GREATEST_RESIDUAL: f64 = 1e-8;
/// What the equations are solved to before the lines are marched again.
const INNER_RESIDUAL: f64 = 1e-11;
/// Rough law of a drop between two marches: turbulent friction goes with the 1.8th power of the mass rate (Blasius).
const DROP_EXPONENT: f64 = 1.8;
const MARCH_STEP: f64 = 1e-9;

/// A tube with what its legs exchange with their places.
#[derive(Clone, Copy, Debug)]
pub struct Tube<'a> {
    /// The line.
    pub line: &'a Line,
    /// Heat of its legs; empty for none.
    pub exchanges: &'a [Linear],
}

/// One circuit: from evaporator outlet to expansion valve.
#[derive(Clone)]
pub struct Circuit<'a> {
    /// Refrigerant.
    pub fluid: &'a dyn Refrigerant,
    /// Gas leaving the evaporator.
    pub suction: State,
    /// Compressor.
    pub compressor: Compressor,
    /// Liquid leaving the condenser (or the receiver behind it) below its bubble line.
    pub subcooling: TemperatureInterval,
    /// Lowest pressure at the condenser that the head-pressure control holds; none where it floats.
    pub lowest: Option<AbsolutePressure>,
    /// From evaporator to compressor; none where they stand together.
    pub suction_line: Option<Tube<'a>>,
    /// From compressor to condenser.
    pub discharge_line: Option<Tube<'a>>,
    /// From condenser to valve.
    pub liquid_line: Option<Tube<'a>>,
}

/// One circuit in balance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CircuitState {
    /// Pressure at the condenser inlet.
    pub condensing: AbsolutePressure,
    /// Whether the head-pressure control holds it up.
    pub held: bool,
    /// Share of the condenser that is needed at that pressure; 1 where it floats.
    pub active_share: Ratio,
    /// Pressure at the compressor outlet.
    pub compressor_outlet: AbsolutePressure,
    /// Gas entering the compressor.
    pub compressor_inlet: State,
    /// Enthalpy at the compressor outlet.
    pub discharge_enthalpy: SpecificEnthalpy,
    /// Enthalpy at the condenser inlet.
    pub condenser_enthalpy: SpecificEnthalpy,
    /// Liquid leaving the condenser.
    pub liquid: State,
    /// Pressure at the end of the liquid line.
    pub valve_pressure: AbsolutePressure,
    /// Enthalpy at the end of the liquid line.
    pub valve_enthalpy: SpecificEnthalpy,
    /// Mass rate.
    pub mass_rate: MassRate,
    /// Cold made at the evaporator.
    pub capacity: Power,
    /// Input to the compressor.
    pub power: Power,
    /// Heat rejected.
    pub heat_rejection: Power,
}

/// All circuits of a layout in balance.
#[derive(Clone, Debug, PartialEq)]
pub struct Balance {
    /// The circuits.
    pub circuits: Vec<CircuitState>,
    /// The condensers, their air above the outdoor air.
    pub units: Vec<UnitState>,
    /// Greatest residual of the equations, relative to flow, pressure and heat.
    pub residual: f64,
    /// Newton steps taken.
    pub steps: u32,
    solution: Vec<(Unknowns, Losses)>,
}

/// Why there is no balance.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum BalanceError {
    /// Layout and circuits do not belong together.
    #[error("the layout has condensers for another number of circuits")]
    Circuits,
    /// The condensing pressure would leave the property data: too hot for the refrigerant, or too cold.
    #[error("circuit {circuit}: {source}")]
    Property {
        /// The circuit, from 0.
        circuit: usize,
        /// What lies outside.
        source: OutsideRange,
    },
    /// The compressor gives no answer.
    #[error("circuit {circuit}: {source}")]
    Compressor {
        /// The circuit, from 0.
        circuit: usize,
        /// Why.
        source: CompressorError,
    },
    /// A line can not carry the flow.
    #[error("circuit {circuit}: {source}")]
    Line {
        /// The circuit, from 0.
        circuit: usize,
        /// Why.
        source: MarchError,
    },
    /// The equations were not solved.
    #[error(
        "no balance found: after {steps} steps flow, pressure or heat is still off by {residual:.1e} of itself"
    )]
    NoConvergence {
        /// Newton steps taken.
        steps: u32,
        /// Greatest residual left.
        residual: f64,
    },
}

/// The balance of circuits whose condensers stand in a layout, in outdoor air of a temperature.
///
/// Newton's method with halved steps for condensing temperature, mass rate and compressor outlet pressure of every circuit;
/// the lines are marched at the solution and the equations solved again until both agree to
/// [`GREATEST_RESIDUAL`]. Where the condensers would let the pressure fall below the lowest one that is held, it stands there.
///
/// # Errors
/// [`BalanceError`].
pub fn balance(
    circuits: &[Circuit<'_>],
    layout: &Layout,
    outdoor_air: ThermodynamicTemperature,
) -> Result<Outcome<Balance>, BalanceError> {
    fit_together(circuits, layout)?;
    solve(Solver::new(circuits, layout, outdoor_air)?)
}

/// [`balance`], begun at that of the same circuits in other air or another layout: faster, the nearer they are. Where that leads
/// nowhere it begins anew.
///
/// # Errors
/// [`BalanceError`].
pub fn balance_from(
    circuits: &[Circuit<'_>],
    layout: &Layout,
    outdoor_air: ThermodynamicTemperature,
    near: &Balance,
) -> Result<Outcome<Balance>, BalanceError> {
    fit_together(circuits, layout)?;
    if near.solution.len() == circuits.len()
        && let Ok(found) = Solver::near(circuits, layout, outdoor_air, &near.solution).and_then(solve)
    {
        return Ok(found);
    }
    balance(circuits, layout, outdoor_air)
}

fn fit_together(circuits: &[Circuit<'_>], layout: &Layout) -> Result<(), BalanceError> {
    let zero = vec![TemperatureInterval::new::<kelvin>(0.0); circuits.len()];
    if circuits.is_empty() || layout.heats(&zero).len() != circuits.len() {
        return Err(BalanceError::Circuits);
    }
    Ok(())
}

fn solve(mut solver: Solver<'_>) -> Result<Outcome<Balance>, BalanceError> {
    let mut left = f64::INFINITY;
    for turn in 1..=60 {
        solver.settle()?;
        left = solver.march_again()?;
        if left <= 0.1 * GREATEST_RESIDUAL {
            return solver.finish();
        }
        if turn % 10 == 0 {
            // Where a line loses much of its pressure, other steps for almost the same flow give another drop: smaller ones less.
            solver.march_step = (0.1 * solver.march_step).max(Tolerance::FINEST);
        }
    }
    Err(BalanceError::NoConvergence { steps: solver.steps, residual: left })
}

/// Unknowns of one circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Unknowns {
    /// Coil above the outdoor air, K.
    warmth_k: f64,
    mass_rate_kg_s: f64,
    outlet_pa: f64,
}

/// Losses of the lines of one circuit as the last march found them.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Losses {
    mass_rate_kg_s: f64,
    suction_pa: f64,
    suction_j_kg: f64,
    discharge_pa: f64,
    discharge_j_kg: f64,
    /// Pressure at the compressor outlet that the discharge drop belongs to.
    outlet_pa: f64,
}

impl Losses {
    /// What stays about the same when mass rate and pressure change: the resistance of both lines, and what they take up.
    fn kept(&self) -> [f64; 4] {
        let flow = self.mass_rate_kg_s.powf(DROP_EXPONENT);
        let discharge = self.discharge_pa * self.outlet_pa / flow;
        [self.suction_pa / flow, discharge, self.suction_j_kg, self.discharge_j_kg]
    }

    /// The same with others of these.
    fn with_kept(self, [suction, discharge, suction_j_kg, discharge_j_kg]: [f64; 4]) -> Self {
        let flow = self.mass_rate_kg_s.powf(DROP_EXPONENT);
        let (suction_pa, discharge_pa) = (suction * flow, discharge * flow / self.outlet_pa);
        Self { suction_pa, discharge_pa, suction_j_kg, discharge_j_kg, ..self }
    }
}

/// What a march was asked with and what it gave, of every circuit ([`Losses::kept`]).
type Turn = Vec<([f64; 4], [f64; 4])>;

/// The secant method on `given(asked) = asked`; a plain step where two turns say nothing of the slope.
fn secant(asked: f64, given: f64, before: (f64, f64)) -> f64 {
    let slope = (given - before.1) / (asked - before.0);
    if slope.is_finite() && (-20.0..0.8).contains(&slope) {
        asked + (given - asked) / (1.0 - slope)
    } else {
        given
    }
}

/// The compressor between the gas that a suction line leaves it and an outlet pressure.
#[derive(Clone, Copy, Debug)]
struct Worked {
    inlet: State,
    work: Work,
    caveats: Caveats,
}

/// A coil of a warmth: its pressure, and the liquid that leaves it.
#[derive(Clone, Copy, Debug)]
struct Coil {
    condensing: AbsolutePressure,
    held: bool,
    liquid: State,
}

/// What the equations of one circuit are made of.
#[derive(Clone, Copy, Debug)]
struct Terms {
    worked: Worked,
    coil: Coil,
    condenser_enthalpy: SpecificEnthalpy,
    heat_w: f64,
    flow: f64,
    pressure: f64,
}

struct Solver<'a> {
    circuits: &'a [Circuit<'a>],
    layout: &'a Layout,
    outdoor_air: ThermodynamicTemperature,
    unknowns: Vec<Unknowns>,
    losses: Vec<Losses>,
    /// The slopes last taken: they serve as long as their steps do.
    slopes: Option<LU<f64, Dyn, Dyn>>,
    last_turn: Option<Turn>,
    march_step: f64,
    steps: u32,
}

impl<'a> Solver<'a> {
    fn begun_at(
        circuits: &'a [Circuit<'a>],
        layout: &'a Layout,
        outdoor_air: ThermodynamicTemperature,
        unknowns: Vec<Unknowns>,
        losses: Vec<Losses>,
    ) -> Self {
        let (slopes, last_turn) = (None, None);
        Self {
            circuits,
            layout,
            outdoor_air,
            unknowns,
            losses,
            slopes,
            last_turn,
            march_step: MARCH_STEP,
            steps: 0,
        }
    }

    /// A first guess: every coil 15 K above the air, or as near to that as the data reach, lines without loss.
    fn new(
        circuits: &'a [Circuit<'a>],
        layout: &'a Layout,
        outdoor_air: ThermodynamicTemperature,
    ) -> Result<Self, BalanceError> {
        let mut unknowns = Vec::new();
        for (index, circuit) in circuits.iter().enumerate() {
            let guess = |warmth_k: f64| -> Result<Unknowns, BalanceError> {
                let condensing = condensing(index, circuit, outdoor_air, warmth_k)?.0;
                let work = circuit
                    .compressor
                    .at(circuit.fluid, &circuit.suction, condensing)
                    .map_err(|source| BalanceError::Compressor { circuit: index, source })?;
                Ok(Unknowns {
                    warmth_k,
                    mass_rate_kg_s: work.value.mass_rate.get::<kilogram_per_second>(),
                    outlet_pa: condensing.pascal(),
                })
            };
            let others = || [5.0, 30.0, 1.0, 45.0, 60.0].into_iter().find_map(|warmth| guess(warmth).ok());
            unknowns.push(guess(15.0).or_else(|first| others().ok_or(first))?);
        }
        let losses = unknowns
            .iter()
            .map(|one| Losses {
                mass_rate_kg_s: one.mass_rate_kg_s,
                outlet_pa: one.outlet_pa,
                ..Losses::default()
            })
            .collect();
        Ok(Self::begun_at(circuits, layout, outdoor_air, unknowns, losses))
    }

    /// Every coil as warm against the air as in another balance, lines with its losses.
    fn near(
        circuits: &'a [Circuit<'a>],
        layout: &'a Layout,
        outdoor_air: ThermodynamicTemperature,
        solution: &[(Unknowns, Losses)],
    ) -> Result<Self, BalanceError> {
        let (unknowns, losses) = solution.iter().copied().unzip();
        let mut solver = Self::begun_at(circuits, layout, outdoor_air, unknowns, losses);
        for (index, circuit) in circuits.iter().enumerate() {
            let one = &mut solver.unknowns[index];
            let condensing_pa = condensing(index, circuit, outdoor_air, one.warmth_k)?.0.pascal();
            // What the discharge line drops goes with the inverse of its pressure.
            one.outlet_pa = condensing_pa + solver.losses[index].discharge_pa * one.outlet_pa / condensing_pa;
        }
        Ok(solver)
    }

    fn worked(&self, index: usize, unknowns: Unknowns) -> Result<Worked, BalanceError> {
        let (circuit, losses) = (&self.circuits[index], self.losses[index]);
        let inlet = if circuit.suction_line.is_some() {
            let pressure_pa = circuit.suction.pressure.pascal() - losses.suction_pa * law(unknowns, losses);
            let warmed = circuit.suction.enthalpy + joules(losses.suction_j_kg);
            circuit
                .fluid
                .vapour(AbsolutePressure::from_pascal(pressure_pa), warmed)
                .map_err(|source| BalanceError::Property { circuit: index, source })?
        } else {
            circuit.suction
        };
        let work = circuit
            .compressor
            .at(circuit.fluid, &inlet, AbsolutePressure::from_pascal(unknowns.outlet_pa))
            .map_err(|source| BalanceError::Compressor { circuit: index, source })?;
        Ok(Worked { inlet, work: work.value, caveats: work.caveats })
    }

    fn coil(&self, index: usize, unknowns: Unknowns) -> Result<Coil, BalanceError> {
        let circuit = &self.circuits[index];
        let (condensing, held) = condensing(index, circuit, self.outdoor_air, unknowns.warmth_k)?;
        let liquid = subcooled(circuit.fluid, condensing, circuit.subcooling)
            .map_err(|source| BalanceError::Property { circuit: index, source })?;
        Ok(Coil { condensing, held, liquid })
    }

    fn terms(&self, index: usize, unknowns: Unknowns, worked: Worked, coil: Coil) -> Terms {
        let losses = self.losses[index];
        let drop_pa = losses.discharge_pa * law(unknowns, losses) * losses.outlet_pa / unknowns.outlet_pa;
        let condenser_enthalpy = worked.work.discharge_enthalpy + joules(losses.discharge_j_kg);
        let carried_j_kg = (condenser_enthalpy - coil.liquid.enthalpy).get::<joule_per_kilogram>();
        Terms {
            worked,
            coil,
            condenser_enthalpy,
            heat_w: unknowns.mass_rate_kg_s * carried_j_kg,
            flow: unknowns.mass_rate_kg_s / worked.work.mass_rate.get::<kilogram_per_second>() - 1.0,
            pressure: (unknowns.outlet_pa - drop_pa) / coil.condensing.pascal() - 1.0,
        }
    }

    fn all_terms(&self, unknowns: &[Unknowns]) -> Result<Vec<Terms>, BalanceError> {
        let of = |(index, one): (usize, &Unknowns)| {
            Ok(self.terms(index, *one, self.worked(index, *one)?, self.coil(index, *one)?))
        };
        unknowns.iter().enumerate().map(of).collect()
    }

    /// Heat that the condensers reject, W.
    fn rejected(&self, unknowns: &[Unknowns]) -> Vec<f64> {
        self.layout.heats(&warmths(unknowns)).iter().map(|heat| heat.get::<watt>()).collect()
    }

    fn residuals(&self, unknowns: &[Unknowns], terms: &[Terms]) -> DVector<f64> {
        let rejected = self.rejected(unknowns);
        let all = terms
            .iter()
            .zip(rejected)
            .flat_map(|(one, heat)| [one.flow, one.pressure, heat / one.heat_w - 1.0]);
        DVector::from_iterator(3 * terms.len(), all)
    }

    /// Newton's method with the losses of the lines by their rough law; slopes are kept while a whole step by them leaves a
    /// quarter at most. Where the data or the compressor end on the way, that is why there is no balance.
    fn settle(&mut self) -> Result<(), BalanceError> {
        let mut terms = self.all_terms(&self.unknowns)?;
        let mut residuals = self.residuals(&self.unknowns, &terms);
        let mut barred = None;
        for _ in 0..60 {
            let before = worst(&residuals);
            if before <= INNER_RESIDUAL {
                return Ok(());
            }
            self.steps += 1;
            if let Some(step) = self.slopes.as_ref().and_then(|slopes| slopes.solve(&residuals)) {
                let tried = self.moved(&step, 1.0);
                if let Ok(found) = self.all_terms(&tried) {
                    let left = self.residuals(&tried, &found);
                    if worst(&left) < 0.25 * before {
                        (self.unknowns, terms, residuals) = (tried, found, left);
                        continue;
                    }
                }
            }
            let slopes = self.jacobian(&terms, &residuals)?.lu();
            let Some(step) = slopes.solve(&residuals) else { break };
            self.slopes = Some(slopes);
            barred = None;
            let mut share = 1.0;
            let accepted = loop {
                let tried = self.moved(&step, share);
                match self.all_terms(&tried) {
                    Ok(found) => {
                        let left = self.residuals(&tried, &found);
                        if worst(&left) < before {
                            break Some((tried, found, left));
                        }
                    }
                    Err(error) => barred = Some(error),
                }
                share *= 0.5;
                if share < 1e-6 {
                    break None;
                }
            };
            let Some((tried, found, left)) = accepted else { break };
            (self.unknowns, terms, residuals) = (tried, found, left);
        }
        // Rounding alone may stop the last halving; what is left decides.
        let residual = worst(&residuals);
        if residual <= 1e-9 {
            return Ok(());
        }
        Err(barred.unwrap_or(BalanceError::NoConvergence { steps: self.steps, residual }))
    }

    fn moved(&self, step: &DVector<f64>, share: f64) -> Vec<Unknowns> {
        let of = |(index, one): (usize, &Unknowns)| Unknowns {
            warmth_k: one.warmth_k - share * step[3 * index],
            mass_rate_kg_s: one.mass_rate_kg_s * (1.0 - share * step[3 * index + 1]),
            outlet_pa: one.outlet_pa * (1.0 - share * step[3 * index + 2]),
        };
        self.unknowns.iter().enumerate().map(of).collect()
    }

    /// By small differences; mass rate and pressure count as shares of themselves. A circuit's own terms see its own
    /// unknowns alone, its heat those of all coils.
    fn jacobian(&self, terms: &[Terms], residuals: &DVector<f64>) -> Result<DMatrix<f64>, BalanceError> {
        let count = self.circuits.len();
        let rejected = self.rejected(&self.unknowns);
        let mut jacobian = DMatrix::zeros(3 * count, 3 * count);
        for index in 0..count {
            for (offset, small) in [1e-4, 1e-6, 1e-6].into_iter().enumerate() {
                let column = 3 * index + offset;
                let (nudged, by, found) = match self.nudged(index, offset, small, &terms[index]) {
                    Ok(found) => found,
                    // At the end of the data the difference is taken to the other side.
                    Err(_) => self.nudged(index, offset, -small, &terms[index])?,
                };
                jacobian[(3 * index, column)] = (found.flow - residuals[3 * index]) / by;
                jacobian[(3 * index + 1, column)] = (found.pressure - residuals[3 * index + 1]) / by;
                let warmer = self.rejected(&nudged);
                for other in 0..count {
                    let heat_w = if other == index { found.heat_w } else { terms[other].heat_w };
                    let change = warmer[other] / heat_w - rejected[other] / terms[other].heat_w;
                    jacobian[(3 * other + 2, column)] = change / by;
                }
            }
        }
        Ok(jacobian)
    }

    /// One unknown of one circuit changed a little: only what depends on it is computed anew.
    fn nudged(
        &self,
        index: usize,
        offset: usize,
        by: f64,
        terms: &Terms,
    ) -> Result<(Vec<Unknowns>, f64, Terms), BalanceError> {
        let mut nudged = self.unknowns.clone();
        let one = &mut nudged[index];
        match offset {
            0 => one.warmth_k += by,
            1 => one.mass_rate_kg_s *= 1.0 + by,
            _ => one.outlet_pa *= 1.0 + by,
        }
        let one = *one;
        let coil = if offset == 0 { self.coil(index, one)? } else { terms.coil };
        let works_as_before = offset == 0 || (offset == 1 && self.circuits[index].suction_line.is_none());
        let worked = if works_as_before { terms.worked } else { self.worked(index, one)? };
        Ok((nudged, by, self.terms(index, one, worked, coil)))
    }

    /// Marches the gas lines at the solution; gives the greatest error of pressure or heat that their old losses left. Those of
    /// the march are taken, or a guess beyond them where the error is too great.
    fn march_again(&mut self) -> Result<f64, BalanceError> {
        let mut greatest = 0.0_f64;
        let mut turn = Turn::new();
        for index in 0..self.circuits.len() {
            let circuit = &self.circuits[index];
            let unknowns = self.unknowns[index];
            let terms =
                self.terms(index, unknowns, self.worked(index, unknowns)?, self.coil(index, unknowns)?);
            let mass_rate = MassRate::new::<kilogram_per_second>(unknowns.mass_rate_kg_s);
            let of_line = |source| BalanceError::Line { circuit: index, source };
            let suction = match circuit.suction_line {
                None => Lost::nothing(),
                Some(tube) => {
                    let State { phase, pressure, enthalpy, .. } = circuit.suction;
                    let entering = Inlet { phase, pressure, enthalpy, mass_rate };
                    along(circuit.fluid, tube, entering, self.march_step).map_err(of_line)?
                }
            };
            let mut outlet_pa = unknowns.outlet_pa;
            let discharge = match circuit.discharge_line {
                None => Lost::nothing(),
                Some(tube) => {
                    let pressure = AbsolutePressure::from_pascal(outlet_pa);
                    let enthalpy = terms.worked.work.discharge_enthalpy;
                    let entering = Inlet { phase: Phase::Vapour, pressure, enthalpy, mass_rate };
                    match along(circuit.fluid, tube, entering, self.march_step) {
                        // It carries the gas from a higher pressure, maybe: the one that leaves the condenser its own.
                        Err(MarchError::PressureUsedUp { .. }) => {
                            let condensing = terms.coil.condensing;
                            let lost = up_to(circuit.fluid, tube, condensing, entering, self.march_step)
                                .map_err(of_line)?;
                            outlet_pa = condensing.pascal() + lost.drop.get::<pascal>();
                            greatest = f64::INFINITY;
                            lost
                        }
                        found => found.map_err(of_line)?,
                    }
                }
            };
            let [suction_pa, discharge_pa] = [suction.drop, discharge.drop].map(|drop| drop.get::<pascal>());
            let [suction_j_kg, discharge_j_kg] =
                [suction.gained, discharge.gained].map(|gained| gained.get::<joule_per_kilogram>());
            let old = self.losses[index];
            let law = law(unknowns, old);
            let carried = terms.heat_w / unknowns.mass_rate_kg_s;
            let errors = [
                (suction_pa - old.suction_pa * law) / circuit.suction.pressure.pascal(),
                (discharge_pa - old.discharge_pa * law * old.outlet_pa / unknowns.outlet_pa)
                    / unknowns.outlet_pa,
                (suction_j_kg - old.suction_j_kg) / carried,
                (discharge_j_kg - old.discharge_j_kg) / carried,
            ];
            greatest = errors.into_iter().fold(greatest, |worst, error| worst.max(error.abs()));
            let new = Losses {
                mass_rate_kg_s: unknowns.mass_rate_kg_s,
                suction_pa,
                suction_j_kg,
                discharge_pa,
                discharge_j_kg,
                outlet_pa,
            };
            turn.push((old.kept(), new.kept()));
            self.losses[index] = new;
        }
        if greatest > 0.1 * GREATEST_RESIDUAL && greatest.is_finite() {
            if let Some(last) = &self.last_turn {
                for ((losses, (asked, given)), before) in self.losses.iter_mut().zip(&turn).zip(last) {
                    let of = |k: usize| secant(asked[k], given[k], (before.0[k], before.1[k]));
                    *losses = losses.with_kept(std::array::from_fn(of));
                }
            }
            self.last_turn = Some(turn);
        }
        Ok(greatest)
    }

    fn finish(self) -> Result<Outcome<Balance>, BalanceError> {
        let terms = self.all_terms(&self.unknowns)?;
        // With the losses of the last march, which is that at the solution.
        let residual = worst(&self.residuals(&self.unknowns, &terms));
        if residual > GREATEST_RESIDUAL {
            return Err(BalanceError::NoConvergence { steps: self.steps, residual });
        }
        let units = self.layout.states(&warmths(&self.unknowns));
        let mut caveats = Caveats::default();
        let mut circuits = Vec::new();
        for (index, (terms, unknowns)) in terms.iter().zip(&self.unknowns).enumerate() {
            caveats.merge(terms.worked.caveats);
            let circuit = &self.circuits[index];
            let Coil { condensing, held, liquid } = terms.coil;
            let mass_rate = MassRate::new::<kilogram_per_second>(unknowns.mass_rate_kg_s);
            let (valve_pressure, valve_enthalpy) = match circuit.liquid_line {
                None => (condensing, liquid.enthalpy),
                Some(tube) => {
                    let State { phase, enthalpy, .. } = liquid;
                    let entering = Inlet { phase, pressure: condensing, enthalpy, mass_rate };
                    let found = along(circuit.fluid, tube, entering, MARCH_STEP)
                        .map_err(|source| BalanceError::Line { circuit: index, source })?;
                    (
                        AbsolutePressure::from_pascal(condensing.pascal() - found.drop.get::<pascal>()),
                        liquid.enthalpy + found.gained,
                    )
                }
            };
            circuits.push(CircuitState {
                condensing,
                held,
                active_share: self.active_share(index, terms, &units)?,
                compressor_outlet: AbsolutePressure::from_pascal(unknowns.outlet_pa),
                compressor_inlet: terms.worked.inlet,
                discharge_enthalpy: terms.worked.work.discharge_enthalpy,
                condenser_enthalpy: terms.condenser_enthalpy,
                liquid,
                valve_pressure,
                valve_enthalpy,
                mass_rate,
                capacity: mass_rate * (circuit.suction.enthalpy - valve_enthalpy),
                power: terms.worked.work.power,
                heat_rejection: Power::new::<watt>(terms.heat_w),
            });
        }
        let solution = self.unknowns.into_iter().zip(self.losses).collect();
        let balance = Balance { circuits, units, residual, steps: self.steps, solution };
        Ok(Outcome { value: balance, method: Method::Balance, caveats })
    }

    /// Heat rejected against what all of the condenser would reject at the pressure that is held, its entering air and the other
    /// circuits as they are.
    fn active_share(&self, index: usize, terms: &Terms, units: &[UnitState]) -> Result<Ratio, BalanceError> {
        if !terms.coil.held {
            return Ok(Ratio::new::<ratio>(1.0));
        }
        let held = SaturationReference::Mid
            .temperature(self.circuits[index].fluid, terms.coil.condensing)
            .map_err(|source| BalanceError::Property { circuit: index, source })?;
        let mut warm = warmths(&self.unknowns);
        warm[index] = delta(held, self.outdoor_air);
        let mut possible_w = 0.0;
        for (number, (unit, state)) in self.layout.units().iter().zip(units).enumerate() {
            let heats = self.layout.heats_in_air(number, &warm, state.inlet);
            let own = unit.branches.iter().zip(heats).filter(|(branch, _)| branch.circuit == index);
            possible_w += own.map(|(_, heat)| heat.get::<watt>()).sum::<f64>();
        }
        Ok(Ratio::new::<ratio>(terms.heat_w / possible_w))
    }
}

/// Greatest of all; without end where one is no number.
fn worst(residuals: &DVector<f64>) -> f64 {
    residuals.iter().fold(0.0, |worst, one| if one.is_nan() { f64::INFINITY } else { worst.max(one.abs()) })
}

/// Rough law by which the losses of a march change with the mass rate.
fn law(unknowns: Unknowns, losses: Losses) -> f64 {
    (unknowns.mass_rate_kg_s / losses.mass_rate_kg_s).max(0.0).powf(DROP_EXPONENT)
}

fn joules(enthalpy_j_kg: f64) -> SpecificEnthalpy {
    SpecificEnthalpy::new::<joule_per_kilogram>(enthalpy_j_kg)
}

fn warmths(unknowns: &[Unknowns]) -> Vec<TemperatureInterval> {
    unknowns.iter().map(|one| TemperatureInterval::new::<kelvin>(one.warmth_k)).collect()
}

/// Pressure at the condenser for a coil so much warmer than the air, and whether the control holds it up.
fn condensing(
    index: usize,
    circuit: &Circuit<'_>,
    outdoor_air: ThermodynamicTemperature,
    warmth_k: f64,
) -> Result<(AbsolutePressure, bool), BalanceError> {
    let coil = outdoor_air + TemperatureInterval::new::<kelvin>(warmth_k);
    match (SaturationReference::Mid.pressure(circuit.fluid, coil), circuit.lowest) {
        (Ok(pressure), Some(lowest)) if pressure < lowest => Ok((lowest, true)),
        // Colder than the data reach, but the pressure does not follow it there.
        (Err(source), Some(lowest)) if source.value < source.low => Ok((lowest, true)),
        (Ok(pressure), _) => Ok((pressure, false)),
        (Err(source), _) => Err(BalanceError::Property { circuit: index, source }),
    }
}

#[derive(Clone, Copy)]
struct Lost {
    drop: Pressure,
    /// Enthalpy: heat of the surroundings less what height and speed take of it.
    gained: SpecificEnthalpy,
}

impl Lost {
    fn nothing() -> Self {
        Self { drop: Pressure::new::<pascal>(0.0), gained: joules(0.0) }
    }
}

fn along(fluid: &dyn Refrigerant, tube: Tube<'_>, entering: Inlet, step: f64) -> Result<Lost, MarchError> {
    let tolerance = Tolerance { step: Ratio::new::<ratio>(step) };
    let found = march_with_heat(fluid, tube.line, tube.exchanges, entering, tolerance, &mut |_| {})?.value;
    Ok(Lost { drop: found.pressure_drop, gained: found.outlet.enthalpy - entering.enthalpy })
}

/// [`along`] a line whose outlet pressure is given.
fn up_to(
    fluid: &dyn Refrigerant,
    tube: Tube<'_>,
    outlet: AbsolutePressure,
    entering: Inlet,
    step: f64,
) -> Result<Lost, MarchError> {
    let tolerance = Tolerance { step: Ratio::new::<ratio>(step) };
    let found = march_to_outlet(fluid, tube.line, tube.exchanges, outlet, entering, tolerance)?.value;
    Ok(Lost { drop: found.pressure_drop, gained: found.outlet.enthalpy - entering.enthalpy })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        compressor::ConstantEfficiency,
        fluid::test_fluid::TestFluid,
        layout::{Branch, Sharing, Unit},
        line::Element,
        units::{Bore, Length, ThermalConductance, VolumeRate},
    };
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{
        length::{meter, millimeter},
        thermal_conductance::watt_per_kelvin,
        thermodynamic_temperature::degree_celsius,
        volume_rate::cubic_meter_per_second,
    };

    fn celsius(degrees: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<degree_celsius>(degrees)
    }

    fn circuit(swept_l_s: f64) -> Circuit<'static> {
        let pressure = AbsolutePressure::from_pascal(3e5);
        let dew = TestFluid.dew_temperature(pressure).unwrap().get();
        Circuit {
            fluid: &TestFluid,
            suction: TestFluid.vapour_at(pressure, dew + TemperatureInterval::new::<kelvin>(8.0)).unwrap(),
            compressor: Compressor::Constant(
                ConstantEfficiency::new(
                    Ratio::new::<ratio>(0.6),
                    VolumeRate::new::<cubic_meter_per_second>(swept_l_s / 1000.0),
                )
                .unwrap(),
            ),
            subcooling: TemperatureInterval::new::<kelvin>(3.0),
            lowest: None,
            suction_line: None,
            discharge_line: None,
            liquid_line: None,
        }
    }

    fn unit(circuit: usize, conductance_w_k: f64) -> Unit {
        Unit {
            air_rate: MassRate::new::<kilogram_per_second>(1.0),
            branches: vec![Branch {
                circuit,
                conductance: ThermalConductance::new::<watt_per_kelvin>(conductance_w_k),
            }],
            sharing: Sharing::Split,
        }
    }

    fn pair(upper_draws: f64) -> Layout {
        let share = Ratio::new::<ratio>;
        let rows = [vec![share(0.0), share(0.0)], vec![share(upper_draws), share(0.0)]];
        Layout::new(vec![unit(0, 400.0), unit(1, 400.0)], &rows, 2).unwrap()
    }

    fn alone(conductance_w_k: f64) -> Layout {
        Layout::new(vec![unit(0, conductance_w_k)], &[vec![Ratio::new::<ratio>(0.0)]], 1).unwrap()
    }

    fn tube(bore_mm: f64, length_m: f64) -> Line {
        let length = Length::new::<meter>;
        let legs = vec![Element::Leg { length: length(length_m), rise: length(0.0) }];
        Line::new(Bore::new(Length::new::<millimeter>(bore_mm)), length(1.5e-6), legs)
    }

    #[test]
    fn without_lines_heat_rejected_is_capacity_and_power() {
        let found = balance(&[circuit(3.0)], &alone(400.0), celsius(30.0)).unwrap().value;
        let state = found.circuits[0];
        assert_relative_eq!(
            state.heat_rejection.value,
            state.capacity.value + state.power.value,
            max_relative = 1e-9
        );
        // The condenser rejects it at its temperature.
        let coil = SaturationReference::Mid.temperature(&TestFluid, state.condensing).unwrap();
        let difference_k = delta(coil, celsius(30.0)).value;
        assert_relative_eq!(state.heat_rejection.value, 400.0 * difference_k, max_relative = 1e-8);
        assert_eq!((state.held, state.active_share.value), (false, 1.0));
        assert_relative_eq!(
            state.compressor_outlet.pascal(),
            state.condensing.pascal(),
            max_relative = 1e-10
        );
        assert!(found.residual < GREATEST_RESIDUAL && found.steps > 0);
    }

    #[test]
    fn a_narrow_discharge_line_costs_pressure_power_and_no_capacity() {
        let line = tube(9.0, 30.0);
        let mut narrow = circuit(3.0);
        narrow.discharge_line = Some(Tube { line: &line, exchanges: &[] });
        let wide = balance(&[circuit(3.0)], &alone(400.0), celsius(30.0)).unwrap().value.circuits[0];
        let narrow = balance(&[narrow], &alone(400.0), celsius(30.0)).unwrap().value.circuits[0];
        assert!(narrow.compressor_outlet.pascal() > narrow.condensing.pascal() + 1e4);
        assert!(narrow.power > wide.power);
        assert!(narrow.condensing > wide.condensing, "more power is more heat to reject");
        // Marched again from the compressor outlet, the gas arrives at the condensing pressure.
        let inlet = Inlet {
            phase: Phase::Vapour,
            pressure: narrow.compressor_outlet,
            enthalpy: narrow.discharge_enthalpy,
            mass_rate: narrow.mass_rate,
        };
        let tolerance = Tolerance { step: Ratio::new::<ratio>(1e-10) };
        let outlet =
            march_with_heat(&TestFluid, &line, &[], inlet, tolerance, &mut |_| {}).unwrap().value.outlet;
        assert_relative_eq!(outlet.pressure.pascal(), narrow.condensing.pascal(), max_relative = 2e-8);
    }

    #[test]
    fn a_narrow_suction_line_costs_capacity() {
        let line = tube(14.0, 30.0);
        let mut narrow = circuit(3.0);
        narrow.suction_line = Some(Tube { line: &line, exchanges: &[] });
        let wide = balance(&[circuit(3.0)], &alone(400.0), celsius(30.0)).unwrap().value.circuits[0];
        let narrow = balance(&[narrow], &alone(400.0), celsius(30.0)).unwrap().value.circuits[0];
        assert!(narrow.compressor_inlet.pressure < wide.compressor_inlet.pressure);
        let thinner = narrow.compressor_inlet.density / wide.compressor_inlet.density;
        assert_relative_eq!(
            narrow.mass_rate.value / wide.mass_rate.value,
            thinner.value,
            max_relative = 1e-8
        );
        assert!(narrow.capacity < wide.capacity);
    }

    #[test]
    fn in_the_cold_the_held_pressure_stands_and_part_of_the_coil_is_enough() {
        let mut held = circuit(3.0);
        held.lowest = Some(SaturationReference::Mid.pressure(&TestFluid, celsius(30.0)).unwrap());
        let state = balance(&[held.clone()], &alone(400.0), celsius(-10.0)).unwrap().value.circuits[0];
        assert!(state.held);
        assert_eq!(Some(state.condensing), held.lowest);
        assert_relative_eq!(
            state.active_share.value,
            state.heat_rejection.value / (400.0 * 40.0),
            max_relative = 1e-6
        );
        let warm = balance(&[held], &alone(400.0), celsius(30.0)).unwrap().value.circuits[0];
        assert!(!warm.held);
    }

    #[test]
    fn circuits_that_do_not_fit_the_layout_and_heat_beyond_the_data_are_told() {
        assert_eq!(balance(&[circuit(3.0)], &pair(0.0), celsius(30.0)), Err(BalanceError::Circuits));
        assert_eq!(balance(&[], &pair(0.0), celsius(30.0)), Err(BalanceError::Circuits));
        let far_too_small = balance(&[circuit(30.0)], &alone(5.0), celsius(30.0));
        assert!(
            matches!(far_too_small, Err(BalanceError::Compressor { .. } | BalanceError::Property { .. })),
            "{far_too_small:?}"
        );
        assert!(matches!(
            balance(&[circuit(3.0)], &alone(400.0), celsius(200.0)),
            Err(BalanceError::Property { .. })
        ));
    }

    #[test]
    fn a_balance_begun_at_another_is_the_same_and_sooner() {
        let line = tube(9.0, 30.0);
        let mut narrow = circuit(3.0);
        narrow.discharge_line = Some(Tube { line: &line, exchanges: &[] });
        let (circuits, layout) = ([narrow.clone(), circuit(2.0)], pair(0.2));
        let near = balance(&circuits, &layout, celsius(29.0)).unwrap().value;
        let found = balance(&circuits, &layout, celsius(30.0)).unwrap().value;
        let again = balance_from(&circuits, &layout, celsius(30.0), &near).unwrap().value;
        assert!(again.steps < found.steps, "{} and {}", again.steps, found.steps);
        for (one, other) in found.circuits.iter().zip(&again.circuits) {
            assert_relative_eq!(one.condensing.pascal(), other.condensing.pascal(), max_relative = 1e-8);
            assert_relative_eq!(one.power.value, other.power.value, max_relative = 1e-8);
        }
        // From what has nothing to do with it as well.
        let foreign = balance_from(&[narrow], &alone(400.0), celsius(30.0), &near).unwrap().value;
        assert_eq!(foreign.circuits.len(), 1);
        let misfit = balance_from(&circuits, &alone(400.0), celsius(30.0), &near);
        assert_eq!(misfit, Err(BalanceError::Circuits));
    }

    #[test]
    fn gas_chokes_at_the_condensing_pressure_and_not_where_it_enters() {
        // By a tube in which the gas is used up when it enters at the pressure that it shall leave with.
        let line = tube(6.5, 30.0);
        let mut narrow = circuit(3.0);
        narrow.discharge_line = Some(Tube { line: &line, exchanges: &[] });
        let state = balance(&[narrow.clone()], &alone(400.0), celsius(30.0)).unwrap().value.circuits[0];
        let entering = Inlet {
            phase: Phase::Vapour,
            pressure: state.condensing,
            enthalpy: state.discharge_enthalpy,
            mass_rate: state.mass_rate,
        };
        let refused = march_with_heat(&TestFluid, &line, &[], entering, Tolerance::default(), &mut |_| {});
        assert!(matches!(refused, Err(MarchError::PressureUsedUp { .. })), "{refused:?}");
        assert!(state.compressor_outlet.pascal() > 1.2 * state.condensing.pascal());
    }

    #[test]
    fn in_the_cold_floating_pressure_leaves_the_compressor_nothing_to_lift() {
        let suction_c = circuit(0.5).suction.temperature.get::<degree_celsius>();
        let refused = balance(&[circuit(0.5)], &alone(900.0), celsius(suction_c - 30.0));
        let not_lifting = BalanceError::Compressor { circuit: 0, source: CompressorError::NotLifting };
        assert_eq!(refused, Err(not_lifting));
    }

    #[test]
    fn a_flooded_coil_feels_its_warmer_neighbour_in_the_same_fins() {
        let shared = Unit {
            air_rate: MassRate::new::<kilogram_per_second>(1.0),
            branches: [0, 1]
                .map(|circuit| Branch {
                    circuit,
                    conductance: ThermalConductance::new::<watt_per_kelvin>(300.0),
                })
                .to_vec(),
            sharing: Sharing::Interlaced,
        };
        let layout = Layout::new(vec![shared], &[vec![Ratio::new::<ratio>(0.0)]], 2).unwrap();
        let mut held = circuit(1.5);
        held.lowest = Some(SaturationReference::Mid.pressure(&TestFluid, celsius(40.0)).unwrap());
        let found = balance(&[held, circuit(2.5)], &layout, celsius(5.0)).unwrap().value;
        let [cold, warm] = [0, 1].map(|index| found.circuits[index]);
        assert!(cold.held && !warm.held);
        // At 40 °C beside the other as it is: what the layout says of these warmths is all of it.
        let other = SaturationReference::Mid.temperature(&TestFluid, warm.condensing).unwrap();
        let all = layout.heats(&[celsius(40.0), other].map(|coil| delta(coil, celsius(5.0))))[0];
        assert_relative_eq!(cold.active_share.value, (cold.heat_rejection / all).value, max_relative = 1e-7);
        assert!(cold.active_share.value < 1.0);
    }

    proptest! {
        #[test]
        fn recirculation_never_gives_more_cold(
            draws in 0.0_f64..0.5, more in 0.01_f64..0.3, swept in 1.5_f64..5.0, air in 5.0_f64..35.0,
        ) {
            let circuits = [circuit(swept), circuit(0.8 * swept)];
            let before = balance(&circuits, &pair(draws), celsius(air)).unwrap().value;
            let after = balance(&circuits, &pair(draws + more), celsius(air)).unwrap().value;
            prop_assert!(after.circuits[1].condensing > before.circuits[1].condensing);
            for (before, after) in before.circuits.iter().zip(&after.circuits) {
                prop_assert!(after.capacity.value <= before.capacity.value * (1.0 + 1e-9));
                prop_assert!(after.power.value >= before.power.value * (1.0 - 1e-9));
            }
            let rejected: f64 = after.circuits.iter().map(|one| one.heat_rejection.value).sum();
            let taken: f64 = after.units.iter().flat_map(|unit| &unit.heats).map(|heat| heat.value).sum();
            prop_assert!((rejected - taken).abs() < 1e-7 * rejected);
        }
    }
}
