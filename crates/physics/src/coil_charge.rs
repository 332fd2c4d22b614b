//! Refrigerant in a condenser while it runs: gas that cools, liquid and vapour together, liquid that subcools.
//!
//! What liquid and vapour together hold hangs on the slip between them, which no one knows for a given coil: of ten
//! models the greatest gave 1.7 times the least for condensers without subcooling, and those with slip came closest to measured
//! charges (ASHRAE Trans. paper 3035, 1987, as its abstract says). So there is a low and a high case: the high one to
//! charge by, the low one to warn of too little.

use crate::{
    fluid::{OutsideRange, Refrigerant},
    outcome::{Caveat, Caveats, Method, NEAR_CRITICAL_K, Outcome},
    range::{OutOfRange, within},
    units::{AbsolutePressure, Mass, MassDensity, Ratio, TemperatureInterval, Volume},
};
use thiserror::Error;
use uom::si::{
    mass_density::kilogram_per_cubic_meter, ratio::ratio, temperature_interval::kelvin as kelvin_interval,
    volume::cubic_meter,
};

/// Why a question about the charge of a coil has no answer.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum CoilChargeError {
    /// A quantity outside its range, or no number.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// The property data do not reach the state.
    #[error(transparent)]
    Property(#[from] OutsideRange),
}

/// How much faster vapour goes than the liquid beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slip {
    /// As fast: the least liquid.
    Homogeneous,
    /// Twice as fast (practice of about 1973, from memory).
    Double,
    /// `(rho_l/rho_g)^(1/3)`: least production of entropy (S. M. Zivi, J. Heat Transfer 86, 1964, p. 247).
    Zivi,
}

impl Slip {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Homogeneous, Self::Double, Self::Zivi];

    /// `C = S rho_g / rho_l`.
    fn constant(self, liquid: MassDensity, vapour: MassDensity) -> Result<f64, OutOfRange> {
        let liquid_kg_m3 =
            within("density of the liquid (kg/m³)", liquid.get::<kilogram_per_cubic_meter>(), 1.0, 1e4)?;
        let vapour_kg_m3 = within(
            "density of the vapour (kg/m³)",
            vapour.get::<kilogram_per_cubic_meter>(),
            1e-3,
            liquid_kg_m3,
        )?;
        let lightness = vapour_kg_m3 / liquid_kg_m3;
        Ok(match self {
            Self::Homogeneous => lightness,
            Self::Double => 2.0 * lightness,
            Self::Zivi => lightness.powf(2.0 / 3.0),
        })
    }

    /// Share of the volume that is vapour at one quality: `1 / (1 + C (1-x)/x)`, `C = S rho_g/rho_l`.
    ///
    /// Quality 0 to 1; liquid of 1 to 10 000 kg/m³, vapour of 0.001 kg/m³ up to that of the liquid.
    ///
    /// # Errors
    /// [`CoilChargeError::OutOfRange`].
    pub fn void_fraction(
        self,
        quality: Ratio,
        liquid: MassDensity,
        vapour: MassDensity,
    ) -> Result<Outcome<Ratio>, CoilChargeError> {
        let quality = within("quality", quality.get::<ratio>(), 0.0, 1.0)?;
        let constant = self.constant(liquid, vapour)?;
        let void = quality / (quality + constant * (1.0 - quality));
        Ok(Outcome {
            value: Ratio::new::<ratio>(void),
            method: Method::SlipVoid,
            caveats: Caveats::default(),
        })
    }

    /// Mean share of the volume that is vapour where all of it condenses evenly along the tube:
    /// `1/(1-C) + C ln C/(1-C)^2`, the integral of [`void_fraction`](Self::void_fraction) over quality 1 to 0.
    ///
    /// Even heat flux, one slip throughout; densities as there. 1/2 at `C` = 1.
    ///
    /// # Errors
    /// [`CoilChargeError::OutOfRange`].
    ///
    /// # Example
    /// R-134a at 40 °C: liquid takes 10.4 % of the volume without slip, 19.6 % at least production of entropy.
    /// ```
    /// use physics::{coil_charge::Slip, units::{MassDensity, unit::{mass_density::kilogram_per_cubic_meter, ratio::ratio}}};
    /// let density = MassDensity::new::<kilogram_per_cubic_meter>;
    /// let liquid = |slip: Slip| Ok::<_, physics::coil_charge::CoilChargeError>(
    ///     1.0 - slip.mean_void_fraction(density(1146.7), density(50.09))?.value.get::<ratio>());
    /// assert!((liquid(Slip::Homogeneous)? - 0.1039).abs() < 1e-4);
    /// assert!((liquid(Slip::Zivi)? - 0.1958).abs() < 1e-4);
    /// # Ok::<(), physics::coil_charge::CoilChargeError>(())
    /// ```
    pub fn mean_void_fraction(
        self,
        liquid: MassDensity,
        vapour: MassDensity,
    ) -> Result<Outcome<Ratio>, CoilChargeError> {
        let void = kernel::mean_void(self.constant(liquid, vapour)?);
        Ok(Outcome {
            value: Ratio::new::<ratio>(void),
            method: Method::CoilZones,
            caveats: Caveats::default(),
        })
    }
}

