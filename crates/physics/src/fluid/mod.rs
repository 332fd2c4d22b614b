//! Refrigerants: states, and the property grids that they are read from.

mod grid;
pub use grid::{GridData, SaturationColumns, SurfaceColumns};
