//! Tags for both ends of every line, and the test that proves them.

use super::StepView;
use serde::Serialize;

/// The tags of one set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TagsView {
    /// The tags, line by line, the one at the head first.
    pub tags: Vec<EndTagView>,
    /// The nitrogen pulse test that proves them before anything is brazed, in order.
    pub pulse_test: Vec<StepView>,
    /// Lines to record the match of, in the order of the test: one row each, to be signed.
    pub matches: Vec<TagMatchView>,
    /// Remarks.
    pub remarks: Vec<String>,
}

/// The tag at one end of one line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EndTagView {
    /// Letters of set, service and end: `A-D-H`. No two ends of a job share them.
    pub tag: String,
    /// Letters of set and service, the same at both ends: `A-D`.
    pub line: String,
    /// End: `head` or `condenser`.
    pub end: &'static str,
    /// Set.
    pub set: String,
    /// `discharge`, `liquid`, `drain`, `suction`.
    pub service: String,
    /// Tube taken; `not chosen` where none could be.
    pub tube: String,
    /// Refrigerant.
    pub refrigerant: String,
    /// Pressure that the line must hold at standstill, above the atmosphere of the site; absent where it is not known.
    pub design_gauge_pa: Option<f64>,
    /// The same in words, in both systems.
    pub design_words: String,
    /// Where the other end is, in words: `to condenser north`, `from condenser north` by the direction of flow.
    pub way: String,
    /// What is printed on the tag, row by row; no row longer than 32 letters.
    pub rows: Vec<String>,
}

/// One line to be matched.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TagMatchView {
    /// Letters of set and service.
    pub line: String,
    /// Tag that is pulsed.
    pub pulsed_at: String,
    /// Tag where gas must come, and nowhere else.
    pub comes_at: String,
}
