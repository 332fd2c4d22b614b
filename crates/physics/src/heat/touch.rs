//! How hot a surface may be that someone can touch.

use crate::units::ThermodynamicTemperature;
use uom::si::thermodynamic_temperature::degree_celsius;

/// What is touched: a material that conducts well burns at a lower temperature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Touched {
    /// Bare metal.
    BareMetal,
    /// Plastic or rubber: insulation without a metal jacket.
    Plastic,
}

/// Lower end of the burn threshold for a touch of one second.
///
/// Bare metal 65 °C (threshold 65 to 70 °C), plastic 85 °C (85 to 93 °C): ISO 13732-1:2006, from memory, the standard was
/// not opened. A longer touch burns at less (about 51 °C in a minute, whatever the material; from memory). The standard
/// gives thresholds, not limits: a code or a house rule may ask for less, such as 60 °C.
#[must_use]
pub fn brief_touch_limit(touched: Touched) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(match touched {
        Touched::BareMetal => 65.0,
        Touched::Plastic => 85.0,
    })
}
