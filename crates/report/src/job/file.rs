//! The job file: TOML in, a checked [`Job`] or all faults out.

use super::across::{self, Facts};
use super::asked::{Notes, Wanted};
use super::attached::Attached;
use super::diagnose::{Fault, FaultKind, Faults, Located, Source, Span};
use super::model::*;
use super::quantity::{self, QuantityError, Range, kinds};
use super::route::{self, INDOORS, Leg, Route};
use super::table::{Entry, Key, Node, Reader, Table, key};
use super::{budget, condenser, field, layout, load, part, plate, roof, size, syntax};
use crate::figure::Units;
use physics::units::{Length, Ratio, TemperatureInterval, ThermalConductivity, ThermodynamicTemperature};
use std::sync::Arc;
use toml::de::{DeTable, DeValue};

/// Reads a job file.
///
/// # Errors
/// All faults of the file at once; see [`FaultKind`].
///
/// ```
/// let job = report::job::read("starter.toml", report::job::STARTER.as_bytes()).unwrap();
/// assert_eq!(job.sets.len(), 1);
/// let faults = report::job::read("empty.toml", b"").unwrap_err();
/// assert!(faults.plain().starts_with("empty.toml:1:1: "));
/// ```
pub fn read(file_name: &str, bytes: &[u8]) -> Result<Job, Faults> {
    let (text, bad_encoding) = syntax::decode(bytes);
    let source = Arc::new(Source { name: file_name.to_owned(), text });
    if let Some(fault) = bad_encoding {
        return Err(Faults::one(source, fault));
    }
    if source.text.trim().is_empty() {
        let fault = Fault::new(
            FaultKind::Missing,
            Span { start: 0, end: 0 },
            "the file is empty",
            "`lineset new` writes a job to start from",
        );
        return Err(Faults::one(source, fault));
    }
    let (tree, errors) = DeTable::parse_recoverable(&source.text);
    let broken = syntax::faults(&source, &errors);
    let root = Table::new(String::new(), Span { start: 0, end: 0 }, tree.get_ref());
    let mut reader = Reader::new(&source, HOMES);
    let job = job(&mut reader, &root, &source);
    let mut faults = reader.faults;
    if !broken.is_empty() {
        consequences_out(&source, &broken, &mut faults);
        faults.extend(broken);
    }
    match (job, Faults::new(Arc::clone(&source), faults)) {
        (Some(job), None) => Ok(job),
        (_, Some(faults)) => Err(faults),
        // Not reached: whoever gives no value tells why. Should that ever fail, the user still gets a message.
        (None, None) => Err(Faults::one(
            source,
            Fault::new(
                FaultKind::Value,
                Span { start: 0, end: 0 },
                "the job could not be read",
                "compare it with the output of `lineset new`",
            ),
        )),
    }
}

/// What the reader asks a text for, faulty or not.
pub(super) fn asked(text: &str) -> Notes {
    let source = Arc::new(Source { name: String::new(), text: text.to_owned() });
    let (tree, _) = DeTable::parse_recoverable(&source.text);
    let root = Table::new(String::new(), Span { start: 0, end: 0 }, tree.get_ref());
    let mut reader = Reader::new(&source, HOMES);
    reader.notes = Some(Notes::default());
    job(&mut reader, &root, &source);
    reader.notes.unwrap_or_default()
}

/// Takes out what may only follow from broken syntax: whatever is said of the same lines, and what the rest of the
/// file can only be judged by when it is whole.
fn consequences_out(source: &Source, broken: &[Fault], faults: &mut Vec<Fault>) {
    let line = |span: Span| source.position(span.start).0;
    let lines: Vec<usize> = broken.iter().map(|fault| line(fault.at.span)).collect();
    let header_broken = lines.iter().any(|number| {
        source.text.lines().nth(number - 1).is_some_and(|text| text.trim_start().starts_with('['))
    });
    let swallowed = broken
        .iter()
        .find(|fault| fault.message == syntax::OPEN_LIST)
        .map_or(usize::MAX, |fault| fault.at.span.start);
    faults.retain(|fault| {
        let needs_the_whole = matches!(
            fault.kind,
            FaultKind::Missing
                | FaultKind::Contradiction
                | FaultKind::Reference
                | FaultKind::Confirm
                | FaultKind::Format
        );
        let under_a_broken_header = header_broken && matches!(fault.kind, FaultKind::Key | FaultKind::Value);
        fault.at.span.start < swallowed
            && !needs_the_whole
            && !under_a_broken_header
            && !lines.contains(&line(fault.at.span))
    });
}

pub(super) const ALTITUDES: Range =
    Range { least: -500.0, most: 5000.0, says: "between -500 m and 5,000 m (-1,640 ft and 16,400 ft)" };
pub(super) const AIR: Range =
    Range { least: 213.15, most: 353.15, says: "between -60 °C and 80 °C (-76 °F and 176 °F)" };
const SATURATION: Range =
    Range { least: 173.15, most: 423.15, says: "between -100 °C and 150 °C (-148 °F and 302 °F)" };
pub(super) const POWERS: Range =
    Range { least: 50.0, most: 1e6, says: "between 50 W and 1,000 kW (171 Btu/h and 284 tons)" };
const ROOF_ALLOWANCES: Range = Range { least: 0.0, most: 20.0, says: "between 0 and 20 K (36 °F)" };
pub(super) const SUPERHEATS: Range = Range { least: 0.0, most: 60.0, says: "between 0 and 60 K (108 °F)" };
const SUBCOOLINGS: Range = Range { least: 0.0, most: 50.0, says: "between 0 and 50 K (90 °F)" };
const LEAST_LOADS: Range = Range { least: 0.05, most: 1.0, says: "between 5 % and 100 %" };
const PEAK_FLOWS: Range = Range { least: 1.0, most: 5.0, says: "between 1 and 5" };
pub(super) const SHARES: Range = Range { least: 0.0, most: 1.0, says: "between 0 % and 100 %" };
const DIFFERENCES: Range = Range { least: 0.0, most: 3.5e6, says: "between 0 and 35 bar (500 psi)" };
const LIFTS: Range = Range { least: -500.0, most: 500.0, says: "between -500 m and 500 m (1,640 ft)" };
const INSULATIONS: Range = Range { least: 1e-3, most: 0.15, says: "between 1 mm and 150 mm (6 in)" };
const WINDS: Range = Range { least: 0.0, most: 60.0, says: "between 0 and 60 m/s (134 mph)" };
const HUMIDITIES: Range = Range { least: 0.01, most: 1.0, says: "between 1 % and 100 %" };
const GIRTHS: Range = Range { least: 0.05, most: 10.0, says: "between 50 mm and 10 m (2 in and 33 ft)" };
const U_VALUES: Range =
    Range { least: 0.1, most: 20.0, says: "between 0.1 and 20 W/(m2 K) (0.018 and 3.5 Btu/(h ft2 °F))" };
pub(super) const COIL_DROPS: Range = Range { least: 0.0, most: 5e5, says: "between 0 and 5 bar (72 psi)" };
const CONDUCTIVITIES: Range =
    Range { least: 0.01, most: 0.2, says: "between 0.01 and 0.2 W/(m K) (0.07 and 1.4 Btu in/(h ft2 °F))" };
const ANCHORS: Range = Range { least: 0.05, most: 30.0, says: "between 50 mm and 30 m (2 in and 98 ft)" };
const OIL_DENSITIES: Range =
    Range { least: 600.0, most: 1300.0, says: "between 600 and 1,300 kg/m3 (37 and 81 lb/ft3)" };

