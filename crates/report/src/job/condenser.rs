//! The condensers of a job: what each serves, and what it does, by a catalogue or by its own figures.

use super::diagnose::{Fault, FaultKind, Located};
use super::file::{AIR, ALTITUDES, COIL_DROPS, POWERS, SHARES};
use super::model::*;
use super::outline::read_outline;
use super::quantity::{self, Quantity as _, QuantityError, Range};
use super::table::{Key, Node, Reader, Table, key};
use physics::units::{Power, Ratio, TemperatureInterval};

pub(super) const CONDENSER_KEYS: &[&str] = &[
    "serves",
    "circuits",
    "shares",
    "catalogue",
    "model",
    "rating",
    "rating_refrigerant",
    "td_refers_to",
    "rating_air",
    "rating_altitude",
    "air_flow",
    "fan_power",
    "coil_volume",
    "mass",
    "outline",
    "fan_diameter",
    "discharge_air",
    "sound_power",
    "coil_drop",
    "drop_leg",
];
/// What no catalogue says.
const OWN_KEYS: [&str; 7] = ["serves", "circuits", "shares", "catalogue", "model", "coil_drop", "drop_leg"];

pub(super) const DIFFERENCES: Range =
    Range { least: 1.0, most: 40.0, says: "between 1 K and 40 K (1.8 °F and 72 °F)" };
const AIR_FLOWS: Range =
    Range { least: 0.01, most: 100.0, says: "between 0.01 and 100 m3/s (21 and 212,000 cfm)" };
const FAN_POWERS: Range = Range { least: 1.0, most: 1e5, says: "between 1 W and 100 kW (134 hp)" };
const COIL_VOLUMES: Range =
    Range { least: 5e-5, most: 1.0, says: "between 0.05 L and 1,000 L (3 in3 and 35 ft3)" };
const MASSES: Range =
    Range { least: 1.0, most: 2e4, says: "between 1 kg and 20,000 kg (2.2 lb and 44,000 lb)" };
const FANS: Range = Range { least: 0.1, most: 3.0, says: "between 100 mm and 3 m (4 in and 9.8 ft)" };
const SOUND_POWERS: Range = Range { least: 20.0, most: 130.0, says: "between 20 dB and 130 dB" };
const DROP_LEGS: Range = Range { least: 0.0, most: 30.0, says: "between 0 and 30 m (98 ft)" };

/// What shares that were rounded to one decimal, such as three of 33.3 %, may miss of 100 % together.
const ROUNDED_SHARES: f64 = 2e-3;

const SERVES: Key = key("serves", "\"ice-room\"");

/// The condensers as far as they could be read.
pub(super) struct Condensers {
    /// Their names, readable or not.
    pub(super) names: Vec<String>,
    /// All of them, if all could be read.
    pub(super) whole: Option<Vec<Condenser>>,
}

pub(super) fn condensers(reader: &mut Reader<'_>, root: &Table<'_>) -> Condensers {
    let sets = set_names(root);
    let listed = reader.table(root, "condenser").map(|table| reader.named(table)).unwrap_or_default();
    let names = listed.iter().map(|(name, _)| name.value.clone()).collect();
    let made: Vec<_> =
        listed.iter().filter_map(|(name, table)| condenser(reader, name.clone(), table, &sets)).collect();
    Condensers { names, whole: (made.len() == listed.len()).then_some(made) }
}

/// The names of the sets of a file, readable or not.
pub(super) fn set_names<'t>(root: &Table<'t>) -> Vec<&'t str> {
    match root.entry("set").map(|entry| &entry.node) {
        Some(Node::Table(sets)) => sets.entries.iter().map(|entry| entry.key).collect(),
        _ => vec![],
    }
}

