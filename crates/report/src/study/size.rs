//! The size study: every stocked tube of every line judged, one taken, the reasons told.

use super::{
    alternatives, branch,
    check::unmade,
    elements::{count_turns, turn_key, uncounted},
    heat, kits, oil, pictures,
    resolve::{Resolved, ResolvedLine, ResolvedSet},
    strength::{self, LineStrength},
    wording,
};
use crate::{
    figure::{self, Figure, Units},
    job::{Duty, HeadPressureSetting, Located, SaturatedTemperature, SaturationEnd},
    view::{
        BranchView, CandidateView, CheckView, ConditionView, EchoView, LineView, SetSizeView, SizeView,
        TubeView, VerdictView,
    },
};
use physics::{
    check::{Check, CheckKind, Condition, Measure, Verdict, Whose},
    fluid::Refrigerant,
    line::AllowableLength,
    operation::OperatingPoint,
    outcome::Method,
    sizing::{Case, Judged, Service, choose, conditions_of, rise_check, run_check},
    units::{
        Length, TemperatureInterval, ThermodynamicTemperature, Velocity,
        unit::{length::meter, velocity::meter_per_second},
    },
};
use tables::{Library, tubes::TubeProduct};

/// Judges every line of every set.
#[must_use]
pub fn size(resolved: &Resolved<'_>) -> SizeView {
    let mut ledger = resolved.ledger.clone();
    ledger.note_words("pressure drop along a line", Method::March.source(), "published");
    ledger.note_words("oil return in risers", Method::OilFlux.source(), "memory");
    let mut sets = Vec::new();
    for set in &resolved.sets {
        let sized = SizedSet::new(set, resolved.library);
        for line in &sized.lines {
            if let Some(product) = line.taken_product() {
                ledger.note(format!("tube {}", product.printed_name()), &product.source);
                if let Some(fitting) = resolved.library.fittings().three_k(turn_key(line.line.text, product))
                {
                    ledger.note(format!("turns as {}", fitting.key), &fitting.loss.source);
                }
                line.strength_of_taken()
                    .inspect(|strength| strength.note(&mut ledger, set, product, resolved.library));
            }
        }
        let view = sized.view(resolved);
        oil::note(&mut ledger, &view.lines, resolved);
        alternatives::note(&mut ledger, &sized, &view.lines, resolved.library.strength().copper());
        if view.branch.is_some() {
            branch::note(&mut ledger, resolved);
        }
        sets.push(view);
    }
    SizeView {
        job: resolved.job.name.value.clone(),
        verdict: worst(sets.iter().map(|set| set.verdict)),
        sets,
        not_contained: unused_inputs(resolved)
            .into_iter()
            .chain([
            "strength of joints, fittings and unrated parts, size and place of the relief, test pressure",
            "the condenser, winter charge and receiver fill (`lineset charge`)",
        ].map(str::to_owned))
        .collect(),
        sources: ledger.into_view(),
        cautions: wording::cautions(),
    }
}

/// What the job states and nothing in this sheet uses.
fn unused_inputs(resolved: &Resolved<'_>) -> Option<String> {
    let job = resolved.job;
    let any = |test: fn(&crate::job::Set) -> bool| job.sets.iter().any(test);
    let unused: Vec<&str> = [
        (any(|set| set.maker.as_ref().is_some_and(|m| m.covered_winter.is_some())), "maker.covered_winter"),
        (any(|set| set.greatest_condensing.is_some()), "greatest_condensing"),
        (any(|set| set.receiver.volume.is_some()), "receiver_volume"),
        (any(|set| set.oil_per_charge.is_some()), "oil_per_charge"),
        (any(|set| set.room.is_some()), "room"),
        (job.site.roof_allowance.is_some(), "site.roof_allowance"),
        (!job.condensers.is_empty(), "condenser"),
        (!job.layouts.is_empty(), "layout"),
        (job.roof.is_some(), "roof"),
        (job.year.is_some(), "year"),
    ]
    .into_iter()
    .filter_map(|(stated, name)| stated.then_some(name))
    .collect();
    (!unused.is_empty()).then(|| format!("use of what the job states as {}", unused.join(", ")))
}

