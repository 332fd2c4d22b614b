//! The charge budget of two jobs worked out step by step from published or sourced numbers, without a call into our crates.
//!
//! Every figure of the refrigerant is from CoolProp 8.0.0 (R-134a, Tillner-Roth and Baehr 1994); what the job states is in
//! the text of the job. What is compared is what `lineset charge` prints as JSON.

use crate::command::{number, run};
use serde_json::Value;
use std::fs;

const POUND_KG: f64 = 0.453_592_37;

/// Property data of the tool against CoolProp: 0.1 % of a density, and 0.1 % of a difference of two enthalpies; three such
/// multiply at most.
const PROPERTIES: f64 = 3e-3;

/// A job of our own invention: R-134a, no glide, so that bubble, dew and mid are one temperature.
fn job(changes: &[(&str, &str)]) -> String {
    let mut text = JOB.to_owned();
    for (old, new) in changes {
        assert!(text.contains(old), "the job has no `{old}`");
        text = text.replace(old, new);
    }
    text
}

const JOB: &str = r#"format = 1
[job]
name = "Hill hut (invented)"
units = "si"
[site]
altitude = "0 m"
design_air = "30 °C"
lowest_air = "-20 °C"
[places.roof]
air = "30 °C"
[stock]
tubes = ["EN 12735-1 coil"]
[set.hut]
refrigerant = "R-134a"
compressor_at = "head"
receiver_at = "head"
receiver_volume = "8 L"
receiver_seal = "10 %"
harvest_charge = "200 g"
oil_per_charge = "5 %"
heat_rejection = "6 kW"
discharge_gas = "70 °C"
condensing = "40 °C"
subcooling = "3 K"
head_pressure = { method = "flooding valve", at = "head", setting = "25 °C", opens_at_difference = "150 kPa" }
[set.hut.maker]
factory_charge = "5 kg"
greatest_charge = "12 kg"
covered_run = "10 m"
longest_run = "50 m"
covered_tubes = { discharge = "12 x 1 mm", liquid = "10 x 1 mm" }
covered_winter = "0 °C"
charge_per_length = { discharge = "5 g/m", liquid = "60 g/m" }
[set.hut.room]
name = "plant room"
volume = "60 m3"
[set.hut.route]
legs = ["up 8 m", "north 22 m on roof"]
[set.hut.line.discharge]
tube = "12 x 1 mm"
[set.hut.line.liquid]
tube = "10 x 1 mm"
[condenser.one]
serves = "hut"
rating = ["6 kW at 10 K"]
rating_refrigerant = "R-134a"
rating_air = "-20 °C"
rating_altitude = "0 m"
air_flow = "1.2 m3/s"
coil_volume = "4 L"
"#;

fn charge(text: &str) -> Value {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    fs::write(&path, text).unwrap();
    let ran = run(&["charge", path.to_str().unwrap(), "--format", "json"]);
    assert!(ran.status < 2, "{}", ran.remarks);
    serde_json::from_str(&ran.out).unwrap()
}

fn check<'a>(set: &'a Value, kind: &str, condition: &str) -> &'a Value {
    let found = set["checks"].as_array().unwrap();
    found
        .iter()
        .find(|check| check["kind"] == kind && check["condition"] == condition)
        .unwrap_or_else(|| panic!("no {kind} at {condition}: {found:?}"))
}

fn close(found: f64, wanted: f64, tolerance: f64, what: &str) {
    assert!((found - wanted).abs() <= tolerance * wanted.abs(), "{what}: {found}, by hand {wanted}");
}

