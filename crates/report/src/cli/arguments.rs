//! The arguments as they are written; nothing here reads a quantity.

use super::setup::{CompletionsArguments, ManualArguments, SchemaArguments};
use super::{ChargeFlags, ChargeFrom, EdgeFault};
use crate::figure::Units;
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::{fmt, path::PathBuf};

/// Sizes the lines between an indoor head and its remote condenser, and their charge.
#[derive(Debug, Parser)]
#[command(
    name = "lineset",
    bin_name = "lineset",
    version,
    about = "Sizes the lines between an indoor head and its remote condenser",
    long_about = "Sizes the two copper lines between an indoor ice or refrigeration head and its \
                  remote air-cooled condenser: which tubes, how far they reach, how much \
                  refrigerant to add.",
    after_help = EXIT_STATUS,
    max_term_width = 80,
    propagate_version = true,
    disable_help_subcommand = true,
    subcommand_required = true,
    arg_required_else_help = false
)]
pub(super) struct Cli {
    /// Tell faults alone: no remarks, no progress
    #[arg(long, short, global = true)]
    pub(super) quiet: bool,
    #[command(subcommand)]
    pub(super) command: Command,
}

const EXIT_STATUS: &str = "\
Start here:
  lineset new job.toml      then write your job into it
  lineset size job.toml     tubes, checks, and why other tubes are refused
  lineset charge job.toml   refrigerant to add
  lineset compare job.toml  condensers stacked, side by side or apart
  lineset prove job.toml    pressure test, evacuation, holding charge
  lineset supply job.toml   power, water and drain
  lineset pack job.toml --folder pack   all of it as one page to print

Exit status:
  0  every check was made and meets
  1  a check fails, is too close to call or could not be made
  2  a fault in the input or in the program";

const BATCH_HELP: &str = "\
Examples:
  lineset batch roofs.csv --job roofs.toml --out results.csv
  lineset batch roofs.csv --job roofs.toml --out results.csv --resume

The table: a row a job, a column a key of the job file by its path, as
site.altitude or set.ice-room.route.run; a column `name` may name the rows. A
cell is what would stand in quotation marks; an empty one keeps what the
template says; one that begins with [ is a list: [\"up 14 ft\", \"north 3 ft\"].

The results, a line a row:
  row, name      as a spreadsheet counts rows
  verdict        meets, not checked, too close to call, fails; or fault
  governing_...  the check that governs: set, line, check, condition;
                 value, limit, margin in their SI unit
  size_verdict, charge_verdict
                 what `lineset size` and `lineset charge` say
  LINE_tube, LINE_allowable_length_m, _ft, LINE_stopped_by
                 of each line: its tube; with --allowable-lengths how far it
                 reaches, what stops it
  added_for_lines_kg, added_kg, added_oz, total_kg, charge_question
                 charge; added_kg and added_oz hold lines and winter
  fault          what is wrong with the row, by column, and what to write

Results grow in FILE.part and are moved to FILE at the end; --resume goes on
from the part of a run that was broken off.

Exit status:
  0  every row meets
  1  a row fails, is too close to call, is not checked, or could not be read
  2  a fault of the table as a whole, of the template or of the program";

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Write a starter job file with comments
    #[command(after_help = "Example:\n  lineset new ice-room.toml")]
    New(NewArguments),
    /// Choose and check the tubes of every line of a job
    #[command(after_help = "\
Examples:
  lineset size ice-room.toml
  lineset size ice-room.toml --units si --folder charts
  lineset size ice-room.toml --format csv --table checks --out checks.csv")]
    Size(SizeArguments),
    /// Compute the refrigerant to add for a run that the factory charge does not
    /// cover
    #[command(after_help = "\
Examples:
  lineset charge ice-room.toml
  lineset charge --refrigerant R-449A --discharge \"1/2 in OD\" \\
      --liquid \"3/8 in OD\" --run \"92 ft\" --covered-run \"66 ft\" \\
      --condensing \"110 °F bubble\" --factory-charge \"11 lb 6 oz\"")]
    Charge(Box<ChargeArguments>),
    /// Compare the layouts of the condensers of a job: temperatures, capacity,
    /// energy, lines, roof
    #[command(after_help = "\
