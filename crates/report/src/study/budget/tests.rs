use crate::{
    job::{STARTER, read},
    study::{charge, resolve},
    view::{ChargeView, SetChargeView, VerdictView},
};
use tables::Library;

fn view(changes: &[(&str, &str)]) -> ChargeView {
    let mut text = STARTER.to_owned();
    for (old, new) in changes {
        assert!(text.contains(old), "the starter has no `{old}`");
        text = text.replace(old, new);
    }
    let job = read("job.toml", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"));
    let library = Library::embedded().unwrap();
    charge(&resolve(&job, &library).unwrap_or_else(|error| panic!("{error}")))
}

fn set(changes: &[(&str, &str)]) -> SetChargeView {
    view(changes).sets.remove(0)
}

#[test]
fn the_starter_is_covered_fits_and_is_allowed() {
    let view = view(&[]);
    let set = &view.sets[0];
    let budget = set.budget.as_ref().unwrap();
    assert_eq!(view.verdict, VerdictView::Meets, "{:?}", set.checks);
    assert_eq!((budget.winter.added_kg, &*budget.winter.state), (Some(0.0), "covered by the plate"));
    assert_eq!((budget.added_kg, budget.total_kg), (set.added_charge_kg, set.total_charge_kg));
    assert_eq!(budget.allowed.answer, "yes");
    assert!(
        budget.allowed.why.contains("UNCONFIRMED"),
        "the limit of R-449A is recalled: {}",
        budget.allowed.why
    );
    let flooded = budget.winter.at_lowest_air.unwrap();
    assert!(flooded.net_kg < flooded.gross_kg && flooded.flooded_share < 1.0);
    let further = budget.winter.at_covered_winter.unwrap();
    assert!(further.flooded_share > flooded.flooded_share, "the plate covers colder air");
    assert!(budget.stop_kg.unwrap() > budget.total_kg.unwrap());
}

#[test]
fn the_parts_add_up_to_the_factory_charge_and_the_lines() {
    let set = set(&[]);
    let budget = set.budget.as_ref().unwrap();
    let part = |name: &str| budget.parts.iter().find(|part| part.part == name).unwrap();
    // The head is what remains of the factory charge, which is for the covered lines and the covered winter.
    let covered: f64 = set.lines.iter().map(|line| line.covered_kg).sum();
    let sum = covered
        + part("condenser in summer").low_kg.unwrap()
        + part("receiver").low_kg.unwrap()
        + budget.winter.at_covered_winter.unwrap().net_kg
        + part("head").high_kg.unwrap();
    approx::assert_relative_eq!(sum, set.factory_charge_kg.unwrap(), max_relative = 1e-9);
    assert!(part("head").low_kg < part("head").high_kg);
}

#[test]
fn a_warmer_plate_adds_the_difference_and_a_silent_one_asks() {
    let covered = "covered_winter = \"-20 °F\"";
    let warmer = set(&[(covered, "covered_winter = \"30 °F\"")]);
    let budget = warmer.budget.as_ref().unwrap();
    let [cold, warm] = [budget.winter.at_lowest_air, budget.winter.at_covered_winter].map(Option::unwrap);
    let added = budget.winter.added_kg.unwrap();
    approx::assert_relative_eq!(added, cold.net_kg - warm.net_kg, max_relative = 1e-12);
    assert!(added > 0.0);

    let silent = view(&[(&format!("{covered}\n"), "")]);
    let set = &silent.sets[0];
    let budget = set.budget.as_ref().unwrap();
    assert_eq!((set.total_charge_kg, budget.total_kg, budget.added_kg), (None, None, None));
    assert!(set.added_charge_kg.is_some() && budget.winter.at_lowest_air.is_some());
    assert_eq!(silent.verdict, VerdictView::NotChecked);
    assert_eq!(budget.allowed.answer, "not known");

    let no_air = view(&[("lowest_air = \"-10 °F\"", "")]);
    let question = no_air.sets[0].budget.as_ref().unwrap().winter.question.clone();
    assert!(question.unwrap().contains("site.lowest_air"));
}

#[test]
fn fans_hold_the_pressure_without_refrigerant() {
    let valve = "{ method = \"flooding valve\", at = \"head\", setting = \"70 °F bubble\", opens_at_difference = \"20 psi\" }";
    let fan = "{ method = \"fan cycling\", setting = \"70 °F bubble\" }";
    let confirmed = ("least_load = \"60 %\"", "confirm = [\"service\"]\nleast_load = \"60 %\"");
    let set = set(&[(valve, fan), confirmed, ("covered_winter = \"-20 °F\"\n", "")]);
    let budget = set.budget.as_ref().unwrap();
    assert_eq!((&*budget.winter.state, budget.winter.added_kg), ("nothing floods", Some(0.0)));
    assert!(budget.total_kg.is_some());
}

#[test]
fn an_unknown_coil_is_asked_for_and_a_receiver_then_not_judged() {
    let set = set(&[("coil_volume = \"2 L\"", "")]);
    let budget = set.budget.as_ref().unwrap();
    assert!(budget.winter.missing.as_ref().unwrap().contains("coil_volume"));
    assert!(budget.total_kg.is_some(), "the plate covers the winter, whatever the coil holds");
    let fill = set.checks.iter().find(|check| check.kind == "receiver-fill").unwrap();
    assert_eq!(fill.verdict, VerdictView::NotChecked);
}

#[test]
fn a_small_receiver_a_small_room_and_a_small_greatest_charge_fail() {
    let fails = |changes: &[(&str, &str)], kind: &str| {
        let set = set(changes);
        let verdict = set.checks.iter().find(|check| check.kind == kind).unwrap().verdict;
        assert_eq!((verdict, &*set.budget.unwrap().allowed.answer), (VerdictView::Fails, "no"), "{kind}");
    };
    fails(&[("receiver_volume = \"0.2 ft3\"", "receiver_volume = \"1 L\"")], "receiver-fill");
    fails(&[("receiver_volume = \"0.2 ft3\"", "receiver_volume = \"1 L\"")], "receiver-liquid-full");
    fails(&[("volume = \"1400 ft3\"", "volume = \"300 ft3\"")], "room-concentration");
    fails(
        &[
            ("# greatest_charge = \"18 lb\"", "greatest_charge = \"11 lb 6 oz\""),
            ("north 38 ft in attic", "north 70 ft in attic"),
            ("longest_run = \"100 ft\"", "longest_run = \"200 ft\""),
        ],
        "greatest-charge",
    );
}

#[test]
fn half_of_the_limit_in_institutions() {
    let limit = |changes: &[(&str, &str)]| {
        let set = set(changes);
        set.checks.iter().find(|check| check.kind == "room-concentration").unwrap().limit.unwrap()
    };
    let half = limit(&[("# institutional", "institutional")]);
    approx::assert_relative_eq!(2.0 * half, limit(&[]), max_relative = 1e-12);
}
