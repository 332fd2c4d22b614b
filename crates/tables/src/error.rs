//! What can be wrong with the data, or with a look-up.

use physics::tube::TubeError;
use std::{fmt, io, sync::Arc};
use thiserror::Error;

/// A data file that cannot be used, or a look-up without a hit.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum TableError {
    /// A file of the data folder does not exist.
    #[error("the data file {file} is missing")]
    FileMissing {
        /// Path inside the data folder.
        file: String,
    },
    /// A file or folder of the data folder cannot be read.
    #[error("the data file {file} cannot be read: {source}")]
    Unreadable {
        /// Path inside the data folder.
        file: String,
        /// What the operating system says.
        source: io::Error,
    },
    /// A row breaks a rule of its table.
    #[error("{place}: {fault}")]
    Row {
        /// File, line and column.
        place: Place,
        /// What is wrong there.
        fault: Fault,
    },
    /// A file lacks an entry that the program needs.
    #[error("{file} has no entry `{key}`: add it, or start from the file that the program carries")]
    MissingEntry {
        /// Path inside the data folder.
        file: String,
        /// Key of the missing entry.
        key: String,
    },
    /// No refrigerant of that name.
    #[error("no refrigerant is called `{name}`{}", did_you_mean(suggestions))]
    UnknownRefrigerant {
        /// The name as asked for.
        name: String,
        /// Names that come near, nearest first.
        suggestions: Vec<String>,
    },
    /// The refrigerant is known, but no property grid was made for it.
    #[error("there is no property grid for {refrigerant}; there is one for {}", available.join(", "))]
    NoGrid {
        /// Trade name of the refrigerant.
        refrigerant: String,
        /// Refrigerants that have a grid.
        available: Vec<String>,
    },
    /// No tube product fits the description of a stock.
    #[error("no tube product is described by `{description}`{}", did_you_mean(suggestions))]
    UnknownStock {
        /// The description as asked for.
        description: String,
        /// Descriptions that are known.
        suggestions: Vec<String>,
    },
    /// No insulation of that name.
    #[error("no insulation is called `{name}`{}", did_you_mean(suggestions))]
    UnknownInsulation {
        /// The name as asked for.
        name: String,
        /// Names that come near, nearest first.
        suggestions: Vec<String>,
    },
    /// No finish of that name.
    #[error("no finish is called `{name}`{}", did_you_mean(suggestions))]
    UnknownFinish {
        /// The name as asked for.
        name: String,
        /// Names that come near, nearest first.
        suggestions: Vec<String>,
    },
    /// No limit of that key.
    #[error("no limit is called `{key}`{}", did_you_mean(suggestions))]
    UnknownLimit {
        /// The key as asked for.
        key: String,
        /// Keys that come near, nearest first.
        suggestions: Vec<String>,
    },
}

/// What is wrong with a row, a cell or a header.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum Fault {
    /// The header lacks a column.
    #[error("the header lacks this column")]
    MissingColumn,
    /// The header has a column that the table does not know, or has it twice.
    #[error("the header has this column, which the table does not know or has already")]
    UnexpectedColumn,
    /// A row with too many or too few cells.
    #[error("the row has {found} cells, the header {expected}")]
    CellCount {
        /// Cells in the row.
        found: usize,
        /// Cells in the header.
        expected: usize,
    },
    /// Text that is not UTF-8.
    #[error("the text is not UTF-8")]
    NotUtf8,
    /// The file has a header and nothing else.
    #[error("the table has no rows")]
    NoRows,
    /// A cell that must be filled.
    #[error("the cell is empty")]
    EmptyCell,
    /// A cell that must be a number.
    #[error("`{text}` is not a number; write digits with a decimal point and no unit")]
    NotANumber {
        /// The cell.
        text: String,
    },
    /// A number outside its range.
    #[error("{value} is out of range; expected {expected}")]
    OutOfRange {
        /// The number.
        value: f64,
        /// The range.
        expected: &'static str,
    },
    /// A word that is not one of those the column takes.
    #[error("`{text}` is not one of: {expected}")]
    UnknownWord {
        /// The cell.
        text: String,
        /// The words of the column.
        expected: String,
    },
    /// Lists in two columns that must be equally long, or a value that contradicts another.
    #[error("`{text}` does not agree with {with}")]
    Disagrees {
        /// The cell.
        text: String,
        /// What it contradicts.
        with: String,
    },
    /// The same entry twice.
    #[error("`{text}` stands already in line {first_line}")]
    Duplicate {
        /// What is repeated.
        text: String,
        /// Where it stands first.
        first_line: u64,
    },
    /// An axis that does not rise.
    #[error("{value} does not rise above {previous} in the row before")]
    NotRising {
        /// Value of the row before.
        previous: f64,
        /// Value found.
        value: f64,
    },
    /// A two-dimensional table with a gap.
    #[error("the grid is incomplete: expected {expected} here, found {found}")]
    IncompleteProduct {
        /// Value of the axis that should come here.
        expected: String,
        /// What comes instead.
        found: String,
    },
    /// Dimensions that make no tube.
    #[error(transparent)]
    NoTube(#[from] TubeError),
}

/// Where in the data a fault is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// Path inside the data folder.
    pub file: Arc<str>,
    /// Line, counted from 1.
    pub line: u64,
    /// Column by its header, where the fault lies in one.
    pub column: Option<Arc<str>>,
}

impl fmt::Display for Place {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}, line {}", self.file, self.line)?;
        self.column.as_ref().map_or(Ok(()), |column| write!(formatter, ", column {column}"))
    }
}

fn did_you_mean(suggestions: &[String]) -> String {
    if suggestions.is_empty() {
        String::new()
    } else {
        format!("; did you mean {}?", suggestions.join(" or "))
    }
}
