//! Laws and design methods of refrigerant lines.
//!
//! This crate knows no file, no table and no text for people. Its public quantities are `uom` types ([`units`]); bare
//! numbers live in private kernels with the unit in their names.
//!
//! The way through: a [`fluid::Refrigerant`] gives states; a [`line::Line`] is marched ([`line::march`]) at the
//! duties of a [`sizing::Case`], whose checks carry verdicts with bands ([`check`], [`uncertainty`]); [`charge`] says
//! what to add for it; [`strength`] whether tube and route hold what pressure, heat and valves do to them.
//!
//! On the roof: [`wind`] on the condensers and what holds them, their [`sound`], and what their discharge does ([`jet`]).
//!
//! On the day of the work: [`field`] has the pressure test, the evacuation, circuits, water and limits of charge.

pub mod balance;
pub mod branch_budget;
pub mod charge;
pub mod check;
pub mod compressor;
pub mod condenser;
pub mod double_riser;
pub mod drain;
pub mod field;
pub mod fittings;
pub mod flooding;
pub mod fluid;
pub mod friction;
pub mod heat;
pub mod ice;
pub mod jet;
pub mod layout;
pub mod line;
pub mod oil_return;
pub mod operation;
pub mod outcome;
pub mod parallel_coils;
pub mod range;
mod root;
pub mod sizing;
pub mod sound;
pub mod strength;
pub mod tube;
pub mod two_phase;
pub mod uncertainty;
pub mod units;
pub mod wind;
pub mod year;
