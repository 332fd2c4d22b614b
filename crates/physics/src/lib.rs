//! Laws and design methods of refrigerant lines.
pub mod fittings;
pub mod fluid;
pub mod tube;
pub mod units;