#[test]
fn a_long_run_and_a_cold_site_step_by_step() {
    let view = charge(&job(&[]));
    let set = &view["sets"][0];
    let budget = &set["budget"];
    // Lines by the maker's rates: 30 m less the 10 m covered, 20 m at 65 g/m.
    let lines_kg = 20.0 * 0.065;
    close(number(set, "/added_charge_kg"), lines_kg, 1e-9, "lines");

    // Winter. Rated in air of -20 °C at sea level: at that air the rating holds as it is, 600 W/K. Heat 6 kW at the full load
    // (no least load), with gas of the cold night: mass rate of the heat stated in summer.
    //   h(discharge, 70 °C, 10.166 bar) = 451.740 kJ/kg, h(liquid, 37 °C) = 251.942: 6 / 199.798 = 0.030030 kg/s
    //   at 25 °C held (6.6538 bar): superheat of 30 K stays (no cold side is stated): h(55 °C) = 442.202; h(22 °C) = 230.291
    let cold = &budget["winter"]["at_lowest_air"];
    close(number(cold, "/conductance_w_k"), 600.0, 1e-3, "conductance");
    let heat_w = 0.030_030_3 * (442_202.2 - 230_291.2);
    close(number(cold, "/heat_rejection_w"), heat_w, PROPERTIES, "heat of the cold night");
    let free = heat_w / (600.0 * (25.0 - -20.0));
    close(number(cold, "/flooded_share"), 1.0 - free, PROPERTIES, "flooded share");
    // Saturated liquid at -20 °C: 1358.3 kg/m3.
    close(number(cold, "/liquid_density_kg_m3"), 1358.3, 1e-3, "liquid");
    let gross_kg = (1.0 - free) * 4e-3 * 1358.3;
    close(number(cold, "/gross_kg"), gross_kg, PROPERTIES, "gross");

    // What the coil holds in summer, without slip: saturated liquid 1146.7, vapour 50.09 kg/m3 at 40 °C; C = 0.043682,
    // liquid share 1 - 1/(1-C) - C ln C/(1-C)^2 = 0.1039. The zones take their share of the heat.
    let c: f64 = 50.09 / 1146.7;
    let liquid_share = 1.0 - 1.0 / (1.0 - c) - c * c.ln() / (1.0 - c).powi(2);
    close(liquid_share, 0.1039, 1e-3, "liquid share");
    let wet = liquid_share * 1146.7 + (1.0 - liquid_share) * 50.09;
    //   gas: (451.740 - 419.429) / 199.798 = 0.16172 at half the superheat, 45.466 kg/m3; liquid: (256.409 - 251.942) / 199.798
    //   = 0.02236 at half the subcooling, 1153.39 kg/m3. Zivi's slip, 22.89^(1/3), gives the high case: 0.9967 kg.
    let coil_kg = 4e-3 * (0.161_72 * 45.466 + (1.0 - 0.161_72 - 0.022_36) * wet + 0.022_36 * 1153.39);
    let (low_kg, high_kg) = part(budget, "condenser in summer");
    close(low_kg, coil_kg, PROPERTIES, "coil without slip");
    close(high_kg, 0.9967, PROPERTIES, "coil with slip");
    let net_kg = gross_kg - (1.0 - free) * coil_kg;
    close(number(cold, "/net_kg"), net_kg, PROPERTIES, "net");

    // The plate covers 0 °C, so only the rest is added. Air of 0 °C is less dense than that of the rating, so the same
    // coil gives off less than 600 W/K; air is 7 % lighter, so at least 93 % of it.
    let warm = &budget["winter"]["at_covered_winter"];
    let there = number(warm, "/conductance_w_k");
    assert!((558.0..600.0).contains(&there), "{there}");
    let covered_share = 1.0 - heat_w / (there * 25.0);
    close(number(warm, "/flooded_share"), covered_share, PROPERTIES, "covered share");
    // Saturated liquid at 0 °C: 1294.8 kg/m3.
    close(number(warm, "/gross_kg"), covered_share * 4e-3 * 1294.8, PROPERTIES, "covered gross");
    close(number(warm, "/net_kg"), covered_share * (4e-3 * 1294.8 - coil_kg), PROPERTIES, "covered net");
    let winter_kg = number(cold, "/net_kg") - number(warm, "/net_kg");
    close(number(budget, "/winter/added_kg"), winter_kg, 1e-9, "winter");
    let total_kg = 5.0 + lines_kg + winter_kg;
    close(number(budget, "/total_kg"), total_kg, 1e-9, "total");
    close(number(set, "/total_charge_kg"), total_kg, 1e-9, "total of the set");

    // Receiver on a hot day: seal 0.8 L and the gross charge at 40 °C; at 90 °F, 32.2 °C, liquid weighs 1178.7 kg/m3.
    let gross = number(cold, "/gross_kg");
    close(number(budget, "/receiver/hot_day_fill/1"), 0.1 + gross / (8e-3 * 1146.7), PROPERTIES, "hot day");
    close(number(budget, "/receiver/fill_at_90_f/1"), 0.1 + gross / (8e-3 * 1178.7), PROPERTIES, "90 °F");
    close(
        number(budget, "/receiver/harvest_fill/1"),
        0.1 + (gross + 0.2) / (8e-3 * 1146.7),
        PROPERTIES,
        "harvest",
    );
    assert_eq!(check(set, "receiver-fill", "summer")["verdict"], "meets");

    // Room: 60 m3 at 210 g/m3 (IMC Table 1103.1) take 12.6 kg.
    let room = check(set, "room-concentration", "");
    close(number(room, "/limit"), 0.210, 1e-9, "limit of the room");
    close(number(room, "/value"), total_kg / 60.0, 1e-9, "concentration");
    assert_eq!((&room["verdict"], &budget["allowed"]["answer"]), (&"meets".into(), &"yes".into()));

    // Oil: 5 % of what is added.
    close(number(budget, "/oil_kg"), 0.05 * (lines_kg + winter_kg), 1e-9, "oil");

    // Rules: 15 lb in the US; 5 t of CO2e at 1430 are 3.497 kg.
    let notices = budget["notices"].as_array().unwrap();
    let from: Vec<f64> = notices.iter().map(|notice| number(notice, "/from_kg")).collect();
    // The pound of the unit library carries seven digits.
    close(from[0], 15.0 * POUND_KG, 1e-6, "US");
    close(from[1], 5000.0 / 1430.0, 1e-9, "EU");
    assert_eq!(notices[0]["date"], "2026-01-01");
    assert_eq!(notices[1]["reached"], true);

    // Recovery cylinder of 26.2 lb: 0.8 x 26.2 lb x 1.210 (specific gravity at 77 °F), 89.3 % liquid at 130 °F.
    close(number(budget, "/cylinders/recovery_each_kg"), 0.8 * 26.2 * POUND_KG * 1.210, 1e-3, "cylinder");
    close(number(budget, "/cylinders/hot_liquid_share"), 0.893, 1e-3, "hot cylinder");
}

