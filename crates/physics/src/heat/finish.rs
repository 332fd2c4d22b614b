//! What a surface radiates and what it takes of the sun.

use crate::units::Ratio;
use uom::si::ratio::ratio;

/// Sun on a surface that faces it on a clear day, W/m²: direct and diffuse at sea level, latitudes up to 50°, summer.
///
/// Grade: common practice, no source (1000 W/m² is also the irradiance at which solar modules are rated).
pub const CLEAR_SKY_SUN_W_M2: f64 = 1000.0;

/// How a surface trades radiation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// Emissivity at the temperature of the surface, hemispherical; grey.
    pub emissivity: Ratio,
    /// Share of sunlight that is absorbed.
    pub absorptance: Ratio,
}

/// Finishes of lines.
///
/// | finish | emissivity | absorptance for sunlight |
/// |---|---|---|
/// | bright copper | 0.05: published emissivity tables of thermography print 0.02 to 0.07 for polished and burnished copper | 0.25: memory |
/// | dull copper, some years old indoors | 0.4: memory; published tables print 0.12 to 0.15 "slightly polished to dull", 0.6 to 0.7 "oxidized" | 0.5: memory |
/// | oxidised copper, outdoors | 0.7: published tables print 0.6 to 0.7 at 50 °C, 0.78 "heavily oxidized" | 0.7: memory |
/// | black elastomeric jacket | 0.9: memory | 0.92: memory |
/// | white paint or coating | 0.9: published tables print 0.89 to 0.97 | 0.25 when new: a published table prints 0.19 to 0.25 |
/// | dark paint | 0.9: published tables print 0.87 to 0.96 | 0.95: a published table prints 0.975 for black |
/// | aluminium jacket | 0.1: published tables print 0.09 for commercial sheet | 0.3: memory; a published table prints 0.19 for foil |
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Finish {
    /// New copper.
    BrightCopper,
    /// Copper after some years indoors.
    DullCopper,
    /// Copper after some years outdoors.
    OxidisedCopper,
    /// Elastomeric insulation without a jacket, black.
    BlackElastomer,
    /// White paint or coating, clean.
    WhitePaint,
    /// Dark paint.
    DarkPaint,
    /// Sheet of aluminium around insulation.
    AluminiumJacket,
}

impl Finish {
    /// Emissivity and absorptance; sources in the table of [`Finish`].
    #[must_use]
    pub fn surface(self) -> Surface {
        let (emissivity, absorptance) = match self {
            Self::BrightCopper => (0.05, 0.25),
            Self::DullCopper => (0.4, 0.5),
            Self::OxidisedCopper => (0.7, 0.7),
            Self::BlackElastomer => (0.9, 0.92),
            Self::WhitePaint => (0.9, 0.25),
            Self::DarkPaint => (0.9, 0.95),
            Self::AluminiumJacket => (0.1, 0.3),
        };
        Surface { emissivity: Ratio::new::<ratio>(emissivity), absorptance: Ratio::new::<ratio>(absorptance) }
    }
}
