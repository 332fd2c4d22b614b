//! What a surface radiates and what it takes of the sun.

use crate::units::Ratio;

/// How a surface trades radiation: bright copper (0.05, 0.25) and a black jacket (0.9, 0.92) are the ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// Emissivity at the temperature of the surface, hemispherical; grey.
    pub emissivity: Ratio,
    /// Share of sunlight that is absorbed.
    pub absorptance: Ratio,
}
