//! The layouts of a job: how its condensers stand, and who draws whose discharge air.

use super::asked::{ANY, Wanted};
use super::condenser::set_names;
use super::diagnose::{Fault, FaultKind, Located};
use super::file::{self, SHARES};
use super::model::*;
use super::quantity::{self, Quantity as _, QuantityError, Range};
use super::route::Leg;
use super::table::{Key, Reader, Table, key};
use physics::units::{Length, Ratio};

pub(super) const LAYOUT_KEYS: &[&str] = &[
    "arrangement",
    "order",
    "draws",
    "added_legs",
    "clear",
    "faces_wind",
    "wall_in_front",
    "anchors",
    "frame_mass",
    "gap",
];
const CLEAR_KEYS: &[&str] = &["front", "rear", "sides", "above"];

const DISTANCES: Range = Range { least: 0.0, most: 1e3, says: "between 0 and 1 km (3,280 ft)" };
const FRAME_MASSES: Range = Range { least: 0.0, most: 2e4, says: "between 0 and 20,000 kg (44,000 lb)" };
const GAPS: Range = Range { least: 0.0, most: 100.0, says: "between 0 and 100 m (328 ft)" };

/// All layouts, if all could be read. `root` is the whole file, `places` what legs may lie in.
pub(super) fn layouts(
    reader: &mut Reader<'_>,
    root: &Table<'_>,
    condensers: &[String],
    places: &[Place],
) -> Option<Vec<Layout>> {
    let listed = reader.table(root, "layout").map(|table| reader.named(table)).unwrap_or_default();
    let made: Vec<_> = listed
        .iter()
        .filter_map(|(name, table)| layout(reader, name.clone(), table, (root, condensers, places)))
        .collect();
    (made.len() == listed.len()).then_some(made)
}

