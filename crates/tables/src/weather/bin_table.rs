//! Hours of a year by temperature of the air.

use super::{Air, Bin, Input, Kind, LEAP_YEAR, Weather, WeatherError, WeatherFault, YEAR, air, total};
use crate::{dialect::Separator, sheet};
use csv::{ReaderBuilder, StringRecord};
use physics::units::{
    ThermodynamicTemperature, Time,
    unit::{
        thermodynamic_temperature::{degree_celsius, degree_fahrenheit, kelvin},
        time,
    },
};

const AIR: &str = "air_temperature";
const HOURS: &str = "hours";

#[derive(Clone, Copy, PartialEq)]
enum Degree {
    Celsius,
    Fahrenheit,
    Kelvin,
}

/// A column of the header: where it stands, and its unit if that is written there.
struct Column<'h> {
    index: usize,
    unit: &'h str,
}

pub(super) fn read(input: &Input<'_>) -> Result<Weather, WeatherError> {
    let is_remark = |text: &str| text.trim().is_empty() || text.starts_with('#');
    let header = input.text.lines().find(|text| !is_remark(text)).unwrap_or_default();
    let separator = Separator::of(header);
    let mut reader = ReaderBuilder::new()
        .comment(Some(b'#'))
        .delimiter(separator.byte())
        .has_headers(false)
        .flexible(true)
        .from_reader(input.text.as_bytes());
    let line_of = |record: &StringRecord| sheet::line(input.text.as_bytes(), record.position());
    // The text is UTF-8 and rows may be of any length, so that a record can not be unreadable.
    let mut records = reader.records().filter_map(Result::ok);
    let Some(header) = records.next() else { return Err(input.fault(1, None, WeatherFault::Unrecognised)) };
    let header_line = line_of(&header);
    let [air_column, hours_column] = columns(input, header_line, &header)?;
    let in_header = match air_column.unit {
        "" => None,
        unit => Some(degree(unit).map_err(|fault| input.fault(header_line, Some(AIR), fault))?),
    };
    if !is_hours(hours_column.unit) {
        return Err(input.fault(header_line, Some(HOURS), unknown_hours(hours_column.unit)));
    }

    let mut bins: Vec<(Bin, u64)> = vec![];
    for record in records {
        let line = line_of(&record);
        if record.len() != header.len() {
            let fault = WeatherFault::CellCount { found: record.len(), expected: header.len() };
            return Err(input.fault(line, None, fault));
        }
        let cell = |column: &Column<'_>| record.get(column.index).unwrap_or_default().trim();
        let at = |column| move |fault| input.fault(line, Some(column), fault);
        let air = temperature(separator, cell(&air_column), in_header).map_err(at(AIR))?;
        let time = time(separator, cell(&hours_column)).map_err(at(HOURS))?;
        if let Some((_, first_line)) = bins.iter().find(|(bin, _)| bin.air == air) {
            let fault = WeatherFault::DuplicateTemperature {
                text: cell(&air_column).to_owned(),
                first_line: *first_line,
            };
            return Err(input.fault(line, Some(AIR), fault));
        }
        bins.push((Bin { air, time }, line));
    }
    let last_line = bins.last().map_or(header_line, |(_, line)| *line);
    let mut bins: Vec<Bin> = bins.into_iter().map(|(bin, _)| bin).collect();
    bins.retain(|bin| bin.time > Time::new::<time::hour>(0.0));
    bins.sort_by(|a, b| a.air.get::<kelvin>().total_cmp(&b.air.get::<kelvin>()));
    let hours = total(&bins).get::<time::hour>();
    // Shares of a year turned to hours may miss a whole number by rounding.
    const ROUNDING_H: f64 = 0.5;
    if bins.is_empty() {
        return Err(input.fault(last_line, None, WeatherFault::NoHours));
    }
    if !(f64::from(YEAR) * 0.99..=f64::from(LEAP_YEAR) + ROUNDING_H).contains(&hours) {
        return Err(input.fault(last_line, Some(HOURS), WeatherFault::NoYear { hours }));
    }
    Ok(Weather {
        kind: Kind::BinTable,
        place: None,
        altitude: None,
        air: Air::Bins(bins),
        leap_year: hours > f64::from(YEAR) + ROUNDING_H,
        gaps: vec![],
        source: input.source(Kind::BinTable, None),
    })
}

