//! The command `lineset`: arguments, one small function a command, exit status.
//!
//! Arguments are taken as they are written; the [`Engine`] reads them. Data goes to stdout, remarks to stderr, and
//! the exit status is 0 when every check was made and meets, 1 when one fails, is too close to call or could not be
//! made, 2 for a fault of input or program.

mod arguments;
mod batch;
mod fault;
mod pack;
mod progress;
mod setup;
mod workshop;

pub use arguments::{Format, Table};
pub use fault::EdgeFault;
pub use workshop::Workshop;

use arguments::{CompareArguments, RefrigerantArguments};

use crate::{
    chart::{Chart, card_charts, charge_charts, compare_charts, size_charts},
    deliver::{self, Existing, File},
    document::{csv, json::json, text},
    figure::Units,
    view::{
        CardView, ChargeView, CompareView, FieldView, PackView, RefrigerantSheetView, RefrigerantsView,
        SizeView, SourcesView, TubesView, VerdictView,
    },
};
use arguments::{
    ChargeArguments, Cli, Command, JobArguments, ListArguments, NewArguments, OutputOptions, SizeArguments,
};
use clap::Parser;
use serde::Serialize;
use std::{
    ffi::OsString,
    io::Write,
    path::{Path, PathBuf},
    process::ExitCode,
};

/// Status of a command whose every check was made and meets, or that makes none.
pub const ALL_MEET: u8 = 0;
/// Status when a check fails, is too close to call or could not be made.
pub const NOT_ALL_MEET: u8 = 1;
/// Status for a fault of input or program.
pub const FAULT: u8 = 2;

/// What `size` asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SizeRequest {
    /// The job file.
    pub job: PathBuf,
    /// Units that remarks print first; those of the job where not asked for.
    pub units: Option<Units>,
    /// A data folder in place of the built-in tables.
    pub data: Option<PathBuf>,
}

/// What `compare` asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CompareRequest {
    /// The job file; other files that it names lie in its folder.
    pub job: PathBuf,
    /// Whether no progress is told.
    pub quiet: bool,
    /// Units that remarks print first; those of the job where not asked for.
    pub units: Option<Units>,
    /// A data folder in place of the built-in tables.
    pub data: Option<PathBuf>,
}

/// What `prove` and `supply` ask for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FieldRequest {
    /// The job file.
    pub job: PathBuf,
    /// Units that remarks print first; those of the job where not asked for.
    pub units: Option<Units>,
    /// A data folder in place of the built-in tables.
    pub data: Option<PathBuf>,
}

/// What `pack` asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PackRequest {
    /// The job file; other files that it names lie in its folder.
    pub job: PathBuf,
    /// No progress on the terminal.
    pub quiet: bool,
    /// Units that the page prints first; those of the job where not asked for.
    pub units: Option<Units>,
    /// A data folder in place of the built-in tables.
    pub data: Option<PathBuf>,
}

/// What `charge` asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChargeRequest {
    /// Job file or flags.
    pub from: ChargeFrom,
    /// Units that remarks print first; those of the job where not asked for.
    pub units: Option<Units>,
    /// A data folder in place of the built-in tables.
    pub data: Option<PathBuf>,
}

/// Where `charge` takes its inputs from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ChargeFrom {
    /// From a job file.
    Job(PathBuf),
    /// From flags alone.
    Flags(Box<ChargeFlags>),
}

/// The flags of `charge` as they were written; absent ones are assumed and told, or left out of the answer.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ChargeFlags {
    /// `--refrigerant`.
    pub refrigerant: String,
    /// `--discharge`, tube of this run.
    pub discharge: String,
    /// `--liquid`, tube of this run.
    pub liquid: String,
    /// `--run`.
    pub run: String,
    /// `--covered-run`.
    pub covered_run: Option<String>,
    /// `--covered-discharge`; the tube of this run where absent.
    pub covered_discharge: Option<String>,
    /// `--covered-liquid`; the tube of this run where absent.
    pub covered_liquid: Option<String>,
    /// `--condensing`.
    pub condensing: Option<String>,
    /// `--subcooling`.
    pub subcooling: Option<String>,
    /// `--discharge-gas`.
    pub discharge_gas: Option<String>,
    /// `--factory-charge`.
    pub factory_charge: Option<String>,
    /// `--receiver`.
    pub receiver: Option<bool>,
    /// `--rate-liquid`, the maker's charge per length.
    pub rate_liquid: Option<String>,
    /// `--rate-discharge`, the maker's charge per length.
    pub rate_discharge: Option<String>,
    /// `--rate`, the maker's charge per length of both lines together.
    pub rate: Option<String>,
}

