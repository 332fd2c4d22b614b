//! The charge study: what the lines hold, and what to weigh in for the run that the factory charge does not cover.

use super::{
    budget,
    ledger::Ledger,
    resolve::{Resolved, ResolvedSet},
    size::{SizedSet, check_view, route_checks, tube_view, worst},
    tubes::{pick, same_outside},
    wording,
};
use crate::{
    figure::{self, Units},
    job::{ChargePerLength, ReceiverAt},
    view::{
        AssumptionView, ChargeSeriesView, ChargeView, LineChargeView, SetChargeView, SourceView,
        TubeChargeView, VerdictView,
    },
};
use physics::{
    charge::{LineCharge, added_charge, charge_per_length},
    check::{Condition, Limit},
    line::Local,
    outcome::Caveat,
    sizing::{Service, run_check},
    uncertainty::{Factors, Lever, Nudge, propagate},
    units::{AbsolutePressure, Length, LinearMassDensity, Mass, MassDensity, unit::length::meter},
};
use std::convert::Infallible;
use tables::tubes::TubeProduct;

/// One line, whatever its figures were read from.
#[derive(Clone, Debug, PartialEq)]
pub struct LineFigures {
    /// Service.
    pub service: Service,
    /// Tube of this run.
    pub product: TubeProduct,
    /// Tube that the factory charge covers.
    pub covered: TubeProduct,
    /// State that the density belongs to.
    pub state: Local,
    /// Mean density along the line.
    pub density: MassDensity,
    /// The maker's charge per length of this line, where stated for this tube.
    pub maker_rate: Option<LinearMassDensity>,
}

/// Figures of one set, whatever they were read from.
#[derive(Clone, Debug)]
pub struct ChargeFigures {
    /// Name.
    pub name: String,
    /// Refrigerant.
    pub refrigerant: String,
    /// This run.
    pub run: Length,
    /// Run that the factory charge covers.
    pub covered_run: Option<Length>,
    /// The maker's longest run.
    pub longest_run: Option<Limit>,
    /// Charge shipped.
    pub factory_charge: Option<Mass>,
    /// Whether a receiver takes up what shorter lines leave over.
    pub receiver: bool,
    /// The lines.
    pub lines: Vec<LineFigures>,
    /// Whether a line of the set is missing among them: then there is no sum.
    pub incomplete: bool,
    /// The maker's charge per length of both lines together, where stated for these tubes.
    pub maker_rate_together: Option<LinearMassDensity>,
    /// Tubes of the table by size, smallest bore first.
    pub stock: Vec<TubeProduct>,
    /// Relative 95 % half-width of density.
    pub density_band: f64,
    /// Relative 95 % half-width of measured length.
    pub length_band: f64,
    /// Assumptions and what changes each.
    pub assumptions: Vec<AssumptionView>,
    /// Remarks from resolving.
    pub remarks: Vec<String>,
    /// Units that remarks print first.
    pub units: Units,
    /// Atmosphere of the site, against which gauges read; none where no site is stated.
    pub atmosphere: Option<AbsolutePressure>,
}

/// Computes the charge of every set of a job.
#[must_use]
pub fn charge(resolved: &Resolved<'_>) -> ChargeView {
    let mut ledger = resolved.ledger.clone();
    let mut sets = Vec::new();
    let desk = budget::Desk::new(resolved);
    for (index, set) in resolved.sets.iter().enumerate() {
        let sized = SizedSet::until_taken(set, resolved.library);
        for product in sized.lines.iter().filter_map(|line| line.taken_product()) {
            ledger.note(format!("tube {}", product.printed_name()), &product.source);
        }
        sets.push(charge_of(index, &sized, resolved, &desk, &mut ledger));
    }
    view(Some(resolved.job.name.value.clone()), sets, ledger.into_view())
}

/// Charge of a set, by its place among the sets of the job, whose tubes were chosen.
pub(super) fn charge_of(
    index: usize,
    sized: &SizedSet<'_>,
    resolved: &Resolved<'_>,
    desk: &budget::Desk<'_>,
    ledger: &mut Ledger,
) -> SetChargeView {
    let mut view = set_view(&figures_of(sized, resolved));
    // The route's own checks carry the maker's words; the run is judged once.
    view.checks = route_checks(sized.set).into_iter().filter(|check| check.kind == "run").collect();
    desk.add(index, &mut view, ledger);
    view
}

