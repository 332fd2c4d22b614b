//! What every outside check needs: rows of a CSV, the refrigerants of the library, and a tally of deviations.

// Two test programs share this; each leaves some of it unused.
#![allow(dead_code, unused_imports)]

pub(crate) mod capacity;
pub(crate) mod field;
mod fluids;
pub(crate) mod generator;
mod known;
mod quantities;
pub(crate) mod roof;
mod rows;
mod tally;
pub(crate) mod winter;

pub(crate) use fluids::{LIBRARY, grid, refrigerant, refrigerants};
pub(crate) use known::Known;
pub(crate) use quantities::*;
pub(crate) use rows::{Row, read};
pub(crate) use tally::Tally;