/// One set with all its tubes judged.
pub(super) struct SizedSet<'a> {
    pub(super) set: &'a ResolvedSet<'a>,
    pub(super) lines: Vec<SizedLine<'a>>,
}

/// One line with its tubes judged: all of them, but for [`SizedSet::until_taken`].
pub(super) struct SizedLine<'a> {
    pub(super) line: &'a ResolvedLine<'a>,
    pub(super) judged: Vec<Judged>,
    strengths: Vec<LineStrength>,
    pub(super) cases: Vec<Case>,
    pub(super) taken: Option<usize>,
    /// Place among the candidates of the first tube judged.
    first: usize,
}

impl<'a> SizedSet<'a> {
    pub(super) fn new(set: &'a ResolvedSet<'a>, library: &Library) -> Self {
        Self { set, lines: set.lines.iter().map(|line| SizedLine::new(set, line, library)).collect() }
    }

    /// With no more tubes judged than it takes to find those that [`new`](Self::new) takes, and these judged alike.
    pub(super) fn until_taken(set: &'a ResolvedSet<'a>, library: &Library) -> Self {
        Self { set, lines: set.lines.iter().map(|line| SizedLine::until_taken(set, line, library)).collect() }
    }

    /// The checks of the set as a whole, run, rise, equipment and branch budget, and what the budget consists of.
    pub(super) fn checks(&self, resolved: &Resolved<'_>) -> (Vec<CheckView>, Option<BranchView>) {
        let mut checks = route_checks(self.set);
        checks.extend(strength::equipment_check(self.set, resolved.library, resolved.units()));
        let (branch_check, branch) = branch::branch(self, resolved).unzip();
        checks.extend(branch_check);
        (checks, branch.flatten())
    }

    fn view(&self, resolved: &Resolved<'_>) -> SetSizeView {
        let set = self.set;
        let (checks, branch) = self.checks(resolved);
        let lines: Vec<LineView> = self.lines.iter().map(|line| line.view(set, resolved)).collect();
        let of_lines = lines.iter().map(|line| verdict_of_line(line.tube.is_some(), &line.checks));
        let verdict = worst(checks.iter().map(|check| check.verdict).chain(of_lines.collect::<Vec<_>>()));
        let maker = set.set.maker.as_ref();
        let metres = |length: Option<Located<Length>>| length.map(|length| length.value.get::<meter>());
        SetSizeView {
            name: set.set.name.value.clone(),
            refrigerant: set.refrigerant.clone(),
            verdict,
            run_m: set.set.route.run().get::<meter>(),
            covered_run_m: maker.and_then(|maker| metres(maker.covered_run)),
            longest_run_m: maker.and_then(|maker| metres(maker.longest_run)),
            conditions: set
                .points
                .iter()
                .map(|(condition, point)| condition_view(resolved, set, *condition, *point))
                .collect(),
            checks,
            isometric: pictures::isometric(set, &lines),
            branch,
            kit: kits::kit(self, resolved),
            lines,
            echo: echo(resolved, set),
            assumptions: set
                .assumptions
                .iter()
                .cloned()
                .chain(
                    set.strength
                        .assumptions(self.lines.iter().map(|line| line.line.service), resolved.units()),
                )
                .collect(),
        }
    }
}

impl<'a> SizedLine<'a> {
    fn new(set: &'a ResolvedSet<'a>, line: &'a ResolvedLine<'a>, library: &Library) -> Self {
        let cases: Vec<Case> = line.candidates.iter().map(|tube| set.case(line, tube, library)).collect();
        let mut judged: Vec<Judged> = cases.iter().map(|case| case.judge(&set.fluid, &line.bands)).collect();
        let strengths = strength::join(set, line, &line.candidates, &mut judged, library);
        let taken = line.stated.or_else(|| choose(&judged));
        Self { line, judged, strengths, cases, taken, first: 0 }
    }

