use super::*;
use crate::{figure::Units, job, view::MaterialItemView};
use std::collections::BTreeSet;

const HARBOUR: &str = include_str!("../../../../../data/jobs/harbour-fish-counter.toml");
const TWO: &str = include_str!("../../../../../data/jobs/two-on-the-roof.toml");

fn changed(text: &str, changes: &[(&str, &str)]) -> String {
    changes.iter().fold(text.to_owned(), |text, (old, new)| {
        assert!(text.contains(old), "the job has no `{old}`");
        text.replace(old, new)
    })
}

/// The harbour without its condenser, layouts, roof and year.
fn bare() -> String {
    HARBOUR.split("[condenser.north]").next().unwrap().to_owned()
}

fn read(text: &str) -> Job {
    let mut job = job::read("job.toml", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"));
    let folder = std::path::Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/jobs"));
    job::attach(&mut job, &|name| std::fs::read(folder.join(name))).unwrap();
    job
}

fn packed(text: &str, units: Option<Units>) -> PackView {
    let job = read(text);
    let library = Library::embedded().unwrap();
    pack(&job, &library, units, &|_| ()).unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn without_condensers_the_pack_says_what_it_can_not_tell() {
    let view = packed(&bare(), None);
    assert!(view.compare.is_none() && view.not_compared.unwrap().contains("[condenser.NAME]"));
    let set = &view.sets[0];
    let points: Vec<_> =
        set.start_up.points.iter().map(|point| (point.from, point.held, point.design)).collect();
    assert_eq!(points, [("setting", true, false), ("stated", false, true)]);
    assert!(set.start_up.points.iter().all(|point| point.head_gauge_pa.is_some()));
    assert!(set.start_up.missing[0].contains("[condenser.NAME]"), "{:?}", set.start_up.missing);
    assert!(set.placing.missing.is_some() && set.placing.layouts.is_empty());
    assert!(set.placing.confirm.iter().any(|open| open.key == "condenser.NAME"));
}

#[test]
fn without_tables_of_work_the_records_keep_their_rules() {
    let text = bare();
    let text = text.split("[set.ice-room.pressure_test]").next().unwrap();
    let set = packed(text, None).sets.remove(0);
    for sheet in &set.records.sheets[..2] {
        assert!(sheet.missing.as_ref().unwrap().contains("[set.ice-room."), "{:?}", sheet.missing);
        assert!(sheet.rows.iter().any(|row| !row.accept.is_empty()), "{}", sheet.name);
    }
    let nitrogen = |what: &str| {
        let items = &set.materials.items;
        items.iter().find(|item| item.what.starts_with(what)).unwrap()
    };
    assert!(nitrogen("dry nitrogen, flowing").quantity.is_some());
    for what in ["dry nitrogen, pressure test", "nitrogen cylinder"] {
        assert_eq!(nitrogen(what).quantity, None);
        assert!(nitrogen(what).missing.as_ref().unwrap().contains("pressure_test"));
    }
}

#[test]
fn two_sets_never_share_a_tag_and_every_tag_fits() {
    let view = packed(TWO, None);
    let tags: Vec<_> = view.sets.iter().flat_map(|set| &set.tags.tags).collect();
    let letters: BTreeSet<_> = tags.iter().map(|tag| &tag.tag).collect();
    let lines: usize = view.size.sets.iter().map(|set| set.lines.len()).sum();
    assert_eq!((letters.len(), tags.len()), (2 * lines, 2 * lines));
    assert!(tags.iter().flat_map(|tag| &tag.rows).all(|row| row.chars().count() <= 32));
    for set in &view.sets {
        for pair in set.tags.tags.chunks(2) {
            let ways: Vec<_> = pair.iter().map(|tag| tag.way.split(' ').next().unwrap()).collect();
            let flows_up = matches!(&*pair[0].service, "discharge" | "suction");
            assert_eq!(ways, if flows_up { ["to", "from"] } else { ["from", "to"] }, "{}", pair[0].service);
        }
        let drawn = &view.size.sets.iter().find(|size| size.name == set.name).unwrap().isometric.lines;
        assert!(drawn.iter().all(|line| set.tags.tags.iter().any(|tag| tag.line == line.tag)));
        assert_eq!(set.tags.matches.len(), set.tags.tags.len() / 2);
    }
    // The comparison names its lines by the same letters.
    let compared = view.compare.unwrap().tags;
    assert!(compared.iter().all(|tag| tags.iter().any(|end| end.line == tag.tag)));

    // Material of both together: what is alike is added up.
    let pieces = |items: &[MaterialItemView]| -> f64 {
        items.iter().filter(|item| item.what.starts_with("line tag")).filter_map(|item| item.quantity).sum()
    };
    let of_sets: f64 = view.sets.iter().map(|set| pieces(&set.materials.items)).sum();
    assert_eq!((pieces(&view.materials), of_sets), (2.0 * lines as f64, 2.0 * lines as f64));
}

#[test]
fn warmer_air_never_lowers_the_head_pressure() {
    let view = packed(TWO, Some(Units::Si));
    for set in &view.sets {
        let start_up = &set.start_up;
        assert!(start_up.missing.is_empty() && start_up.layout.is_some(), "{:?}", start_up.missing);
        assert!(
            start_up.points.len() > 3 && start_up.points.iter().filter(|point| point.design).count() == 1
        );
        for pair in start_up.points.windows(2) {
            assert!(pair[0].outdoor_air_c < pair[1].outdoor_air_c);
            // Points between two of the curve are off by its bend: hundredths of a kelvin, a few hundred pascal.
            assert!(pair[1].head_gauge_pa.unwrap() > pair[0].head_gauge_pa.unwrap() - 500.0, "{pair:?}");
        }
        assert!(start_up.idle.windows(2).all(|pair| pair[0].bubble_gauge_pa < pair[1].bubble_gauge_pa));
    }
}

#[test]
fn the_gravest_check_leads_the_summary() {
    let view = packed(&bare(), None);
    let gravity: Vec<u8> = view.summary.iter().map(|check| check.check.verdict.gravity()).collect();
    assert!(gravity.windows(2).all(|pair| pair[0] >= pair[1]), "{gravity:?}");
    assert_eq!(view.summary[0].check.verdict, view.verdict);
}

/// Material of the one set of a job, without the sheets that a count does not need.
fn materials(text: &str) -> Vec<MaterialItemView> {
    let job = read(text);
    let library = Library::embedded().unwrap();
    let resolved = resolve(&job, &library).unwrap_or_else(|error| panic!("{error}"));
    let (size, charge, prove) = (size(&resolved), charge::charge(&resolved), prove::prove(&resolved));
    let desk = Desk { resolved: &resolved, size: &size, charge: &charge, compare: None, prove: &prove };
    desk.sets(&mut Ledger::default()).remove(0).materials.items
}

#[test]
fn more_length_never_needs_less_material() {
    let tubes = [
        ("line.discharge]\ntube = \"choose\"", "line.discharge]\ntube = \"1/2 in OD\""),
        ("line.liquid]\ntube = \"choose\"", "line.liquid]\ntube = \"3/8 in OD\""),
    ];
    // Straight tube does not come in all of the sizes that the harbour leaves out.
    let straight = [
        ("tubes = [\"ASTM B280 coil\"]", "tubes = [\"ASTM B280 straight\"]"),
        ("leave_out = [", "# leave_out = ["),
    ];
    // The pressure test is of the lines alone, so that they decide its nitrogen.
    let alone = ("volume = \"3 L\"", "# volume = \"3 L\"");
    for stock in [&[][..], &straight] {
        let far = ("[set.ice-room]\n", "[set.ice-room]\nconfirm = [\"run\"]\n");
        let changes: Vec<_> =
            tubes.iter().copied().chain([alone, far]).chain(stock.iter().copied()).collect();
        let text = changed(&bare(), &changes);
        let mut before: Vec<MaterialItemView> = Vec::new();
        for length_ft in [12.0, 13.0, 20.5, 40.0, 90.0, 200.0] {
            let text = changed(&text, &[("west 12 ft on roof", &format!("west {length_ft} ft on roof"))]);
            let items = materials(&text);
            for old in &before {
                let alike = |new: &&MaterialItemView| {
                    (new.group, &new.line, &new.what, &new.size)
                        == (old.group, &old.line, &old.what, &old.size)
                };
                let new = items.iter().find(alike).unwrap_or_else(|| panic!("{length_ft} ft: {old:?}"));
                assert!(
                    new.counted >= old.counted && new.quantity >= old.quantity,
                    "{length_ft} ft: {old:?} {new:?}"
                );
            }
            let tube = items.iter().filter(|item| item.what.starts_with("tube, "));
            assert!(tube.clone().count() == 2 && tube.clone().all(|item| item.quantity > item.counted));
            before = items;
        }
    }
}

#[test]
fn every_item_says_how_it_was_counted_and_by_what() {
    for item in materials(&bare()) {
        assert!(!item.how.is_empty() && !item.grade.is_empty(), "{item:?}");
        assert_ne!(item.grade, "published", "no list of material is published: {item:?}");
        assert_eq!(item.quantity.is_none(), item.quantity_words == "not known", "{item:?}");
    }
}

#[test]
fn letters_go_on_beyond_z() {
    assert_eq!([0, 1, 25, 26, 27, 52].map(letter), ["A", "B", "Z", "AA", "AB", "BA"]);
}

/// A sheet to write into asks for what the check of the same reading asks for.
#[test]
fn the_record_of_the_test_accepts_what_its_check_accepts() {
    let view = packed(&bare(), None);
    let parts = &view.prove.sets[0].parts;
    let checks = parts.iter().flat_map(|part| &part.checks);
    let limit_pa = checks.into_iter().find(|check| check.kind == "pressure-gone").unwrap().limit.unwrap();
    let rows = &view.sets[0].records.sheets[0].rows;
    let end = rows.iter().find(|row| row.what == "pressure at the end").unwrap();
    let words = crate::figure::in_unit(limit_pa, "Pa").both(Units::Us);
    assert!(end.accept.contains(&format!("no more than {words} below")), "{}", end.accept);
}
