//! Sound of units on a roof: sums of levels, and the level at a distance.
//!
//! Spreading alone: no screens, no echoes, no tones, no weather, nothing absorbed on the way. A first look at whether a
//! neighbour will hear the units, no proof for an authority.

use crate::{
    outcome::{Caveat, Caveats, Method, Outcome},
    range::{OutOfRange, within},
    units::Length,
};
use thiserror::Error;
use uom::si::length::meter;

/// Why a question about sound has no answer.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum SoundError {
    /// A quantity outside its range, or no number.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// A sum of no levels.
    #[error("there is no level to sum")]
    NoLevel,
}

macro_rules! level {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// From decibel, -100 to 200; a weighting (A) stays what it is.
            ///
            /// # Errors
            /// [`SoundError::OutOfRange`].
            pub fn from_decibel(decibel: f64) -> Result<Self, SoundError> {
                Ok(Self(within("sound level (dB)", decibel, -100.0, 200.0)?))
            }

            /// In decibel.
            #[must_use]
            pub const fn decibel(self) -> f64 {
                self.0
            }

            /// Level of sources together that do not move in step: `10 lg sum 10^(L/10)`.
            ///
            /// # Errors
            /// [`SoundError::NoLevel`].
            pub fn sum(levels: &[Self]) -> Result<Outcome<Self>, SoundError> {
                let levels: Vec<f64> = levels.iter().map(|level| level.0).collect();
                Ok(spread(Self(kernel::sum_db(&levels).ok_or(SoundError::NoLevel)?), Caveats::default()))
            }
        }
    };
}

level! {
    /// Sound power level: what a unit sends out, wherever one stands. Reference 1 pW.
    ///
    /// It is no level at a place, though both are called decibel:
    /// ```compile_fail
    /// use physics::sound::{SoundPowerLevel, SoundPressureLevel};
    /// let here: SoundPressureLevel = SoundPowerLevel::from_decibel(75.0).unwrap();
    /// ```
    SoundPowerLevel
}
level! {
    /// Sound pressure level: what one hears at a place. Reference 20 µPa.
    ///
    /// ```
    /// use physics::sound::SoundPressureLevel;
    /// let level = |decibel| SoundPressureLevel::from_decibel(decibel);
    /// let both = SoundPressureLevel::sum(&[level(70.0)?, level(64.0)?])?.value;
    /// assert!((both.decibel() - 70.97).abs() < 0.005);
    /// # Ok::<(), physics::sound::SoundError>(())
    /// ```
    SoundPressureLevel
}

/// Where a unit can send its sound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Radiation {
    /// All around: high above everything.
    Sphere,
    /// Over a reflecting roof.
    HalfSphere,
    /// Over a reflecting roof, beside a reflecting wall.
    QuarterSphere,
}

impl Radiation {
    /// Directivity Q: how much stronger than all around.
    #[must_use]
    pub const fn directivity(self) -> f64 {
        match self {
            Self::Sphere => 1.0,
            Self::HalfSphere => 2.0,
            Self::QuarterSphere => 4.0,
        }
    }
}

/// Level at a distance from a unit: `Lp = Lw - 10 lg(4 pi r^2 / Q)`, so `Lw - 20 lg r - 8` over a roof, r in m.
///
/// Distance above 0 to 2000 m; largest side of the unit 0.01 to 100 m. Nearer than two of these sides the unit is no point,
/// and the answer has the caveat [`Caveat::NearUnit`].
///
/// # Errors
/// [`SoundError::OutOfRange`].
///
/// # Example
/// 75 dB at 10 m over a roof: 47 dB.
/// ```
/// use physics::{sound::{Radiation, SoundPowerLevel, level_at}, units::{Length, unit::length::meter}};
/// let metres = Length::new::<meter>;
/// let power = SoundPowerLevel::from_decibel(75.0)?;
/// let level = level_at(power, metres(10.0), Radiation::HalfSphere, metres(1.2))?.value;
/// assert!((level.decibel() - 47.0).abs() < 0.05);
/// # Ok::<(), physics::sound::SoundError>(())
/// ```
pub fn level_at(
    power: SoundPowerLevel,
    distance: Length,
    radiation: Radiation,
    unit_side: Length,
) -> Result<Outcome<SoundPressureLevel>, SoundError> {
    let (distance_m, caveats) = away(distance, unit_side)?;
    let level = power.0 - kernel::spreading_db(distance_m, radiation.directivity());
    Ok(spread(SoundPressureLevel(level), caveats))
}

/// Level at another distance from the one at which it is stated (makers say "at 10 ft"): 6 dB less for twice the distance.
///
/// Ranges and caveat as [`level_at`], for both distances.
///
/// # Errors
/// [`SoundError::OutOfRange`].
pub fn carried(
    stated: SoundPressureLevel,
    at: Length,
    to: Length,
    unit_side: Length,
) -> Result<Outcome<SoundPressureLevel>, SoundError> {
    let ((at_m, mut caveats), (to_m, more)) = (away(at, unit_side)?, away(to, unit_side)?);
    caveats.merge(more);
    Ok(spread(SoundPressureLevel(stated.0 - 20.0 * (to_m / at_m).log10()), caveats))
}