Examples:
  lineset compare two-rooms.toml
  lineset compare two-rooms.toml --units si --folder charts
  lineset compare two-rooms.toml --format csv --table curve --out curve.csv")]
    Compare(CompareArguments),
    /// Judge what proves the lines tight and dry: pressure test, evacuation, holding
    /// charge
    #[command(after_help = "\
Examples:
  lineset prove ice-room.toml
  lineset prove ice-room.toml --units si --out tests.txt
  lineset prove ice-room.toml --format csv --out tests.csv

A part is in the sheet once the job has its table: [set.NAME.pressure_test],
[set.NAME.evacuation], [set.NAME.holding]. `lineset new` shows their keys.")]
    Prove(JobArguments),
    /// Check power, water and drain of every set
    #[command(after_help = "\
Examples:
  lineset supply ice-room.toml
  lineset supply ice-room.toml --format json --out supply.json

A part is in the sheet once the job has its table: [set.NAME.power],
[set.NAME.water_supply]. `lineset new` shows their keys.")]
    Supply(JobArguments),
    /// Size and charge many jobs: a row of a table each
    #[command(after_help = BATCH_HELP)]
    Batch(BatchArguments),
    /// Write the whole file of a job into a folder: one page to print, charts, tables,
    /// JSON
    #[command(after_help = "\
Examples:
  lineset pack ice-room.toml --folder ice-room
  lineset pack ice-room.toml --folder ice-room --replace --units si

The folder holds index.html, which needs no network: two printed sheets for the
fitter, then the long file; the charts as SVG, the tables as CSV, pack.json.")]
    Pack(PackArguments),
    /// List the tubes of the tables with outside diameter and bore
    #[command(after_help = "Example:\n  lineset tubes --units si")]
    Tubes(ListArguments),
    /// List the refrigerants; or one of them: what it is, its saturation states at a
    /// temperature or a pressure, its pressure-temperature card
    #[command(after_help = "\
Examples:
  lineset refrigerants
  lineset refrigerants R-449A --at \"40 °C\"
  lineset refrigerants R-449A --pressure \"250 psig\" --altitude \"5000 ft\"
  lineset refrigerants R-449A --card --from \"0 °F\" --to \"120 °F\" --folder cards")]
    Refrigerants(RefrigerantArguments),
    /// List the sources of all values in the tables, with their grades
    #[command(after_help = "Example:\n  lineset sources --format csv --out sources.csv")]
    Sources(ListArguments),
    /// Print the JSON Schema of the job file, with which an editor completes and
    /// checks it
    #[command(after_help = "\
Examples:
  lineset schema
  lineset schema --out lineset-job.schema.json

Many editors take it from a first line `#:schema ./lineset-job.schema.json` in the
job file.")]
    Schema(SchemaArguments),
    /// Print what lets a shell complete the command
    #[command(after_help = "\
Examples:
  lineset completions bash > lineset.bash
  lineset completions zsh > _lineset
  lineset completions fish > lineset.fish

Put the file where your shell looks for completions.")]
    Completions(CompletionsArguments),
    /// Write the pages of the manual, for `man`
    #[command(after_help = "\
Examples:
  lineset manual > lineset.1
  lineset manual --folder man1")]
    Manual(ManualArguments),
}

#[derive(Debug, Args)]
pub(super) struct NewArguments {
    /// File to write; without it the job is printed
    #[arg(value_name = "FILE")]
    pub(super) file: Option<PathBuf>,
    /// Replace the file if it is there already
    #[arg(long, requires = "file")]
    pub(super) replace: bool,
}

#[derive(Debug, Args)]
pub(super) struct JobArguments {
    /// Job file; `lineset new` writes one to start from
    #[arg(value_name = "JOB")]
    pub(super) job: PathBuf,
    #[command(flatten)]
    pub(super) output: OutputOptions,
}

#[derive(Debug, Args)]
pub(super) struct SizeArguments {
    /// Job file; `lineset new` writes one to start from
    #[arg(value_name = "JOB")]
    pub(super) job: PathBuf,
    /// Folder for the charts (SVG): run against allowable length
    #[arg(long, value_name = "DIR")]
    pub(super) folder: Option<PathBuf>,
    /// The table of --format csv: candidates (every stocked tube) or checks
    /// [default: candidates]
    #[arg(long, value_enum, value_name = "TABLE", hide_possible_values = true)]
    pub(super) table: Option<Table>,
    #[command(flatten)]
    pub(super) output: OutputOptions,
}

