//! Sizing: one line in one tube, judged at every condition; and the choice among tubes.

use crate::{
    check::{Check, CheckKind, Condition, Limit, Measure, Sense, Verdict, Whose, Why, judge},
    fluid::Refrigerant,
    heat::Linear,
    line::{
        AllowableLength, Element, Inlet, Line, MarchError, Outlet, Phase, Tolerance, first_event,
        march_to_outlet_near, march_with_heat,
    },
    oil_return,
    outcome::{Caveats, Outcome},
    strength::bounds::Governing,
    uncertainty::{Factors, Lever, Nudge, Spread, propagate_from},
    units::{AbsolutePressure, GaugePressure, Length, MassDensity, MassRate, SpecificEnthalpy, delta},
};
use std::{cell::RefCell, collections::BTreeMap, convert::Infallible};
use uom::si::{length::meter, temperature_interval::kelvin as kelvin_interval};

/// What a line is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Service {
    /// Hot gas from compressor to condenser.
    Discharge,
    /// Liquid that fills its tube.
    Liquid,
    /// Condensate that drains freely beside the vapour above it.
    Drain,
    /// Cold gas from evaporator to compressor.
    Suction,
}

impl Service {
    /// Every service with its word: the same in code, job file and output.
    pub const NAMED: [(&'static str, Self); 4] = [
        ("discharge", Self::Discharge),
        ("liquid", Self::Liquid),
        ("drain", Self::Drain),
        ("suction", Self::Suction),
    ];

    /// Its word.
    #[must_use]
    pub fn name(self) -> &'static str {
        let [discharge, liquid, drain, suction] = Self::NAMED.map(|(name, _)| name);
        match self {
            Self::Discharge => discharge,
            Self::Liquid => liquid,
            Self::Drain => drain,
            Self::Suction => suction,
        }
    }

    /// Phase that the line is computed with.
    #[must_use]
    pub fn phase(self) -> Phase {
        match self {
            Self::Discharge | Self::Suction => Phase::Vapour,
            Self::Liquid | Self::Drain => Phase::Liquid,
        }
    }
}

/// The end of a line at which the pressure is held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Held {
    /// At the inlet (liquid leaving the condenser, suction gas leaving the evaporator).
    Inlet(AbsolutePressure),
    /// At the outlet (discharge gas at the condenser).
    Outlet(AbsolutePressure),
}

/// What a line carries at one condition.
#[derive(Clone, Debug, PartialEq)]
pub struct Duty {
    /// The condition.
    pub condition: Condition,
    /// Where the pressure is held, and at what.
    pub held: Held,
    /// Enthalpy at the inlet.
    pub enthalpy: SpecificEnthalpy,
    /// Mass rate.
    pub mass_rate: MassRate,
    /// What each leg exchanges with its surroundings, in the order of flow; empty where nothing is.
    pub exchanges: Vec<Linear>,
}

impl Duty {
    /// What enters the line; its pressure is the one that is held, whichever end that is.
    #[must_use]
    pub fn inlet(&self, phase: Phase) -> Inlet {
        let (Held::Inlet(pressure) | Held::Outlet(pressure)) = self.held;
        Inlet { phase, pressure, enthalpy: self.enthalpy, mass_rate: self.mass_rate }
    }
}

/// The limits of a line; those of checks that its service does not have are ignored.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Greatest saturated temperature drop (summer).
    pub saturated_temperature_drop: Limit,
    /// Greatest velocity (peak).
    pub velocity: Limit,
    /// Least flash margin (summer, low head, peak).
    pub flash_margin: Limit,
    /// Least ratio of mass rate to the one that carries oil (summer, least load).
    pub oil_return: Limit,
    /// The maker's longest run; it stops the allowable length and is judged once for the whole set ([`run_check`]).
    pub longest_run: Option<Limit>,
}

/// One line in one tube, with all that judging it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// Service.
    pub service: Service,
    /// The line.
    pub line: Line,
    /// The conditions that could be formed; a condition that is absent makes its checks *not checked*.
    pub duties: Vec<Duty>,
    /// Limits.
    pub limits: Limits,
    /// Density of the oil that risers must carry.
    pub oil_density: MassDensity,
    /// Index in `line.elements` of the leg that grows for the allowable length; none when no leg is level.
    pub stretch: Option<usize>,
}

impl Nudge for Case {
    fn nudged(&self, lever: Lever, by: f64) -> Self {
        let mut case = self.clone();
        case.line.factors = case.line.factors.nudged(lever, by);
        case
    }
}

/// A march at one condition, and what checks read off it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// The condition.
    pub condition: Condition,
    /// The march, or why there is none.
    pub march: Result<Outcome<Outlet>, MarchError>,
    /// What checks read, in the order of [`KINDS`]; not a number where a check does not apply.
    values_si: [f64; COUNT],
}

impl Reading {
    /// What a check of this kind reads at this condition; none where it does not apply or no march was found.
    #[must_use]
    pub fn value_si(&self, kind: CheckKind) -> Option<f64> {
        place_of(kind).map(|k| self.values_si[k]).filter(|value| !value.is_nan())
    }
}

/// One line in one tube, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// The marches, one a condition.
    pub readings: Vec<Reading>,
    /// The checks of the line, worst first.
    pub checks: Vec<Check>,
    /// Caveats of all marches.
    pub caveats: Caveats,
}

impl Judged {
    /// The reading at a condition.
    #[must_use]
    pub fn at(&self, condition: Condition) -> Option<&Reading> {
        self.readings.iter().find(|reading| reading.condition == condition)
    }

    /// What the line does at a condition; none where it is not formed, or no march was found.
    #[must_use]
    pub fn outlet(&self, condition: Condition) -> Option<Outlet> {
        self.at(condition).and_then(|reading| reading.march.ok()).map(|march| march.value)
    }

    /// The check of a kind; none where it is not among them.
    #[must_use]
    pub fn check(&self, kind: CheckKind) -> Option<&Check> {
        self.checks.iter().find(|check| check.kind == kind)
    }

    /// The value of a check of the line at its governing condition, in SI; none where it is not among the checks, or no value
    /// was found.
    #[must_use]
    pub fn value_of(&self, kind: CheckKind) -> Option<f64> {
        self.check(kind)?.value.map(Measure::si)
    }

    /// Whether no other tube of the same line can be taken in its place but one that meets as much: all of its checks that a
    /// tube could change meet, or lack a condition that no tube brings.
    #[must_use]
    pub fn settles(&self) -> bool {
        self.checks_of_tube().all(|check| {
            matches!(check.verdict, Verdict::Meets | Verdict::NotChecked(Why::ConditionMissing(_)))
        })
    }

    /// The worst verdict.
    #[must_use]
    pub fn severity(&self) -> u8 {
        self.checks.iter().map(|check| check.verdict.severity()).max().unwrap_or(0)
    }

