//! The load of a set, which can be stated in several ways, and what is known of its compressor.

use super::diagnose::{Fault, FaultKind, Located};
use super::file::POWERS;
use super::model::*;
use super::quantity::{self, QuantityError, Range, SaturatedTemperature, kinds};
use super::table::{Entry, Key, Node, Reader, Table, key};
use physics::units::{Mass, TemperatureInterval};

pub(super) const COMPRESSOR_KEYS: &[&str] = &["map", "isentropic_efficiency"];

const GAS: Range =
    Range { least: 223.15, most: 473.15, says: "between -50 °C and 200 °C (-58 °F and 392 °F)" };
const EFFICIENCIES: Range = Range { least: 0.2, most: 0.95, says: "between 20 % and 95 %" };
const ICE: Range =
    Range { least: 1.0, most: 1e5, says: "between 1 kg and 100,000 kg a day (2.2 lb and 220,000 lb)" };
const WATER: Range =
    Range { least: 273.15, most: 323.15, says: "between 0 °C and 50 °C (32 °F and 122 °F)" };

const CAPACITY: Key = key("capacity", "\"18 000 Btu/h\"");
const COMPRESSOR_INPUT: Key = key("compressor_input", "\"2.9 kW\"");
const HEAT_REJECTION: Key = key("heat_rejection", "\"28 000 Btu/h\"");
const DISCHARGE_GAS: Key = key("discharge_gas", "\"170 °F\"");
const ICE_PER_DAY: Key = key("ice_per_day", "\"480 kg\"");
const WATER_KEY: Key = key("water", "\"20 °C\"");
const COMPRESSOR: &str = "compressor";
const MAP: &str = "compressor.map";
const EFFICIENCY: &str = "compressor.isentropic_efficiency";

const WAYS: &str = "state one of: `capacity` with `compressor_input`; `heat_rejection` with `discharge_gas`; \
                    `ice_per_day` with `water`; `capacity` with `isentropic_efficiency` in a table `compressor`; or \
                    `map` in such a table";

/// Keys that state the load in one way, keys that state it in another, and what both together are.
const CLASHES: &[(&[&str], &[&str], &str)] = &[
    (
        &["capacity", "compressor_input"],
        &["heat_rejection", "discharge_gas"],
        "the load is stated twice, from the cold side and from the warm side",
    ),
    (
        &["capacity", "compressor_input"],
        &["ice_per_day", "water"],
        "the load is stated twice, outright and by the ice that is made",
    ),
    (
        &["heat_rejection", "discharge_gas"],
        &["ice_per_day", "water"],
        "the load is stated twice, from the warm side and by the ice that is made",
    ),
    (
        &["heat_rejection", "discharge_gas"],
        &[COMPRESSOR],
        "the load is stated twice, from the warm side and by the compressor",
    ),
    (&["ice_per_day", "water"], &[MAP], "the load is stated twice, by the ice that is made and by a map"),
    (&["compressor_input"], &[MAP], "the compressor's input is stated twice, outright and by a map"),
    (
        &["compressor_input"],
        &[EFFICIENCY],
        "the compressor's input is stated twice, outright and by its isentropic efficiency",
    ),
];

/// The entry at a key, or at two with a point between them.
fn at<'a, 't>(table: &'a Table<'t>, path: &str) -> Option<&'a Entry<'t>> {
    match path.split_once('.') {
        None => table.entry(path),
        Some((outer, inner)) => match &table.entry(outer)?.node {
            Node::Table(inside) => inside.entry(inner),
            Node::Leaf(_) => None,
        },
    }
}

/// Whether a set that states the load its own way leaves an entry of the set that it copies behind.
pub(super) fn gives_way(own: &Table<'_>, base: &Table<'_>, key: &str) -> bool {
    let of_key = |path: &&str| path.split('.').next() == Some(key) && at(base, path).is_some();
    let states = |paths: &[&str]| paths.iter().any(|path| at(own, path).is_some());
    CLASHES.iter().any(|(one, other, _)| {
        (states(one) && other.iter().any(of_key)) || (states(other) && one.iter().any(of_key))
    })
}

/// What could be read of the load and of the compressor.
pub(super) struct Stated {
    pub(super) duty: Option<Duty>,
    pub(super) compressor: Option<CompressorData>,
}

pub(super) fn load(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    evaporating: Option<Located<SaturatedTemperature>>,
    superheat: Option<Located<TemperatureInterval>>,
) -> Stated {
    let compressor = reader.table(table, COMPRESSOR).and_then(|table| compressor(reader, table));
    let duty = duty(reader, table, compressor.as_ref(), evaporating.zip(superheat));
    Stated { duty, compressor }
}