/// What `refrigerants NAME` asks for, as it was written.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SheetRequest {
    /// The refrigerant.
    pub name: String,
    /// `--at`.
    pub at: Option<String>,
    /// `--pressure`.
    pub pressure: Option<String>,
    /// `--altitude`; sea level where absent.
    pub altitude: Option<String>,
    /// A data folder in place of the built-in tables.
    pub data: Option<PathBuf>,
}

/// What `refrigerants NAME --card` asks for, as it was written.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CardRequest {
    /// The refrigerant.
    pub name: String,
    /// `--from`.
    pub from: Option<String>,
    /// `--to`.
    pub to: Option<String>,
    /// `--step`.
    pub step: Option<String>,
    /// `--altitude`; sea level where absent.
    pub altitude: Option<String>,
    /// Units of the thermometer whose steps the card counts.
    pub units: Units,
    /// A data folder in place of the built-in tables.
    pub data: Option<PathBuf>,
}

/// What `tubes`, `refrigerants` and `sources` ask for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ListRequest {
    /// A data folder in place of the built-in tables.
    pub data: Option<PathBuf>,
}

/// An answer with what goes beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer<V> {
    /// The answer.
    pub view: V,
    /// Units that the job file asks for; `--units` wins over them.
    pub units: Option<Units>,
    /// Remarks for stderr, each a whole text without its last line end.
    pub remarks: Vec<String>,
}

impl<V> Answer<V> {
    /// An answer without wishes and remarks.
    pub fn plain(view: V) -> Self {
        Self { view, units: None, remarks: Vec::new() }
    }
}

/// What the commands need done: the seam between arguments and studies.
pub trait Engine {
    /// A commented starter job.
    fn starter_job(&self) -> String;

    /// Sizes the lines of a job.
    ///
    /// # Errors
    /// [`EdgeFault`] where the job can not be read or computed.
    fn size(&self, request: &SizeRequest) -> Result<Answer<SizeView>, EdgeFault>;

    /// Computes the added charge.
    ///
    /// # Errors
    /// [`EdgeFault`] where job or flags can not be read or computed.
    fn charge(&self, request: &ChargeRequest) -> Result<Answer<ChargeView>, EdgeFault>;

    /// Compares the layouts of a job.
    ///
    /// # Errors
    /// [`EdgeFault`] where the job, or a file that it names, can not be read or computed.
    fn compare(&self, request: &CompareRequest) -> Result<Answer<CompareView>, EdgeFault>;

    /// Judges what proves the lines of a job tight and dry.
    ///
    /// # Errors
    /// [`EdgeFault`] where the job can not be read or computed.
    fn prove(&self, request: &FieldRequest) -> Result<Answer<FieldView>, EdgeFault>;

    /// Checks power, water and drain of a job.
    ///
    /// # Errors
    /// [`EdgeFault`] where the job can not be read or computed.
    fn supply(&self, request: &FieldRequest) -> Result<Answer<FieldView>, EdgeFault>;

    /// Makes every study of a job, and what the work needs beside them.
    ///
    /// # Errors
    /// [`EdgeFault`] where the job, or a file that it names, can not be read or computed.
    fn pack(&self, request: &PackRequest) -> Result<Answer<PackView>, EdgeFault>;

    /// Lists the tubes of the tables.
    ///
    /// # Errors
    /// [`EdgeFault`] where the data folder can not be read.
    fn tubes(&self, request: &ListRequest) -> Result<Answer<TubesView>, EdgeFault>;

    /// Lists the refrigerants of the tables.
    ///
    /// # Errors
    /// [`EdgeFault`] where the data folder can not be read.
    fn refrigerants(&self, request: &ListRequest) -> Result<Answer<RefrigerantsView>, EdgeFault>;

    /// Says what one refrigerant is, with its states where asked for.
    ///
    /// # Errors
    /// [`EdgeFault`] where it is unknown, or a state lies outside its property data.
    fn refrigerant(&self, request: &SheetRequest) -> Result<Answer<RefrigerantSheetView>, EdgeFault>;

    /// Writes the pressure-temperature card of one refrigerant.
    ///
    /// # Errors
    /// As [`refrigerant`](Self::refrigerant).
    fn card(&self, request: &CardRequest) -> Result<Answer<CardView>, EdgeFault>;

