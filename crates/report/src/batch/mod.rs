//! Many jobs: a table in, a table of results out.
//!
//! Each row of the table is the template, a whole job file, with the keys that the columns name put in its place:
//! `site.altitude`, `set.ice-room.capacity`, `set.ice-room.route.run`. A column `name` may name the rows.
//!
//! - A cell is the text that would stand in quotation marks in the job file, inch marks and all; `true` and `false` are
//!   flags where the template has a flag or nothing, a plain number is a number where the template has one. A cell that
//!   begins with `[` is a list as TOML writes it: `["up 14 ft", "north 38 ft in attic"]`.
//! - An empty cell keeps what the template says.
//! - In a table of semicolons or tab stops decimal commas are read as such; a number that could be thousands is refused.
//! - What a spreadsheet made a date of is refused, with what it may have been.
//!
//! A fault of the header or of the template is one of the whole table: nothing is computed. A fault of a row is told in its
//! line of the results, by its column, with what to write instead, while the other rows are computed.
//!
//! # Columns of the results
//! | column | meaning |
//! |---|---|
//! | `row`, `name` | the row as a spreadsheet counts (its header is row 1), its name |
//! | `verdict` | the gravest of `size` and `charge`: `meets`, `not checked`, `too close to call`, `fails`; or `fault` |
//! | `governing_set`, `governing_line`, `governing_check`, `governing_condition` | the check that governs; no line for one of the whole set |
//! | `value`, `limit`, `margin`, `unit` | its numbers in its SI unit; the margin is positive inside the limit |
//! | `size_verdict`, `charge_verdict` | what `lineset size` and `lineset charge` say |
//! | `LINE_tube` | the tube of each line; `none` where no stocked tube can be taken |
//! | `LINE_allowable_length_m`, `LINE_allowable_length_ft`, `LINE_stopped_by` | how far it reaches, and the check that stops it, where asked for (`not limited within`: only the search ends there) |
//! | `added_for_lines_kg` | to be added for the lines |
//! | `added_kg`, `added_oz` | to be added for lines and winter; empty where one of them is not known |
//! | `total_kg` | factory charge and all that is added |
//! | `charge_question` | what has to be answered before the charge is known |
//! | `fault` | what is wrong with the row, by column, and what to write instead; several are parted by ` \| ` |
//!
//! Where the template has several sets, the columns from `size_verdict` on bear the set's name: `ice-room.added_kg`.
//! Numbers are never other than those of `size` and `charge` of the same job.
//!
//! # Breaking off
//! Results are written row by row to `RESULTS.csv.part` and moved in place, whole, at the end. A run that was broken off at
//! any byte is gone on with by `--resume`.

mod overrides;
mod results;
mod resume;
mod table;

pub use overrides::{ColumnFault, Columns, Composed};
pub use results::{Layout, verdict};
pub use resume::{Done, Earlier, Origin, Part, PartFault};
pub use table::{Row, Rows, TableFault};

use crate::{
    document::{csv::CsvError, verdict_words},
    job::{self, AttachFaults, Faults, Job},
    study::{self, Fluids, ResolveError},
    view::VerdictView,
};
use rayon::prelude::*;
use std::{
    collections::BTreeMap,
    fs, io,
    path::{Path, PathBuf},
    sync::{Mutex, PoisonError},
};
use tables::{Library, TableError};
use thiserror::Error;

/// Rows computed between two writings.
const CHUNK: usize = 128;
/// Faults of rows that are told besides the results.
const TOLD: usize = 10;

