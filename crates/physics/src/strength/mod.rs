//! Strength: whether a line holds its pressure, what heat and fast valves add to it, and how it may move.
//!
//! - [`working_pressure`](fn@working_pressure): what a tube bears; [`bounds`] compares it with everything that the line
//!   meets and that meets the line.
//! - [`trapped`]: liquid shut in between two closing parts, and the void that protects it.
//! - [`surge`](fn@surge): the pressure rise of a fast valve.
//! - [`expansion`]: growth of hot legs, loops, and the flexibility that a route has of its own.
//! - [`pulsation`]: distances at which compressor gas pulses resonate.
//!
//! Allowable stresses, tolerances and constants of copper come in as arguments; this module holds none.

pub mod bounds;
pub mod expansion;
mod material;
pub mod pulsation;
mod sound;
mod surge;
pub mod trapped;
mod working_pressure;

pub use material::TubeMaterial;
pub use sound::sound_speed;
pub use surge::{Stop, Surge, surge, wave_speed};
pub use working_pressure::{Basis, Joint, StressCurve, Temper, Tolerance, working_pressure};

use crate::fluid::OutsideRange;
use thiserror::Error;

/// Why a question about strength has no answer.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum StrengthError {
    /// Allowable stresses that make no curve.
    #[error("allowable stresses need at least one point, positive stresses and rising temperatures")]
    NoCurve,
    /// The allowable stress is not stated for this temperature. Nothing is extrapolated.
    #[error("no allowable stress is stated at {value_c:.1} °C, only from {low_c:.1} to {high_c:.1} °C")]
    StressTemperature {
        /// Temperature asked for, °C.
        value_c: f64,
        /// Lowest temperature of the table, °C.
        low_c: f64,
        /// Highest temperature of the table, °C.
        high_c: f64,
    },
    /// The tolerance uses up the wall.
    #[error("a tolerance of {tolerance_mm:.3} mm leaves nothing of a wall of {wall_mm:.3} mm")]
    NoWallLeft {
        /// Nominal wall, mm.
        wall_mm: f64,
        /// Its tolerance, mm.
        tolerance_mm: f64,
    },
    /// A quantity that must be positive (or at least zero where that makes sense) is not.
    #[error("the {what} must be positive, not {value}")]
    NotPositive {
        /// The quantity.
        what: &'static str,
        /// Its value in SI.
        value: f64,
    },
    /// Liquid can only be trapped where there is liquid.
    #[error("a section that holds vapour does not lock: the start must be saturated or subcooled liquid")]
    NotLiquid,
    /// The pressure to be reached lies below the starting pressure.
    #[error("the section starts at {start_pa:.0} Pa, above the {limit_pa:.0} Pa that it is to reach")]
    StartsAbove {
        /// Starting pressure, Pa.
        start_pa: f64,
        /// Pressure to be reached, Pa.
        limit_pa: f64,
    },
    /// The tube grows as fast as the liquid: no pressure builds up.
    #[error("the tube grows as fast as the liquid in it: no pressure builds up")]
    NeverLocks,
    /// The property data do not reach the state.
    #[error(transparent)]
    OutsideRange(#[from] OutsideRange),
}

fn positive(what: &'static str, value: f64) -> Result<f64, StrengthError> {
    if value > 0.0 && value.is_finite() { Ok(value) } else { Err(StrengthError::NotPositive { what, value }) }
}

fn not_negative(what: &'static str, value: f64) -> Result<f64, StrengthError> {
    if value >= 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(StrengthError::NotPositive { what, value })
    }
}
