//! The comparison: the same sets with their condensers in every layout of the job, side by side.

mod advice;
pub(super) mod lines;
mod place;
mod plant;
pub(super) mod rated;
#[cfg(test)]
mod tests;
mod year;

use super::{
    ledger::Ledger,
    own_limit::own_or,
    resolve::{ResolveError, Resolved, ResolvedSet, resolve},
    size::{echo, worst},
    wording,
};
use crate::{
    figure::{self, Units},
    job::{self, Arrangement, Fault, FaultKind, Faults, Job, SaturationEnd, Service},
    view::{CompareView, LayoutView, SetLoadView, TagView, VerdictView},
};
use lines::Lines;
use physics::{
    check::Condition,
    fluid::Refrigerant,
    operation::OperatingPoint,
    outcome::Method,
    units::{
        AbsolutePressure, TemperatureInterval, ThermodynamicTemperature,
        unit::{
            ratio::ratio, temperature_interval::kelvin as kelvin_interval, thermodynamic_temperature::kelvin,
        },
    },
};
use rated::Rated;
use tables::{Library, TableError};
use thiserror::Error;

/// Why layouts can not be compared.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum CompareError {
    /// The job asks for what can not be given.
    #[error("{0}")]
    Faults(Box<Faults>),
    /// The tables themselves are at fault.
    #[error(transparent)]
    Tables(#[from] TableError),
}

impl From<ResolveError> for CompareError {
    fn from(error: ResolveError) -> Self {
        match error {
            ResolveError::Faults(faults) => Self::Faults(faults),
            ResolveError::Tables(error) => Self::Tables(error),
        }
    }
}

/// Compares the layouts of a job; `progress` hears of each part of the work that is done, as a share of all.
///
/// # Errors
/// [`CompareError`].
pub fn compare(
    job: &Job,
    library: &Library,
    units: Option<Units>,
    progress: &(dyn Fn(f64) + Sync),
) -> Result<CompareView, CompareError> {
    let resolved = resolve(job, library)?.printed_in(units);
    let mut faults = Vec::new();
    require(job, &resolved, &mut faults);
    let rated = rated::all(job, &resolved, &mut faults)?;
    if let Some(faults) = Faults::new(job.source.clone(), faults) {
        return Err(CompareError::Faults(Box::new(faults)));
    }
    let alone = [alone(job)];
    let layouts: &[job::Layout] = if job.layouts.is_empty() { &alone } else { &job.layouts };
    let lines = lines::of_all(job, layouts, library, units)?;
    let desk = Desk { job, resolved: &resolved, rated: &rated, outdoor_air: outdoor_air(job) };
    let mut views = Vec::new();
    for (index, (layout, lines)) in layouts.iter().zip(&lines).enumerate() {
        let told = |share: f64| progress((index as f64 + share) / layouts.len() as f64);
        match desk.layout(layout, lines, &told) {
            Ok(view) => views.push(view),
            Err(fault) => faults_of_layout(job, layout, &fault)?,
        }
    }
    Ok(desk.view(views))
}

fn faults_of_layout(job: &Job, layout: &job::Layout, why: &str) -> Result<(), CompareError> {
    let help = "check ratings, air flows and draws of the condensers, and the load of the sets";
    let fault = Fault::new(FaultKind::Contradiction, layout.name.span, why, help);
    match Faults::new(job.source.clone(), vec![fault]) {
        Some(faults) => Err(CompareError::Faults(Box::new(faults))),
        None => Ok(()),
    }
}

/// One condenser needs no layout: it stands alone.
fn alone(job: &Job) -> job::Layout {
    let span = job.condensers.first().map_or(job.name.span, |condenser| condenser.name.span);
    job::Layout {
        name: job::Located { value: "alone".to_owned(), span },
        arrangement: None,
        order: Vec::new(),
        draws: Vec::new(),
        added_legs: Vec::new(),
        clear: job::Clear::default(),
        faces_wind: None,
        wall_in_front: None,
        anchors: None,
        frame_mass: None,
        gap: None,
    }
}

