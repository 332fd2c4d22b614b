//! `lineset compare`: the stable JSON, and the files that a job names beside it.

use crate::command::{Ran, answer, number, repo, run};
use physics::units::{
    TemperatureInterval, ThermodynamicTemperature,
    unit::{temperature_interval, thermodynamic_temperature::degree_celsius},
};
use std::{fs, path::Path};

const DEMO: &str = "data/jobs/two-on-the-roof.toml";

#[test]
fn the_json_has_what_programs_rely_on() {
    let view = answer(&["compare", DEMO]);
    let layouts = view["layouts"].as_array().unwrap();
    assert_eq!(layouts.len(), 3);
    for index in 0..layouts.len() {
        for key in
            ["capacity_w", "power_w", "energy_kwh", "added_charge_kg", "anchor_tension_n", "footprint_m2"]
        {
            assert!(number(&view, &format!("/layouts/{index}/{key}")) >= 0.0, "{key}");
        }
        for condenser in 0..2 {
            let at = |key: &str| number(&view, &format!("/layouts/{index}/condensers/{condenser}/{key}"));
            assert!(at("condensing_k") > at("inlet_air_k") && at("heat_w") > 5000.0);
        }
    }
    assert!(number(&view, "/layouts/0/break_even_recirculation") > 0.0);
    assert!(
        view["layouts"][2]["break_even_recirculation"].is_null(),
        "nothing is drawn where they stand apart"
    );
    assert_eq!(view["recommended"], "stacked");
}

/// A folder with the demo job, its lines replaced, and files beside it.
fn ran(replace: &[(&str, &str)], files: &[(&str, &str)]) -> Ran {
    let folder = tempfile::tempdir().unwrap();
    let mut text = fs::read_to_string(repo(DEMO)).unwrap();
    let templates = repo("data/templates").canonicalize().unwrap();
    text = text.replace("../templates", templates.to_str().unwrap());
    for (from, to) in replace {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    let job = folder.path().join("job.toml");
    fs::write(&job, text).unwrap();
    for (name, content) in files {
        fs::write(folder.path().join(name), content).unwrap();
    }
    run(&["compare", job.to_str().unwrap(), "--format", "json"])
}

const INVENTED: &str = "invented = { mean = \"11 °C\", year = \"22 K\", day = \"9 K\" }";

#[test]
fn a_file_that_is_not_there_is_told_with_its_place_in_the_job() {
    let ran = ran(&[(INVENTED, "weather = \"town.epw\"")], &[]);
    assert_eq!(ran.status, 2);
    assert!(
        ran.remarks.contains("job.toml:") && ran.remarks.contains("town.epw can not be read"),
        "{}",
        ran.remarks
    );
    assert!(ran.remarks.contains("folder of the job file"), "{}", ran.remarks);
}

#[test]
fn faults_of_every_file_are_told_at_once() {
    let catalogue = "model,refrigerant,td_refers_to,heat_rejection,temperature_difference,rating_air,rating_altitude,\
                     air_flow\nsmall (invented),R-449A,dew,9.0 quarts,15 K,35 °C,0 m,0.95 m3/s\n";
    let ran = ran(
        &[(INVENTED, "weather = \"town.csv\""), ("catalogue = \"", "catalogue = \"own.csv\" # \"")],
        &[("town.csv", "air_temperature,hours\n10 °C,8000\n12 °C,-3\n"), ("own.csv", catalogue)],
    );
    assert_eq!(ran.status, 2);
    assert!(ran.remarks.contains("own.csv:2:") && ran.remarks.contains("quarts"), "{}", ran.remarks);
    assert!(ran.remarks.contains("town.csv") || ran.remarks.contains("hours"), "{}", ran.remarks);
}

#[test]
fn a_map_of_another_refrigerant_is_refused() {
    let load = "capacity = \"17 000 Btu/h\"\ncompressor_input = \"2.7 kW\"\n";
    let map = fs::read_to_string(repo("data/templates/compressor.csv")).unwrap().replace("R-449A", "R-134a");
    let table = "[set.flakes.compressor]\nmap = \"own.csv\"\n[set.flakes.maker]";
    let ran = ran(&[(load, ""), ("[set.flakes.maker]", table)], &[("own.csv", &map)]);
    assert_eq!(ran.status, 2);
    assert!(ran.remarks.contains("the map is of R-134a, the set runs with R-449A"), "{}", ran.remarks);
}

/// EPW as its data dictionary has it: 8 lines of header, 35 columns, dry bulb in the seventh.
fn epw(airs: impl Iterator<Item = f64>) -> String {
    let days = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let hours = (1..=12).zip(days).flat_map(|(month, days)| {
        (1..=days).flat_map(move |day| (1..=24).map(move |hour| (month, day, hour)))
    });
    let mut text = String::from(
        "LOCATION,Nowhere (invented),-,-,-,0,40.0,-80.0,-5.0,366.0\nDESIGN CONDITIONS,0\n\
         TYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,-\nCOMMENTS 2,-\n\
         DATA PERIODS,1,1,Data,Sunday,1/1,12/31\n",
    );
    for ((month, day, hour), air) in hours.zip(airs) {
        let rest = ["0"; 28].join(",");
        text.push_str(&format!("2001,{month},{day},{hour},60,-,{air:.1},{rest}\n"));
    }
    text
}

#[test]
fn an_hourly_file_gives_the_year_of_its_temperatures() {
    let celsius = |kelvins: f64| TemperatureInterval::new::<temperature_interval::kelvin>(kelvins);
    let mean = ThermodynamicTemperature::new::<degree_celsius>(11.0);
    let weather = tables::weather::invented(mean, celsius(22.0), celsius(9.0)).unwrap();
    let tables::weather::Air::Hours(hours) = &weather.air else { panic!("hours") };
    let file = epw(hours.iter().map(|hour| hour.air.get::<degree_celsius>()));
    let by_file = ran(&[(INVENTED, "weather = \"town.epw\"")], &[("town.epw", &file)]);
    assert_eq!(by_file.status, 0, "{}", by_file.remarks);
    let by_file: serde_json::Value = serde_json::from_str(&by_file.out).unwrap();
    let invented = answer(&["compare", DEMO]);
    for layout in 0..3 {
        let energy = |view| number(view, &format!("/layouts/{layout}/energy_kwh"));
        assert!((energy(&by_file) / energy(&invented) - 1.0).abs() < 1e-9);
    }
    let cut_short: String = file.lines().take(5000).map(|line| format!("{line}\n")).collect();
    let refused = ran(&[(INVENTED, "weather = \"town.epw\"")], &[("town.epw", &cut_short)]);
    assert_eq!(refused.status, 2);
    assert!(
        refused.remarks.contains("job.toml:") && refused.remarks.contains("weather"),
        "{}",
        refused.remarks
    );
}

#[test]
fn charts_are_written_for_every_layout() {
    let folder = tempfile::tempdir().unwrap();
    let target = folder.path().join("charts");
    let ran = run(&["compare", DEMO, "--folder", target.to_str().unwrap()]);
    assert_eq!(ran.status, 0, "{}", ran.remarks);
    let names = |start: &str| {
        let found = fs::read_dir(Path::new(&target)).unwrap();
        found.filter(|entry| entry.as_ref().unwrap().file_name().to_str().unwrap().starts_with(start)).count()
    };
    assert_eq!((names("layout-"), names("cycle-"), names("head-pressure-")), (3, 2, 2));
}