#[derive(Debug, Args)]
pub(super) struct PackArguments {
    /// Job file; `lineset new` writes one to start from
    #[arg(value_name = "JOB")]
    pub(super) job: PathBuf,
    /// Folder to write; it appears whole or not at all
    #[arg(long, value_name = "DIR")]
    pub(super) folder: PathBuf,
    /// Replace an older pack there; a folder with any other file in it is kept
    #[arg(long)]
    pub(super) replace: bool,
    /// Units printed first [default: those of the job, else us]
    #[arg(long, value_enum, value_name = "UNITS")]
    pub(super) units: Option<Units>,
    /// Folder with tables to use in place of the built-in ones
    #[arg(long, value_name = "DIR")]
    pub(super) data: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct CompareArguments {
    /// Job file with condensers and layouts
    #[arg(value_name = "JOB")]
    pub(super) job: PathBuf,
    /// Folder for the charts (SVG): layouts, head pressure over outdoor air, cycles
    #[arg(long, value_name = "DIR")]
    pub(super) folder: Option<PathBuf>,
    /// The table of --format csv: layouts, or curve (condensing and capacity
    /// against recirculation) [default: layouts]
    #[arg(long, value_enum, value_name = "TABLE", hide_possible_values = true)]
    pub(super) table: Option<Table>,
    #[command(flatten)]
    pub(super) output: OutputOptions,
}

#[derive(Debug, Args)]
pub(super) struct BatchArguments {
    /// Table of jobs (CSV)
    #[arg(value_name = "TABLE")]
    pub(super) table: PathBuf,
    /// Template: a whole job file, whose keys the columns override
    #[arg(long, value_name = "JOB")]
    pub(super) job: PathBuf,
    /// File for the results (CSV)
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(super) out: PathBuf,
    /// Say how far each line reaches, too, which takes three times as long
    #[arg(long, help_heading = "Output")]
    pub(super) allowable_lengths: bool,
    /// Go on from the results of a run that was broken off
    #[arg(long, conflicts_with = "replace", help_heading = "Output")]
    pub(super) resume: bool,
    /// Replace results that are there already, whole or in part
    #[arg(long, help_heading = "Output")]
    pub(super) replace: bool,
    /// Folder with tables to use in place of the built-in ones
    #[arg(long, value_name = "DIR", help_heading = "Output")]
    pub(super) data: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct ListArguments {
    #[command(flatten)]
    pub(super) output: OutputOptions,
}

#[derive(Debug, Args)]
pub(super) struct RefrigerantArguments {
    /// Refrigerant, R-449A; without it all are listed
    #[arg(value_name = "NAME")]
    pub(super) name: Option<String>,
    /// Saturation states at this temperature, "40 °C"; both ends unless one is
    /// named: "40 °C dew"
    #[arg(long, value_name = "TEMPERATURE", requires = "name", allow_hyphen_values = true)]
    pub(super) at: Option<String>,
    /// Saturation states at this pressure, "250 psig", "12 bar(a)"
    #[arg(long, value_name = "PRESSURE", requires = "name", allow_hyphen_values = true)]
    pub(super) pressure: Option<String>,
    /// Altitude of the site, against whose atmosphere gauges read [default: sea
    /// level]
    #[arg(long, value_name = "HEIGHT", requires = "name", allow_hyphen_values = true)]
    pub(super) altitude: Option<String>,
    #[command(flatten)]
    pub(super) card: CardArguments,
    #[command(flatten)]
    pub(super) output: OutputOptions,
}

#[derive(Debug, Args)]
#[command(next_help_heading = "Pressure-temperature card")]
pub(super) struct CardArguments {
    /// The card: dew pressures for superheat, bubble pressures for subcooling
    #[arg(long, requires = "name", conflicts_with_all = ["at", "pressure"])]
    pub(super) card: bool,
    /// First temperature [default: -40 °F; -40 °C in SI]
    #[arg(long, value_name = "TEMPERATURE", requires = "card", allow_hyphen_values = true)]
    pub(super) from: Option<String>,
    /// Last temperature [default: 150 °F; 64 °C in SI; or where data end]
    #[arg(long, value_name = "TEMPERATURE", requires = "card", allow_hyphen_values = true)]
    pub(super) to: Option<String>,
    /// Step [default: 5 °F; 2 K in SI]
    #[arg(long, value_name = "DIFFERENCE", requires = "card")]
    pub(super) step: Option<String>,
    /// Folder for the chart (SVG): pressure against temperature
    #[arg(long, value_name = "DIR", requires = "card")]
    pub(super) folder: Option<PathBuf>,
}

/// Options that every answering command has.
#[derive(Debug, Args)]
#[command(next_help_heading = "Output")]
pub(super) struct OutputOptions {
    /// Text for people, JSON for programs, CSV for spreadsheets
    #[arg(long, value_enum, default_value_t = Format::Text, value_name = "FORMAT")]
    pub(super) format: Format,
    /// Write the answer to this file instead of printing it
    #[arg(long, value_name = "FILE")]
    pub(super) out: Option<PathBuf>,
    /// Replace files that are there already
    #[arg(long)]
    pub(super) replace: bool,
    /// Units printed first [default: those of the job, else us]
    #[arg(long, value_enum, value_name = "UNITS")]
    pub(super) units: Option<Units>,
    /// Folder with tables to use in place of the built-in ones
    #[arg(long, value_name = "DIR")]
    pub(super) data: Option<PathBuf>,
}

/// Form of an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// A sheet for people.
    Text,
    /// The stable interface for programs.
    Json,
    /// One table for a spreadsheet.
    Csv,
}

/// Table of `--format csv`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Table {
    /// Every stocked tube of every line.
    Candidates,
    /// Every check.
    Checks,
    /// Charge of each line.
    Lines,
    /// Charge per metre of every stocked tube.
    ByTube,
    /// Parts of the charge.
    Budget,
    /// Every layout.
    Layouts,
    /// Condensing temperature and capacity against recirculation.
    Curve,
}