fn layout(
    reader: &mut Reader<'_>,
    name: Located<String>,
    table: &Table<'_>,
    (root, condensers, places): (&Table<'_>, &[String], &[Place]),
) -> Option<Layout> {
    const DRAWS: Key = key("draws", "[]");
    reader.only(table, LAYOUT_KEYS);
    let arrangement = reader.one_of(
        table,
        &key("arrangement", "\"stacked\""),
        &[
            ("apart", Arrangement::Apart),
            ("side by side", Arrangement::SideBySide),
            ("stacked", Arrangement::Stacked),
            ("pit", Arrangement::Pit),
            ("screen", Arrangement::Screen),
        ],
    );
    let order = order(reader, table, condensers);
    reader.need(table, &DRAWS, Some(()));
    let draws = reader.list_of(table, &DRAWS, |reader, text| draw(reader, text, condensers));
    drawn_together(reader, &draws);
    let added_legs = added_legs(reader, table, root, places);
    let clear = reader.table(table, "clear").map(|table| clear(reader, table)).unwrap_or_default();
    let faces_wind = reader.stated_flag(table, "faces_wind");
    let wall_in_front = reader.quantity(table, &key("wall_in_front", "\"10 ft\""), &DISTANCES);
    let anchors = anchors(reader, table);
    let frame_mass = reader.quantity(table, &key("frame_mass", "\"40 lb\""), &FRAME_MASSES);
    let gap = reader.quantity(table, &key("gap", "\"3 ft\""), &GAPS);
    table.has(DRAWS.name).then_some(Layout {
        name,
        arrangement,
        order,
        draws,
        added_legs,
        clear,
        faces_wind,
        wall_in_front,
        anchors,
        frame_mass,
        gap,
    })
}

fn order(reader: &mut Reader<'_>, table: &Table<'_>, condensers: &[String]) -> Vec<Located<String>> {
    const ORDER: Key = key("order", "[\"lower\", \"upper\"]");
    let order = reader.filled_list_of(table, &ORDER, |_, text| Some(text.value.clone()));
    let mut known = true;
    for (index, name) in order.iter().enumerate() {
        if !condensers.contains(&name.value) {
            known = false;
            no_condenser(reader, ORDER.name, name, &name.value, condensers);
        }
        if let Some(first) = order[..index].iter().find(|first| first.value == name.value) {
            let message = format!("order: the condenser `{}` is named twice", name.value);
            reader.told_twice(message, name.span, first.span);
        }
    }
    let absent = condensers.iter().find(|name| !order.iter().any(|named| named.value == **name));
    if let (Some(entry), Some(absent), true) = (table.entry(ORDER.name), absent, known && !order.is_empty()) {
        reader.value_fault(
            FaultKind::Contradiction,
            ORDER.name,
            entry.span,
            format_args!("the condenser `{absent}` is left out"),
            "name every condenser once, bottom to top or left to right; or leave `order` out for that of the file",
        );
    }
    order
}

fn no_condenser(
    reader: &mut Reader<'_>,
    key: &str,
    text: &Located<String>,
    name: &str,
    condensers: &[String],
) {
    let known = condensers.iter().map(String::as_str);
    let otherwise = format!("add a table `[condenser.{name}]`");
    reader.unknown_name((key, text.span), "condenser", name, known, otherwise);
}

/// `upper draws 12 % from lower`, `upper draws 12 % (5 % to 20 %) from lower`
fn draw(reader: &mut Reader<'_>, text: &Located<String>, condensers: &[String]) -> Option<Draw> {
    let clean = quantity::plain(&text.value);
    let parts = clean.split_once(" draws ").and_then(|(by, rest)| {
        let (share, from) = rest.rsplit_once(" from ")?;
        Some((by.trim().to_owned(), share.trim().to_owned(), from.trim().to_owned()))
    });
    let Some((by, share, from)) = parts else {
        reader.value_fault(
            FaultKind::Value,
            "draws",
            text.span,
            format_args!("`{clean}` does not say who draws how much from whom"),
            "write `upper draws 12 % from lower`",
        );
        return None;
    };
    for name in [&by, &from] {
        if !condensers.contains(name) {
            no_condenser(reader, "draws", text, name, condensers);
        }
    }
    match drawn(&share) {
        Ok((share, visible_range)) => {
            if let Some(range) = visible_range.filter(|range| !(range.least..=range.most).contains(&share)) {
                outside(reader, text, share, range);
            }
            Some(Draw { by, share, visible_range, from })
        }
        Err(error) => {
            reader.quantity_fault("draws", text.span, &error);
            None
        }
    }
}

/// `12 %`, `12 % (5 % to 20 %)`
fn drawn(text: &str) -> Result<(Ratio, Option<ShareRange>), QuantityError> {
    let Some((share, range)) = text.split_once('(') else {
        return Ok((quantity::read_within(text, &SHARES)?, None));
    };
    let ends = range.strip_suffix(')').and_then(|range| range.split_once(" to "));
    let Some((least, most)) = ends else {
        return Err(QuantityError::Ambiguous {
            text: quantity::shortened(text),
            why: "a range says its least and its greatest share",
            offers: vec![format!("{}(5 % to 20 %)", share)],
        });
    };
    let range = ShareRange {
        least: quantity::read_within(least, &SHARES)?,
        most: quantity::read_within(most, &SHARES)?,
    };
    Ok((quantity::read_within(share, &SHARES)?, Some(range)))
}

fn outside(reader: &mut Reader<'_>, text: &Located<String>, share: Ratio, range: ShareRange) {
    let per_cent = |share: Ratio| 100.0 * share.si();
    let (message, help) = if range.least > range.most {
        ("the range runs from the greater share to the smaller".to_owned(), "write the least share first")
    } else {
        (
            format!(
                "the share of {:.1} % lies outside its own range of {:.1} % to {:.1} %",
                per_cent(share),
                per_cent(range.least),
                per_cent(range.most)
            ),
            "widen the range, or check the share",
        )
    };
    reader.value_fault(FaultKind::Contradiction, "draws", text.span, message, help);
}

/// What the draws of each condenser say together.
fn drawn_together(reader: &mut Reader<'_>, draws: &[Located<Draw>]) {
    for (index, draw) in draws.iter().enumerate() {
        let earlier = draws[..index].iter().filter(|other| other.value.by == draw.value.by);
        if let Some(first) = earlier.clone().find(|other| other.value.from == draw.value.from) {
            let message =
                format!("draws: what `{}` draws from `{}` is stated twice", draw.value.by, draw.value.from);
            reader.told_twice(message, draw.span, first.span);
            continue;
        }
        let before: f64 = earlier.map(|other| other.value.share.si()).sum();
        let with = before + draw.value.share.si();
        // The one that fills the intake is told, not those after it.
        if before < 1.0 && with >= 1.0 {
            reader.value_fault(
                FaultKind::Contradiction,
                "draws",
                draw.span,
                format_args!("`{}` draws {:.0} % of its intake from condensers", draw.value.by, 100.0 * with),
                "keep it below 100 % together: a condenser that takes in no fresh air gives off no heat",
            );
        }
    }
}

fn added_legs(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    root: &Table<'_>,
    places: &[Place],
) -> Vec<(Located<String>, Vec<Located<Leg>>)> {
    let Some(table) = reader.table(table, "added_legs") else { return vec![] };
    reader.asks(table, &key(ANY, "[\"up 4 ft on roof\"]"), || Wanted::List);
    let sets = set_names(root);
    let mut added = vec![];
    for entry in &table.entries {
        if !sets.contains(&entry.key) {
            let otherwise = "name one of the sets of this file";
            reader.unknown_name(
                ("added_legs", entry.key_span),
                "set",
                entry.key,
                sets.iter().copied(),
                otherwise,
            );
        }
        let legs = reader.list_at(entry, "[\"up 4 ft on roof\"]");
        let legs: Vec<_> = legs
            .iter()
            .filter_map(|text| {
                Some(Located { value: file::leg(reader, "added_legs", text, places)?, span: text.span })
            })
            .collect();
        for leg in legs.iter().filter(|leg| leg.value.stretch) {
            reader.value_fault(
                FaultKind::Contradiction,
                "added_legs",
                leg.span,
                "a leg that a layout adds does not stretch",
                "mark a leg of the set's own route `stretch`",
            );
        }
        added.push((Located { value: entry.key.to_owned(), span: entry.key_span }, legs));
    }
    added
}

fn clear(reader: &mut Reader<'_>, table: &Table<'_>) -> Clear {
    reader.only(table, CLEAR_KEYS);
    let mut side = |name| {
        reader.meant(table, &key(name, "\"24 in\""), |text| {
            if text.trim().eq_ignore_ascii_case("open") {
                return Ok(Clearance::Open);
            }
            match quantity::read_within::<Length>(text, &DISTANCES) {
                Err(QuantityError::NoNumber { text, .. }) => Err(QuantityError::Ambiguous {
                    text,
                    why: "this is neither a length nor the word `open`",
                    offers: vec!["24 in".into(), "open".into()],
                }),
                other => other.map(Clearance::Distance),
            }
        })
    };
    Clear { front: side("front"), rear: side("rear"), sides: side("sides"), above: side("above") }
}

fn anchors(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<Located<u32>> {
    let anchors = reader.count(table, &key("anchors", "4"), (4, 40))?;
    if anchors.value % 2 == 1 {
        reader.fault(Fault::new(
            FaultKind::Value,
            anchors.span,
            format!("anchors: {} do not stand in two rows", anchors.value),
            format!(
                "write `anchors = {}`; a frame has as many at the front as at the rear",
                anchors.value + 1
            ),
        ));
    }
    Some(anchors)
}

#[cfg(test)]
mod tests {
    use super::super::{STARTER, read};
    use super::*;
    use proptest::prelude::*;

    const PAIR: &str = "[condenser.lower]\nserves = \"ice-room\"\n[condenser.upper]\nserves = \"ice-room\"\n";

    fn job(layout: &str) -> Job {
        let starter = STARTER.split("\n[condenser.").next().unwrap();
        let text = format!("{starter}\n{PAIR}[layout.stacked]\n{layout}\n");
        read("a.toml", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"))
    }

    #[test]
    fn draws_are_kept_with_the_range_that_they_may_lie_in() {
        let job =
            job("draws = [\"upper draws 12 % from lower\", \"lower draws 3 % (0 % to 10 %) from lower\"]");
        let [plain, ranged] = job.layouts[0].draws.as_slice() else { panic!() };
        assert_eq!((plain.value.by.as_str(), plain.value.from.as_str()), ("upper", "lower"));
        assert_eq!(plain.value.visible_range, None);
        let range = ranged.value.visible_range.unwrap();
        let found = [range.least, ranged.value.share, range.most].map(|share| share.si());
        for (found, wanted) in found.into_iter().zip([0.0, 0.03, 0.1]) {
            approx::assert_relative_eq!(found, wanted, max_relative = 1e-12);
        }
    }

    #[test]
    fn condensers_stand_in_the_order_that_is_said_or_in_that_of_the_file() {
        let names = |layout: &str| {
            let job = job(layout);
            let standing = job.standing(&job.layouts[0]);
            standing.iter().map(|condenser| condenser.name.value.clone()).collect::<Vec<_>>()
        };
        assert_eq!(names("draws = []"), ["lower", "upper"]);
        assert_eq!(names("draws = []\norder = [\"upper\", \"lower\"]"), ["upper", "lower"]);
    }

    #[test]
    fn what_surrounds_a_layout_is_kept() {
        let job = job(
            "draws = []\narrangement = \"Side by side\"\nadded_legs = { ice-room = \"up 4 ft on roof\" }\n\
             clear = { front = \"24 in\", above = \"Open\" }\nanchors = 6\nfaces_wind = false",
        );
        let layout = &job.layouts[0];
        assert_eq!(layout.arrangement.unwrap().value, Arrangement::SideBySide);
        let [(set, legs)] = layout.added_legs.as_slice() else { panic!() };
        assert_eq!((set.value.as_str(), legs[0].value.place.as_str()), ("ice-room", "roof"));
        assert!(matches!(layout.clear.front.unwrap().value, Clearance::Distance(_)));
        assert_eq!(layout.clear.above.unwrap().value, Clearance::Open);
        assert!(layout.clear.rear.is_none() && layout.clear.sides.is_none());
        assert_eq!((layout.anchors.unwrap().value, layout.faces_wind.unwrap().value), (6, false));
    }

    proptest! {
        #[test]
        fn any_share_is_read_or_refused(text in "[0-9 .,%()to-]{0,24}|\\PC*") {
            if let Err(error) = drawn(&text) {
                prop_assert!(!error.help().is_empty());
            }
        }
    }
}