    /// Takes in a check that needs no march ([`pressure_check`]); the checks stay worst first.
    pub fn add(&mut self, check: Check) {
        self.checks.push(check);
        self.checks.sort_by(worst_first);
    }

    /// Whether a check fails that another tube may meet.
    #[must_use]
    pub fn fails(&self) -> bool {
        self.checks_of_tube().any(|check| check.verdict == Verdict::Fails)
    }

    /// The checks that another tube could change.
    fn checks_of_tube(&self) -> impl Iterator<Item = &Check> {
        self.checks.iter().filter(|check| check.kind.depends_on_tube())
    }
}

/// Inlet pressures of marches, from which those of a line much like it are begun.
#[derive(Clone, Debug, Default)]
struct Inlets(Vec<(Condition, AbsolutePressure)>);

impl Inlets {
    fn at(&self, condition: Condition) -> Option<AbsolutePressure> {
        self.0.iter().find(|(of, _)| *of == condition).map(|(_, pressure)| *pressure)
    }

    fn note(&mut self, readings: &[Reading]) {
        for reading in readings {
            let Ok(outcome) = &reading.march else { continue };
            self.0.retain(|(of, _)| *of != reading.condition);
            self.0.push((reading.condition, outcome.value.inlet.pressure));
        }
    }
}

const COUNT: usize = 5;
/// Order of the numbers that studies pass around.
const KINDS: [CheckKind; COUNT] = [
    CheckKind::SaturatedTemperatureDrop,
    CheckKind::FlashMargin,
    CheckKind::Velocity,
    CheckKind::OilReturn,
    CheckKind::Run,
];

/// Place of the oil return among them.
const OIL_RETURN: usize = 3;

/// Place of a kind among them; none for checks that need no march.
fn place_of(kind: CheckKind) -> Option<usize> {
    KINDS.iter().position(|other| *other == kind)
}

/// The conditions at which a check is judged; the worst of them governs.
#[must_use]
pub fn conditions_of(kind: CheckKind) -> &'static [Condition] {
    match kind {
        CheckKind::SaturatedTemperatureDrop => &[Condition::Summer],
        CheckKind::FlashMargin => &[Condition::Summer, Condition::LowHead, Condition::Peak],
        CheckKind::Velocity => &[Condition::Summer, Condition::Peak],
        CheckKind::OilReturn => &[Condition::Summer, Condition::LeastLoad],
        CheckKind::BranchBudget => &[Condition::Peak],
        CheckKind::Run | CheckKind::Rise | CheckKind::WorkingPressure | CheckKind::RatedPressure => &[],
    }
}

impl Case {
    /// What the line carries at a condition; none where it could not be formed.
    #[must_use]
    pub fn duty(&self, condition: Condition) -> Option<&Duty> {
        self.duties.iter().find(|duty| duty.condition == condition)
    }

    /// The checks that this line has.
    #[must_use]
    pub fn kinds(&self) -> Vec<CheckKind> {
        let mut kinds = match self.service {
            Service::Discharge | Service::Suction => {
                vec![CheckKind::SaturatedTemperatureDrop, CheckKind::Velocity]
            }
            Service::Liquid => {
                vec![CheckKind::SaturatedTemperatureDrop, CheckKind::FlashMargin, CheckKind::Velocity]
            }
            Service::Drain => vec![CheckKind::Velocity],
        };
        if self.service.phase() == Phase::Vapour && self.line.has_riser() {
            kinds.push(CheckKind::OilReturn);
        }
        kinds
    }

    fn limit(&self, kind: CheckKind) -> Option<Limit> {
        match kind {
            CheckKind::SaturatedTemperatureDrop => Some(self.limits.saturated_temperature_drop),
            CheckKind::FlashMargin => Some(self.limits.flash_margin),
            CheckKind::Velocity => Some(self.limits.velocity),
            CheckKind::OilReturn => Some(self.limits.oil_return),
            CheckKind::Run => self.limits.longest_run,
            CheckKind::Rise
            | CheckKind::WorkingPressure
            | CheckKind::RatedPressure
            | CheckKind::BranchBudget => None,
        }
    }

    /// Marches one duty.
    ///
    /// # Errors
    /// As [`march_with_heat`].
    pub fn march(&self, fluid: &dyn Refrigerant, duty: &Duty) -> Result<Outcome<Outlet>, MarchError> {
        self.march_near(fluid, duty, None)
    }

    fn march_near(
        &self,
        fluid: &dyn Refrigerant,
        duty: &Duty,
        near: Option<AbsolutePressure>,
    ) -> Result<Outcome<Outlet>, MarchError> {
        let (inlet, tolerance) = (duty.inlet(self.service.phase()), Tolerance::default());
        match duty.held {
            Held::Inlet(_) => {
                march_with_heat(fluid, &self.line, &duty.exchanges, inlet, tolerance, &mut |_| {})
            }
            Held::Outlet(pressure) => {
                let near = near.unwrap_or(pressure);
                march_to_outlet_near(fluid, &self.line, &duty.exchanges, pressure, near, inlet, tolerance)
            }
        }
    }

    /// Marches one duty and reads what the checks look at.
    #[must_use]
    pub fn reading(&self, fluid: &dyn Refrigerant, duty: &Duty) -> Reading {
        self.reading_near(fluid, duty, None)
    }

    fn reading_near(&self, fluid: &dyn Refrigerant, duty: &Duty, near: Option<AbsolutePressure>) -> Reading {
        let march = self.march_near(fluid, duty, near);
        let mut values_si = [f64::NAN; COUNT];
        if let Ok(outcome) = &march {
            let outlet = &outcome.value;
            values_si = [
                saturated_temperature_drop_k(fluid, self.service, outlet),
                match self.service {
                    Service::Liquid => outlet.least_phase_margin.get::<kelvin_interval>(),
                    _ => f64::NAN,
                },
                outlet.velocity_max.value,
                self.oil_return_ratio(outlet, duty),
                self.line.run().get::<meter>() * self.line.factors.length,
            ];
        }
        Reading { condition: duty.condition, march, values_si }
    }

    /// Rate of the gas in the worst riser over the least that carries oil there; not a number where no gas rises.
    fn oil_return_ratio(&self, outlet: &Outlet, duty: &Duty) -> f64 {
        let Some(gas) = outlet.riser.filter(|_| self.service.phase() == Phase::Vapour) else {
            return f64::NAN;
        };
        let least = oil_return::minimum_mass_rate(self.line.bore, gas.density, self.oil_density);
        let factors = &self.line.factors;
        least.map_or(f64::NAN, |least| {
            (duty.mass_rate * gas.share / least.value).value * factors.load / factors.oil_flux
        })
    }

