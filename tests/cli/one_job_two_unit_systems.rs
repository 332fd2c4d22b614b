//! One job written in US and in SI units is one job: same numbers, same sheets.

use crate::command::{answer, repo, run};
use serde_json::Value;

const JOB: &str = "data/jobs/harbour-fish-counter.toml";

/// What is written in US units, and the same in SI units to the last digit of double precision.
///
/// 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 lb = 0.45359237 kg and 9.80665 m/s2 are exact by definition, so 1 psi is
/// 6894.757293168 Pa; 1 Btu is 1055.05585262 J (International Table, exact); °C = (°F - 32) / 1.8.
const REWRITTEN: [(&str, &str); 41] = [
    ("altitude = \"160 ft\"", "altitude = \"48.768 m\""),
    ("design_air = \"95 °F\"", "design_air = \"35 °C\""),
    ("lowest_air = \"-10 °F\"", "lowest_air = \"-23.333333333333333 °C\""),
    ("roof_allowance = \"5 °F\"", "roof_allowance = \"2.7777777777777778 K\""),
    ("air = \"130 °F\"", "air = \"54.444444444444444 °C\""),
    ("air = \"100 °F\"", "air = \"37.777777777777778 °C\""),
    ("\"1/8 in OD\"", "\"3.175 mm OD\""),
    ("\"3/16 in OD\"", "\"4.7625 mm OD\""),
    ("\"5/16 in OD\"", "\"7.9375 mm OD\""),
    ("\"3/4 in OD wall 0.042 in\"", "\"19.05 mm OD wall 1.0668 mm\""),
    ("\"1-1/8 in OD\"", "\"28.575 mm OD\""),
    ("\"1-3/8 in OD\"", "\"34.925 mm OD\""),
    ("\"1-5/8 in OD\"", "\"41.275 mm OD\""),
    ("drop-liquid = \"1 °F\"", "drop-liquid = \"0.55555555555555556 K\""),
    ("\"17 000 Btu/h\"", "\"4982.2081929 W\""),
    ("evaporating = \"5 °F dew\"", "evaporating = \"-15 °C dew\""),
    ("condensing = \"110 °F bubble\"", "condensing = \"43.333333333333333 °C bubble\""),
    ("greatest_condensing = \"130 °F bubble\"", "greatest_condensing = \"54.444444444444444 °C bubble\""),
    ("superheat = \"12 °F\"", "superheat = \"6.6666666666666667 K\""),
    ("subcooling = \"5 °F at", "subcooling = \"2.7777777777777778 K at"),
    ("setting = \"70 °F bubble\"", "setting = \"21.111111111111111 °C bubble\""),
    ("opens_at_difference = \"20 psi\"", "opens_at_difference = \"137.89514586336 kPa\""),
    ("\"11 lb 6 oz\"", "\"5.15961320875 kg\""),
    ("covered_run = \"66 ft\"", "covered_run = \"20.1168 m\""),
    ("discharge = \"1/2 in OD wall 0.032 in\", liquid", "discharge = \"12.7 mm OD wall 0.8128 mm\", liquid"),
    ("liquid = \"3/8 in OD wall 0.032 in\" }", "liquid = \"9.525 mm OD wall 0.8128 mm\" }"),
    ("covered_winter = \"-20 °F\"", "covered_winter = \"-28.888888888888889 °C\""),
    ("longest_run = \"100 ft\"", "longest_run = \"30.48 m\""),
    ("highest_rise = \"40 ft\"", "highest_rise = \"12.192 m\""),
    ("\"0.62 oz/ft\"", "\"57.666352813320210 g/m\""),
    ("\"up 26 ft\"", "\"up 7.9248 m\""),
    ("\"north 34 ft in attic\"", "\"north 10.3632 m in attic\""),
    ("\"up 6 ft on roof\"", "\"up 1.8288 m on roof\""),
    ("\"west 12 ft on roof\"", "\"west 3.6576 m on roof\""),
    ("insulation = \"1/2 in\"", "insulation = \"12.7 mm\""),
    ("cracking 0.5 psi", "cracking 3.447378646584 kPa"),
    ("harvest_charge = \"8 oz\"", "harvest_charge = \"226.796185 g\""),
    ("oil_per_charge = \"1 oz/lb\"", "oil_per_charge = \"62.5 g/kg\""),
    ("greatest_charge = \"18 lb\"", "greatest_charge = \"8.16466266 kg\""),
    ("volume = \"1400 ft3\"", "volume = \"39.6435852288 m3\""),
    ("tube = \"1/2 in OD\"", "tube = \"12.7 mm OD\""),
];

/// Adaptive steps and the search for the allowable length stop where they are good enough, so a change in the sixteenth
/// digit of an input may show in the tenth of a result.
const SAME: f64 = 1e-9;
/// A drop of some microkelvin is the difference of two temperatures of some 300 K, each good to its last digit, 6e-14 K.
const LAST_DIGITS: f64 = 1e-12;

/// A drop of pressure is the difference of two pressures of some 2 MPa, each good to its last digit, 2.3e-10 Pa; the share of
/// acceleration is what three such sums leave.
const LAST_DIGITS_PA: f64 = 2e-9;

fn in_si() -> String {
    let mut text: String = std::fs::read_to_string(repo(JOB))
        .unwrap()
        .lines()
        .map(|line| line.split(" #").next().unwrap().trim_end())
        .filter(|line| !line.starts_with('#'))
        .fold(String::new(), |text, line| text + line + "\n");
    for (us, si) in REWRITTEN {
        assert_eq!(text.matches(us).count(), 1, "`{us}` stands once in {JOB}");
        text = text.replace(us, si);
    }
    for unit in ["°F", " ft", " in\"", "in OD", "Btu", " lb", " oz", " psi"] {
        assert!(!text.contains(unit), "`{unit}` is left in\n{text}");
    }
    text
}

fn same(us: &Value, si: &Value, place: &str) {
    match (us, si) {
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().unwrap(), b.as_f64().unwrap());
            let last_digits = if place.ends_with("_pa") { LAST_DIGITS_PA } else { LAST_DIGITS };
            assert!((a - b).abs() <= SAME * a.abs().max(b.abs()) + last_digits, "{place}: {a} and {b}");
        }
        (Value::Array(a), Value::Array(b)) => {
            assert_eq!(a.len(), b.len(), "{place}");
            for (index, (a, b)) in a.iter().zip(b).enumerate() {
                same(a, b, &format!("{place}[{index}]"));
            }
        }
        (Value::Object(a), Value::Object(b)) => {
            assert_eq!(a.keys().collect::<Vec<_>>(), b.keys().collect::<Vec<_>>(), "{place}");
            for (key, a) in a {
                same(a, &b[key], &format!("{place}.{key}"));
            }
        }
        (a, b) => assert_eq!(a, b, "{place}"),
    }
}

#[test]
fn json_and_sheets_are_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    std::fs::write(&path, in_si()).unwrap();
    let path = path.to_str().unwrap();
    for command in ["size", "charge", "prove", "supply"] {
        for units in ["us", "si"] {
            let with = |job| [command, job, "--units", units];
            same(&answer(&with(JOB)), &answer(&with(path)), command);
            let (us, si) = (run(&with(JOB)), run(&with(path)));
            assert_eq!(us.status, si.status);
            assert_eq!(us.out, si.out, "{command} --units {units}");
        }
    }
}
