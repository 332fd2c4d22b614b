//! The map of a compressor that the user keeps beside the job: ten coefficients a quantity, a row each.
//!
//! X = c1 + c2 S + c3 D + c4 S² + c5 S D + c6 D² + c7 S³ + c8 D S² + c9 S D² + c10 D³, with S the evaporating and D the
//! condensing dew temperature, both in the degrees of the map: the form of AHRI 540 (from memory).
//! `data/templates/compressor.csv` has its columns, filled with an invented compressor.

use super::cells::{self, Column, need};
use super::diagnose::{Fault, FaultKind, Faults, Located, Source, Span};
use super::file::SUPERHEATS;
use super::quantity::{Quantity, Range, plain};
use super::table::{Key, Reader, Table, key};
use physics::{
    compressor::TemperatureScale,
    units::{DewTemperature, MassRate, Power, TemperatureInterval, ThermodynamicTemperature},
};
use std::{ops::RangeInclusive, sync::Arc};

const QUANTITY: Key = key("quantity", "capacity");
const UNIT: Key = key("unit", "Btu/h");
const REFRIGERANT: Key = key("refrigerant", "R-449A");
const TEMPERATURES: Key = key("temperatures", "°F");
const SUPERHEAT: Key = key("superheat", "20 °F");
const LIMITS: [Key; 4] = [
    key("evaporating_least", "-30 °F"),
    key("evaporating_most", "30 °F"),
    key("condensing_least", "70 °F"),
    key("condensing_most", "140 °F"),
];
const COEFFICIENTS: [Key; 10] = [
    key("c1", "35522.2"),
    key("c2", "775.349"),
    key("c3", "-128.372"),
    key("c4", "7.27524"),
    key("c5", "-1.97431"),
    key("c6", "0.144532"),
    key("c7", "0.0214201"),
    key("c8", "-0.0235410"),
    key("c9", "-0.00500115"),
    key("c10", "-0.00130594"),
];

const fn column(key: Key, numbers: bool) -> Column {
    Column { key, needed: true, numbers }
}

static COLUMNS: [Column; 19] = {
    let [c1, c2, c3, c4, c5, c6, c7, c8, c9, c10] = COEFFICIENTS;
    let [evaporating_least, evaporating_most, condensing_least, condensing_most] = LIMITS;
    [
        column(QUANTITY, false),
        column(UNIT, false),
        column(REFRIGERANT, false),
        column(TEMPERATURES, false),
        column(SUPERHEAT, true),
        column(evaporating_least, true),
        column(evaporating_most, true),
        column(condensing_least, true),
        column(condensing_most, true),
        column(c1, true),
        column(c2, true),
        column(c3, true),
        column(c4, true),
        column(c5, true),
        column(c6, true),
        column(c7, true),
        column(c8, true),
        column(c9, true),
        column(c10, true),
    ]
};

/// Saturation temperatures that a compressor of any refrigerant may be rated at.
const SATURATION: Range =
    Range { least: 183.15, most: 373.15, says: "between -90 °C and 100 °C (-130 °F and 212 °F)" };

/// The ten coefficients of a quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// c1 to c10, in the unit of the map and its [`TemperatureScale`].
    pub coefficients: [f64; 10],
    /// What one unit of the map is in W, kg/s or A.
    pub to_si: f64,
}

/// The map of a compressor. It has power, and capacity or mass flow or both.
#[derive(Clone, Debug, PartialEq)]
pub struct CompressorMap {
    /// The file, for faults that are found later.
    pub source: Arc<Source>,
    /// Name of the refrigerant, as written.
    pub refrigerant: Located<String>,
    /// Dew temperatures at the evaporator in which the map holds.
    pub evaporating: RangeInclusive<DewTemperature>,
    /// Dew temperatures at the condenser in which the map holds.
    pub condensing: RangeInclusive<DewTemperature>,
    /// Superheat of the gas at the compressor during the rating.
    pub superheat: TemperatureInterval,
    /// TemperatureScale of the temperatures that go into the form.
    pub temperatures: TemperatureScale,
    /// Refrigerating capacity.
    pub capacity: Option<Row>,
    /// Electrical input.
    pub power: Option<Row>,
    /// Mass flow.
    pub mass_flow: Option<Row>,
    /// Current.
    pub current: Option<Row>,
}