/// Added charge of a set whose tubes were chosen; none where there is no sum.
pub(super) fn added_charge_kg(sized: &SizedSet<'_>, resolved: &Resolved<'_>) -> Option<f64> {
    set_view(&figures_of(sized, resolved)).added_charge_kg
}

/// Computes the charge of one set from figures alone.
#[must_use]
pub fn charge_from_figures(figures: &ChargeFigures, sources: Vec<SourceView>) -> ChargeView {
    let mut view = view(None, vec![set_view(figures)], sources);
    view.not_contained.insert(
        0,
        "WINTER: what a flooding valve keeps in the condenser in cold air, whether the receiver takes it, and whether that much \
         is allowed: a job file counts them"
            .to_owned(),
    );
    view
}

/// A charge that is not known is none that was checked.
pub(super) fn verdict_of(set: &SetChargeView) -> VerdictView {
    let winter = set.budget.as_ref().is_none_or(|budget| budget.winter.added_kg.is_some());
    let unknown = match set.added_charge_kg {
        Some(_) if winter => VerdictView::Meets,
        _ => VerdictView::NotChecked,
    };
    worst(set.checks.iter().map(|check| check.verdict).chain([unknown]))
}

fn view(job: Option<String>, sets: Vec<SetChargeView>, sources: Vec<SourceView>) -> ChargeView {
    ChargeView {
        job,
        verdict: worst(sets.iter().map(verdict_of)),
        sets,
        not_contained: [
            "what the evaporator, the compressor and its oil hold: they are in what remains for the head",
            "ventilation and detectors that a code may ask for, whatever the charge",
        ]
        .map(str::to_owned)
        .to_vec(),
        sources,
        cautions: wording::cautions(),
    }
}

/// The figures of a set whose tubes were chosen.
fn figures_of(sized: &SizedSet<'_>, resolved: &Resolved<'_>) -> ChargeFigures {
    let set: &ResolvedSet<'_> = sized.set;
    let maker = set.set.maker.as_ref();
    let mut assumptions: Vec<AssumptionView> = Vec::new();
    let mut remarks = Vec::new();
    let mut lines = Vec::new();
    let mut other_tube = false;
    for line in &sized.lines {
        let service = line.line.service.name();
        let Some((product, case, judged)) = line.taken() else {
            remarks.push(format!(
                "no stocked tube could be taken for the {service} line: its charge is not here"
            ));
            continue;
        };
        if line.line.service == Service::Drain {
            remarks.push(
                "a free drain holds condensate beside vapour: its charge is not computed, and lies below that of a full \
                 tube (table by tube, liquid)"
                    .to_owned(),
            );
            continue;
        }
        let Some(outcome) = judged.at(Condition::Summer).and_then(|reading| reading.march.ok()) else {
            remarks.push(format!("the {service} line has no state at summer: its charge is not here"));
            continue;
        };
        let warned = remarks.iter().any(|said| said == wording::NEAR_CRITICAL);
        if outcome.caveats.has(Caveat::NearCritical) && !warned {
            remarks.push(wording::NEAR_CRITICAL.to_owned());
        }
        let stated = maker.and_then(|maker| {
            maker.covered_tubes.iter().find(|covered| covered.service == line.line.text.service)
        });
        let covered = match stated.map(|stated| pick(&stated.tube.value, &set.stock, resolved.library)) {
            // Resolving has refused a covered tube that no product matches.
            Some(Ok(picked)) => {
                if let Some(assumption) = picked.assumption {
                    let change_with = format!("maker.covered_tubes.{service}");
                    assumptions.push(AssumptionView { what: assumption, change_with });
                }
                picked.product
            }
            _ => {
                assumptions.push(AssumptionView {
                    what: format!("the factory charge covers the {service} line in the tube of this run"),
                    change_with: format!("maker.covered_tubes.{service}"),
                });
                product.clone()
            }
        };
        let same_size = same_outside(&covered, product);
        let rate = match maker.and_then(|maker| maker.charge_per_length.as_ref()) {
            Some(ChargePerLength::Each(rates)) => {
                rates.iter().find(|(of, _)| *of == line.line.text.service).map(|(_, rate)| rate.value)
            }
            _ => None,
        };
        if rate.is_some() && !same_size {
            remarks.push(format!(
                "the maker's rate of the {service} line belongs to {}; this run is {}, so ours is used",
                covered.printed_outside(),
                product.printed_outside()
            ));
        }
        other_tube |= !same_size;
        lines.push(LineFigures {
            service: line.line.service,
            product: product.clone(),
            covered,
            state: if line.line.service == Service::Discharge {
                outcome.value.outlet
            } else {
                outcome.value.inlet.into()
            },
            density: outcome.value.charge / (case.line.run() * case.line.bore.area()),
            maker_rate: rate.filter(|_| same_size),
        });
    }
    let together = match maker.and_then(|maker| maker.charge_per_length.as_ref()) {
        Some(ChargePerLength::Together(rate)) => Some(rate.value),
        _ => None,
    };
    if together.is_some() && other_tube {
        remarks.push(
            "the maker's rate belongs to the covered tubes, and this run has others: ours is used".to_owned(),
        );
    }
    let said: Vec<String> = assumptions.iter().map(|assumption| assumption.what.clone()).collect();
    let assumed = set.assumptions.iter().filter(|what| !said.contains(what));
    let assumed = assumed.map(|what| AssumptionView { what: what.clone(), change_with: String::new() });
    assumptions.extend(assumed);
    let incomplete = lines.len() < sized.lines.len();
    ChargeFigures {
        name: set.set.name.value.clone(),
        refrigerant: set.refrigerant.clone(),
        run: set.set.route.run(),
        covered_run: maker.and_then(|maker| maker.covered_run.as_ref()).map(|run| run.value),
        longest_run: set.longest_run,
        factory_charge: maker.and_then(|maker| maker.factory_charge.as_ref()).map(|mass| mass.value),
        receiver: set.set.receiver_at.value != ReceiverAt::None,
        lines,
        incomplete,
        maker_rate_together: together.filter(|_| !other_tube),
        stock: set.stock.clone(),
        density_band: set.density_band,
        length_band: set.length_band,
        assumptions,
        remarks,
        units: resolved.units(),
        atmosphere: resolved.atmosphere,
    }
}