fn away(distance: Length, unit_side: Length) -> Result<(f64, Caveats), OutOfRange> {
    let distance_m = within("distance (m)", distance.get::<meter>(), 1e-3, 2000.0)?;
    let side_m = within("largest side of the unit (m)", unit_side.get::<meter>(), 0.01, 100.0)?;
    let mut caveats = Caveats::default();
    if distance_m < 2.0 * side_m {
        caveats.add(Caveat::NearUnit);
    }
    Ok((distance_m, caveats))
}

fn spread<T>(value: T, caveats: Caveats) -> Outcome<T> {
    Outcome { value, method: Method::SoundSpreading, caveats }
}

mod kernel {
    use std::f64::consts::PI;

    /// Taken off the loudest first, so that no power of ten leaves the numbers.
    pub(super) fn sum_db(levels_db: &[f64]) -> Option<f64> {
        let loudest_db = levels_db.iter().copied().reduce(f64::max)?;
        let powers: f64 = levels_db.iter().map(|level_db| 10f64.powf(0.1 * (level_db - loudest_db))).sum();
        Some(loudest_db + 10.0 * powers.log10())
    }

    pub(super) fn spreading_db(distance_m: f64, directivity: f64) -> f64 {
        10.0 * (4.0 * PI * distance_m.powi(2) / directivity).log10()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn metres(value: f64) -> Length {
        Length::new::<meter>(value)
    }

    fn pressure(decibel: f64) -> SoundPressureLevel {
        SoundPressureLevel::from_decibel(decibel).unwrap()
    }

    fn sum(levels: &[f64]) -> f64 {
        let levels: Vec<_> = levels.iter().copied().map(pressure).collect();
        SoundPressureLevel::sum(&levels).unwrap().value.decibel()
    }

    fn at(distance_m: f64, radiation: Radiation) -> Outcome<SoundPressureLevel> {
        let power = SoundPowerLevel::from_decibel(80.0).unwrap();
        level_at(power, metres(distance_m), radiation, metres(1.5)).unwrap()
    }

    #[test]
    fn refuses_no_level_and_no_distance() {
        assert_eq!(SoundPowerLevel::sum(&[]), Err(SoundError::NoLevel));
        for decibel in [-101.0, 201.0, f64::NAN, f64::INFINITY] {
            assert!(SoundPowerLevel::from_decibel(decibel).is_err(), "{decibel} dB");
        }
        for (at_m, to_m, side_m) in
            [(0.0, 5.0, 1.0), (5.0, f64::NAN, 1.0), (5.0, 2001.0, 1.0), (5.0, 9.0, 0.0)]
        {
            assert!(carried(pressure(60.0), metres(at_m), metres(to_m), metres(side_m)).is_err());
        }
    }

    #[test]
    fn a_wall_and_a_roof_add_three_decibel_each() {
        let [all, roof, wall] = [Radiation::Sphere, Radiation::HalfSphere, Radiation::QuarterSphere]
            .map(|radiation| at(10.0, radiation).value.0);
        let twice = 10.0 * 2f64.log10();
        approx::assert_relative_eq!(roof - all, twice, max_relative = 1e-12);
        approx::assert_relative_eq!(wall - roof, twice, max_relative = 1e-12);
    }

    #[test]
    fn nearer_than_two_sides_of_the_unit_is_said() {
        let near = |outcome: Outcome<SoundPressureLevel>| outcome.caveats.has(Caveat::NearUnit);
        assert!(near(at(2.99, Radiation::HalfSphere)));
        assert!(!near(at(3.0, Radiation::HalfSphere)));
        let carry = |at_m, to_m| carried(pressure(60.0), metres(at_m), metres(to_m), metres(1.5)).unwrap();
        assert!(near(carry(1.0, 10.0)) && near(carry(10.0, 1.0)) && !near(carry(4.0, 10.0)));
    }

    #[test]
    fn a_stated_level_carries_as_the_power_behind_it_does() {
        let stated = at(4.0, Radiation::HalfSphere).value;
        let found = carried(stated, metres(4.0), metres(25.0), metres(1.5)).unwrap().value;
        approx::assert_relative_eq!(found.0, at(25.0, Radiation::HalfSphere).value.0, max_relative = 1e-12);
    }

    proptest! {
        #[test]
        fn sums_commute_and_are_never_below_the_loudest(levels in proptest::collection::vec(-50.0..150.0_f64, 1..8)) {
            let loudest = levels.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let mut turned = levels.clone();
            turned.reverse();
            prop_assert!((sum(&levels) - sum(&turned)).abs() < 1e-9);
            prop_assert!(sum(&levels) >= loudest);
            prop_assert!(sum(&levels) <= loudest + 10.0 * (levels.len() as f64).log10() + 1e-9);
            let (first, rest) = levels.split_first().unwrap();
            if !rest.is_empty() {
                prop_assert!((sum(&[*first, sum(rest)]) - sum(&levels)).abs() < 1e-9);
            }
        }

        #[test]
        fn falls_with_distance(distance_m in 0.1..1000.0_f64, farther in 1.01..2.0_f64) {
            let level = |distance_m| at(distance_m, Radiation::HalfSphere).value;
            prop_assert!(level(distance_m * farther) < level(distance_m));
        }
    }
}
