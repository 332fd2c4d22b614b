//! Work in the field: what tests, evacuation, holding charge, power and water of a set are to be.
//!
//! Every table may be absent: its sheet is then not written. A key that a table leaves out is missed only by what needs it.

use super::diagnose::{FaultKind, Located};
use super::model::Strength;
use super::part::RATINGS;
use super::quantity::{self, PressureReading, QuantityError, Range, kinds};
use super::size::{self, SizeRequest};
use super::table::{Key, Node, Reader, Table, key};
use physics::units::{
    AbsolutePressure, ElectricCurrent, ElectricPotential, Frequency, Length, Mass, Pressure, Ratio,
    ThermodynamicTemperature, Time, Volume, VolumeRate,
    unit::{
        electric_current::ampere, electric_potential::volt, ratio::ratio, time::second,
        volume_rate::cubic_meter_per_second,
    },
};

pub(super) const PRESSURE_TEST_KEYS: &[&str] =
    &["pressure", "air", "hold", "gauge", "reading", "reading_air", "volume", "isolated"];
pub(super) const EVACUATION_KEYS: &[&str] =
    &["pump", "ultimate", "hoses", "from", "target", "rise", "gauge", "air", "water", "break_with_nitrogen"];
pub(super) const HOLDING_KEYS: &[&str] = &["gas", "pressure", "air"];
const CIRCUIT_KEYS: &[&str] = &["motors", "others", "conductor", "length", "nameplate_mca", "nameplate_mop"];
pub(super) const POWER_KEYS: &[&str] = &[
    "voltage",
    "phases",
    "frequency",
    "motors",
    "others",
    "conductor",
    "length",
    "nameplate_mca",
    "nameplate_mop",
    "fan",
];
pub(super) const WATER_SUPPLY_KEYS: &[&str] = &[
    "main",
    "flow",
    "temperature",
    "tube",
    "length",
    "rise",
    "filter",
    "backflow",
    "reducing_valve",
    "window",
    "drain",
];
const DRAIN_KEYS: &[&str] = &["bore", "slope", "flow"];
/// Parts of every set, beside those that its ratings name.
const PARTS: [&str; 3] = ["head", "condenser", "receiver"];

const AIR: Range =
    Range { least: 213.15, most: 353.15, says: "between -60 °C and 80 °C (-76 °F and 176 °F)" };
const HOLDS: Range = Range { least: 60.0, most: 2.6e6, says: "between 1 min and 30 d" };
const GAUGE_STEPS: Range = Range { least: 1.0, most: 1e5, says: "between 1 Pa and 100 kPa (15 psi)" };
const VOLUMES: Range = Range { least: 1e-5, most: 10.0, says: "between 10 mL and 10 m3 (350 ft3)" };
const PUMPS: Range = Range { least: 1e-4, most: 1.0, says: "between 0.1 L/s and 1 m3/s (0.2 and 2,100 cfm)" };
const VACUUMS: Range =
    Range { least: 0.1, most: 12_000.0, says: "between 1 micron and 90,000 micron (12 kPa)" };
const HOSE_BORES: Range = Range { least: 1e-3, most: 0.1, says: "between 1 mm and 100 mm (3.9 in)" };
const HOSE_LENGTHS: Range = Range { least: 0.05, most: 100.0, says: "between 5 cm and 100 m (328 ft)" };
const RISE_TIMES: Range = Range { least: 0.0, most: 604_800.0, says: "between 0 and 7 d" };
const WATER_MASSES: Range = Range { least: 1e-6, most: 10.0, says: "between 1 mg and 10 kg (22 lb)" };
const HOLDING: Range = Range { least: 1e3, most: 9e5, says: "between 1 kPa and 900 kPa (0.1 and 130 psi)" };
const VOLTAGES: Range = Range { least: 12.0, most: 1000.0, says: "between 12 V and 1,000 V" };
const CURRENTS: Range = Range { least: 0.01, most: 1000.0, says: "between 0.01 A and 1,000 A" };
const FREQUENCIES: Range = Range { least: 45.0, most: 65.0, says: "50 or 60 Hz, or near them" };
const CIRCUITS: Range = Range { least: 0.1, most: 1000.0, says: "between 10 cm and 1 km (3,280 ft)" };
const MAINS: Range = Range { least: 0.0, most: 2e6, says: "between 0 and 2 MPa (290 psi)" };
const WATER_FLOWS: Range =
    Range { least: 1e-7, most: 0.01, says: "between 0.006 and 600 L/min (0.002 and 160 gpm)" };