/// Reads a map.
///
/// # Errors
/// All faults of the file at once: columns, cells, rows that contradict each other, a map without power or without both
/// capacity and mass flow.
pub fn read(file_name: &str, bytes: &[u8]) -> Result<CompressorMap, Faults> {
    let (source, map) = cells::read(file_name, bytes, &COLUMNS, map)?;
    let [capacity, power, mass_flow, current] = map.rows;
    let rating = map.rating;
    let [evaporating_least, evaporating_most, condensing_least, condensing_most] =
        rating.limits.map(|limit| DewTemperature::new(limit.value));
    Ok(CompressorMap {
        source,
        refrigerant: rating.refrigerant,
        evaporating: evaporating_least..=evaporating_most,
        condensing: condensing_least..=condensing_most,
        superheat: rating.superheat.value,
        temperatures: rating.temperatures.value,
        capacity,
        power,
        mass_flow,
        current,
    })
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Mapped {
    Capacity,
    Power,
    MassFlow,
    Current,
}

const MAPPED: [(&str, Mapped); 4] = [
    ("capacity", Mapped::Capacity),
    ("power", Mapped::Power),
    ("mass flow", Mapped::MassFlow),
    ("current", Mapped::Current),
];

/// What the rows have, in the order of [`MAPPED`], and what they were rated at.
struct Map {
    rows: [Option<Row>; 4],
    rating: Rating,
}

/// What all rows have to agree in.
struct Rating {
    refrigerant: Located<String>,
    temperatures: Located<TemperatureScale>,
    superheat: Located<TemperatureInterval>,
    limits: [Located<ThermodynamicTemperature>; 4],
}

fn map(reader: &mut Reader<'_>, tables: &[Table<'_>]) -> Option<Map> {
    let mut places: [Option<Span>; 4] = [None; 4];
    let mut rows = [None; 4];
    let mut ratings = vec![];
    for table in tables {
        let quantity = reader.one_of(table, &QUANTITY, &MAPPED);
        let quantity = need(reader, table, &QUANTITY, quantity);
        let row = row(reader, table, quantity.map(|quantity| quantity.value));
        ratings.push(rating(reader, table));
        let Some(quantity) = quantity else { continue };
        let index = MAPPED.iter().position(|(_, mapped)| *mapped == quantity.value)?;
        match places[index] {
            Some(first) => {
                reader.told_twice("this quantity has a row already", quantity.span, first);
            }
            None => (places[index], rows[index]) = (Some(quantity.span), row),
        }
    }
    let [capacity, power, mass_flow, _] = places;
    // Where a row does not say which quantity it has, that may be the missing one.
    let unnamed = places.iter().flatten().count() < tables.len();
    let mut lacks = |quantity: &str| {
        reader.fault(Fault::new(
            FaultKind::Missing,
            tables.last().map_or(Span { start: 0, end: 0 }, |table| table.span),
            format!("the map has no row for {quantity}"),
            "add a row with its ten coefficients",
        ));
    };
    if !unnamed && power.is_none() {
        lacks("`power`");
    }
    if !unnamed && capacity.is_none() && mass_flow.is_none() {
        lacks("`capacity` or `mass_flow`");
    }
    let mut ratings = ratings.into_iter();
    let first = ratings.next()??;
    for other in ratings.flatten() {
        agree(reader, REFRIGERANT.name, &first.refrigerant, &other.refrigerant);
        agree(reader, TEMPERATURES.name, &first.temperatures, &other.temperatures);
        agree(reader, SUPERHEAT.name, &first.superheat, &other.superheat);
        for (index, limit) in LIMITS.iter().enumerate() {
            agree(reader, limit.name, &first.limits[index], &other.limits[index]);
        }
    }
    let [evaporating_least, evaporating_most, condensing_least, condensing_most] = first.limits;
    rising(reader, evaporating_least, evaporating_most);
    rising(reader, condensing_least, condensing_most);
    if condensing_most.value <= evaporating_most.value {
        let message = "the map condenses no warmer than it evaporates";
        let help = "check the limits: evaporating is the cold side";
        reader.fault(
            Fault::new(FaultKind::Contradiction, condensing_most.span, message, help)
                .also(evaporating_most.span, ""),
        );
    }
    Some(Map { rows, rating: first })
}

fn rising(
    reader: &mut Reader<'_>,
    least: Located<ThermodynamicTemperature>,
    most: Located<ThermodynamicTemperature>,
) {
    if least.value >= most.value {
        let message = "the least temperature is not below the most";
        let help = "write the colder end first";
        reader.fault(
            Fault::new(FaultKind::Contradiction, most.span, message, help).also(least.span, "the least"),
        );
    }
}