const ROOT_KEYS: &[&str] =
    &["job", "site", "places", "stock", "limits", "set", "condenser", "layout", "roof", "year", "format"];
const SITE_KEYS: &[&str] = &["altitude", "design_air", "lowest_air", "roof_allowance"];
const PLACE_KEYS: &[&str] = &["air", "sun", "wind", "humidity", "dew_point", "shared", "girth", "u_value"];
const HEAD_PRESSURE_KEYS: &[&str] = &["method", "at", "setting", "opens_at_difference"];
const ROUTE_KEYS: &[&str] = &["legs", "run", "lift", "elbows", "inverted_loop", "foot_trap"];
const LINE_KEYS: &[&str] = &[
    "tube",
    "insulation",
    "insulation_conductivity",
    "finish",
    "joints",
    "first_anchor",
    "parts",
    "fittings",
];
pub(super) const HOMES: &[(&str, &[&str])] = &[
    ("[site]", SITE_KEYS),
    ("[places.NAME]", PLACE_KEYS),
    ("[set.NAME]", SET_KEYS),
    ("[set.NAME.compressor]", load::COMPRESSOR_KEYS),
    ("`head_pressure` of [set.NAME]", HEAD_PRESSURE_KEYS),
    ("[set.NAME.strength]", plate::STRENGTH_KEYS),
    ("[set.NAME.connections]", plate::CONNECTION_KEYS),
    ("[set.NAME.maker]", plate::MAKER_KEYS),
    ("[set.NAME.room]", budget::ROOM_KEYS),
    ("[set.NAME.route]", ROUTE_KEYS),
    ("[set.NAME.line.SERVICE]", LINE_KEYS),
    ("[set.NAME.pressure_test]", field::PRESSURE_TEST_KEYS),
    ("[set.NAME.evacuation]", field::EVACUATION_KEYS),
    ("[set.NAME.holding]", field::HOLDING_KEYS),
    ("[set.NAME.power]", field::POWER_KEYS),
    ("[set.NAME.water_supply]", field::WATER_SUPPLY_KEYS),
    ("[condenser.NAME]", condenser::CONDENSER_KEYS),
    ("[layout.NAME]", layout::LAYOUT_KEYS),
    ("[roof]", roof::ROOF_KEYS),
    ("[year]", roof::YEAR_KEYS),
];

fn job(reader: &mut Reader<'_>, root: &Table<'_>, source: &Arc<Source>) -> Option<Job> {
    reader.only(root, ROOT_KEYS);
    for key in ["format", "job", "site", "set"] {
        reader.needs(root, &[&[key]]);
    }
    format(reader, root);
    let about = about(reader, root);
    let site = site(reader, root);
    let places = places(reader, root);
    let stock = stock(reader, root);
    let limits = reader.table(root, "limits").map(|table| limits(reader, table)).unwrap_or_default();
    let sets = sets(reader, root, &site, &places);
    let condensers = condenser::condensers(reader, root);
    let layouts = layout::layouts(reader, root, &condensers.names, &places);
    let roof = roof::roof(reader, root);
    let year = roof::year(reader, root);
    let (name, units) = about?;
    let site = Site {
        altitude: site.altitude,
        design_air: site.design_air?,
        lowest_air: site.lowest_air,
        roof_allowance: site.roof_allowance,
    };
    Some(Job {
        source: Arc::clone(source),
        name,
        units,
        site,
        places,
        stock,
        limits,
        sets: sets?,
        condensers: condensers.whole?,
        layouts: layouts?,
        roof,
        year: year?,
        attached: Attached::default(),
    })
}

fn format(reader: &mut Reader<'_>, root: &Table<'_>) {
    let help = "write `format = 1` as the first line";
    reader.asks(root, &key("format", "1"), || Wanted::Format);
    let Some(entry) = root.entry("format") else {
        reader.fault(Fault::new(FaultKind::Format, root.span, "the file does not say its format", help));
        return;
    };
    let number = match &entry.node {
        Node::Leaf(DeValue::Integer(number)) => number.as_str().parse::<u64>().ok(),
        _ => None,
    };
    match number {
        Some(1) => {}
        Some(other) => reader.fault(Fault::new(
            FaultKind::Format,
            entry.span,
            format!("format {other} is not known to this version; it reads format 1"),
            "use a newer `lineset`, or write `format = 1`",
        )),
        None => reader.fault(Fault::new(FaultKind::Format, entry.span, "the format is a plain number", help)),
    }
}

fn about(reader: &mut Reader<'_>, root: &Table<'_>) -> Option<(Located<String>, Units)> {
    const NAME: Key = key("name", "\"Harbour ice room\"");
    const UNITS: Key = key("units", "\"us\"");
    if !root.has("job") {
        reader.fault(Fault::new(
            FaultKind::Missing,
            root.span,
            "the table `[job]` is missing",
            "add `[job]` and below it `name = \"Harbour ice room\"`",
        ));
    }
    let table = reader.table(root, "job")?;
    reader.only(table, &["name", "units"]);
    let name = reader.text(table, &NAME);
    let name = reader.need(table, &NAME, name);
    let units = reader.one_of(table, &UNITS, &[("us", Units::Us), ("si", Units::Si)]);
    Some((name?, units.map_or(Units::Us, |units| units.value)))
}

/// The site as far as it could be read.
#[derive(Default)]
struct SiteFacts {
    altitude: Option<Located<Length>>,
    design_air: Option<Located<ThermodynamicTemperature>>,
    lowest_air: Option<Located<ThermodynamicTemperature>>,
    roof_allowance: Option<Located<TemperatureInterval>>,
}

fn site(reader: &mut Reader<'_>, root: &Table<'_>) -> SiteFacts {
    const DESIGN_AIR: Key = key("design_air", "\"95 °F\"");
    if !root.has("site") {
        reader.fault(Fault::new(
            FaultKind::Missing,
            root.span,
            "the table `[site]` is missing",
            "add `[site]` and below it `design_air = \"95 °F\"`",
        ));
    }
    let Some(table) = reader.table(root, "site") else { return SiteFacts::default() };
    reader.only(table, SITE_KEYS);
    let altitude = reader.quantity(table, &key("altitude", "\"160 ft\""), &ALTITUDES);
    let design_air = reader.quantity(table, &DESIGN_AIR, &AIR);
    let design_air = reader.need(table, &DESIGN_AIR, design_air);
    let lowest_air = reader.quantity(table, &key("lowest_air", "\"-10 °F\""), &AIR);
    if let (Some(design), Some(lowest)) = (design_air, lowest_air)
        && lowest.value >= design.value
    {
        reader.fault(
            Fault::new(
                FaultKind::Contradiction,
                lowest.span,
                "the coldest air is not colder than the design air",
                "check the two; a minus sign may be missing",
            )
            .also(design.span, "the design air"),
        );
    }
    let roof_allowance = reader.quantity(table, &key("roof_allowance", "\"9 °F\""), &ROOF_ALLOWANCES);
    SiteFacts { altitude, design_air, lowest_air, roof_allowance }
}

