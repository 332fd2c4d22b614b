//! What a condenser's discharge does on its way: how far it is a jet, how soon wind bends it, and how much of it another unit
//! may draw in at most.
//!
//! Bounds and lengths to judge a layout by, not predictions of recirculation: no share that was measured for two small
//! units is published, and walls, parapets and wind decide it.

use crate::{
    outcome::{Caveats, Method, Outcome},
    range::{OutOfRange, within},
    units::{Length, Ratio, STANDARD_GRAVITY_M_S2, TemperatureInterval, ThermodynamicTemperature, Velocity},
};
use thiserror::Error;
use uom::si::{
    length::meter, ratio::ratio, temperature_interval::kelvin as kelvin_interval,
    thermodynamic_temperature::kelvin, velocity::meter_per_second,
};

/// Growth of the mass flow of a round jet over its first, a diameter of way (Ricou and Spalding 1961, from memory).
const GROWTH_PER_DIAMETER: f64 = 0.32;

/// Why a question about a discharge has no answer.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum JetError {
    /// A quantity outside its range, or no number.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
}

/// Air that leaves a condenser.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Discharge {
    /// Velocity at the outlet; 0.1 to 60 m/s.
    pub velocity: Velocity,
    /// Diameter of the outlet, of the same area where it is not round; 0.01 to 10 m.
    pub diameter: Length,
}

impl Discharge {
    /// Momentum flow over density, `U^2 A`, and volume flow.
    fn flows(&self) -> Result<(f64, f64), OutOfRange> {
        let velocity_m_s =
            within("velocity of the discharge (m/s)", self.velocity.get::<meter_per_second>(), 0.1, 60.0)?;
        let diameter_m = diameter_m(self.diameter)?;
        let volume_m3_s = velocity_m_s * std::f64::consts::FRAC_PI_4 * diameter_m.powi(2);
        Ok((velocity_m_s * volume_m3_s, volume_m3_s))
    }
}

/// Way after which a discharge is no longer a jet but a rising plume: `l_M = M^(3/4) / B^(1/2)` with `M = U^2 A` and
/// `B = g (dT/T) U A`.
///
/// A wall or parapet nearer than about this sends the air back. Dimensional analysis of buoyant jets. Ambient air at 200 to
/// 350 K; discharge 0.01 to 100 K warmer.
///
/// # Errors
/// [`JetError::OutOfRange`].
///
/// # Example
/// 5 m/s from 0.6 m, 12 K warmer than air at 35 °C: 5.9 m.
/// ```
/// use physics::{jet::{Discharge, momentum_length}, units::{Length, TemperatureInterval, ThermodynamicTemperature, Velocity,
///     unit::{length::meter, temperature_interval::kelvin, thermodynamic_temperature::degree_celsius, velocity::meter_per_second}}};
/// let discharge = Discharge { velocity: Velocity::new::<meter_per_second>(5.0), diameter: Length::new::<meter>(0.6) };
/// let air = ThermodynamicTemperature::new::<degree_celsius>(35.0);
/// let length = momentum_length(&discharge, TemperatureInterval::new::<kelvin>(12.0), air)?.value;
/// assert!((length.get::<meter>() - 5.9).abs() < 0.05);
/// # Ok::<(), physics::jet::JetError>(())
/// ```
pub fn momentum_length(
    discharge: &Discharge,
    warmer: TemperatureInterval,
    air: ThermodynamicTemperature,
) -> Result<Outcome<Length>, JetError> {
    let (momentum_m4_s2, volume_m3_s) = discharge.flows()?;
    let warmer_k = within("warming of the discharge (K)", warmer.get::<kelvin_interval>(), 0.01, 100.0)?;
    let air_k = within("temperature of the air (K)", air.get::<kelvin>(), 200.0, 350.0)?;
    let buoyancy_m4_s3 = STANDARD_GRAVITY_M_S2 * warmer_k / air_k * volume_m3_s;
    let length_m = momentum_m4_s2.powf(0.75) / buoyancy_m4_s3.sqrt();
    Ok(plain(Length::new::<meter>(length_m), Method::MomentumLength))
}