    fn until_taken(set: &'a ResolvedSet<'a>, line: &'a ResolvedLine<'a>, library: &Library) -> Self {
        let first = line.stated.unwrap_or(0);
        for (index, product) in line.candidates.iter().enumerate().skip(first) {
            // Most tubes that are refused fail in summer already.
            if line.stated.is_none() {
                let summer = set.case_at(line, product, library, &|condition| condition == Condition::Summer);
                let judged = summer.judge_for_choice(&set.fluid, &[]);
                if judged.fails() {
                    continue;
                }
            }
            let case = set.case(line, product, library);
            let judged = match line.stated {
                Some(_) => case.judge(&set.fluid, &line.bands),
                None => case.judge_for_choice(&set.fluid, &line.bands),
            };
            let mut judged = [judged];
            let strengths = strength::join(set, line, std::slice::from_ref(product), &mut judged, library);
            if line.stated.is_some() || judged.iter().all(Judged::settles) {
                return Self {
                    line,
                    judged: judged.into(),
                    strengths,
                    cases: vec![case],
                    taken: Some(index),
                    first: index,
                };
            }
        }
        // None that settles the choice: what is too close to call is found with its bands.
        Self::new(set, line, library)
    }

    /// The tube taken.
    pub(super) fn taken_product(&self) -> Option<&'a TubeProduct> {
        self.taken.map(|index| &self.line.candidates[index])
    }

    /// The tube taken, with the line in it and its verdicts.
    pub(super) fn taken(&self) -> Option<(&'a TubeProduct, &Case, &Judged)> {
        let index = self.taken?;
        let place = index - self.first;
        Some((&self.line.candidates[index], &self.cases[place], &self.judged[place]))
    }

    pub(super) fn strength_of_taken(&self) -> Option<&LineStrength> {
        Some(&self.strengths[self.taken? - self.first])
    }

    fn view(&self, set: &ResolvedSet<'_>, resolved: &Resolved<'_>) -> LineView {
        let service = self.line.service.name().to_owned();
        let candidates = self.candidates(set);
        let (Some((product, case, judged)), Some(strength)) = (self.taken(), self.strength_of_taken()) else {
            return self.untaken_view(set, candidates, resolved);
        };
        let (line, library, units) = (self.line, resolved.library, resolved.units());
        let heat = heat::Taken { set, line, product, case, judged, library, units };
        let summer = judged.outlet(Condition::Summer);
        // A drain holds condensate beside vapour at one pressure: neither drop nor content of a full tube is its own.
        let full = summer.filter(|_| self.line.service != Service::Drain);
        LineView {
            service,
            tube: Some(tube_view(product, &set.stock)),
            chosen_by_tool: self.line.stated.is_none(),
            run_m: case.line.run().get::<meter>(),
            equivalent_length_m: summer.map(|outlet| outlet.equivalent_length.get().get::<meter>()),
            lift_m: case.line.lift().get::<meter>(),
            velocity_max_m_s: greatest_velocity(judged),
            pressure_drop_pa: full.map(|outlet| outlet.pressure_drop.value),
            friction_drop_pa: full.map(|outlet| (outlet.friction_drop + outlet.fittings_drop).value),
            saturated_temperature_drop_k: judged.value_of(CheckKind::SaturatedTemperatureDrop),
            flash_margin_k: judged.value_of(CheckKind::FlashMargin),
            charge_kg: full.map(|outlet| outlet.charge.value),
            checks: self.checks(judged, strength, units),
            candidates,
            alternatives: alternatives::alternatives(self, set, library.strength().copper()),
            oil_return: oil::oil_return(self, set, resolved),
            reducers: alternatives::reducers(self, set),
            not_counted: self.not_counted(),
            remarks: self.remarks(product, set, case, judged, resolved),
            acceleration_drop_pa: full.map(|outlet| outlet.acceleration_drop.value),
            heat: heat.heat(),
            phase_changes: heat.phase_changes(),
            profile: pictures::profile(&heat, &product.printed_among(&set.stock), resolved.atmosphere),
            riser_flux: self
                .taken
                .and_then(|index| pictures::riser_flux(&heat, index, &self.line.candidates, &self.cases)),
            strength: Some(strength.view(set, self.line, product, resolved.library)),
        }
    }

    /// The line when no stocked tube can be taken: the checks are those of the tube that comes nearest.
    fn untaken_view(
        &self,
        set: &ResolvedSet<'_>,
        candidates: Vec<CandidateView>,
        resolved: &Resolved<'_>,
    ) -> LineView {
        let (checks, name) = match self.nearest() {
            Some(index) => (
                self.checks(&self.judged[index], &self.strengths[index], resolved.units()),
                self.line.candidates[index].printed_among(&set.stock),
            ),
            None => (Vec::new(), String::new()),
        };
        LineView {
            service: self.line.service.name().to_owned(),
            tube: None,
            chosen_by_tool: true,
            run_m: set.set.route.run().get::<meter>(),
            equivalent_length_m: None,
            lift_m: self.cases.first().map_or(0.0, |case| case.line.lift().get::<meter>()),
            velocity_max_m_s: None,
            pressure_drop_pa: None,
            friction_drop_pa: None,
            saturated_temperature_drop_k: None,
            flash_margin_k: None,
            charge_kg: None,
            checks,
            candidates,
            alternatives: Vec::new(),
            oil_return: oil::oil_return(self, set, resolved),
            reducers: Vec::new(),
            not_counted: self.not_counted(),
            remarks: vec![format!(
                "no stocked tube can be taken; the checks are those of {name}, which comes nearest"
            )],
            acceleration_drop_pa: None,
            heat: None,
            phase_changes: Vec::new(),
            profile: None,
            riser_flux: None,
            strength: None,
        }
    }

    /// The tube that comes nearest to being taken; none where none was judged.
    fn nearest(&self) -> Option<usize> {
        let shortfall = |judged: &Judged| {
            let bad = judged.checks.iter().filter(|check| wording::refusal(check).is_some());
            let margins = bad.map(|check| check.relative_margin().unwrap_or(f64::NEG_INFINITY));
            margins.fold((0_u32, 0.0_f64), |(count, worst), margin| (count + 1, worst.min(margin)))
        };
        (0..self.judged.len()).min_by(|a, b| {
            let (a, b) = (shortfall(&self.judged[*a]), shortfall(&self.judged[*b]));
            a.0.cmp(&b.0).then(b.1.total_cmp(&a.1))
        })
    }

    fn checks(&self, judged: &Judged, strength: &LineStrength, units: Units) -> Vec<CheckView> {
        judged.checks.iter().map(|check| self.check_view(check, judged, strength, units)).collect()
    }

    /// The checks of the tube taken, or of the one that comes nearest.
    pub(super) fn checks_printed(&self, units: Units) -> Vec<CheckView> {
        let place = self.taken.map(|index| index - self.first).or_else(|| self.nearest());
        place.map_or_else(Vec::new, |place| self.checks(&self.judged[place], &self.strengths[place], units))
    }

    /// How far the line reaches in the tube taken.
    pub(super) fn allowable_of_taken(&self, set: &ResolvedSet<'_>) -> Option<AllowableLength<CheckKind>> {
        self.allowable(set, self.taken? - self.first)
    }

    /// How far the line reaches in a tube, by its place among those judged.
    fn allowable(&self, set: &ResolvedSet<'_>, place: usize) -> Option<AllowableLength<CheckKind>> {
        match self.strengths[place].stops() {
            Some(by) => Some(AllowableLength::NeverMeets { by }),
            None => {
                let bands = &self.line.bands;
                self.cases[place].allowable_length(&set.fluid, bands, self.line.longest_searched)
            }
        }
    }

    fn candidates(&self, set: &ResolvedSet<'_>) -> Vec<CandidateView> {
        let each = self.line.candidates.iter().zip(&self.judged).enumerate();
        each.map(|(index, (product, judged))| {
            let (allowable_length_m, not_limited, stopped_by) = reach(self.allowable(set, index));
            let summer = judged.at(Condition::Summer);
            let judgement = wording::judgement(judged);
            CandidateView {
                tube: tube_view(product, &set.stock),
                allowable_length_m,
                not_limited,
                stopped_by: stopped_by.map(|by| wording::kind(by).to_owned()),
                refused_for: judgement.refused_for,
                verdict: judgement.verdict,
                refused_by: judgement.refused_by,
                chosen: self.taken == Some(index),
                velocity_max_m_s: greatest_velocity(judged),
                saturated_temperature_drop_k: summer
                    .and_then(|reading| reading.value_si(CheckKind::SaturatedTemperatureDrop)),
                charge_kg: judged
                    .outlet(Condition::Summer)
                    .filter(|_| self.line.service != Service::Drain)
                    .map(|outlet| outlet.charge.value),
            }
        })
        .collect()
    }

    fn check_view(&self, check: &Check, judged: &Judged, strength: &LineStrength, units: Units) -> CheckView {
        if let Some(view) = strength.check_view(check, units) {
            return view;
        }
        let sources = &self.line.limit_sources;
        let source = match check.kind {
            CheckKind::SaturatedTemperatureDrop => &sources.saturated_temperature_drop,
            CheckKind::FlashMargin => &sources.flash_margin,
            CheckKind::Velocity => &sources.velocity,
            _ => &sources.oil_return,
        };
        let mut view = check_view(check, source.clone());
        view.remarks = self.check_remarks(check, judged, units);
        view
    }

    /// The values at the other conditions, and a rule of thumb beside the limit.
    fn check_remarks(&self, check: &Check, judged: &Judged, units: Units) -> Vec<String> {
        let others: Vec<String> = judged
            .readings
            .iter()
            .filter(|reading| Some(reading.condition) != check.condition)
            .filter_map(|reading| {
                let value = check.limit.value.with_si(reading.value_si(check.kind)?);
                Some(format!("{} at {}", measure(value, units), wording::condition(reading.condition)))
            })
            .collect();
        let mut remarks = Vec::new();
        if !others.is_empty() {
            remarks.push(format!("also: {}", others.join(", ")));
        }
        if check.kind == CheckKind::SaturatedTemperatureDrop
            && let (Some(good), Some(value)) = (self.line.good_practice, check.value)
        {
            let verdict = if value.si() <= good.value { "meets" } else { "is above" };
            remarks.push(format!(
                "{verdict} the {} that is good practice",
                measure(Measure::TemperatureDifference(good), units)
            ));
        }
        if check.kind == CheckKind::OilReturn {
            remarks.push("ratio of the mass rate to the least that carries oil up the riser".to_owned());
        }
        remarks
    }

    /// What the job file says of this line and this sheet does not use.
    fn not_counted(&self) -> Vec<String> {
        let parts: Vec<String> = uncounted(self.line.text)
            .iter()
            .map(|part| format!("{} {}", part.count, part.kind.name()))
            .collect();
        if parts.is_empty() {
            return Vec::new();
        }
        vec![format!(
            "{}: no flow coefficient (kv or cv) is stated, so its loss is not in the drop",
            parts.join(", ")
        )]
    }

    fn remarks(
        &self,
        product: &TubeProduct,
        set: &ResolvedSet<'_>,
        case: &Case,
        judged: &Judged,
        resolved: &Resolved<'_>,
    ) -> Vec<String> {
        let units = resolved.units();
        let mut remarks = wording::caveats(judged.caveats);
        let summer = judged.outlet(Condition::Summer);
        let starts_saturated = summer.is_some_and(|outlet| outlet.inlet.saturation_distance.value < 1e-6);
        if starts_saturated && self.line.service == Service::Liquid {
            remarks.push(
                "the liquid starts at its bubble line: friction before it falls makes it flash, in any tube, unless it \
                 gives off heat enough on the way"
                    .to_owned(),
            );
        }
        if self.line.service == Service::Drain {
            remarks.push(
                "velocity is that of a full tube; drop and content of a free drain are not computed"
                    .to_owned(),
            );
        }
        let key = turn_key(self.line.text, product);
        let turns = count_turns(set.set);
        if let Some(outlet) = summer {
            let ours_m = (outlet.equivalent_length.get() - case.line.run()).get::<meter>();
            let ours = figure::length(ours_m).both(units);
            let of_turns = match resolved.library.fittings().equivalent_length(key, &product.tube) {
                _ if turns == 0 => String::new(),
                Some(each) => format!(
                    "; the handbook's table gives {} for its {turns} turns alone ({})",
                    figure::length(f64::from(turns) * each.value.get().get::<meter>()).both(units),
                    each.source.grade
                ),
                None => "; the handbook's table has no row for its turns".to_owned(),
            };
            remarks.push(format!(
                "turns, trap, loop and parts count as {ours} of tube (3-K method, flow coefficients){of_turns}"
            ));
        }
        remarks.extend(self.velocity_remark(case, judged, resolved));
        remarks
    }

    /// The handbooks' velocity rules that the summer velocity breaks: a remark, since none of them refuses a tube.
    fn velocity_remark(&self, case: &Case, judged: &Judged, resolved: &Resolved<'_>) -> Option<String> {
        let service = match self.line.service {
            Service::Discharge => tables::limits::Service::Discharge,
            Service::Suction => tables::limits::Service::Suction,
            Service::Liquid | Service::Drain => return None,
        };
        let units = resolved.units();
        let found = judged.at(Condition::Summer)?.value_si(CheckKind::Velocity)?;
        let velocity = Velocity::new::<meter_per_second>(found);
        let broken: Vec<String> = resolved
            .library
            .limits()
            .velocity_remarks(service)
            .filter_map(|(limit, rule)| {
                if limit.key.contains("rising") && !case.line.has_riser() {
                    return None;
                }
                let side = match limit.sense {
                    tables::limits::Sense::RemarkAtLeast if velocity < rule => "below",
                    tables::limits::Sense::RemarkAtMost if velocity > rule => "above",
                    _ => return None,
                };
                let rule = measure(Measure::Velocity(rule), units);
                Some(format!("{side} {rule} ({}; {})", limit.condition_note, limit.source.grade))
            })
            .collect();
        let velocity = measure(Measure::Velocity(velocity), units);
        (!broken.is_empty()).then(|| {
            format!(
                "velocity at summer, {velocity}, is {}: rules of thumb, which refuse no tube",
                broken.join(", ")
            )
        })
    }
}

