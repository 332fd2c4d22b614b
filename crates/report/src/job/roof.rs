//! The roof that the condensers stand on, and the year that they run through.

use super::diagnose::{Fault, FaultKind};
use super::model::*;
use super::outline::read_plan;
use super::quantity::Range;
use super::table::{Key, Reader, Table, key};

pub(super) const ROOF_KEYS: &[&str] = &[
    "wind_speed",
    "edition",
    "exposure",
    "height",
    "building",
    "stand",
    "topographic_factor",
    "snow",
    "neighbour",
];
pub(super) const YEAR_KEYS: &[&str] = &["weather", "invented", "load"];
const INVENTED_KEYS: &[&str] = &["mean", "year", "day"];

const WIND_SPEEDS: Range =
    Range { least: 10.0, most: 120.0, says: "between 10 and 120 m/s (22 and 268 mph)" };
const HEIGHTS: Range = Range { least: 0.0, most: 500.0, says: "between 0 and 500 m (1,640 ft)" };
const STANDS: Range = Range { least: 0.0, most: 10.0, says: "between 0 and 10 m (33 ft)" };
const TOPOGRAPHIC_FACTORS: Range = Range { least: 1.0, most: 3.0, says: "between 1 and 3" };
const SNOWS: Range = Range { least: 0.0, most: 10.0, says: "between 0 and 10 m (33 ft)" };
const NEIGHBOURS: Range =
    Range { least: 0.5, most: 1e4, says: "between 0.5 m and 10 km (1.6 ft and 6.2 mi)" };
const LOADS: Range = Range { least: 0.1, most: 1.0, says: "between 10 % and 100 %" };
const MEANS: Range =
    Range { least: 243.15, most: 318.15, says: "between -30 °C and 45 °C (-22 °F and 113 °F)" };
const YEAR_SWINGS: Range = Range { least: 0.0, most: 80.0, says: "between 0 and 80 K (144 °F)" };
const DAY_SWINGS: Range = Range { least: 0.0, most: 40.0, says: "between 0 and 40 K (72 °F)" };

pub(super) fn roof(reader: &mut Reader<'_>, root: &Table<'_>) -> Option<Roof> {
    let table = reader.table(root, "roof")?;
    reader.only(table, ROOF_KEYS);
    Some(Roof {
        wind_speed: reader.quantity(table, &key("wind_speed", "\"115 mph\""), &WIND_SPEEDS),
        edition: reader.one_of(
            table,
            &key("edition", "\"ASCE 7-22\""),
            &[("asce 7 16", Edition::Asce716), ("asce 7 22", Edition::Asce722)],
        ),
        exposure: reader.one_of(
            table,
            &key("exposure", "\"C\""),
            &[("b", Exposure::B), ("c", Exposure::C), ("d", Exposure::D)],
        ),
        height: reader.quantity(table, &key("height", "\"20 ft\""), &HEIGHTS),
        building: reader.meant(table, &key("building", "\"60 x 80 ft\""), read_plan),
        stand: reader.quantity(table, &key("stand", "\"18 in\""), &STANDS),
        topographic_factor: reader.quantity(
            table,
            &key("topographic_factor", "\"1.0\""),
            &TOPOGRAPHIC_FACTORS,
        ),
        snow: reader.quantity(table, &key("snow", "\"12 in\""), &SNOWS),
        neighbour: reader.quantity(table, &key("neighbour", "\"40 ft\""), &NEIGHBOURS),
    })
}

/// The year, if there is one: outer `None` where it could not be read.
pub(super) fn year(reader: &mut Reader<'_>, root: &Table<'_>) -> Option<Option<Year>> {
    const WEATHER: Key = key("weather", "\"town.epw\"");
    const INVENTED: Key = key("invented", "{ mean = \"10 °C\", year = \"24 K\", day = \"8 K\" }");
    if !root.has("year") {
        return Some(None);
    }
    let table = reader.table(root, "year")?;
    reader.only(table, YEAR_KEYS);
    let file = reader.text(table, &WEATHER);
    let invented = reader.table(table, INVENTED.name).map(|table| invented(reader, table));
    let load = reader.quantity(table, &key("load", "\"80 %\""), &LOADS);
    let weather = match (table.entry(WEATHER.name), table.entry(INVENTED.name)) {
        (Some(file), Some(invented)) => {
            let (first, second) =
                if file.key_span < invented.key_span { (file, invented) } else { (invented, file) };
            reader.fault(
                Fault::new(
                    FaultKind::Contradiction,
                    second.key_span,
                    "the weather is stated twice, by a file and by three numbers",
                    "keep `weather`, or keep `invented`",
                )
                .also(first.key_span, "the other statement"),
            );
            None
        }
        (None, None) => {
            let or = format!(", or `{} = {}`", INVENTED.name, INVENTED.example);
            reader.missing_because(table, &WEATHER, &or);
            None
        }
        (Some(_), None) => file.map(Weather::File),
        (None, Some(_)) => invented.flatten().map(Weather::Invented),
    };
    Some(Some(Year { weather: weather?, load }))
}

fn invented(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<InventedWeather> {
    const MEAN: Key = key("mean", "\"10 °C\"");
    const YEAR: Key = key("year", "\"24 K\"");
    const DAY: Key = key("day", "\"8 K\"");
    reader.only(table, INVENTED_KEYS);
    let mean = reader.quantity(table, &MEAN, &MEANS);
    let mean = reader.need(table, &MEAN, mean);
    let year = reader.quantity(table, &YEAR, &YEAR_SWINGS);
    let year = reader.need(table, &YEAR, year);
    let day = reader.quantity(table, &DAY, &DAY_SWINGS);
    let day = reader.need(table, &DAY, day);
    Some(InventedWeather { mean: mean?, year: year?, day: day? })
}