impl fmt::Display for Table {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::Candidates => "candidates",
            Self::Checks => "checks",
            Self::Lines => "lines",
            Self::ByTube => "by-tube",
            Self::Budget => "budget",
            Self::Layouts => "layouts",
            Self::Curve => "curve",
        })
    }
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum YesNo {
    Yes,
    No,
}

#[derive(Debug, Args)]
pub(super) struct ChargeArguments {
    /// Job file; or leave it out and give flags
    #[arg(value_name = "JOB")]
    pub(super) job: Option<PathBuf>,
    #[command(flatten)]
    pub(super) inputs: ChargeInputs,
    /// Folder for the charts (SVG): added charge against run
    #[arg(long, value_name = "DIR", help_heading = "Output")]
    pub(super) folder: Option<PathBuf>,
    /// The table of --format csv: by-tube (charge per length of every tube), lines,
    /// checks or budget (parts of the charge, of a job file) [default: by-tube]
    #[arg(long, value_enum, value_name = "TABLE", hide_possible_values = true, help_heading = "Output")]
    pub(super) table: Option<Table>,
    #[command(flatten)]
    pub(super) output: OutputOptions,
}

/// The flags that stand in place of a job file.
#[derive(Debug, Args)]
#[command(next_help_heading = "In place of a job file")]
pub(super) struct ChargeInputs {
    /// Refrigerant, R-449A
    #[arg(long, value_name = "NAME")]
    refrigerant: Option<String>,
    /// Tube of the discharge line, "1/2 in OD coil"
    #[arg(long, value_name = "SIZE")]
    discharge: Option<String>,
    /// Tube of the liquid line, "3/8 in OD coil"
    #[arg(long, value_name = "SIZE")]
    liquid: Option<String>,
    /// Length of each line, "92 ft"
    #[arg(long, value_name = "LENGTH")]
    run: Option<String>,
    /// Run that the factory charge covers, "66 ft"
    #[arg(long, value_name = "LENGTH")]
    covered_run: Option<String>,
    /// Discharge tube that the factory charge covers [default: as --discharge]
    #[arg(long, value_name = "SIZE")]
    covered_discharge: Option<String>,
    /// Liquid tube that the factory charge covers [default: as --liquid]
    #[arg(long, value_name = "SIZE")]
    covered_liquid: Option<String>,
    /// Condensing temperature and its end for a blend, "110 °F bubble"
    #[arg(long, value_name = "TEMPERATURE")]
    condensing: Option<String>,
    /// Liquid below its bubble line, "8 °F"
    #[arg(long, value_name = "DIFFERENCE")]
    subcooling: Option<String>,
    /// Gas entering the discharge line, "180 °F"
    #[arg(long, value_name = "TEMPERATURE")]
    discharge_gas: Option<String>,
    /// Charge shipped with the unit, "11 lb 6 oz"
    #[arg(long, value_name = "MASS")]
    factory_charge: Option<String>,
    /// Whether the circuit has a receiver
    #[arg(long, value_enum, value_name = "ANSWER")]
    receiver: Option<YesNo>,
    /// The maker's charge per length of the liquid line, "0.6 oz/ft"
    #[arg(long, value_name = "RATE")]
    rate_liquid: Option<String>,
    /// The maker's charge per length of the discharge line, "0.08 oz/ft"
    #[arg(long, value_name = "RATE")]
    rate_discharge: Option<String>,
    /// The maker's charge per length of both lines together, "0.7 oz/ft"
    #[arg(long, value_name = "RATE", conflicts_with_all = ["rate_liquid", "rate_discharge"])]
    rate: Option<String>,
}

