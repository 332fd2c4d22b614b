//! All checks of all sheets, the one that governs first.

use super::Desk;
use crate::{
    figure::in_unit,
    view::{CheckView, FieldView, PackCheckView, VerdictView},
};

/// Fails, too close to call, not made, meets; in each the one with least left to its limit first.
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
    checks.sort_by(|a, b| {
        let rank = |check: &CheckView| u8::MAX - check.verdict.gravity();
        rank(&a.check).cmp(&rank(&b.check)).then(left(&a.check).total_cmp(&left(&b.check)))
    });
    checks
}

/// Share of the limit that is left; what has no limit, or one of 0, comes last.
fn left(check: &CheckView) -> f64 {
    match (check.margin, check.limit) {
        (Some(margin), Some(limit)) if limit != 0.0 => margin / limit.abs(),
        _ => f64::INFINITY,
    }
}

fn sentence(desk: &Desk<'_>, of: &str, part: &str, check: &CheckView) -> String {
    let words = |value: f64| in_unit(value, check.unit).both(desk.units());
    let place = [of, part].into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(", ");
    let kind = check.kind.replace('-', " ");
    let verdict = match check.verdict {
        VerdictView::Meets => "meets",
        VerdictView::TooCloseToCall => "too close to call",
        VerdictView::Fails => "fails",
        VerdictView::NotChecked => "not checked",
    };
    let found = match (&check.missing, check.value, check.limit) {
        (Some(missing), ..) => format!("needs {missing}"),
        (None, Some(value), Some(limit)) => format!("{}, {} {}", words(value), check.sense, words(limit)),
        (None, Some(value), None) => words(value),
        (None, None, _) => String::new(),
    };
    let at = if check.condition.is_empty() { String::new() } else { format!(" at {}", check.condition) };
    format!("{place}: {kind} {verdict}{at}; {found}").trim_end_matches("; ").to_owned()
}