const WATER_TEMPERATURES: Range =
    Range { least: 273.15, most: 323.15, says: "between 0 °C and 50 °C (32 °F and 122 °F)" };
const RISES: Range = Range { least: -200.0, most: 200.0, says: "between -200 m and 200 m (656 ft)" };
const DROPS: Range = Range { least: 0.0, most: 1e6, says: "between 0 and 1 MPa (145 psi)" };
const DRAIN_BORES: Range = Range { least: 0.006, most: 0.3, says: "between 6 mm and 300 mm (12 in)" };
const SLOPES: Range = Range { least: 0.001, most: 0.2, says: "between 0.1 % and 20 %" };
const SECTIONS: Range = Range { least: 0.5, most: 400.0, says: "between 0.5 mm2 and 400 mm2" };

/// What is to be done on the day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FieldWork {
    /// Pressure test with nitrogen.
    pub pressure_test: Option<PressureTest>,
    /// Evacuation.
    pub evacuation: Option<Evacuation>,
    /// Holding charge.
    pub holding: Option<Holding>,
    /// Power.
    pub power: Option<PowerSupply>,
    /// Water and drain.
    pub water_supply: Option<WaterSupply>,
}

/// A pressure test with nitrogen.
#[derive(Clone, Debug, PartialEq)]
pub struct PressureTest {
    /// Pressure at the start, 0.5 to 200 bar.
    pub pressure: Located<PressureReading>,
    /// Air around the tube at the start, -60 °C to 80 °C.
    pub air: Option<Located<ThermodynamicTemperature>>,
    /// Time of the hold, 1 min to 30 d.
    pub hold: Option<Located<Time>>,
    /// Smallest step of the gauge.
    pub gauge: Option<Located<Pressure>>,
    /// Pressure at the end.
    pub reading: Option<Located<PressureReading>>,
    /// Air at the end.
    pub reading_air: Option<Located<ThermodynamicTemperature>>,
    /// Volume of what is tested; that of the lines when not said.
    pub volume: Option<Located<Volume>>,
    /// Parts valved off, by name.
    pub isolated: Vec<Located<String>>,
}

/// An evacuation.
#[derive(Clone, Debug, PartialEq)]
pub struct Evacuation {
    /// Free air displacement of the pump.
    pub pump: Option<Located<VolumeRate>>,
    /// Lowest pressure of the pump.
    pub ultimate: Option<Located<AbsolutePressure>>,
    /// Hoses, each from its own side; at most two.
    pub hoses: Vec<Located<Hose>>,
    /// From where.
    pub from: Located<PumpedFrom>,
    /// Pressure to be reached.
    pub target: Option<Located<AbsolutePressure>>,
    /// Readings after the pump is shut off, in rising time.
    pub rise: Vec<Located<RisePoint>>,
    /// Smallest step of the vacuum gauge.
    pub gauge: Option<Located<AbsolutePressure>>,
    /// Air around the coldest spot of the lines.
    pub air: Option<Located<ThermodynamicTemperature>>,
    /// Water supposed in the lines.
    pub water: Option<Located<Mass>>,
    /// How often the vacuum is broken with nitrogen, 1 to 5.
    pub breaks: Option<Located<u32>>,
}

/// A hose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hose {
    /// Bore.
    pub bore: Length,
    /// Length.
    pub length: Length,
}

/// From where lines are pumped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum PumpedFrom {
    Head,
    Condenser,
    Both,
}

/// One reading of a rise test.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RisePoint {
    /// Since the pump was shut off.
    pub time: Time,
    /// Pressure.
    pub pressure: AbsolutePressure,
}

