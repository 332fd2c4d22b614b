//! Gas pulsation: distances to the first anchor at which the gas column in a discharge line resonates.

use super::{StrengthError, positive};
use crate::units::{Frequency, Length, Ratio, Velocity};
use uom::si::{frequency::hertz, length::meter, ratio::ratio};

/// Odd multiples of the quarter wave that are looked at; the pulses of a compressor excite higher ones little.
pub const MULTIPLES: [u32; 3] = [1, 3, 5];

/// Frequency of the gas pulses of a reciprocating compressor: revolutions per time times cylinders (discharging evenly).
///
/// # Errors
/// [`StrengthError::NotPositive`].
pub fn pulse_frequency(speed: Frequency, cylinders: u32) -> Result<Frequency, StrengthError> {
    let revolutions_hz = positive("speed of the compressor", speed.get::<hertz>())?;
    let cylinders = positive("number of cylinders", f64::from(cylinders))?;
    Ok(Frequency::new::<hertz>(revolutions_hz * cylinders))
}

/// A quarter of the wavelength: `c / (4 f)`.
///
/// # Errors
/// [`StrengthError::NotPositive`].
///
/// # Example
/// Four cylinders at 1450 per minute in gas that sounds at 150 m/s: 96.7 Hz, 0.39 m.
/// ```
/// use physics::{strength::pulsation::*, units::{Frequency, Velocity, unit::{frequency::{cycle_per_minute, hertz}, length::meter, velocity::meter_per_second}}};
/// let pulses = pulse_frequency(Frequency::new::<cycle_per_minute>(1450.0), 4)?;
/// assert!((pulses.get::<hertz>() - 96.67).abs() < 0.01);
/// assert!((quarter_wave(Velocity::new::<meter_per_second>(150.0), pulses)?.get::<meter>() - 0.388).abs() < 1e-3);
/// # Ok::<(), physics::strength::StrengthError>(())
/// ```
pub fn quarter_wave(sound_speed: Velocity, frequency: Frequency) -> Result<Length, StrengthError> {
    let sound_m_s = positive("speed of sound", sound_speed.value)?;
    let frequency_hz = positive("frequency", frequency.get::<hertz>())?;
    Ok(Length::new::<meter>(sound_m_s / (4.0 * frequency_hz)))
}

/// A distance that resonates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resonance {
    /// Which odd multiple of the quarter wave.
    pub multiple: u32,
    /// The distance that resonates fully.
    pub at: Length,
    /// The distance asked about over it.
    pub share: Ratio,
}

/// Whether a distance to the first anchor (or change of section) lies within `band` of 1, 3 or 5 quarter waves, as a share of
/// those: a column of gas closed at one end and open at the other resonates there. A remark, never a refusal.
///
/// # Errors
/// [`StrengthError::NotPositive`].
pub fn resonance(
    distance: Length,
    quarter_wave: Length,
    band: Ratio,
) -> Result<Option<Resonance>, StrengthError> {
    let distance_m = positive("distance", distance.value)?;
    let quarter_m = positive("quarter wave", quarter_wave.value)?;
    let band = positive("band of resonance", band.value)?;
    let near = MULTIPLES.into_iter().map(|multiple| {
        let at_m = f64::from(multiple) * quarter_m;
        Resonance { multiple, at: Length::new::<meter>(at_m), share: Ratio::new::<ratio>(distance_m / at_m) }
    });
    let off = |found: &Resonance| (found.share.value - 1.0).abs();
    Ok(near.filter(|found| off(found) <= band).min_by(|a, b| off(a).total_cmp(&off(b))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odd_quarter_waves_resonate_within_the_band() {
        let found = |distance_m: f64| {
            resonance(Length::new::<meter>(distance_m), Length::new::<meter>(0.4), Ratio::new::<ratio>(0.1))
                .unwrap()
                .map(|found| found.multiple)
        };
        for (distance_m, multiple) in [
            (0.35, None),
            (0.37, Some(1)),
            (0.44, Some(1)),
            (0.45, None),
            (0.8, None),
            (1.15, Some(3)),
            (2.1, Some(5)),
            (2.8, None),
        ] {
            assert_eq!(found(distance_m), multiple, "{distance_m} m");
        }
    }

    #[test]
    fn nonsense_is_refused() {
        let at = Frequency::new::<hertz>;
        assert!(pulse_frequency(at(25.0), 0).is_err());
        assert!(pulse_frequency(at(-25.0), 4).is_err());
        assert!(
            quarter_wave(Velocity::new::<uom::si::velocity::meter_per_second>(f64::NAN), at(50.0)).is_err()
        );
    }
}