/// Way over which wind across a discharge bends it: `l_w = M^(1/2) / U_wind`.
///
/// Dimensional analysis of jets in a crosswind. Wind 0.1 to 60 m/s.
///
/// # Errors
/// [`JetError::OutOfRange`].
///
/// # Example
/// 5 m/s from 0.6 m in a wind of 3 m/s: 0.89 m.
/// ```
/// use physics::{jet::{Discharge, bending_length}, units::{Length, Velocity, unit::{length::meter, velocity::meter_per_second}}};
/// let metres_per_second = Velocity::new::<meter_per_second>;
/// let discharge = Discharge { velocity: metres_per_second(5.0), diameter: Length::new::<meter>(0.6) };
/// let length = bending_length(&discharge, metres_per_second(3.0))?.value;
/// assert!((length.get::<meter>() - 0.89).abs() < 0.005);
/// # Ok::<(), physics::jet::JetError>(())
/// ```
pub fn bending_length(discharge: &Discharge, wind: Velocity) -> Result<Outcome<Length>, JetError> {
    let (momentum_m4_s2, _) = discharge.flows()?;
    let wind_m_s = within("wind (m/s)", wind.get::<meter_per_second>(), 0.1, 60.0)?;
    Ok(plain(Length::new::<meter>(momentum_m4_s2.sqrt() / wind_m_s), Method::BendingLength))
}

/// Greatest share of another unit's discharge in the intake of a unit that lies in its jet: the least of
/// `1 / (0.32 x/D)`, `m1/m2` and 1.
///
/// A jet entrains air, so a distance `x` away it is 0.32 x/D times what left the outlet of diameter `D`; and a unit that
/// takes in more than the other gives off (`m1/m2` below 1) draws in fresh air as well. `flow_ratio` is that of the mass
/// flows, the other unit's over its own; 0.001 to 1000. Distance 0 to 1000 m, outlet 0.01 to 10 m.
///
/// # Errors
/// [`JetError::OutOfRange`].
///
/// # Example
/// Equal units, 6 diameters away: at most 0.52.
/// ```
/// use physics::{jet::greatest_share, units::{Length, Ratio, unit::{length::meter, ratio::ratio}}};
/// let metres = Length::new::<meter>;
/// let share = greatest_share(metres(3.6), metres(0.6), Ratio::new::<ratio>(1.0))?.value;
/// assert!((share.get::<ratio>() - 0.52).abs() < 0.005);
/// # Ok::<(), physics::jet::JetError>(())
/// ```
pub fn greatest_share(
    distance: Length,
    diameter: Length,
    flow_ratio: Ratio,
) -> Result<Outcome<Ratio>, JetError> {
    let distance_m = within("distance from the outlet (m)", distance.get::<meter>(), 0.0, 1000.0)?;
    let diameters = distance_m / diameter_m(diameter)?;
    let flow_ratio = within("ratio of the air flows", flow_ratio.get::<ratio>(), 1e-3, 1e3)?;
    // At the outlet itself the jet has not grown: the infinite share that the law would give there is capped like any other.
    let share = (GROWTH_PER_DIAMETER * diameters).recip().min(flow_ratio).min(1.0);
    Ok(plain(Ratio::new::<ratio>(share), Method::JetDilution))
}

fn diameter_m(diameter: Length) -> Result<f64, OutOfRange> {
    within("diameter of the outlet (m)", diameter.get::<meter>(), 0.01, 10.0)
}