/// A holding charge.
#[derive(Clone, Debug, PartialEq)]
pub struct Holding {
    /// Of what.
    pub gas: Located<HoldingGas>,
    /// Its pressure.
    pub pressure: Located<PressureReading>,
    /// Air around the lines.
    pub air: Option<Located<ThermodynamicTemperature>>,
}

/// What lines are left with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum HoldingGas {
    Nitrogen,
    Refrigerant,
}

/// Power of a set.
#[derive(Clone, Debug, PartialEq)]
pub struct PowerSupply {
    /// Voltage between two conductors.
    pub voltage: Option<Located<ElectricPotential>>,
    /// 1 or 3 phases; 1 when not said.
    pub phases: Option<Located<u32>>,
    /// Frequency.
    pub frequency: Option<Located<Frequency>>,
    /// Circuit of the head.
    pub head: Circuit,
    /// Circuit of the condenser's fans.
    pub fan: Option<Circuit>,
}

/// One circuit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Circuit {
    /// Motors by name, each with its full-load or rated-load current.
    pub motors: Vec<Located<(String, ElectricCurrent)>>,
    /// Other loads.
    pub others: Vec<Located<(String, ElectricCurrent)>>,
    /// Conductor.
    pub conductor: Option<Located<Conductor>>,
    /// Length one way.
    pub length: Option<Located<Length>>,
    /// Minimum circuit ampacity of the nameplate.
    pub nameplate_mca: Option<Located<ElectricCurrent>>,
    /// Maximum overcurrent protection of the nameplate.
    pub nameplate_mop: Option<Located<ElectricCurrent>>,
}

/// Size of a copper conductor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Conductor {
    /// American wire gauge, 18 to 1.
    Gauge(u32),
    /// Cross-section, mm².
    SectionMm2(f64),
}

/// Water to a head, and its drain.
#[derive(Clone, Debug, PartialEq)]
pub struct WaterSupply {
    /// Pressure of the main where it is measured.
    pub main: Option<Located<PressureReading>>,
    /// Flow of the fill valve.
    pub flow: Option<Located<VolumeRate>>,
    /// Temperature of the water; left out, that of the water that ice is made of.
    pub temperature: Option<Located<ThermodynamicTemperature>>,
    /// Supply tube.
    pub tube: Option<Located<SizeRequest>>,
    /// Its length, fittings as tube.
    pub length: Option<Located<Length>>,
    /// Height of the head above where the main is measured.
    pub rise: Option<Located<Length>>,
    /// Drop of the filter, dirty, at that flow.
    pub filter: Option<Located<Pressure>>,
    /// Drop of the backflow device at that flow.
    pub backflow: Option<Located<Pressure>>,
    /// Setting of the reducing valve.
    pub reducing_valve: Option<Located<PressureReading>>,
    /// Least and greatest pressure at the head.
    pub window: Option<Located<(PressureReading, PressureReading)>>,
    /// Drain.
    pub drain: Option<Drain>,
}

/// A drain.
#[derive(Clone, Debug, PartialEq)]
pub struct Drain {
    /// Bore.
    pub bore: Option<Located<Length>>,
    /// Slope.
    pub slope: Option<Located<Ratio>>,
    /// Flow.
    pub flow: Option<Located<VolumeRate>>,
}

/// What a set that copies another takes over: how it is to be tested, never what was read on the other.
pub(super) fn planned<'t>(set: &Table<'t>) -> Table<'t> {
    const READ: [(&str, &[&str]); 2] =
        [("pressure_test", &["reading", "reading_air"]), ("evacuation", &["rise"])];
    let mut planned = set.clone();
    for entry in &mut planned.entries {
        if let Some((_, read)) = READ.iter().find(|(table, _)| *table == entry.key)
            && let Node::Table(table) = &mut entry.node
        {
            table.entries.retain(|entry| !read.contains(&entry.key));
        }
    }
    planned
}

