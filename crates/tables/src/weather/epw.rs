//! EnergyPlus weather.

use super::{
    HourOfYear, Input, Kind, Weather, WeatherError, WeatherFault, begins,
    hourly::{Year, dry_bulb},
};
use std::ops::RangeInclusive;

const HEADER_LINES: usize = 8;
const DRY_BULB: usize = 6;
const DRY_BULB_COLUMN: &str = "7 (dry bulb temperature)";
/// Cells of a row. The last three (albedo, liquid precipitation) came later and are absent in old files (from memory).
const CELLS: RangeInclusive<usize> = 32..=35;

pub(super) fn read(input: &Input<'_>) -> Result<Weather, WeatherError> {
    let mut lines = input.lines();
    let header: Vec<_> = lines.by_ref().take(HEADER_LINES).collect();
    let periods = header.get(HEADER_LINES - 1).map_or("", |(_, text)| *text);
    if !begins(periods, "DATA PERIODS,") {
        return Err(input.fault(header.len() as u64, None, WeatherFault::NoDataPeriods));
    }
    let records = periods.split(',').nth(2).unwrap_or_default().trim();
    if records != "1" {
        let fault = WeatherFault::RecordsPerHour { text: records.to_owned() };
        return Err(input.fault(HEADER_LINES as u64, Some("records per hour"), fault));
    }
    // LOCATION, city, state, country, source, station, latitude, longitude, time zone, elevation
    let location: Vec<_> = header[0].1.split(',').map(str::trim).collect();
    let names = location.iter().skip(1).take(3).filter(|name| !name.is_empty() && **name != "-");
    let place = names.copied().collect::<Vec<_>>().join(", ");
    let place = (!place.is_empty()).then_some(place);
    let altitude = input.altitude(1, location.get(9).copied().unwrap_or_default())?;

    let mut year = Year::default();
    let mut width = None;
    for (line, text) in lines.filter(|(_, text)| !text.trim().is_empty()) {
        let found = text.split(',').count();
        let expected = *width.get_or_insert(if CELLS.contains(&found) { found } else { *CELLS.end() });
        if found != expected {
            return Err(input.fault(line, None, WeatherFault::CellCount { found, expected }));
        }
        let cell = |index: usize| text.split(',').nth(index).unwrap_or_default().trim();
        let air =
            dry_bulb(cell(DRY_BULB)).map_err(|fault| input.fault(line, Some(DRY_BULB_COLUMN), fault))?;
        let count = |index: usize| cell(index).parse().ok();
        let at = (|| HourOfYear::new(count(1)?, count(2)?, count(3)?))();
        let written = || format!("month {}, day {}, hour {}", cell(1), cell(2), cell(3));
        year.insert(line, at, written, air)
            .map_err(|fault| input.fault(line, Some("2 to 4 (month, day, hour)"), fault))?;
    }
    let (air, gaps, leap_year) = year.finish(input)?;
    let source = input.source(Kind::Epw, place.as_deref());
    Ok(Weather { kind: Kind::Epw, place, altitude, air, leap_year, gaps, source })
}
