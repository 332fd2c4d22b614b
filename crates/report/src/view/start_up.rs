//! Start-up, commissioning and hand-over of a set.

use super::{RecordRowView, StepView};
use serde::Serialize;

/// Start-up of one set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StartUpView {
    /// How the table of head pressures came about, in a sentence.
    pub how: String,
    /// What is missing for a table over the air of the day, each with what brings it; empty where nothing is.
    pub missing: Vec<String>,
    /// End that condensing temperatures are told as: `bubble` or `dew`.
    pub condensing_refers_to: &'static str,
    /// Layout that the table is of; absent without one.
    pub layout: Option<String>,
    /// Expected values, outdoor air rising.
    pub points: Vec<StartUpPointView>,
    /// Pressure of the idle set by the air, for the test of non-condensable gas; air rising.
    pub idle: Vec<IdlePointView>,
    /// What else must be read, with its expected value: subcooling, superheat.
    pub expected: Vec<RecordRowView>,
    /// Start-up step by step.
    pub steps: Vec<StepView>,
    /// The commissioning record.
    pub record: Vec<RecordRowView>,
    /// Hand-over list.
    pub hand_over: Vec<StepView>,
}

/// Pressure of a set at rest, all of it as warm as the air.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct IdlePointView {
    /// The air.
    pub air_c: f64,
    /// Bubble pressure there, above the atmosphere of the site.
    pub bubble_gauge_pa: f64,
    /// Both in words.
    pub words: [String; 2],
}

/// Expected values at one outdoor air.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StartUpPointView {
    /// Outdoor air; absent for the held pressure, which is the same in any air that is cold enough.
    pub outdoor_air_c: Option<f64>,
    /// Condensing temperature at the end that `condensing_refers_to` names; absent where there is no balance.
    pub condensing_c: Option<f64>,
    /// Head pressure above the atmosphere of the site.
    pub head_gauge_pa: Option<f64>,
    /// Condensing temperature less outdoor air.
    pub temperature_difference_k: Option<f64>,
    /// Subcooling.
    pub subcooling_k: Option<f64>,
    /// Superheat at the evaporator outlet.
    pub superheat_k: Option<f64>,
    /// Whether head-pressure control holds it up.
    pub held: bool,
    /// Whether it is the design day.
    pub design: bool,
    /// Where it comes from: `balance`, `stated`, `setting`.
    pub from: &'static str,
    /// All of it in words: air, condensing, head pressure, TD, subcooling, superheat; one text each, `-` where absent.
    pub words: [String; 6],
}