    /// Worst value of each kind over its conditions: not a number where the kind does not apply, endless on the bad side
    /// where a march of one of its conditions failed.
    ///
    /// `inlets` are those of a line much like this one, and then those of this one.
    fn worst_values(&self, fluid: &dyn Refrigerant, inlets: &mut Inlets) -> [f64; COUNT] {
        let kinds = self.kinds();
        // A condition that no check of this line looks at is not marched.
        let looked_at =
            |duty: &&Duty| kinds.iter().any(|kind| conditions_of(*kind).contains(&duty.condition));
        let marched = |duty: &Duty| self.reading_near(fluid, duty, inlets.at(duty.condition));
        let readings: Vec<Reading> = self.duties.iter().filter(looked_at).map(marched).collect();
        inlets.note(&readings);
        self.worst_of(&readings)
    }

    fn readings(&self, fluid: &dyn Refrigerant) -> Vec<Reading> {
        self.duties.iter().map(|duty| self.reading(fluid, duty)).collect()
    }

    fn worst_of(&self, readings: &[Reading]) -> [f64; COUNT] {
        std::array::from_fn(|k| {
            let kind = KINDS[k];
            let Some(limit) = self.limit(kind) else { return f64::NAN };
            if kind == CheckKind::Run {
                return self.line.run().get::<meter>() * self.line.factors.length;
            }
            let failed = |reading: &Reading| {
                conditions_of(kind).contains(&reading.condition) && reading.march.is_err()
            };
            match (readings.iter().any(failed), limit.sense) {
                (true, Sense::AtMost) => f64::INFINITY,
                (true, Sense::AtLeast) => f64::NEG_INFINITY,
                (false, _) => worst(Some(limit), kind, readings).map_or(f64::NAN, |(_, value)| value),
            }
        })
    }

    /// Marches every duty, and judges every check of the line with its band.
    ///
    /// A check whose conditions could not all be formed is *not checked*, unless it fails already at one that could. No band
    /// reaches as far as a value that misses its limit by more than the limit itself: of such a line none is computed.
    #[must_use]
    pub fn judge(&self, fluid: &dyn Refrigerant, bands: &[(Lever, f64)]) -> Judged {
        self.judge_unless_missed(fluid, bands, 1.0)
    }

    /// [`judge`](Self::judge) for a choice among tubes: a line that misses a limit as such can not meet it with its band, and
    /// none is computed of it. Where no tube meets, judge them whole: with their bands some may be too close to call.
    #[must_use]
    pub fn judge_for_choice(&self, fluid: &dyn Refrigerant, bands: &[(Lever, f64)]) -> Judged {
        self.judge_unless_missed(fluid, bands, 0.0)
    }

    /// `missed`: by what share of a limit a line misses it of which no band is computed.
    fn judge_unless_missed(&self, fluid: &dyn Refrigerant, bands: &[(Lever, f64)], missed: f64) -> Judged {
        let readings = self.readings(fluid);
        let mut caveats = Caveats::default();
        for outcome in readings.iter().filter_map(|reading| reading.march.as_ref().ok()) {
            caveats.merge(outcome.caveats);
        }
        let nominal = self.worst_of(&readings);
        let bands = if self.misses(&nominal, missed) { &[] } else { bands };
        let mut inlets = Inlets::default();
        inlets.note(&readings);
        let spreads = self.spreads(fluid, nominal, bands, &inlets);
        let mut checks: Vec<Check> = self
            .kinds()
            .into_iter()
            .filter_map(|kind| self.limit(kind).map(|limit| self.check(kind, limit, &readings, &spreads)))
            .collect();
        checks.sort_by(worst_first);
        Judged { readings, checks, caveats }
    }

    fn misses(&self, values_si: &[f64; COUNT], share: f64) -> bool {
        self.kinds().into_iter().any(|kind| {
            let value_si = place_of(kind).map(|k| values_si[k]);
            self.limit(kind).zip(value_si).is_some_and(|(limit, value_si)| {
                // A limit of 0 has no size to miss it by a share of.
                let size = limit.value.si().abs();
                (size > 0.0 || share == 0.0) && limit.margin_si(value_si) < -share * size
            })
        })
    }

    /// The values with their bands.
    fn spreads(
        &self,
        fluid: &dyn Refrigerant,
        nominal: [f64; COUNT],
        bands: &[(Lever, f64)],
        inlets: &Inlets,
    ) -> [Spread; COUNT] {
        let study = |nudged: &Self| {
            // The oil-return criterion takes no part in a march: its doubt moves one ratio, inversely.
            let as_such = Factors { oil_flux: self.line.factors.oil_flux, ..nudged.line.factors };
            if as_such == self.line.factors {
                let mut values = nominal;
                values[OIL_RETURN] *= self.line.factors.oil_flux / nudged.line.factors.oil_flux;
                return Ok(values);
            }
            Ok(nudged.worst_values(fluid, &mut inlets.clone()))
        };
        let Ok::<_, Infallible>(spreads) = propagate_from(nominal, self, bands, study);
        spreads
    }

    fn check(&self, kind: CheckKind, limit: Limit, readings: &[Reading], spreads: &[Spread; COUNT]) -> Check {
        let mut check = Check {
            kind,
            value: None,
            limit,
            condition: None,
            band: None,
            leading: None,
            verdict: Verdict::NotChecked(Why::OutsideMethod),
            trouble: None,
        };
        let conditions = conditions_of(kind);
        let of_this_kind = || readings.iter().filter(|reading| conditions.contains(&reading.condition));
        if let Some((condition, error)) =
            of_this_kind().find_map(|reading| reading.march.err().map(|error| (reading.condition, error)))
        {
            check.condition = Some(condition);
            check.trouble = Some(error);
            check.verdict = match error {
                MarchError::PressureUsedUp { .. } | MarchError::NoInletPressure => Verdict::Fails,
                _ => Verdict::NotChecked(Why::Unmarched(error)),
            };
            return check;
        }
        if let Some((condition, value_si)) = worst(Some(limit), kind, readings) {
            let spread = place_of(kind).map(|k| spreads[k]);
            let half_width_si = spread.map_or(f64::INFINITY, |spread| spread.half_width);
            check.leading = spread.and_then(|spread| spread.leading);
            check.value = Some(limit.value.with_si(value_si));
            check.condition = Some(condition);
            check.band = Some(limit.value.with_si(half_width_si));
            check.verdict = judge(value_si, half_width_si, &limit);
        }
        let missing =
            conditions.iter().find(|wanted| !readings.iter().any(|reading| reading.condition == **wanted));
        if let Some(missing) = missing
            && (check.value.is_none() || check.verdict.severity() < Verdict::TooClose.severity())
        {
            check.verdict = Verdict::NotChecked(Why::ConditionMissing(*missing));
        }
        check
    }

