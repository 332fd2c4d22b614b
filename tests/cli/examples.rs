//! The examples of `data/jobs` tell the stories that their comments promise.

use crate::command::{Ran, answer, line, number, repo, run};
use serde_json::Value;
use std::fs;

/// Every example with the exit status of `size` and of `charge`.
const EXAMPLES: [(&str, i32, i32); 12] = [
    ("harbour-fish-counter", 0, 0),
    ("long-corridor", 0, 0),
    ("plate-says", 0, 0),
    ("too-far", 1, 1),
    // The charge is known; that the liquid flashes is the matter of `size`.
    ("cellar-condenser", 1, 0),
    ("hot-roof", 1, 0),
    ("receiver-on-the-roof", 0, 0),
    ("summer-holds-winter-flashes", 1, 0),
    // R-454C is flammable: whether that much of it is allowed is withheld.
    ("riser-at-part-load", 1, 1),
    // The plate does not say which winter it covers: no total.
    ("bypass-all-summer", 1, 1),
    ("two-on-the-roof", 0, 0),
    // Nor does this one.
    ("tight-and-dry", 0, 1),
];

const WIDEST: usize = 80;

fn job(name: &str) -> String {
    format!("data/jobs/{name}.toml")
}

fn check<'a>(of: &'a Value, kind: &str) -> &'a Value {
    let checks = of["checks"].as_array().unwrap();
    checks.iter().find(|check| check["kind"] == kind).unwrap_or_else(|| panic!("no check of {kind}"))
}

#[test]
fn every_example_is_listed_here_and_says_that_it_is_invented() {
    let mut found: Vec<String> = fs::read_dir(repo("data/jobs"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "toml"))
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    found.sort();
    let mut listed: Vec<&str> = EXAMPLES.iter().map(|(name, ..)| *name).collect();
    listed.sort_unstable();
    assert_eq!(found, listed);
    for name in listed {
        let text = fs::read_to_string(repo(&job(name))).unwrap();
        assert!(text.starts_with("# INVENTED example."), "{name}");
        let name_line = text.lines().find(|line| line.starts_with("name")).unwrap();
        assert!(name_line.ends_with("(invented)\""), "{name_line}");
    }
}

/// DEVELOPERS.md says how they are redrawn.
#[test]
fn the_pictures_in_the_readme_are_those_that_the_demo_draws() {
    let shown: Vec<_> = fs::read_dir(repo("data/jobs/pictures")).unwrap().map(Result::unwrap).collect();
    let readme = fs::read_to_string(repo("README.md")).unwrap();
    assert_eq!(readme.matches("](data/jobs/pictures/").count(), shown.len());
    for picture in &shown {
        let name = picture.file_name().into_string().unwrap();
        assert!(readme.contains(&format!("](data/jobs/pictures/{name})")), "README.md does not show {name}");
    }
    let folder = tempfile::tempdir().unwrap();
    let drawn_into = folder.path().to_str().unwrap();
    let ran = run(&["size", &job("harbour-fish-counter"), "--folder", drawn_into]);
    assert_eq!(ran.status, 0, "{}", ran.remarks);
    for picture in shown {
        let drawn = fs::read_to_string(folder.path().join(picture.file_name())).unwrap();
        let same = fs::read_to_string(picture.path()).unwrap() == drawn;
        assert!(same, "{} is stale: redraw it", picture.path().display());
    }
}

#[test]
fn exit_status_tells_whether_all_checks_meet() {
    for (name, size, charge) in EXAMPLES {
        for (command, wanted) in [("size", size), ("charge", charge)] {
            for format in ["text", "json", "csv"] {
                let ran = run(&[command, &job(name), "--format", format]);
                assert_eq!(ran.status, wanted, "{command} {name} --format {format}: {}", ran.remarks);
                if format == "json" {
                    let verdict = &serde_json::from_str::<Value>(&ran.out).unwrap()["verdict"];
                    assert_eq!(verdict == "meets", wanted == 0, "{command} {name}: {verdict}");
                }
            }
        }
    }
}

