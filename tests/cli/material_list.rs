//! The material list of one example, counted by hand from its file, step by step, without a call into our crates for the count.
//!
//! What a row of `data/materials` says is common practice: here it is the number that the hand uses too. What is tested is the
//! counting. Tubes and added charge are those of the sheets; tests of their own hold them.

use report::{job, study};
use serde_json::Value;
use std::fs;

use crate::command::{number, repo};

const FOOT_M: f64 = 0.3048;
const FOOT3_M3: f64 = FOOT_M * FOOT_M * FOOT_M;

fn harbour() -> Value {
    let path = repo("data/jobs/harbour-fish-counter.toml");
    let job = job::read("harbour-fish-counter.toml", &fs::read(path).unwrap()).unwrap();
    let library = tables::Library::embedded().unwrap();
    serde_json::to_value(study::pack(&job, &library, None, &|_| ()).unwrap()).unwrap()
}

/// Counted and to order, of the one item of a line that begins with these words.
fn item(view: &Value, line: &str, what: &str) -> (f64, f64) {
    let items = view["sets"][0]["materials"]["items"].as_array().unwrap();
    let of_line = |item: &&Value| item["line"] == line && item["what"].as_str().unwrap().starts_with(what);
    let found: Vec<&Value> = items.iter().filter(of_line).collect();
    assert_eq!(found.len(), 1, "{line} {what}: {found:#?}");
    (number(found[0], "/counted"), number(found[0], "/quantity"))
}

fn is(view: &Value, line: &str, what: &str, counted: f64, order: f64) {
    let (found_counted, found_order) = item(view, line, what);
    for (found, wanted) in [(found_counted, counted), (found_order, order)] {
        // Nothing but the turning of feet into metre lies between hand and list.
        assert!((found - wanted).abs() <= 1e-6 * wanted.max(1.0), "{line} {what}: {found}, by hand {wanted}");
    }
}