/// What a comparison can not do without.
fn require(job: &Job, resolved: &Resolved<'_>, faults: &mut Vec<Fault>) {
    let mut fault = |span, message: String, help: &str| {
        faults.push(Fault::new(FaultKind::Missing, span, message, help));
    };
    if job.condensers.is_empty() {
        fault(
            job.name.span,
            "no condenser is described, so there is nothing to compare".to_owned(),
            "describe each in a table of its own: [condenser.NAME] with serves, rating and air_flow",
        );
        return;
    }
    if job.condensers.len() > 1 && job.layouts.is_empty() {
        fault(
            job.condensers[1].name.span,
            "several condensers, and no layout says how they stand".to_owned(),
            "write a table [layout.NAME] with draws = [...]; draws = [] where none draws discharge air",
        );
    }
    for set in &resolved.sets {
        let name = &set.set.name;
        if !job.condensers.iter().any(|one| one.serves.iter().any(|served| served.value == name.value)) {
            fault(
                name.span,
                format!("no condenser serves the set {}", name.value),
                "name the set under `serves` of a condenser",
            );
        }
        if let Err(why) = &set.load_told.compressor {
            fault(
                set.set.duty.span(),
                format!(
                    "the compressor of {}, and with it what it does off its design point, is {why}",
                    name.value
                ),
                "check capacity against input, evaporating and superheat; or state a compressor map",
            );
        }
    }
}

/// Design air with the roof's allowance.
fn outdoor_air(job: &Job) -> ThermodynamicTemperature {
    job.site.design_air.value + allowance(job)
}

fn allowance(job: &Job) -> TemperatureInterval {
    job.site
        .roof_allowance
        .map_or(TemperatureInterval::new::<kelvin_interval>(0.0), |allowance| allowance.value)
}

/// What all layouts share.
struct Desk<'a> {
    job: &'a Job,
    resolved: &'a Resolved<'a>,
    rated: &'a [Rated],
    outdoor_air: ThermodynamicTemperature,
}