/// All tables of the field; `None` where a key that a table can not do without could not be read.
pub(super) fn work(reader: &mut Reader<'_>, set: &Table<'_>, strength: &Strength) -> Option<FieldWork> {
    let pressure_test = optional(set, "pressure_test", |_| {
        let table = reader.table(set, "pressure_test")?;
        pressure_test(reader, table, strength)
    });
    let evacuation = optional(set, "evacuation", |_| {
        let table = reader.table(set, "evacuation")?;
        evacuation(reader, table)
    });
    let holding = optional(set, "holding", |_| {
        let table = reader.table(set, "holding")?;
        holding(reader, table)
    });
    let power = reader.table(set, "power").map(|table| power(reader, table));
    let water_supply = reader.table(set, "water_supply").map(|table| water_supply(reader, table));
    Some(FieldWork {
        pressure_test: pressure_test?,
        evacuation: evacuation?,
        holding: holding?,
        power,
        water_supply,
    })
}

/// Outer `None` where a table is there and could not be read.
fn optional<T>(set: &Table<'_>, name: &str, read: impl FnOnce(&Table<'_>) -> Option<T>) -> Option<Option<T>> {
    if set.has(name) { read(set).map(Some) } else { Some(None) }
}

fn reading(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    key: &Key,
    range: &Range,
) -> Option<Located<PressureReading>> {
    reader.parsed(table, key, &kinds::GAUGE_PRESSURE, |text| quantity::read_pressure_within(text, range))
}

fn pressure_test(reader: &mut Reader<'_>, table: &Table<'_>, strength: &Strength) -> Option<PressureTest> {
    const PRESSURE: Key = key("pressure", "\"300 psig\"");
    const ISOLATED: Key = key("isolated", "[\"head\"]");
    reader.only(table, PRESSURE_TEST_KEYS);
    let pressure = reading(reader, table, &PRESSURE, &RATINGS);
    let pressure = reader.need(table, &PRESSURE, pressure);
    let isolated = reader.list(table, &ISOLATED);
    let rated = strength.ratings.iter().map(|(part, _)| part.value.as_str());
    let known: Vec<&str> = PARTS.into_iter().chain(["relief"]).chain(rated).collect();
    for part in &isolated {
        if !known.contains(&part.value.as_str()) {
            let all = quantity::alternatives(known.iter().map(|name| (*name).to_owned()));
            reader.unknown_name(
                ("isolated", part.span),
                "part",
                &part.value,
                known.iter().copied(),
                format!("write {all}, or give the part a rating in [set.NAME.strength]"),
            );
        }
    }
    Some(PressureTest {
        pressure: pressure?,
        air: reader.quantity(table, &key("air", "\"70 °F\""), &AIR),
        hold: duration(reader, table, &key("hold", "\"24 h\""), &HOLDS),
        gauge: reader.quantity(table, &key("gauge", "\"2 psi\""), &GAUGE_STEPS),
        reading: reading(reader, table, &key("reading", "\"296 psig\""), &RATINGS),
        reading_air: reader.quantity(table, &key("reading_air", "\"62 °F\""), &AIR),
        volume: reader.quantity(table, &key("volume", "\"3 L\""), &VOLUMES),
        isolated,
    })
}

fn duration(reader: &mut Reader<'_>, table: &Table<'_>, key: &Key, range: &Range) -> Option<Located<Time>> {
    reader.parsed(table, key, &kinds::DURATION, |text| {
        quantity::read_kind(text, &kinds::DURATION, range).map(Time::new::<second>)
    })
}

fn vacuum(reader: &mut Reader<'_>, table: &Table<'_>, key: &Key) -> Option<Located<AbsolutePressure>> {
    reader.parsed(table, key, &kinds::VACUUM, read_vacuum)
}

fn read_vacuum(text: &str) -> Result<AbsolutePressure, QuantityError> {
    quantity::read_kind(text, &kinds::VACUUM, &VACUUMS).map(AbsolutePressure::from_pascal)
}

