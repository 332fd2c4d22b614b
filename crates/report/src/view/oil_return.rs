//! Oil return of a line whose gas rises: what is judged, traps, and what to lay instead where the gas is too slow.

use super::TubeView;
use serde::Serialize;

/// Oil return of one line whose gas rises.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OilReturnView {
    /// Heights of its risers, in the direction of flow.
    pub riser_heights_m: Vec<f64>,
    /// At what gas oil return is judged, and why there.
    pub judged_at: String,
    /// The condition at which the gas is too slow in the tube taken, or in every tube that keeps drop and pressure; absent
    /// where it carries oil.
    pub too_slow_at: Option<&'static str>,
    /// Whether the line loops above the condenser's inlet; a discharge line only.
    pub inverted_loop: Option<bool>,
    /// Whether a trap stands at the foot of the riser.
    pub foot_trap: bool,
    /// The traps that the maker asks for.
    pub traps: Option<TrapsView>,
    /// Two risers in parallel in place of one.
    pub double_riser: Option<DoubleRiserView>,
    /// The tube that serves as riser at both loads where the other legs are of a larger one.
    pub riser_alone: Option<RiserAloneView>,
    /// What to do, in sentences.
    pub advice: Vec<String>,
}

/// Traps that the maker asks for.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrapsView {
    /// Height at each of which a trap is asked for.
    pub every_m: f64,
    /// How many stand above the feet of all risers.
    pub count: usize,
    /// Their heights above the foot of their riser: one list a riser.
    pub heights_m: Vec<Vec<f64>>,
}

/// A riser of another tube than the other legs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RiserAloneView {
    /// Tube of the rising legs.
    pub riser: TubeView,
    /// Tube of the other legs.
    pub other_legs: TubeView,
}

/// Two risers in parallel.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DoubleRiserView {
    /// Tube of the small riser.
    pub small: TubeView,
    /// Tube of the large riser.
    pub large: TubeView,
    /// Tube of the other legs.
    pub other_legs: TubeView,
    /// How many pairs: one for each riser.
    pub pairs: usize,
    /// Mass rate at full load.
    pub full_load_kg_s: f64,
    /// Mass rate at least load.
    pub least_load_kg_s: f64,
    /// Share of the gas in the small riser at full load, 0 to 1.
    pub small_share: f64,
    /// Velocity in the small riser at full load.
    pub small_velocity_m_s: f64,
    /// Velocity in the large riser at full load.
    pub large_velocity_m_s: f64,
    /// Drop of both at full load: friction, bends and height of the gas.
    pub drop_pa: f64,
    /// Drop that the limit of the saturated temperature drop leaves for the risers.
    pub allowed_drop_pa: f64,
    /// Mass rate over the least that carries oil, small riser, full load.
    pub small_oil_return_ratio: f64,
    /// The same of the large riser.
    pub large_oil_return_ratio: f64,
    /// The same of the small riser alone at least load.
    pub small_alone_oil_return_ratio: f64,
    /// Load below which the large riser fills its trap, as a share of full load.
    pub changeover_share: f64,
    /// The greatest step of the capacity at which the large risers are closed, as a share of full load; absent where least
    /// load is the only one.
    pub greatest_step_alone_share: Option<f64>,
    /// Drop of the small risers alone at that step.
    pub greatest_step_alone_drop_pa: Option<f64>,
    /// Oil in the traps while the large risers are closed.
    pub trap_oil_kg: f64,
    /// Oil that stands in the large risers beyond the traps.
    pub column_oil_kg: f64,
}
