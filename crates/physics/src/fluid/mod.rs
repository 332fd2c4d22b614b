//! Refrigerants: states, and the property grids that they are read from.

mod branch;
mod columns;
mod glide;
mod grid;
mod interpolation;
mod single_phase;
mod state;
#[cfg(test)]
pub(crate) mod test_fluid;

pub use columns::{GlideColumns, GridData, GridError, SaturationColumns, SurfaceColumns};
pub use grid::GridRefrigerant;
pub use state::{AnyState, Ends, OutsideRange, Phase, Refrigerant, Region, State, Thermal, TwoPhase};
