//! The JSON that programs read: the promised keys are there, with the promised types.

use crate::command::{answer, run};
use serde_json::Value;

/// What a key holds.
#[derive(Clone, Copy, Debug)]
enum Type {
    Text,
    Number,
    /// A number, or null where the job gives no such figure.
    Figure,
    /// A text, or null.
    Words,
    Texts,
}

use Type::{Figure, Number, Text, Texts, Words};

fn holds(object: &Value, place: &str, keys: &[(&str, Type)]) {
    for (key, kind) in keys {
        let value = object.get(key).unwrap_or_else(|| panic!("{place}: no key {key}"));
        let fits = match kind {
            Text => value.is_string(),
            Number => value.is_number(),
            Figure => value.is_number() || value.is_null(),
            Words => value.is_string() || value.is_null(),
            Texts => value.as_array().is_some_and(|texts| texts.iter().all(Value::is_string)),
        };
        assert!(fits, "{place}.{key} is {value}, wanted {kind:?}");
    }
}

fn each<'a>(object: &'a Value, place: &str, key: &str) -> impl Iterator<Item = (String, &'a Value)> {
    let list = object[key].as_array().unwrap_or_else(|| panic!("{place}: no list {key}"));
    assert!(!list.is_empty(), "{place}.{key} is empty");
    let place = format!("{place}.{key}");
    list.iter().enumerate().map(move |(index, value)| (format!("{place}[{index}]"), value))
}

const VERDICTS: [&str; 4] = ["meets", "too-close-to-call", "fails", "not-checked"];
const TUBE: &[(&str, Type)] = &[("name", Text), ("od_mm", Number), ("bore_mm", Number)];
const CHECK: &[(&str, Type)] = &[
    ("kind", Text),
    ("value", Figure),
    ("limit", Figure),
    ("unit", Text),
    ("whose", Text),
    ("condition", Text),
    ("margin", Figure),
    ("band", Figure),
    ("verdict", Text),
];

fn jobs() -> impl Iterator<Item = String> {
    ["harbour-fish-counter", "long-corridor", "plate-says", "too-far", "cellar-condenser"]
        .into_iter()
        .map(|name| format!("data/jobs/{name}.toml"))
}

fn checks(object: &Value, place: &str) {
    for (place, check) in each(object, place, "checks") {
        holds(check, &place, CHECK);
        assert!(VERDICTS.contains(&check["verdict"].as_str().unwrap()), "{place}");
    }
}

#[test]
fn size_keeps_its_keys() {
    for job in jobs() {
        let size = answer(&["size", &job]);
        holds(&size, &job, &[("job", Text), ("verdict", Text)]);
        for (place, set) in each(&size, &job, "sets") {
            holds(set, &place, &[("name", Text), ("run_m", Number)]);
            checks(set, &place);
            for (place, line) in each(set, &place, "lines") {
                let keys = [
                    ("service", Text),
                    ("run_m", Number),
                    ("equivalent_length_m", Number),
                    ("lift_m", Number),
                    ("velocity_max_m_s", Number),
                    ("pressure_drop_pa", Number),
                    ("saturated_temperature_drop_k", Number),
                    ("charge_kg", Number),
                ];
                holds(line, &place, &keys);
                // Only liquid has a flash margin.
                let margin = if line["service"] == "liquid" { Number } else { Figure };
                holds(line, &place, &[("flash_margin_k", margin)]);
                holds(&line["tube"], &format!("{place}.tube"), TUBE);
                checks(line, &place);
                for (place, candidate) in each(line, &place, "candidates") {
                    holds(&candidate["tube"], &format!("{place}.tube"), TUBE);
                    let keys =
                        [("allowable_length_m", Figure), ("stopped_by", Words), ("refused_for", Texts)];
                    holds(candidate, &place, &keys);
                    assert!(
                        candidate["allowable_length_m"].is_number() || candidate["stopped_by"].is_string(),
                        "{place}: without an allowable length there is what stops it"
                    );
                }
            }
        }
    }
}

