//! State of the refrigerant along one line at one condition, for the chart of the liquid line.

use serde::Serialize;

/// Phase of the refrigerant at a place of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PhaseView {
    /// All liquid.
    Liquid,
    /// Liquid and vapour side by side.
    TwoPhase,
    /// All vapour.
    Vapour,
}

/// State at one place of a line.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ProfilePointView {
    /// Distance from the inlet along the tube.
    pub position_m: f64,
    /// Height above the inlet; negative below it.
    pub height_m: f64,
    /// Absolute pressure.
    pub pressure_pa: f64,
    /// The same above the atmosphere of the site.
    pub gauge_pa: f64,
    /// Temperature of the refrigerant.
    pub temperature_c: f64,
    /// Bubble temperature at the local pressure.
    pub saturation_c: f64,
    /// Share of vapour in the mass flowing: 0 for liquid, 1 for vapour.
    pub quality: f64,
}

/// A change of phase on the way.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ProfileEventView {
    /// Distance from the inlet along the tube.
    pub position_m: f64,
    /// The phase that begins there.
    pub into: PhaseView,
    /// Whether the tube rises there in the direction of flow.
    pub rising: bool,
}

/// A part in the line: a drier, a valve.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ProfilePartView {
    /// Distance from the inlet along the tube.
    pub position_m: f64,
    /// What it is, `filter drier`.
    pub name: String,
}

/// Pressure and temperature along one line with its bubble line, at one condition.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LineProfileView {
    /// Name of the set.
    pub set: String,
    /// `liquid` or `drain`.
    pub service: String,
    /// `summer`, `low head`, `peak`.
    pub condition: String,
    /// The tube taken, `3/8 in OD`.
    pub tube_name: String,
    /// Where the line begins, in the direction of flow: `condenser`, `receiver`.
    pub from: String,
    /// Where it ends: `head`, `receiver`.
    pub to: String,
    /// States in the direction of flow, the inlet first.
    pub points: Vec<ProfilePointView>,
    /// Changes of phase on the way, in the direction of flow.
    pub events: Vec<ProfileEventView>,
    /// Least bubble temperature less liquid temperature along the line; 0 or less where it flashes.
    pub least_margin_k: f64,
    /// Where the margin is least; where flashing begins when it flashes.
    pub least_margin_at_m: f64,
    /// Parts of the line, in the direction of flow.
    pub parts: Vec<ProfilePartView>,
}