/// An allowable length as printed: metres, whether it is only the end of the search, what stops it.
pub(super) fn reach(allowable: Option<AllowableLength<CheckKind>>) -> (Option<f64>, bool, Option<CheckKind>) {
    match allowable {
        Some(AllowableLength::Stops { run, by }) => (Some(run.get::<meter>()), false, Some(by)),
        Some(AllowableLength::NeverMeets { by }) => (None, false, Some(by)),
        Some(AllowableLength::NotLimitedWithin { run }) => (Some(run.get::<meter>()), true, None),
        None => (None, false, None),
    }
}

/// A line fails of which no tube can be taken.
pub(super) fn verdict_of_line(has_tube: bool, checks: &[CheckView]) -> VerdictView {
    if has_tube { worst(checks.iter().map(|check| check.verdict)) } else { VerdictView::Fails }
}

fn greatest_velocity(judged: &Judged) -> Option<f64> {
    [Condition::Peak, Condition::Summer]
        .iter()
        .find_map(|condition| judged.at(*condition)?.value_si(CheckKind::Velocity))
}

/// Run and rise against the maker's limits.
pub(super) fn route_checks(set: &ResolvedSet<'_>) -> Vec<CheckView> {
    let route = &set.set.route;
    let mut checks = Vec::new();
    let maker = "the maker, as stated in the job file";
    checks.push(match set.longest_run {
        Some(limit) => check_view(&run_check(route.run(), limit, set.length_band), maker.to_owned()),
        None => unstated("run", route.run(), "the maker's longest run (key maker.longest_run)"),
    });
    let rise = route.lift();
    checks.push(match set.highest_rise {
        Some(limit) => {
            let height = if rise < Length::new::<meter>(0.0) { -rise } else { rise };
            let mut view = check_view(&rise_check(height, limit, set.length_band), maker.to_owned());
            if rise < Length::new::<meter>(0.0) {
                view.remarks
                    .push("the condenser stands below the head; the maker may allow less there".to_owned());
            }
            view
        }
        None => unstated("rise", rise, "the maker's highest rise (key maker.highest_rise)"),
    });
    checks
}

