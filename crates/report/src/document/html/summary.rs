//! The summary: the check that governs, the nearest one, then all others by what is left to their limit.

use super::{Pack, Part, sheet_of};
use crate::{
    document::{
        sheet::{ABSENT, Grid},
        text, verdict_words, words,
    },
    figure::{Units, in_unit},
    view::{CheckView, PackCheckView, VerdictView},
};

pub(super) fn part(pack: Pack<'_>) -> Part {
    let all = &pack.view.summary;
    let (not_made, made): (Vec<_>, Vec<_>) =
        all.iter().partition(|it| it.check.verdict == VerdictView::NotChecked);
    let body = sheet_of(|sheet| {
        for (what, it) in ["Governs", "Nearest after it"].iter().zip(&made) {
            sheet.paragraph(&format!("{what}: {}", text::capital(&it.sentence)));
        }
        sheet.section(&format!("All checks that were made: {}", made.len()));
        sheet.grid(table(&made, pack.units));
        let needs: Vec<String> = not_made.iter().map(|it| text::capital(&it.sentence)).collect();
        text::print_list(sheet, &format!("Checks that could not be made: {}", needs.len()), &needs);
    });
    Part { id: "summary", title: "Summary", body }
}

fn table(made: &[&PackCheckView], units: Units) -> Grid {
    let mut grid = Grid::new(&["check", "of", "at", "verdict", "value", "limit", "margin ± band"]);
    for it in made {
        let check: &CheckView = &it.check;
        let both = |value: Option<f64>| {
            value.map_or_else(|| ABSENT.into(), |value| in_unit(value, check.unit).both(units))
        };
        let of = [it.of.clone(), words(&it.part)].into_iter().filter(|name| !name.is_empty());
        grid.row([
            words(&check.kind),
            of.collect::<Vec<_>>().join(", "),
            if check.condition.is_empty() { ABSENT.into() } else { check.condition.clone() },
            verdict_words(check.verdict).into(),
            both(check.value),
            check
                .limit
                .map_or_else(|| ABSENT.into(), |limit| format!("{} {}", check.sense, both(Some(limit)))),
            text::margin_and_band(check).map_or_else(|| ABSENT.into(), |margin| margin.both(units)),
        ]);
    }
    grid
}