fn evacuation(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<Evacuation> {
    const HOSES: Key = key("hoses", "[\"3/8 in x 3 ft\"]");
    const FROM: Key = key("from", "\"both\"");
    const RISE: Key = key("rise", "[\"0 min 450 micron\", \"5 min 700 micron\", \"10 min 820 micron\"]");
    reader.only(table, EVACUATION_KEYS);
    let hoses = reader.list_of(table, &HOSES, |reader, text| {
        read_hose(&text.value).map_err(|error| reader.quantity_fault(HOSES.name, text.span, &error)).ok()
    });
    let sides =
        [("head", PumpedFrom::Head), ("condenser", PumpedFrom::Condenser), ("both", PumpedFrom::Both)];
    let from = reader.one_of(table, &FROM, &sides);
    let from = reader.need(table, &FROM, from)?;
    let wanted = if from.value == PumpedFrom::Both { 2 } else { 1 };
    let listed = table.listed(HOSES.name);
    if let Some(entry) = table.entry(HOSES.name).filter(|_| listed != wanted) {
        let help = match wanted {
            2 => "write two hoses, or `from = \"head\"` with one".to_owned(),
            _ => "write one hose, or `from = \"both\"` with two".to_owned(),
        };
        let message = format!(
            "{listed} hoses do not go with `from` = {}: each side has its own hose",
            wanted_side(from.value)
        );
        reader.value_fault(FaultKind::Contradiction, HOSES.name, entry.span, message, help);
    }
    let rise = reader.list_of(table, &RISE, |reader, text| {
        read_rise(&text.value).map_err(|error| reader.quantity_fault(RISE.name, text.span, &error)).ok()
    });
    for pair in rise.windows(2) {
        if pair[1].value.time <= pair[0].value.time {
            reader.value_fault(
                FaultKind::Contradiction,
                RISE.name,
                pair[1].span,
                "this reading is not later than the one before",
                format!("list the readings as they were taken: `{} = {}`", RISE.name, RISE.example),
            );
        }
    }
    Some(Evacuation {
        pump: reader.quantity(table, &key("pump", "\"6 cfm\""), &PUMPS),
        ultimate: vacuum(reader, table, &key("ultimate", "\"50 micron\"")),
        hoses,
        from,
        target: vacuum(reader, table, &key("target", "\"500 micron\"")),
        rise,
        gauge: vacuum(reader, table, &key("gauge", "\"10 micron\"")),
        air: reader.quantity(table, &key("air", "\"70 °F\""), &AIR),
        water: reader.quantity(table, &key("water", "\"5 g\""), &WATER_MASSES),
        breaks: reader.count(table, &key("break_with_nitrogen", "2"), (1, 5)),
    })
}

fn wanted_side(from: PumpedFrom) -> &'static str {
    match from {
        PumpedFrom::Head => "head",
        PumpedFrom::Condenser => "condenser",
        PumpedFrom::Both => "both",
    }
}

/// `3/8 in x 3 ft`: bore and length.
fn read_hose(text: &str) -> Result<Hose, QuantityError> {
    let clean = quantity::plain(text);
    let Some((bore, length)) = clean.split_once(" x ") else {
        return Err(QuantityError::Malformed {
            text: clean,
            why: "a hose is its bore and its length, ` x ` between them",
            offer: Some("3/8 in x 3 ft".into()),
        });
    };
    let bore = quantity::read_within(bore, &HOSE_BORES)?;
    Ok(Hose { bore, length: quantity::read_within(length, &HOSE_LENGTHS)? })
}

/// `5 min 700 micron`: time since the pump was shut off, and pressure.
fn read_rise(text: &str) -> Result<RisePoint, QuantityError> {
    let clean = quantity::plain(text);
    // The time is a number and a unit; what is left is the pressure.
    let ends = clean.match_indices(' ').map(|(at, _)| at);
    let split = ends.map(|at| clean.split_at(at)).find_map(|(time, pressure)| {
        Some((quantity::read_kind(time, &kinds::DURATION, &RISE_TIMES).ok()?, pressure))
    });
    let Some((time_s, pressure)) = split else {
        return Err(QuantityError::Malformed {
            text: clean,
            why: "a reading is a time and a pressure",
            offer: Some("5 min 700 micron".into()),
        });
    };
    Ok(RisePoint { time: Time::new::<second>(time_s), pressure: read_vacuum(pressure)? })
}