fn unstated(kind: &str, value: Length, missing: &str) -> CheckView {
    CheckView { value: Some(value.get::<meter>()), ..not_checked(kind, "m", missing.to_owned()) }
}

/// A check against the maker's figure that could not be made.
pub(super) fn not_checked(kind: &str, unit: &'static str, missing: String) -> CheckView {
    CheckView { whose: Whose::Maker.word().to_owned(), ..unmade(kind, unit, missing) }
}

pub(super) fn check_view(check: &Check, source: String) -> CheckView {
    let missing = match check.verdict {
        Verdict::NotChecked(why) => Some(wording::why(why)),
        _ => None,
    };
    let mut remarks = Vec::new();
    if let Some(error) = check.trouble {
        remarks.push(wording::march_error(error));
    }
    if check.condition.is_none() && !conditions_of(check.kind).is_empty() {
        remarks.push("no condition of this check could be formed".to_owned());
    }
    let settling = check
        .leading
        .filter(|_| check.verdict == Verdict::TooClose)
        .map(|lever| wording::settling(check.kind, lever));
    CheckView {
        kind: wording::kind(check.kind).to_owned(),
        value: check.value.map(Measure::si),
        limit: Some(check.limit.value.si()),
        sense: wording::sense(check.limit.sense),
        unit: wording::unit(check.limit.value),
        whose: check.limit.whose.word().to_owned(),
        source,
        condition: check.condition.map_or(String::new(), |at| wording::condition(at).to_owned()),
        margin: check.margin_si(),
        band: check.band.map(Measure::si).filter(|band| band.is_finite()),
        verdict: wording::verdict(check.verdict),
        missing,
        matters_most: settling.map(|(input, _)| input.to_owned()),
        settled_by: settling.map(|(_, measurement)| measurement.to_owned()),
        remarks,
    }
}

