//! What another tube, one size away, or another end of the tube would mean.

use super::{TubeView, VerdictView};
use serde::Serialize;

/// The tube taken, or the next size to either side of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AlternativeView {
    /// `smaller`, `taken` or `larger`.
    pub which: &'static str,
    /// The tube.
    pub tube: TubeView,
    /// Refrigerant held at summer.
    pub charge_kg: Option<f64>,
    /// That less what the taken tube holds.
    pub charge_change_kg: Option<f64>,
    /// Drop as change of saturation temperature at summer.
    pub saturated_temperature_drop_k: Option<f64>,
    /// That less the drop of the taken tube.
    pub drop_change_k: Option<f64>,
    /// Least flash margin over the conditions; liquid only.
    pub flash_margin_k: Option<f64>,
    /// Weight of the tube of the run.
    pub copper_kg: f64,
    /// That less the weight of the taken tube.
    pub copper_change_kg: f64,
    /// Worst verdict of the line's checks in this tube.
    pub verdict: VerdictView,
    /// The checks that refuse it, kebab-case.
    pub refused_by: Vec<String>,
    /// Why, one phrase a check.
    pub refused_for: Vec<String>,
}

/// A reducer between a connection of the equipment and the tube.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReducerView {
    /// Where: `head` or `condenser`.
    pub at: &'static str,
    /// The tube that the equipment ends in.
    pub connection: TubeView,
    /// How many.
    pub count: u32,
    /// Loss in the direction of flow, as a resistance coefficient of the velocity in the line's own bore.
    pub resistance: f64,
}