/// Exactly one way to state the load, and that whole.
fn duty(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    compressor: Option<&CompressorData>,
    evaporator: Option<(Located<SaturatedTemperature>, Located<TemperatureInterval>)>,
) -> Option<Duty> {
    reader.needs(table, &[&[CAPACITY.name], &[HEAT_REJECTION.name], &[ICE_PER_DAY.name], &[COMPRESSOR]]);
    let capacity = reader.quantity(table, &CAPACITY, &POWERS);
    let compressor_input = reader.quantity(table, &COMPRESSOR_INPUT, &POWERS);
    let heat_rejection = reader.quantity(table, &HEAT_REJECTION, &POWERS);
    let discharge_gas = reader.quantity(table, &DISCHARGE_GAS, &GAS);
    let ice_per_day = reader.parsed(table, &ICE_PER_DAY, &kinds::MASS, read_ice);
    let water = reader.quantity(table, &WATER_KEY, &WATER);
    let states = |key: &Key| at(table, key.name).is_some();
    if clash(reader, table) {
        return None;
    }
    if states(&HEAT_REJECTION) || states(&DISCHARGE_GAS) {
        both(reader, table, &HEAT_REJECTION, &DISCHARGE_GAS);
        let (evaporating, superheat) = evaporator.unzip();
        return Some(Duty::HeatRejection {
            heat_rejection: heat_rejection?,
            discharge_gas: discharge_gas?,
            evaporating,
            superheat,
        });
    }
    if states(&ICE_PER_DAY) || states(&WATER_KEY) {
        both(reader, table, &ICE_PER_DAY, &WATER_KEY);
        let (evaporating, superheat) = evaporator?;
        return Some(Duty::Ice { ice_per_day: ice_per_day?, water: water?, evaporating, superheat });
    }
    if table.has(COMPRESSOR) {
        if matches!(compressor?, CompressorData::IsentropicEfficiency(_)) {
            if !states(&CAPACITY) {
                reader.missing_because(table, &CAPACITY, "; it belongs with `isentropic_efficiency`");
            }
            capacity?;
        }
        let (evaporating, superheat) = evaporator?;
        return Some(Duty::Compressor { capacity, evaporating, superheat });
    }
    if states(&CAPACITY) || states(&COMPRESSOR_INPUT) {
        both(reader, table, &CAPACITY, &COMPRESSOR_INPUT);
        let (evaporating, superheat) = evaporator?;
        return Some(Duty::Capacity {
            capacity: capacity?,
            compressor_input: compressor_input?,
            evaporating,
            superheat,
        });
    }
    reader.fault(Fault::new(
        FaultKind::Missing,
        table.span,
        format!("the load is missing in {}", table.title()),
        WAYS,
    ));
    None
}

/// Tells the first two statements of the load of which only one may stand.
fn clash(reader: &mut Reader<'_>, table: &Table<'_>) -> bool {
    let span = |paths: &[&str]| paths.iter().find_map(|path| Some(at(table, path)?.key_span));
    let found = CLASHES.iter().find_map(|(one, other, message)| Some((span(one)?, span(other)?, *message)));
    let Some((one, other, message)) = found else { return false };
    let (first, second) = if one <= other { (one, other) } else { (other, one) };
    reader.fault(
        Fault::new(FaultKind::Contradiction, second, message, WAYS).also(first, "the other statement"),
    );
    true
}

/// Tells which of two keys that belong together is absent.
fn both(reader: &mut Reader<'_>, table: &Table<'_>, one: &Key, other: &Key) {
    for (key, with) in [(one, other), (other, one)] {
        if !table.has(key.name) {
            let unless = if key.name == COMPRESSOR_INPUT.name {
                ", unless a table `compressor` states its efficiency or its map"
            } else {
                ""
            };
            reader.missing_because(table, key, &format!("; it belongs with `{}`{unless}", with.name));
        }
    }
}

/// A mass of ice a day, whether the day is written or not.
fn read_ice(text: &str) -> Result<Mass, QuantityError> {
    let clean = quantity::plain(text);
    let mass = ["per day", "a day", "/day", "/d", "per 24 h", "/24 h", "/24h"]
        .iter()
        .find_map(|day| clean.strip_suffix(day))
        .unwrap_or(&clean);
    quantity::read_within(mass, &ICE)
}

fn compressor(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<CompressorData> {
    const MAP_KEY: Key = key("map", "\"compressor.csv\"");
    const EFFICIENCY_KEY: Key = key("isentropic_efficiency", "\"62 %\"");
    reader.only(table, COMPRESSOR_KEYS);
    let map = reader.text(table, &MAP_KEY);
    let efficiency = reader.quantity(table, &EFFICIENCY_KEY, &EFFICIENCIES);
    let twice = "the compressor is stated twice, by a map and by its isentropic efficiency";
    reader.one_of_two(table, (&MAP_KEY, &EFFICIENCY_KEY), twice);
    map.map(CompressorData::Map).or(efficiency.map(CompressorData::IsentropicEfficiency))
}