/// The two columns, in any order.
fn columns<'h>(
    input: &Input<'_>,
    line: u64,
    header: &'h StringRecord,
) -> Result<[Column<'h>; 2], WeatherError> {
    let mut found: [Option<Column<'h>>; 2] = [None, None];
    let named = |written: &'h str| {
        let (name, unit) = written.split_once(['(', '[']).unwrap_or((written, ""));
        (name.trim().to_lowercase().replace([' ', '-'], "_"), unit.trim_end_matches([')', ']', ' ']))
    };
    if !header.iter().any(|written| named(written).0 == AIR) {
        return Err(input.fault(line, None, WeatherFault::Unrecognised));
    }
    for (index, written) in header.iter().enumerate() {
        let (name, unit) = named(written);
        let slot = [AIR, HOURS].iter().position(|known| *known == name).filter(|slot| found[*slot].is_none());
        match slot {
            Some(slot) => found[slot] = Some(Column { index, unit }),
            None => return Err(input.fault(line, Some(written), WeatherFault::UnexpectedColumn)),
        }
    }
    match found {
        [Some(air), Some(hours)] => Ok([air, hours]),
        _ => Err(input.fault(line, None, WeatherFault::MissingColumn { name: HOURS })),
    }
}

/// The number that a cell begins with, and what follows it.
fn number(separator: Separator, cell: &str) -> Result<(f64, String), WeatherFault> {
    let text = separator.with_decimal_points(&cell.replace('\u{2212}', "-"))?;
    let end = text.find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | '-' | '+')).unwrap_or(text.len());
    let not_a_number = || WeatherFault::NotANumber { text: cell.chars().take(40).collect() };
    // A comma that is left belongs to the number: `1,5` is not one with the unit `,5`.
    if text[end..].starts_with(',') {
        return Err(not_a_number());
    }
    let value = text[..end].parse().map_err(|_| not_a_number())?;
    Ok((value, text[end..].trim().to_owned()))
}

fn temperature(
    separator: Separator,
    cell: &str,
    in_header: Option<Degree>,
) -> Result<ThermodynamicTemperature, WeatherFault> {
    let (value, unit) = number(separator, cell)?;
    let in_cell = if unit.is_empty() { None } else { Some(degree(&unit)?) };
    let degrees = match (in_header, in_cell) {
        (None, None) => return Err(WeatherFault::NoUnit { text: cell.to_owned() }),
        (Some(header), Some(cell_unit)) if header != cell_unit => {
            return Err(WeatherFault::TwoUnits { text: cell.to_owned() });
        }
        (Some(degrees), _) | (None, Some(degrees)) => degrees,
    };
    let temperature = match degrees {
        Degree::Celsius => ThermodynamicTemperature::new::<degree_celsius>(value),
        Degree::Fahrenheit => ThermodynamicTemperature::new::<degree_fahrenheit>(value),
        Degree::Kelvin => ThermodynamicTemperature::new::<kelvin>(value),
    };
    air(temperature.get::<degree_celsius>()).map(|_| temperature)
}

fn degree(written: &str) -> Result<Degree, WeatherFault> {
    let plain = written.to_lowercase().replace(['°', 'º', '˚', ' '], "");
    match plain.strip_prefix("deg").unwrap_or(&plain) {
        "c" | "℃" | "celsius" => Ok(Degree::Celsius),
        "f" | "℉" | "fahrenheit" => Ok(Degree::Fahrenheit),
        "k" | "kelvin" => Ok(Degree::Kelvin),
        _ => Err(WeatherFault::UnknownUnit {
            text: written.chars().take(40).collect(),
            known: "`°C`, `°F` or `K`",
        }),
    }
}

fn is_hours(unit: &str) -> bool {
    ["", "h", "hr", "hrs", "hour", "hours"].contains(&unit.to_lowercase().as_str())
}

fn unknown_hours(unit: &str) -> WeatherFault {
    WeatherFault::UnknownUnit {
        text: unit.chars().take(40).collect(),
        known: "the number of hours, or `h` behind it",
    }
}

fn time(separator: Separator, cell: &str) -> Result<Time, WeatherFault> {
    let (value, unit) = number(separator, cell)?;
    if !is_hours(&unit) {
        return Err(unknown_hours(&unit));
    }
    if value < 0.0 {
        return Err(WeatherFault::NegativeTime { text: cell.to_owned() });
    }
    Ok(Time::new::<time::hour>(value))
}