fn condenser(
    reader: &mut Reader<'_>,
    name: Located<String>,
    table: &Table<'_>,
    sets: &[&str],
) -> Option<Condenser> {
    reader.only(table, CONDENSER_KEYS);
    let serves = serves(reader, table, sets);
    let circuits = circuits(reader, table, serves.len());
    let shares = shares(reader, table, serves.len());
    let figures = figures(reader, table);
    let coil_drop = reader.quantity(table, &key("coil_drop", "\"20 kPa\""), &COIL_DROPS);
    let drop_leg = reader.quantity(table, &key("drop_leg", "\"2 ft\""), &DROP_LEGS);
    if serves.is_empty() {
        return None;
    }
    Some(Condenser { name, serves, circuits, shares, figures: figures?, coil_drop, drop_leg })
}

fn serves(reader: &mut Reader<'_>, table: &Table<'_>, sets: &[&str]) -> Vec<Located<String>> {
    reader.need(table, &SERVES, Some(()));
    let serves = reader.filled_list_of(table, &SERVES, |_, text| Some(text.value.clone()));
    for (index, set) in serves.iter().enumerate() {
        if !sets.contains(&set.value.as_str()) {
            let otherwise = "name one of the sets of this file";
            reader.unknown_name((SERVES.name, set.span), "set", &set.value, sets.iter().copied(), otherwise);
        }
        if let Some(first) = serves[..index].iter().find(|first| first.value == set.value) {
            let message = format!("serves: the set `{}` is named twice", set.value);
            reader.told_twice(message, set.span, first.span);
        }
    }
    serves
}

fn circuits(reader: &mut Reader<'_>, table: &Table<'_>, sets: usize) -> Option<Located<Sharing>> {
    const CIRCUITS: Key = key("circuits", "\"interlaced\"");
    let circuits =
        reader.one_of(table, &CIRCUITS, &[("interlaced", Sharing::Interlaced), ("split", Sharing::Split)]);
    match table.entry(CIRCUITS.name) {
        Some(entry) if sets == 1 => reader.fault(Fault::new(
            FaultKind::Contradiction,
            entry.key_span,
            "`circuits` says how the circuits of several sets lie in one coil; this one serves one set",
            "leave `circuits` out, or name the other sets in `serves`",
        )),
        None if sets > 1 => reader.missing_because(
            table,
            &CIRCUITS,
            " where they lie between each other, or `\"split\"` where each has its own part of the coil",
        ),
        _ => {}
    }
    circuits
}

fn shares(reader: &mut Reader<'_>, table: &Table<'_>, sets: usize) -> Vec<Located<Ratio>> {
    const SHARES_KEY: Key = key("shares", "[\"60 %\", \"40 %\"]");
    let shares = reader.quantities::<Ratio>(table, &SHARES_KEY, &SHARES);
    let Some(entry) = table.entry(SHARES_KEY.name) else { return vec![] };
    // Where a share or a set could not be read the rest cannot be judged.
    if shares.is_empty() || shares.len() != table.listed(SHARES_KEY.name) || sets != table.listed(SERVES.name)
    {
        return vec![];
    }
    let sum: f64 = shares.iter().map(|share| share.value.si()).sum();
    if shares.len() != sets {
        let message = format!("{} stated, and sets served: {sets}", shares.len());
        reader.value_fault(
            FaultKind::Contradiction,
            SHARES_KEY.name,
            entry.span,
            message,
            "state one share a set, in the order of `serves`; left out, they are equal",
        );
    } else if let Some(none) = shares.iter().find(|share| share.value.si() <= 0.0) {
        reader.value_fault(
            FaultKind::Contradiction,
            SHARES_KEY.name,
            none.span,
            "a set without any share of the coil is not served",
            "give it a share, or take the set out of `serves`",
        );
    } else if (sum - 1.0).abs() > ROUNDED_SHARES {
        reader.value_fault(
            FaultKind::Contradiction,
            SHARES_KEY.name,
            entry.span,
            format_args!("the shares are {:.1} % together", 100.0 * sum),
            "check them; the shares of one coil are 100 % together",
        );
    }
    shares
}

