//! The tubes around the choice: what a person needs of a long stock. JSON and CSV keep every tube.

use super::words;
use crate::{
    figure::{Figure, length, temperature_difference, velocity},
    view::{CandidateView, TubeView},
};

/// How many outside diameters beside the taken one are shown on the narrow and on the wide side.
const NARROWER: usize = 1;
const WIDER: usize = 2;

/// The candidates of a line, those around the choice one by one, the others in groups.
#[derive(Debug)]
pub struct Shortlist<'a> {
    /// Groups narrower than those shown, narrowest first.
    pub narrower: Vec<Rest<'a>>,
    /// Shown one by one, smallest bore first.
    pub shown: Vec<Shown<'a>>,
    /// Groups wider than those shown.
    pub wider: Vec<Rest<'a>>,
}

/// A candidate shown by itself.
#[derive(Debug)]
pub struct Shown<'a> {
    /// Its name, without the form where coil and straight lengths have the same figures.
    pub name: String,
    /// The candidate.
    pub candidate: &'a CandidateView,
}

/// Candidates that fare alike.
#[derive(Debug)]
pub struct Rest<'a> {
    candidates: Vec<&'a CandidateView>,
    wider: bool,
}

/// Whether a tube meets every check at this run: none refuses it, and none stops it at every run.
#[must_use]
pub fn meets(candidate: &CandidateView) -> bool {
    candidate.refused_for.is_empty() && !never_meets(candidate)
}

/// Whether a tube meets at no run. Without an allowable length and what stops it, none was looked for.
#[must_use]
pub fn never_meets(candidate: &CandidateView) -> bool {
    candidate.allowable_length_m.is_none() && candidate.stopped_by.is_some()
}

/// The checks that speak against a tube at this run; what stops it where none could be made.
#[must_use]
pub fn reasons(candidate: &CandidateView) -> Vec<&str> {
    if meets(candidate) {
        return Vec::new();
    }
    let refused = candidate.refused_by.iter().map(String::as_str);
    let mut reasons: Vec<&str> = Vec::new();
    for reason in refused.chain(candidate.stopped_by.as_deref()) {
        if !reasons.contains(&reason) {
            reasons.push(reason);
        }
    }
    reasons
}

/// Picks the tubes of the taken size, of the next smaller and of the two next larger ones. Where none is taken, the
/// first tube that is stopped by another check than the narrowest one stands in its place.
#[must_use]
pub fn shortlist(candidates: &[CandidateView]) -> Shortlist<'_> {
    let sizes = sizes(candidates.iter().map(|candidate| &candidate.tube));
    let size = |candidate: &CandidateView| place(&sizes, candidate.tube.od_mm);
    let taken = candidates.iter().find(|candidate| candidate.chosen);
    let turning = || {
        let narrowest = candidates.first()?;
        candidates.iter().find(|candidate| candidate.stopped_by != narrowest.stopped_by)
    };
    let centre = taken.or_else(turning).map_or(0, size);
    let (first, last) = (centre.saturating_sub(NARROWER), centre + WIDER);
    let mut shown: Vec<Shown<'_>> = Vec::new();
    for candidate in candidates.iter().filter(|candidate| (first..=last).contains(&size(candidate))) {
        match shown.last_mut().filter(|before| alike(before.candidate, candidate)) {
            Some(before) => before.name = either_form(&before.name, &candidate.tube.name),
            None => shown.push(Shown { name: candidate.tube.name.clone(), candidate }),
        }
    }
    let rest = |wider: bool| -> Vec<Rest<'_>> {
        let beyond: Vec<&CandidateView> = candidates
            .iter()
            .filter(|candidate| if wider { size(candidate) > last } else { size(candidate) < first })
            .collect();
        beyond
            .chunk_by(|one, other| meets(one) == meets(other))
            .map(|chunk| Rest { candidates: chunk.to_vec(), wider })
            .collect()
    };
    Shortlist { narrower: rest(false), shown, wider: rest(true) }
}