    /// Lists the sources of the tables.
    ///
    /// # Errors
    /// [`EdgeFault`] where the data folder can not be read.
    fn sources(&self, request: &ListRequest) -> Result<Answer<SourcesView>, EdgeFault>;

    /// Forms the JSON Schema of the job file, with the limits that the tables let a job set.
    ///
    /// # Errors
    /// [`EdgeFault`] where the data folder can not be read.
    fn schema(&self, request: &ListRequest) -> Result<serde_json::Value, EdgeFault>;
}

/// Runs the command with the arguments of the process, its name first.
pub fn run<I, T>(arguments: I, engine: &dyn Engine) -> ExitCode
where
    I: IntoIterator<Item = T>,
    T: Into<OsString> + Clone,
{
    let (mut out, mut remarks) = (std::io::stdout().lock(), std::io::stderr().lock());
    ExitCode::from(run_with(arguments, engine, &mut out, &mut remarks))
}

/// Runs the command with the given ends for answer and remarks; gives the exit status.
pub fn run_with<I, T>(arguments: I, engine: &dyn Engine, out: &mut dyn Write, remarks: &mut dyn Write) -> u8
where
    I: IntoIterator<Item = T>,
    T: Into<OsString> + Clone,
{
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        Err(told) if !told.use_stderr() => {
            return match deliver::print(out, &told.render().to_string()) {
                Ok(()) => ALL_MEET,
                Err(error) => fault(remarks, &error.into()),
            };
        }
        Err(wrong) => {
            // Nobody is left to tell where stderr is closed.
            let _ = remarks.write_all(wrong.render().to_string().as_bytes());
            return FAULT;
        }
    };
    let mut ends = Ends { out, remarks, quiet: cli.quiet };
    let done = match &cli.command {
        Command::New(arguments) => new(arguments, engine, &mut ends),
        Command::Size(arguments) => size(arguments, engine, &mut ends),
        Command::Charge(arguments) => charge(arguments, engine, &mut ends),
        Command::Compare(arguments) => compare(arguments, engine, &mut ends),
        Command::Prove(arguments) => field(arguments, |request| engine.prove(request), &mut ends),
        Command::Supply(arguments) => field(arguments, |request| engine.supply(request), &mut ends),
        Command::Batch(arguments) => batch::batch(arguments, &mut ends),
        Command::Pack(arguments) => pack::pack(arguments, engine, &mut ends),
        Command::Tubes(arguments) => tubes(arguments, engine, &mut ends),
        Command::Refrigerants(arguments) => refrigerants(arguments, engine, &mut ends),
        Command::Sources(arguments) => sources(arguments, engine, &mut ends),
        Command::Schema(arguments) => setup::schema(arguments, engine, &mut ends),
        Command::Completions(arguments) => setup::completions(arguments, &mut ends),
        Command::Manual(arguments) => setup::manual(arguments, &mut ends),
    };
    done.unwrap_or_else(|wrong| fault(ends.remarks, &wrong))
}

/// Where answer and remarks go.
struct Ends<'a> {
    out: &'a mut dyn Write,
    remarks: &'a mut dyn Write,
    /// Only faults are told.
    quiet: bool,
}

impl Ends<'_> {
    fn remark(&mut self, text: &str) {
        if self.quiet {
            return;
        }
        // A remark that can not be told is no reason to withhold the answer.
        let _ = writeln!(self.remarks, "{text}");
    }
}

fn fault(remarks: &mut dyn Write, wrong: &EdgeFault) -> u8 {
    // Nobody is left to tell where stderr is closed.
    let _ = writeln!(remarks, "{wrong}");
    FAULT
}

fn new(arguments: &NewArguments, engine: &dyn Engine, ends: &mut Ends<'_>) -> Result<u8, EdgeFault> {
    let content = engine.starter_job();
    match &arguments.file {
        None => deliver::print(ends.out, &content)?,
        Some(path) => {
            deliver::write(&[File { path: path.clone(), content }], existing(arguments.replace))?;
            ends.remark(&format!("wrote {}", path.display()));
        }
    }
    Ok(ALL_MEET)
}