fn places(reader: &mut Reader<'_>, root: &Table<'_>) -> Vec<Place> {
    let Some(all) = reader.table(root, "places") else { return vec![] };
    let mut places = vec![];
    for (name, table) in reader.named(all) {
        reader.only(table, PLACE_KEYS);
        if name.value.contains(' ') {
            reader.value_fault(
                FaultKind::Value,
                &name.value,
                name.span,
                "a place has a name of one word, for the legs",
                "write `machine-room` in place of `machine room`",
            );
        }
        let air = reader.quantity(table, &key("air", "\"130 °F\""), &AIR);
        let sun = reader.flag(table, "sun");
        let wind = reader.quantity(table, &key("wind", "\"10 mph\""), &WINDS);
        let moisture = moisture(reader, table, air);
        let stated = reader.stated_flag(table, "shared");
        let shared = stated.is_some_and(|stated| stated.value);
        let girth = reader.quantity(table, &key("girth", "\"3 ft\""), &GIRTHS);
        let u_value = reader.quantity(table, &key("u_value", "\"0.3 Btu/(h ft2 °F)\""), &U_VALUES);
        for entry in table.entries.iter().filter(|entry| matches!(entry.key, "girth" | "u_value")) {
            // What is no flag has been told; it may mean that the place is shared.
            if !shared && table.has("shared") == stated.is_some() {
                reader.fault(Fault::new(
                    FaultKind::Contradiction,
                    entry.key_span,
                    format!(
                        "`{}` belongs to an enclosure that the lines share; this place is none",
                        entry.key
                    ),
                    format!("add `shared = true` to {}, or leave `{}` out", table.title(), entry.key),
                ));
            }
        }
        places.push(Place { name, air, sun, wind, moisture, shared, girth, u_value });
    }
    places
}

/// Humidity or dew point, one of the two.
fn moisture(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    air: Option<Located<ThermodynamicTemperature>>,
) -> Option<Moisture> {
    let humidity = reader.quantity(table, &key("humidity", "\"60 %\""), &HUMIDITIES);
    let dew_point = reader.quantity(table, &key("dew_point", "\"75 °F\""), &AIR);
    if let (Some(humidity), Some(dew_point)) = (table.entry("humidity"), table.entry("dew_point")) {
        reader.fault(
            Fault::new(
                FaultKind::Contradiction,
                dew_point.key_span,
                "the moisture of the air is stated twice, by `humidity` and by `dew_point`",
                "keep one of the two; each follows from the other and the air",
            )
            .also(humidity.key_span, "the humidity"),
        );
    }
    if let (Some(air), Some(dew_point)) = (air, dew_point)
        && dew_point.value > air.value
    {
        reader.fault(
            Fault::new(
                FaultKind::Contradiction,
                dew_point.span,
                "the dew point is above the temperature of the air",
                "check the two; air at its dew point is saturated, and can hold no more",
            )
            .also(air.span, "the air"),
        );
    }
    humidity.map(Moisture::Humidity).or(dew_point.map(Moisture::DewPoint))
}

fn stock(reader: &mut Reader<'_>, root: &Table<'_>) -> Stock {
    let Some(table) = reader.table(root, "stock") else { return Stock::default() };
    reader.only(table, &["tubes", "leave_out"]);
    let tubes = reader.list(table, &key("tubes", "[\"ASTM B280 coil\"]"));
    let leave_out = reader.list_of(table, &key("leave_out", "[\"5/16 in OD\"]"), |reader, text| {
        size::read(&text.value).map_err(|error| reader.size_fault("leave_out", text.span, &error)).ok()
    });
    Stock { tubes, leave_out }
}

/// Limits by the names that the tables know them by.
fn limits(reader: &mut Reader<'_>, table: &Table<'_>) -> Vec<LimitOverride> {
    let mut limits = vec![];
    for entry in &table.entries {
        let text = match &entry.node {
            Node::Leaf(DeValue::String(text)) => text.to_string(),
            Node::Leaf(DeValue::Integer(_) | DeValue::Float(_) | DeValue::Boolean(_)) => {
                reader.source.written(entry.span).to_owned()
            }
            _ => {
                reader.wrong_type(
                    entry,
                    "a quantity in quotation marks",
                    format!("write `{} = \"1 °F\"`", entry.key),
                );
                continue;
            }
        };
        limits.push(LimitOverride {
            key: Located { value: entry.key.to_owned(), span: entry.key_span },
            text: Located { value: text, span: entry.span },
        });
    }
    limits
}

// ---- sets ----

fn sets(reader: &mut Reader<'_>, root: &Table<'_>, site: &SiteFacts, places: &[Place]) -> Option<Vec<Set>> {
    let all = reader.table(root, "set").map(|table| reader.named(table)).unwrap_or_default();
    if all.is_empty() {
        if !root.has("set")
            || root
                .entry("set")
                .is_some_and(|entry| matches!(&entry.node, Node::Table(table) if table.entries.is_empty()))
        {
            reader.fault(Fault::new(
                FaultKind::Missing,
                root.span,
                "no set is described",
                "add a table `[set.ice-room]`; `lineset new` writes a whole example",
            ));
        }
        return None;
    }
    for (index, (name, _)) in all.iter().enumerate() {
        let like = |other: &str| other.to_lowercase().replace([' ', '_'], "-");
        if let Some((first, _)) =
            all[..index].iter().find(|(first, _)| like(&first.value) == like(&name.value))
        {
            reader.fault(
                Fault::new(
                    FaultKind::Contradiction,
                    name.span,
                    format!("two sets are called `{}` but for case or hyphens", name.value),
                    "give one of them a name that tells them apart on a tag",
                )
                .also(first.span, "the first one"),
            );
        }
    }
    let mut sets = vec![];
    let mut incomplete: Vec<String> = vec![];
    for (name, table) in &all {
        let Some((merged, base)) = copied(reader, &all, name, table) else { continue };
        let before = reader.faults.len();
        let made = set(reader, name.clone(), &merged, site, places);
        // What the copied set lacks is told there, once.
        if base.is_some_and(|base| incomplete.contains(&base)) {
            let told = reader.faults.split_off(before);
            reader.faults.extend(told.into_iter().filter(|fault| fault.kind != FaultKind::Missing));
        }
        match made {
            Some(set) => sets.push(set),
            None => incomplete.push(name.value.clone()),
        }
    }
    (sets.len() == all.len()).then_some(sets)
}

/// The table of a set with the entries of those that it copies (`like`), and the name of the first of them.
fn copied<'t>(
    reader: &mut Reader<'_>,
    all: &[(Located<String>, &Table<'t>)],
    name: &Located<String>,
    table: &Table<'t>,
) -> Option<(Table<'t>, Option<String>)> {
    const LIKE: Key = key("like", "\"ice-room\"");
    let mut merged = table.clone();
    let mut base = None;
    let mut seen = vec![name.value.clone()];
    let mut link = reader.text(table, &LIKE);
    while let Some(like) = link {
        let Some((_, other)) = all.iter().find(|(other, _)| other.value == like.value) else {
            let help = match quantity::nearest(
                &like.value,
                all.iter().map(|(name, _)| name.value.as_str()).filter(|other| *other != name.value),
            ) {
                Some(known) => format!("did you mean `{known}`?"),
                None => "name one of the sets of this file".into(),
            };
            reader.fault(Fault::new(
                FaultKind::Reference,
                like.span,
                format!("like: there is no set `{}`", like.value),
                help,
            ));
            return None;
        };
        if seen.contains(&like.value) {
            let way = seen.iter().chain([&like.value]).map(String::as_str).collect::<Vec<_>>().join(" -> ");
            reader.fault(Fault::new(
                FaultKind::Contradiction,
                like.span,
                format!("like: the sets copy each other in a circle ({way})"),
                "write one of them out in full",
            ));
            return None;
        }
        merge(&mut merged, &field::planned(other));
        base.get_or_insert_with(|| like.value.clone());
        seen.push(like.value.clone());
        // The faults of that entry are told when its own set is read.
        let told = reader.faults.len();
        link = reader.text(other, &LIKE);
        reader.faults.truncate(told);
    }
    Some((merged, base))
}

/// Tables of a set that are stated whole; those of the rest are copied entry by entry.
pub(super) const WHOLE: [&str; 4] = ["route", "room", "compressor", "head_pressure"];

fn merge<'t>(own: &mut Table<'t>, base: &Table<'t>) {
    let inherited: Vec<_> = base
        .entries
        .iter()
        .filter(|entry| entry.key != "like" && !own.has(entry.key))
        .filter(|entry| !load::gives_way(own, base, entry.key))
        .filter(|entry| !budget::gives_way(own, entry.key))
        // A line that is stripped of its insulation has no conductivity left to copy.
        .filter(|entry| {
            entry.key != "insulation_conductivity" || !own.entry("insulation").is_some_and(Entry::says_none)
        })
        .cloned()
        .collect();
    for entry in &mut own.entries {
        if let (false, Node::Table(own), Some(Node::Table(base))) =
            (WHOLE.contains(&entry.key), &mut entry.node, base.entry(entry.key).map(|entry| &entry.node))
        {
            merge(own, base);
        }
    }
    own.entries.extend(inherited);
}