impl Rest<'_> {
    /// `7/8 in OD and wider (13 tubes) never meet: oil return`.
    #[must_use]
    pub fn sentence(&self) -> String {
        let (Some(narrowest), Some(widest)) = (self.candidates.first(), self.candidates.last()) else {
            return String::new();
        };
        let (nearest, farthest) = if self.wider { (narrowest, widest) } else { (widest, narrowest) };
        let count = self.candidates.len();
        let (side, towards) = if self.wider { ("wider", "up to") } else { ("narrower", "down to") };
        let name = self.size_name(nearest);
        if meets(nearest) {
            return match count {
                1 => format!("{name} meets as well"),
                _ => format!(
                    "{side} tubes {towards} {} meet as well ({count} tubes)",
                    self.size_name(farthest)
                ),
            };
        }
        let never = self.candidates.iter().all(|candidate| never_meets(candidate));
        let subject = match (count, never) {
            (1, true) => format!("{name} never meets"),
            (1, false) => format!("{name} does not meet"),
            (_, true) => format!("{name} and {side} ({count} tubes) never meet"),
            (_, false) => format!("{name} and {side} ({count} tubes) do not meet"),
        };
        let reasons: Vec<String> = self.reasons().into_iter().map(words).collect();
        if reasons.is_empty() { subject } else { format!("{subject}: {}", reasons.join(", ")) }
    }

    /// The name that all tubes of this outside diameter in the group share.
    fn size_name(&self, of: &CandidateView) -> String {
        let same = self.candidates.iter().filter(|candidate| candidate.tube.od_mm == of.tube.od_mm);
        let shared =
            same.fold(of.tube.name.clone(), |name, candidate| common_words(&name, &candidate.tube.name));
        // What walls of one diameter share ends in the middle: `8 x`, `3/8 in OD wall`.
        match shared.strip_suffix(" x") {
            Some(diameter) => format!("{diameter} mm OD"),
            None => shared.strip_suffix(" wall").unwrap_or(&shared).to_owned(),
        }
    }

    /// The reasons that all share; all of them where they share none.
    fn reasons(&self) -> Vec<&str> {
        let mut all: Vec<&str> = Vec::new();
        for reason in self.candidates.iter().flat_map(|candidate| reasons(candidate)) {
            if !all.contains(&reason) {
                all.push(reason);
            }
        }
        let shared: Vec<&str> = all
            .iter()
            .copied()
            .filter(|reason| self.candidates.iter().all(|candidate| reasons(candidate).contains(reason)))
            .collect();
        if shared.is_empty() { all } else { shared }
    }
}

/// Coil and straight lengths of one section that fare the same.
fn alike(one: &CandidateView, other: &CandidateView) -> bool {
    let figures = |candidate: &CandidateView| -> [Option<Figure>; 3] {
        [
            candidate.allowable_length_m.map(length),
            candidate.velocity_max_m_s.map(velocity),
            candidate.saturated_temperature_drop_k.map(temperature_difference),
        ]
    };
    same_section(&one.tube, &other.tube)
        && !one.chosen
        && !other.chosen
        && one.stopped_by == other.stopped_by
        && reasons(one) == reasons(other)
        && figures(one) == figures(other)
}

/// Whether two tubes have the same outside diameter and bore, as a stock of coil and straight lengths has.
#[must_use]
pub fn same_section(one: &TubeView, other: &TubeView) -> bool {
    one.od_mm == other.od_mm && one.bore_mm == other.bore_mm
}

/// One name for coil and straight lengths of one section: `3/4 in OD wall 0.042 in` of `3/4 in OD wall 0.042 in coil`
/// and `3/4 in OD straight`.
#[must_use]
pub fn either_form(one: &str, other: &str) -> String {
    let without_form = |name: &str| -> String {
        let forms = [" coil or straight", " coil", " straight"];
        forms.iter().find_map(|form| name.strip_suffix(form)).unwrap_or(name).to_owned()
    };
    let (one, other) = (without_form(one), without_form(other));
    // A wall that only one of them needed is said.
    if one.len() < other.len() { other } else { one }
}

/// The words that two names begin with: `7/8 in OD` of `7/8 in OD coil` and `7/8 in OD straight`; the first name
/// where they begin differently.
fn common_words(one: &str, other: &str) -> String {
    let pairs = one.split(' ').zip(other.split(' '));
    let common: Vec<&str> = pairs.take_while(|(a, b)| a == b).map(|(word, _)| word).collect();
    if common.is_empty() { one.to_owned() } else { common.join(" ").trim_end_matches(',').to_owned() }
}

