//! Evacuation: how long it takes, what limits it, and what the rise of pressure afterwards means.
//!
//! Dry lines pump down in seconds to minutes; hose bore and water decide the real time. A [`Passage`] has a [`conductance()`];
//! a [`Rig`] is a pump behind hoses, side by side where both ends of a set are joined to it; [`evacuation_time`] says
//! what its time goes into. [`rise_test`] reads the closed line afterwards.
//!
//! Air at 20 °C throughout: nitrogen flows within 3 % of it, water vapour up to twice as easily, so that times are on the safe
//! side.

mod conductance;
mod pump_down;
mod rise;
mod water;

pub use conductance::{
    FlowRegime, Passage, conductance, dilution, effective_speed, flow_regime, in_parallel, in_series,
    time_constant,
};
pub use pump_down::{EvacuatedLine, EvacuationTime, Limit, Pump, Rig, evacuation_time};
pub use rise::{Rise, RiseMeaning, RiseReading, RiseTest, rise_test};
pub use water::boil_off;