    /// The case with its stretching leg changed so that the whole run is `run`; none where there is no such leg or the
    /// other legs alone are longer.
    #[must_use]
    pub fn stretched_to(&self, run: Length) -> Option<Self> {
        let index = self.stretch?;
        // The shortest run leaves nothing of the leg, but for the last digit of a sum.
        let left_m = (run - self.shortest_run()?).get::<meter>();
        (left_m > -1e-9).then(|| self.with_leg(index, Length::new::<meter>(left_m.max(0.0))))
    }

    fn with_leg(&self, index: usize, length: Length) -> Self {
        Self { line: self.line.with_leg_length(index, length), ..self.clone() }
    }

    /// The case with its rising legs taken out, and what they exchange with them: the rest of a line whose risers are made
    /// of other tube. Turns stay.
    #[must_use]
    pub fn without_risers(&self) -> Self {
        let rises = |element: &Element| matches!(element, Element::Leg { rise, .. } if rise.value > 0.0);
        let legs: Vec<bool> = self.line.legs().map(|(_, rise)| rise.value > 0.0).collect();
        let mut case = self.clone();
        case.line.elements.retain(|element| !rises(element));
        for duty in &mut case.duties {
            let mut rising = legs.iter();
            duty.exchanges.retain(|_| !rising.next().copied().unwrap_or(false));
        }
        case.stretch = None;
        case
    }

    /// The run that is left when the stretching leg shrinks to nothing.
    #[must_use]
    pub fn shortest_run(&self) -> Option<Length> {
        match self.line.elements.get(self.stretch?) {
            Some(Element::Leg { length, .. }) => Some(self.line.run() - *length),
            _ => None,
        }
    }

    /// The longest run of this tube at which every check still meets (band included): the stretching leg grows, all
    /// else stays, until the first check does not meet. None where no leg can grow.
    ///
    /// Conditions that could not be formed stop nothing: the answer holds for those that could. The band is followed
    /// along the run by a straight line through this run and the run found, and closed in on.
    #[must_use]
    pub fn allowable_length(
        &self,
        fluid: &dyn Refrigerant,
        bands: &[(Lever, f64)],
        longest_searched: Length,
    ) -> Option<AllowableLength<CheckKind>> {
        let (index, shortest) = (self.stretch?, self.shortest_run()?);
        // Every run that is searched is the shortest one and what it leaves for the leg.
        let stretched_to = |run: Length| self.with_leg(index, run - shortest);
        let longest = if longest_searched > shortest { longest_searched } else { shortest };
        let mut kinds = self.kinds();
        if self.limits.longest_run.is_some() {
            kinds.push(CheckKind::Run);
        }
        let seen: RefCell<BTreeMap<u64, [f64; COUNT]>> = RefCell::default();
        let inlets: RefCell<Inlets> = RefCell::default();
        let values_at = |run: Length| -> [f64; COUNT] {
            *seen
                .borrow_mut()
                .entry(run.value.to_bits())
                .or_insert_with(|| stretched_to(run).worst_values(fluid, &mut inlets.borrow_mut()))
        };
        let half_widths_at = |run: Length| -> [f64; COUNT] {
            let nominal = values_at(run);
            stretched_to(run).spreads(fluid, nominal, bands, &inlets.borrow()).map(|spread| spread.half_width)
        };
        // What does not meet at the shortest run even without its band needs no band.
        let at_shortest = values_at(shortest);
        let hopeless = kinds.iter().copied().find(|kind| {
            let margin = |k: usize| self.limit(*kind).map(|limit| limit.margin_si(at_shortest[k]));
            place_of(*kind).and_then(margin).is_some_and(|margin| margin < 0.0)
        });
        if let Some(by) = hopeless {
            return Some(AllowableLength::NeverMeets { by });
        }
        let mut known = KnownBands(vec![(shortest.value, half_widths_at(shortest))]);
        let mut found = AllowableLength::NotLimitedWithin { run: longest };
        for round in 0..5 {
            found = first_event(shortest, longest, &mut |run| {
                let values = values_at(run);
                let margins = kinds.iter().filter_map(|kind| {
                    let limit = self.limit(*kind)?;
                    let k = place_of(*kind)?;
                    // A check without a value at any formed condition stops nothing.
                    let scale = limit.value.si().abs().max(1e-3);
                    (!values[k].is_nan()).then(|| {
                        (*kind, (limit.margin_si(values[k]) - known.half_width(run.value, k)) / scale)
                    })
                });
                margins.collect()
            });
            let AllowableLength::Stops { run, .. } = found else { break };
            // Near a run where the bands are known they are as good as straight.
            let away_m = known.distance(run.value);
            if away_m < 2e-3 || (round > 1 && away_m < 2e-3 * run.value) || round == 4 {
                break;
            }
            known.insert(run.value, half_widths_at(run));
        }
        Some(found)
    }
}

/// Half-widths of the values at some runs, m, in rising order; never empty.
struct KnownBands(Vec<(f64, [f64; COUNT])>);

impl KnownBands {
    fn insert(&mut self, run_m: f64, half_widths: [f64; COUNT]) {
        let place = self.0.partition_point(|(at_m, _)| *at_m < run_m);
        self.0.insert(place, (run_m, half_widths));
    }

    /// Distance to the nearest run of them, m.
    fn distance(&self, run_m: f64) -> f64 {
        self.0.iter().map(|(at_m, _)| (at_m - run_m).abs()).fold(f64::INFINITY, f64::min)
    }

    /// Straight between two runs; beyond the last as from the first to the last. Two runs that lie close together say nothing of
    /// others far off.
    fn half_width(&self, run_m: f64, k: usize) -> f64 {
        let (first, last) = (0, self.0.len() - 1);
        let (from, to) = match self.0.partition_point(|(at_m, _)| *at_m < run_m) {
            0 => (first, first),
            after if after > last => (first, last),
            after => (after - 1, after),
        };
        let ((from_m, from), (to_m, to)) = (&self.0[from], &self.0[to]);
        let (from, to) = (from[k], to[k]);
        if to_m <= from_m || !(from.is_finite() && to.is_finite()) {
            return from;
        }
        (from + (run_m - from_m) / (to_m - from_m) * (to - from)).max(0.0)
    }
}

/// Drop as change of saturation temperature, K: vapour by all effects on the dew line; liquid by friction and fittings
/// on the bubble line (height does not cost capacity; what it does to flashing is the flash margin's business).
fn saturated_temperature_drop_k(fluid: &dyn Refrigerant, service: Service, outlet: &Outlet) -> f64 {
    let inlet = outlet.inlet.pressure;
    let difference = match service.phase() {
        Phase::Vapour => fluid
            .dew_temperature(inlet)
            .and_then(|from| Ok(delta(from.get(), fluid.dew_temperature(outlet.outlet.pressure)?.get()))),
        Phase::Liquid => {
            let lost = outlet.friction_drop + outlet.fittings_drop;
            fluid.bubble_temperature(inlet).and_then(|from| {
                let to = fluid.bubble_temperature(AbsolutePressure::new(inlet.get() - lost))?;
                Ok(delta(from.get(), to.get()))
            })
        }
    };
    difference.map_or(f64::NAN, |difference| difference.get::<kelvin_interval>())
}

