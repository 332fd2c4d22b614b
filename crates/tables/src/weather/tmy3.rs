//! Typical meteorological year, third layout.

use super::{
    HourOfYear, Input, Kind, Weather, WeatherError, WeatherFault, begins,
    hourly::{Year, dry_bulb},
};
use csv::ReaderBuilder;

pub(super) const DATE: &str = "Date (MM/DD/YYYY)";
const TIME: &str = "Time (HH:MM)";
const DRY_BULB: &str = "Dry-bulb (C)";

pub(super) fn read(input: &Input<'_>) -> Result<Weather, WeatherError> {
    let mut lines = input.lines();
    let (_, station) = lines.next().unwrap_or_default();
    let (header_line, header) = lines.next().unwrap_or_default();
    let header: Vec<_> = header.split(',').map(str::trim).collect();
    let column = |name: &'static str| {
        header.iter().position(|column| column.eq_ignore_ascii_case(name)).ok_or_else(|| {
            match header.iter().find(|column| begins(column, "Dry-bulb (")) {
                Some(other) if name == DRY_BULB => {
                    input.fault(header_line, Some(other), WeatherFault::WrongUnit)
                }
                _ => input.fault(header_line, None, WeatherFault::MissingColumn { name }),
            }
        })
    };
    let (date, time, dry_bulb_at) = (column(DATE)?, column(TIME)?, column(DRY_BULB)?);
    // station, "name", state, time zone, latitude, longitude, elevation
    let mut station = ReaderBuilder::new().has_headers(false).flexible(true).from_reader(station.as_bytes());
    let station = station.records().next().and_then(Result::ok).unwrap_or_default();
    let names = [1, 2].iter().filter_map(|index| station.get(*index)).map(str::trim);
    let place = names.filter(|name| !name.is_empty()).collect::<Vec<_>>().join(", ");
    let place = (!place.is_empty()).then_some(place);
    let altitude = input.altitude(1, station.get(6).unwrap_or_default())?;

    let mut year = Year::default();
    for (line, text) in lines.filter(|(_, text)| !text.trim().is_empty()) {
        let (found, expected) = (text.split(',').count(), header.len());
        if found != expected {
            return Err(input.fault(line, None, WeatherFault::CellCount { found, expected }));
        }
        let cell = |index: usize| text.split(',').nth(index).unwrap_or_default().trim();
        let air = dry_bulb(cell(dry_bulb_at)).map_err(|fault| input.fault(line, Some(DRY_BULB), fault))?;
        let written = || format!("{} {}", cell(date), cell(time));
        year.insert(line, at(cell(date), cell(time)), written, air)
            .map_err(|fault| input.fault(line, Some(DATE), fault))?;
    }
    let (air, gaps, leap_year) = year.finish(input)?;
    let source = input.source(Kind::Tmy3, place.as_deref());
    Ok(Weather { kind: Kind::Tmy3, place, altitude, air, leap_year, gaps, source })
}

/// `01/31/1997` and `24:00`. The year does not count: the months of a typical year come from different ones.
fn at(date: &str, time: &str) -> Option<HourOfYear> {
    let mut parts = date.split('/');
    let (month, day, year) = (parts.next()?, parts.next()?, parts.next()?);
    let hour = time.strip_suffix(":00")?;
    if parts.next().is_some() || year.len() != 4 || year.parse::<u16>().is_err() {
        return None;
    }
    HourOfYear::new(month.parse().ok()?, day.parse().ok()?, hour.parse().ok()?)
}