impl Desk<'_> {
    fn layout(
        &self,
        layout: &job::Layout,
        lines: &Lines,
        progress: &(dyn Fn(f64) + Sync),
    ) -> Result<LayoutView, String> {
        let plant = plant::Plant::new(self, layout, lines)?;
        let day = plant.design_day()?;
        progress(0.2);
        let year = year::year(&plant, self, progress);
        let mut view = LayoutView {
            name: layout.name.value.clone(),
            arrangement: wording::arrangement(layout.arrangement.map(|one| one.value)).to_owned(),
            verdict: VerdictView::Meets,
            condensers: day.condensers(),
            circuits: day.circuits(),
            capacity_w: day.capacity_w(),
            power_w: day.power_w(),
            energy_kwh: year.map(|year| year.energy_kwh),
            break_even_recirculation: None,
            draws: day.draws()?,
            added_charge_kg: lines.added_charge_kg,
            lines: lines.views.clone(),
            anchor_tension_n: None,
            roof: None,
            footprint_m2: None,
            taken_m2: None,
            sound: None,
            access: String::new(),
            year,
            against_air: plant.against_air(),
            checks: day.checks().into_iter().chain(lines.checks.iter().cloned()).collect(),
            warnings: day.warnings(),
        };
        place::complete(&mut view, self, layout, &day);
        view.break_even_recirculation = view.draws.iter().filter_map(|draw| draw.break_even).reduce(f64::min);
        let of_lines = view.lines.iter().map(|line| line.verdict).collect::<Vec<_>>();
        view.verdict = worst(view.checks.iter().map(|check| check.verdict).chain(of_lines));
        Ok(view)
    }

    fn view(&self, layouts: Vec<LayoutView>) -> CompareView {
        let advice = advice::advise(&layouts, self.job);
        let mut ledger: Ledger = self.resolved.ledger.clone();
        let mut note = |method: Method| {
            let (purpose, grade) = wording::method_purpose(method);
            ledger.note_words(purpose, method.source(), grade);
        };
        for method in [Method::Balance, Method::CondenserRating, Method::Recirculation] {
            note(method);
        }
        for set in &self.resolved.sets {
            if let Ok(compressor) = &set.load_told.compressor {
                let method = match compressor {
                    physics::compressor::Compressor::Map(_) => Method::TenCoefficients,
                    physics::compressor::Compressor::Constant(_) => Method::ConstantEfficiency,
                };
                note(method);
            }
        }
        place::note(&mut ledger, self);
        let weather = self.job.attached.weather.as_ref();
        if let Some(weather) = weather {
            ledger.note("weather of the year", &weather.source);
        }
        let verdict = match &advice.recommended {
            Some(name) => layouts.iter().find(|layout| layout.name == *name).map(|layout| layout.verdict),
            None => None,
        };
        CompareView {
            job: self.job.name.value.clone(),
            verdict: verdict.unwrap_or_else(|| worst(layouts.iter().map(|layout| layout.verdict))),
            outdoor_air_k: self.outdoor_air.get::<kelvin>(),
            roof_allowance_k: allowance(self.job).get::<kelvin_interval>(),
            sets: self.resolved.sets.iter().map(|set| self.set_view(set)).collect(),
            recommended: advice.recommended,
            recommendation: advice.sentence,
            would_change: advice.would_change,
            tags: self.tags(),
            weather: weather.map(year::weather_view),
            assumptions: self.assumptions(),
            not_contained: NOT_CONTAINED.map(str::to_owned).to_vec(),
            sources: ledger.into_view(),
            cautions: wording::cautions_on_roofs(),
            layouts,
        }
    }

    /// How far a balance may lie above the stated condensing temperature, with source and grade.
    fn allowed(&self) -> (TemperatureInterval, String, String) {
        let default = &self.resolved.library.limits().defaults().balance_above_stated;
        own_or(self.resolved, "balance-above-stated", default)
    }

    fn set_view(&self, set: &ResolvedSet<'_>) -> SetLoadView {
        let summer = summer(set);
        let (capacity_w, input_w) = load_w(&summer);
        let told = &set.load_told;
        let heat_w = summer.heat_rejection().value;
        SetLoadView {
            name: set.set.name.value.clone(),
            refrigerant: set.refrigerant.clone(),
            load_from: told.from.clone(),
            compressor: told.compressor_words.clone(),
            capacity_w,
            capacity_band_w: told.band.map(|band| band.get::<ratio>() * capacity_w),
            compressor_input_w: input_w,
            heat_rejection_w: heat_w,
            heat_rejection_factor: heat_w / capacity_w,
            peak_heat_w: set.set.peak_flow.map(|flow| flow.value.get::<ratio>() * heat_w),
            stated_condensing_k: told_k(set, summer.discharge.pressure).unwrap_or(f64::NAN),
            condensing_refers_to: match end(set) {
                SaturationEnd::Bubble => "bubble",
                SaturationEnd::Dew => "dew",
            },
            greatest_condensing_k: set.greatest_condensing.and_then(|greatest| told_k(set, greatest)),
            echo: echo(self.resolved, set),
        }
    }

    /// `FL-D-1`: set, service, condenser. Two sets never share a tag.
    fn tags(&self) -> Vec<TagView> {
        let mut tags = Vec::new();
        for (letter, set) in ('A'..='Z').zip(&self.resolved.sets) {
            let name = &set.set.name.value;
            let condensers = self
                .job
                .condensers
                .iter()
                .filter(|one| one.serves.iter().any(|served| served.value == *name));
            let names: Vec<&str> = condensers.map(|one| &*one.name.value).collect();
            for line in &set.lines {
                let service = line.service.name();
                tags.push(TagView {
                    tag: format!("{letter}-{}", service_letter(line.service)),
                    set: name.clone(),
                    service: service.to_owned(),
                    condenser: names.join(" and "),
                });
            }
        }
        tags
    }

    fn assumptions(&self) -> Vec<String> {
        let mut said: Vec<String> = Vec::new();
        let shared = [
            "the evaporating temperature stays as stated, whatever the condenser does".to_owned(),
            "no recirculation fraction is published for two small units: those of the job are the writer's, and three \
             thermometers on site measure them"
                .to_owned(),
            "capacity and input are taken to be those at the compressor; the lines cost on top of them".to_owned(),
        ];
        said.extend(shared);
        if self.job.site.roof_allowance.is_none() {
            said.push(
                "air at the condensers is the design air; over a dark roof it can be some 5 K (9 °F) warmer (key \
                 site.roof_allowance)"
                    .to_owned(),
            );
        }
        if self.job.year.is_some() {
            said.push(
                "the year: heat of the lines and the roof's allowance left out; nothing stored from hour to hour; fans run \
                 with the compressor, as slowly or as seldom as head-pressure control asks"
                    .to_owned(),
            );
            if self.job.year.as_ref().is_some_and(|year| year.load.is_none()) {
                said.push("the full summer capacity is needed in every hour (key year.load)".to_owned());
            }
        }
        for rated in self.rated {
            said.extend(rated.assumptions.iter().cloned());
        }
        for set in &self.resolved.sets {
            for assumption in &set.assumptions {
                if !said.contains(assumption) {
                    said.push(assumption.clone());
                }
            }
        }
        said
    }
}