impl ChargeInputs {
    /// The flags that were given, in the order of the help.
    fn given(&self) -> Vec<&'static str> {
        [
            ("--refrigerant", self.refrigerant.is_some()),
            ("--discharge", self.discharge.is_some()),
            ("--liquid", self.liquid.is_some()),
            ("--run", self.run.is_some()),
            ("--covered-run", self.covered_run.is_some()),
            ("--covered-discharge", self.covered_discharge.is_some()),
            ("--covered-liquid", self.covered_liquid.is_some()),
            ("--condensing", self.condensing.is_some()),
            ("--subcooling", self.subcooling.is_some()),
            ("--discharge-gas", self.discharge_gas.is_some()),
            ("--factory-charge", self.factory_charge.is_some()),
            ("--receiver", self.receiver.is_some()),
            ("--rate-liquid", self.rate_liquid.is_some()),
            ("--rate-discharge", self.rate_discharge.is_some()),
            ("--rate", self.rate.is_some()),
        ]
        .into_iter()
        .filter_map(|(flag, given)| given.then_some(flag))
        .collect()
    }
}

impl ChargeArguments {
    /// The job file, or the flags where no job file is given and those that can not be assumed are all there.
    pub(super) fn from(&self) -> Result<ChargeFrom, EdgeFault> {
        let inputs = &self.inputs;
        if let Some(job) = &self.job {
            let flags = inputs.given();
            return if flags.is_empty() {
                Ok(ChargeFrom::Job(job.clone()))
            } else {
                Err(EdgeFault::JobAndFlags { job: job.clone(), flags })
            };
        }
        match (&inputs.refrigerant, &inputs.discharge, &inputs.liquid, &inputs.run) {
            (Some(refrigerant), Some(discharge), Some(liquid), Some(run)) => {
                Ok(ChargeFrom::Flags(Box::new(ChargeFlags {
                    refrigerant: refrigerant.clone(),
                    discharge: discharge.clone(),
                    liquid: liquid.clone(),
                    run: run.clone(),
                    covered_run: inputs.covered_run.clone(),
                    covered_discharge: inputs.covered_discharge.clone(),
                    covered_liquid: inputs.covered_liquid.clone(),
                    condensing: inputs.condensing.clone(),
                    subcooling: inputs.subcooling.clone(),
                    discharge_gas: inputs.discharge_gas.clone(),
                    factory_charge: inputs.factory_charge.clone(),
                    receiver: inputs.receiver.map(|answer| matches!(answer, YesNo::Yes)),
                    rate_liquid: inputs.rate_liquid.clone(),
                    rate_discharge: inputs.rate_discharge.clone(),
                    rate: inputs.rate.clone(),
                })))
            }
            _ => {
                let given = inputs.given();
                let mut missing = vec!["--refrigerant", "--discharge", "--liquid", "--run"];
                missing.retain(|flag| !given.contains(flag));
                Err(EdgeFault::FlagsMissing { missing })
            }
        }
    }
}
