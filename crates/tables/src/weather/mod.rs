//! Air temperature of a year: hourly files of weather, tables of hours by temperature, and an invented site.
//!
//! [`read`] recognises a file by its content:
//!
//! | [`Kind`] | what it looks like |
//! |---|---|
//! | EPW | 8 header lines, `LOCATION` to `DATA PERIODS`; 35 columns, dry bulb in °C in the 7th, 99.9 where missing. Source: EPW data dictionary of EnergyPlus (public copy of its documentation, opened) |
//! | TMY3 | a line about the station, a header, rows with `MM/DD/YYYY`, `01:00` to `24:00` and `Dry-bulb (C)`, -9900 where missing. Source: layout from the reader of the library pvlib and two files that it carries (opened); the users' manual NREL/TP-581-43156 from memory |
//! | bin table | own format: `air_temperature,hours`, a row a temperature, in `°C`, `°F` or `K` |
//!
//! Nothing is filled in: hours that the file lacks, or marks as missing, are told in [`Weather::gaps`], and sums are over
//! [`Weather::time`]. More than 1 % of the year missing is refused.

mod bin_table;
mod calendar;
mod epw;
mod error;
mod hourly;
mod invented;
#[cfg(test)]
mod tests;
mod tmy3;

pub use calendar::{Gap, HourOfYear};
pub use error::{WeatherError, WeatherFault};
pub use invented::invented;

use crate::{
    error::Place,
    provenance::{Grade, Source},
    sheet::place,
};
use physics::units::{
    Length, ThermodynamicTemperature, Time,
    unit::{
        length::meter,
        thermodynamic_temperature::{degree_celsius, kelvin},
        time,
    },
};
use std::{fmt, ops::RangeInclusive, sync::Arc};

/// Where the air of inhabited places lies, °C, with room: what is outside is another unit, or a slip. (The records are
/// -89.2 and 56.7 °C; from memory.)
const AIR_C: RangeInclusive<f64> = -90.0..=60.0;
/// Hours of a year, and of a leap year.
const YEAR: u32 = 8760;
const LEAP_YEAR: u32 = 8784;
/// A year of hours has 2 MB in these formats.
const LARGEST: usize = 16 << 20;

/// Form in which the weather came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Kind {
    /// Hourly, EnergyPlus weather.
    Epw,
    /// Hourly, typical meteorological year in the third layout.
    Tmy3,
    /// Hours by temperature.
    BinTable,
    /// Made of two cosines by [`invented()`]: no place on earth.
    Invented,
}

impl fmt::Display for Kind {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(match self {
            Self::Epw => "EPW",
            Self::Tmy3 => "TMY3",
            Self::BinTable => "bin table",
            Self::Invented => "invented",
        })
    }
}

/// One hour of a year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hour {
    /// Which one.
    pub at: HourOfYear,
    /// Dry bulb temperature of the air.
    pub air: ThermodynamicTemperature,
}

/// How long a year has air of one temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bin {
    /// Dry bulb temperature of the air.
    pub air: ThermodynamicTemperature,
    /// Time with it; above zero.
    pub time: Time,
}

/// The air temperatures.
#[derive(Clone, Debug, PartialEq)]
pub enum Air {
    /// Hour by hour, in the order of the calendar, none twice.
    Hours(Vec<Hour>),
    /// By temperature, rising, none twice.
    Bins(Vec<Bin>),
}

/// The air temperatures of a year at a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Weather {
    /// Form in which they came.
    pub kind: Kind,
    /// Name of the place, where the file says it.
    pub place: Option<String>,
    /// Height above sea level, where the file says it.
    pub altitude: Option<Length>,
    /// The temperatures.
    pub air: Air,
    /// Whether 29 February is among the hours (of a bin table: whether there are more of them than a common year has).
    pub leap_year: bool,
    /// Hours of the year that are missing, in the order of the calendar. Empty for a bin table, which does not say which.
    pub gaps: Vec<Gap>,
    /// Where it all comes from, for the list of sources.
    pub source: Source,
}

impl Weather {
    /// The distinct temperatures with their times, rising. Temperatures are the same only where they are exactly so, and
    /// the times sum to [`time`](Self::time).
    #[must_use]
    pub fn bins(&self) -> Vec<Bin> {
        let hours = match &self.air {
            Air::Bins(bins) => return bins.clone(),
            Air::Hours(hours) => hours,
        };
        let mut airs: Vec<_> = hours.iter().map(|at| at.air).collect();
        airs.sort_by(|a, b| a.get::<kelvin>().total_cmp(&b.get::<kelvin>()));
        airs.chunk_by(|a, b| a == b)
            .map(|same| Bin { air: same[0], time: Time::new::<time::hour>(same.len() as f64) })
            .collect()
    }

    /// Time that the temperatures cover.
    #[must_use]
    pub fn time(&self) -> Time {
        match &self.air {
            Air::Hours(hours) => Time::new::<time::hour>(hours.len() as f64),
            Air::Bins(bins) => total(bins),
        }
    }

