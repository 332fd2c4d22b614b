//! Ranges of inputs that are checked by their number.

use thiserror::Error;

/// A quantity outside the range that its method holds for, or no number.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[error("the {what} is {value}, outside {low} to {high}")]
pub struct OutOfRange {
    /// Which quantity, with the unit of the numbers.
    pub what: &'static str,
    /// Its value.
    pub value: f64,
    /// Lowest value allowed.
    pub low: f64,
    /// Highest value allowed.
    pub high: f64,
}

/// A number within `low..=high`, or the error that names it.
pub(crate) fn within(what: &'static str, value: f64, low: f64, high: f64) -> Result<f64, OutOfRange> {
    if (low..=high).contains(&value) { Ok(value) } else { Err(OutOfRange { what, value, low, high }) }
}
