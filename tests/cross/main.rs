//! Checks between implementations: reference libraries and own calculations with them (grade `computed`). They agree
//! because they stand on the same equations; what they catch is a slip in tables, interpolation, units or method.

// Helpers of tests: a row or a state that is not there has to stop the check.
#![allow(clippy::unwrap_used, clippy::panic)]

mod balance;
mod balance_points;
mod condenser_roof;
mod condensers;
mod coolprop_states;
mod double_riser;
mod field;
mod heat;
mod line_capacity;
mod line_chains;
mod line_charge;
mod line_jobs;
mod march_properties;
mod mixture_models;
mod random;
mod reducers;
mod regeneration;
#[path = "../published/support/mod.rs"]
mod support;
mod trapped_liquid;
mod two_phase_models;
mod warm_lines;
mod winter;
