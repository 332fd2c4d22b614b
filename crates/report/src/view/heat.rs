//! What a line exchanges with its places, and where its flow changes.

use super::PhaseView;
use serde::Serialize;

/// Heat of one line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HeatView {
    /// Temperature at the inlet, summer.
    pub inlet_c: f64,
    /// Temperature at the outlet, summer.
    pub outlet_c: f64,
    /// Heat into the refrigerant along the line, summer; negative where it is given off.
    pub heat_w: f64,
    /// The legs in the direction of flow.
    pub legs: Vec<LegHeatView>,
    /// Cold surfaces against the dew point of their place.
    pub sweating: Vec<SweatView>,
    /// Stock wall that neither sweats nor uses up the flash margin; 0 where the bare tube does, absent where nothing asks for
    /// insulation or no stock wall does.
    pub least_wall_mm: Option<f64>,
    /// What that wall is called, `3/8 in`; absent where the bare tube does.
    pub least_wall_name: Option<String>,
    /// Sentences: where heat helps and where it harms, what insulation would do, what burns.
    pub remarks: Vec<String>,
}

/// One leg in its place, summer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LegHeatView {
    /// Direction of flow, `south`.
    pub direction: &'static str,
    /// Length.
    pub length_m: f64,
    /// The place.
    pub place: String,
    /// Air around the leg.
    pub air_c: f64,
    /// Heat into the refrigerant per length.
    pub heat_w_m: f64,
    /// Temperature of the outermost surface.
    pub surface_c: f64,
}

/// A cold surface in its place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SweatView {
    /// The place.
    pub place: String,
    /// Temperature of the surface in still air.
    pub surface_c: f64,
    /// Air that is judged in.
    pub air_c: f64,
    /// Its dew point.
    pub dew_point_c: f64,
    /// Whether it sweats.
    pub sweats: bool,
}

/// A place along a line where the kind of flow changes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PhaseChangeView {
    /// The condition.
    pub condition: String,
    /// Distance from the inlet of the line.
    pub position_m: f64,
    /// Place of the leg.
    pub place: String,
    /// What flows from there on.
    pub into: PhaseView,
    /// Whether the tube rises there.
    pub rising: bool,
    /// What happened, why, and what follows.
    pub sentence: String,
}
