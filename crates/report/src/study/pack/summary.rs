//! All checks of all sheets, the one that governs first.

use super::Desk;
use crate::view::{CheckView, FieldView, PackCheckView};

/// Fails, too close to call, not made, meets; in each the plant before the work of the day, and the one with least left
/// to its limit first.
pub(super) fn summary(desk: &Desk<'_>, supply: &FieldView) -> Vec<PackCheckView> {
    let mut checks = Vec::new();
    let mut add = |sheet: &'static str, of: &str, part: &str, check: &CheckView| {
        let sentence = sentence(desk, of, part, check);
        let check = check.clone();
        checks.push(PackCheckView { sheet, of: of.to_owned(), part: part.to_owned(), sentence, check });
    };
    for set in &desk.size.sets {
        set.checks.iter().for_each(|check| add("size", &set.name, "", check));
        for line in &set.lines {
            line.checks.iter().for_each(|check| add("size", &set.name, &line.service, check));
        }
    }
    for set in &desk.charge.sets {
        // The run is judged on the sheet of sizes too.
        let others = set.checks.iter().filter(|check| check.kind != "run");
        others.for_each(|check| add("charge", &set.name, "", check));
    }
    // What is not recommended is not built.
    let layouts = desk.compare.into_iter().flat_map(|view| {
        view.layouts.iter().filter(|layout| view.recommended.is_none() || view.recommends(layout))
    });
    for layout in layouts {
        layout.checks.iter().for_each(|check| add("compare", &layout.name, "", check));
    }
    for (sheet, view) in [("prove", desk.prove), ("supply", supply)] {
        for set in &view.sets {
            for part in &set.parts {
                part.checks.iter().for_each(|check| add(sheet, &set.name, &part.name, check));
            }
        }
    }
    // What is done on the day, and sizes picked up to a rating, say less of the plant than what it is built of.
    let of_the_day = |check: &PackCheckView| matches!(check.sheet, "prove" | "supply");
    checks.sort_by(|a, b| {
        let rank = |check: &PackCheckView| (u8::MAX - check.check.verdict.gravity(), of_the_day(check));
        let left = |check: &PackCheckView| check.check.relative_margin();
        rank(a).cmp(&rank(b)).then(left(a).total_cmp(&left(b)))
    });
    checks
}

fn sentence(desk: &Desk<'_>, of: &str, part: &str, check: &CheckView) -> String {
    let words = |value: f64| desk.resolved.both(value, check.unit);
    let place = [of, part].into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(", ");
    let kind = check.kind.replace('-', " ");
    let verdict = check.verdict.words();
    let found = match (&check.missing, check.value, check.limit) {
        (Some(missing), ..) => format!("needs {missing}"),
        (None, Some(value), Some(limit)) => format!("{}, {} {}", words(value), check.sense, words(limit)),
        (None, Some(value), None) => words(value),
        (None, None, _) => String::new(),
    };
    let at = if check.condition.is_empty() { String::new() } else { format!(" at {}", check.condition) };
    format!("{place}: {kind} {verdict}{at}; {found}").trim_end_matches("; ").to_owned()
}