/// The lines of a set as physics adds them up; nudging moves all of them together.
#[derive(Clone)]
struct AllLines {
    lines: Vec<LineCharge>,
    together: Option<LinearMassDensity>,
    receiver: bool,
}

impl AllLines {
    fn of(figures: &ChargeFigures, run: Length, covered_run: Length) -> Self {
        let lines = figures.lines.iter().map(|line| line_charge(line, run, covered_run));
        Self { lines: lines.collect(), together: figures.maker_rate_together, receiver: figures.receiver }
    }

    fn added(&self) -> Mass {
        match (self.together, self.lines.first()) {
            (Some(rate), Some(line)) => {
                let both = LineCharge { stated_rate: Some(rate), ..*line };
                added_charge(both.stated(), self.receiver)
            }
            _ => added_charge(self.lines.iter().map(LineCharge::difference), self.receiver),
        }
    }

    fn computed(&self) -> Mass {
        added_charge(self.lines.iter().map(LineCharge::computed), self.receiver)
    }
}

impl Nudge for AllLines {
    fn nudged(&self, lever: Lever, by: f64) -> Self {
        let lines = self.lines.iter().map(|line| line.nudged(lever, by)).collect();
        Self { lines, ..self.clone() }
    }
}

fn line_charge(line: &LineFigures, run: Length, covered_run: Length) -> LineCharge {
    LineCharge {
        density: line.density,
        bore: line.product.tube.bore(),
        run,
        covered_bore: line.covered.tube.bore(),
        covered_run,
        stated_rate: line.maker_rate,
        factors: Factors::default(),
    }
}

