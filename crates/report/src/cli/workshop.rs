//! The engine behind the command: files in, studies out.

use super::{
    Answer, CardRequest, ChargeFlags, ChargeFrom, ChargeRequest, CompareRequest, EdgeFault, Engine,
    FieldRequest, ListRequest, PackRequest, SheetRequest, SizeRequest, progress::Progress,
};
use crate::{
    figure::Units,
    job::{self, Job},
    study::{self, CompareError, FlagFault, RefrigerantFault, ResolveError},
    view::{
        CardView, ChargeView, CompareView, FieldView, PackView, RefrigerantSheetView, RefrigerantsView,
        SizeView, SourceView, SourcesView, TubeView, TubesView,
    },
};
use std::{collections::BTreeSet, fs, path::Path, sync::Mutex};
use tables::{Library, SafetyFigure, Source, TableError};

/// Reads job files and data folders, and runs the studies.
pub struct Workshop;

impl Engine for Workshop {
    fn starter_job(&self) -> String {
        job::STARTER.to_owned()
    }

    fn size(&self, request: &SizeRequest) -> Result<Answer<SizeView>, EdgeFault> {
        let library = library(request.data.as_deref())?;
        let job = read(&request.job)?;
        let resolved = study::resolve(&job, &library).map_err(told)?.printed_in(request.units);
        Ok(answer(study::size(&resolved), &job))
    }

    fn charge(&self, request: &ChargeRequest) -> Result<Answer<ChargeView>, EdgeFault> {
        let library = library(request.data.as_deref())?;
        match &request.from {
            ChargeFrom::Job(path) => {
                let job = read(path)?;
                let resolved = study::resolve(&job, &library).map_err(told)?.printed_in(request.units);
                Ok(answer(study::charge(&resolved), &job))
            }
            ChargeFrom::Flags(flags) => from_flags(flags, &library, request.units.unwrap_or_default()),
        }
    }

    fn prove(&self, request: &FieldRequest) -> Result<Answer<FieldView>, EdgeFault> {
        let library = library(request.data.as_deref())?;
        let job = read(&request.job)?;
        let resolved = study::resolve(&job, &library).map_err(told)?.printed_in(request.units);
        Ok(answer(study::prove(&resolved), &job))
    }

    fn supply(&self, request: &FieldRequest) -> Result<Answer<FieldView>, EdgeFault> {
        let library = library(request.data.as_deref())?;
        let job = read(&request.job)?;
        let resolved = study::resolve(&job, &library).map_err(told)?.printed_in(request.units);
        Ok(answer(study::supply(&resolved), &job))
    }

    fn compare(&self, request: &CompareRequest) -> Result<Answer<CompareView>, EdgeFault> {
        let library = library(request.data.as_deref())?;
        let job = read(&request.job)?;
        let view = with_progress(request.quiet, |tell| study::compare(&job, &library, request.units, tell))
            .map_err(not_compared)?;
        Ok(answer(view, &job))
    }

    fn pack(&self, request: &PackRequest) -> Result<Answer<PackView>, EdgeFault> {
        let library = library(request.data.as_deref())?;
        let job = read(&request.job)?;
        let view = with_progress(request.quiet, |tell| study::pack(&job, &library, request.units, tell))
            .map_err(not_compared)?;
        Ok(answer(view, &job))
    }

    fn tubes(&self, request: &ListRequest) -> Result<Answer<TubesView>, EdgeFault> {
        let library = library(request.data.as_deref())?;
        let tubes = library.tubes().products().iter().map(|product| TubeView {
            source: Some(product.source.to_string()),
            ..study::tube_view(product, library.tubes().products())
        });
        Ok(Answer::plain(TubesView { tubes: tubes.collect() }))
    }

    fn refrigerants(&self, request: &ListRequest) -> Result<Answer<RefrigerantsView>, EdgeFault> {
        let library = library(request.data.as_deref())?;
        study::refrigerants(&library).map(Answer::plain).map_err(tables_fault)
    }

    fn refrigerant(&self, request: &SheetRequest) -> Result<Answer<RefrigerantSheetView>, EdgeFault> {
        let library = library(request.data.as_deref())?;
        let inputs = study::SheetInputs {
            name: &request.name,
            at: request.at.as_deref(),
            pressure: request.pressure.as_deref(),
            altitude: request.altitude.as_deref(),
        };
        study::refrigerant_sheet(&inputs, &library).map(Answer::plain).map_err(refrigerant_fault)
    }

