//! Examples of `data/jobs` that show one thing of physics each, and what one changed line of the job does to it.

use crate::command::{answer, line, number, repo};
use serde_json::Value;
use std::fs;

/// The answer of `size` to an example in which one line, known by how it begins, is replaced.
fn changed(name: &str, begins: &str, new: &str) -> Value {
    let text = fs::read_to_string(repo(&format!("data/jobs/{name}.toml"))).unwrap();
    let lines = text.lines().filter(|line| line.starts_with(begins)).count();
    assert_eq!(lines, 1, "{name}: {begins}");
    let text: Vec<&str> =
        text.lines().map(|line| if line.starts_with(begins) { new } else { line }).collect();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    fs::write(&path, text.join("\n")).unwrap();
    answer(&["size", path.to_str().unwrap()])
}

fn as_written(name: &str) -> Value {
    answer(&["size", &format!("data/jobs/{name}.toml")])
}

fn check<'a>(of: &'a Value, kind: &str) -> &'a Value {
    of["checks"].as_array().unwrap().iter().find(|check| check["kind"] == kind).unwrap()
}

/// Kinds of the checks that do not meet, of the set and of all lines.
fn failing(size: &Value) -> Vec<&str> {
    let set = &size["sets"][0];
    let lines = set["lines"].as_array().unwrap();
    let checks = std::iter::once(set).chain(lines).flat_map(|of| of["checks"].as_array().unwrap());
    checks.filter(|check| check["verdict"] != "meets").map(|check| check["kind"].as_str().unwrap()).collect()
}

fn says(of: &Value, list: &str, words: &str) -> bool {
    of[list].as_array().unwrap().iter().any(|said| said.as_str().unwrap().contains(words))
}

/// Place and sentence of the first place where the liquid flashes at a condition.
fn flashes<'a>(liquid: &'a Value, condition: &str) -> Option<(&'a str, &'a str)> {
    let changes = liquid["phase_changes"].as_array().unwrap();
    let mut at = changes.iter().filter(|change| change["condition"] == condition);
    let change = at.find(|change| change["into"] == "two-phase")?;
    Some((change["place"].as_str().unwrap(), change["sentence"].as_str().unwrap()))
}

#[test]
fn a_hot_roof_takes_the_margin_that_a_cool_day_leaves() {
    let hot = as_written("hot-roof");
    assert_eq!(failing(&hot), ["flash-margin"]);
    let liquid = line(&hot, "liquid");
    let (place, sentence) = flashes(liquid, "summer").unwrap();
    assert_eq!(place, "roof");
    assert!(sentence.contains("heat from its surroundings"), "{sentence}");
    // The roof warms the liquid, the room below cools it.
    let legs = liquid["heat"]["legs"].as_array().unwrap();
    assert_eq!(legs.len(), 2);
    assert!(number(&legs[0], "/heat_w_m") > 0.0 && number(&legs[1], "/heat_w_m") < 0.0);
    assert!(number(liquid, "/heat/heat_w") > 0.0);

    let cool = changed("hot-roof", "air = \"54 °C\"", "air = \"30 °C\"");
    assert_eq!(failing(&cool), [""; 0]);
    let margin = check(line(&cool, "liquid"), "flash-margin");
    // The fall to the hall and the cooler roof leave more than the 3 K of the condenser.
    assert!(number(margin, "/value") > number(margin, "/band") && number(margin, "/value") < 4.0);
}

#[test]
fn the_insulation_that_is_named_is_enough_on_the_hot_roof_and_a_larger_tube_is_not() {
    let bare = as_written("hot-roof");
    let heat = &line(&bare, "liquid")["heat"];
    let least_mm = number(heat, "/least_wall_mm");
    assert!(least_mm > 0.0 && says(heat, "remarks", "insulate with at least"));
    let wrapped = changed("hot-roof", "# insulation", &format!("insulation = \"{least_mm} mm\""));
    assert_eq!(wrapped["verdict"], "meets");
    let heat_w = |size| number(line(size, "liquid"), "/heat/heat_w");
    assert!(heat_w(&wrapped) < 0.5 * heat_w(&bare), "{} against {}", heat_w(&wrapped), heat_w(&bare));
    let larger = line(&bare, "liquid")["alternatives"].as_array().unwrap().last().unwrap();
    assert_eq!(larger["refused_by"][0], "flash-margin");
    assert!(number(larger, "/flash_margin_k") < number(line(&bare, "liquid"), "/flash_margin_k"));
}

#[test]
fn below_a_receiver_on_the_roof_height_is_the_only_margin() {
    let falls_first = as_written("receiver-on-the-roof");
    assert_eq!(falls_first["verdict"], "meets");
    let liquid = line(&falls_first, "liquid");
    let margin = check(liquid, "flash-margin");
    // Least where it leaves the receiver, and none there, though the condenser subcools by 4 K.
    assert_eq!((number(margin, "/value"), &margin["verdict"]), (0.0, &"meets".into()));
    assert!(says(liquid, "remarks", "starts at its bubble line"));
    assert_eq!(liquid["phase_changes"], serde_json::json!([]));
    // It gains pressure on the way, for the column outweighs the friction.
    assert!(number(liquid, "/pressure_drop_pa") < 0.0);

    let level_first =
        changed("receiver-on-the-roof", "legs = ", "legs = [\"up 6 m in shaft\", \"west 14 m on roof\"]");
    assert_eq!(failing(&level_first), ["flash-margin"]);
    let liquid = line(&level_first, "liquid");
    assert!(number(check(liquid, "flash-margin"), "/value") < 0.0);
    assert_eq!(flashes(liquid, "summer").unwrap().0, "roof");
    // Of the same tube, the run and the height are the same.
    for same in ["/run_m", "/lift_m", "/tube/bore_mm"] {
        assert_eq!(number(liquid, same), number(line(&falls_first, "liquid"), same), "{same}");
    }
}

