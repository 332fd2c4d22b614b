//! What is handed to people and programs: text, JSON and CSV drawn from the [`view`](crate::view) structs.
//!
//! A document computes nothing but differences of two printed numbers; it chooses order, words and units.

pub mod csv;
#[cfg(feature = "cli")]
pub mod html;
pub mod json;
#[cfg(feature = "cli")]
mod sheet;
pub mod shortlist;
#[cfg(feature = "cli")]
pub mod text;

use crate::view::{CheckView, LineView, SetSizeView, VerdictView};

/// A figure that is only recalled, in a word.
pub const UNCONFIRMED: &str = "unconfirmed";

/// What the word asks for.
pub const UNCONFIRMED_HELP: &str = "unconfirmed: recalled, its source was not opened. Look it up before you rely on it: class, LFL and RCL in the \
     current ASHRAE 34 or ISO 817, GWP in the rule that applies to you.";

/// A figure that the tables do not hold.
pub const MISSING: &str = "missing";

/// A verdict in the words of the sheets.
#[must_use]
pub fn verdict_words(verdict: VerdictView) -> &'static str {
    verdict.words()
}

/// A kebab-case name in words: `saturated-temperature-drop` as `saturated temperature drop`.
#[must_use]
pub fn words(kebab: &str) -> String {
    kebab.replace('-', " ")
}

/// The check that governs: the gravest verdict, among equals the least margin in shares of its limit.
///
/// The order of `checks` decides what is equal in both.
#[must_use]
pub fn governing<'a, T>(checks: impl IntoIterator<Item = (T, &'a CheckView)>) -> Option<(T, &'a CheckView)> {
    checks.into_iter().reduce(|first, next| {
        let (first_grave, next_grave) = (first.1.verdict.gravity(), next.1.verdict.gravity());
        let closer = next.1.relative_margin() < first.1.relative_margin();
        if next_grave > first_grave || (next_grave == first_grave && closer) { next } else { first }
    })
}

/// All checks of a set, those of the route first, each with the line it belongs to.
pub fn checks_of(set: &SetSizeView) -> impl Iterator<Item = (Option<&LineView>, &CheckView)> {
    let of_route = set.checks.iter().map(|check| (None, check));
    of_route.chain(set.lines.iter().flat_map(|line| line.checks.iter().map(move |check| (Some(line), check))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn the_gravest_check_governs_and_then_the_tightest() {
        let set = sample::size().sets.remove(0);
        let (line, check) = governing(checks_of(&set)).unwrap();
        assert_eq!(line.unwrap().service, "discharge");
        assert_eq!(check.kind, "saturated-temperature-drop");
        let (_, tightest) =
            governing(checks_of(&set).filter(|(_, check)| check.verdict == VerdictView::Meets)).unwrap();
        assert_eq!(tightest.kind, "run");
        assert!(governing::<()>([]).is_none());
    }
}