fn agree<T: PartialEq>(reader: &mut Reader<'_>, column: &str, first: &Located<T>, other: &Located<T>) {
    if first.value != other.value {
        let message = format!("{column}: the first row says otherwise");
        let help = "a map is of one rating: make its rows agree";
        reader.fault(
            Fault::new(FaultKind::Contradiction, other.span, message, help).also(first.span, "the first row"),
        );
    }
}

fn rating(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<Rating> {
    let refrigerant = reader.text(table, &REFRIGERANT);
    let refrigerant = need(reader, table, &REFRIGERANT, refrigerant);
    let temperatures = degrees(reader, table);
    let temperatures = need(reader, table, &TEMPERATURES, temperatures);
    let superheat = reader.quantity(table, &SUPERHEAT, &SUPERHEATS);
    let superheat = need(reader, table, &SUPERHEAT, superheat);
    let [a, b, c, d] = LIMITS.map(|limit| {
        let temperature = reader.quantity(table, &limit, &SATURATION);
        need(reader, table, &limit, temperature)
    });
    Some(Rating {
        refrigerant: refrigerant?,
        temperatures: temperatures?,
        superheat: superheat?,
        limits: [a?, b?, c?, d?],
    })
}

fn degrees(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<Located<TemperatureScale>> {
    let written = reader.text(table, &TEMPERATURES)?;
    let plain = plain(&written.value).to_lowercase().replace(['°', ' '], "");
    let value = match plain.strip_prefix("deg").unwrap_or(&plain) {
        "c" | "celsius" => TemperatureScale::Celsius,
        "f" | "fahrenheit" => TemperatureScale::Fahrenheit,
        _ => {
            let message = format!("`{}` is not known here", written.value);
            let help = "write `°F` or `°C`: the degrees that go into the form";
            reader.value_fault(FaultKind::Value, TEMPERATURES.name, written.span, message, help);
            return None;
        }
    };
    Some(Located { value, span: written.span })
}

/// Unit and coefficients of a row; the unit can only be judged where the quantity is known.
fn row(reader: &mut Reader<'_>, table: &Table<'_>, quantity: Option<Mapped>) -> Option<Row> {
    let unit = reader.text(table, &UNIT);
    let unit = need(reader, table, &UNIT, unit);
    let to_si = quantity.zip(unit).and_then(|(quantity, unit)| to_si(reader, quantity, &unit));
    let coefficients = COEFFICIENTS.map(|key| {
        let number = coefficient(reader, table, &key);
        need(reader, table, &key, number)
    });
    let mut numbers = [0.0; 10];
    for (number, coefficient) in numbers.iter_mut().zip(coefficients) {
        *number = coefficient?;
    }
    Some(Row { coefficients: numbers, to_si: to_si? })
}

fn to_si(reader: &mut Reader<'_>, quantity: Mapped, unit: &Located<String>) -> Option<f64> {
    let kind = match quantity {
        Mapped::Capacity | Mapped::Power => Power::kind(),
        Mapped::MassFlow => MassRate::kind(),
        Mapped::Current if unit.value == "A" => return Some(1.0),
        Mapped::Current => {
            let message = format!("`{}` is no unit of a current here", unit.value);
            reader.value_fault(FaultKind::Quantity, UNIT.name, unit.span, message, "write `A`");
            return None;
        }
    };
    if !unit.value.starts_with(char::is_alphabetic) {
        let message = format!("`{}` is no unit", unit.value);
        let help = format!("write one of {}", kind.accepted);
        reader.value_fault(FaultKind::Quantity, UNIT.name, unit.span, message, help);
        return None;
    }
    match kind.read(&format!("1 {}", unit.value)) {
        Ok(to_si) => Some(to_si),
        Err(error) => {
            reader.quantity_fault(UNIT.name, unit.span, &error);
            None
        }
    }
}

fn coefficient(reader: &mut Reader<'_>, table: &Table<'_>, key: &Key) -> Option<f64> {
    let written = reader.text(table, key)?;
    match plain(&written.value).parse::<f64>() {
        Ok(number) if number.is_finite() => Some(number),
        _ => {
            let message = format!("`{}` is no number", written.value);
            let help = "write digits with a decimal point and no unit, such as `775.349` or `-1.5e-4`";
            reader.value_fault(FaultKind::Quantity, key.name, written.span, message, help);
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use physics::{
        fluid::{GridRefrigerant, Refrigerant},
        units::{
            TemperatureInterval, ThermodynamicTemperature,
            unit::{
                temperature_interval::kelvin as kelvin_interval, thermodynamic_temperature::degree_fahrenheit,
            },
        },
    };

    const TEMPLATE: &str = include_str!("../../../../data/templates/compressor.csv");

    fn said(text: &str) -> String {
        read("map.csv", text.as_bytes()).unwrap_err().plain()
    }

    fn value(row: Option<Row>, s: f64, d: f64) -> f64 {
        let Row { coefficients: c, to_si } = row.unwrap();
        let terms = [1.0, s, d, s * s, s * d, d * d, s * s * s, d * s * s, s * d * d, d * d * d];
        to_si * c.iter().zip(terms).map(|(c, term)| c * term).sum::<f64>()
    }

    #[test]
    fn the_template_is_the_compressor_that_it_says() {
        // As `data/generate/compressor_template.py` has it; the form meets that within 0.4 %, and its states, which are
        // CoolProp's, meet those of the grid within 0.1 %.
        const SWEPT_M3_S: f64 = 15.0 / 3600.0;
        const WITHIN: f64 = 0.005;
        let map = read("compressor.csv", TEMPLATE.as_bytes()).unwrap();
        assert_eq!(
            (map.refrigerant.value.as_str(), map.temperatures),
            ("R-449A", TemperatureScale::Fahrenheit)
        );
        assert!(map.current.is_none());
        let library = tables::Library::embedded().unwrap();
        let fluid = GridRefrigerant::new(&library.grid("R-449A").unwrap()).unwrap();
        let fahrenheit = ThermodynamicTemperature::new::<degree_fahrenheit>;
        let limits = [map.evaporating.clone(), map.condensing.clone()].map(|range| {
            let (least, most) = range.into_inner();
            [least, most].map(|limit| limit.get().get::<degree_fahrenheit>().round())
        });
        assert_eq!(limits, [[-30.0, 30.0], [70.0, 140.0]]);
        for (s, d) in [(-30.0, 70.0), (-30.0, 140.0), (30.0, 70.0), (30.0, 140.0), (2.0, 101.0)] {
            let at_dew = |f: f64| fluid.at_dew(DewTemperature::new(fahrenheit(f))).unwrap();
            let (low, high) = (at_dew(s), at_dew(d));
            assert!((map.superheat.get::<kelvin_interval>() - 20.0 / 1.8).abs() < 1e-9);
            let warmer: TemperatureInterval = map.superheat;
            let gas = fluid.vapour_at(low.pressure, low.temperature + warmer).unwrap();
            let liquid = fluid.ends(high.pressure).unwrap().bubble;
            let mass_kg_s = SWEPT_M3_S * 0.95 * gas.density.value;
            let capacity_w = mass_kg_s * (gas.enthalpy - liquid.enthalpy).value;
            let deviation = |found: f64, expected: f64| (found / expected - 1.0).abs();
            assert!(deviation(value(map.mass_flow, s, d), mass_kg_s) < WITHIN, "{s} {d}");
            assert!(deviation(value(map.capacity, s, d), capacity_w) < WITHIN, "{s} {d}");
            // No real compressor takes less than the isentropic power or three times it: a slip of columns does.
            let ratio = value(map.power, s, d) / capacity_w;
            assert!((0.05..1.5).contains(&ratio), "{s} {d}: {ratio}");
        }
    }

    #[test]
    fn semicolons_and_decimal_commas_give_the_same_map() {
        let rows: Vec<String> = TEMPLATE
            .lines()
            .filter(|line| !line.starts_with('#'))
            .map(|line| line.replace(',', ";").replace('.', ","))
            .collect();
        let (points, commas) = (
            read("map.csv", TEMPLATE.as_bytes()).unwrap(),
            read("map.csv", rows.join("\n").as_bytes()).unwrap(),
        );
        assert_eq!(
            (points.capacity, points.power, points.mass_flow),
            (commas.capacity, commas.power, commas.mass_flow)
        );
        assert_eq!((points.evaporating, points.condensing), (commas.evaporating, commas.condensing));
    }

    #[test]
    fn a_metric_map_with_current_is_read() {
        let row = |quantity: &str| {
            format!("{quantity},R-134a,degC,5 K,-20 °C,10 °C,30 °C,60 °C,1,2,3,4,5,6,7,8,9,-1.5e-4\n")
        };
        let header = TEMPLATE.lines().find(|line| line.starts_with("quantity")).unwrap();
        let text = format!("{header}\n{}{}{}", row("mass flow,kg/h"), row("power,kW"), row("Current,A"));
        let map = read("map.csv", text.as_bytes()).unwrap();
        assert_eq!((map.temperatures, map.capacity), (TemperatureScale::Celsius, None));
        let coefficients = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, -1.5e-4];
        assert_eq!(map.power, Some(Row { coefficients, to_si: 1000.0 }));
        assert_eq!(map.current.unwrap().to_si, 1.0);
        assert!((map.mass_flow.unwrap().to_si * 3600.0 - 1.0).abs() < 1e-12);
    }

    #[test]
    fn cells_of_a_map_are_judged() {
        for (good, bad, told) in [
            ("capacity,Btu/h", "cooling,Btu/h", "map.csv:4:1: quantity: `cooling` is not known here; "),
            (
                "capacity,Btu/h",
                "capacity,Btu",
                "map.csv:4:10: unit: `1 Btu`: a Btu is energy, not power; write `1 Btu/h`",
            ),
            (
                "capacity,Btu/h",
                "capacity,000 W",
                "map.csv:4:10: unit: `000 W` is no unit; write one of Btu/h, kW",
            ),
            (
                "capacity,Btu/h",
                "capacity,",
                "map.csv:4:1: `unit` is empty in this row; write it, such as `Btu/h`",
            ),
            ("power,W", "power,lb/h", "map.csv:5:7: unit: `lb/h` measures a mass rate; a power is wanted; "),
            ("mass_flow,lb/h", "current,W", "map.csv:6:9: unit: `W` is no unit of a current here; write `A`"),
            (
                "mass_flow,lb/h",
                "power,kW",
                "map.csv:6:1: this quantity has a row already; keep one of the two",
            ),
            ("35522.2016", "x", "map.csv:4:58: c1: `x` is no number; write digits"),
            ("35522.2016", "inf", "map.csv:4:58: c1: `inf` is no number; write digits"),
            (
                "power,W,R-449A",
                "power,W,R-448A",
                "map.csv:5:9: refrigerant: the first row says otherwise; a map is of one rating",
            ),
            (
                "power,W,R-449A,°F",
                "power,W,R-449A,C",
                "map.csv:5:16: temperatures: the first row says otherwise",
            ),
            (
                "power,W,R-449A,°F",
                "power,W,R-449A,K",
                "map.csv:5:16: temperatures: `K` is not known here; write `°F` or `°C`",
            ),
            (
                "power,W,R-449A,°F,20 °F",
                "power,W,R-449A,°F,25 °F",
                "map.csv:5:19: superheat: the first row says otherwise",
            ),
            (
                "power,W,R-449A,°F,20 °F,-30 °F",
                "power,W,R-449A,°F,20 °F,-20 °F",
                "map.csv:5:25: evaporating_least: the first row says otherwise",
            ),
        ] {
            let said = said(&TEMPLATE.replacen(good, bad, 1));
            assert!(said.starts_with(told) && said.lines().count() == 1, "{said}");
        }
    }

    #[test]
    fn limits_and_rows_make_a_map() {
        for (good, bad, told) in [
            (
                "-30 °F,30 °F",
                "30 °F,-30 °F",
                "map.csv:4:38: the least temperature is not below the most; write the colder end first",
            ),
            ("70 °F,140 °F", "70 °F,70 °F", "map.csv:4:51: the least temperature is not below the most"),
            ("-30 °F,30 °F", "-30 °F,140 °F", "map.csv:4:52: the map condenses no warmer than it evaporates"),
            ("70 °F,140 °F", "70 °F,300 °F", "map.csv:4:51: condensing_most: `300 °F` is out of range"),
        ] {
            let said = said(&TEMPLATE.replace(good, bad));
            assert!(said.starts_with(told), "{said}");
        }
        let without = |starts: &[&str]| {
            let rows = TEMPLATE.lines().filter(|line| !starts.iter().any(|start| line.starts_with(start)));
            rows.collect::<Vec<_>>().join("\n")
        };
        assert!(read("map.csv", without(&["capacity"]).as_bytes()).is_ok());
        assert!(read("map.csv", without(&["mass_flow"]).as_bytes()).is_ok());
        let no_power = said(&without(&["power"]));
        assert!(no_power.starts_with("map.csv:5:1: the map has no row for `power`; add a row"), "{no_power}");
        let power_alone = said(&without(&["capacity", "mass_flow"]));
        assert!(
            power_alone
                .starts_with("map.csv:4:1: the map has no row for `capacity` or `mass_flow`; add a row"),
            "{power_alone}"
        );
    }
}