const SET_KEYS: &[&str] = &[
    "like",
    "refrigerant",
    "compressor_at",
    "receiver_at",
    "receiver_volume",
    "receiver_seal",
    "harvest_charge",
    "oil_per_charge",
    "capacity",
    "compressor_input",
    "heat_rejection",
    "discharge_gas",
    "ice_per_day",
    "water",
    "compressor",
    "evaporating",
    "condensing",
    "greatest_condensing",
    "superheat",
    "subcooling",
    "least_load",
    "peak_flow",
    "head_pressure",
    "oil_density",
    "coil_drop",
    "capacity_steps",
    "compressor_speed",
    "cylinders",
    "confirm",
    "strength",
    "connections",
    "maker",
    "room",
    "route",
    "line",
    "pressure_test",
    "evacuation",
    "holding",
    "power",
    "water_supply",
];

fn set(
    reader: &mut Reader<'_>,
    name: Located<String>,
    table: &Table<'_>,
    site: &SiteFacts,
    places: &[Place],
) -> Option<Set> {
    const REFRIGERANT: Key = key("refrigerant", "\"R-449A\"");
    const COMPRESSOR_AT: Key = key("compressor_at", "\"head\"");
    const RECEIVER_AT: Key = key("receiver_at", "\"head\"");
    const CONDENSING: Key = key("condensing", "\"110 °F bubble\"");
    const GREATEST_CONDENSING: Key = key("greatest_condensing", "\"130 °F bubble\"");
    const EVAPORATING: Key = key("evaporating", "\"5 °F dew\"");
    const SUPERHEAT: Key = key("superheat", "\"12 °F\"");
    const SUBCOOLING: Key = key("subcooling", "\"5 °F at condenser outlet\"");
    reader.only(table, SET_KEYS);
    reader.needs(table, &[&["route"]]);
    reader.needs(table, &[&["line"]]);
    let refrigerant = reader.text(table, &REFRIGERANT);
    let refrigerant = reader.need(table, &REFRIGERANT, refrigerant);
    let compressor_at = reader.one_of(
        table,
        &COMPRESSOR_AT,
        &[("head", CompressorAt::Head), ("condenser", CompressorAt::Condenser)],
    );
    let compressor_at = reader.need(table, &COMPRESSOR_AT, compressor_at);
    let receiver_at = reader.one_of(
        table,
        &RECEIVER_AT,
        &[("head", ReceiverAt::Head), ("condenser", ReceiverAt::Condenser), ("none", ReceiverAt::None)],
    );
    let receiver_at = reader.need(table, &RECEIVER_AT, receiver_at);
    let condensing = reader
        .parsed(table, &CONDENSING, &kinds::TEMPERATURE, |text| quantity::read_saturated(text, &SATURATION));
    let condensing = reader.need(table, &CONDENSING, condensing);
    let greatest_condensing = reader.parsed(table, &GREATEST_CONDENSING, &kinds::TEMPERATURE, |text| {
        quantity::read_saturated(text, &SATURATION)
    });
    let evaporating = reader
        .parsed(table, &EVAPORATING, &kinds::TEMPERATURE, |text| quantity::read_saturated(text, &SATURATION));
    let superheat = reader.quantity::<TemperatureInterval>(table, &SUPERHEAT, &SUPERHEATS);
    let subcooling = reader.parsed(table, &SUBCOOLING, &kinds::TEMPERATURE_DIFFERENCE, read_subcooling);
    let subcooling = reader.need(table, &SUBCOOLING, subcooling);
    let least_load = reader.quantity::<Ratio>(table, &key("least_load", "\"60 %\""), &LEAST_LOADS);
    let peak_flow = reader.quantity::<Ratio>(table, &key("peak_flow", "\"1.7\""), &PEAK_FLOWS);
    let oil_density = reader.quantity(table, &key("oil_density", "\"960 kg/m3\""), &OIL_DENSITIES);
    let head_pressure = head_pressure(reader, table);
    let coil_drop = reader.quantity(table, &key("coil_drop", "\"3 psi\""), &COIL_DROPS);
    let capacity_steps = plate::capacity_steps(reader, table);
    let compressor_speed = reader.quantity(table, &key("compressor_speed", "\"1750 rpm\""), &plate::SPEEDS);
    let cylinders = reader.count(table, &key("cylinders", "2"), (1, 16));
    let receiver = budget::receiver(reader, table, receiver_at);
    let oil_per_charge = budget::oil_per_charge(reader, table);
    let strength =
        reader.table(table, "strength").map(|table| plate::strength(reader, table)).unwrap_or_default();
    let connections =
        reader.table(table, "connections").map(|table| plate::connections(reader, table)).unwrap_or_default();
    let maker = reader.table(table, "maker").map(|table| plate::maker(reader, table));
    let room = reader.table(table, "room").and_then(|table| budget::room(reader, table));
    budget::charges(reader, maker.as_ref());
    let route = route(reader, table, places);
    let (lines, lines_whole) = lines(reader, table);
    let field = field::work(reader, table, &strength);
    let confirmed = confirmed(reader, table);

    let cold_side = table.has("capacity") || !table.has("heat_rejection");
    let suction = lines.iter().any(|(line, _)| *line == Service::Suction);
    if cold_side || suction {
        reader.need(table, &EVAPORATING, evaporating);
        reader.need(table, &SUPERHEAT, superheat);
    }
    let load::Stated { duty, compressor } = load::load(reader, table, evaporating, superheat);
    across::check(
        reader,
        &Facts {
            design_air: site.design_air,
            altitude: site.altitude,
            compressor_at,
            receiver_at,
            condensing,
            greatest_condensing,
            evaporating,
            subcooling,
            duty: duty.as_ref(),
            least_load,
            capacity_steps: &capacity_steps,
            head_pressure: head_pressure.as_ref(),
            strength: &strength,
            connections: &connections,
            maker: maker.as_ref(),
            route: route.as_ref(),
            lines: &lines,
            confirmed: &confirmed,
        },
    );
    if suction && (evaporating.is_none() || superheat.is_none()) {
        return None;
    }
    Some(Set {
        name,
        refrigerant: refrigerant?,
        compressor_at: compressor_at?,
        receiver_at: receiver_at?,
        duty: duty?,
        compressor,
        condensing: condensing?,
        greatest_condensing,
        subcooling: subcooling?,
        least_load,
        peak_flow,
        head_pressure: head_pressure?,
        oil_density,
        coil_drop,
        capacity_steps,
        compressor_speed,
        cylinders,
        receiver,
        oil_per_charge,
        strength,
        connections,
        maker,
        room,
        route: route?,
        lines: lines_whole?,
        field: field?,
        confirmed,
    })
}

