//! Surge: the pressure rise when a valve stops moving liquid.

use super::{StrengthError, TubeMaterial, not_negative, positive};
use crate::{
    outcome::{Caveats, Method, Outcome},
    tube::Tube,
    units::{Length, MassDensity, Pressure, Time, Velocity},
};
use uom::si::{pressure::pascal, time::second, velocity::meter_per_second};

/// Speed at which a pressure wave runs along liquid in a tube.
///
/// `1/c^2 = 1/c0^2 + rho d / (E t)` with the speed of sound `c0` of the liquid ([`sound_speed`](super::sound_speed)), the
/// bore `d` and the wall `t`: thin elastic tube, free to move lengthwise (D. J. Korteweg 1878, from memory).
///
/// # Errors
/// [`StrengthError::NotPositive`].
pub fn wave_speed(
    density: MassDensity,
    sound_speed: Velocity,
    tube: &Tube,
    material: &TubeMaterial,
) -> Result<Velocity, StrengthError> {
    let (sound_m_s, density_kg_m3) =
        (positive("speed of sound", sound_speed.value)?, positive("density", density.value)?);
    let modulus_pa = positive("modulus of elasticity", material.modulus.value)?;
    let yielding = density_kg_m3 * tube.bore().get().value / (modulus_pa * tube.wall().value);
    Ok(Velocity::new::<meter_per_second>((sound_m_s.powi(-2) + yielding).sqrt().recip()))
}

/// Liquid that a valve stops.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// Density of the liquid.
    pub density: MassDensity,
    /// Speed of the pressure wave in the tube ([`wave_speed`]).
    pub wave_speed: Velocity,
    /// Velocity that is stopped.
    pub velocity: Velocity,
    /// Length from the valve to where the pressure is held: a receiver, a wider line.
    pub length: Length,
    /// Time in which the valve closes; 0 for at once.
    pub closing_time: Time,
}

/// What a closing valve does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surge {
    /// Pressure rise at the valve.
    pub pressure_rise: Pressure,
    /// Time in which the wave runs to the far end and back, `2 L / c`: a valve that closes within it is fast.
    pub return_time: Time,
}

/// Pressure rise at a valve that stops moving liquid.
///
/// `dp = rho c v` where the valve closes within the return time `2 L / c` of the wave (N. Joukowsky 1898), and
/// `dp = rho c v (2 L / c) / t = 2 rho L v / t` where it takes longer (L. Michaud 1878; steady closing): from memory, papers
/// not opened. Without friction and without vapour in the line: both would soften the surge.
///
/// # Errors
/// [`StrengthError::NotPositive`].
///
/// # Example
/// ```
/// use physics::{strength::{Stop, surge}, units::{Length, MassDensity, Time, Velocity, unit::{length::meter, mass_density::kilogram_per_cubic_meter, pressure::bar, time::second, velocity::meter_per_second}}};
/// let stop = Stop {
///     density: MassDensity::new::<kilogram_per_cubic_meter>(1150.0),
///     wave_speed: Velocity::new::<meter_per_second>(450.0),
///     velocity: Velocity::new::<meter_per_second>(1.5),
///     length: Length::new::<meter>(20.0),
///     closing_time: Time::new::<second>(0.02),
/// };
/// assert!((surge(&stop)?.value.pressure_rise.get::<bar>() - 7.76).abs() < 0.01);
/// # Ok::<(), physics::strength::StrengthError>(())
/// ```
pub fn surge(stop: &Stop) -> Result<Outcome<Surge>, StrengthError> {
    let wave_m_s = positive("speed of the pressure wave", stop.wave_speed.value)?;
    let density_kg_m3 = positive("density", stop.density.value)?;
    let velocity_m_s = not_negative("velocity", stop.velocity.value)?;
    let length_m = positive("length", stop.length.value)?;
    let closing_s = not_negative("closing time", stop.closing_time.value)?;
    let return_s = 2.0 * length_m / wave_m_s;
    let share = if closing_s > return_s { return_s / closing_s } else { 1.0 };
    Ok(Outcome {
        value: Surge {
            pressure_rise: Pressure::new::<pascal>(density_kg_m3 * wave_m_s * velocity_m_s * share),
            return_time: Time::new::<second>(return_s),
        },
        method: Method::Joukowsky,
        caveats: Caveats::default(),
    })
}

#[cfg(test)]
mod tests {
    use super::{
        super::material::tests::{copper, tube},
        *,
    };
    use proptest::prelude::*;
    use uom::si::{length::meter, mass_density::kilogram_per_cubic_meter};

    fn stop(closing_s: f64, length_m: f64) -> Stop {
        Stop {
            density: MassDensity::new::<kilogram_per_cubic_meter>(1100.0),
            wave_speed: Velocity::new::<meter_per_second>(450.0),
            velocity: Velocity::new::<meter_per_second>(1.5),
            length: Length::new::<meter>(length_m),
            closing_time: Time::new::<second>(closing_s),
        }
    }

    fn rise_pa(closing_s: f64, length_m: f64) -> f64 {
        surge(&stop(closing_s, length_m)).unwrap().value.pressure_rise.value
    }

    /// In a tube that does not yield the wave runs with the speed of sound; in one whose wall yields as much as the liquid
    /// does (`rho c0^2 d = E t`) it runs slower by the square root of two.
    #[test]
    fn a_yielding_wall_slows_the_wave() {
        let (water, tube) = (MassDensity::new::<kilogram_per_cubic_meter>(1000.0), tube(520.0, 10.0));
        let sound = Velocity::new::<meter_per_second>(1480.0);
        let wave = |modulus_pa: f64| {
            let material = TubeMaterial { modulus: Pressure::new::<pascal>(modulus_pa), ..copper() };
            wave_speed(water, sound, &tube, &material).unwrap() / sound
        };
        approx::assert_relative_eq!(wave(1e18).value, 1.0, max_relative = 1e-6);
        approx::assert_relative_eq!(
            wave(1000.0 * 1480.0_f64.powi(2) * 50.0).value,
            0.5_f64.sqrt(),
            max_relative = 1e-9
        );
        assert!(
            wave_speed(
                water,
                sound,
                &tube,
                &TubeMaterial { modulus: Pressure::new::<pascal>(0.0), ..copper() }
            )
            .is_err()
        );
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [
            Stop { closing_time: Time::new::<second>(-1.0), ..stop(0.0, 10.0) },
            Stop { length: Length::new::<meter>(0.0), ..stop(0.0, 10.0) },
            Stop { velocity: Velocity::new::<meter_per_second>(f64::NAN), ..stop(0.0, 10.0) },
        ] {
            assert!(matches!(surge(&bad), Err(StrengthError::NotPositive { .. })), "{bad:?}");
        }
    }

    proptest! {
        #[test]
        fn longer_closing_never_surges_more(
            closing_s in 0.0..2.0_f64, longer in 0.0..2.0_f64, length_m in 0.5..100.0_f64,
        ) {
            prop_assert!(rise_pa(closing_s + longer, length_m) <= rise_pa(closing_s, length_m));
            // Nowhere more than the sudden stop, and continuous at the return time.
            prop_assert!(rise_pa(closing_s, length_m) <= rise_pa(0.0, length_m));
            let return_s = surge(&stop(0.0, length_m)).unwrap().value.return_time.value;
            prop_assert!((rise_pa(return_s * 1.000_001, length_m) / rise_pa(return_s, length_m) - 1.0).abs() < 1e-5);
        }
    }
}