/// The two ends of a part, kg.
fn part(budget: &Value, name: &str) -> (f64, f64) {
    let parts = budget["parts"].as_array().unwrap();
    let part =
        parts.iter().find(|part| part["part"] == name).unwrap_or_else(|| panic!("no {name}: {parts:?}"));
    (number(part, "/low_kg"), number(part, "/high_kg"))
}

#[test]
fn a_plate_that_covers_the_winter_gets_none_and_one_that_does_not_say_gets_no_total() {
    let covered = charge(&job(&[("covered_winter = \"0 °C\"", "covered_winter = \"-20 °C\"")]));
    let budget = &covered["sets"][0]["budget"];
    assert_eq!(
        (number(budget, "/winter/added_kg"), &budget["winter"]["state"]),
        (0.0, &"covered by the plate".into())
    );
    close(number(budget, "/total_kg"), 6.3, 1e-9, "total");

    let unsaid = charge(&job(&[("covered_winter = \"0 °C\"\n", "")]));
    let set = &unsaid["sets"][0];
    assert!(set["total_charge_kg"].is_null() && set["budget"]["total_kg"].is_null());
    close(number(set, "/added_charge_kg"), 1.3, 1e-9, "the lines are known all the same");
    assert!(number(&set["budget"], "/winter/at_lowest_air/net_kg") > 0.0);
    assert!(set["budget"]["winter"]["question"].as_str().unwrap().contains("maker.covered_winter"));
    assert_eq!(
        (&unsaid["verdict"], &set["budget"]["allowed"]["answer"]),
        (&"not-checked".into(), &"not known".into())
    );
}

