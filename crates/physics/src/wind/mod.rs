//! Wind on condensers that stand on a roof, and what holds them down.
//!
//! **For screening only.** The equations are those of the American loading standard as open transcriptions and pages about
//! building codes quote them; the printed standard was not opened. Local code governs (some ask for half as much again and
//! more), and an engineer signs. Snow, earthquake, the roof under the frame and the steel of the frame are not looked at.
//!
//! The way through: [`exposure_coefficient`] and [`ground_elevation_factor`] go into the [`velocity_pressure`] at roof
//! height; with the [`Building`] and its [`GustCurve`]s that is a [`RoofWind`]; it blows on a [`Frame`] ([`rooftop_force`]);
//! a [`LoadCombination`] turns the force into loads on anchors ([`anchor_loads`]), or into the ballast that is missing
//! without any ([`ballast`]).
//!
//! Coefficients and load factors come in as arguments; this module holds none but 0.613 (half the density of standard air)
//! and the two of the ground elevation factor.

mod force;
mod frame;
mod hold;
mod pressure;
#[cfg(test)]
mod tests;

pub use force::{Building, GustCurve, RoofWind, RooftopForce, rooftop_force};
pub use frame::{Anchors, Face, Frame, PlacedUnit, Stand, Unit, side_by_side, stacked};
pub use hold::{AnchorLoad, AnchorLoads, Ballast, LoadCombination, anchor_loads, ballast};
pub use pressure::{
    PressureFactors, Terrain, exposure_coefficient, ground_elevation_factor, velocity_pressure,
};

use crate::range::OutOfRange;
use thiserror::Error;

/// Why a question about wind has no answer.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum WindError {
    /// A quantity outside its range, or no number.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// A frame that carries nothing.
    #[error("the frame carries no unit")]
    NoUnit,
    /// A row holds more anchors than there are.
    #[error("a row of {row} anchors is more than all {count} of the frame")]
    RowBeyondCount {
        /// Anchors of the row.
        row: u32,
        /// Anchors of the frame.
        count: u32,
    },
    /// The frame tips without any wind.
    #[error(
        "the weight acts {off_m:.3} m off the middle of anchors {span_m:.3} m apart: the frame tips by itself"
    )]
    WeightOutsideAnchors {
        /// Distance of the centre of mass from the middle between the rows, m.
        off_m: f64,
        /// Distance of the rows, m.
        span_m: f64,
    },
}