#[test]
fn the_harbour_counted_by_hand() {
    let view = harbour();
    let lines = view["size"]["sets"][0]["lines"].as_array().unwrap();
    assert_eq!(
        (&lines[0]["tube"]["name"], &lines[1]["tube"]["name"]),
        (&"1/2 in OD".into(), &"3/8 in OD".into())
    );

    // Legs: up 26 ft, north 34 ft in the attic, up 6 ft and west 12 ft on the roof: 78 ft, three changes of direction.
    let legs_ft = 26.0 + 34.0 + 6.0 + 12.0;

    // Discharge, 1/2 in coil with long elbows. It rises: an inverted loop (4 ft of tube) and a foot trap (1 ft); the maker asks
    // for a trap at each 12 m (39 ft) of height, and no riser is so high. 83 ft; a tenth more is 91.3 ft: two rolls of 50 ft.
    let discharge_ft: f64 = legs_ft + 4.0 + 1.0;
    assert_eq!(discharge_ft, 83.0);
    is(&view, "discharge", "tube, ", discharge_ft * FOOT_M, 91.3 * FOOT_M);
    is(&view, "discharge", "roll of 50 ft", 2.0, 2.0);
    // Elbows: three turns, two at the loop, one at the trap; a return bend at each of the two.
    is(&view, "discharge", "long-radius elbow", 6.0, 6.0);
    is(&view, "discharge", "return bend", 2.0, 2.0);
    // No straight piece is longer than a roll, so no coupling; head and condenser end in 1/2 in, so no reducer.
    // Joints: 8 fittings with two each, and two ends.
    let discharge_joints = 8.0 * 2.0 + 2.0;

    // Liquid, 3/8 in coil, bent: three bends; 78 ft, 85.8 ft with waste: two rolls, and one coupling where the second begins.
    is(&view, "liquid", "tube, ", legs_ft * FOOT_M, 85.8 * FOOT_M);
    is(&view, "liquid", "roll of 50 ft", 2.0, 2.0);
    is(&view, "liquid", "bend made in the tube", 3.0, 3.0);
    is(&view, "liquid", "coupling", 1.0, 1.0);
    for (part, count) in [("ball valve", 2.0), ("filter drier", 1.0), ("check valve", 1.0)] {
        is(&view, "liquid", part, count, count);
    }
    // Joints: coupling, four parts, two ends.
    let liquid_joints = 2.0 + 4.0 * 2.0 + 2.0;
    // Insulated all along; pieces of 6 ft: 85.8 / 6 = 14.3. In the weather: 6 ft and 12 ft on the roof.
    is(&view, "liquid", "tube insulation", 78.0 * FOOT_M, 85.8 * FOOT_M);
    is(&view, "liquid", "piece of insulation", 15.0, 15.0);
    is(&view, "liquid", "weather cover", 18.0 * FOOT_M, 19.8 * FOOT_M);

    // Supports of both: level every 5 ft (34 ft: 7, 12 ft: 3), upright every 10 ft (26 ft: 3, 6 ft: 1), one at the far end.
    for line in ["discharge", "liquid"] {
        is(&view, line, "support", 15.0, 15.0);
        is(&view, line, "line tag", 2.0, 2.0);
        is(&view, line, "cap", 2.0, 2.0);
    }

    // Room to attic: one sleeve. Attic to roof: one pipe box with two seals.
    is(&view, "", "sleeve inside", 1.0, 1.0);
    is(&view, "", "flashed pipe box", 1.0, 1.0);
    is(&view, "", "seal of one line", 2.0, 2.0);

    // Filler: 18 joints at 1-1/2 in and 12 at 1 in are 39 in: two rods of 20 in.
    let joints = discharge_joints + liquid_joints;
    assert_eq!((joints, 18.0 * 1.5 + 12.0 * 1.0), (30.0, 39.0));
    is(&view, "", "rod of brazing filler", 2.0, 2.0);

    // Nitrogen at 101,325 Pa. Brazing: 30 joints x 5 min x 5 ft3/h = 12.5 ft3.
    let purge_m3 = 12.5 * FOOT3_M3;
    is(&view, "", "dry nitrogen, flowing", purge_m3, purge_m3);
    // Test: 3 L to 26 bar gauge.
    let test_m3 = 3e-3 * 26e5 / 101_325.0;
    is(&view, "", "dry nitrogen, pressure test", test_m3, test_m3);
    // Holding charge: 3 L to 1.4 bar gauge.
    let holding_m3 = 3e-3 * 1.4e5 / 101_325.0;
    is(&view, "", "dry nitrogen, holding", holding_m3, holding_m3);
    // Two breaks: 3 L twice, in the air of 160 ft: some 0.6 % thinner than at the sea (11.9 Pa a metre, 580 Pa).
    let (breaks_m3, _) = item(&view, "", "dry nitrogen, breaking");
    assert!((breaks_m3 / (2.0 * 3e-3) - (1.0 - 580.0 / 101_325.0)).abs() < 3e-4, "{breaks_m3}");
    // 0.441 m3, a fifth more 0.529 m3. A cylinder of 80 ft3 (2.265 m3) at 2200 psig (15.17 MPa) gives 82 % of it above 2.6 MPa.
    assert!((purge_m3 + test_m3 + breaks_m3 + holding_m3) * 1.2 < 0.82 * 80.0 * FOOT3_M3);
    let (cylinders, to_order) = item(&view, "", "nitrogen cylinder");
    let share = (15.17e6 - 2.6e6) / (15.17e6 + 101_325.0);
    let by_hand = (purge_m3 + test_m3 + breaks_m3 + holding_m3) * 1.2 / (share * 80.0 * FOOT3_M3);
    // The altitude moves the air's own pressure by 0.6 %, of which the cylinder's 15 MPa notice nothing.
    assert!((cylinders / by_hand - 1.0).abs() < 1e-3 && to_order == 1.0, "{cylinders}, by hand {by_hand}");
    // Pump oil: before the first vacuum and after each of two breaks.
    is(&view, "", "vacuum pump oil", 1.5e-3, 1.5e-3);

    // Refrigerant: what the budget adds, from one cylinder.
    let added_kg = number(&view, "/charge/sets/0/budget/added_kg");
    assert!(added_kg > 0.0 && added_kg < 25.0 * 0.453_592_37);
    is(&view, "", "refrigerant to weigh in", added_kg, added_kg);
    let (cylinders, to_order) = item(&view, "", "refrigerant cylinder");
    // The pound of the unit library carries seven digits.
    assert!((cylinders / (added_kg / (25.0 * 0.453_592_37)) - 1.0).abs() < 1e-6 && to_order == 1.0);
}