/// The outside diameters of tubes, each once, smallest first.
#[must_use]
pub fn sizes<'a>(tubes: impl Iterator<Item = &'a TubeView>) -> Vec<f64> {
    let mut sizes: Vec<f64> = tubes.map(|tube| tube.od_mm).collect();
    sizes.sort_by(f64::total_cmp);
    sizes.dedup();
    sizes
}

/// Where an outside diameter stands among the sizes.
#[must_use]
pub fn place(sizes: &[f64], od_mm: f64) -> usize {
    sizes.iter().position(|size| *size >= od_mm).unwrap_or(sizes.len())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    fn stock(taken: Option<usize>) -> Vec<CandidateView> {
        let template = sample::size().sets.remove(0).lines.remove(0).candidates.remove(0);
        let sizes = ["1/8", "3/16", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8", "1-1/8"];
        let mut stock = Vec::new();
        for (index, size) in sizes.into_iter().enumerate() {
            for form in ["coil", "straight"] {
                let od_mm = 3.0 * (index + 1) as f64;
                stock.push(CandidateView {
                    tube: sample::tube(&format!("{size} in OD {form}"), od_mm, od_mm - 1.6),
                    allowable_length_m: (4..7).contains(&index).then_some(20.0),
                    stopped_by: Some(
                        if index < 7 { "saturated-temperature-drop" } else { "oil-return" }.into(),
                    ),
                    refused_for: Vec::new(),
                    verdict: crate::view::VerdictView::Meets,
                    refused_by: Vec::new(),
                    chosen: taken == Some(stock.len()),
                    ..template.clone()
                });
            }
        }
        stock
    }

    #[test]
    fn shows_the_tubes_around_the_choice_and_groups_the_others() {
        let stock = stock(Some(8));
        let list = shortlist(&stock);
        let names: Vec<&str> = list.shown.iter().map(|shown| shown.name.as_str()).collect();
        assert_eq!(names, ["3/8 in OD", "1/2 in OD coil", "1/2 in OD straight", "5/8 in OD", "3/4 in OD"]);
        let sentences = |rest: &[Rest<'_>]| rest.iter().map(Rest::sentence).collect::<Vec<_>>();
        assert_eq!(
            sentences(&list.narrower),
            ["1/4 in OD and narrower (6 tubes) never meet: saturated temperature drop"]
        );
        assert_eq!(sentences(&list.wider), ["7/8 in OD and wider (4 tubes) never meet: oil return"]);
    }

    #[test]
    fn tubes_of_either_form_keep_a_wall_that_one_of_them_needs() {
        assert_eq!(either_form("7/8 in OD coil", "7/8 in OD straight"), "7/8 in OD");
        assert_eq!(
            either_form("3/4 in OD wall 0.042 in coil", "3/4 in OD straight"),
            "3/4 in OD wall 0.042 in"
        );
        assert_eq!(either_form("22 x 1 mm", "22 x 1 mm coil"), "22 x 1 mm");
    }

    #[test]
    fn groups_part_where_tubes_begin_to_meet() {
        let stock = stock(Some(0));
        let list = shortlist(&stock);
        let sentences: Vec<String> = list.wider.iter().map(Rest::sentence).collect();
        assert_eq!(
            sentences,
            [
                "3/8 in OD and wider (2 tubes) never meet: saturated temperature drop",
                "wider tubes up to 3/4 in OD meet as well (6 tubes)",
                "7/8 in OD and wider (4 tubes) never meet: oil return",
            ]
        );
        assert!(list.narrower.is_empty());
    }

    #[test]
    fn without_a_choice_the_turning_point_is_shown() {
        let stock = stock(None);
        let names: Vec<String> = shortlist(&stock).shown.into_iter().map(|shown| shown.name).collect();
        assert_eq!(names, ["3/4 in OD", "7/8 in OD", "1-1/8 in OD"]);
        assert!(shortlist(&[]).shown.is_empty());
    }
}
