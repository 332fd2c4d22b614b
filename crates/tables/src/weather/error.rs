//! What can be wrong with a file of weather.

use super::{Gap, HourOfYear};
use crate::{dialect::TwoReadings, error::Place};
use thiserror::Error;

/// A file of weather that cannot be used: where, what is wrong, and what to write or do instead.
#[derive(Clone, Debug, Error, PartialEq)]
#[error("{place}: {fault}; {}", fault.help())]
pub struct WeatherError {
    /// File, line and column.
    pub place: Place,
    /// What is wrong there.
    pub fault: WeatherFault,
}

/// What is wrong with a file of weather. `Display` says it, [`help`](Self::help) says what to write or do instead.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum WeatherFault {
    /// Far larger than a year of hours.
    #[error("the file has {megabytes:.0} MB; a year of hours has about 2 MB")]
    TooLarge {
        /// Its size.
        megabytes: f64,
    },
    /// Bytes that are no text, or text in an encoding of two bytes a letter.
    #[error("this is no plain text")]
    NotText,
    /// None of the formats.
    #[error("this is neither EPW nor TMY3 nor a bin table")]
    Unrecognised,
    /// An hourly file that a spreadsheet wrote again.
    #[error("the cells are separated by semicolons: a spreadsheet has written this file anew")]
    Semicolons,
    /// EPW whose eighth line does not begin with `DATA PERIODS`.
    #[error("the eighth line does not begin with DATA PERIODS")]
    NoDataPeriods,
    /// EPW with several records an hour, or an unreadable number of them.
    #[error("the file has `{text}` records an hour")]
    RecordsPerHour {
        /// As written.
        text: String,
    },
    /// A column that is needed.
    #[error("the header has no column `{name}`")]
    MissingColumn {
        /// Its name.
        name: &'static str,
    },
    /// A column that is unknown or stands there twice.
    #[error("the header has this column, which a bin table does not have, or has already")]
    UnexpectedColumn,
    /// A column of temperatures in another unit than the format has.
    #[error("the column is in another unit than °C")]
    WrongUnit,
    /// A row with too few or too many cells: cut off, or of another format.
    #[error("the row has {found} cells; {expected} are expected")]
    CellCount {
        /// Cells in the row.
        found: usize,
        /// Cells in the others.
        expected: usize,
    },
    /// A cell that must be a number.
    #[error("`{text}` is not a number")]
    NotANumber {
        /// The cell.
        text: String,
    },
    /// An elevation that is no number of metres.
    #[error("`{text}` is no height above sea level in metres")]
    NotAnAltitude {
        /// The cell.
        text: String,
    },
    /// A date or an hour that does not exist.
    #[error("`{text}` is no whole hour of a year")]
    NoSuchHour {
        /// The cells.
        text: String,
    },
    /// A temperature that no air on earth has.
    #[error("air of {celsius} °C lies outside -90 to 60 °C")]
    NoAir {
        /// The temperature.
        celsius: f64,
    },
    /// An hour that is given again.
    #[error("{hour} stands already in line {first_line}")]
    DuplicateHour {
        /// The hour.
        hour: HourOfYear,
        /// Where it stands first.
        first_line: u64,
    },
    /// A temperature of a bin table that is given again.
    #[error("`{text}` stands already in line {first_line}")]
    DuplicateTemperature {
        /// The cell.
        text: String,
        /// Where it stands first.
        first_line: u64,
    },
    /// An hourly file without rows, or a bin table without.
    #[error("the file has no hours")]
    NoHours,
    /// An hourly file that ends within the year.
    #[error("the file ends at {last}, before the year does")]
    CutShort {
        /// The last hour that it has.
        last: HourOfYear,
    },
    /// More than 1 % of the year is missing.
    #[error("{missing} of {of} hours are missing, more than 1 %; the first gap is {first}")]
    TooManyMissing {
        /// How many hours.
        missing: u32,
        /// Hours of the year.
        of: u32,
        /// The first gap.
        first: Gap,
    },
    /// A bin table whose hours make no year.
    #[error("the hours sum to {hours}; a year has 8760, and a leap year 8784")]
    NoYear {
        /// Their sum.
        hours: f64,
    },
    /// A temperature without a unit.
    #[error("`{text}` has no unit")]
    NoUnit {
        /// The cell.
        text: String,
    },
    /// A unit that is none of a temperature, or of hours.
    #[error("`{text}` is no unit here")]
    UnknownUnit {
        /// The unit as written.
        text: String,
        /// The units known here.
        known: &'static str,
    },
    /// A unit in the header and another in the cell.
    #[error("`{text}` has another unit than the header")]
    TwoUnits {
        /// The cell.
        text: String,
    },
    /// A negative number of hours.
    #[error("`{text}` hours are fewer than none")]
    NegativeTime {
        /// The cell.
        text: String,
    },
    /// A number that can be read in two ways.
    #[error(transparent)]
    TwoReadings(#[from] TwoReadings),
}

impl WeatherFault {
    /// What to write or do instead.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::TooLarge { .. } => "is this the right file?".into(),
            Self::NotText => "unpack it if it is an archive, or save it as plain text in UTF-8".into(),
            Self::Unrecognised => "take an EPW file (it begins with LOCATION), a TMY3 file (its second line begins with \
                                   `Date (MM/DD/YYYY)`), or write a table with the header `air_temperature,hours`"
                .into(),
            Self::Semicolons => "take the file as it was published, with commas".into(),
            Self::NoDataPeriods => "take the file as it was published: 8 header lines, LOCATION to DATA PERIODS".into(),
            Self::RecordsPerHour { .. } => "take a file with 1 record an hour".into(),
            Self::MissingColumn { name } => format!("add `{name}` to the header, or take the file as it was published"),
            Self::UnexpectedColumn => "the columns of a bin table are `air_temperature` and `hours`".into(),
            Self::WrongUnit => "take the file as it was published, with `Dry-bulb (C)`".into(),
            Self::CellCount { .. } => "the file may be cut off or altered: fetch it again".into(),
            Self::NotANumber { .. } => "write digits with a decimal point".into(),
            Self::NotAnAltitude { .. } => "write metres with a decimal point, or nothing".into(),
            Self::NoSuchHour { .. } => {
                "write month, day and hours 1 to 24 as the format has them, in whole hours".into()
            }
            Self::NoAir { .. } => "check the unit: hourly files are in °C; a bin table says `°C` or `°F`".into(),
            Self::DuplicateHour { .. } => {
                "a file holds each hour of one year once, in standard time (no summer time)".into()
            }
            Self::DuplicateTemperature { .. } => "write one row a temperature, with the sum of its hours".into(),
            Self::NoHours => "the file may be cut off: fetch it again".into(),
            Self::CutShort { .. } => "fetch the file again: it must reach 31 December 24:00".into(),
            Self::TooManyMissing { .. } => "take a file with the whole year: nothing is filled in here".into(),
            Self::NoYear { .. } => "write the hours of the whole year, those without load too".into(),
            Self::NoUnit { text } => {
                format!("write `{text} °C` or `{text} °F`, or the header as `air_temperature (°C)`")
            }
            Self::UnknownUnit { known, .. } => format!("write {known}"),
            Self::TwoUnits { .. } => "write the unit in the header, or in the cells".into(),
            Self::NegativeTime { .. } => "write how many hours of the year have this temperature".into(),
            Self::TwoReadings(TwoReadings { offers: [whole, decimal], .. }) => {
                format!("write `{whole}` or `{decimal}`")
            }
        }
    }
}