/// A product as printed among a stock.
#[must_use]
pub fn tube_view(product: &TubeProduct, stock: &[TubeProduct]) -> TubeView {
    TubeView {
        name: product.printed_among(stock),
        product: format!("{}, {}", product.standard, product.form),
        od_mm: 1e3 * product.tube.outside().get().get::<meter>(),
        bore_mm: 1e3 * product.tube.bore().get().get::<meter>(),
        nominal: product.nominal.as_ref().map(ToString::to_string),
        source: None,
    }
}

fn condition_view(
    resolved: &Resolved<'_>,
    set: &ResolvedSet<'_>,
    condition: Condition,
    point: Option<OperatingPoint>,
) -> ConditionView {
    let celsius = |kelvin: f64| kelvin - 273.15;
    let ends = point.and_then(|point| set.fluid.ends(point.liquid.pressure).ok());
    ConditionView {
        name: wording::condition(condition).to_owned(),
        missing: point.is_none().then(|| wording::missing_condition(condition).to_owned()),
        condensing_bubble_c: ends.map(|ends| celsius(ends.bubble.temperature.value)),
        condensing_dew_c: ends.map(|ends| celsius(ends.dew.temperature.value)),
        condensing_pressure_pa: point.map(|point| point.liquid.pressure.pascal()),
        condensing_gauge_pa: point
            .and_then(|point| Some(point.liquid.pressure.gauge(resolved.atmosphere?).get().value)),
        // At low head no check looks at the gas, so none is stated.
        discharge_gas_c: point
            .filter(|_| condition != Condition::LowHead)
            .map(|point| celsius(point.discharge.temperature.value)),
        liquid_c: point.map(|point| celsius(point.liquid.temperature.value)),
        mass_rate_kg_s: point.map(|point| point.mass_rate.value),
    }
}