fn size(arguments: &SizeArguments, engine: &dyn Engine, ends: &mut Ends<'_>) -> Result<u8, EdgeFault> {
    let output = &arguments.output;
    check_table(output.format, arguments.table, &[Table::Candidates, Table::Checks])?;
    keep_input(&arguments.job, output)?;
    let request = SizeRequest { job: arguments.job.clone(), units: output.units, data: output.data.clone() };
    let Answer { view, units, remarks } = engine.size(&request)?;
    let units = output.units.or(units).unwrap_or_default();
    let document = match output.format {
        Format::Text => text::size_sheet(&view, units),
        Format::Json => json(&view)?,
        Format::Csv if arguments.table == Some(Table::Checks) => csv::size_checks(&view)?,
        Format::Csv => csv::candidates(&view)?,
    };
    let charts = if arguments.folder.is_some() { size_charts(&view, units)? } else { Vec::new() };
    hand_over(document, &remarks, charts, arguments.folder.as_deref(), output, ends)?;
    Ok(status(view.verdict))
}

fn charge(arguments: &ChargeArguments, engine: &dyn Engine, ends: &mut Ends<'_>) -> Result<u8, EdgeFault> {
    let output = &arguments.output;
    check_table(
        output.format,
        arguments.table,
        &[Table::ByTube, Table::Lines, Table::Checks, Table::Budget],
    )?;
    let from = arguments.from()?;
    if let ChargeFrom::Job(job) = &from {
        keep_input(job, output)?;
    }
    let request = ChargeRequest { from, units: output.units, data: output.data.clone() };
    let Answer { view, units, remarks } = engine.charge(&request)?;
    let units = output.units.or(units).unwrap_or_default();
    let document = match (output.format, arguments.table) {
        (Format::Text, _) => text::charge_sheet(&view, units),
        (Format::Json, _) => json(&view)?,
        (Format::Csv, Some(Table::Lines)) => csv::charge_lines(&view)?,
        (Format::Csv, Some(Table::Checks)) => csv::charge_checks(&view)?,
        (Format::Csv, Some(Table::Budget)) => csv::charge_budget(&view)?,
        (Format::Csv, _) => csv::charge_by_tube(&view)?,
    };
    let charts = if arguments.folder.is_some() { charge_charts(&view, units)? } else { Vec::new() };
    hand_over(document, &remarks, charts, arguments.folder.as_deref(), output, ends)?;
    Ok(status(view.verdict))
}

fn compare(arguments: &CompareArguments, engine: &dyn Engine, ends: &mut Ends<'_>) -> Result<u8, EdgeFault> {
    let output = &arguments.output;
    check_table(output.format, arguments.table, &[Table::Layouts, Table::Curve])?;
    keep_input(&arguments.job, output)?;
    let request = CompareRequest {
        job: arguments.job.clone(),
        quiet: ends.quiet,
        units: output.units,
        data: output.data.clone(),
    };
    let Answer { view, units, remarks } = engine.compare(&request)?;
    let units = output.units.or(units).unwrap_or_default();
    let document = match output.format {
        Format::Text => text::compare_sheet(&view, units),
        Format::Json => json(&view)?,
        Format::Csv if arguments.table == Some(Table::Curve) => csv::layout_curve(&view)?,
        Format::Csv => csv::layouts(&view)?,
    };
    let charts = if arguments.folder.is_some() { compare_charts(&view, units)? } else { Vec::new() };
    hand_over(document, &remarks, charts, arguments.folder.as_deref(), output, ends)?;
    Ok(status(view.verdict))
}

fn field(
    arguments: &JobArguments,
    study: impl FnOnce(&FieldRequest) -> Result<Answer<FieldView>, EdgeFault>,
    ends: &mut Ends<'_>,
) -> Result<u8, EdgeFault> {
    let output = &arguments.output;
    keep_input(&arguments.job, output)?;
    let request = FieldRequest { job: arguments.job.clone(), units: output.units, data: output.data.clone() };
    let answer = study(&request)?;
    let verdict = answer.view.verdict;
    list(answer, output, text::field_sheet, csv::field, ends)?;
    Ok(status(verdict))
}

fn tubes(arguments: &ListArguments, engine: &dyn Engine, ends: &mut Ends<'_>) -> Result<u8, EdgeFault> {
    let answer = engine.tubes(&ListRequest { data: arguments.output.data.clone() })?;
    list(answer, &arguments.output, text::tubes_sheet, csv::tubes, ends)
}

