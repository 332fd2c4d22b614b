//! Velocity pressure of the design wind.

use super::WindError;
use crate::{
    outcome::{Caveats, Method, Outcome},
    range::within,
    units::{Length, Pressure, Ratio, Velocity},
};
use uom::si::{
    length::{foot, meter},
    pressure::pascal,
    ratio::ratio,
    velocity::meter_per_second,
};

/// How wind grows with height over one kind of ground: `Kz = factor (max(z, least_height) / gradient_height)^(2 / alpha)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Terrain {
    /// Coefficient at the gradient height, 2.01 or 2.41 by edition.
    pub factor: Ratio,
    /// Exponent of the power law of the wind, 7 to 11.5.
    pub alpha: Ratio,
    /// Height at which the ground no longer slows the wind.
    pub gradient_height: Length,
    /// Height below which the coefficient falls no more, 15 ft.
    pub least_height: Length,
}

/// Velocity pressure exposure coefficient Kz (Kh at roof height).
///
/// ASCE 7 Table 26.10-1, note 1: the power law of [`Terrain`], constant below its least height as the standard says. Valid
/// from 0 to the gradient height.
///
/// # Errors
/// [`WindError::OutOfRange`] for a height outside that, an `alpha` outside 1 to 20, or a factor outside 0.1 to 10.
///
/// # Example
/// 20 ft, exposure C of the 2016 edition: 0.90.
/// ```
/// use physics::{units::{Length, Ratio, unit::{length::foot, ratio::ratio}}, wind::{Terrain, exposure_coefficient}};
/// let feet = Length::new::<foot>;
/// let open_country = Terrain {
///     factor: Ratio::new::<ratio>(2.01),
///     alpha: Ratio::new::<ratio>(9.5),
///     gradient_height: feet(900.0),
///     least_height: feet(15.0),
/// };
/// let coefficient = exposure_coefficient(feet(20.0), &open_country)?.value;
/// assert!((coefficient.get::<ratio>() - 0.902).abs() < 5e-4);
/// # Ok::<(), physics::wind::WindError>(())
/// ```
pub fn exposure_coefficient(height: Length, terrain: &Terrain) -> Result<Outcome<Ratio>, WindError> {
    let gradient_m =
        within("gradient height (m)", terrain.gradient_height.get::<meter>(), f64::MIN_POSITIVE, 10_000.0)?;
    let height_m = within("height above ground (m)", height.get::<meter>(), 0.0, gradient_m)?;
    let least_m = within("least height (m)", terrain.least_height.get::<meter>(), 0.0, gradient_m)?;
    let alpha = within("exponent of the wind profile", terrain.alpha.get::<ratio>(), 1.0, 20.0)?;
    let factor = within("coefficient at the gradient height", terrain.factor.get::<ratio>(), 0.1, 10.0)?;
    let coefficient = factor * (height_m.max(least_m) / gradient_m).powf(2.0 / alpha);
    Ok(by_the_standard(Ratio::new::<ratio>(coefficient)))
}

/// Ground elevation factor Ke: thinner air presses less. `Ke = exp(-0.0000362 z/ft)`; 1 is always allowed.
///
/// ASCE 7-22 Table 26.9-1, note 2. Valid from -500 m to 9000 m above the sea.
///
/// # Errors
/// [`WindError::OutOfRange`].
///
/// # Example
/// 5000 ft: 0.834.
/// ```
/// use physics::{units::{Length, unit::{length::foot, ratio::ratio}}, wind::ground_elevation_factor};
/// let factor = ground_elevation_factor(Length::new::<foot>(5000.0))?.value;
/// assert!((factor.get::<ratio>() - 0.834).abs() < 5e-4);
/// # Ok::<(), physics::wind::WindError>(())
/// ```
pub fn ground_elevation_factor(altitude: Length) -> Result<Outcome<Ratio>, WindError> {
    within("altitude (m)", altitude.get::<meter>(), -500.0, 9000.0)?;
    Ok(by_the_standard(Ratio::new::<ratio>((-0.000_036_2 * altitude.get::<foot>()).exp())))
}

/// What the square of the wind is multiplied with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PressureFactors {
    /// Exposure at roof height, Kz ([`exposure_coefficient`]); 0.1 to 3.
    pub exposure: Ratio,
    /// Hills and escarpments, Kzt; 1 on flat ground, 1 to 4.
    pub topography: Ratio,
    /// Wind from the worst direction is rarer than wind, Kd; 0.5 to 1. The edition of 2022 moves it from the pressure to the
    /// force: it counts here in both, so that it counts once.
    pub directionality: Ratio,
    /// Ground elevation, Ke ([`ground_elevation_factor`]); 0.3 to 1.1.
    pub elevation: Ratio,
}