#[test]
fn the_condenser_floods_less_the_warmer_the_air_and_fans_hold_back_nothing() {
    let flooded = charge(&job(&[]));
    let curve = flooded["sets"][0]["budget"]["winter"]["curve"].as_array().unwrap().clone();
    close(number(&curve[0], "/air_c"), -20.0, 1e-9, "begins at the coldest air");
    for pair in curve.windows(2) {
        for figure in ["/flooded_share", "/gross_kg", "/net_kg"] {
            assert!(number(&pair[1], figure) <= number(&pair[0], figure), "{figure}: {pair:?}");
        }
    }
    // Nothing floods once all of the coil is needed: 6.364 kW at some 562 W/K are 11.3 K, so from 13.7 °C up.
    let last = curve.last().unwrap();
    assert!(
        number(last, "/flooded_share") == 0.0 && (13.65..25.0).contains(&number(last, "/air_c")),
        "{last}"
    );

    // One condenser, one circuit: what the valve leaves free is the share of the time that a cycling fan runs.
    let by = |method: &str| {
        let told = format!("head_pressure = {{ method = \"{method}\", setting = \"25 °C\" }}");
        let line = |key: &str| JOB.lines().find(|line| line.starts_with(key)).unwrap();
        let receiver = ["receiver_volume", "receiver_seal", "harvest_charge"].map(|key| (line(key), ""));
        let other = [(line("head_pressure"), &*told), ("receiver_at = \"head\"", "receiver_at = \"none\"")];
        charge(&job(&[&receiver[..], &other].concat()))
    };
    let heat_w = 0.030_030_3 * (442_202.2 - 230_291.2);
    let free = heat_w / (600.0 * (25.0 - -20.0));
    let cycling = by("fan cycling");
    let winter = &cycling["sets"][0]["budget"]["winter"];
    close(number(winter, "/fans/on_time"), free, PROPERTIES, "share of the time");
    assert_eq!((number(winter, "/added_kg"), &winter["fans"]["still_air"]), (0.0, &true.into()));
    // A fan that slows down moves less air, which warms up more: heat falls more slowly than the speed.
    let slowing = by("fan speed");
    let speed = number(&slowing["sets"][0]["budget"]["winter"], "/fans/speed/0/1");
    assert!(speed > 0.0 && speed < free, "{speed}");
}

#[test]
fn a_small_receiver_fails_whatever_the_maker_states() {
    let covered = ("covered_winter = \"0 °C\"", "covered_winter = \"-30 °C\"");
    let view = charge(&job(&[covered, ("receiver_volume = \"8 L\"", "receiver_volume = \"3 L\"")]));
    let set = &view["sets"][0];
    assert_eq!(check(set, "receiver-fill", "summer")["verdict"], "fails");
    assert_eq!((&view["verdict"], &set["budget"]["allowed"]["answer"]), (&"fails".into(), &"no".into()));
    // Even the net charge does not fit: at -30 °C, 55 K below the held pressure, some four fifths of the coil flood.
    assert!(number(&set["budget"], "/receiver/hot_day_fill/0") > 0.8);
}

#[test]
fn a_flammable_refrigerant_is_weighed_and_not_allowed() {
    let view = charge(&job(&[
        ("refrigerant = \"R-134a\"", "refrigerant = \"R-1234yf\""),
        ("condensing = \"40 °C\"", "condensing = \"40 °C bubble\""),
        ("setting = \"25 °C\"", "setting = \"25 °C bubble\""),
    ]));
    let set = &view["sets"][0];
    assert!(number(&set["budget"], "/total_kg") > 5.0);
    assert_eq!(set["budget"]["allowed"]["answer"], "withheld");
    assert_eq!(check(set, "room-concentration", "")["verdict"], "not-checked");
}

#[test]
fn the_first_lines_are_the_four_numbers() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    fs::write(&path, job(&[])).unwrap();
    let sheet = run(&["charge", path.to_str().unwrap()]).out;
    let at = |words: &str| sheet.find(words).unwrap_or_else(|| panic!("no {words}\n{sheet}"));
    assert!(
        at("ADD ") < at("Total charge")
            && at("Total charge") < at("MAY I? YES")
            && at("MAY I? YES") < at("STOP ")
    );
    let words = sheet.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(sheet.starts_with("ADD ") && words.contains("by scale is the only acceptance"), "{sheet}");
    assert!(sheet.lines().all(|line| line.chars().count() <= 80), "{sheet}");
}

/// What a fitter must not learn from a burst tube or a burst cylinder stands on the sheet.
#[test]
fn a_shut_liquid_line_and_a_hot_cylinder_are_warned_of() {
    let words = |job: &str| run(&["charge", job]).out.split_whitespace().collect::<Vec<_>>().join(" ");
    let cellar = words("data/jobs/tight-and-dry.toml");
    assert!(cellar.contains("2 valves can shut the liquid line in"), "{cellar}");
    assert!(cellar.contains("0.8 times water capacity times specific gravity"), "{cellar}");
    assert!(cellar.contains("93 % liquid: not in a hot van"), "{cellar}");
    // One valve alone shuts nothing in.
    let roof = words("data/jobs/two-on-the-roof.toml");
    assert!(!roof.contains("can shut the liquid line in"), "{roof}");
}
