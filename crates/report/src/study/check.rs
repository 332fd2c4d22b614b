//! Checks as the sheets show them, of numbers outside physics' own kinds.

use super::wording;
use crate::view::{CheckView, VerdictView};
use physics::{
    check::{Limit, Measure, Sense, Whose, judge},
    units::{Ratio, unit::ratio::ratio},
};

/// A value with the half-width of its band against a limit, all in `unit`; whose limit it is and where it holds is for the
/// caller to say.
pub(super) fn made(
    kind: &str,
    value: f64,
    limit: f64,
    sense: Sense,
    unit: &'static str,
    band: Option<f64>,
) -> CheckView {
    // Physics judges any quantity alike: the numbers go in as they are.
    let judged = Limit { value: Measure::Ratio(Ratio::new::<ratio>(limit)), sense, whose: Whose::Job };
    CheckView {
        value: Some(value),
        limit: Some(limit),
        sense: wording::sense(sense),
        margin: Some(judged.margin_si(value)),
        band,
        verdict: wording::verdict(judge(value, band.unwrap_or(0.0), &judged)),
        missing: None,
        ..unmade(kind, unit, String::new())
    }
}

/// A check that could not be made.
pub(super) fn unmade(kind: &str, unit: &'static str, missing: String) -> CheckView {
    CheckView {
        kind: kind.to_owned(),
        value: None,
        limit: None,
        sense: wording::sense(Sense::AtMost),
        unit,
        whose: String::new(),
        source: String::new(),
        condition: String::new(),
        margin: None,
        band: None,
        verdict: VerdictView::NotChecked,
        missing: Some(missing),
        matters_most: None,
        settled_by: None,
        remarks: Vec::new(),
    }
}