/// The governing condition of a kind and its value.
fn worst(limit: Option<Limit>, kind: CheckKind, readings: &[Reading]) -> Option<(Condition, f64)> {
    let limit = limit?;
    let conditions = conditions_of(kind);
    readings
        .iter()
        .filter(|reading| conditions.contains(&reading.condition))
        .filter_map(|reading| reading.value_si(kind).map(|value| (reading.condition, value)))
        .min_by(|a, b| limit.margin_si(a.1).total_cmp(&limit.margin_si(b.1)))
}

fn worst_first(a: &Check, b: &Check) -> std::cmp::Ordering {
    let margin = |check: &Check| check.relative_margin().unwrap_or(f64::NEG_INFINITY);
    b.verdict.severity().cmp(&a.verdict.severity()).then(margin(a).total_cmp(&margin(b)))
}

/// The run of a route against the maker's longest, with the band of its measurement (`length_band` relative).
#[must_use]
pub fn run_check(run: Length, limit: Limit, length_band: f64) -> Check {
    length_check(CheckKind::Run, run, limit, length_band)
}

/// The height between head and condenser against the maker's greatest, with the band of its measurement.
#[must_use]
pub fn rise_check(rise: Length, limit: Limit, length_band: f64) -> Check {
    length_check(CheckKind::Rise, rise, limit, length_band)
}

fn length_check(kind: CheckKind, length: Length, limit: Limit, length_band: f64) -> Check {
    let half_width_si = length.value.abs() * length_band;
    Check {
        kind,
        value: Some(Measure::Length(length)),
        limit,
        condition: None,
        band: Some(limit.value.with_si(half_width_si)),
        leading: Some(Lever::Length),
        verdict: judge(length.value, half_width_si, &limit),
        trouble: None,
    }
}

/// What presses on a line against what bears it, with the bands of both: [`CheckKind::WorkingPressure`] or
/// [`CheckKind::RatedPressure`].
#[must_use]
pub fn pressure_check(kind: CheckKind, pair: &Governing, whose: Whose) -> Check {
    Check {
        kind,
        value: Some(Measure::GaugePressure(pair.pressing.pressure)),
        limit: Limit { value: Measure::GaugePressure(pair.bearing.pressure), sense: Sense::AtMost, whose },
        condition: None,
        band: Some(Measure::GaugePressure(GaugePressure::new(pair.half_width()))),
        verdict: pair.verdict,
        trouble: None,
        leading: None,
    }
}

