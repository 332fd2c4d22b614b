//! What the size sheet proposes beside its checks: risers, the branch of a flooding valve, tube sets, next sizes, reducers,
//! and the measurement that settles a check.

use crate::command::{answer, line, number, repo};
use approx::assert_relative_eq;
use serde_json::Value;
use std::fs;

/// Six significant digits are not cut in JSON; sums are those of double precision.
const ROUNDING: f64 = 1e-9;

/// The answer of `size` to the harbour job with some of its lines replaced: the key, and the line that takes its place.
fn harbour(changes: &[(&str, &str)]) -> Value {
    let mut text = fs::read_to_string(repo("data/jobs/harbour-fish-counter.toml")).unwrap();
    for (key, new) in changes {
        let old = text.lines().find(|line| line.starts_with(key)).unwrap_or_else(|| panic!("no {key}"));
        text = text.replace(&old.to_owned(), new);
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    fs::write(&path, text).unwrap();
    answer(&["size", path.to_str().unwrap()])
}

fn check<'a>(of: &'a Value, kind: &str) -> &'a Value {
    of["checks"].as_array().unwrap().iter().find(|check| check["kind"] == kind).unwrap()
}

fn says(of: &Value, words: &str) -> bool {
    of["advice"].as_array().unwrap().iter().any(|said| said.as_str().unwrap().contains(words))
}

/// A drop limit that asks for 7/8 in (5/8 in drops 0.7 °F, and 3/4 in is too weak for the relief), whose gas is far too slow
/// at a fifth of the load.
const SLOW: [(&str, &str); 3] = [
    ("saturated-temperature-drop-liquid", "saturated-temperature-drop-discharge = \"0.5 °F\""),
    ("least_load", "least_load = \"20 %\""),
    ("capacity_steps", "capacity_steps = [\"100 %\", \"40 %\", \"20 %\"]"),
];

#[test]
fn a_double_riser_is_proposed_where_the_capacity_steps() {
    let size = harbour(&SLOW);
    let oil = &line(&size, "discharge")["oil_return"];
    assert_eq!(oil["too_slow_at"], "least load");
    let pair = &oil["double_riser"];
    assert!(number(pair, "/drop_pa") <= number(pair, "/allowed_drop_pa"));
    for ratio in ["/small_oil_return_ratio", "/large_oil_return_ratio", "/small_alone_oil_return_ratio"] {
        assert!(number(pair, ratio) >= 1.15, "{ratio}: {pair}");
    }
    assert!(number(pair, "/small/bore_mm") < number(pair, "/large/bore_mm"));
    // 40 % of the gas no longer carries oil up the large riser, whose trap closes.
    let changeover = number(pair, "/changeover_share");
    assert!((0.4..1.0).contains(&changeover), "{changeover}");
    assert_eq!((number(pair, "/pairs"), number(pair, "/greatest_step_alone_share")), (2.0, 0.4));
    // 3/4 in is too weak for the relief, in the other legs as anywhere.
    assert_eq!(pair["other_legs"]["name"], "7/8 in OD");
    assert!(number(pair, "/greatest_step_alone_drop_pa") > number(pair, "/drop_pa"));
    // The flux goes with velocity in one gas: the share of the small riser follows from both velocities and bores.
    let flow = |name: &str| {
        let bore = number(pair, &format!("/{name}/bore_mm"));
        number(pair, &format!("/{name}_velocity_m_s")) * bore * bore
    };
    let share = flow("small") / (flow("small") + flow("large"));
    assert_relative_eq!(number(pair, "/small_share"), share, max_relative = ROUNDING);
    assert!(says(oil, "does not cure"));
}

#[test]
fn the_last_step_is_the_least_load_where_none_is_stated() {
    let [drop, _, steps] = SLOW;
    let with = harbour(&SLOW);
    let without = harbour(&[drop, ("least_load", ""), steps]);
    let oil = |size| line(size, "discharge")["oil_return"].clone();
    assert_eq!(oil(&without)["double_riser"], oil(&with)["double_riser"]);
    assert!(says(&oil(&without), "last of capacity_steps") && !says(&oil(&with), "last of capacity_steps"));
}

#[test]
fn without_steps_a_double_riser_is_said_not_to_help() {
    let [drop, least, _] = SLOW;
    let size = harbour(&[drop, least, ("capacity_steps", "")]);
    let oil = &line(&size, "discharge")["oil_return"];
    assert!(oil["double_riser"].is_null());
    assert!(says(oil, "does not help a capacity that does not step") && says(oil, "oil separator"));
}