/// The inputs as understood, in both unit systems.
pub(super) fn echo(resolved: &Resolved<'_>, set: &ResolvedSet<'_>) -> Vec<EchoView> {
    let mut echo = Vec::new();
    let mut say = |what: &str, figure: Figure| {
        echo.push(EchoView { what: what.to_owned(), us: figure.us, si: figure.si });
    };
    let text = set.set;
    say("design air", temperature(resolved.job.site.design_air.value));
    if let Some(evaporating) = text.duty.evaporating() {
        say("evaporating", saturated(evaporating.value));
    }
    if let Some(superheat) = text.duty.superheat() {
        say("superheat", difference(superheat.value));
    }
    say("condensing", saturated(text.condensing.value));
    say("subcooling", difference(text.subcooling.value.difference));
    match &text.duty {
        Duty::Capacity { capacity, compressor_input, .. } => {
            say("capacity", figure::power(capacity.value.value));
            say("compressor input", figure::power(compressor_input.value.value));
        }
        Duty::HeatRejection { heat_rejection, discharge_gas, .. } => {
            say("heat rejection", figure::power(heat_rejection.value.value));
            say("discharge gas", temperature(discharge_gas.value));
        }
        Duty::Compressor { capacity, .. } => {
            if let Some(capacity) = capacity {
                say("capacity", figure::power(capacity.value.value));
            }
        }
        Duty::Ice { ice_per_day, water, .. } => {
            say("ice in a day", figure::pounds_and_ounces(ice_per_day.value.value));
            say("water", temperature(water.value));
        }
    }
    if let Some(HeadPressureSetting::Saturated(setting)) =
        text.head_pressure.setting.map(|setting| setting.value)
    {
        say("lowest head pressure", saturated(setting));
    }
    say("run", figure::length(text.route.run().get::<meter>()));
    say("lift, head to condenser", figure::length(text.route.lift().get::<meter>()));
    for line in &text.lines {
        if let Some(insulation) = line.insulation {
            let what = format!("insulation, {}", line.service.name());
            say(&what, figure::diameter(1e3 * insulation.value.get::<meter>()));
        }
    }
    echo
}

fn temperature(temperature: ThermodynamicTemperature) -> Figure {
    figure::temperature(temperature.value - 273.15)
}

fn saturated(saturated: SaturatedTemperature) -> Figure {
    let Figure { us, si } = temperature(saturated.temperature);
    let end = match saturated.end {
        Some(SaturationEnd::Bubble) => " bubble",
        Some(SaturationEnd::Dew) => " dew",
        None => "",
    };
    Figure { us: us + end, si: si + end }
}

fn difference(difference: TemperatureInterval) -> Figure {
    figure::temperature_difference(difference.value)
}

fn measure(measure: Measure, units: Units) -> String {
    figure::in_unit(measure.si(), wording::unit(measure)).both(units)
}

/// The worst verdict; meets where there is none.
pub(super) fn worst(verdicts: impl IntoIterator<Item = VerdictView>) -> VerdictView {
    verdicts.into_iter().max_by_key(|verdict| verdict.gravity()).unwrap_or(VerdictView::Meets)
}
