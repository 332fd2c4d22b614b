//! Ready-made tube sets.

use super::{TubeView, VerdictView};
use serde::Serialize;

/// The ready-made charged tube set that reaches.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KitView {
    /// Lengths on offer, shortest first.
    pub offered_m: Vec<f64>,
    /// The shortest that reaches; absent where none does.
    pub length_m: Option<f64>,
    /// How much longer it is than the run.
    pub excess_m: Option<f64>,
    /// By how much the longest misses the run, where none reaches.
    pub short_by_m: Option<f64>,
    /// The tubes taken, at the length of the set.
    pub lines: Vec<KitLineView>,
    /// What to do, in sentences.
    pub advice: Vec<String>,
}

/// One line at the length of the tube set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KitLineView {
    /// `discharge`, `liquid`, `drain`, `suction`.
    pub service: String,
    /// The tube taken for this run.
    pub tube: TubeView,
    /// Drop as change of saturation temperature at summer.
    pub saturated_temperature_drop_k: Option<f64>,
    /// Least flash margin over the conditions; liquid only.
    pub flash_margin_k: Option<f64>,
    /// Worst verdict of the line's checks at that length.
    pub verdict: VerdictView,
    /// Why it is refused at that length.
    pub refused_for: Vec<String>,
}
