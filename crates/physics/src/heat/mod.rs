//! Heat between a line and its surroundings, for one metre of tube.
//!
//! From the fluid outwards: film inside ([`inside_film`]), wall, insulation, and at the surface free convection and wind
//! ([`film`]), radiation and sun. [`exchange()`] solves the surface temperature and gives the heat **into the fluid**
//! (positive: the fluid gains), the resistances, and a straight-line form for a march. On it stand the sweating of cold
//! lines ([`moisture`]), the least insulation ([`thickness`]: against sweat, burns and a rise), and lines that share the air
//! of a chase ([`chase`]).
//!
//! Steady state; no ageing, no wet insulation, no supports that bridge it, no heat along the tube.

mod air;
pub mod chase;
mod exchange;
pub mod film;
pub mod moisture;
mod surface;
pub mod thickness;

pub use air::{AirProperties, air_properties};
pub use exchange::{
    Conditions, Conductivity, Exchange, Insulation, Linear, Pipe, Resistances, Stand, Surroundings, Through,
    exchange, exchange_at, rise_along,
};
pub use film::inside_film;
pub use surface::Surface;

use std::fmt;
use thiserror::Error;

/// Why heat could not be computed.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum HeatError {
    /// A quantity lies outside what the equations hold for (or is no number).
    #[error("{quantity} of {value} is outside {low} to {high}")]
    OutsideRange {
        /// Which one, with its unit.
        quantity: Quantity,
        /// Its value in that unit.
        value: f64,
        /// Lowest value allowed.
        low: f64,
        /// Highest value allowed.
        high: f64,
    },
    /// No surface temperature between 200 K and 450 K balances the heat.
    #[error("no surface temperature between 200 K and 450 K balances the heat")]
    NoBalance,
    /// Neither line nor enclosure conducts: the air of the chase has no temperature.
    #[error("nothing exchanges heat with the air of the chase")]
    NothingConducts,
}

/// A quantity that was out of range.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Quantity {
    /// Temperature of the fluid, K.
    FluidTemperature,
    /// Temperature of the air, K.
    AirTemperature,
    /// Temperature of what the surface sees, K.
    RadiantTemperature,
    /// Dew point, K.
    DewPoint,
    /// Temperature of the surroundings of a chase or of a line in it, K.
    ChaseTemperature,
    /// Pressure of the air, Pa.
    AirPressure,
    /// Wind, m/s.
    Wind,
    /// Sun, W/m².
    Sun,
    /// Emissivity, 1.
    Emissivity,
    /// Absorptance for sunlight, 1.
    Absorptance,
    /// Relative humidity, 1.
    RelativeHumidity,
    /// Heat transfer coefficient, W/(m² K).
    FilmCoefficient,
    /// Conductivity, W/(m K).
    Conductivity,
    /// Heat conductance per length, W/(m K).
    Conductance,
    /// Thickness of insulation, m.
    Thickness,
    /// Height of an upright tube, m.
    Height,
    /// Bore, m.
    Bore,
    /// Outside diameter of a tube, m.
    OutsideDiameter,
    /// Mass rate, kg/s.
    MassRate,
    /// Viscosity, Pa s.
    Viscosity,
    /// Specific heat capacity, J/(kg K).
    SpecificHeat,
    /// Length of a run, m.
    Run,
    /// Temperature difference, K.
    TemperatureDifference,
}

impl fmt::Display for Quantity {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::FluidTemperature => "temperature of the fluid (K)",
            Self::AirTemperature => "temperature of the air (K)",
            Self::RadiantTemperature => "temperature of what the surface sees (K)",
            Self::DewPoint => "dew point (K)",
            Self::ChaseTemperature => "temperature in or around the chase (K)",
            Self::AirPressure => "pressure of the air (Pa)",
            Self::Wind => "wind (m/s)",
            Self::Sun => "sun (W/m2)",
            Self::Emissivity => "emissivity",
            Self::Absorptance => "absorptance for sunlight",
            Self::RelativeHumidity => "relative humidity (1 is saturated)",
            Self::FilmCoefficient => "heat transfer coefficient (W/(m2 K))",
            Self::Conductivity => "conductivity (W/(m K))",
            Self::Conductance => "conductance per length (W/(m K))",
            Self::Thickness => "thickness of insulation (m)",
            Self::Height => "height of an upright tube (m)",
            Self::Bore => "bore (m)",
            Self::OutsideDiameter => "outside diameter (m)",
            Self::MassRate => "mass rate (kg/s)",
            Self::Viscosity => "viscosity (Pa s)",
            Self::SpecificHeat => "specific heat capacity (J/(kg K))",
            Self::Run => "length of the run (m)",
            Self::TemperatureDifference => "temperature difference (K)",
        })
    }
}

/// A number within `low..=high`, or the error that names it.
fn within(quantity: Quantity, value: f64, low: f64, high: f64) -> Result<f64, HeatError> {
    if (low..=high).contains(&value) {
        Ok(value)
    } else {
        Err(HeatError::OutsideRange { quantity, value, low, high })
    }
}

/// As [`within`], for what only has to be positive and finite.
fn positive(quantity: Quantity, value: f64) -> Result<f64, HeatError> {
    within(quantity, value, f64::MIN_POSITIVE, f64::MAX)
}
