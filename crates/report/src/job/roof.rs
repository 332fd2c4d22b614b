//! The roof that the condensers stand on, and the year that they run through.

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
const INVENTED_EXAMPLE: &str = "{ mean = \"10 °C\", year = \"24 K\", day = \"8 K\" }";
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
            &[("ASCE 7-16", Edition::Of2016), ("ASCE 7-22", Edition::Of2022)],
        ),
        exposure: reader.one_of(
            table,
            &key("exposure", "\"C\""),
            &[("B", Exposure::B), ("C", Exposure::C), ("D", Exposure::D)],
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
    const INVENTED: Key = key("invented", INVENTED_EXAMPLE);
    if !root.has("year") {
        return Some(None);
    }
    let table = reader.table(root, "year")?;
    reader.only(table, YEAR_KEYS);
    let file = reader.text(table, &WEATHER);
    let invented = reader.table(table, INVENTED.name).map(|table| invented(reader, table));
    let load = reader.quantity(table, &key("load", "\"80 %\""), &LOADS);
    let twice = "the weather is stated twice, by a file and by three numbers";
    reader.one_of_two(table, (&WEATHER, &INVENTED), twice);
    let weather = file.map(Weather::File).or(invented.flatten().map(Weather::Invented));
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

#[cfg(test)]
mod tests {
    use super::super::{Job, STARTER, read};
    use super::*;
    use physics::units::unit::{temperature_interval::kelvin, velocity::meter_per_second};

    fn job(text: &str) -> Job {
        let starter = STARTER.split("\n[condenser.").next().unwrap();
        read("a.toml", format!("{starter}\n{text}\n").as_bytes()).unwrap_or_else(|faults| panic!("{faults}"))
    }

    #[test]
    fn a_roof_is_kept_as_far_as_it_is_said() {
        let roof =
            job("[roof]\nwind_speed = \"180 km/h\"\nedition = \"asce 7-16\"\nexposure = \"d\"").roof.unwrap();
        approx::assert_relative_eq!(
            roof.wind_speed.unwrap().value.get::<meter_per_second>(),
            50.0,
            max_relative = 1e-12
        );
        assert_eq!(roof.edition.unwrap().value, Edition::Of2016);
        assert_eq!(roof.exposure.unwrap().value, Exposure::D);
        assert!(roof.snow.is_none() && job("").roof.is_none());
    }

    #[test]
    fn the_weather_is_a_file_or_three_numbers() {
        let file = job("[year]\nweather = \"town.epw\"").year.unwrap();
        assert!(matches!(file.weather, Weather::File(file) if file.value == "town.epw"));
        let year = job(&format!("[year]\ninvented = {INVENTED_EXAMPLE}\nload = \"80 %\"")).year.unwrap();
        let Weather::Invented(weather) = year.weather else { panic!() };
        approx::assert_relative_eq!(weather.year.value.get::<kelvin>(), 24.0, max_relative = 1e-12);
        assert!(year.load.is_some() && job("").year.is_none());
    }
}