#[test]
fn charge_keeps_its_keys() {
    for job in jobs() {
        let charge = answer(&["charge", &job]);
        holds(&charge, &job, &[("job", Text), ("verdict", Text)]);
        for (place, set) in each(&charge, &job, "sets") {
            let keys = [
                ("name", Text),
                ("run_m", Number),
                ("covered_run_m", Number),
                ("longest_run_m", Number),
                ("added_charge_kg", Number),
                ("band_kg", Number),
            ];
            holds(set, &place, &keys);
            for (place, line) in each(set, &place, "lines") {
                let keys = [
                    ("service", Text),
                    ("charge_per_metre_kg_m", Number),
                    ("density_kg_m3", Number),
                    ("used", Text),
                ];
                holds(line, &place, &keys);
                assert!(
                    ["computed", "maker", "nothing"].contains(&line["used"].as_str().unwrap()),
                    "{place}"
                );
            }
            for (place, row) in each(set, &place, "by_tube") {
                holds(&row["tube"], &format!("{place}.tube"), TUBE);
                holds(row, &place, &[("discharge_kg_m", Figure), ("liquid_kg_m", Figure)]);
            }
        }
    }
}

#[test]
fn charge_from_flags_has_the_keys_of_charge_from_a_job() {
    let flags = answer(&[
        "charge",
        "--refrigerant",
        "R-449A",
        "--discharge",
        "1/2 in OD",
        "--liquid",
        "3/8 in OD",
        "--run",
        "92 ft",
        "--covered-run",
        "66 ft",
        "--condensing",
        "110 °F bubble",
    ]);
    let job = answer(&["charge", "data/jobs/harbour-fish-counter.toml"]);
    let keys = |value: &Value| value.as_object().unwrap().keys().cloned().collect::<Vec<_>>();
    assert_eq!(keys(&flags), keys(&job));
    assert_eq!(keys(&flags["sets"][0]), keys(&job["sets"][0]));
    assert_eq!(keys(&flags["sets"][0]["lines"][0]), keys(&job["sets"][0]["lines"][0]));
    assert_eq!(flags["job"], Value::Null);
}

#[test]
fn numbers_do_not_depend_on_the_units_printed_first() {
    for job in jobs() {
        for command in ["size", "charge"] {
            let us = without_sentences(answer(&[command, &job, "--units", "us"]));
            let si = without_sentences(answer(&[command, &job, "--units", "si"]));
            assert_eq!(us, si, "{command} {job}");
        }
    }
}

/// Keys of sentences for people, which print the first unit first.
const SENTENCES: [&str; 7] = ["remarks", "how", "assumptions", "advice", "sentence", "why", "stop"];

/// All else stays.
fn without_sentences(mut value: Value) -> Value {
    match &mut value {
        Value::Object(object) => {
            for key in SENTENCES {
                object.remove(key);
            }
            for (_, inner) in object.iter_mut() {
                *inner = without_sentences(inner.take());
            }
        }
        Value::Array(list) => list.iter_mut().for_each(|inner| *inner = without_sentences(inner.take())),
        _ => {}
    }
    value
}

#[test]
fn csv_has_one_head_and_rows_of_its_width() {
    for (command, tables) in [
        ("size", ["candidates", "checks"]),
        ("charge", ["by-tube", "lines"]),
        ("charge", ["checks", "budget"]),
    ] {
        for table in tables {
            let ran =
                run(&[command, "data/jobs/harbour-fish-counter.toml", "--format", "csv", "--table", table]);
            assert_eq!(ran.status, 0, "{}", ran.remarks);
            let mut reader = csv::Reader::from_reader(ran.out.as_bytes());
            let columns = reader.headers().unwrap().len();
            let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
            assert!(
                rows.len() > 1 && columns > 5 - usize::from(["by-tube", "budget"].contains(&table)) * 2,
                "{table}: {columns}"
            );
        }
    }
}
