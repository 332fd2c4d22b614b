//! Dew point of moist air.

use super::{HeatError, Quantity, within};
use crate::{
    outcome::{Caveats, Method, Outcome},
    root,
    units::{Pressure, Ratio, ThermodynamicTemperature},
};
use uom::si::{pressure::pascal, ratio::ratio, thermodynamic_temperature::kelvin};

/// Temperatures of the saturation pressure: -100 °C (ice) to 200 °C (water).
const LOWEST_K: f64 = 173.15;
const HIGHEST_K: f64 = 473.15;

/// Saturation pressure of water vapour, over ice below the triple point.
///
/// R. W. Hyland and A. Wexler, ASHRAE Trans. 89(2A), 1983, 500, in the form of ASHRAE Fundamentals 2017, chapter 1, eq. 5
/// and 6. Valid from -100 °C to 200 °C.
///
/// # Errors
/// [`HeatError::OutsideRange`].
pub fn saturation_pressure(temperature: ThermodynamicTemperature) -> Result<Outcome<Pressure>, HeatError> {
    let temperature_k = within(Quantity::DewPoint, temperature.get::<kelvin>(), LOWEST_K, HIGHEST_K)?;
    let pressure_pa = kernel::ln_saturation_pressure_pa(temperature_k).exp();
    Ok(Outcome {
        value: Pressure::new::<pascal>(pressure_pa),
        method: Method::MoistAir,
        caveats: Caveats::default(),
    })
}

/// Temperature at which air of a relative humidity begins to leave water (below 0 °C: frost).
///
/// The temperature whose [`saturation_pressure`] is the humidity times that of the air; the pressure of the air does not
/// matter to it. Air from -60 °C to 95 °C, humidity above 0 and up to 1.
///
/// # Errors
/// [`HeatError::OutsideRange`], also where the dew point is below -100 °C.
///
/// # Example
/// Air at 24 °C and 50 %: 12.95 °C (psychrolib 2.5).
/// ```
/// use physics::{heat::moisture::dew_point, units::{Ratio, ThermodynamicTemperature, unit::{ratio::percent, thermodynamic_temperature::degree_celsius}}};
/// let dew = dew_point(ThermodynamicTemperature::new::<degree_celsius>(24.0), Ratio::new::<percent>(50.0)).unwrap().value;
/// assert!((dew.get::<degree_celsius>() - 12.95).abs() < 0.005);
/// ```
pub fn dew_point(
    air: ThermodynamicTemperature,
    relative_humidity: Ratio,
) -> Result<Outcome<ThermodynamicTemperature>, HeatError> {
    let air_k = within(Quantity::AirTemperature, air.get::<kelvin>(), 213.15, 368.15)?;
    let humidity =
        within(Quantity::RelativeHumidity, relative_humidity.get::<ratio>(), f64::MIN_POSITIVE, 1.0)?;
    let sought = kernel::ln_saturation_pressure_pa(air_k) + humidity.ln();
    let gap = |dew_k: f64| kernel::ln_saturation_pressure_pa(dew_k) - sought;
    let (lowest, highest) = (gap(LOWEST_K), gap(air_k));
    if lowest > 0.0 {
        return Err(HeatError::OutsideRange {
            quantity: Quantity::RelativeHumidity,
            value: humidity,
            low: (lowest.min(700.0)).exp() * humidity,
            high: 1.0,
        });
    }
    let dew_k = root::bracketed([(LOWEST_K, lowest), (air_k, highest)], 1e-9, |dew_k| Ok(gap(dew_k)))?;
    Ok(Outcome {
        value: ThermodynamicTemperature::new::<kelvin>(dew_k),
        method: Method::MoistAir,
        caveats: Caveats::default(),
    })
}

mod kernel {
    const TRIPLE_POINT_K: f64 = 273.16;

    pub(super) fn ln_saturation_pressure_pa(temperature_k: f64) -> f64 {
        let t = temperature_k;
        if t < TRIPLE_POINT_K {
            let even = 6.392_524_7 - 5.674_535_9e3 / t + 4.163_501_9 * t.ln();
            even + t * (-9.677_843e-3 + t * (6.221_570_1e-7 + t * (2.074_782_5e-9 - t * 9.484_024e-13)))
        } else {
            let even = 1.391_499_3 - 5.800_220_6e3 / t + 6.545_967_3 * t.ln();
            even + t * (-4.864_023_9e-2 + t * (4.176_476_8e-5 - t * 1.445_209_3e-8))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use uom::si::thermodynamic_temperature::degree_celsius;

    fn dew(air_c: f64, humidity: f64) -> Result<f64, HeatError> {
        let air = ThermodynamicTemperature::new::<degree_celsius>(air_c);
        Ok(dew_point(air, Ratio::new::<ratio>(humidity))?.value.get::<degree_celsius>())
    }

    #[test]
    fn refuses_what_is_no_air() {
        for (air_c, humidity) in
            [(20.0, 0.0), (20.0, 1.01), (20.0, f64::NAN), (120.0, 0.5), (f64::NAN, 0.5), (-40.0, 1e-300)]
        {
            assert!(dew(air_c, humidity).is_err(), "{air_c} °C {humidity}");
        }
    }

    proptest! {
        #[test]
        fn lies_at_the_air_when_saturated_and_below_it_when_not(air_c in -50.0..90.0_f64, humidity in 0.02..1.0_f64) {
            prop_assert!((dew(air_c, 1.0).unwrap() - air_c).abs() < 1e-8);
            prop_assert!(dew(air_c, humidity).unwrap() < air_c);
            prop_assert!(dew(air_c, 0.9 * humidity).unwrap() < dew(air_c, humidity).unwrap());
        }
    }
}