/// Velocity pressure `q = 0.613 Kz Kzt Kd Ke V^2` (Pa, m/s).
///
/// ASCE 7 eq. 26.10-1. The wind is the 3-second gust of the standard's maps at 33 ft over open country; 0 to 120 m/s.
///
/// # Errors
/// [`WindError::OutOfRange`].
///
/// # Example
/// 115 mph, Kz 0.90, Kd 0.85: 1239 Pa.
/// ```
/// use physics::{units::{Ratio, Velocity, unit::{pressure::pascal, ratio::ratio, velocity::mile_per_hour}}, wind::{PressureFactors, velocity_pressure}};
/// let factor = Ratio::new::<ratio>;
/// let factors = PressureFactors {
///     exposure: factor(0.90), topography: factor(1.0), directionality: factor(0.85), elevation: factor(1.0),
/// };
/// let pressure = velocity_pressure(Velocity::new::<mile_per_hour>(115.0), &factors)?.value;
/// assert!((pressure.get::<pascal>() - 1239.4).abs() < 0.1);
/// # Ok::<(), physics::wind::WindError>(())
/// ```
pub fn velocity_pressure(wind: Velocity, factors: &PressureFactors) -> Result<Outcome<Pressure>, WindError> {
    let wind_m_s = within("wind (m/s)", wind.get::<meter_per_second>(), 0.0, 120.0)?;
    let product = within("exposure coefficient", factors.exposure.get::<ratio>(), 0.1, 3.0)?
        * within("topographic factor", factors.topography.get::<ratio>(), 1.0, 4.0)?
        * within("directionality factor", factors.directionality.get::<ratio>(), 0.5, 1.0)?
        * within("ground elevation factor", factors.elevation.get::<ratio>(), 0.3, 1.1)?;
    Ok(by_the_standard(Pressure::new::<pascal>(0.613 * product * wind_m_s.powi(2))))
}

fn by_the_standard<T>(value: T) -> Outcome<T> {
    Outcome { value, method: Method::VelocityPressure, caveats: Caveats::default() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn feet(value: f64) -> Length {
        Length::new::<foot>(value)
    }

    fn number(value: f64) -> Ratio {
        Ratio::new::<ratio>(value)
    }

    fn open_country() -> Terrain {
        Terrain {
            factor: number(2.01),
            alpha: number(9.5),
            gradient_height: feet(900.0),
            least_height: feet(15.0),
        }
    }

    fn coefficient(height_ft: f64) -> f64 {
        exposure_coefficient(feet(height_ft), &open_country()).unwrap().value.get::<ratio>()
    }

    #[test]
    fn is_that_of_the_least_height_below_it_and_the_factor_at_the_gradient_height() {
        assert_eq!(coefficient(0.0), coefficient(15.0));
        assert!(coefficient(15.1) > coefficient(15.0));
        approx::assert_relative_eq!(coefficient(900.0), 2.01, max_relative = 1e-12);
    }

    #[test]
    fn refuses_what_is_no_height_no_terrain_and_no_wind() {
        for height_ft in [-1.0, 901.0, f64::NAN, f64::INFINITY] {
            assert!(exposure_coefficient(feet(height_ft), &open_country()).is_err(), "{height_ft} ft");
        }
        let broken = [
            Terrain { alpha: number(0.5), ..open_country() },
            Terrain { factor: number(0.0), ..open_country() },
            Terrain { gradient_height: feet(0.0), ..open_country() },
            Terrain { least_height: feet(1000.0), ..open_country() },
        ];
        for terrain in broken {
            assert!(exposure_coefficient(feet(0.0), &terrain).is_err(), "{terrain:?}");
        }
        for altitude_m in [-501.0, 9001.0, f64::NAN] {
            assert!(ground_elevation_factor(Length::new::<meter>(altitude_m)).is_err(), "{altitude_m} m");
        }
        let even = PressureFactors {
            exposure: number(1.0),
            topography: number(1.0),
            directionality: number(1.0),
            elevation: number(1.0),
        };
        for wind_m_s in [-1.0, 121.0, f64::NAN] {
            assert!(velocity_pressure(Velocity::new::<meter_per_second>(wind_m_s), &even).is_err());
        }
        let wind = Velocity::new::<meter_per_second>(50.0);
        let told = velocity_pressure(wind, &PressureFactors { topography: number(0.9), ..even });
        assert_eq!(told.unwrap_err().to_string(), "the topographic factor is 0.9, outside 1 to 4");
        for factors in [
            PressureFactors { exposure: number(0.0), ..even },
            PressureFactors { directionality: number(1.2), ..even },
            PressureFactors { elevation: number(0.0), ..even },
        ] {
            assert!(velocity_pressure(wind, &factors).is_err(), "{factors:?}");
        }
    }

    proptest! {
        #[test]
        fn grows_with_every_factor_and_the_square_of_the_wind(
            wind_m_s in 1.0..60.0_f64, exposure in 0.5..1.4_f64, topography in 1.0..2.0_f64, elevation in 0.5..1.0_f64,
        ) {
            let pressure = |wind_m_s, exposure, topography, directionality, elevation| {
                let factors = PressureFactors {
                    exposure: number(exposure),
                    topography: number(topography),
                    directionality: number(directionality),
                    elevation: number(elevation),
                };
                velocity_pressure(Velocity::new::<meter_per_second>(wind_m_s), &factors).unwrap().value.value
            };
            let one = pressure(wind_m_s, exposure, topography, 0.8, elevation);
            let close = |found: f64, factor: f64| (found / one - factor).abs() < 1e-12;
            prop_assert!(close(pressure(2.0 * wind_m_s, exposure, topography, 0.8, elevation), 4.0));
            prop_assert!(close(pressure(wind_m_s, 2.0 * exposure, topography, 0.8, elevation), 2.0));
            prop_assert!(close(pressure(wind_m_s, exposure, 2.0 * topography, 0.8, elevation), 2.0));
            prop_assert!(close(pressure(wind_m_s, exposure, topography, 1.0, elevation), 1.25));
            prop_assert!(close(pressure(wind_m_s, exposure, topography, 0.8, 1.1 * elevation), 1.1));
        }
    }
}