fn plain<T>(value: T, method: Method) -> Outcome<T> {
    Outcome { value, method, caveats: Caveats::default() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn metres(value: f64) -> Length {
        Length::new::<meter>(value)
    }

    fn discharge(velocity_m_s: f64, diameter_m: f64) -> Discharge {
        Discharge { velocity: Velocity::new::<meter_per_second>(velocity_m_s), diameter: metres(diameter_m) }
    }

    fn length_m(discharge: &Discharge, warmer_k: f64) -> Result<f64, JetError> {
        let warmer = TemperatureInterval::new::<kelvin_interval>(warmer_k);
        Ok(momentum_length(discharge, warmer, ThermodynamicTemperature::new::<kelvin>(300.0))?.value.value)
    }

    fn bent_m(discharge: &Discharge, wind_m_s: f64) -> Result<f64, JetError> {
        Ok(bending_length(discharge, Velocity::new::<meter_per_second>(wind_m_s))?.value.value)
    }

    fn share(distance_m: f64, diameter_m: f64, flow_ratio: f64) -> Result<f64, JetError> {
        let flow_ratio = Ratio::new::<ratio>(flow_ratio);
        Ok(greatest_share(metres(distance_m), metres(diameter_m), flow_ratio)?.value.value)
    }

    #[test]
    fn refuses_what_is_no_jet() {
        let fair = discharge(5.0, 0.6);
        for poor in [discharge(0.0, 0.6), discharge(5.0, 0.0), discharge(f64::NAN, 0.6), discharge(61.0, 0.6)]
        {
            assert!(length_m(&poor, 12.0).is_err() && bent_m(&poor, 3.0).is_err(), "{poor:?}");
        }
        assert!(length_m(&fair, 0.0).is_err() && length_m(&fair, -5.0).is_err());
        assert!(bent_m(&fair, 0.0).is_err() && bent_m(&fair, f64::NAN).is_err());
        let frost = ThermodynamicTemperature::new::<kelvin>(150.0);
        assert!(momentum_length(&fair, TemperatureInterval::new::<kelvin_interval>(5.0), frost).is_err());
        for (distance_m, diameter_m, flow_ratio) in
            [(-1.0, 0.6, 1.0), (1.0, 0.0, 1.0), (1.0, 0.6, 0.0), (f64::NAN, 0.6, 1.0), (1.0, 0.6, f64::NAN)]
        {
            assert!(share(distance_m, diameter_m, flow_ratio).is_err());
        }
    }

    #[test]
    fn lengths_go_with_the_powers_of_velocity_diameter_and_warming() {
        let (one, fast, wide) = (discharge(5.0, 0.6), discharge(10.0, 0.6), discharge(5.0, 1.2));
        let grown =
            |other: &Discharge, warmer_k| length_m(other, warmer_k).unwrap() / length_m(&one, 12.0).unwrap();
        // M^(3/4) B^(-1/2): U^(3/2 - 1/2) D^(3/2 - 1) dT^(-1/2).
        approx::assert_relative_eq!(grown(&fast, 12.0), 2.0, max_relative = 1e-12);
        approx::assert_relative_eq!(grown(&wide, 12.0), 2f64.sqrt(), max_relative = 1e-12);
        approx::assert_relative_eq!(grown(&one, 48.0), 0.5, max_relative = 1e-12);
        let bent =
            |other: &Discharge, wind_m_s| bent_m(other, wind_m_s).unwrap() / bent_m(&one, 2.0).unwrap();
        approx::assert_relative_eq!(bent(&fast, 2.0), 2.0, max_relative = 1e-12);
        approx::assert_relative_eq!(bent(&wide, 2.0), 2.0, max_relative = 1e-12);
        approx::assert_relative_eq!(bent(&one, 4.0), 0.5, max_relative = 1e-12);
    }

    #[test]
    fn momentum_and_buoyancy_are_those_of_the_outlets_area() {
        // M = 25 m2/s2 x 0.2827 m2; B = 9.807 m/s2 x 12/300 x 5 m/s x 0.2827 m2.
        approx::assert_relative_eq!(bent_m(&discharge(5.0, 0.6), 1.0).unwrap(), 2.6587, max_relative = 1e-4);
        approx::assert_relative_eq!(
            length_m(&discharge(5.0, 0.6), 12.0).unwrap(),
            5.8214,
            max_relative = 1e-4
        );
    }

    #[test]
    fn all_may_come_back_at_the_outlet_and_no_more_than_the_other_gives_off() {
        assert_eq!(share(0.0, 0.6, 1.0).unwrap(), 1.0);
        assert_eq!(share(0.0, 0.6, 0.4).unwrap(), 0.4);
        assert_eq!(share(0.1, 0.6, 5.0).unwrap(), 1.0);
        // Six diameters away it has grown to 1.92 times.
        approx::assert_relative_eq!(share(3.6, 0.6, 5.0).unwrap(), 1.0 / 1.92, max_relative = 1e-12);
    }

    proptest! {
        #[test]
        fn the_bound_is_a_share_that_falls_with_distance(
            distance_m in 0.0..100.0_f64, farther_m in 0.0..100.0_f64, diameter_m in 0.1..3.0_f64, flow_ratio in 0.05..20.0_f64,
        ) {
            let (near, far) = (share(distance_m, diameter_m, flow_ratio), share(distance_m + farther_m, diameter_m, flow_ratio));
            let (near, far) = (near.unwrap(), far.unwrap());
            prop_assert!(near > 0.0 && near <= 1.0 && near <= flow_ratio);
            prop_assert!(far <= near);
        }
    }
}
