//! Where the condenser stands, and what the maker's sheet must confirm.

use super::StepView;
use serde::Serialize;

/// Placing of the condenser of one set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlacingView {
    /// Clearances by habit; the label wins.
    pub clearances: Vec<ClearanceView>,
    /// Condensers that serve the set; empty where the job describes none.
    pub condensers: Vec<String>,
    /// The layouts, as far as they concern this set; empty where the job has none.
    pub layouts: Vec<PlacingLayoutView>,
    /// Why there is no layout, where there is none.
    pub missing: Option<String>,
    /// What the maker's sheet must confirm: what the job leaves open.
    pub confirm: Vec<ConfirmView>,
    /// How the lines leave the building and stand on the roof, in sentences.
    pub steps: Vec<StepView>,
}

/// One clearance by habit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClearanceView {
    /// What it is around, in words.
    pub around: String,
    /// The distance.
    pub distance_m: f64,
    /// The same in words.
    pub words: String,
    /// Source.
    pub source: String,
    /// Its grade.
    pub grade: String,
}

/// One layout.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlacingLayoutView {
    /// Name.
    pub name: String,
    /// Whether it is the recommended one.
    pub recommended: bool,
    /// Room around the condensers, side by side.
    pub clear: Vec<ClearSideView>,
    /// Footing, weight, wind and anchors, in sentences.
    pub footing: Vec<String>,
    /// Hot neighbours: who draws whose discharge air, in sentences.
    pub hot_neighbours: Vec<String>,
    /// How the units are reached.
    pub access: String,
    /// Warnings.
    pub warnings: Vec<String>,
}

/// Room on one side.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClearSideView {
    /// `front`, `rear`, `sides`, `above`.
    pub side: &'static str,
    /// Stated distance; absent where open or not stated.
    pub distance_m: Option<f64>,
    /// Distance, `open` or `not stated`, in words.
    pub words: String,
    /// Whether it keeps the habit; absent where not stated.
    pub keeps_habit: Option<bool>,
}

/// One thing for the maker's sheet.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ConfirmView {
    /// What to look up, in a sentence.
    pub what: String,
    /// Key of the job file that takes the answer; empty where it has none.
    pub key: String,
}
