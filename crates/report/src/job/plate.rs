//! What plates and manuals of the equipment say: the maker's charge and limits, what the parts withstand, what they end
//! in, how the compressor runs.

use super::asked::{ANY, Wanted};
use super::diagnose::{Fault, FaultKind, Located};
use super::file::AIR;
use super::model::*;
use super::part::RATINGS;
use super::quantity::{self, PressureReading, Quantity as _, Range, kinds};
use super::table::{Key, Node, Reader, Table, key};
use super::{
    route,
    size::{self, SizeRequest},
};
use physics::units::{Length, LinearMassDensity, Mass, Ratio};

pub(super) const MAKER_KEYS: &[&str] = &[
    "factory_charge",
    "greatest_charge",
    "covered_run",
    "covered_tubes",
    "covered_winter",
    "longest_run",
    "highest_rise",
    "charge_per_length",
    "kits",
    "traps_every",
];
pub(super) const STRENGTH_KEYS: &[&str] = &["design_temperature", "relief", "cut_out", "ratings"];
pub(super) const CONNECTION_KEYS: &[&str] = &["head", "condenser"];
/// The tables of a set that are one a line.
pub(super) const SERVICES: [&str; 4] = ["discharge", "liquid", "drain", "suction"];

const CHARGES: Range = Range { least: 1e-3, most: 1e3, says: "between 1 g and 1,000 kg (2,200 lb)" };
const COVERED_RUNS: Range = Range { least: 0.0, most: 1e3, says: "between 0 and 1 km (3,280 ft)" };
const CHARGES_PER_LENGTH: Range =
    Range { least: 1e-5, most: 20.0, says: "between 0.01 g/m and 20 kg/m (13 lb/ft)" };
const KITS: Range = Range { least: 1.0, most: 100.0, says: "between 1 m and 100 m (3.3 ft and 328 ft)" };
const TRAP_SPACINGS: Range =
    Range { least: 1.0, most: 30.0, says: "between 1 m and 30 m (3.3 ft and 98 ft)" };
const DESIGN_TEMPERATURES: Range =
    Range { least: 253.15, most: 363.15, says: "between -20 °C and 90 °C (-4 °F and 194 °F)" };
const STEPS: Range = Range { least: 0.05, most: 1.0, says: "between 5 % and 100 %" };
pub(super) const SPEEDS: Range =
    Range { least: 1.0, most: 200.0, says: "between 1 and 200 Hz (60 and 12,000 rpm)" };

/// What the plate says.
pub(super) fn maker(reader: &mut Reader<'_>, table: &Table<'_>) -> Maker {
    reader.only(table, MAKER_KEYS);
    Maker {
        factory_charge: charge(reader, table, &key("factory_charge", "\"11 lb 6 oz\"")),
        greatest_charge: charge(reader, table, &key("greatest_charge", "\"18 lb\"")),
        covered_run: reader.quantity(table, &key("covered_run", "\"66 ft\""), &COVERED_RUNS),
        covered_tubes: covered_tubes(reader, table),
        covered_winter: reader.quantity(table, &key("covered_winter", "\"-20 °F\""), &AIR),
        longest_run: reader.quantity(table, &key("longest_run", "\"100 ft\""), &route::LENGTHS),
        highest_rise: reader.quantity(table, &key("highest_rise", "\"35 ft\""), &route::LENGTHS),
        charge_per_length: charge_per_length(reader, table),
        kits: kits(reader, table),
        traps_every: reader.quantity(table, &key("traps_every", "\"20 ft\""), &TRAP_SPACINGS),
    }
}

fn charge(reader: &mut Reader<'_>, table: &Table<'_>, key: &Key) -> Option<Located<Mass>> {
    reader.parsed(table, key, &kinds::MASS, |text| quantity::read_plate_mass(text, &CHARGES))
}

fn covered_tubes(reader: &mut Reader<'_>, table: &Table<'_>) -> Vec<CoveredTube> {
    sizes(reader, table, "covered_tubes")
        .into_iter()
        .map(|(service, tube)| CoveredTube { service, tube })
        .collect()
}

/// A table of tube sizes, one a service at most.
fn sizes(reader: &mut Reader<'_>, table: &Table<'_>, name: &str) -> Vec<(Service, Located<SizeRequest>)> {
    let Some(table) = reader.table(table, name) else { return vec![] };
    reader.only(table, &SERVICES);
    let mut sizes = vec![];
    for (name, service) in Service::NAMED {
        let Some(text) = reader.text(table, &key(name, "\"1/2 in OD\"")) else { continue };
        match size::read(&text.value) {
            Ok(size) => sizes.push((service, Located { value: size, span: text.span })),
            Err(error) => reader.size_fault(name, text.span, &error),
        }
    }
    sizes
}