/// Why no row is computed, or no further one.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum BatchFault {
    /// A file could not be read.
    #[error("{} can not be read: {source}", path.display())]
    Read {
        /// The file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// The template is no right job file.
    #[error("the template must be a whole job by itself:\n{}", rendered.trim_end())]
    Template {
        /// Its faults, as `lineset size` tells them.
        rendered: String,
    },
    /// The table can not be read as a whole.
    #[error("{}: {fault}", path.display())]
    Table {
        /// The table.
        path: PathBuf,
        /// What is wrong.
        fault: TableFault,
    },
    /// Columns that do not name keys.
    #[error("{}\nNothing was computed.", faults.iter().map(|fault| format!("{}, {fault}", path.display())).collect::<Vec<_>>().join("\n"))]
    Columns {
        /// The table.
        path: PathBuf,
        /// All of them.
        faults: Vec<ColumnFault>,
    },
    /// A header with nothing below it.
    #[error("{}: no row stands below the header; write a row a job", path.display())]
    NoRows {
        /// The table.
        path: PathBuf,
    },
    /// The tables of the program are at fault.
    #[error("reading the tables: {0}")]
    Tables(#[from] TableError),
    /// The results so far.
    #[error(transparent)]
    Part(#[from] PartFault),
    /// A line of results could not be written.
    #[error(transparent)]
    Csv(#[from] CsvError),
}

/// What `batch` is asked for.
#[derive(Clone, Debug)]
pub struct Request<'a> {
    /// The table.
    pub table: &'a Path,
    /// The template; files that it names lie in its folder.
    pub template: &'a Path,
    /// Where the results go.
    pub out: &'a Path,
    /// What to do with results that are there.
    pub earlier: Earlier,
    /// Whether the allowable length of every line is searched, which takes most of the time.
    pub allowable_lengths: bool,
    /// The data folder in place of the built-in tables, which results so far must share.
    pub data: Option<&'a Path>,
}

/// How the rows came out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Summary {
    /// Rows by verdict.
    pub verdicts: BTreeMap<String, u64>,
    /// Rows taken over from an earlier run.
    pub resumed: u64,
    /// The first faults of rows, with their rows.
    pub faults: Vec<(u64, String)>,
}

impl Summary {
    fn count(&mut self, verdict: &str) {
        *self.verdicts.entry(verdict.to_owned()).or_default() += 1;
    }

    /// How many rows.
    #[must_use]
    pub fn rows(&self) -> u64 {
        self.verdicts.values().sum()
    }

    /// How many rows came out with a verdict.
    #[must_use]
    pub fn of(&self, verdict: &str) -> u64 {
        self.verdicts.get(verdict).copied().unwrap_or(0)
    }

    /// How many rows could not be read or computed.
    #[must_use]
    pub fn unread(&self) -> u64 {
        self.of(results::FAULT)
    }

    /// Whether every row meets.
    #[must_use]
    pub fn all_meet(&self) -> bool {
        self.of(verdict_words(VerdictView::Meets)) == self.rows()
    }
}

/// Computes every row of a table; `tell` hears the share that is done.
///
/// # Errors
/// [`BatchFault`]; what was computed until then stays in the part file.
pub fn run(
    request: &Request<'_>,
    library: &Library,
    tell: &mut dyn FnMut(f64),
) -> Result<Summary, BatchFault> {
    let mut origin = Origin::new();
    origin.add(request.data.map_or_else(String::new, |folder| folder.display().to_string()).as_bytes());
    origin.add(&[u8::from(request.allowable_lengths)]);
    let desk = Desk::new(request, library, &mut origin)?;
    let table_fault = |fault| BatchFault::Table { path: request.table.to_owned(), fault };
    let unread = |source| BatchFault::Read { path: request.table.to_owned(), source };
    let open = || fs::File::open(request.table).map_err(unread);
    origin.add_all(open()?).map_err(unread)?;
    // Read through once before anything is computed: what is wrong with the table as a whole is wrong from the start.
    let mut rows = Rows::new(open()?).map_err(table_fault)?;
    let mut total = 0_u64;
    while rows.next_row().map_err(table_fault)?.is_some() {
        total += 1;
    }
    let mut rows = Rows::new(open()?).map_err(table_fault)?;
    let columns = Columns::new(rows.header(), rows.separator(), &desk.text, &desk.job, library)
        .map_err(|faults| BatchFault::Columns { path: request.table.to_owned(), faults })?;
    if total == 0 {
        return Err(BatchFault::NoRows { path: request.table.to_owned() });
    }
    let keys: Vec<&str> = columns.keys().collect();
    let layout = Layout::new(&desk.job, keys.into_iter(), request.allowable_lengths);
    let (mut part, done) = Part::open(request.out, request.earlier, &origin.line(), &layout.header()?)?;
    let mut summary = Summary { resumed: done.len() as u64, ..Summary::default() };
    for (place, earlier) in done.iter().enumerate() {
        if rows.next_row().map_err(table_fault)?.map(|row| row.number) != Some(earlier.row) {
            return Err(PartFault::OutOfStep { path: part.path().to_owned(), line: place + 3 }.into());
        }
        summary.count(&earlier.verdict);
    }
    loop {
        tell(summary.rows() as f64 / total as f64);
        let mut chunk = Vec::with_capacity(CHUNK);
        while chunk.len() < CHUNK
            && let Some(row) = rows.next_row().map_err(table_fault)?
        {
            chunk.push(row);
        }
        if chunk.is_empty() {
            break;
        }
        let computed: Vec<Computed> =
            chunk.par_iter().map(|row| desk.computed(row, &columns, &layout)).collect::<Result<_, _>>()?;
        let mut lines = String::new();
        for (row, computed) in chunk.iter().zip(computed) {
            lines.push_str(&computed.line);
            summary.count(computed.verdict);
            if summary.faults.len() < TOLD {
                summary.faults.extend(computed.fault.map(|fault| (row.number, fault)));
            }
        }
        part.append(&lines)?;
    }
    part.finish()?;
    Ok(summary)
}

/// A row of results.
struct Computed {
    line: String,
    verdict: &'static str,
    fault: Option<String>,
}

/// What all rows share.
struct Desk<'a> {
    library: &'a Library,
    fluids: Fluids,
    text: String,
    job: Job,
    files: Files,
    allowable_lengths: bool,
}

