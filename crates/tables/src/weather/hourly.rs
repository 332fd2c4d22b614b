//! A year put together from rows that each give one hour.

use super::{Air, Gap, Hour, HourOfYear, Input, LEAP_YEAR, WeatherError, WeatherFault, YEAR, air};
use physics::units::ThermodynamicTemperature;
use std::collections::BTreeMap;

/// What the rows have given so far: the line of each hour, and its temperature unless it is marked as missing.
#[derive(Default)]
pub(super) struct Year(BTreeMap<HourOfYear, (u64, Option<ThermodynamicTemperature>)>);

impl Year {
    /// Takes a row. `at` is none where the cells `written` make no hour.
    pub(super) fn insert(
        &mut self,
        line: u64,
        at: Option<HourOfYear>,
        written: impl FnOnce() -> String,
        air: Option<ThermodynamicTemperature>,
    ) -> Result<(), WeatherFault> {
        let hour = at.ok_or_else(|| WeatherFault::NoSuchHour { text: written() })?;
        match self.0.insert(hour, (line, air)) {
            None => Ok(()),
            Some((first_line, _)) => Err(WeatherFault::DuplicateHour { hour, first_line }),
        }
    }

    /// The hours that there are, those that are missing, and whether it is a leap year.
    pub(super) fn finish(self, input: &Input<'_>) -> Result<(Air, Vec<Gap>, bool), WeatherError> {
        let Some((last, _)) = self.0.last_key_value().map(|(hour, row)| (*hour, row)) else {
            return Err(input.fault(1, None, WeatherFault::NoHours));
        };
        let line = self.0.values().map(|(line, _)| *line).max().unwrap_or(1);
        if HourOfYear::all().last() != Some(last) {
            return Err(input.fault(line, None, WeatherFault::CutShort { last }));
        }
        let leap_year = self.0.keys().any(|hour| hour.is_leap_day());
        let of = if leap_year { LEAP_YEAR } else { YEAR };
        let (mut hours, mut gaps): (Vec<Hour>, Vec<Gap>) = (Vec::with_capacity(self.0.len()), vec![]);
        let mut in_gap = false;
        for at in HourOfYear::all().filter(|hour| leap_year || !hour.is_leap_day()) {
            let air = self.0.get(&at).and_then(|(_, air)| *air);
            match (air, gaps.last_mut()) {
                (Some(air), _) => hours.push(Hour { at, air }),
                (None, Some(gap)) if in_gap => gap.hours += 1,
                (None, _) => gaps.push(Gap { from: at, hours: 1 }),
            }
            in_gap = air.is_none();
        }
        let missing: u32 = gaps.iter().map(|gap| gap.hours).sum();
        match gaps.first() {
            Some(first) if missing * 100 > of => {
                let fault = WeatherFault::TooManyMissing { missing, of, first: *first };
                Err(input.fault(line, None, fault))
            }
            _ => Ok((Air::Hours(hours), gaps, leap_year)),
        }
    }
}

/// A cell of dry bulb temperature in °C; none where it is empty or holds a code for missing.
///
/// The codes are 99.9 and 999 (with more nines in some files) of EPW, and -9900 of TMY3. The EPW data dictionary calls
/// everything from 99.9 up missing; between 99.9 and 900 it is refused here, since a column in °F or K has such values.
pub(super) fn dry_bulb(cell: &str) -> Result<Option<ThermodynamicTemperature>, WeatherFault> {
    let cell = cell.trim();
    if cell.is_empty() {
        return Ok(None);
    }
    let celsius: f64 = cell
        .parse()
        .ok()
        .filter(|value: &f64| value.is_finite())
        .ok_or_else(|| WeatherFault::NotANumber { text: cell.chars().take(40).collect() })?;
    if celsius == 99.9 || celsius.abs() >= 900.0 { Ok(None) } else { air(celsius).map(Some) }
}
