//! Checks against what others have published: textbooks, handbooks, open data sets.
//!
//! One module a family of sources. `recalled` holds what is from memory only: it supports, it does not prove.
//! Every check prints what it found (`cargo test -p report --test published -- --nocapture`).

// Helpers of tests: a row or a state that is not there has to stop the check.
#![allow(clippy::unwrap_used, clippy::panic)]

mod fluid_mechanics;
mod insulation;
mod line_practice;
mod recalled;
mod reducers;
mod saturated_states;
mod simple_fluids;
mod strength;
mod support;
mod thermodynamic_relations;
mod trade_figures;
mod transport;
mod tube_weights;