/// How a coil's volume is divided; the three shares sum to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Zones {
    superheated: f64,
    subcooled: f64,
}

impl Zones {
    /// From the share that gas takes to cool to its dew line and the share that liquid takes to subcool; the rest is two-phase.
    ///
    /// # Errors
    /// [`CoilChargeError::OutOfRange`] unless each is between 0 and 1, and both together at most 1.
    pub fn new(superheated: Ratio, subcooled: Ratio) -> Result<Self, CoilChargeError> {
        let superheated = within("superheated share of the coil", superheated.get::<ratio>(), 0.0, 1.0)?;
        let left = 1.0 - superheated;
        let subcooled = within("subcooled share of the coil", subcooled.get::<ratio>(), 0.0, left)?;
        Ok(Self { superheated, subcooled })
    }

    /// Share of gas above its dew temperature.
    #[must_use]
    pub fn superheated(&self) -> Ratio {
        Ratio::new::<ratio>(self.superheated)
    }

    /// Share of liquid and vapour together.
    #[must_use]
    pub fn two_phase(&self) -> Ratio {
        Ratio::new::<ratio>(1.0 - self.superheated - self.subcooled)
    }

    /// Share of liquid below its bubble temperature.
    #[must_use]
    pub fn subcooled(&self) -> Ratio {
        Ratio::new::<ratio>(self.subcooled)
    }
}

/// A condenser as it runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coil {
    /// Internal volume, headers included; 0 to 1000 m³.
    pub volume: Volume,
    /// How it is divided.
    pub zones: Zones,
    /// Pressure in it.
    pub condensing: AbsolutePressure,
    /// Mean superheat of the gas in its zone: about half of that of the entering gas.
    pub superheat: TemperatureInterval,
    /// Mean subcooling of the liquid in its zone: about half of that of the leaving liquid.
    pub subcooling: TemperatureInterval,
}

/// What a coil holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoilCharge {
    /// All of it.
    pub mass: Mass,
    /// Mass over volume, also where the volume is 0.
    pub mean_density: MassDensity,
    /// Share of the coil's volume that is liquid.
    pub liquid_share: Ratio,
}

/// Refrigerant in a coil by its zones: `V (w_sh rho_sh + w_tp (L rho_l + (1-L) rho_g) + w_sc rho_sc)`, `L` the mean share of
/// liquid by [`Slip::mean_void_fraction`].
///
/// Liquid in the bends, in unevenly fed circuits and in the outlet header is not in it; nor is the composition of liquid and vapour
/// of a blend with glide, which count with the densities of its bubble and dew line. A twentieth of the volume more
/// subcooled counts half as much as the choice of slip (R-404A at 45 °C, 5 L: 0.16 kg against 0.30 kg).
/// [`Caveat::NearCritical`] within 15 K of the end of the saturation data.
///
/// # Errors
/// [`CoilChargeError::OutOfRange`], [`CoilChargeError::Property`].
pub fn coil_charge(
    fluid: &dyn Refrigerant,
    coil: &Coil,
    slip: Slip,
) -> Result<Outcome<CoilCharge>, CoilChargeError> {
    within("volume of the coil (m³)", coil.volume.get::<cubic_meter>(), 0.0, 1e3)?;
    within("mean superheat (K)", coil.superheat.get::<kelvin_interval>(), 0.0, 200.0)?;
    within("mean subcooling (K)", coil.subcooling.get::<kelvin_interval>(), 0.0, 200.0)?;
    let ends = fluid.ends(coil.condensing)?;
    let (bubble, dew) = (ends.bubble, ends.dew);
    let gas = fluid.vapour_at(coil.condensing, dew.temperature + coil.superheat)?.density;
    let liquid = fluid.liquid_at(coil.condensing, bubble.temperature - coil.subcooling)?.density;
    let void = slip.mean_void_fraction(bubble.density, dew.density)?.value;
    let wet = Ratio::new::<ratio>(1.0) - void;
    let zones = &coil.zones;
    let mean_density = gas * zones.superheated()
        + (bubble.density * wet + dew.density * void) * zones.two_phase()
        + liquid * zones.subcooled();
    let mut caveats = Caveats::default();
    if fluid.distance_to_last_saturation(coil.condensing)? < NEAR_CRITICAL_K {
        caveats.add(Caveat::NearCritical);
    }
    let found = CoilCharge {
        mass: mean_density * coil.volume,
        mean_density,
        liquid_share: wet * zones.two_phase() + zones.subcooled(),
    };
    Ok(Outcome { value: found, method: Method::CoilZones, caveats })
}