fn read_subcooling(text: &str) -> Result<Subcooling, QuantityError> {
    let clean = quantity::plain(text);
    let (difference, at) = match clean.split_once(" at ") {
        None => (clean.as_str(), SubcoolingAt::CondenserOutlet),
        Some((difference, place)) => match place.trim().to_lowercase().trim_start_matches("the ") {
            "condenser outlet" | "condenser" => (difference, SubcoolingAt::CondenserOutlet),
            "receiver outlet" | "receiver" => (difference, SubcoolingAt::ReceiverOutlet),
            _ => {
                return Err(QuantityError::Ambiguous {
                    text: clean.clone(),
                    why: "subcooling at which place?",
                    offers: vec![
                        format!("{difference} at condenser outlet"),
                        format!("{difference} at receiver outlet"),
                    ],
                });
            }
        },
    };
    Ok(Subcooling { difference: quantity::read_within(difference, &SUBCOOLINGS)?, at })
}

fn head_pressure(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<HeadPressure> {
    const HEAD_PRESSURE: Key = key("head_pressure", "{ method = \"none\" }");
    const METHOD: Key = key("method", "\"flooding valve\"");
    const AT: Key = key("at", "\"head\"");
    const SETTING: Key = key("setting", "\"70 °F bubble\"");
    reader.need(table, &HEAD_PRESSURE, Some(()));
    let table = reader.table(table, "head_pressure")?;
    reader.only(table, HEAD_PRESSURE_KEYS);
    let method = reader.one_of(
        table,
        &METHOD,
        &[
            ("flooding valve", HeadPressureMethod::FloodingValve),
            ("fan cycling", HeadPressureMethod::FanCycling),
            ("fan speed", HeadPressureMethod::FanSpeed),
            ("none", HeadPressureMethod::None),
        ],
    );
    let method = reader.need(table, &METHOD, method);
    let at = reader.one_of(
        table,
        &AT,
        &[("head", HeadPressureAt::Head), ("condenser", HeadPressureAt::Condenser)],
    );
    let setting =
        reader.parsed(table, &SETTING, &kinds::TEMPERATURE, |text| match quantity::read_pressure(text) {
            Ok(pressure) => Ok(HeadPressureSetting::Pressure(pressure)),
            Err(error @ QuantityError::Ambiguous { .. }) => Err(error),
            Err(_) => quantity::read_saturated(text, &SATURATION).map(HeadPressureSetting::Saturated),
        });
    let opens_at_difference = reader.quantity(table, &key("opens_at_difference", "\"20 psi\""), &DIFFERENCES);
    let method = method?;
    let (wants, allows): (&[&Key], &[&str]) = match method.value {
        HeadPressureMethod::FloodingValve => (&[&AT, &SETTING], &["at", "setting", "opens_at_difference"]),
        HeadPressureMethod::FanCycling | HeadPressureMethod::FanSpeed => (&[&SETTING], &["at", "setting"]),
        HeadPressureMethod::None => (&[], &[]),
    };
    for wanted in wants.iter().filter(|wanted| !table.has(wanted.name)) {
        reader.missing(table, wanted);
    }
    for entry in table.entries.iter().filter(|entry| {
        ["at", "setting", "opens_at_difference"].contains(&entry.key) && !allows.contains(&entry.key)
    }) {
        let written = reader.source.written(method.span);
        let fault = Fault::new(
            FaultKind::Contradiction,
            entry.key_span,
            format!("`{}` has no meaning with the method `{written}`", entry.key),
            format!("leave `{}` out, or write `method = \"flooding valve\"`", entry.key),
        )
        .also(method.span, "the method");
        reader.fault(fault);
    }
    if wants.iter().any(|wanted| !table.has(wanted.name))
        || (method.value == HeadPressureMethod::FloodingValve && at.is_none())
        || (method.value != HeadPressureMethod::None && setting.is_none())
    {
        return None;
    }
    Some(HeadPressure { method, at, setting, opens_at_difference })
}

fn route(reader: &mut Reader<'_>, set: &Table<'_>, places: &[Place]) -> Option<Route> {
    const LEGS: Key = key("legs", "[\"up 14 ft\", \"north 38 ft in attic\"]");
    const RUN: Key = key("run", "\"70 ft\"");
    const LIFT: Key = key("lift", "\"20 ft\"");
    const ELBOWS: Key = key("elbows", "4");
    let Some(table) = reader.table(set, "route") else {
        if !set.has("route") {
            let header = format!("[{}.route]", set.path);
            reader.fault(Fault::new(
                FaultKind::Missing,
                set.span,
                format!("the table `{header}` is missing"),
                format!(
                    "add `{header}` and below it `legs = {}`, or `run`, `lift` and `elbows`",
                    LEGS.example
                ),
            ));
        }
        return None;
    };
    reader.only(table, ROUTE_KEYS);
    reader.needs(table, &[&[LEGS.name], &[RUN.name, LIFT.name, ELBOWS.name]]);
    let legs = reader.list_of(table, &LEGS, |reader, text| leg(reader, LEGS.name, text, places));
    let run = reader.quantity::<Length>(table, &RUN, &route::LENGTHS);
    let lift = reader.quantity::<Length>(table, &LIFT, &LIFTS);
    let elbows = reader.count(table, &ELBOWS, (0, 200));
    let short: Vec<_> = [RUN, LIFT, ELBOWS].iter().filter_map(|key| table.entry(key.name)).collect();
    let inverted_loop = reader.stated_flag(table, "inverted_loop");
    let foot_trap = reader.stated_flag(table, "foot_trap");
    let stated = match (table.entry(LEGS.name), short.first()) {
        (Some(legs), Some(other)) => {
            reader.fault(
                Fault::new(
                    FaultKind::Contradiction,
                    other.key_span,
                    format!("the route is stated twice, by `{}` and by `legs`", other.key),
                    "keep `legs`, which also say the places, or keep `run`, `lift` and `elbows`",
                )
                .also(legs.key_span, "the legs"),
            );
            None
        }
        (Some(entry), None) => {
            let stretched: Vec<_> = legs.iter().filter(|leg| leg.value.stretch).collect();
            if let [first, second, ..] = stretched.as_slice() {
                reader.fault(
                    Fault::new(
                        FaultKind::Contradiction,
                        second.span,
                        "two legs are marked `stretch`; one can grow",
                        "keep the mark at one of them",
                    )
                    .also(first.span, "the first one"),
                );
            }
            let listed = table.listed(LEGS.name);
            if listed == 0 {
                reader.value_fault(
                    FaultKind::Value,
                    "legs",
                    entry.span,
                    "the list is empty",
                    format!("write `legs = {}`", LEGS.example),
                );
            }
            (!legs.is_empty() && legs.len() == listed).then(|| Route::from_legs(legs))
        }
        (None, None) => {
            reader.missing(table, &LEGS);
            None
        }
        (None, Some(_)) => {
            let run = reader.need(table, &RUN, run);
            let lift = reader.need(table, &LIFT, lift);
            let elbows = reader.need(table, &ELBOWS, elbows);
            let (run, lift, elbows) = (run?, lift?, elbows?);
            if lift.value.abs() > run.value {
                reader.fault(
                    Fault::new(
                        FaultKind::Contradiction,
                        lift.span,
                        "the lift is larger than the run, which includes it",
                        "check the two; the run is the whole length of tube, upright parts and all",
                    )
                    .also(run.span, "the run"),
                );
                return None;
            }
            Some(Route::from_run(run, lift, elbows))
        }
    };
    stated.map(|route| Route { inverted_loop, foot_trap, ..route })
}

/// A leg, the place of which must exist.
pub(super) fn leg(
    reader: &mut Reader<'_>,
    key: &str,
    text: &Located<String>,
    places: &[Place],
) -> Option<Leg> {
    let leg = route::read_leg(&text.value).map_err(|error| {
        let kind = match &error {
            route::LegError::Length(QuantityError::OutOfRange { .. }) => FaultKind::Range,
            route::LegError::Length(_) => FaultKind::Quantity,
            _ => FaultKind::Value,
        };
        reader.value_fault(kind, key, text.span, &error, error.help());
    });
    let leg = leg.ok()?;
    if leg.place != INDOORS && !places.iter().any(|place| place.name.value == leg.place) {
        let known = places.iter().map(|place| place.name.value.as_str()).chain([INDOORS]);
        let otherwise =
            format!("add a table `[places.{}]`, or leave the place out for the room of the head", leg.place);
        reader.unknown_name((key, text.span), "place", &leg.place, known, otherwise);
    }
    Some(leg)
}

/// The services that have a table with where it stands, and the lines if all of them could be read.
fn lines(reader: &mut Reader<'_>, set: &Table<'_>) -> (Vec<(Service, Span)>, Option<Vec<Line>>) {
    let table = reader.table(set, "line");
    let present = table.is_some_and(|table| !table.entries.is_empty());
    if !present && (table.is_some() || !set.has("line")) {
        reader.fault(Fault::new(
            FaultKind::Missing,
            set.span,
            format!("no line is described in {}", set.title()),
            format!("add `[{}.line.liquid]` and below it `tube = \"choose\"`", set.path),
        ));
    }
    let Some(table) = table.filter(|_| present) else { return (vec![], None) };
    reader.only(table, &plate::SERVICES);
    let mut services = vec![];
    let mut lines = vec![];
    let mut whole = true;
    for (name, service) in Service::NAMED {
        let Some(entry) = table.entry(name) else { continue };
        services.push((service, entry.key_span));
        match reader.table(table, name).and_then(|table| line(reader, table, service)) {
            Some(line) => lines.push(line),
            None => whole = false,
        }
    }
    (services, (whole && !lines.is_empty()).then_some(lines))
}

fn line(reader: &mut Reader<'_>, table: &Table<'_>, service: Service) -> Option<Line> {
    const TUBE: Key = key("tube", "\"choose\"");
    reader.only(table, LINE_KEYS);
    // A date that is not even quoted reaches here as a date of TOML.
    let tube = match table.entry(TUBE.name) {
        Some(entry)
            if matches!(
                entry.node,
                Node::Leaf(DeValue::Datetime(_) | DeValue::Integer(_) | DeValue::Float(_))
            ) =>
        {
            Some(Located { value: reader.source.written(entry.span).to_owned(), span: entry.span })
        }
        _ => reader.text(table, &TUBE),
    };
    let tube = reader.need(table, &TUBE, tube);
    let tube = tube.and_then(|text| match size::read_tube(&text.value) {
        Ok(tube) => Some(Located { value: tube, span: text.span }),
        Err(error) => {
            reader.size_fault("tube", text.span, &error);
            None
        }
    });
    let insulation = match table.entry("insulation") {
        Some(entry) if entry.says_none() => None,
        _ => reader.quantity::<Length>(table, &key("insulation", "\"1/2 in\""), &INSULATIONS),
    };
    let insulation_conductivity = insulation_conductivity(reader, table);
    let finish = reader.text(table, &key("finish", "\"black elastomer\""));
    let joints = reader.one_of(
        table,
        &key("joints", "\"brazed\""),
        &[("brazed", Joints::Brazed), ("mechanical", Joints::Mechanical)],
    );
    let first_anchor = reader.quantity(table, &key("first_anchor", "\"3 ft\""), &ANCHORS);
    if let Some(entry) = table.entry("first_anchor").filter(|_| service != Service::Discharge) {
        reader.fault(Fault::new(
            FaultKind::Contradiction,
            entry.key_span,
            format!("`first_anchor` belongs to a discharge line; this is a {} line", service.name()),
            "leave it out: the compressor shakes and pulses in the discharge line",
        ));
    }
    let parts = reader.list_of(table, &key("parts", "[\"2 ball valve\"]"), |reader, text| {
        part::read(&text.value)
            .map_err(|error| {
                let kind = match &error {
                    part::PartError::Quantity(QuantityError::OutOfRange { .. }) => FaultKind::Range,
                    part::PartError::Quantity(_) => FaultKind::Quantity,
                    _ => FaultKind::Value,
                };
                reader.value_fault(kind, "parts", text.span, &error, error.help());
            })
            .ok()
    });
    let fittings = reader.one_of(
        table,
        &key("fittings", "\"long elbows\""),
        &[
            ("short elbows", Fittings::ShortElbows),
            ("long elbows", Fittings::LongElbows),
            ("bends", Fittings::Bends),
        ],
    );
    Some(Line {
        service,
        tube: tube?,
        insulation,
        insulation_conductivity,
        finish,
        joints,
        first_anchor,
        parts,
        fittings,
    })
}

/// The conductivity, of a line that has insulation.
fn insulation_conductivity(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
) -> Option<Located<ThermalConductivity>> {
    const CONDUCTIVITY: Key = key("insulation_conductivity", "\"0.27 Btu in/(h ft2 °F)\"");
    let conductivity = reader.quantity(table, &CONDUCTIVITY, &CONDUCTIVITIES);
    let entry = table.entry(CONDUCTIVITY.name)?;
    let bare = table.entry("insulation").filter(|insulation| insulation.says_none());
    if bare.is_some() || !table.has("insulation") {
        let fault = Fault::new(
            FaultKind::Contradiction,
            entry.key_span,
            "a bare line has no insulation whose conductivity could be stated",
            format!("state its thickness, as in `insulation = \"1/2 in\"`, or leave `{}` out", entry.key),
        );
        reader.fault(match bare {
            Some(bare) => fault.also(bare.span, "no insulation"),
            None => fault,
        });
    }
    conductivity
}

/// The keys whose unlikely value the writer confirms.
fn confirmed(reader: &mut Reader<'_>, table: &Table<'_>) -> Vec<String> {
    let listed = reader.list(table, &key("confirm", "[\"run\"]"));
    let mut confirmed = vec![];
    for text in listed {
        if across::CONFIRMABLE.contains(&text.value.as_str()) {
            confirmed.push(text.value);
        } else {
            let all = quantity::alternatives(across::CONFIRMABLE.iter().map(|key| (*key).to_owned()));
            reader.value_fault(
                FaultKind::Value,
                "confirm",
                text.span,
                format_args!("`{}` needs no confirming", text.value),
                format!("write {all}"),
            );
        }
    }
    confirmed
}

#[cfg(test)]
mod tests {
    use super::super::STARTER;
    use super::*;
    use physics::units::unit::{length::foot, linear_mass_density::kilogram_per_meter, power::watt};
    use proptest::prelude::*;

    fn good(text: &str) -> Job {
        read("a.toml", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"))
    }

    fn kinds(text: &str) -> Vec<FaultKind> {
        read("a.toml", text.as_bytes()).unwrap_err().iter().map(|fault| fault.kind).collect()
    }

    #[test]
    fn a_job_keeps_values_and_where_they_were_written() {
        let job = good(STARTER);
        let set = &job.sets[0];
        assert_eq!(job.source.written(set.refrigerant.span), "R-449A");
        assert_eq!(job.source.written(set.condensing.span), "110 °F bubble");
        assert_eq!(set.condensing.value.end, Some(quantity::SaturationEnd::Bubble));
        let Duty::Capacity { capacity, .. } = &set.duty else { panic!("{:?}", set.duty) };
        // 17 000 Btu/h of 0.293 071 07 W.
        approx::assert_relative_eq!(capacity.value.get::<watt>(), 4_982.208, max_relative = 1e-6);
        let maker = set.maker.as_ref().unwrap();
        assert_eq!(maker.covered_tubes.len(), 2);
        assert_eq!(set.line(Service::Liquid).unwrap().parts.len(), 3);
        assert_eq!(set.line(Service::Discharge).unwrap().tube.value, size::TubeRequest::Choose);
        assert!(set.line(Service::Suction).is_none());
        assert!(matches!(
            set.head_pressure.setting.map(|setting| setting.value),
            Some(HeadPressureSetting::Saturated(_))
        ));
        assert_eq!((job.places[1].name.value.as_str(), job.places[1].sun), ("roof", true));
    }

    #[test]
    fn a_set_like_another_overrides_entry_by_entry() {
        let text = format!(
            "{STARTER}\n[set.second]\nlike = \"ice-room\"\nheat_rejection = \"28 000 Btu/h\"\ndischarge_gas = \"170 °F\"\n\
             [set.second.route]\nrun = \"70 ft\"\nlift = \"-20 ft\"\nelbows = 4\n\
             [set.second.line.liquid]\ntube = \"1/2 in OD\"\n[set.second.maker]\nlongest_run = \"90 ft\"\n"
        );
        let job = good(&text);
        let [first, second] = job.sets.as_slice() else { panic!() };
        assert_eq!((first.name.value.as_str(), second.name.value.as_str()), ("ice-room", "second"));
        assert!(matches!(second.duty, Duty::HeatRejection { .. }), "the copied capacity gives way");
        assert!(second.route.short_form && second.route.turns() == 4);
        approx::assert_relative_eq!(second.route.lift().get::<foot>(), -20.0, max_relative = 1e-12);
        let liquid = second.line(Service::Liquid).unwrap();
        assert!(matches!(liquid.tube.value, size::TubeRequest::Size(_)));
        assert_eq!(liquid.parts.len(), 3, "parts are copied");
        let maker = second.maker.as_ref().unwrap();
        approx::assert_relative_eq!(
            maker.longest_run.unwrap().value.get::<foot>(),
            90.0,
            max_relative = 1e-12
        );
        assert!(maker.factory_charge.is_some());
    }

    #[test]
    fn a_copied_load_gives_way_to_each_way_of_stating_another() {
        let second = |stated: &str| {
            let mut job = good(&format!("{STARTER}\n[set.second]\nlike = \"ice-room\"\n{stated}\n"));
            let set = job.sets.pop().unwrap();
            (set.duty, set.compressor)
        };
        assert!(matches!(second(""), (Duty::Capacity { .. }, None)));
        assert!(matches!(
            second("ice_per_day = \"480 kg per day\"\nwater = \"20 °C\""),
            (Duty::Ice { ice_per_day, .. }, None) if ice_per_day.value.get::<physics::units::unit::mass::kilogram>() == 480.0
        ));
        assert!(matches!(
            second("compressor = { isentropic_efficiency = \"62 %\" }"),
            (Duty::Compressor { capacity: Some(_), .. }, Some(CompressorData::IsentropicEfficiency(_)))
        ));
        let (duty, map) = second("compressor = { map = \"compressor.csv\" }");
        assert!(matches!(duty, Duty::Compressor { capacity: Some(_), .. }), "the copied capacity is checked");
        assert!(matches!(map, Some(CompressorData::Map(file)) if file.value == "compressor.csv"));
    }

    #[test]
    fn a_load_of_ice_may_have_an_efficiency_and_a_map_may_do_without_a_capacity() {
        let capacity = "capacity = \"17 000 Btu/h\"         # with compressor_input; or heat_rejection with discharge_gas\n\
                        compressor_input = \"2.9 kW\"\n";
        assert!(STARTER.contains(capacity));
        let with = |stated: &str| good(&STARTER.replace(capacity, stated)).sets.remove(0);
        let ice = with(
            "ice_per_day = \"1,000 lb\"\nwater = \"68 °F\"\ncompressor = { isentropic_efficiency = \"62 %\" }\n",
        );
        assert!(matches!(ice.duty, Duty::Ice { .. }));
        assert!(matches!(ice.compressor, Some(CompressorData::IsentropicEfficiency(_))));
        let map = with("compressor = { map = \"compressor.csv\" }\n");
        assert!(matches!(map.duty, Duty::Compressor { capacity: None, .. }));
    }

    #[test]
    fn a_fault_in_a_copied_key_is_told_once() {
        let text = STARTER.replace("\"12 °F\"", "\"12 °X\"") + "\n[set.second]\nlike = \"ice-room\"\n";
        assert_eq!(kinds(&text), [FaultKind::Quantity]);
    }

    #[test]
    fn charges_per_length_come_together_or_line_by_line() {
        let with = |stated: &str| {
            let text = STARTER.replace("longest_run = \"100 ft\"", &format!("charge_per_length = {stated}"));
            good(&text).sets[0].maker.as_ref().unwrap().charge_per_length.clone().unwrap()
        };
        let ChargePerLength::Together(both) = with("\"0.6 oz/ft\"") else { panic!() };
        approx::assert_relative_eq!(both.value.get::<kilogram_per_meter>(), 0.055_806_0, max_relative = 1e-5);
        let ChargePerLength::Each(each) = with("{ liquid = \"0.6 oz/ft\", discharge = \"0.1 oz/ft\" }")
        else {
            panic!()
        };
        assert_eq!(
            each.iter().map(|(service, _)| *service).collect::<Vec<_>>(),
            [Service::Discharge, Service::Liquid]
        );
    }

    #[test]
    fn limits_are_kept() {
        let job = good(&format!("{STARTER}\n[limits]\nsaturated-temperature-drop-discharge = \"1 °F\"\n"));
        assert_eq!(job.limits[0].key.value, "saturated-temperature-drop-discharge");
        assert_eq!(job.limits[0].text.value, "1 °F");
    }

    #[test]
    fn what_is_unlikely_stands_when_it_is_confirmed() {
        let long = STARTER.replace("west 12 ft", "west 250 ft");
        assert_eq!(kinds(&long), [FaultKind::Confirm]);
        let set = &good(&long.replace("peak_flow", "confirm = [\"run\"]\npeak_flow")).sets[0];
        approx::assert_relative_eq!(set.route.run().get::<foot>(), 308.0, max_relative = 1e-12);
    }

    #[test]
    fn what_the_equipment_and_the_surroundings_are_like_is_kept() {
        let text = STARTER.lines().map(|line| {
            let key = line.strip_prefix("# ").and_then(|line| line.split_once(" = ")).map(|(key, _)| key);
            // Every remark that shows a key is switched on.
            if key.is_some_and(|key| !key.contains(' ')) { &line[2..] } else { line }
        });
        let job = good(&text.collect::<Vec<_>>().join("\n"));
        let place = |name: &str| job.places.iter().find(|place| place.name.value == name).unwrap();
        let chase = place("chase");
        assert!(chase.shared && !place("roof").shared);
        approx::assert_relative_eq!(chase.girth.unwrap().value.get::<foot>(), 3.0, max_relative = 1e-12);
        // 0.3 Btu(IT)/(h ft2 °F) of 5.678 263 W/(m2 K) each: NIST SP 811 (2008), appendix B.8
        approx::assert_relative_eq!(
            quantity::Quantity::si(chase.u_value.unwrap().value),
            1.703_479,
            max_relative = 1e-6
        );
        assert!(matches!(place("roof").moisture, Some(Moisture::Humidity(_))));
        assert!(matches!(place("attic").moisture, Some(Moisture::DewPoint(_))));
        approx::assert_relative_eq!(
            quantity::Quantity::si(place("roof").wind.unwrap().value),
            4.4704,
            max_relative = 1e-9
        );
        let set = &job.sets[0];
        assert_eq!(set.capacity_steps.len(), 2);
        assert_eq!(set.cylinders.unwrap().value, 2);
        approx::assert_relative_eq!(
            quantity::Quantity::si(set.compressor_speed.unwrap().value),
            1750.0 / 60.0
        );
        assert!(set.coil_drop.is_some());
        let parts: Vec<_> = set.strength.ratings.iter().map(|(part, _)| part.value.as_str()).collect();
        assert_eq!(parts, ["head", "condenser", "receiver"]);
        assert!(set.strength.design_temperature.is_some());
        assert!(matches!(set.strength.relief.unwrap().value, quantity::PressureReading::Gauge(_)));
        assert!(set.strength.cut_out.is_some());
        assert_eq!((set.connections.head.len(), set.connections.condenser.len()), (2, 2));
        assert_eq!(set.connections.head[0].service, Service::Discharge);
        let maker = set.maker.as_ref().unwrap();
        assert_eq!((maker.kits.len(), maker.traps_every.is_some()), (3, true));
        assert!(!set.route.has_inverted_loop() && !set.route.has_foot_trap());
        let discharge = set.line(Service::Discharge).unwrap();
        assert_eq!(discharge.joints.unwrap().value, Joints::Brazed);
        approx::assert_relative_eq!(
            discharge.first_anchor.unwrap().value.get::<foot>(),
            3.0,
            max_relative = 1e-12
        );
        assert!(set.greatest_condensing.is_some() && job.site.roof_allowance.is_some());
        let [condenser] = job.condensers.as_slice() else { panic!() };
        let Figures::Stated(figures) = &condenser.figures else { panic!() };
        assert!(condenser.coil_drop.is_some() && condenser.drop_leg.is_some() && figures.outline.is_some());
        assert!(figures.mass.is_some() && figures.sound_power.is_some() && figures.fan_diameter.is_some());
        assert!(job.layouts[1].clear.front.is_some() && job.layouts[1].gap.is_some());
        let roof = job.roof.as_ref().unwrap();
        assert!(roof.snow.is_some() && roof.neighbour.is_some() && roof.building.is_some());
        assert!(job.year.as_ref().unwrap().load.is_some());
        let liquid = set.line(Service::Liquid).unwrap();
        assert_eq!(liquid.finish.as_ref().unwrap().value, "black elastomer");
        assert!(liquid.insulation_conductivity.is_some());
    }

    #[test]
    fn what_is_not_said_of_the_equipment_is_absent() {
        let job = good(STARTER);
        let set = &job.sets[0];
        assert_eq!((&set.strength, &set.connections), (&Strength::default(), &Connections::default()));
        assert!(set.capacity_steps.is_empty() && set.route.has_inverted_loop() && set.route.has_foot_trap());
        let stated = STARTER.replace(
            "[set.ice-room.strength]",
            "[set.ice-room.strength]\nrelief = \"31 bar(g)\"\ncut_out = \"30 bar(g)\"",
        );
        assert!(good(&stated).sets[0].strength.ratings.is_empty());
    }

    /// At 160 ft the atmosphere is 14.6 psi, so 450 psig is 464.6 psia: the same pressures meet or not by where they
    /// are read from.
    #[test]
    fn a_cut_out_and_a_relief_are_compared_from_the_same_nothing() {
        let with = |cut_out: &str, relief: &str| {
            STARTER.replace(
                "[set.ice-room.strength]",
                &format!("[set.ice-room.strength]\ncut_out = \"{cut_out}\"\nrelief = \"{relief}\""),
            )
        };
        for (cut_out, relief) in
            [("450 psig", "465 psia"), ("464 psia", "450 psig"), ("450 psig", "450 psig")]
        {
            good(&with(cut_out, relief));
        }
        for (cut_out, relief) in
            [("450 psig", "464 psia"), ("465 psia", "450 psig"), ("451 psig", "450 psig")]
        {
            assert_eq!(kinds(&with(cut_out, relief)), [FaultKind::Contradiction], "{cut_out}, {relief}");
        }
    }

    #[test]
    fn a_copied_line_can_be_stripped_of_its_insulation() {
        let insulated = STARTER.replace("# insulation_conductivity", "insulation_conductivity");
        let bare = "\n[set.second]\nlike = \"ice-room\"\n[set.second.line.liquid]\ninsulation = \"none\"\n";
        let job = good(&format!("{insulated}{bare}"));
        let conductivity = |set: usize| job.sets[set].line(Service::Liquid).unwrap().insulation_conductivity;
        assert!(conductivity(0).is_some() && conductivity(1).is_none());
        let thicker = bare.replace("none", "1 in");
        let job = good(&format!("{insulated}{thicker}"));
        assert!(
            job.sets[1].line(Service::Liquid).unwrap().insulation_conductivity.is_some(),
            "the same foam"
        );
    }

    #[test]
    fn a_suction_line_needs_the_evaporator() {
        let text = STARTER
            .replace("compressor_at = \"head\"", "compressor_at = \"condenser\"")
            .replace("line.discharge", "line.suction")
            .replace("capacity = ", "heat_rejection = ")
            .replace("compressor_input = \"2.9 kW\"", "discharge_gas = \"170 °F\"");
        assert!(good(&text).sets[0].line(Service::Suction).is_some());
        let without: String = text
            .lines()
            .filter(|line| !line.starts_with("superheat"))
            .map(|line| format!("{line}\n"))
            .collect();
        assert_eq!(kinds(&without), [FaultKind::Missing]);
    }

    #[test]
    fn numbers_that_need_no_unit_may_be_bare() {
        let set = &good(&STARTER.replace("\"1.7\"", "1.7")).sets[0];
        approx::assert_relative_eq!(
            set.peak_flow.unwrap().value.get::<physics::units::unit::ratio::ratio>(),
            1.7
        );
    }

    proptest! {
        #[test]
        fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
            let _ = read("a.toml", &bytes).map_err(|faults| faults.plain());
        }

        /// A character lost, doubled or exchanged anywhere in a good file.
        #[test]
        fn a_damaged_job_is_read_or_refused(at in 0..STARTER.len(), put in "\\PC{0,3}", cut in 0_usize..40) {
            let from = STARTER.floor_char_boundary(at);
            let to = STARTER.floor_char_boundary(at + cut).max(from);
            let text = format!("{}{put}{}", &STARTER[..from], &STARTER[to..]);
            if let Err(faults) = read("a.toml", text.as_bytes()) {
                prop_assert!(faults.len() > 0);
                for fault in faults.iter() {
                    prop_assert!(!fault.message.is_empty() && !fault.help.is_empty());
                    prop_assert!(text.get(fault.at.span.start..fault.at.span.end).is_some());
                }
            }
        }
    }
}