/// Files that jobs name, each read once.
struct Files {
    folder: PathBuf,
    known: Mutex<BTreeMap<String, Vec<u8>>>,
}

impl Files {
    fn read(&self, name: &str) -> io::Result<Vec<u8>> {
        // What another thread left behind when it broke off is whole all the same: entries are put in complete.
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(bytes) = known.get(name) {
            return Ok(bytes.clone());
        }
        let bytes = fs::read(self.folder.join(name))?;
        known.insert(name.to_owned(), bytes.clone());
        Ok(bytes)
    }
}

impl<'a> Desk<'a> {
    fn new(request: &Request<'_>, library: &'a Library, origin: &mut Origin) -> Result<Self, BatchFault> {
        let template = request.template;
        let bytes =
            fs::read(template).map_err(|source| BatchFault::Read { path: template.to_owned(), source })?;
        origin.add(&bytes);
        let wrong = |faults: &Faults| BatchFault::Template { rendered: faults.render(false) };
        let mut job = job::read(&template.display().to_string(), &bytes).map_err(|faults| wrong(&faults))?;
        // Names in a job count from the folder that it lies in, wherever the command is called.
        let folder = template.parent().unwrap_or(Path::new("")).to_owned();
        let files = Files { folder, known: Mutex::default() };
        job::attach(&mut job, &|name| files.read(name))
            .map_err(|faults| BatchFault::Template { rendered: faults.render(false) })?;
        for (name, content) in files.known.lock().unwrap_or_else(PoisonError::into_inner).iter() {
            origin.add(name.as_bytes());
            origin.add(content);
        }
        let fluids = Fluids::default();
        match study::resolve_among(&job, library, &fluids) {
            Ok(_) => {}
            Err(ResolveError::Faults(faults)) => return Err(wrong(&faults)),
            Err(ResolveError::Tables(error)) => return Err(error.into()),
        }
        let text = job.source.text.clone();
        Ok(Self { library, fluids, text, job, files, allowable_lengths: request.allowable_lengths })
    }

    fn computed(&self, row: &Row, columns: &Columns, layout: &Layout) -> Result<Computed, BatchFault> {
        let name = columns.name(row).unwrap_or(&self.job.name.value);
        let faults = match self.brief(row, columns)? {
            Ok(view) => {
                let verdict = verdict_words(verdict(&view));
                return Ok(Computed { line: layout.row(row.number, name, &view)?, verdict, fault: None });
            }
            Err(faults) => faults,
        };
        let line = layout.fault(row.number, name, &faults)?;
        Ok(Computed { line, verdict: results::FAULT, fault: Some(faults.join("; ")) })
    }

    /// The answer of a row, or all that is wrong with it.
    fn brief(
        &self,
        row: &Row,
        columns: &Columns,
    ) -> Result<Result<crate::view::BriefView, Vec<String>>, BatchFault> {
        let composed = match columns.compose(row) {
            Ok(composed) => composed,
            Err(faults) => return Ok(Err(faults)),
        };
        let mut job = match job::read("row", composed.text.as_bytes()) {
            Ok(job) => job,
            Err(faults) => return Ok(Err(columns.told(&faults, &composed))),
        };
        // Weather counts for nothing here; that of the template has been read, so a row with the same has no fault of it.
        let of_template = self.job.year.as_ref();
        let year = job.year.take_if(|year| of_template.is_some_and(|of| of.weather.is_same(&year.weather)));
        let attached = job::attach(&mut job, &|name| self.files.read(name));
        job.year = job.year.take().or(year);
        if let Err(faults) = attached {
            return Ok(Err(attached_told(&faults, columns, &composed)));
        }
        match study::resolve_among(&job, self.library, &self.fluids) {
            Ok(resolved) => Ok(Ok(study::brief(&resolved, self.allowable_lengths))),
            Err(ResolveError::Faults(faults)) => Ok(Err(columns.told(&faults, &composed))),
            Err(ResolveError::Tables(error)) => Err(error.into()),
        }
    }
}

fn attached_told(faults: &AttachFaults, columns: &Columns, composed: &Composed) -> Vec<String> {
    let of_row = |faults: &&Faults| faults.source().name == "row";
    let (of_row, of_files): (Vec<&Faults>, Vec<&Faults>) = faults.iter().partition(of_row);
    let told = of_row.into_iter().flat_map(|faults| columns.told(faults, composed));
    told.chain(
        of_files.into_iter().flat_map(|faults| faults.plain().lines().map(str::to_owned).collect::<Vec<_>>()),
    )
    .collect()
}
