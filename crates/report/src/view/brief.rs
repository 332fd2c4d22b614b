//! A job in short, for one row of many.

use super::{CheckView, SetChargeView, TubeView, VerdictView};
use serde::Serialize;

/// Size and charge of a job in short.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BriefView {
    /// Name of the job.
    pub job: String,
    /// The sets.
    pub sets: Vec<BriefSetView>,
}

/// One set in short.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BriefSetView {
    /// Name from the job file.
    pub name: String,
    /// Worst verdict of the checks of `lineset size`.
    pub size_verdict: VerdictView,
    /// Worst verdict of those of `lineset charge`.
    pub charge_verdict: VerdictView,
    /// Checks of the set as a whole.
    pub checks: Vec<CheckView>,
    /// The lines.
    pub lines: Vec<BriefLineView>,
    /// Charge, whole.
    pub charge: SetChargeView,
}

/// One line in short.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BriefLineView {
    /// `discharge`, `liquid`, `drain`, `suction`.
    pub service: String,
    /// The tube taken; absent when no stocked tube could be taken.
    pub tube: Option<TubeView>,
    /// The checks of it, or of the tube that comes nearest.
    pub checks: Vec<CheckView>,
    /// Longest run of it at which every check still meets.
    pub allowable_length_m: Option<f64>,
    /// Whether the allowable length is only the end of the searched range.
    pub not_limited: bool,
    /// The check that stops it, kebab-case.
    pub stopped_by: Option<String>,
}