fn holding(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<Holding> {
    const GAS: Key = key("gas", "\"nitrogen\"");
    const PRESSURE: Key = key("pressure", "\"20 psig\"");
    reader.only(table, HOLDING_KEYS);
    let gases = [("nitrogen", HoldingGas::Nitrogen), ("refrigerant", HoldingGas::Refrigerant)];
    let gas = reader.one_of(table, &GAS, &gases);
    let gas = reader.need(table, &GAS, gas);
    let pressure = reading(reader, table, &PRESSURE, &HOLDING);
    let pressure = reader.need(table, &PRESSURE, pressure);
    let air = reader.quantity(table, &key("air", "\"70 °F\""), &AIR);
    Some(Holding { gas: gas?, pressure: pressure?, air })
}

fn power(reader: &mut Reader<'_>, table: &Table<'_>) -> PowerSupply {
    const PHASES: Key = key("phases", "1");
    reader.only(table, POWER_KEYS);
    let phases = reader.count(table, &PHASES, (1, 3));
    if let Some(two) = phases.filter(|phases| phases.value == 2) {
        reader.value_fault(
            FaultKind::Value,
            PHASES.name,
            two.span,
            "two conductors of a supply carry one phase between them",
            "write `phases = 1`, or `phases = 3`",
        );
    }
    let fan = reader.table(table, "fan").map(|fan| {
        reader.only(fan, CIRCUIT_KEYS);
        circuit(reader, fan)
    });
    PowerSupply {
        voltage: reader.parsed(table, &key("voltage", "\"208 V\""), &kinds::VOLTAGE, |text| {
            quantity::read_kind(text, &kinds::VOLTAGE, &VOLTAGES).map(ElectricPotential::new::<volt>)
        }),
        phases,
        frequency: reader.quantity(table, &key("frequency", "\"60 Hz\""), &FREQUENCIES),
        head: circuit(reader, table),
        fan,
    }
}

fn circuit(reader: &mut Reader<'_>, table: &Table<'_>) -> Circuit {
    const MOTORS: Key = key("motors", "[\"compressor 9.8 A\", \"pump 0.8 A\"]");
    const OTHERS: Key = key("others", "[\"controls 1.2 A\"]");
    let mut loads = |key: &Key| {
        reader.list_of(table, key, |reader, text| {
            read_load(&text.value).map_err(|error| reader.quantity_fault(key.name, text.span, &error)).ok()
        })
    };
    let (motors, others) = (loads(&MOTORS), loads(&OTHERS));
    Circuit {
        motors,
        others,
        conductor: reader.meant(table, &key("conductor", "\"12 AWG\""), read_conductor),
        length: reader.quantity(table, &key("length", "\"60 ft\""), &CIRCUITS),
        nameplate_mca: current(reader, table, &key("nameplate_mca", "\"16 A\"")),
        nameplate_mop: current(reader, table, &key("nameplate_mop", "\"25 A\"")),
    }
}

fn current(reader: &mut Reader<'_>, table: &Table<'_>, key: &Key) -> Option<Located<ElectricCurrent>> {
    reader.parsed(table, key, &kinds::CURRENT, read_current)
}

fn read_current(text: &str) -> Result<ElectricCurrent, QuantityError> {
    quantity::read_kind(text, &kinds::CURRENT, &CURRENTS).map(ElectricCurrent::new::<ampere>)
}

/// `compressor 9.8 A`: a name and a current.
fn read_load(text: &str) -> Result<(String, ElectricCurrent), QuantityError> {
    let clean = quantity::plain(text);
    // A name may hold a digit, `fan 2 1.9 A`: the current is the shortest end that is one.
    let starts = clean.match_indices(' ').map(|(at, _)| at);
    let named = starts
        .rev()
        .map(|at| clean.split_at(at))
        .find(|(_, current)| current.trim_start().starts_with(|c: char| c.is_ascii_digit() || c == '.'));
    match named.filter(|(name, _)| !name.trim().is_empty()) {
        Some((name, current)) => Ok((name.trim().to_owned(), read_current(current)?)),
        None => Err(QuantityError::Malformed {
            text: clean,
            why: "a load is its name and its current",
            offer: Some("compressor 9.8 A".into()),
        }),
    }
}

/// `12 AWG`, `#12`, `2.5 mm2`.
fn read_conductor(text: &str) -> Result<Conductor, QuantityError> {
    let clean = quantity::plain(text);
    let lower = clean.to_ascii_lowercase();
    let gauge = lower
        .strip_suffix("awg")
        .or_else(|| lower.strip_prefix("awg"))
        .or_else(|| lower.strip_prefix('#'))
        .map(|number| number.trim().trim_start_matches('#').parse::<u32>());
    match gauge {
        Some(Ok(number)) if (1..=18).contains(&number) => Ok(Conductor::Gauge(number)),
        Some(_) => Err(QuantityError::Malformed {
            text: clean,
            why: "a gauge from 18 AWG to 1 AWG is wanted",
            offer: Some("12 AWG".into()),
        }),
        None => quantity::read_kind(&clean, &kinds::SECTION, &SECTIONS).map(Conductor::SectionMm2),
    }
}

fn water_supply(reader: &mut Reader<'_>, table: &Table<'_>) -> WaterSupply {
    const TUBE: Key = key("tube", "\"3/8 in OD\"");
    reader.only(table, WATER_SUPPLY_KEYS);
    let tube = reader.text(table, &TUBE).and_then(|text| match size::read(&text.value) {
        Ok(size) => Some(Located { value: size, span: text.span }),
        Err(error) => {
            reader.size_fault(TUBE.name, text.span, &error);
            None
        }
    });
    let drain = reader.table(table, "drain").map(|drain| {
        reader.only(drain, DRAIN_KEYS);
        Drain {
            bore: reader.quantity(drain, &key("bore", "\"3/4 in\""), &DRAIN_BORES),
            slope: reader.parsed(drain, &key("slope", "\"1/4 in/ft\""), &kinds::SLOPE, |text| {
                quantity::read_kind(text, &kinds::SLOPE, &SLOPES).map(Ratio::new::<ratio>)
            }),
            flow: water_flow(reader, drain, &key("flow", "\"2 gpm\"")),
        }
    });
    WaterSupply {
        main: reading(reader, table, &key("main", "\"55 psig\""), &MAINS),
        flow: water_flow(reader, table, &key("flow", "\"1.2 gpm\"")),
        temperature: reader.quantity(table, &key("temperature", "\"50 °F\""), &WATER_TEMPERATURES),
        tube,
        length: reader.quantity(table, &key("length", "\"40 ft\""), &CIRCUITS),
        rise: reader.quantity(table, &key("rise", "\"6 ft\""), &RISES),
        filter: reader.quantity(table, &key("filter", "\"5 psi\""), &DROPS),
        backflow: reader.quantity(table, &key("backflow", "\"3 psi\""), &DROPS),
        reducing_valve: reading(reader, table, &key("reducing_valve", "\"60 psig\""), &MAINS),
        window: reader.parsed(
            table,
            &key("window", "\"10 psig to 80 psig\""),
            &kinds::GAUGE_PRESSURE,
            read_window,
        ),
        drain,
    }
}

fn water_flow(reader: &mut Reader<'_>, table: &Table<'_>, key: &Key) -> Option<Located<VolumeRate>> {
    reader.parsed(table, key, &kinds::WATER_FLOW, |text| {
        quantity::read_kind(text, &kinds::WATER_FLOW, &WATER_FLOWS)
            .map(VolumeRate::new::<cubic_meter_per_second>)
    })
}

/// `10 psig to 80 psig`: least and greatest pressure.
fn read_window(text: &str) -> Result<(PressureReading, PressureReading), QuantityError> {
    let clean = quantity::plain(text);
    let Some((least, most)) = clean.split_once(" to ") else {
        return Err(QuantityError::Malformed {
            text: clean,
            why: "the window of a head is its least and its greatest pressure",
            offer: Some("10 psig to 80 psig".into()),
        });
    };
    let pressures =
        (quantity::read_pressure_within(least, &MAINS)?, quantity::read_pressure_within(most, &MAINS)?);
    let rises = match pressures {
        (PressureReading::Gauge(least), PressureReading::Gauge(most)) => least < most,
        (PressureReading::Absolute(least), PressureReading::Absolute(most)) => least < most,
        _ => false,
    };
    if rises {
        return Ok(pressures);
    }
    Err(QuantityError::Malformed {
        text: clean,
        why: "the greatest pressure does not lie above the least, both gauge or both absolute",
        offer: Some("10 psig to 80 psig".into()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::{self, STARTER};
    use physics::units::unit::{length::foot, time::minute};

    const MICRON_PA: f64 = 101_325.0 / 760_000.0;

    #[test]
    fn a_vacuum_is_read_in_three_units_and_not_in_inches() {
        for text in ["500 micron", "66.661 Pa", "0.66661 mbar", "0.5 Torr", "500 mTorr"] {
            let pascal = read_vacuum(text).unwrap().pascal();
            approx::assert_relative_eq!(pascal, 500.0 * MICRON_PA, max_relative = 1e-5);
        }
        let told = read_vacuum("29.9 inHg").unwrap_err();
        assert!(told.to_string().contains("25,400 micron"), "{told}");
        assert!(told.help().contains("500 micron"));
    }

    #[test]
    fn hoses_readings_loads_and_conductors_are_two_things_each() {
        let hose = read_hose("3/8 in x 3 ft").unwrap();
        approx::assert_relative_eq!(hose.length.get::<foot>(), 3.0, max_relative = 1e-12);
        assert!(read_hose("3/8 in").is_err() && read_hose("3 ft x 3/8 in").is_err());
        let point = read_rise("5 min 700 micron").unwrap();
        approx::assert_relative_eq!(point.time.get::<minute>(), 5.0, max_relative = 1e-12);
        approx::assert_relative_eq!(point.pressure.pascal(), 700.0 * MICRON_PA, max_relative = 1e-12);
        assert!(read_rise("700 micron").is_err() && read_rise("5 min").is_err());
        let (name, current) = read_load("fan 2 1.9 A").unwrap();
        assert_eq!((name.as_str(), current.get::<ampere>()), ("fan 2", 1.9));
        assert!(read_load("1.9 A").is_err() && read_load("fan").is_err() && read_load("fan 1.9 V").is_err());
        for text in ["12 AWG", "#12", "12awg", "AWG 12"] {
            assert_eq!(read_conductor(text), Ok(Conductor::Gauge(12)), "{text}");
        }
        assert_eq!(read_conductor("2.5 mm²"), Ok(Conductor::SectionMm2(2.5)));
        assert!(read_conductor("40 AWG").is_err() && read_conductor("12").is_err());
        assert!(read_window("80 psig to 10 psig").is_err() && read_window("10 psig").is_err());
    }

    #[test]
    fn a_set_like_another_copies_the_plan_of_its_tests_and_no_reading() {
        let read = STARTER
            .replace("# reading = ", "reading = ")
            .replace("# reading_air = ", "reading_air = ")
            .replace("# rise = [", "rise = [");
        let text = format!(
            "{read}\n[set.second]\nlike = \"ice-room\"\n[set.second.evacuation]\ntarget = \"400 micron\"\n"
        );
        let job = job::read("a.toml", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"));
        let [own, copy] = [0, 1].map(|index| &job.sets[index].field);
        let [own_test, copied_test] = [own, copy].map(|work| work.pressure_test.as_ref().unwrap());
        assert!(
            own_test.reading.is_some() && copied_test.reading.is_none() && copied_test.reading_air.is_none()
        );
        assert_eq!(own_test.pressure.value, copied_test.pressure.value);
        let [own_rise, copied_rise] = [own, copy].map(|work| work.evacuation.as_ref().unwrap().rise.len());
        assert!(own_rise > 0 && copied_rise == 0);
    }
}