    fn card(&self, request: &CardRequest) -> Result<Answer<CardView>, EdgeFault> {
        let library = library(request.data.as_deref())?;
        let inputs = study::CardInputs {
            name: &request.name,
            from: request.from.as_deref(),
            to: request.to.as_deref(),
            step: request.step.as_deref(),
            altitude: request.altitude.as_deref(),
        };
        study::refrigerant_card(&inputs, &library, request.units)
            .map(Answer::plain)
            .map_err(refrigerant_fault)
    }

    fn sources(&self, request: &ListRequest) -> Result<Answer<SourcesView>, EdgeFault> {
        let library = library(request.data.as_deref())?;
        Ok(Answer::plain(SourcesView { sources: sources(&library).map_err(tables_fault)? }))
    }

    fn schema(&self, request: &ListRequest) -> Result<serde_json::Value, EdgeFault> {
        let library = library(request.data.as_deref())?;
        let limits = study::settable_limits(&library).map(|limit| job::SettableLimit {
            key: limit.key.to_string(),
            about: format!("{}; {} by default.", limit.condition_note, study::quantity_words(limit.value)),
        });
        Ok(job::schema(&limits.collect::<Vec<_>>()))
    }
}

/// Shows how far the work is while it lasts.
fn with_progress<T>(quiet: bool, work: impl FnOnce(&(dyn Fn(f64) + Sync)) -> T) -> T {
    let progress = Mutex::new(Progress::of("computing the year", quiet));
    work(&|share| {
        // A bar that another thread holds just now hears of the next part.
        if let Ok(mut progress) = progress.try_lock() {
            progress.tell(share);
        }
    })
}

pub(super) fn library(folder: Option<&Path>) -> Result<Library, EdgeFault> {
    match folder {
        Some(folder) => Library::open(folder),
        None => Library::embedded(),
    }
    .map_err(tables_fault)
}

fn tables_fault(error: TableError) -> EdgeFault {
    EdgeFault::Study { doing: "reading the tables".to_owned(), source: Box::new(error) }
}

fn refrigerant_fault(fault: RefrigerantFault) -> EdgeFault {
    match fault {
        RefrigerantFault::Name(source) => EdgeFault::Refrigerant { source },
        RefrigerantFault::Flags(faults) => EdgeFault::Flags { faults },
        RefrigerantFault::Tables(error) => tables_fault(error),
        other => EdgeFault::Study { doing: "reading the property data".to_owned(), source: Box::new(other) },
    }
}

fn read(path: &Path) -> Result<Job, EdgeFault> {
    if path.is_dir() {
        return Err(EdgeFault::JobIsFolder { path: path.to_owned() });
    }
    let bytes = fs::read(path).map_err(|source| EdgeFault::Read { path: path.to_owned(), source })?;
    let mut job = job::read(&path.display().to_string(), &bytes)
        .map_err(|faults| EdgeFault::Job { rendered: faults.render(false) })?;
    // Names in a job count from the folder that it lies in, wherever the command is called.
    let folder = path.parent().unwrap_or(Path::new(""));
    job::attach(&mut job, &|name| fs::read(folder.join(name)))
        .map_err(|faults| EdgeFault::Job { rendered: faults.render(false) })?;
    Ok(job)
}

fn told(error: ResolveError) -> EdgeFault {
    match error {
        ResolveError::Faults(faults) => EdgeFault::Job { rendered: faults.render(false) },
        ResolveError::Tables(error) => tables_fault(error),
    }
}

fn not_compared(error: CompareError) -> EdgeFault {
    match error {
        CompareError::Faults(faults) => EdgeFault::Job { rendered: faults.render(false) },
        CompareError::Tables(error) => tables_fault(error),
    }
}

fn answer<V>(view: V, job: &Job) -> Answer<V> {
    Answer { view, units: Some(job.units), remarks: Vec::new() }
}