#[test]
fn a_warm_room_helps_in_summer_and_flashes_the_liquid_at_low_head() {
    let low = as_written("summer-holds-winter-flashes");
    assert_eq!(failing(&low), ["flash-margin"]);
    let liquid = line(&low, "liquid");
    let margin = check(liquid, "flash-margin");
    assert_eq!((&margin["condition"], &margin["verdict"]), (&"low head".into(), &"fails".into()));
    assert!(number(margin, "/value") < -number(margin, "/band"));
    assert!(flashes(liquid, "summer").is_none());
    assert!(flashes(liquid, "low head").unwrap().1.contains("heat from its surroundings"));
    // The same room: heat leaves the liquid in summer, and both are said.
    let heat = &liquid["heat"];
    assert!(number(heat, "/heat_w") < 0.0);
    assert!(
        says(heat, "remarks", "heat helps here") && says(heat, "remarks", "at low head the liquid is colder")
    );

    let setting = "head_pressure = { method = \"fan cycling\", setting = \"95 °F bubble\" }";
    let high = changed("summer-holds-winter-flashes", "head_pressure", setting);
    assert_eq!(high["verdict"], "meets");
    let liquid = line(&high, "liquid");
    assert!(number(check(liquid, "flash-margin"), "/value") > 0.0);
    assert!(!says(&liquid["heat"], "remarks", "at low head the liquid is colder"));

    // The wall that is named does it as well.
    let least_mm = number(heat, "/least_wall_mm");
    let wrapped =
        changed("summer-holds-winter-flashes", "# insulation", &format!("insulation = \"{least_mm} mm\""));
    assert_eq!(failing(&wrapped), [""; 0]);
}

#[test]
fn a_riser_that_is_too_slow_at_part_load_is_doubled_where_the_capacity_steps() {
    let steps = as_written("riser-at-part-load");
    assert_eq!(failing(&steps), ["oil-return"]);
    let suction = line(&steps, "suction");
    let oil = check(suction, "oil-return");
    assert_eq!((&oil["condition"], &oil["verdict"]), (&"least load".into(), &"fails".into()));
    // The flux goes with the load: a fifth of what it is at full load, where it carries.
    let full_load = 5.0 * number(oil, "/value");
    assert!(full_load > 2.0 * number(oil, "/limit"), "{full_load}");
    let view = &suction["oil_return"];
    assert_eq!(view["too_slow_at"], "least load");
    let pair = &view["double_riser"];
    assert!(number(pair, "/small/bore_mm") < number(pair, "/large/bore_mm"));
    assert!(number(pair, "/large/bore_mm") < number(suction, "/tube/bore_mm"));
    for ratio in ["/small_alone_oil_return_ratio", "/small_oil_return_ratio", "/large_oil_return_ratio"] {
        assert!(number(pair, ratio) >= number(oil, "/limit"), "{ratio}");
    }
    assert!(number(pair, "/drop_pa") <= number(pair, "/allowed_drop_pa"));
    // At a fifth the large one has closed, at the step above it has not.
    let changeover = number(pair, "/changeover_share");
    assert!(changeover > 0.2 && changeover < 0.6, "{changeover}");
    // The next smaller size in the whole line is no answer: it drops too much.
    let smaller = &suction["alternatives"][0];
    assert!(smaller["refused_by"].as_array().unwrap().contains(&"saturated-temperature-drop".into()));

    let smooth = changed("riser-at-part-load", "capacity_steps", "");
    let view = &line(&smooth, "suction")["oil_return"];
    assert!(view["double_riser"].is_null());
    assert!(says(view, "advice", "does not help a capacity that does not step"));
    // No single riser serves beside the other legs, so none is advised.
    assert!(
        view["riser_alone"].is_null() && !says(view, "advice", "a smaller tube in the rising legs alone")
    );
}

#[test]
fn a_narrow_discharge_line_that_meets_all_else_opens_the_bypass() {
    let narrow = as_written("bypass-all-summer");
    assert_eq!(failing(&narrow), ["branch-budget"]);
    let set = &narrow["sets"][0];
    let budget = check(set, "branch-budget");
    assert_eq!((&budget["condition"], &budget["verdict"]), (&"peak".into(), &"fails".into()));
    assert!(number(budget, "/value") > number(budget, "/limit") + number(budget, "/band"));
    let branch = &set["branch"];
    // No leg of the way does it alone.
    for leg in ["/discharge_line_pa", "/coil_pa", "/return_friction_pa"] {
        assert!(number(branch, leg) > 0.0 && number(branch, leg) < number(branch, "/opens_at_pa"), "{leg}");
    }

    let text = fs::read_to_string(repo("data/jobs/bypass-all-summer.toml")).unwrap();
    let discharge = "[set.bait.line.discharge]\ntube = \"3/8 in OD\"";
    assert!(text.contains(discharge));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    fs::write(&path, text.replace(discharge, &discharge.replace("3/8", "1/2"))).unwrap();
    let wide = answer(&["size", path.to_str().unwrap()]);
    assert_eq!(wide["verdict"], "meets");
    let wide = &wide["sets"][0]["branch"];
    assert!(number(wide, "/margin_pa") > 0.0);
    // The tube alone makes the difference: coil and return are as they were.
    for leg in ["/coil_pa", "/return_friction_pa", "/return_height_pa"] {
        assert_eq!(number(wide, leg), number(branch, leg), "{leg}");
    }
    assert!(number(wide, "/discharge_line_pa") < 0.25 * number(branch, "/discharge_line_pa"));
}