fn set_view(figures: &ChargeFigures) -> SetChargeView {
    let complete = !figures.incomplete && !figures.lines.is_empty() && !covers_too_much(figures);
    // Without a covered run nothing says what the factory charge is for: parts, and no sum.
    let all = figures.covered_run.map(|covered| AllLines::of(figures, figures.run, covered));
    let bands = [(Lever::Density, figures.density_band), (Lever::Length, figures.length_band)];
    let study = |all: &AllLines| Ok::<_, Infallible>([all.added().value]);
    let spread = all.as_ref().filter(|_| complete).map(|all| match propagate(all, &bands, study) {
        Ok([spread]) => spread,
    });
    let added_kg = spread.map(|spread| spread.nominal);
    let factory_kg = figures.factory_charge.map(|mass| mass.value);
    let checks = figures.longest_run.map(|limit| {
        let check = run_check(figures.run, limit, figures.length_band);
        check_view(&check, "the maker".to_owned())
    });
    let covered_run = figures.covered_run.unwrap_or_else(|| Length::new::<meter>(0.0));
    SetChargeView {
        name: figures.name.clone(),
        refrigerant: figures.refrigerant.clone(),
        run_m: figures.run.get::<meter>(),
        covered_run_m: figures.covered_run.map(|run| run.get::<meter>()),
        longest_run_m: figures.longest_run.map(|limit| limit.value.si()),
        factory_charge_kg: factory_kg,
        added_charge_kg: added_kg,
        band_kg: spread.map(|spread| spread.half_width),
        total_charge_kg: added_kg.zip(factory_kg).map(|(added, factory)| added + factory),
        computed_added_kg: all.as_ref().filter(|_| complete).map(|all| all.computed().value),
        how: how(figures, all.as_ref().filter(|_| complete)),
        lines: figures.lines.iter().map(|line| line_view(line, figures, covered_run)).collect(),
        by_tube: figures.stock.iter().map(|product| by_tube(product, figures)).collect(),
        series: series(figures),
        checks: checks.into_iter().collect(),
        assumptions: figures.assumptions.clone(),
        remarks: figures.remarks.clone(),
        budget: None,
    }
}

/// Whether the covered run alone would hold more than the factory charge: one of the two figures is wrong.
fn covers_too_much(figures: &ChargeFigures) -> bool {
    let (Some(factory), Some(covered_run)) = (figures.factory_charge, figures.covered_run) else {
        return false;
    };
    let covered: Mass =
        figures.lines.iter().map(|line| line_charge(line, figures.run, covered_run).covered()).sum();
    covered > factory
}

/// One sentence: how the added charge came about.
fn how(figures: &ChargeFigures, all: Option<&AllLines>) -> String {
    let Some(all) = all else {
        return if figures.covered_run.is_none() {
            "Nothing says which run the factory charge covers: the lines hold what is listed; ask the maker, and give \
             the covered run"
                .to_owned()
        } else if covers_too_much(figures) {
            "The covered run alone would hold more than the factory charge: check the figures and units of both"
                .to_owned()
        } else {
            "The charge of a line is missing, so there is no sum".to_owned()
        };
    };
    let raw = AllLines { receiver: false, ..all.clone() };
    let far_shorter = figures.covered_run.is_some_and(|covered| 2.0 * figures.run < covered);
    if raw.added().value < 0.0 && far_shorter {
        let [run, covered] = [Some(figures.run), figures.covered_run]
            .map(|run| figure::length(run.map_or(0.0, |run| run.get::<meter>())).both(figures.units));
        return format!(
            "this run, {run}, is less than half of the covered run, {covered}: check the units of both; as it stands \
             nothing is to be added"
        );
    }
    if raw.added().value < 0.0 {
        return if figures.receiver {
            let less = figure::ounces(-raw.added().value).both(figures.units);
            format!(
                "the lines hold {less} less than the factory charge covers; nothing is taken out, the receiver takes it \
                 up"
            )
        } else {
            "the lines hold less than the factory charge covers, and no receiver takes up the rest: that much is to come \
             out, if the maker agrees"
                .to_owned()
        };
    }
    if figures.maker_rate_together.is_some() {
        "by the maker's rate for both lines together, times the run beyond the covered run".to_owned()
    } else if figures.lines.iter().all(|line| line.maker_rate.is_some()) {
        "by the maker's rates, times the run beyond the covered run".to_owned()
    } else if figures.lines.iter().any(|line| line.maker_rate.is_some()) {
        "by the maker's rate where stated, computed for the other line".to_owned()
    } else {
        "computed: what the lines of this run hold, less what the covered run holds in the covered tubes"
            .to_owned()
    }
}

