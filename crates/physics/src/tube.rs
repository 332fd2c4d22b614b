//! A tube as the physics sees it: outside diameter, wall and the bore between.

use crate::units::{Area, Bore, Length, OutsideDiameter};
use thiserror::Error;
use uom::si::length::millimeter;

/// A round tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tube {
    outside: OutsideDiameter,
    wall: Length,
}

/// Dimensions that make no tube.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum TubeError {
    /// The wall is not positive, or no bore is left between the walls.
    #[error("a wall of {wall_mm} mm leaves no bore in an outside diameter of {outside_mm} mm")]
    NoBore {
        /// Outside diameter, mm.
        outside_mm: f64,
        /// Wall thickness, mm.
        wall_mm: f64,
    },
}

impl Tube {
    /// A tube of nominal dimensions.
    ///
    /// # Errors
    /// [`TubeError::NoBore`] unless `0 < wall < outside / 2` and both are finite.
    ///
    /// # Example
    /// ```
    /// use physics::{tube::Tube, units::{Length, OutsideDiameter, unit::length::{inch, millimeter}}};
    /// let half_inch_coil = Tube::new(OutsideDiameter::new(Length::new::<inch>(0.5)), Length::new::<inch>(0.032)).unwrap();
    /// assert!((half_inch_coil.bore().get().get::<millimeter>() - 11.074).abs() < 1e-3);
    /// ```
    pub fn new(outside: OutsideDiameter, wall: Length) -> Result<Self, TubeError> {
        let (outside_mm, wall_mm) = (outside.get().get::<millimeter>(), wall.get::<millimeter>());
        if outside_mm.is_finite() && wall_mm > 0.0 && 2.0 * wall_mm < outside_mm {
            Ok(Self { outside, wall })
        } else {
            Err(TubeError::NoBore { outside_mm, wall_mm })
        }
    }

    /// Outside diameter.
    #[must_use]
    pub fn outside(&self) -> OutsideDiameter {
        self.outside
    }

    /// Nominal wall thickness.
    #[must_use]
    pub fn wall(&self) -> Length {
        self.wall
    }

    /// Nominal bore: outside diameter less two walls.
    #[must_use]
    pub fn bore(&self) -> Bore {
        Bore::new(self.outside.get() - 2.0 * self.wall)
    }

    /// Cross-section of the bore.
    #[must_use]
    pub fn bore_area(&self) -> Area {
        self.bore().area()
    }

    /// Cross-section of the wall: `pi t (D - t)`.
    ///
    /// ```
    /// use physics::{tube::Tube, units::{Length, OutsideDiameter, unit::{area::square_millimeter, length::millimeter}}};
    /// let tube = Tube::new(OutsideDiameter::new(Length::new::<millimeter>(22.0)), Length::new::<millimeter>(1.0))?;
    /// assert!((tube.wall_area().get::<square_millimeter>() - 65.9734).abs() < 1e-4);
    /// # Ok::<(), physics::tube::TubeError>(())
    /// ```
    #[must_use]
    pub fn wall_area(&self) -> Area {
        std::f64::consts::PI * self.wall * (self.outside.get() - self.wall)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use uom::si::length::inch;

    #[test]
    fn refuses_what_is_no_tube() {
        for (outside, wall) in
            [(0.5, 0.25), (0.5, 0.0), (0.5, -0.01), (f64::NAN, 0.01), (0.5, f64::NAN), (-1.0, 0.1)]
        {
            let made =
                Tube::new(OutsideDiameter::new(Length::new::<inch>(outside)), Length::new::<inch>(wall));
            assert!(made.is_err(), "{outside} x {wall}");
        }
    }
}
