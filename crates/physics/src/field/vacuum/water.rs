//! Water that an evacuation has to carry away.

use crate::{
    field::{FieldError, GAS_CONSTANT_J_MOL_K, vacuum::conductance::positive_m3_s, vacuum_pa},
    heat::moisture::saturation_pressure,
    outcome::{Caveat, Caveats, Method, Outcome},
    range::within,
    units::{AbsolutePressure, Mass, ThermodynamicTemperature, Time, VolumeRate},
};
use uom::si::{mass::kilogram, pressure::pascal, thermodynamic_temperature::kelvin, time::second};

const WATER_KG_MOL: f64 = 0.018_015_3;
const TRIPLE_POINT_PA: f64 = 611.657;

/// Time to carry water away as vapour: `t = (m R T/M)/(p S)`, with the speed at the set.
///
/// The pressure is that at which the set stays while the water boils. Below 611.7 Pa the rest may freeze
/// ([`Caveat::WaterMayFreeze`]): ice gives its vapour off far more slowly than this says.
///
/// # Errors
/// [`FieldError::DoesNotBoil`] at and above the vapour pressure of the water; [`FieldError::OutOfRange`] for a mass above
/// 100 kg or water outside 0 °C to 100 °C.
///
/// # Example
/// A gram at 20 °C and 1000 micron through 0.5 L/s: 34 minutes.
/// ```
/// use physics::{field::vacuum::boil_off, units::{*, unit::{mass::gram, thermodynamic_temperature::degree_celsius, time::minute, volume_rate::liter_per_second}}};
/// let room = ThermodynamicTemperature::new::<degree_celsius>(20.0);
/// let speed = VolumeRate::new::<liter_per_second>(0.5);
/// let time = boil_off(Mass::new::<gram>(1.0), room, AbsolutePressure::from_pascal(133.3), speed)?.value;
/// assert!((time.get::<minute>() - 33.83).abs() < 0.01);
/// # Ok::<(), physics::field::FieldError>(())
/// ```
pub fn boil_off(
    water: Mass,
    temperature: ThermodynamicTemperature,
    pressure: AbsolutePressure,
    speed: VolumeRate,
) -> Result<Outcome<Time>, FieldError> {
    let water_kg = within("mass of water (kg)", water.get::<kilogram>(), 0.0, 100.0)?;
    let water_k = within("temperature of the water (K)", temperature.get::<kelvin>(), 273.15, 373.15)?;
    let pressure_pa = vacuum_pa("pressure (Pa)", pressure)?;
    let boils_pa = saturation_pressure(temperature)?.value.get::<pascal>();
    if pressure_pa >= boils_pa {
        return Err(FieldError::DoesNotBoil { water_k, boils_pa, pressure_pa });
    }
    let gas_pa_m3 = water_kg / WATER_KG_MOL * GAS_CONSTANT_J_MOL_K * water_k;
    let mut caveats = Caveats::default();
    if pressure_pa < TRIPLE_POINT_PA {
        caveats.add(Caveat::WaterMayFreeze);
    }
    Ok(Outcome {
        value: Time::new::<second>(gas_pa_m3 / (pressure_pa * positive_m3_s(speed)?)),
        method: Method::WaterBoilOff,
        caveats,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use uom::si::{mass::gram, thermodynamic_temperature::degree_celsius, volume_rate::liter_per_second};

    fn outcome(water_g: f64, c: f64, pressure_pa: f64, speed_l_s: f64) -> Result<Outcome<Time>, FieldError> {
        boil_off(
            Mass::new::<gram>(water_g),
            ThermodynamicTemperature::new::<degree_celsius>(c),
            AbsolutePressure::from_pascal(pressure_pa),
            VolumeRate::new::<liter_per_second>(speed_l_s),
        )
    }

    #[test]
    fn water_boils_below_its_vapour_pressure_only_and_may_freeze_far_below() {
        let Err(FieldError::DoesNotBoil { boils_pa, .. }) = outcome(1.0, 20.0, 2400.0, 0.5) else {
            panic!("2400 Pa is above the 2339 Pa of water at 20 degC")
        };
        assert!((boils_pa - 2339.0).abs() < 1.0, "{boils_pa}");
        assert_eq!(outcome(1.0, 20.0, 2300.0, 0.5).unwrap().caveats, Caveats::default());
        assert!(outcome(1.0, 20.0, 611.0, 0.5).unwrap().caveats.has(Caveat::WaterMayFreeze));
        for (water_g, c, pressure_pa, speed_l_s) in [
            (-1.0, 20.0, 100.0, 1.0),
            (1.0, -5.0, 100.0, 1.0),
            (1.0, 20.0, f64::NAN, 1.0),
            (1.0, 20.0, 100.0, 0.0),
        ] {
            assert!(
                outcome(water_g, c, pressure_pa, speed_l_s).is_err(),
                "{water_g} {c} {pressure_pa} {speed_l_s}"
            );
        }
    }

    proptest! {
        #[test]
        fn time_is_in_proportion_to_water_and_against_speed(water_g in 0.0..100.0_f64, c in 0.0..60.0_f64, speed_l_s in 0.01..10.0_f64) {
            let seconds = |water_g, speed_l_s| outcome(water_g, c, 200.0, speed_l_s).unwrap().value.get::<second>();
            let one = seconds(water_g, speed_l_s);
            prop_assert!((seconds(2.0 * water_g, speed_l_s) - 2.0 * one).abs() <= 1e-9 * one);
            prop_assert!((seconds(water_g, 2.0 * speed_l_s) - 0.5 * one).abs() <= 1e-9 * one);
        }
    }
}