fn line_view(line: &LineFigures, figures: &ChargeFigures, covered_run: Length) -> LineChargeView {
    let physics = line_charge(line, figures.run, covered_run);
    let without_receiver = AllLines::of(figures, figures.run, covered_run);
    let nothing = figures.receiver && AllLines { receiver: false, ..without_receiver }.added().value < 0.0;
    let used = match (nothing, line.maker_rate.or(figures.maker_rate_together)) {
        (true, _) => "nothing",
        (false, Some(_)) => "maker",
        (false, None) => "computed",
    };
    // A rate for both lines together is shared out by what each line holds.
    let added = match figures.maker_rate_together {
        Some(_) => {
            let lines = AllLines::of(figures, figures.run, covered_run);
            let held: Mass = lines.lines.iter().map(LineCharge::this_run).sum();
            lines.added() * (physics.this_run() / held)
        }
        None => physics.difference(),
    };
    LineChargeView {
        service: line.service.name().to_owned(),
        tube: tube_view(&line.product, &figures.stock),
        covered_tube: tube_view(&line.covered, &figures.stock),
        temperature_c: line.state.temperature.value - 273.15,
        pressure_pa: line.state.pressure.pascal(),
        gauge_pa: figures.atmosphere.map(|atmosphere| line.state.pressure.gauge(atmosphere).get().value),
        density_kg_m3: line.density.value,
        charge_per_metre_kg_m: charge_per_length(line.density, physics.bore).value,
        covered_charge_per_metre_kg_m: charge_per_length(line.density, physics.covered_bore).value,
        this_run_kg: physics.this_run().value,
        covered_kg: physics.covered().value,
        computed_added_kg: physics.computed().value,
        maker_rate_kg_m: line.maker_rate.map(|rate| rate.value),
        maker_added_kg: physics.stated().map(|mass| mass.value),
        used: used.to_owned(),
        added_kg: if nothing { 0.0 } else { added.value },
    }
}

fn by_tube(product: &TubeProduct, figures: &ChargeFigures) -> TubeChargeView {
    let of = |services: &[Service]| {
        let line = figures.lines.iter().find(|line| services.contains(&line.service))?;
        Some(charge_per_length(line.density, product.tube.bore()).value)
    };
    TubeChargeView {
        tube: tube_view(product, &figures.stock),
        discharge_kg_m: of(&[Service::Discharge]),
        liquid_kg_m: of(&[Service::Liquid, Service::Drain]),
        suction_kg_m: of(&[Service::Suction]),
    }
}

/// Added charge against run: these tubes, and the liquid line one stocked size up and down.
fn series(figures: &ChargeFigures) -> Vec<ChargeSeriesView> {
    let Some(covered_run) = figures.covered_run.filter(|_| figures.lines.len() >= 2) else {
        return Vec::new();
    };
    let end_m =
        1.3 * figures.run.get::<meter>().max(figures.longest_run.map_or(0.0, |limit| limit.value.si()));
    let Some(widest) =
        figures.lines.iter().position(|line| matches!(line.service, Service::Liquid | Service::Drain))
    else {
        return Vec::new();
    };
    let outside = |product: &TubeProduct| product.tube.outside().get().value;
    let this = &figures.lines[widest].product;
    let mut same_form: Vec<&TubeProduct> = figures.stock.iter().filter(|p| p.form == this.form).collect();
    same_form.sort_by(|a, b| outside(a).total_cmp(&outside(b)));
    let smaller = same_form.iter().rfind(|product| outside(product) < outside(this) - 1e-6);
    let larger = same_form.iter().find(|product| outside(product) > outside(this) + 1e-6);
    [smaller.copied(), Some(this), larger.copied()]
        .into_iter()
        .flatten()
        .map(|product| {
            let mut with = figures.clone();
            with.lines[widest].product = product.clone();
            let own = outside(product) == outside(this);
            if !own {
                with.lines[widest].maker_rate = None;
                with.maker_rate_together = None;
            }
            let at = |run_m: f64| AllLines::of(&with, Length::new::<meter>(run_m), covered_run);
            // Straight between 0, the run from which on charge is added, and the end.
            let raw = |run_m: f64| AllLines { receiver: false, ..at(run_m) }.added().value;
            let (from, to) = (raw(0.0), raw(end_m));
            let bend_m = (from < 0.0 && to > 0.0).then(|| end_m * -from / (to - from));
            let runs = [Some(0.0), bend_m, Some(end_m)].into_iter().flatten();
            let points = runs.map(|run_m| [run_m, at(run_m).added().value]);
            let names: Vec<_> =
                with.lines.iter().map(|line| line.product.printed_among(&figures.stock)).collect();
            ChargeSeriesView { name: names.join(" + "), points: points.collect(), this: own }
        })
        .collect()
}