#[test]
fn a_stated_tube_that_is_too_wide_is_told_what_serves_in_its_place() {
    let size = harbour(&[
        ("[set.ice-room.line.discharge]", "[set.ice-room.line.discharge]\ntube = \"1-1/8 in OD\""),
        ("tube = \"choose\"       ", ""),
        // Guards that 1-1/8 in and 3/4 in bear: a tube too weak is proposed for nothing.
        ("relief", "relief = \"27 bar(g)\""),
        ("cut_out", "cut_out = \"25.5 bar(g)\""),
    ]);
    let oil = &line(&size, "discharge")["oil_return"];
    assert_eq!(oil["too_slow_at"], "summer");
    // 3/4 in is the widest that carries oil at 60 % (see `data/jobs/harbour-fish-counter.toml`: 7/8 in never meets).
    assert_eq!(oil["riser_alone"]["riser"]["name"], "3/4 in OD");
    assert_eq!(oil["riser_alone"]["other_legs"]["name"], "1-1/8 in OD");
    assert!(says(oil, "1/2 in OD in the whole line") && says(oil, "no double riser is needed"));
}

#[test]
fn a_riser_that_carries_oil_gets_no_traps_but_those_of_the_maker() {
    let size = harbour(&[("traps_every", "traps_every = \"3 m\"")]);
    let oil = &line(&size, "discharge")["oil_return"];
    assert!(oil["too_slow_at"].is_null() && !says(oil, "does not cure"));
    // Risers of 26 ft and 6 ft, 7.9 m and 1.8 m: traps at 3 m and 6 m of the first.
    assert_eq!(oil["traps"]["heights_m"], serde_json::json!([[3.0, 6.0], []]));
    assert_eq!(number(oil, "/traps/count"), 2.0);
    assert!(says(oil, "route.inverted_loop = false") && says(oil, "route.foot_trap = false"));
    let off = harbour(&[
        ("inverted_loop", "inverted_loop = false"),
        ("foot_trap", "foot_trap = false"),
        ("traps_every", ""),
    ]);
    let oil = &line(&off, "discharge")["oil_return"];
    assert_eq!((&oil["inverted_loop"], &oil["foot_trap"]), (&Value::Bool(false), &Value::Bool(false)));
    assert!(oil["traps"].is_null() && !says(oil, "for a trap at each"));
    assert!(line(&off, "liquid")["oil_return"].is_null());
}

#[test]
fn the_branch_of_a_flooding_valve_is_summed_leg_by_leg() {
    let size = harbour(&[]);
    let set = &size["sets"][0];
    let branch = &set["branch"];
    let legs = ["/discharge_line_pa", "/coil_pa", "/return_friction_pa", "/return_height_pa"];
    let sum: f64 = legs.iter().map(|leg| number(branch, leg)).sum();
    assert_relative_eq!(number(branch, "/total_pa"), sum, max_relative = ROUNDING);
    // 10 kPa at design, 1.7 times the flow at peak: 10 kPa x 1.7^1.75.
    assert_relative_eq!(number(branch, "/coil_pa"), 10e3 * 1.7_f64.powf(1.75), max_relative = ROUNDING);
    assert!(number(branch, "/return_height_pa") < 0.0, "the return falls from the roof");
    let budget = check(set, "branch-budget");
    assert_eq!((&budget["verdict"], &budget["condition"]), (&"meets".into(), &"peak".into()));
    assert_eq!(budget["unit"], "Pa");
    assert_relative_eq!(number(budget, "/value"), sum, max_relative = ROUNDING);
}

#[test]
fn a_branch_that_drops_too_much_bypasses_all_summer() {
    let of_coil = |coil: &str| harbour(&[("coil_drop", coil)]);
    let fails = of_coil("coil_drop = \"60 kPa\"");
    let budget = check(&fails["sets"][0], "branch-budget");
    assert_eq!(budget["verdict"], "fails");
    assert!(budget["remarks"][0].as_str().unwrap().contains("bypasses the condenser all summer"));
    let close = of_coil("coil_drop = \"26 kPa\"");
    let budget = check(&close["sets"][0], "branch-budget");
    assert_eq!(budget["verdict"], "too-close-to-call");
    assert!(budget["settled_by"].as_str().unwrap().contains("gauges"));
    let missing = of_coil("");
    let budget = check(&missing["sets"][0], "branch-budget");
    assert_eq!(budget["verdict"], "not-checked");
    assert!(budget["missing"].as_str().unwrap().contains("coil_drop"));
    let valve = "head_pressure = { method = \"flooding valve\", at = \"head\", setting = \"70 °F bubble\" }";
    let missing = harbour(&[("head_pressure", valve)]);
    let budget = check(&missing["sets"][0], "branch-budget");
    assert!(budget["missing"].as_str().unwrap().contains("opens_at_difference"));
}