#[test]
fn sheets_fit_80_columns_and_carry_no_escape_codes() {
    let mut commands: Vec<Vec<String>> = vec![];
    for units in ["us", "si"] {
        for (name, ..) in EXAMPLES {
            for command in ["size", "charge"] {
                commands.push([command, &job(name), "--units", units].map(str::to_owned).to_vec());
            }
        }
        for command in ["tubes", "sources"] {
            commands.push([command, "--units", units].map(str::to_owned).to_vec());
        }
    }
    for command in commands {
        let arguments: Vec<&str> = command.iter().map(String::as_str).collect();
        let Ran { status, out, remarks } = run(&arguments);
        assert!(status < 2 && !out.is_empty(), "{command:?}: {remarks}");
        // All characters of the sheets are one column wide (Latin, degree sign, plus-minus).
        for line in out.lines() {
            assert!(line.chars().count() <= WIDEST, "{command:?}: {line}");
        }
        assert!(!out.contains('\u{1b}') && !remarks.contains('\u{1b}'), "{command:?}");
    }
}

#[test]
fn faults_carry_no_escape_codes_into_a_pipe() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bad.toml");
    fs::write(&path, "format = 1\n[job]\nnaem = \"x\"\n").unwrap();
    let ran = run(&["size", path.to_str().unwrap()]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(ran.remarks.contains("naem") && !ran.remarks.contains('\u{1b}'), "{}", ran.remarks);
    let ran = run(&["size", "--no-such-option"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(!ran.remarks.contains('\u{1b}'), "{}", ran.remarks);
}

#[test]
fn harbour_makes_every_check_with_tubes_of_its_own_choice() {
    let size = answer(&["size", &job("harbour-fish-counter")]);
    for service in ["discharge", "liquid"] {
        let line = line(&size, service);
        assert_eq!(line["chosen_by_tool"], true);
        let chosen: Vec<_> =
            line["candidates"].as_array().unwrap().iter().filter(|tube| tube["chosen"] == true).collect();
        assert_eq!(chosen.len(), 1);
        assert_eq!(chosen[0]["tube"]["name"], line["tube"]["name"]);
        assert_eq!(chosen[0]["refused_for"].as_array().unwrap().len(), 0);
        assert!(line["checks"].as_array().unwrap().iter().all(|check| check["verdict"] == "meets"));
    }
    // The limit that the job states takes the place of the default one.
    let drop = check(line(&size, "liquid"), "saturated-temperature-drop");
    assert_eq!(drop["whose"], "job");
    approx::assert_relative_eq!(number(drop, "/limit"), 5.0 / 9.0, max_relative = 1e-12);
}

#[test]
fn harbour_states_every_key_that_the_starter_job_knows() {
    let text = fs::read_to_string(repo(&job("harbour-fish-counter"))).unwrap();
    // Commented keys of the starter job are keys too: the demo states them.
    for line in report::job::STARTER.lines() {
        let line = line.trim_start_matches("# ");
        let Some((key, _)) = line.split_once('=') else { continue };
        let key = key.trim();
        if key.is_empty() || !key.chars().all(|c| c.is_ascii_lowercase() || c == '_') {
            continue;
        }
        assert!(
            text.lines().any(|line| line.split('=').next().is_some_and(|written| written.trim() == key)),
            "{key}"
        );
    }
}

#[test]
fn corridor_is_beyond_the_covered_run_and_computed() {
    let charge = answer(&["charge", &job("long-corridor")]);
    let set = &charge["sets"][0];
    assert!(number(set, "/covered_run_m") < number(set, "/run_m"));
    assert!(number(set, "/run_m") < number(set, "/longest_run_m"));
    for service in ["discharge", "liquid"] {
        let line = line(&charge, service);
        assert_eq!((&line["used"], &line["maker_rate_kg_m"]), (&Value::from("computed"), &Value::Null));
    }
    let (added, band) = (number(set, "/added_charge_kg"), number(set, "/band_kg"));
    assert!(added > 0.0 && band > 0.0 && band < 0.1 * added, "{added} ± {band}");
    // 16 x 1 mm is covered and 18 x 1 mm is taken: the sheet owes the reason.
    let discharge = answer(&["size", &job("long-corridor")]);
    let discharge = line(&discharge, "discharge");
    assert_eq!(number(discharge, "/tube/od_mm").round(), 18.0);
    let smaller = discharge["candidates"]
        .as_array()
        .unwrap()
        .iter()
        .find(|tube| tube["tube"]["name"].as_str().unwrap().starts_with("16 x 1 mm"))
        .unwrap();
    assert!(!smaller["refused_for"].as_array().unwrap().is_empty());
}

#[test]
fn too_far_says_by_how_much() {
    let size = answer(&["size", &job("too-far")]);
    assert_eq!(size["verdict"], "fails");
    let run_check = check(&size["sets"][0], "run");
    assert_eq!((&run_check["verdict"], &run_check["whose"]), (&"fails".into(), &"maker".into()));
    // 132 ft against 100 ft.
    approx::assert_relative_eq!(number(run_check, "/margin"), -32.0 * 0.3048, max_relative = 1e-12);
    let others = size["sets"][0]["lines"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|line| line["checks"].as_array().unwrap())
        .all(|check| check["verdict"] == "meets");
    assert!(others, "nothing but the maker's limit stands against this job");
    for command in ["size", "charge"] {
        let sheet = run(&[command, &job("too-far")]).out;
        assert!(sheet.lines().take(12).any(|line| line.contains("-32 ± 2.6 ft")), "{command}: {sheet}");
    }
}

#[test]
fn cellar_meets_in_summer_and_flashes_at_low_head() {
    let size = answer(&["size", &job("cellar-condenser")]);
    let liquid = line(&size, "liquid");
    assert!(number(liquid, "/lift_m") > 0.0, "the liquid rises");
    let governing = &liquid["checks"][0];
    assert_eq!(governing["kind"], "flash-margin");
    assert_eq!((&governing["condition"], &governing["verdict"]), (&"low head".into(), &"fails".into()));
    assert!(number(governing, "/value") < 0.0);
    // With the head pressure held where it is in summer, summer and peak are all there is, and they meet.
    let text = fs::read_to_string(repo(&job("cellar-condenser"))).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    fs::write(&path, text.replace("setting = \"70 °F\" }", "setting = \"109.9 °F\" }")).unwrap();
    let held = answer(&["size", path.to_str().unwrap()]);
    assert_eq!(held["verdict"], "meets");
    assert!(number(line(&held, "liquid"), "/flash_margin_k") > 0.0);
    // It is the only one that fails.
    let sets = size["sets"].as_array().unwrap();
    let failing = sets[0]["lines"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|line| line["checks"].as_array().unwrap())
        .chain(sets[0]["checks"].as_array().unwrap())
        .filter(|check| check["verdict"] != "meets")
        .count();
    assert_eq!(failing, 1);
}

#[test]
fn cellar_is_mended_as_its_comment_says() {
    let text = fs::read_to_string(repo(&job("cellar-condenser"))).unwrap();
    let setting = "head_pressure = { method = \"fan cycling\", setting = \"70 °F\" }";
    assert!(text.contains(setting) && text.contains("setting = \"95 °F\";"));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    let status = |from: &str, to: &str| {
        assert!(text.contains(from));
        fs::write(&path, text.replace(from, to)).unwrap();
        run(&["size", path.to_str().unwrap()]).status
    };
    assert_eq!(status(setting, &setting.replace("70", "95")), 0, "a higher setting");
    assert_eq!(status("tube = \"3/8 in OD\"", "tube = \"5/8 in OD\""), 1, "a larger tube does not help");
}
