//! The summary: the check that governs, the nearest one, then all others by their margin.

use super::{Pack, Part, sheet};
use crate::{
    document::{
        checks_of, ranked,
        sheet::{ABSENT, Grid, Sheet},
        text, verdict_words, words,
    },
    figure::in_unit,
    view::{CheckView, FieldView, VerdictView},
};

pub(super) fn part(pack: Pack<'_>) -> Part {
    let units = pack.units;
    let (not_made, made): (Vec<_>, Vec<_>) =
        ranked(all(pack)).into_iter().partition(|(_, check)| check.verdict == VerdictView::NotChecked);
    let mut sheet = Sheet::default();
    for (what, (of, check)) in ["Governs", "Nearest after it"].iter().zip(&made) {
        sheet.paragraph(&format!("{what}: {of}: {}", text::sentence(None, check, units)));
    }
    let mut grid = Grid::new(&["check", "of", "at", "verdict", "value", "limit", "margin ± band"]);
    for (of, check) in &made {
        let both = |value: Option<f64>| {
            value.map_or_else(|| ABSENT.into(), |value| in_unit(value, check.unit).both(units))
        };
        grid.row([
            words(&check.kind),
            of.clone(),
            if check.condition.is_empty() { ABSENT.into() } else { check.condition.clone() },
            verdict_words(check.verdict).into(),
            both(check.value),
            format!("{} {}", check.sense, both(check.limit)),
            text::margin_and_band(check).map_or_else(|| ABSENT.into(), |margin| margin.both(units)),
        ]);
    }
    sheet.section(&format!("All checks that were made: {}", made.len()));
    sheet.grid(grid);
    let needs: Vec<String> = not_made
        .iter()
        .map(|(of, check)| {
            format!("{of}: {}{}: {}", words(&check.kind), text::at(&check.condition), text::needs(check))
        })
        .collect();
    text::print_list(&mut sheet, &format!("Checks that could not be made: {}", needs.len()), &needs);
    Part { id: "summary", title: "Summary", body: sheet::set(sheet) }
}

/// Every check of the job with what it is of; of the layouts those that may be built, which is the recommended one where
/// there is one.
fn all(pack: Pack<'_>) -> Vec<(String, &CheckView)> {
    let view = pack.view;
    let mut all: Vec<(String, &CheckView)> = Vec::new();
    for set in &view.size.sets {
        all.extend(checks_of(set).map(|(line, check)| {
            let line = line.map(|line| format!(", {} line", line.service)).unwrap_or_default();
            (format!("{}{line}", set.name), check)
        }));
    }
    for set in &view.charge.sets {
        // The run is judged among the checks of the lines already.
        let sized = view.size.sets.iter().any(|sized| sized.name == set.name);
        let own = set.checks.iter().filter(|check| !(sized && check.kind == "run"));
        all.extend(own.map(|check| (format!("{}, charge", set.name), check)));
    }
    if let Some(compare) = &view.compare {
        let counts =
            |name: &String| compare.recommended.as_ref().is_none_or(|recommended| recommended == name);
        for layout in compare.layouts.iter().filter(|layout| counts(&layout.name)) {
            all.extend(layout.checks.iter().map(|check| (format!("layout {}", layout.name), check)));
        }
    }
    all.extend([&view.prove, &view.supply].into_iter().flat_map(of_field));
    all
}

fn of_field(view: &FieldView) -> impl Iterator<Item = (String, &CheckView)> {
    view.sets.iter().flat_map(|set| {
        set.parts.iter().flat_map(move |part| {
            part.checks.iter().map(move |check| (format!("{}, {}", set.name, words(&part.name)), check))
        })
    })
}
