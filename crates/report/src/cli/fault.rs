//! What a user reads when a command can not answer.

use super::Table;
use crate::study::FlagText;
use crate::{batch::BatchFault, chart::ChartError, deliver::DeliverError, document::csv::CsvError};
use std::{error::Error, path::PathBuf};
use tables::TableError;

/// A fault of input or program, told as a whole: what is wrong, where, and what to write instead.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum EdgeFault {
    /// Faults of a job file, already drawn with file, line, column and what to write instead.
    #[error("{}", rendered.trim_end())]
    Job {
        /// All faults of the file.
        rendered: String,
    },
    /// A file or folder that can not be read.
    #[error("{} can not be read: {source}", path.display())]
    Read {
        /// The file or folder.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// A folder where a job file is wanted.
    #[error("{} is a folder; name a job file in it, for instance {}", path.display(), path.join("job.toml").display())]
    JobIsFolder {
        /// The folder.
        path: PathBuf,
    },
    /// Flags whose text can not be understood: all of them at once.
    #[error("{}", faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
    Flags {
        /// One entry a flag.
        faults: Vec<FlagText>,
    },
    /// No refrigerant has the name, or it has no property data.
    #[error("{source}\n  `lineset refrigerants` lists those that are known")]
    Refrigerant {
        /// What is wrong with it.
        source: TableError,
    },
    /// Flags that `charge` needs without a job file.
    #[error(
        "charge needs {}\n(or a job file in place of all flags), for instance\n  \
         lineset charge --refrigerant R-449A --discharge \"1/2 in OD\" \\\n      \
         --liquid \"3/8 in OD\" --run \"92 ft\"",
        missing.join(", ")
    )]
    FlagsMissing {
        /// The missing flags, with dashes.
        missing: Vec<&'static str>,
    },
    /// A job file together with flags that only stand without one.
    #[error(
        "charge takes its inputs from a job file or from flags, not from both: {} came together with {}. \
         Leave out the flags and write their values into the job file, or leave out the job file.",
        job.display(), flags.join(", ")
    )]
    JobAndFlags {
        /// The job file.
        job: PathBuf,
        /// The flags given beside it, with dashes.
        flags: Vec<&'static str>,
    },
    /// The answer would replace the job that it comes from.
    #[error("--out {} is the job file itself; give another name", path.display())]
    OutIsJob {
        /// The file.
        path: PathBuf,
    },
    /// The answer would replace a file that it comes from.
    #[error("--out {} is a file that the answer comes from; give another name", path.display())]
    OutIsInput {
        /// The file.
        path: PathBuf,
    },
    /// Many jobs could not be computed.
    #[error(transparent)]
    Batch(#[from] BatchFault),
    /// A table was picked for a format that has none.
    #[error(
        "--table picks one table for --format csv; text and JSON hold all of them: add --format csv, or leave out --table"
    )]
    TableWithoutCsv,
    /// The command has no such table.
    #[error("this command has no table `{table}`; write --table {}", known.iter().map(ToString::to_string).collect::<Vec<_>>().join(" or --table "))]
    NoSuchTable {
        /// The one asked for.
        table: Table,
        /// Those that there are.
        known: &'static [Table],
    },
    /// The study could not be made.
    #[error("{doing}: {}", chain(source.as_ref()))]
    Study {
        /// What was being done, `sizing the liquid line of ice-room`.
        doing: String,
        /// Why it could not be.
        source: Box<dyn Error + Send + Sync>,
    },
    /// The answer could not be handed over.
    #[error(transparent)]
    Deliver(#[from] DeliverError),
    /// A chart could not be drawn.
    #[error(transparent)]
    Chart(#[from] ChartError),
    /// The CSV could not be written.
    #[error("{}", chain(.0))]
    Csv(#[from] CsvError),
    /// The JSON could not be written.
    #[error("the JSON could not be written: {0}")]
    Json(#[from] serde_json::Error),
}

/// An error with its causes, outermost first; a cause that the text before it tells already is not told twice.
fn chain(error: &(dyn Error + 'static)) -> String {
    let mut told = error.to_string();
    let mut cause = error.source();
    while let Some(error) = cause {
        let text = error.to_string();
        if !told.ends_with(&text) {
            told.push_str(": ");
            told.push_str(&text);
        }
        cause = error.source();
    }
    told
}