const NOT_CONTAINED: [&str; 4] = [
    "what the plate covers of the winter charge, one circuit alone, fill of the receiver: `lineset charge`",
    "the roof under the frames, the steel of the frames, snow load, earthquake: an engineer's work",
    "what wind does to fan and recirculation; sound behind walls, tones, night limits of the place",
    "standby of crankcase heaters and controls; price of energy",
];

/// Letter on a tag.
pub(super) fn service_letter(service: Service) -> char {
    match service {
        Service::Discharge => 'D',
        Service::Liquid => 'L',
        Service::Drain => 'C',
        Service::Suction => 'S',
    }
}

/// The operating point of summer: a set without one does not resolve.
pub(super) fn summer(set: &ResolvedSet<'_>) -> OperatingPoint {
    let found =
        set.points.iter().find_map(|(condition, point)| point.filter(|_| *condition == Condition::Summer));
    // `Operation::at` gives a point for summer or a fault, and a fault ends resolving.
    #[allow(clippy::expect_used)]
    found.expect("a resolved set has its summer")
}

fn load_w(point: &OperatingPoint) -> (f64, f64) {
    let Some(suction) = point.suction else { return (f64::NAN, f64::NAN) };
    let capacity = point.mass_rate * (suction.enthalpy - point.liquid.enthalpy);
    (capacity.value, (point.mass_rate * (point.discharge.enthalpy - suction.enthalpy)).value)
}

/// The end that the condensing temperatures of a set are told as: that of the job.
fn end(set: &ResolvedSet<'_>) -> SaturationEnd {
    set.set.condensing.value.end.unwrap_or(SaturationEnd::Bubble)
}

fn told_k(set: &ResolvedSet<'_>, pressure: AbsolutePressure) -> Option<f64> {
    match end(set) {
        SaturationEnd::Bubble => {
            set.fluid.bubble_temperature(pressure).ok().map(|bubble| bubble.get().get::<kelvin>())
        }
        SaturationEnd::Dew => set.fluid.dew_temperature(pressure).ok().map(|dew| dew.get().get::<kelvin>()),
    }
}

fn stacked(layout: &job::Layout) -> bool {
    layout.arrangement.is_some_and(|one| one.value == Arrangement::Stacked)
}

fn metres(value_m: f64, units: Units) -> String {
    figure::in_unit(value_m, "m").both(units)
}

fn kelvins(value_k: f64, units: Units) -> String {
    figure::in_unit(value_k, "K").both(units)
}

/// A source with its grade, unless it says that itself.
fn words(source: &str, grade: &str) -> String {
    if source.contains(grade) { source.to_owned() } else { format!("{source} ({grade})") }
}
