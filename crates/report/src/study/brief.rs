//! Size and charge of a job in short: what one row of many prints, found by the studies of `size` and `charge`.
//!
//! Of every line no more tubes are judged than it takes to find the one taken, and only that one's allowable length is
//! searched; what is printed never differs from what the two commands print.

use super::{
    budget,
    charge::{charge_of, verdict_of},
    resolve::Resolved,
    size::{SizedLine, SizedSet, reach, tube_view, verdict_of_line, worst},
    wording,
};
use crate::view::{BriefLineView, BriefSetView, BriefView};

/// Sizes the lines of every set of a job, and computes their charge; `allowable_lengths` are searched or left out.
#[must_use]
pub fn brief(resolved: &Resolved<'_>, allowable_lengths: bool) -> BriefView {
    // What was taken from the tables is the same for all rows, and is told by the sheets.
    let mut ledger = super::ledger::Ledger::default();
    let desk = budget::Desk::new(resolved);
    let sets: Vec<BriefSetView> = resolved
        .sets
        .iter()
        .enumerate()
        .map(|(index, set)| {
            let sized = SizedSet::until_taken(set, resolved.library);
            let charge = charge_of(index, &sized, resolved, &desk, &mut ledger);
            let charge_verdict = verdict_of(&charge);
            let lines: Vec<BriefLineView> =
                sized.lines.iter().map(|line| line_view(line, &sized, resolved, allowable_lengths)).collect();
            let (checks, _) = sized.checks(resolved);
            let of_lines = lines.iter().map(|line| verdict_of_line(line.tube.is_some(), &line.checks));
            BriefSetView {
                name: set.set.name.value.clone(),
                size_verdict: worst(checks.iter().map(|check| check.verdict).chain(of_lines)),
                charge_verdict,
                checks,
                lines,
                charge,
            }
        })
        .collect();
    BriefView { job: resolved.job.name.value.clone(), sets }
}

fn line_view(
    line: &SizedLine<'_>,
    sized: &SizedSet<'_>,
    resolved: &Resolved<'_>,
    allowable_lengths: bool,
) -> BriefLineView {
    let allowable = if allowable_lengths { line.allowable_of_taken(sized.set) } else { None };
    let (allowable_length_m, not_limited, stopped_by) = reach(allowable);
    BriefLineView {
        service: line.line.service.name().to_owned(),
        tube: line.taken_product().map(|product| tube_view(product, &sized.set.stock)),
        checks: line.checks_printed(resolved.units()),
        allowable_length_m,
        not_limited,
        stopped_by: stopped_by.map(|by| wording::kind(by).to_owned()),
    }
}