/// The tube to take among cases ordered from the smallest bore: the first whose every check meets; else the first of
/// the least severe, within its limits rather than beyond. A tube that fails, or of which a check can not be computed, is never taken; a check whose condition
/// is not stated, or that no tube changes, is the same for all tubes and refuses none.
#[must_use]
pub fn choose(judged: &[Judged]) -> Option<usize> {
    let usable = |candidate: &Judged| {
        candidate.checks_of_tube().all(|check| match check.verdict {
            Verdict::Meets | Verdict::TooClose => true,
            Verdict::NotChecked(why) => why.is_of_every_tube(),
            Verdict::Fails => false,
        })
    };
    let severity = |candidate: &Judged| {
        candidate.checks_of_tube().map(|check| check.verdict.severity()).max().unwrap_or(0)
    };
    let least = judged.iter().filter(|candidate| usable(candidate)).map(severity).min()?;
    let of_least = |candidate: &Judged| usable(candidate) && severity(candidate) == least;
    // Of those that are too close to call one that lies within its limits comes before one that lies beyond.
    let within = |candidate: &Judged| {
        let margins = candidate.checks_of_tube().filter_map(Check::relative_margin);
        margins.fold(f64::INFINITY, f64::min) >= 0.0
    };
    let first = |wanted: &dyn Fn(&Judged) -> bool| {
        judged.iter().position(|candidate| of_least(candidate) && wanted(candidate))
    };
    first(&within).or_else(|| first(&|_| true))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        fluid::test_fluid::TestFluid,
        units::{Bore, Pressure, Ratio, TemperatureInterval, ThermodynamicTemperature, Velocity},
    };
    use uom::si::{
        length::millimeter, mass_density::kilogram_per_cubic_meter, mass_rate::kilogram_per_second,
        ratio::ratio, thermodynamic_temperature::kelvin, velocity::meter_per_second,
    };

    const BANDS: [(Lever, f64); 5] = [
        (Lever::Density, 0.002),
        (Lever::Viscosity, 0.05),
        (Lever::Friction, 0.05),
        (Lever::Length, 0.02),
        (Lever::OilFlux, 0.1),
    ];

    fn kelvins(value: f64) -> Measure {
        Measure::TemperatureDifference(TemperatureInterval::new::<kelvin_interval>(value))
    }

    fn limits() -> Limits {
        let practice = |value, sense| Limit { value, sense, whose: Whose::Practice };
        Limits {
            saturated_temperature_drop: practice(kelvins(1.1), Sense::AtMost),
            velocity: practice(Measure::Velocity(Velocity::new::<meter_per_second>(18.0)), Sense::AtMost),
            flash_margin: practice(kelvins(0.0), Sense::AtLeast),
            oil_return: practice(Measure::Ratio(Ratio::new::<ratio>(1.15)), Sense::AtLeast),
            longest_run: None,
        }
    }

    fn leg(length_m: f64, rise_m: f64) -> Element {
        Element::Leg { length: Length::new::<meter>(length_m), rise: Length::new::<meter>(rise_m) }
    }

    fn state_of(service: Service, kelvin_k: f64) -> crate::fluid::State {
        let (pressure, temperature) =
            (AbsolutePressure::from_pascal(15e5), ThermodynamicTemperature::new::<kelvin>(kelvin_k));
        match service.phase() {
            Phase::Vapour => TestFluid.vapour_at(pressure, temperature).unwrap(),
            Phase::Liquid => TestFluid.liquid_at(pressure, temperature).unwrap(),
        }
    }

    fn duty(service: Service, condition: Condition, rate_kg_s: f64) -> Duty {
        let pressure = AbsolutePressure::from_pascal(15e5);
        let (held, temperature_k) = match service {
            Service::Discharge => (Held::Outlet(pressure), 370.0),
            Service::Suction => (Held::Inlet(pressure), 345.0),
            _ => (Held::Inlet(pressure), 320.0),
        };
        let enthalpy = state_of(service, temperature_k).enthalpy;
        let mass_rate = MassRate::new::<kilogram_per_second>(rate_kg_s);
        Duty { condition, held, enthalpy, mass_rate, exchanges: Vec::new() }
    }

    fn case(service: Service, bore_mm: f64, elements: Vec<Element>) -> Case {
        let duties = [
            (Condition::Summer, 0.03),
            (Condition::LowHead, 0.03),
            (Condition::Peak, 0.05),
            (Condition::LeastLoad, 0.018),
        ];
        Case {
            service,
            line: Line::new(
                Bore::new(Length::new::<millimeter>(bore_mm)),
                Length::new::<millimeter>(0.0015),
                elements,
            ),
            duties: duties.map(|(condition, rate)| duty(service, condition, rate)).to_vec(),
            limits: limits(),
            oil_density: MassDensity::new::<kilogram_per_cubic_meter>(900.0),
            stretch: Some(0),
        }
    }

    fn discharge(bore_mm: f64) -> Case {
        case(Service::Discharge, bore_mm, vec![leg(12.0, 0.0), leg(6.0, 6.0)])
    }

    fn check_of(judged: &Judged, kind: CheckKind) -> Check {
        *judged.checks.iter().find(|check| check.kind == kind).unwrap()
    }

    #[test]
    fn each_service_is_called_by_its_own_word() {
        assert!(Service::NAMED.iter().all(|(name, service)| service.name() == *name));
    }

    #[test]
    fn each_service_has_its_checks() {
        let kinds = |service, rise| case(service, 12.0, vec![leg(12.0, 0.0), leg(6.0, rise)]).kinds();
        assert!(kinds(Service::Discharge, 6.0).contains(&CheckKind::OilReturn));
        assert!(!kinds(Service::Discharge, -6.0).contains(&CheckKind::OilReturn));
        assert!(kinds(Service::Liquid, 6.0).contains(&CheckKind::FlashMargin));
        assert!(!kinds(Service::Liquid, 6.0).contains(&CheckKind::OilReturn));
        assert_eq!(kinds(Service::Drain, -6.0), [CheckKind::Velocity]);
    }

    #[test]
    fn without_its_risers_a_line_keeps_all_else_and_what_its_legs_exchange() {
        let turn = Element::Resistance { coefficient: Ratio::new::<ratio>(0.5) };
        let mut whole =
            case(Service::Discharge, 12.0, vec![leg(4.0, 0.0), turn, leg(6.0, 6.0), turn, leg(3.0, -3.0)]);
        let exchange = |w_m_k: f64| Linear {
            conductance: crate::units::ConductancePerLength::new::<
                uom::si::thermal_conductivity::watt_per_meter_kelvin,
            >(w_m_k),
            surroundings: ThermodynamicTemperature::new::<kelvin>(300.0),
        };
        for duty in &mut whole.duties {
            duty.exchanges = vec![exchange(1.0), exchange(2.0), exchange(3.0)];
        }
        let rest = whole.without_risers();
        assert_eq!(rest.line.elements, [leg(4.0, 0.0), turn, turn, leg(3.0, -3.0)]);
        assert!(rest.duties.iter().all(|duty| duty.exchanges == [exchange(1.0), exchange(3.0)]));
        assert_eq!((rest.stretch, rest.line.has_riser()), (None, false));
    }

    /// Friction is the widest of the bands of a drop, the criterion's own that of oil return; lengths alone move a run.
    #[test]
    fn a_check_knows_the_doubt_that_widens_its_band_most() {
        let bands = [(Lever::Friction, 0.1), (Lever::Density, 0.002), (Lever::OilFlux, 0.1)];
        let judged = discharge(12.0).judge(&TestFluid, &bands);
        let drop = check_of(&judged, CheckKind::SaturatedTemperatureDrop);
        assert_eq!(drop.leading, Some(Lever::Friction));
        assert_eq!(check_of(&judged, CheckKind::OilReturn).leading, Some(Lever::OilFlux));
        let limit = Limit {
            value: Measure::Length(Length::new::<meter>(30.0)),
            sense: Sense::AtMost,
            whose: Whose::Maker,
        };
        let run = run_check(Length::new::<meter>(29.9), limit, 0.02);
        assert_eq!((run.verdict, run.leading), (Verdict::TooClose, Some(Lever::Length)));
    }

    #[test]
    fn each_check_is_judged_at_its_own_condition() {
        let judged = discharge(12.0).judge(&TestFluid, &BANDS);
        assert_eq!(check_of(&judged, CheckKind::SaturatedTemperatureDrop).condition, Some(Condition::Summer));
        assert_eq!(check_of(&judged, CheckKind::Velocity).condition, Some(Condition::Peak));
        assert_eq!(check_of(&judged, CheckKind::OilReturn).condition, Some(Condition::LeastLoad));
        let velocity = check_of(&judged, CheckKind::Velocity).value.unwrap().si();
        let summer = judged.at(Condition::Summer).unwrap().value_si(CheckKind::Velocity).unwrap();
        assert!(velocity / summer > 1.5 && velocity / summer < 1.8);
    }

    #[test]
    fn oil_return_is_the_rate_over_the_least_that_carries() {
        let judged = discharge(12.0).judge(&TestFluid, &BANDS);
        let outlet = judged.at(Condition::LeastLoad).unwrap().march.unwrap().value;
        let bore = Bore::new(Length::new::<millimeter>(12.0));
        let oil = MassDensity::new::<kilogram_per_cubic_meter>(900.0);
        let least = oil_return::minimum_mass_rate(bore, outlet.riser.unwrap().density, oil).unwrap().value;
        approx::assert_relative_eq!(
            check_of(&judged, CheckKind::OilReturn).value.unwrap().si(),
            0.018 / least.value,
            max_relative = 1e-12
        );
    }

    #[test]
    fn a_missing_condition_is_said_unless_the_check_fails_anyway() {
        let mut narrow = discharge(6.0);
        narrow.duties.retain(|duty| duty.condition != Condition::LeastLoad);
        let mut wide = discharge(26.0);
        wide.duties = narrow.duties.clone();
        let (narrow, wide) = (narrow.judge(&TestFluid, &BANDS), wide.judge(&TestFluid, &BANDS));
        let oil = check_of(&narrow, CheckKind::OilReturn);
        assert_eq!(oil.verdict, Verdict::NotChecked(Why::ConditionMissing(Condition::LeastLoad)));
        assert!(oil.value.is_some(), "what could be computed is still told");
        assert_eq!(check_of(&wide, CheckKind::OilReturn).verdict, Verdict::Fails);
        let mut no_peak = discharge(12.0);
        no_peak.duties.retain(|duty| duty.condition != Condition::Peak);
        let velocity = check_of(&no_peak.judge(&TestFluid, &BANDS), CheckKind::Velocity);
        assert_eq!(velocity.verdict, Verdict::NotChecked(Why::ConditionMissing(Condition::Peak)));
    }

    #[test]
    fn a_velocity_that_is_too_high_in_summer_already_fails_without_a_stated_peak() {
        let mut no_peak = discharge(6.0);
        no_peak.duties.retain(|duty| duty.condition != Condition::Peak);
        let velocity = check_of(&no_peak.judge(&TestFluid, &BANDS), CheckKind::Velocity);
        assert_eq!((velocity.verdict, velocity.condition), (Verdict::Fails, Some(Condition::Summer)));
    }

    #[test]
    fn a_march_that_fails_at_one_condition_leaves_the_bands_of_the_others_alone() {
        let mut at_peak = discharge(8.0);
        at_peak.duties[2].mass_rate = MassRate::new::<kilogram_per_second>(0.5);
        let judged = at_peak.judge(&TestFluid, &BANDS);
        assert_eq!(check_of(&judged, CheckKind::Velocity).verdict, Verdict::Fails);
        let drop = check_of(&judged, CheckKind::SaturatedTemperatureDrop);
        assert!(drop.band.unwrap().si() < 1.0, "{drop:?}");
        assert_eq!(drop.verdict, Verdict::Fails);
        assert_eq!(check_of(&judged, CheckKind::OilReturn).verdict, Verdict::Meets);
    }

    #[test]
    fn gas_heavier_than_the_oil_leaves_oil_return_unchecked() {
        let mut light_oil = discharge(12.0);
        light_oil.oil_density = MassDensity::new::<kilogram_per_cubic_meter>(10.0);
        let oil = check_of(&light_oil.judge(&TestFluid, &BANDS), CheckKind::OilReturn);
        assert_eq!(oil.verdict, Verdict::NotChecked(Why::OutsideMethod));
    }

    #[test]
    fn used_up_pressure_fails_and_a_state_outside_the_data_is_not_checked() {
        let suction = case(Service::Suction, 2.0, vec![leg(30.0, 0.0)]);
        let check = check_of(&suction.judge(&TestFluid, &BANDS), CheckKind::SaturatedTemperatureDrop);
        assert!(check.trouble.is_some() && check.value.is_none());
        assert!(check.verdict.severity() >= 1);
        let mut outside = discharge(12.0);
        outside.duties[0].held = Held::Outlet(AbsolutePressure::from_pascal(9e6));
        let check = check_of(&outside.judge(&TestFluid, &BANDS), CheckKind::SaturatedTemperatureDrop);
        assert!(matches!(check.verdict, Verdict::NotChecked(Why::Unmarched(MarchError::Property { .. }))));
    }

    #[test]
    fn bands_widen_with_doubt_and_can_leave_a_check_too_close() {
        let plain = check_of(&discharge(12.0).judge(&TestFluid, &[]), CheckKind::SaturatedTemperatureDrop);
        assert_eq!(plain.band.unwrap().si(), 0.0);
        let value = plain.value.unwrap().si();
        let mut near = discharge(12.0);
        near.limits.saturated_temperature_drop.value = kelvins(value * 1.001);
        let verdict = |bands: &[(Lever, f64)]| {
            check_of(&near.judge(&TestFluid, bands), CheckKind::SaturatedTemperatureDrop).verdict
        };
        assert_eq!(verdict(&[]), Verdict::Meets);
        assert_eq!(verdict(&BANDS), Verdict::TooClose);
    }

    #[test]
    fn flash_margin_is_the_least_along_the_line_at_its_worst_condition() {
        let judged =
            case(Service::Liquid, 7.0, vec![leg(12.0, 0.0), leg(6.0, 6.0)]).judge(&TestFluid, &BANDS);
        let flash = check_of(&judged, CheckKind::FlashMargin);
        let least = |condition| judged.at(condition).unwrap().march.unwrap().value.least_phase_margin.value;
        assert_eq!(
            (flash.condition, flash.value.unwrap().si()),
            (Some(Condition::Peak), least(Condition::Peak))
        );
        assert!(least(Condition::Peak) < least(Condition::Summer));
    }

    #[test]
    fn fittings_count_in_the_drop_of_a_liquid_line() {
        let drop = |elements| {
            let judged = case(Service::Liquid, 8.0, elements).judge(&TestFluid, &BANDS);
            check_of(&judged, CheckKind::SaturatedTemperatureDrop).value.unwrap().si()
        };
        let valve = Element::Resistance { coefficient: Ratio::new::<ratio>(10.0) };
        assert!(drop(vec![leg(12.0, 0.0), valve]) > 1.2 * drop(vec![leg(12.0, 0.0)]));
    }

    #[test]
    fn each_lever_reaches_the_check_that_it_is_about() {
        let band = |lever, by| {
            let judged = discharge(12.0).judge(&TestFluid, &[(lever, by)]);
            let oil = check_of(&judged, CheckKind::OilReturn);
            oil.band.unwrap().si() / oil.value.unwrap().si()
        };
        // A criterion a tenth lower is passed by a ninth more.
        approx::assert_relative_eq!(band(Lever::OilFlux, 0.1), 1.0 / 0.9 - 1.0, max_relative = 1e-9);
        // The least flow goes with about the root of the gas density.
        assert!(band(Lever::Density, 0.02) > 0.009 && band(Lever::Density, 0.02) < 0.011);
    }

    #[test]
    fn liquid_drop_leaves_height_to_the_flash_margin() {
        let level = case(Service::Liquid, 8.0, vec![leg(18.0, 0.0)]).judge(&TestFluid, &BANDS);
        let falling =
            case(Service::Liquid, 8.0, vec![leg(12.0, 0.0), leg(6.0, -6.0)]).judge(&TestFluid, &BANDS);
        let drop =
            |judged: &Judged| check_of(judged, CheckKind::SaturatedTemperatureDrop).value.unwrap().si();
        // Falling liquid warms by 0.04 K, which thins it by 5 parts in a million.
        approx::assert_relative_eq!(drop(&level), drop(&falling), max_relative = 1e-5);
        let at_outlet =
            |judged: &Judged| judged.at(Condition::Summer).unwrap().march.unwrap().value.outlet.pressure;
        assert!(at_outlet(&falling) > at_outlet(&level));
    }

    #[test]
    fn allowable_length_is_where_the_banded_verdict_turns() {
        for bore in [9.0, 11.0, 13.0] {
            let case = discharge(bore);
            let length = Length::new::<meter>;
            let found = case.allowable_length(&TestFluid, &BANDS, length(400.0));
            let Some(AllowableLength::Stops { run, by }) = found else { panic!("{bore}: {found:?}") };
            let severity = |run| case.stretched_to(run).unwrap().judge(&TestFluid, &BANDS).severity();
            assert_eq!(severity(run - length(0.05)), 0, "{bore}");
            assert_eq!(severity(run + length(0.05)), 2, "{bore}");
            assert_eq!(by, CheckKind::SaturatedTemperatureDrop);
        }
    }

    #[test]
    fn makers_longest_run_stops_a_tube_that_physics_would_let_go_on() {
        let mut case = discharge(13.0);
        let metres = Measure::Length(Length::new::<meter>(20.0));
        case.limits.longest_run = Some(Limit { value: metres, sense: Sense::AtMost, whose: Whose::Maker });
        let found = case.allowable_length(&TestFluid, &BANDS, Length::new::<meter>(400.0));
        let Some(AllowableLength::Stops { run, by: CheckKind::Run }) = found else { panic!("{found:?}") };
        // 20 m less the 2 % band of the tape.
        assert!((run.get::<meter>() - 20.0 / 1.02).abs() < 0.01, "{run:?}");
    }

    #[test]
    fn oil_return_never_meets_however_short() {
        let found = discharge(26.0).allowable_length(&TestFluid, &BANDS, Length::new::<meter>(400.0));
        assert_eq!(found, Some(AllowableLength::NeverMeets { by: CheckKind::OilReturn }));
    }

    #[test]
    fn the_shortest_run_of_any_route_can_be_marched() {
        let mut case = discharge(12.0);
        let index = case.stretch.unwrap();
        for tenths in 1..600 {
            case.line = case.line.with_leg_length(index, Length::new::<meter>(0.1 * f64::from(tenths)));
            let shortest = case.shortest_run().unwrap();
            let stretched = case.stretched_to(shortest).unwrap_or_else(|| panic!("{tenths}"));
            assert!((stretched.line.run() - shortest).value.abs() < 1e-9, "{tenths}");
        }
    }

    #[test]
    fn a_route_without_a_level_leg_has_no_allowable_length() {
        let mut case = discharge(12.0);
        case.stretch = None;
        assert_eq!(case.allowable_length(&TestFluid, &BANDS, Length::new::<meter>(400.0)), None);
        assert_eq!(case.stretched_to(Length::new::<meter>(20.0)), None);
        case.stretch = Some(0);
        assert_eq!(case.stretched_to(Length::new::<meter>(5.0)), None, "the riser alone is longer");
        assert_eq!(case.shortest_run(), Some(Length::new::<meter>(6.0)));
    }

    #[test]
    fn the_smallest_that_meets_is_taken_then_the_smallest_that_does_not_fail() {
        let judged = |severities: &[Verdict]| -> Vec<Judged> {
            let check = check_of(&discharge(12.0).judge(&TestFluid, &[]), CheckKind::Velocity);
            let with = |verdict: &Verdict| Judged {
                readings: vec![],
                checks: vec![Check { verdict: *verdict, ..check }],
                caveats: Caveats::default(),
            };
            severities.iter().map(with).collect()
        };
        use Verdict::{Fails, Meets, TooClose};
        let unstated = Verdict::NotChecked(Why::ConditionMissing(Condition::Peak));
        let unknown = Verdict::NotChecked(Why::OutsideMethod);
        assert_eq!(choose(&judged(&[Fails, TooClose, Meets, Meets])), Some(2));
        assert_eq!(choose(&judged(&[Fails, TooClose, Fails])), Some(1));
        assert_eq!(choose(&judged(&[TooClose, unstated])), Some(1));
        assert_eq!(choose(&judged(&[unknown, TooClose])), Some(1));
        assert_eq!(choose(&judged(&[unknown, Fails])), None);
        assert_eq!(choose(&judged(&[Fails, Fails])), None);
        // No tube changes the pressure at standstill, nor what a part is rated for.
        let beyond = Verdict::NotChecked(Why::PressureUnknown);
        assert_eq!(choose(&judged(&[Fails, beyond])), Some(1));
        assert_eq!(choose(&judged(&[Verdict::NotChecked(Why::Unrated), TooClose])), Some(1));
        let mut with_weak_part = judged(&[TooClose, Meets]);
        for tube in &mut with_weak_part {
            let velocity = tube.checks[0];
            tube.add(Check { kind: CheckKind::RatedPressure, verdict: Fails, ..velocity });
            assert_eq!(tube.checks[0].kind, CheckKind::RatedPressure, "worst first");
        }
        assert_eq!(choose(&with_weak_part), Some(1));
    }

    /// What is judged for a choice is judged alike, but for tubes that miss a limit as such: these fail either way or are no
    /// more than too close, and the first that settles the choice is the one chosen.
    #[test]
    fn the_first_tube_that_settles_the_choice_is_the_one_chosen() {
        let tubes: Vec<Case> = (4..20).map(|bore_mm| discharge(f64::from(bore_mm))).collect();
        let whole: Vec<Judged> = tubes.iter().map(|tube| tube.judge(&TestFluid, &BANDS)).collect();
        let quick: Vec<Judged> = tubes.iter().map(|tube| tube.judge_for_choice(&TestFluid, &BANDS)).collect();
        let chosen = choose(&whole);
        assert!(chosen.is_some_and(|index| index > 0), "{chosen:?}");
        assert_eq!(quick.iter().position(Judged::settles), chosen);
        for (whole, quick) in whole.iter().zip(&quick) {
            if quick.settles() {
                assert_eq!(whole.checks, quick.checks);
            }
        }
    }

    #[test]
    fn a_pressure_check_has_both_pressures_and_both_bands() {
        use crate::strength::bounds::{Bound, What, governing};
        use uom::si::pressure::bar;
        let bound = |what, value: f64, half_width: f64| Bound {
            what,
            pressure: GaugePressure::new(Pressure::new::<bar>(value)),
            half_width: Pressure::new::<bar>(half_width),
        };
        let pair =
            governing(&[bound(What::Tube, 40.0, 0.4), bound(What::BubblePressure, 25.0, 0.3)]).unwrap();
        let check = pressure_check(CheckKind::WorkingPressure, &pair, Whose::Physics);
        let si = |measure: Option<Measure>| measure.unwrap().si();
        approx::assert_relative_eq!(si(check.value), 25e5, max_relative = 1e-12);
        approx::assert_relative_eq!(check.margin_si().unwrap(), 15e5, max_relative = 1e-12);
        approx::assert_relative_eq!(si(check.band), 0.5e5, max_relative = 1e-12);
        assert_eq!((check.verdict, check.limit.whose), (Verdict::Meets, Whose::Physics));
    }

    #[test]
    fn run_and_rise_carry_the_band_of_the_tape() {
        let metres = |value| Measure::Length(Length::new::<meter>(value));
        let limit = Limit { value: metres(30.0), sense: Sense::AtMost, whose: Whose::Maker };
        let run = run_check(Length::new::<meter>(29.9), limit, 0.02);
        assert_eq!((run.kind, run.verdict), (CheckKind::Run, Verdict::TooClose));
        let rise = rise_check(Length::new::<meter>(12.0), limit, 0.02);
        assert_eq!(
            (rise.kind, rise.verdict, rise.band),
            (CheckKind::Rise, Verdict::Meets, Some(metres(0.24)))
        );
    }
}
