//! Mass flux of a rising gas line against load, for the chart of oil return.

use super::VerdictView;
use serde::Serialize;

/// One tube, or one way of flow of a double riser, over the load.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RiserCurveView {
    /// `1/2 in OD`; of a double riser `3/8 in OD alone` and `both legs`.
    pub name: String,
    /// Whether this is the tube that the sheet takes (of a double riser, either way of flow of the pair taken).
    pub taken: bool,
    /// Load as share of the design load, and mass flux over the least flux that carries oil upward; least load first.
    pub points: Vec<[f64; 2]>,
}

/// Mass flux over the least flux that carries oil, against load, for one rising gas line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RiserFluxView {
    /// Name of the set.
    pub set: String,
    /// `discharge` or `suction`.
    pub service: String,
    /// The tube taken, `1/2 in OD`; of a double riser both, `3/8 in OD + 5/8 in OD`.
    pub tube_name: String,
    /// Ratio that the check asks for, with its margin: 1.15. At 1.0 the flux is just what carries oil.
    pub limit_ratio: f64,
    /// Least load of the head, as share of the design load.
    pub least_load: f64,
    /// Greatest load, as share of the design load; 1 where no peak is stated.
    pub peak_load: f64,
    /// Least load at which the tube taken reaches the limit, as share of the design load, looked for from half of the
    /// least load up; absent where no load up to the peak does.
    pub carries_from_load: Option<f64>,
    /// Of a double riser, the load below which the small leg flows alone; absent for a single riser.
    pub changeover_load: Option<f64>,
    /// Verdict of the check of oil return at least load.
    pub verdict: VerdictView,
    /// Tubes around the taken one, smallest bore first.
    pub curves: Vec<RiserCurveView>,
}
