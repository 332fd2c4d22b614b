//! Pressure across the bypass of a flooding valve.

use serde::Serialize;

/// What the bypass of a flooding valve sees in summer: each share of the pressure difference across it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BranchView {
    /// Where the valve is: `head` or `condenser`.
    pub valve_at: &'static str,
    /// The condition: `peak`, or `summer` where no peak is stated.
    pub condition: String,
    /// Drop of the discharge line; 0 for a valve at the condenser.
    pub discharge_line_pa: f64,
    /// Drop of the coil at this flow.
    pub coil_pa: f64,
    /// Drop of the coil at design flow, as stated.
    pub coil_at_design_pa: f64,
    /// Friction of the return line; 0 for a valve at the condenser.
    pub return_friction_pa: f64,
    /// What the height of the return line costs; negative where its liquid falls and gives pressure back.
    pub return_height_pa: f64,
    /// Sum of the shares.
    pub total_pa: f64,
    /// Difference that opens the bypass.
    pub opens_at_pa: f64,
    /// What is left to it; negative: hot gas bypasses the condenser.
    pub margin_pa: f64,
}