/// The least and the most that a coil may hold: without slip, and by whichever of [`Slip::Double`] and [`Slip::Zivi`] holds
/// more (in dense vapour, as of R-404A, the two are alike; in thin vapour Zivi's is more).
///
/// # Errors
/// As [`coil_charge`].
pub fn low_and_high(
    fluid: &dyn Refrigerant,
    coil: &Coil,
) -> Result<(Outcome<CoilCharge>, Outcome<CoilCharge>), CoilChargeError> {
    let of = |slip| coil_charge(fluid, coil, slip);
    let (double, zivi) = (of(Slip::Double)?, of(Slip::Zivi)?);
    let high = if double.value.mean_density > zivi.value.mean_density { double } else { zivi };
    Ok((of(Slip::Homogeneous)?, high))
}

mod kernel {
    /// From 1 - C of this on the closed form keeps its digits; nearer to 0 its terms cancel.
    const SERIES_BELOW: f64 = 0.25;
    /// `0.25^28 / (29 x 30)` is below 1e-19.
    const TERMS: i32 = 28;

    /// `1/(1-C) + C ln C/(1-C)^2`; with `d = 1 - C` its series is `sum d^n / ((n+1)(n+2))`.
    pub(super) fn mean_void(constant: f64) -> f64 {
        let d = 1.0 - constant;
        if d.abs() < SERIES_BELOW {
            (0..TERMS).rev().fold(0.0, |sum, n| sum * d + 1.0 / f64::from((n + 1) * (n + 2)))
        } else {
            (1.0 + constant * constant.ln() / d) / d
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        condenser::SaturationReference, fluid::test_fluid::TestFluid, units::ThermodynamicTemperature,
    };
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{mass::kilogram, thermodynamic_temperature::degree_celsius, volume::liter};

    fn density(kg_m3: f64) -> MassDensity {
        MassDensity::new::<kilogram_per_cubic_meter>(kg_m3)
    }

    fn share(value: f64) -> Ratio {
        Ratio::new::<ratio>(value)
    }

    fn coil(volume_l: f64, superheated: f64, subcooled: f64) -> Coil {
        let at = ThermodynamicTemperature::new::<degree_celsius>(45.0);
        Coil {
            volume: Volume::new::<liter>(volume_l),
            zones: Zones::new(share(superheated), share(subcooled)).unwrap(),
            condensing: SaturationReference::Dew.pressure(&TestFluid, at).unwrap(),
            superheat: TemperatureInterval::new::<kelvin_interval>(15.0),
            subcooling: TemperatureInterval::new::<kelvin_interval>(2.0),
        }
    }

    /// The mean is the integral over quality: against the midpoint rule with a thousand steps, which is off by some 1e-6.
    #[test]
    fn the_mean_is_the_integral_over_quality() {
        for slip in Slip::ALL {
            for vapour in [20.0, 118.15, 500.0, 933.5] {
                let at = |step: u32| {
                    let quality = share((f64::from(step) + 0.5) / 1000.0);
                    slip.void_fraction(quality, density(933.5), density(vapour)).unwrap().value.value
                };
                let mean = slip.mean_void_fraction(density(933.5), density(vapour)).unwrap().value.value;
                let summed = (0..1000).map(at).sum::<f64>() / 1000.0;
                assert_relative_eq!(mean, summed, max_relative = 1e-5);
            }
        }
    }

    #[test]
    fn no_digit_is_lost_where_vapour_is_as_dense_as_liquid() {
        assert_eq!(kernel::mean_void(1.0), 0.5);
        // 1/2 + d/6 + d^2/12 at d = 1e-5.
        let near = kernel::mean_void(1.0 - 1e-5);
        assert_relative_eq!(near, 0.5 + 1e-5 / 6.0 + 1e-10 / 12.0, max_relative = 1e-14);
        // The series and the closed form meet.
        for edge in [0.75_f64, 1.25] {
            let (inside, outside) = (kernel::mean_void(edge + (1.0 - edge) * 1e-12), kernel::mean_void(edge));
            assert_relative_eq!(inside, outside, max_relative = 1e-12);
        }
    }

    #[test]
    fn zones_weigh_their_densities() {
        // 1000 kg/m3 of liquid, gas by the ideal gas law.
        let coil_of = coil(5.0, 0.1, 0.2);
        let gas = |kelvin_above: f64| coil_of.condensing.pascal() / (90.0 * (318.15 + kelvin_above));
        let wet =
            1.0 - Slip::Double.mean_void_fraction(density(1000.0), density(gas(0.0))).unwrap().value.value;
        let expected = 0.1 * gas(15.0) + 0.7 * (wet * 1000.0 + (1.0 - wet) * gas(0.0)) + 0.2 * 1000.0;
        let found = coil_charge(&TestFluid, &coil_of, Slip::Double).unwrap();
        assert_relative_eq!(found.value.mean_density.value, expected, max_relative = 1e-9);
        assert_relative_eq!(found.value.mass.get::<kilogram>(), 0.005 * expected, max_relative = 1e-9);
        assert_relative_eq!(found.value.liquid_share.value, 0.7 * wet + 0.2, max_relative = 1e-12);
        assert_eq!(found.caveats, Caveats::default());
        let empty = coil_charge(&TestFluid, &coil(0.0, 0.1, 0.2), Slip::Zivi).unwrap().value;
        assert_eq!(empty.mass.value, 0.0);
        assert!(empty.mean_density.value > 0.0);
        // All liquid.
        let full = coil_charge(&TestFluid, &coil(5.0, 0.0, 1.0), Slip::Zivi).unwrap().value;
        assert_relative_eq!(full.mass.get::<kilogram>(), 5.0, max_relative = 1e-12);
    }

    #[test]
    fn what_can_not_be_is_refused() {
        for (superheated, subcooled) in [(-0.1, 0.0), (0.6, 0.6), (0.0, 1.1), (f64::NAN, 0.0)] {
            assert!(Zones::new(share(superheated), share(subcooled)).is_err());
        }
        let good = coil(5.0, 0.1, 0.1);
        let kelvins = TemperatureInterval::new::<kelvin_interval>;
        for bad in [
            Coil { volume: Volume::new::<liter>(-1.0), ..good },
            Coil { superheat: kelvins(-1.0), ..good },
            Coil { subcooling: kelvins(f64::NAN), ..good },
        ] {
            assert!(matches!(
                coil_charge(&TestFluid, &bad, Slip::Double),
                Err(CoilChargeError::OutOfRange(_))
            ));
        }
        let hot = Coil { condensing: AbsolutePressure::from_pascal(1e9), ..good };
        assert!(matches!(low_and_high(&TestFluid, &hot), Err(CoilChargeError::Property(_))));
        assert!(Slip::Double.mean_void_fraction(density(100.0), density(101.0)).is_err());
        assert!(Slip::Double.void_fraction(share(1.1), density(100.0), density(10.0)).is_err());
        let critical = Coil { condensing: AbsolutePressure::from_pascal(3.9e6), ..good };
        assert!(coil_charge(&TestFluid, &critical, Slip::Double).unwrap().caveats.has(Caveat::NearCritical));
    }

    proptest! {
        /// Vapour and liquid change places: `mean(C) + mean(1/C) = 1`.
        #[test]
        fn turned_around_it_is_the_rest(log_c in -9.0_f64..9.0) {
            let constant = log_c.exp();
            let sum = kernel::mean_void(constant) + kernel::mean_void(1.0 / constant);
            prop_assert!((sum - 1.0).abs() < 1e-12, "{constant}: {sum}");
        }

        #[test]
        fn the_mean_falls_steadily_with_the_constant(constant in 1e-3_f64..3.0, more in 1e-9_f64..1e-3) {
            let (here, there) = (kernel::mean_void(constant), kernel::mean_void(constant + more));
            prop_assert!(there < here);
            // No step where the series takes over: the slope is at most ln(1/C) or so.
            prop_assert!(here - there < more * (2.0 - constant.min(1.0).ln()));
        }

        #[test]
        fn shares_sum_to_one_and_low_is_not_high(superheated in 0.0_f64..1.0, rest in 0.0_f64..1.0) {
            let coil = coil(5.0, superheated, rest * (1.0 - superheated));
            let zones = coil.zones;
            let sum = zones.superheated() + zones.two_phase() + zones.subcooled();
            prop_assert!((sum.value - 1.0).abs() < 1e-12);
            let (low, high) = low_and_high(&TestFluid, &coil).unwrap();
            prop_assert!(low.value.mass <= high.value.mass);
            for slip in Slip::ALL {
                let mass = coil_charge(&TestFluid, &coil, slip).unwrap().value.mass;
                prop_assert!(low.value.mass <= mass && mass <= high.value.mass);
            }
        }
    }
}
