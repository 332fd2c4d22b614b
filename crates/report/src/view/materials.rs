//! The material list.

use serde::Serialize;

/// The material of one set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MaterialsView {
    /// The items, in the order of the work.
    pub items: Vec<MaterialItemView>,
    /// What was assumed for the count, each with what changes it.
    pub assumptions: Vec<String>,
    /// What is not on the list.
    pub not_contained: Vec<String>,
}

/// One item. `counted` and `quantity` are in `unit`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MaterialItemView {
    /// `tube`, `fittings`, `parts`, `insulation`, `supports`, `building`, `brazing and test`, `refrigerant`.
    pub group: &'static str,
    /// Line that it is for: `discharge`, `liquid`, `drain`, `suction`; empty for the set as a whole.
    pub line: String,
    /// What it is.
    pub what: String,
    /// Its size in words; empty where it has none.
    pub size: String,
    /// As counted, without waste; absent where it could not be counted (see `missing`).
    pub counted: Option<f64>,
    /// Share added for waste, 0.1 for a tenth; 0 where nothing is added.
    pub waste: f64,
    /// To order: with waste, in whole pieces where it comes in pieces.
    pub quantity: Option<f64>,
    /// SI unit of both: `1` (pieces), `m`, `kg`, `m3`.
    pub unit: &'static str,
    /// `counted` in words, in both systems; empty where absent.
    pub counted_words: String,
    /// `quantity` in words, in both systems; `not known` where absent.
    pub quantity_words: String,
    /// How it was counted, in words.
    pub how: String,
    /// What is missing for the count, and what brings it.
    pub missing: Option<String>,
    /// Source of the figures used beside those of the job; empty where there are none.
    pub source: String,
    /// Grade: that of the source; `derived` where all is counted from route, parts and sheets.
    pub grade: String,
}