#[test]
fn a_valve_at_the_condenser_sees_the_coil_alone_and_no_valve_has_no_branch() {
    let valve = "head_pressure = { method = \"flooding valve\", at = \"condenser\", setting = \"70 °F bubble\", \
                 opens_at_difference = \"20 psi\" }";
    let size = harbour(&[("head_pressure", valve), ("receiver_at", "receiver_at = \"condenser\"")]);
    let branch = &size["sets"][0]["branch"];
    assert_eq!(number(branch, "/total_pa"), number(branch, "/coil_pa"));
    // With the receiver at the head and no flooding valve the maker has to say that the pipe runs full.
    let full = "receiver_at = \"head\"\nconfirm = [\"service\"]";
    let size = harbour(&[("head_pressure", "head_pressure = { method = \"none\" }"), ("receiver_at", full)]);
    let kinds: Vec<&str> = size["sets"][0]["checks"]
        .as_array()
        .unwrap()
        .iter()
        .map(|check| check["kind"].as_str().unwrap())
        .collect();
    assert!(size["sets"][0]["branch"].is_null() && !kinds.contains(&"branch-budget"));
}

#[test]
fn the_shortest_tube_set_that_reaches_is_taken_with_its_excess() {
    let size = harbour(&[]);
    let kit = &size["sets"][0]["kit"];
    // The run is 78 ft, 23.7744 m.
    assert_eq!(number(kit, "/length_m"), 26.0);
    assert_relative_eq!(number(kit, "/excess_m"), 26.0 - 78.0 * 0.3048, max_relative = ROUNDING);
    let drop = |of: &Value| number(of, "/saturated_temperature_drop_k");
    let discharge = &kit["lines"][0];
    assert!(drop(discharge) > drop(line(&size, "discharge")));
    assert!(says(kit, "no") && says(kit, "level turns") && says(kit, "not evacuated"));
    let short = harbour(&[("kits", "kits = [\"20 m\"]")]);
    let kit = &short["sets"][0]["kit"];
    assert!(kit["length_m"].is_null());
    assert_relative_eq!(number(kit, "/short_by_m"), 78.0 * 0.3048 - 20.0, max_relative = ROUNDING);
    assert!(harbour(&[("kits", "")])["sets"][0]["kit"].is_null());
}

#[test]
fn the_next_sizes_stand_beside_the_tube_taken() {
    let size = harbour(&[]);
    let rows = line(&size, "discharge")["alternatives"].as_array().unwrap();
    let names: Vec<&str> = rows.iter().map(|row| row["tube"]["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["3/8 in OD", "1/2 in OD", "5/8 in OD"]);
    assert_eq!(rows[0]["refused_by"][0], "saturated-temperature-drop");
    assert!(number(&rows[1], "/drop_change_k") == 0.0 && number(&rows[2], "/drop_change_k") < 0.0);
    // 1/2 in coil is listed with 0.27 kg/m: 78 ft of it.
    assert_relative_eq!(number(&rows[1], "/copper_kg"), 0.27 * 78.0 * 0.3048, max_relative = ROUNDING);
    assert!(number(&rows[0], "/copper_change_kg") < 0.0 && number(&rows[2], "/copper_change_kg") > 0.0);
}

#[test]
fn connections_of_another_size_ask_for_reducers() {
    assert_eq!(line(&harbour(&[]), "discharge")["reducers"], serde_json::json!([]));
    let size = harbour(&[("head = ", "head = { discharge = \"5/8 in OD\", liquid = \"1/4 in OD\" }")]);
    let of = |service: &str| line(&size, service)["reducers"][0].clone();
    assert_eq!((&of("discharge")["at"], &of("liquid")["at"]), (&"head".into(), &"head".into()));
    // 5/8 in into the 1/2 in line narrows: 0.5 (1 - (0.436 / 0.555)^2).
    let narrowed = 0.5 * (1.0 - (0.436_f64 / 0.555).powi(2));
    assert_relative_eq!(number(&of("discharge"), "/resistance"), narrowed, max_relative = ROUNDING);
}

#[test]
fn only_a_check_too_close_to_call_says_what_settles_it() {
    let size = harbour(&[("longest_run", "longest_run = \"78 ft\"")]);
    let set = &size["sets"][0];
    let run = check(set, "run");
    assert_eq!(run["verdict"], "too-close-to-call");
    assert!(run["settled_by"].as_str().unwrap().contains("tape"));
    let of_lines =
        set["lines"].as_array().unwrap().iter().flat_map(|line| line["checks"].as_array().unwrap());
    for check in of_lines.chain(set["checks"].as_array().unwrap()) {
        assert_eq!(check["settled_by"].is_null(), check["verdict"] != "too-close-to-call", "{check}");
        assert_eq!(check["settled_by"].is_null(), check["matters_most"].is_null(), "{check}");
    }
}
