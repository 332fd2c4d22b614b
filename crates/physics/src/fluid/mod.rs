//! Refrigerants: states, and the property grids that they are read from.

mod grid;
mod interpolation;
mod state;
#[cfg(test)]
pub(crate) mod test_fluid;

pub use grid::{GridData, GridError, GridRefrigerant, SaturationColumns, SurfaceColumns};
pub use state::{Ends, OutsideRange, Refrigerant, Region, State};