fn figures(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<Figures> {
    const CATALOGUE: Key = key("catalogue", "\"condensers.csv\"");
    const MODEL: Key = key("model", "\"L-24\"");
    let file = reader.text(table, &CATALOGUE);
    let model = reader.text(table, &MODEL);
    let stated = stated(reader, table);
    let Some(source) = table.entry(CATALOGUE.name).or(table.entry(MODEL.name)) else {
        return Some(Figures::Stated(Box::new(stated)));
    };
    let is_figure = |key: &str| CONDENSER_KEYS.contains(&key) && !OWN_KEYS.contains(&key);
    if let Some(figure) = table.entries.iter().find(|entry| is_figure(entry.key)) {
        reader.fault(
            Fault::new(
                FaultKind::Contradiction,
                figure.key_span,
                format!("the catalogue says `{}` of this model, and it is stated here too", figure.key),
                "keep `catalogue` with `model`, or the figures without them",
            )
            .also(source.key_span, "the catalogue"),
        );
    }
    let file = reader.need(table, &CATALOGUE, file);
    let model = reader.need(table, &MODEL, model);
    Some(Figures::Catalogue { file: file?, model: model? })
}

/// What a table states of a condenser: one of the job, or a row of a catalogue, whose columns have the same names.
pub(super) fn stated(reader: &mut Reader<'_>, table: &Table<'_>) -> CondenserFigures {
    CondenserFigures {
        rating: rating(reader, table),
        rating_refrigerant: reader.text(table, &key("rating_refrigerant", "\"R-449A\"")),
        td_refers_to: reader.one_of(
            table,
            &key("td_refers_to", "\"dew\""),
            &[
                ("dew", SaturationReference::Dew),
                ("mid", SaturationReference::Mid),
                ("bubble", SaturationReference::Bubble),
            ],
        ),
        rating_air: reader.quantity(table, &key("rating_air", "\"95 °F\""), &AIR),
        rating_altitude: reader.quantity(table, &key("rating_altitude", "\"0 ft\""), &ALTITUDES),
        air_flow: reader.quantity(table, &key("air_flow", "\"2,300 cfm\""), &AIR_FLOWS),
        fan_power: reader.quantity(table, &key("fan_power", "\"370 W\""), &FAN_POWERS),
        coil_volume: reader.quantity(table, &key("coil_volume", "\"5 L\""), &COIL_VOLUMES),
        mass: reader.quantity(table, &key("mass", "\"250 lb\""), &MASSES),
        outline: reader.meant(table, &key("outline", "\"48 x 36 x 36 in\""), read_outline),
        fan_diameter: reader.quantity(table, &key("fan_diameter", "\"24 in\""), &FANS),
        discharge_air: reader.one_of(
            table,
            &key("discharge_air", "\"level\""),
            &[("level", DischargeAir::Level), ("up", DischargeAir::Up)],
        ),
        sound_power: reader.quantity(table, &key("sound_power", "\"75 dB\""), &SOUND_POWERS),
    }
}

fn rating(reader: &mut Reader<'_>, table: &Table<'_>) -> Vec<Located<RatingPoint>> {
    const RATING: Key = key("rating", "[\"10 kW at 15 K\"]");
    let points = reader.filled_list_of(table, &RATING, |reader, text| {
        rating_point(&text.value).map_err(|error| reader.quantity_fault(RATING.name, text.span, &error)).ok()
    });
    check_rising(reader, RATING.name, &points);
    points
}

/// Tells where more difference does not go with more heat.
pub(super) fn check_rising(reader: &mut Reader<'_>, key: &str, points: &[Located<RatingPoint>]) {
    let mut rising: Vec<&Located<RatingPoint>> = points.iter().collect();
    rising.sort_by(|a, b| a.value.difference.si().total_cmp(&b.value.difference.si()));
    for pair in rising.windows(2) {
        let (less, more) = (pair[0], pair[1]);
        let (message, help) = if less.value.difference == more.value.difference {
            ("two points are at the same temperature difference", "keep one of the two")
        } else if more.value.heat_rejection <= less.value.heat_rejection {
            (
                "the heat does not grow with the temperature difference",
                "check the two points; more difference drives more heat",
            )
        } else {
            continue;
        };
        let (first, second) = if less.span <= more.span { (less, more) } else { (more, less) };
        reader.fault(
            Fault::new(FaultKind::Contradiction, second.span, format!("{key}: {message}"), help)
                .also(first.span, "the other point"),
        );
    }
}

/// `10 kW at 15 K`
fn rating_point(text: &str) -> Result<RatingPoint, QuantityError> {
    let clean = quantity::plain(text).replace('@', " at ");
    let Some((heat, difference)) = clean.split_once(" at ") else {
        return Err(QuantityError::Ambiguous {
            why: "at which temperature difference?",
            offers: vec![format!("{} at 15 K", quantity::shortened(&clean))],
            text: quantity::shortened(&clean),
        });
    };
    Ok(RatingPoint {
        heat_rejection: quantity::read_within::<Power>(heat, &POWERS)?,
        difference: quantity::read_within::<TemperatureInterval>(difference, &DIFFERENCES)?,
    })
}

#[cfg(test)]
mod tests {
    use super::super::{STARTER, read};
    use super::*;
    use physics::units::unit::{power::kilowatt, temperature_interval::kelvin};
    use proptest::prelude::*;

    fn condenser(text: &str) -> Condenser {
        let starter = STARTER.split("\n[condenser.").next().unwrap();
        let text = format!("{starter}\n[set.cooler]\nlike = \"ice-room\"\n[condenser.lower]\n{text}\n");
        read("a.toml", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}")).condensers.remove(0)
    }

    #[test]
    fn a_rating_is_heat_at_a_difference() {
        let one = condenser("serves = \"ice-room\"\nrating = [\"10 kW at 15 K\", \"6.5 kW @ 18 °F\"]");
        let Figures::Stated(figures) = one.figures else { panic!() };
        let [first, second] = figures.rating.as_slice() else { panic!() };
        approx::assert_relative_eq!(first.value.heat_rejection.get::<kilowatt>(), 10.0);
        approx::assert_relative_eq!(first.value.difference.get::<kelvin>(), 15.0);
        approx::assert_relative_eq!(second.value.difference.get::<kelvin>(), 10.0, max_relative = 1e-12);
        assert_eq!(one.circuits, None);
    }

    #[test]
    fn a_catalogue_takes_the_place_of_the_figures() {
        let one = condenser(
            "serves = \"ice-room\"\ncatalogue = \"units.csv\"\nmodel = \"N-9\"\ncoil_drop = \"20 kPa\"",
        );
        assert!(matches!(one.figures, Figures::Catalogue { file, model }
            if (file.value.as_str(), model.value.as_str()) == ("units.csv", "N-9")));
    }

    #[test]
    fn shares_are_of_the_whole_coil_and_equal_when_not_said() {
        let share = |shares: &str, set: &str| {
            let text = format!("serves = [\"ice-room\", \"cooler\"]\ncircuits = \"split\"\n{shares}");
            condenser(&text).share(set).map(|share| share.si())
        };
        assert_eq!(share("", "cooler"), Some(0.5));
        assert_eq!(share("", "attic"), None);
        // Rounded shares of 99.9 % together are all of it.
        approx::assert_relative_eq!(
            share("shares = [\"66.6 %\", \"33.3 %\"]", "cooler").unwrap(),
            1.0 / 3.0,
            max_relative = 1e-12
        );
    }

    proptest! {
        #[test]
        fn any_rating_is_read_or_refused(text in "[0-9 .,atkWK°F@-]{0,24}|\\PC*") {
            if let Err(error) = rating_point(&text) {
                prop_assert!(!error.help().is_empty());
            }
        }
    }
}