fn charge_per_length(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<ChargePerLength> {
    const CHARGE: Key = key("charge_per_length", "\"0.6 oz/ft\"");
    reader.asks(table, &CHARGE, || Wanted::Quantity(LinearMassDensity::kind()));
    reader.asks(table, &CHARGE, || Wanted::Table);
    let entry = table.entry(CHARGE.name)?;
    let Node::Table(each) = &entry.node else {
        return reader.quantity(table, &CHARGE, &CHARGES_PER_LENGTH).map(ChargePerLength::Together);
    };
    reader.only(each, &SERVICES);
    let charges = Service::NAMED
        .into_iter()
        .filter_map(|(name, service)| {
            Some((service, reader.quantity(each, &key(name, CHARGE.example), &CHARGES_PER_LENGTH)?))
        })
        .collect();
    Some(ChargePerLength::Each(charges))
}

/// Lengths that differ by less are one length: a kit is sold by the foot or the decimetre.
const SAME_LENGTH_M: f64 = 1e-3;

fn kits(reader: &mut Reader<'_>, table: &Table<'_>) -> Vec<Located<Length>> {
    const KITS_KEY: Key = key("kits", "[\"20 ft\", \"35 ft\", \"55 ft\"]");
    let kits = reader.quantities::<Length>(table, &KITS_KEY, &KITS);
    for (index, kit) in kits.iter().enumerate() {
        let same = |other: &&Located<Length>| (other.value - kit.value).si().abs() < SAME_LENGTH_M;
        if let Some(first) = kits[..index].iter().find(same) {
            reader.told_twice("kits: this length is listed twice", kit.span, first.span);
        }
    }
    kits
}

/// Steps of the compressor's capacity, falling from all of it.
pub(super) fn capacity_steps(reader: &mut Reader<'_>, table: &Table<'_>) -> Vec<Located<Ratio>> {
    const STEPS_KEY: Key = key("capacity_steps", "[\"100 %\", \"50 %\"]");
    const ALL: f64 = 1.0;
    let steps = reader.quantities::<Ratio>(table, &STEPS_KEY, &STEPS);
    // With an unreadable step the rest cannot be judged.
    if steps.len() != table.listed(STEPS_KEY.name) {
        return vec![];
    }
    if let Some(first) = steps.first().filter(|first| first.value.si() < ALL) {
        reader.fault(Fault::new(
            FaultKind::Contradiction,
            first.span,
            "capacity_steps: the first step is not the whole capacity",
            format!("begin with `100 %`, as in `{} = {}`", STEPS_KEY.name, STEPS_KEY.example),
        ));
    }
    for pair in steps.windows(2) {
        if pair[1].value >= pair[0].value {
            reader.fault(
                Fault::new(
                    FaultKind::Contradiction,
                    pair[1].span,
                    "capacity_steps: the steps do not fall from one to the next",
                    format!("list them downwards: `{} = {}`", STEPS_KEY.name, STEPS_KEY.example),
                )
                .also(pair[0].span, "the step before"),
            );
        }
    }
    steps
}

/// What the equipment withstands.
pub(super) fn strength(reader: &mut Reader<'_>, table: &Table<'_>) -> Strength {
    reader.only(table, STRENGTH_KEYS);
    Strength {
        design_temperature: reader.quantity(
            table,
            &key("design_temperature", "\"130 °F\""),
            &DESIGN_TEMPERATURES,
        ),
        relief: pressure(reader, table, &key("relief", "\"450 psig\"")),
        cut_out: pressure(reader, table, &key("cut_out", "\"400 psig\"")),
        ratings: ratings(reader, table),
    }
}

fn pressure(reader: &mut Reader<'_>, table: &Table<'_>, key: &Key) -> Option<Located<PressureReading>> {
    reader.parsed(table, key, &kinds::GAUGE_PRESSURE, |text| quantity::read_pressure_within(text, &RATINGS))
}

/// Rated pressures by the names of the parts, which the file chooses.
fn ratings(reader: &mut Reader<'_>, table: &Table<'_>) -> Vec<(Located<String>, Located<PressureReading>)> {
    const RATINGS_KEY: Key = key("ratings", "{ head = \"450 psig\", receiver = \"450 psig\" }");
    reader.asks(table, &RATINGS_KEY, || Wanted::Table);
    let Some(entry) = table.entry(RATINGS_KEY.name) else { return vec![] };
    let Node::Table(parts) = &entry.node else {
        reader.wrong_type(
            entry,
            "a pressure for each part",
            format!("write `{} = {}`", RATINGS_KEY.name, RATINGS_KEY.example),
        );
        return vec![];
    };
    reader.asks(parts, &key(ANY, "\"450 psig\""), || Wanted::Quantity(&kinds::GAUGE_PRESSURE));
    // What is read below, as a pattern.
    reader.names(parts, "^[a-z][a-z0-9_-]*$");
    let mut ratings = vec![];
    for part in &parts.entries {
        let begins = part.key.starts_with(|c: char| c.is_ascii_lowercase());
        let goes_on = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | '_');
        if !begins || !part.key.chars().all(goes_on) || part.key.len() > 40 {
            reader.fault(Fault::new(
                FaultKind::Key,
                part.key_span,
                format!(
                    "`{}` does not do as the name of a part in [{}]",
                    part.key.escape_debug(),
                    parts.path
                ),
                "write small letters, digits, `-` and `_`, as in `receiver` or `ball-valve`",
            ));
            continue;
        }
        if let Some(rated) = reader.parsed_entry(part, "\"450 psig\"", &kinds::GAUGE_PRESSURE, |text| {
            quantity::read_pressure_within(text, &RATINGS)
        }) {
            ratings.push((Located { value: part.key.to_owned(), span: part.key_span }, rated));
        }
    }
    ratings
}

/// Tubes that head and condenser end in.
pub(super) fn connections(reader: &mut Reader<'_>, table: &Table<'_>) -> Connections {
    reader.only(table, CONNECTION_KEYS);
    Connections {
        head: connections_of(reader, table, "head"),
        condenser: connections_of(reader, table, "condenser"),
    }
}

fn connections_of(reader: &mut Reader<'_>, table: &Table<'_>, end: &str) -> Vec<Connection> {
    sizes(reader, table, end).into_iter().map(|(service, size)| Connection { service, size }).collect()
}
