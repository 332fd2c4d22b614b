//! Checks against what others have published: textbooks, handbooks, open data sets.
//!
//! One module a family of sources. `recalled` holds what is from memory only: it supports, it does not prove.
//! `data/open_examples.csv` says of each open worked example where it is held, and of the others why not:
//!
//! | group | ids | held in |
//! |---|---|---|
//! | subcooling used up by lift, suction superheat | L1, C1 | `saturated_states` (by the march up a riser and along a warm line) |
//! | friction, fittings, lift, equivalent length, two phases | F | `fluid_mechanics` (not F5a, an input; not F9a, a laminar fiction) |
//! | insulated pipe | H1 | `insulation` |
//! | viscosity, conductivity, mixture models | V, T, B | `transport` |
//! | densities of oil | O | `oil` (not their viscosities) |
//! | compression cycles, condensers, ice loads | C2-C9, K, I | `condensers` (not K3, K4, K9, K10, K12) |
//! | a refrigerant that the library lacks, non-condensable gas, recommended velocities | C10, P1, G1 | not held: nothing here computes them |
//!
//! Liquid trapped between valves has no figure of the trade in the collection behind these tables (no pressure per kelvin, no
//! void): it is held by `cross::trapped_liquid` alone. The same for slope of lines, spacing of traps and purge flow: rules without
//! a number that is computed here.
//!
//! Every check prints what it found (`cargo test -p report --test published -- --nocapture`).

// Helpers of tests: a row or a state that is not there has to stop the check.
#![allow(clippy::unwrap_used, clippy::panic)]

mod condenser_roof;
mod condensers;
mod field;
mod fluid_mechanics;
mod insulation;
mod line_practice;
mod oil;
mod open_examples;
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
mod weather;
mod winter;
mod worked_field;