fn from_flags(flags: &ChargeFlags, library: &Library, units: Units) -> Result<Answer<ChargeView>, EdgeFault> {
    match study::charge_from_flags(&flags.into(), library, units) {
        Ok(view) => Ok(Answer::plain(view)),
        Err(FlagFault::Tables(error)) => Err(tables_fault(error)),
        Err(FlagFault::Flags(faults)) => Err(EdgeFault::Flags { faults }),
    }
}

impl<'a> From<&'a ChargeFlags> for study::ChargeInputs<'a> {
    fn from(flags: &'a ChargeFlags) -> Self {
        Self {
            refrigerant: &flags.refrigerant,
            discharge: &flags.discharge,
            liquid: &flags.liquid,
            run: &flags.run,
            covered_run: flags.covered_run.as_deref(),
            covered_discharge: flags.covered_discharge.as_deref(),
            covered_liquid: flags.covered_liquid.as_deref(),
            condensing: flags.condensing.as_deref(),
            subcooling: flags.subcooling.as_deref(),
            discharge_gas: flags.discharge_gas.as_deref(),
            factory_charge: flags.factory_charge.as_deref(),
            receiver: flags.receiver,
            rate_liquid: flags.rate_liquid.as_deref(),
            rate_discharge: flags.rate_discharge.as_deref(),
            rate: flags.rate.as_deref(),
        }
    }
}

/// Every value that studies take from the tables, with its source.
fn sources(library: &Library) -> Result<Vec<SourceView>, TableError> {
    let entry = |what: String, source: &Source| SourceView {
        what,
        source: source.text.to_string(),
        grade: source.grade.to_string(),
    };
    let mut sources = Vec::new();
    for limit in library.limits().all() {
        sources.push(entry(format!("{} = {}", limit.key, study::quantity_words(limit.value)), &limit.source));
    }
    for (what, half_width, source) in library.limits().method_bands().all() {
        let half_width = study::quantity_words(half_width);
        sources.push(entry(format!("95 % band of {what} = {half_width}"), source));
    }
    for oil in library.limits().oil_densities() {
        sources.push(entry(format!("density of {}", oil.oil), &oil.density.source));
    }
    sources.extend(library.roof().sources().map(|(what, source)| entry(what, source)));
    sources.extend(library.field().sources().map(|(what, source)| entry(what, source)));
    sources.extend(library.supplies().sources().map(|(what, source)| entry(what, source)));
    for fitting in library.fittings().three_k_fittings() {
        let k = fitting.loss.value;
        let what = format!("{} (3-K): {}, {}, {}", fitting.key, k.k1, k.k_infinity, k.kd);
        sources.push(entry(what, &fitting.loss.source));
    }
    let mut seen = BTreeSet::new();
    for product in library.tubes().products() {
        let what = format!("tubes of {} {}", product.standard, product.form);
        if seen.insert((what.clone(), product.source.to_string())) {
            sources.push(entry(what, &product.source));
        }
    }
    for (what, source) in library.strength().sources().chain(library.insulation().sources()) {
        if seen.insert((what.clone(), source.to_string())) {
            sources.push(entry(what, source));
        }
    }
    for name in library.grids()? {
        let table = library.property_table(&name)?;
        sources.push(entry(format!("properties of {name}"), &table.provenance.source));
    }
    for refrigerant in library.refrigerants().all() {
        sources.push(entry(format!("composition of {}", refrigerant.name), &refrigerant.components.source));
        sources.push(entry(format!("95 % bands of {}", refrigerant.name), &refrigerant.bands.source));
        sources
            .push(entry(format!("safety class of {}", refrigerant.name), refrigerant.safety_class.source()));
        sources.push(entry(format!("GWP of {}", refrigerant.name), &refrigerant.warming_potential.source));
        let limits = [
            ("LFL", refrigerant.lower_flammability_limit.as_ref().map(SafetyFigure::source)),
            ("RCL", refrigerant.concentration_limit.as_ref().map(SafetyFigure::source)),
        ];
        for (what, source) in limits.into_iter().filter_map(|(what, source)| Some((what, source?))) {
            sources.push(entry(format!("{what} of {}", refrigerant.name), source));
        }
    }
    for refusal in library.materials().all() {
        sources.push(entry(format!("{} not in {}", refusal.refrigerant, refusal.material), &refusal.source));
    }
    Ok(sources)
}