fn refrigerants(
    arguments: &RefrigerantArguments,
    engine: &dyn Engine,
    ends: &mut Ends<'_>,
) -> Result<u8, EdgeFault> {
    let (output, card) = (&arguments.output, &arguments.card);
    let data = output.data.clone();
    let Some(name) = arguments.name.clone() else {
        let answer = engine.refrigerants(&ListRequest { data })?;
        let as_csv = |view: &RefrigerantsView| csv::refrigerants(&view.refrigerants);
        return list(answer, output, text::refrigerants_sheet, as_csv, ends);
    };
    let altitude = arguments.altitude.clone();
    if !card.card {
        let (at, pressure) = (arguments.at.clone(), arguments.pressure.clone());
        let answer = engine.refrigerant(&SheetRequest { name, at, pressure, altitude, data })?;
        return list(answer, output, text::refrigerant_sheet, csv::refrigerant_sheet, ends);
    }
    let units = output.units.unwrap_or_default();
    let (from, to, step) = (card.from.clone(), card.to.clone(), card.step.clone());
    let request = CardRequest { name, from, to, step, altitude, units, data };
    let Answer { view, remarks, .. } = engine.card(&request)?;
    let document = match output.format {
        Format::Text => text::card_sheet(&view, units),
        Format::Json => json(&view)?,
        Format::Csv => csv::card(&view)?,
    };
    let charts = if card.folder.is_some() { card_charts(&view, units)? } else { Vec::new() };
    hand_over(document, &remarks, charts, card.folder.as_deref(), output, ends)?;
    Ok(ALL_MEET)
}

fn sources(arguments: &ListArguments, engine: &dyn Engine, ends: &mut Ends<'_>) -> Result<u8, EdgeFault> {
    let answer = engine.sources(&ListRequest { data: arguments.output.data.clone() })?;
    list(answer, &arguments.output, |view, _| text::sources_sheet(view), csv::sources, ends)
}

fn list<V: Serialize>(
    Answer { view, units, remarks }: Answer<V>,
    output: &OutputOptions,
    as_text: impl FnOnce(&V, Units) -> String,
    as_csv: impl FnOnce(&V) -> Result<String, csv::CsvError>,
    ends: &mut Ends<'_>,
) -> Result<u8, EdgeFault> {
    let document = match output.format {
        Format::Text => as_text(&view, output.units.or(units).unwrap_or_default()),
        Format::Json => json(&view)?,
        Format::Csv => as_csv(&view)?,
    };
    hand_over(document, &remarks, Vec::new(), None, output, ends)?;
    Ok(ALL_MEET)
}

/// Writes all files together, so that one refused leaves none, then prints what goes to stdout.
fn hand_over(
    document: String,
    remarks: &[String],
    charts: Vec<Chart>,
    folder: Option<&Path>,
    output: &OutputOptions,
    ends: &mut Ends<'_>,
) -> Result<(), EdgeFault> {
    let mut files = Vec::new();
    if let Some(folder) = folder {
        deliver::make_folder(folder)?;
        files.extend(
            charts.into_iter().map(|chart| File { path: folder.join(chart.file_name), content: chart.svg }),
        );
    }
    let mut printed = None;
    match &output.out {
        Some(path) => files.push(File { path: path.clone(), content: document }),
        None => printed = Some(document),
    }
    deliver::write(&files, existing(output.replace))?;
    for remark in remarks {
        ends.remark(remark);
    }
    for file in &files {
        ends.remark(&format!("wrote {}", file.path.display()));
    }
    if let Some(document) = printed {
        deliver::print(ends.out, &document)?;
    }
    Ok(())
}

fn existing(replace: bool) -> Existing {
    if replace { Existing::Replace } else { Existing::Refuse }
}

fn status(verdict: VerdictView) -> u8 {
    if verdict == VerdictView::Meets { ALL_MEET } else { NOT_ALL_MEET }
}

/// `--replace` is meant for an older answer, never for the job that it comes from.
fn keep_input(job: &Path, output: &OutputOptions) -> Result<(), EdgeFault> {
    match &output.out {
        Some(out) if is_same_file(job, out) => Err(EdgeFault::OutIsJob { path: out.clone() }),
        _ => Ok(()),
    }
}

fn is_same_file(one: &Path, other: &Path) -> bool {
    matches!((one.canonicalize(), other.canonicalize()), (Ok(one), Ok(other)) if one == other)
}

fn check_table(format: Format, table: Option<Table>, known: &'static [Table]) -> Result<(), EdgeFault> {
    match table {
        Some(_) if format != Format::Csv => Err(EdgeFault::TableWithoutCsv),
        Some(table) if !known.contains(&table) => Err(EdgeFault::NoSuchTable { table, known }),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests;