    /// Time of the year that they do not cover; 0 when nothing is missing. At most 1 % of the year.
    #[must_use]
    pub fn missing(&self) -> Time {
        let year = Time::new::<time::hour>(f64::from(if self.leap_year { LEAP_YEAR } else { YEAR }));
        match &self.air {
            Air::Hours(_) => year - self.time(),
            // A bin table may count a mean year of 365.2 days.
            Air::Bins(_) => {
                (Time::new::<time::hour>(f64::from(YEAR)) - self.time()).max(Time::new::<time::hour>(0.0))
            }
        }
    }
}

fn total(bins: &[Bin]) -> Time {
    bins.iter().fold(Time::new::<time::hour>(0.0), |sum, bin| sum + bin.time)
}

/// Reads a file of weather; `file` is its name in messages.
///
/// # Errors
/// [`WeatherError`] with line and column: a file of another kind, a row that cannot be read, a temperature that no air has,
/// an hour given twice, a file that is cut short, or more than 1 % of the year missing.
///
/// ```
/// let weather = tables::weather::read("bins.csv", b"air_temperature,hours\n0 C,4380\n68 F,4380\n")?;
/// assert_eq!(weather.bins().len(), 2);
/// let error = tables::weather::read("bins.csv", b"air_temperature,hours\n20,8760\n").unwrap_err();
/// assert_eq!(
///     error.to_string(),
///     "bins.csv, line 2, column air_temperature: `20` has no unit; write `20 °C` or `20 °F`, or the header as \
///      `air_temperature (°C)`"
/// );
/// # Ok::<(), tables::weather::WeatherError>(())
/// ```
pub fn read(file: &str, bytes: &[u8]) -> Result<Weather, WeatherError> {
    let text = decode(bytes).map_err(|fault| WeatherError { place: place(&file.into(), 1, None), fault })?;
    let input = Input { file: file.into(), text: &text };
    let mut lines = text.lines();
    let (first, second) = (lines.next().unwrap_or_default(), lines.next().unwrap_or_default());
    if begins(first, "LOCATION,") {
        epw::read(&input)
    } else if begins(second, tmy3::DATE) && !begins(second, &format!("{};", tmy3::DATE)) {
        tmy3::read(&input)
    } else if begins(first, "LOCATION;") || begins(second, tmy3::DATE) {
        Err(input.fault(1, None, WeatherFault::Semicolons))
    } else {
        bin_table::read(&input)
    }
}

/// A file being read.
struct Input<'t> {
    file: Arc<str>,
    text: &'t str,
}

impl<'t> Input<'t> {
    fn fault(&self, line: u64, column: Option<&str>, fault: WeatherFault) -> WeatherError {
        let place: Place = place(&self.file, line, column);
        WeatherError { place, fault }
    }

    /// Lines with their numbers.
    fn lines(&self) -> impl Iterator<Item = (u64, &'t str)> + use<'t> {
        (1..).zip(self.text.lines())
    }

    /// Metres above sea level; nothing where nothing is written.
    fn altitude(&self, line: u64, text: &str) -> Result<Option<Length>, WeatherError> {
        match text.trim() {
            "" => Ok(None),
            text => match text.parse::<f64>() {
                // From the bounds of the EPW data dictionary.
                Ok(metres) if (-1000.0..9999.9).contains(&metres) => Ok(Some(Length::new::<meter>(metres))),
                _ => {
                    let fault = WeatherFault::NotAnAltitude { text: text.to_owned() };
                    Err(self.fault(line, Some("elevation"), fault))
                }
            },
        }
    }

    fn source(&self, kind: Kind, place: Option<&str>) -> Source {
        let place = place.map(|place| format!(", {place}")).unwrap_or_default();
        Source { text: format!("{} ({kind}{place})", self.file).into(), grade: Grade::Stated }
    }
}

/// The text of a file. Bytes that are no UTF-8 are taken for Latin-1: they can only be letters of names, and degree signs.
fn decode(bytes: &[u8]) -> Result<String, WeatherFault> {
    if bytes.len() > LARGEST {
        return Err(WeatherFault::TooLarge { megabytes: bytes.len() as f64 / 1e6 });
    }
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) || bytes.contains(&0) {
        return Err(WeatherFault::NotText);
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    Ok(match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(_) => bytes.iter().map(|byte| char::from(*byte)).collect(),
    })
}

fn begins(line: &str, with: &str) -> bool {
    line.get(..with.len()).is_some_and(|start| start.eq_ignore_ascii_case(with))
}

/// Air at `celsius`, where air can have it.
fn air(celsius: f64) -> Result<ThermodynamicTemperature, WeatherFault> {
    if AIR_C.contains(&celsius) {
        Ok(ThermodynamicTemperature::new::<degree_celsius>(celsius))
    } else {
        Err(WeatherFault::NoAir { celsius })
    }
}
