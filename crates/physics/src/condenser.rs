//! One air-cooled condenser: its rating, and what becomes of it in other air.
//!
//! A condenser is two numbers at rated air: the heat it rejects for each kelvin between refrigerant and entering air, and
//! the air that its fan moves. The temperature of the refrigerant is always the mean of bubble and dew here, whichever of
//! them a rating names: ratings on all three then give one condensing temperature.

use crate::{
    fluid::{OutsideRange, Refrigerant},
    outcome::{Caveat, Caveats, Method, Outcome},
    units::{
        AbsolutePressure, BubbleTemperature, DewTemperature, MassDensity, MassRate, Power, Ratio,
        TemperatureInterval, ThermalConductance, ThermodynamicTemperature, VolumeRate, delta,
    },
};
use nalgebra::{DMatrix, DVector};
use thiserror::Error;
use uom::si::{
    mass_density::kilogram_per_cubic_meter, power::watt, ratio::ratio,
    temperature_interval::kelvin as kelvin_interval, thermal_conductance::watt_per_kelvin,
    thermodynamic_temperature::kelvin, volume_rate::cubic_meter_per_second,
};

/// Heat capacity of the air that condensers move, J/(kg K): dry air near 35 °C.
pub const AIR_HEAT_CAPACITY_J_KG_K: f64 = 1006.0;
/// How the conductance of a coil goes with the mass of air: `UA ~ m^n`. Fitted to the published altitude factors 0.95,
/// 0.90, 0.85 and 0.80 at 2500, 5000, 7500 and 10 000 ft, which it meets within 0.004 at 0.7 transfer units.
const CONDUCTANCE_EXPONENT: f64 = 0.4;
const DRY_AIR_J_KG_K: f64 = 287.042;

/// Which saturation temperature a temperature difference is counted from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SaturationReference {
    /// Dew temperature.
    Dew,
    /// Mean of bubble and dew temperature.
    Mid,
    /// Bubble temperature.
    Bubble,
}

impl SaturationReference {
    /// The reference temperature of a pressure.
    ///
    /// # Errors
    /// [`OutsideRange`] where the pressure has no saturation in the data.
    pub fn temperature(
        self,
        fluid: &dyn Refrigerant,
        pressure: AbsolutePressure,
    ) -> Result<ThermodynamicTemperature, OutsideRange> {
        Ok(match self {
            Self::Dew => fluid.dew_temperature(pressure)?.get(),
            Self::Bubble => fluid.bubble_temperature(pressure)?.get(),
            Self::Mid => {
                let (bubble, dew) =
                    (fluid.bubble_temperature(pressure)?.get(), fluid.dew_temperature(pressure)?.get());
                bubble + delta(dew, bubble) * 0.5
            }
        })
    }

    /// The pressure of a reference temperature, to 1e-12 of it.
    ///
    /// # Errors
    /// [`OutsideRange`] outside the saturation data.
    pub fn pressure(
        self,
        fluid: &dyn Refrigerant,
        temperature: ThermodynamicTemperature,
    ) -> Result<AbsolutePressure, OutsideRange> {
        match self {
            Self::Dew => Ok(fluid.at_dew(DewTemperature::new(temperature))?.pressure),
            Self::Bubble => Ok(fluid.at_bubble(BubbleTemperature::new(temperature))?.pressure),
            Self::Mid => mid_pressure(fluid, temperature),
        }
    }
}

/// The mid temperature moves by about as much as the bubble temperature that is tried: a few corrections do.
fn mid_pressure(
    fluid: &dyn Refrigerant,
    temperature: ThermodynamicTemperature,
) -> Result<AbsolutePressure, OutsideRange> {
    let mut bubble = temperature;
    let mut pressure = fluid.at_bubble(BubbleTemperature::new(bubble))?.pressure;
    for _ in 0..40 {
        let short = delta(temperature, SaturationReference::Mid.temperature(fluid, pressure)?);
        if short.get::<kelvin_interval>().abs() < 1e-11 * temperature.get::<kelvin>() {
            break;
        }
        bubble += short;
        pressure = fluid.at_bubble(BubbleTemperature::new(bubble))?.pressure;
    }
    Ok(pressure)
}

/// One point of a rating.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RatingPoint {
    /// Heat rejected.
    pub heat_rejection: Power,
    /// Temperature of the refrigerant above that of the entering air.
    pub difference: TemperatureInterval,
    /// From which saturation temperature the difference is counted.
    pub reference: SaturationReference,
    /// Air entering.
    pub air: ThermodynamicTemperature,
}

impl RatingPoint {
    /// The difference counted from the mean of bubble and dew temperature at the same pressure.
    ///
    /// # Errors
    /// [`OutsideRange`] where the rating lies outside the property data.
    pub fn mid_difference(&self, fluid: &dyn Refrigerant) -> Result<TemperatureInterval, OutsideRange> {
        let pressure = self.reference.pressure(fluid, self.air + self.difference)?;
        Ok(delta(SaturationReference::Mid.temperature(fluid, pressure)?, self.air))
    }
}

/// Conductance through one or several rating points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// Heat rejected for each kelvin between mid temperature and entering air.
    pub conductance: ThermalConductance,
    /// How far the worst point lies from it, as a share of its heat.
    pub worst_departure: Ratio,
    /// Heat at no difference of the straight line through all points: a rating that is no proportion has some. None with a
    /// single point.
    pub heat_at_no_difference: Option<Power>,
}

/// Why a condenser can not be described.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum CondenserError {
    /// A rating or an air flow that is not positive.
    #[error("{what} is {value_si}, which is not positive")]
    NotPositive {
        /// What.
        what: &'static str,
        /// Its value in SI.
        value_si: f64,
    },
    /// No rating point.
    #[error("there is no rating point")]
    NoRating,
    /// The coil would heat its air beyond the refrigerant.
    #[error(
        "rejecting {heat_w_k:.1} W for each kelvin, the air that the fan moves ({air_w_k:.1} W/K) would leave hotter than the refrigerant"
    )]
    TooLittleAir {
        /// Rated conductance, W/K.
        heat_w_k: f64,
        /// Heat capacity rate of the air, W/K.
        air_w_k: f64,
    },
    /// A rating outside the property data.
    #[error(transparent)]
    Property(#[from] OutsideRange),
}

/// The conductance `F = Q / TD` that fits rating points best (least squares through nothing at no difference).
///
/// # Errors
/// [`CondenserError`].
pub fn fit(fluid: &dyn Refrigerant, points: &[RatingPoint]) -> Result<Fit, CondenserError> {
    let mut differences_k = Vec::new();
    let mut heats_w = Vec::new();
    for point in points {
        let heat_w = positive("a rated heat (W)", point.heat_rejection.get::<watt>())?;
        let difference_k = positive(
            "a rated temperature difference (K)",
            point.mid_difference(fluid)?.get::<kelvin_interval>(),
        )?;
        heats_w.push(heat_w);
        differences_k.push(difference_k);
    }
    if points.is_empty() {
        return Err(CondenserError::NoRating);
    }
    let count = points.len();
    let heats = DVector::from_vec(heats_w.clone());
    let through_nothing = solved(DMatrix::from_column_slice(count, 1, &differences_k), &heats);
    let conductance_w_k = positive(
        "the fitted heat for each kelvin (W/K)",
        through_nothing.map_or(f64::NAN, |found| found[0]),
    )?;
    let departure = heats_w
        .iter()
        .zip(&differences_k)
        .map(|(heat, difference)| (conductance_w_k * difference / heat - 1.0).abs())
        .fold(0.0, f64::max);
    let mut with_offset = differences_k.clone();
    with_offset.extend(std::iter::repeat_n(1.0, count));
    let spread = differences_k.iter().any(|difference| (difference - differences_k[0]).abs() > 1e-6);
    let straight = if spread { solved(DMatrix::from_vec(count, 2, with_offset), &heats) } else { None };
    Ok(Fit {
        conductance: ThermalConductance::new::<watt_per_kelvin>(conductance_w_k),
        worst_departure: Ratio::new::<ratio>(departure),
        heat_at_no_difference: straight.map(|line| Power::new::<watt>(line[1])),
    })
}

/// Least squares by singular values.
fn solved(columns: DMatrix<f64>, heats: &DVector<f64>) -> Option<DVector<f64>> {
    columns.svd(true, true).solve(heats, 1e-12).ok()
}

fn positive(what: &'static str, value_si: f64) -> Result<f64, CondenserError> {
    if value_si > 0.0 && value_si.is_finite() {
        Ok(value_si)
    } else {
        Err(CondenserError::NotPositive { what, value_si })
    }
}

/// A condenser as it is rated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Condenser {
    conductance: ThermalConductance,
    air_flow: VolumeRate,
    rated_density: MassDensity,
    fan_power: Power,
    transfer_units: f64,
}

/// A condenser in the air of the day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InAir {
    /// Heat rejected for each kelvin between mid temperature and entering air.
    pub conductance: ThermalConductance,
    /// Air that it moves.
    pub air_rate: MassRate,
    /// Input to its fan.
    pub fan_power: Power,
}

impl InAir {
    /// How near the leaving air comes to the refrigerant: `F / (m cp)`.
    #[must_use]
    pub fn effectiveness(&self) -> Ratio {
        Ratio::new::<ratio>(self.conductance.value / (self.air_rate.value * AIR_HEAT_CAPACITY_J_KG_K))
    }
}

impl Condenser {
    /// From the rating, the volume of air that the fan moves, the density of the air that it was rated in and the input to
    /// the fan there (nothing where unknown).
    ///
    /// # Errors
    /// [`CondenserError::NotPositive`], [`CondenserError::TooLittleAir`].
    pub fn new(
        conductance: ThermalConductance,
        air_flow: VolumeRate,
        rated_density: MassDensity,
        fan_power: Power,
    ) -> Result<Self, CondenserError> {
        let heat_w_k = positive("the heat for each kelvin (W/K)", conductance.get::<watt_per_kelvin>())?;
        let flow_m3_s = positive("the air flow (m³/s)", air_flow.get::<cubic_meter_per_second>())?;
        let density_kg_m3 = positive(
            "the density of the rating air (kg/m³)",
            rated_density.get::<kilogram_per_cubic_meter>(),
        )?;
        let air_w_k = flow_m3_s * density_kg_m3 * AIR_HEAT_CAPACITY_J_KG_K;
        let transfer_units = -(-heat_w_k / air_w_k).ln_1p();
        if transfer_units.is_finite() {
            Ok(Self { conductance, air_flow, rated_density, fan_power, transfer_units })
        } else {
            Err(CondenserError::TooLittleAir { heat_w_k, air_w_k })
        }
    }

    /// In air of another density, the fan turning at a share of its full speed.
    ///
    /// A fan moves its volume whatever the density: mass, fan pressure and fan power go with the density, power with the
    /// third power of the speed (fan laws). `F/F0 = s (1 - exp(-NTU0 s^(n-1))) / (1 - exp(-NTU0))` with `s = m/m0` and
    /// `n = 0.4`. Meant for `s` from 0.25 to 1.5.
    ///
    /// # Errors
    /// [`CondenserError::NotPositive`].
    pub fn in_air(&self, density: MassDensity, speed: Ratio) -> Result<Outcome<InAir>, CondenserError> {
        let speed = positive("the share of the fan's speed", speed.get::<ratio>())?;
        let density_share =
            positive("the density of the air (kg/m³)", density.get::<kilogram_per_cubic_meter>())?
                / self.rated_density.get::<kilogram_per_cubic_meter>();
        let share = speed * density_share;
        let in_air = InAir {
            conductance: self.conductance * conductance_share(self.transfer_units, share),
            air_rate: self.air_flow * density * speed,
            fan_power: self.fan_power * (speed.powi(3) * density_share),
        };
        let mut caveats = Caveats::default();
        if !(0.25..=1.5).contains(&share) {
            caveats.add(Caveat::OutsidePartFlowRange);
        }
        if !(0.3..=0.85).contains(&self.effectiveness().get::<ratio>()) {
            caveats.add(Caveat::ImplausibleEffectiveness);
        }
        Ok(Outcome { value: in_air, method: Method::CondenserRating, caveats })
    }

    /// Effectiveness in the rating air.
    #[must_use]
    pub fn effectiveness(&self) -> Ratio {
        Ratio::new::<ratio>(-(-self.transfer_units).exp_m1())
    }

    /// The speed at which the fan leaves a share of the conductance of full speed, by bisection; none where the share is
    /// not between nothing and all.
    #[must_use]
    pub fn speed_for(&self, density: MassDensity, conductance_share_wanted: Ratio) -> Option<Ratio> {
        let wanted = conductance_share_wanted.get::<ratio>();
        if !(wanted > 0.0 && wanted <= 1.0) {
            return None;
        }
        let density_share = (density / self.rated_density).get::<ratio>();
        let full = conductance_share(self.transfer_units, density_share);
        let (mut slow, mut fast) = (0.0, 1.0);
        for _ in 0..60 {
            let middle = 0.5 * (slow + fast);
            if conductance_share(self.transfer_units, middle * density_share) < wanted * full {
                slow = middle;
            } else {
                fast = middle;
            }
        }
        Some(Ratio::new::<ratio>(fast))
    }
}

/// Conductance against the rated one where the air moves `share` of the rated mass.
fn conductance_share(transfer_units: f64, share: f64) -> f64 {
    share * (-transfer_units * share.powf(CONDUCTANCE_EXPONENT - 1.0)).exp_m1() / (-transfer_units).exp_m1()
}

/// How much of its rated heat a condenser of a number of transfer units rejects where the air has a share of the rated
/// density: the altitude factor.
///
/// # Errors
/// [`CondenserError::NotPositive`].
pub fn density_factor(transfer_units: Ratio, density_share: Ratio) -> Result<Ratio, CondenserError> {
    let transfer_units = positive("the transfer units", transfer_units.get::<ratio>())?;
    let share = positive("the share of the rated density", density_share.get::<ratio>())?;
    Ok(Ratio::new::<ratio>(conductance_share(transfer_units, share)))
}

/// Density of dry air (ideal gas, 287.042 J/(kg K)).
///
/// # Errors
/// [`CondenserError::NotPositive`].
pub fn air_density(
    pressure: AbsolutePressure,
    temperature: ThermodynamicTemperature,
) -> Result<MassDensity, CondenserError> {
    let temperature_k = positive("the temperature of the air (K)", temperature.get::<kelvin>())?;
    let pressure_pa = positive("the pressure of the air (Pa)", pressure.pascal())?;
    Ok(MassDensity::new::<kilogram_per_cubic_meter>(pressure_pa / (DRY_AIR_J_KG_K * temperature_k)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        fluid::test_fluid::TestFluid,
        units::{Length, standard_atmosphere, unit::length::foot},
    };
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::thermodynamic_temperature::degree_celsius;

    fn celsius(degrees: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<degree_celsius>(degrees)
    }

    fn point(heat_w: f64, difference_k: f64, reference: SaturationReference) -> RatingPoint {
        RatingPoint {
            heat_rejection: Power::new::<watt>(heat_w),
            difference: TemperatureInterval::new::<kelvin_interval>(difference_k),
            reference,
            air: celsius(35.0),
        }
    }

    fn condenser() -> Condenser {
        Condenser::new(
            ThermalConductance::new::<watt_per_kelvin>(603.6),
            VolumeRate::new::<cubic_meter_per_second>(1.0 / 1.2),
            MassDensity::new::<kilogram_per_cubic_meter>(1.2),
            Power::new::<watt>(300.0),
        )
        .unwrap()
    }

    #[test]
    fn one_rating_on_three_bases_is_one_condenser() {
        // The test fluid glides by 5 K: one pressure lies 15 K (dew), 12.5 K (mid) and 10 K (bubble) above the air.
        let conductance = |difference_k, reference| {
            fit(&TestFluid, &[point(6000.0, difference_k, reference)]).unwrap().conductance.value
        };
        let dew = conductance(15.0, SaturationReference::Dew);
        assert_relative_eq!(dew, 6000.0 / 12.5, max_relative = 1e-9);
        assert_relative_eq!(dew, conductance(12.5, SaturationReference::Mid), max_relative = 1e-9);
        assert_relative_eq!(dew, conductance(10.0, SaturationReference::Bubble), max_relative = 1e-9);
    }

    #[test]
    fn several_points_are_fitted_and_their_departure_told() {
        use SaturationReference::Mid;
        let exact = fit(&TestFluid, &[point(5000.0, 10.0, Mid), point(7500.0, 15.0, Mid)]).unwrap();
        assert_relative_eq!(exact.conductance.value, 500.0, max_relative = 1e-9);
        assert!(exact.worst_departure.value < 1e-9);
        assert!(exact.heat_at_no_difference.unwrap().value.abs() < 1e-6);
        // 1000 W at no difference: least squares through nothing is (10 x 6000 + 20 x 11000)/(100 + 400) = 560 W/K.
        let offset = fit(&TestFluid, &[point(6000.0, 10.0, Mid), point(11_000.0, 20.0, Mid)]).unwrap();
        assert_relative_eq!(offset.conductance.value, 560.0, max_relative = 1e-9);
        assert_relative_eq!(offset.worst_departure.value, 1.0 - 5600.0 / 6000.0, max_relative = 1e-9);
        assert_relative_eq!(offset.heat_at_no_difference.unwrap().value, 1000.0, max_relative = 1e-6);
        assert_eq!(fit(&TestFluid, &[point(5000.0, 10.0, Mid)]).unwrap().heat_at_no_difference, None);
    }

    #[test]
    fn a_rating_that_can_not_be_is_refused() {
        use SaturationReference::Mid;
        assert_eq!(fit(&TestFluid, &[]), Err(CondenserError::NoRating));
        assert!(matches!(
            fit(&TestFluid, &[point(-1.0, 10.0, Mid)]),
            Err(CondenserError::NotPositive { .. })
        ));
        // 10 K above the air on the bubble line but 1 K on the dew line can not be.
        assert!(matches!(
            fit(&TestFluid, &[point(5000.0, 1.0, SaturationReference::Dew)]),
            Err(CondenserError::NotPositive { .. })
        ));
        assert!(matches!(fit(&TestFluid, &[point(5000.0, 200.0, Mid)]), Err(CondenserError::Property(_))));
        let air = VolumeRate::new::<cubic_meter_per_second>(0.1);
        let density = MassDensity::new::<kilogram_per_cubic_meter>(1.0);
        let conductance = ThermalConductance::new::<watt_per_kelvin>(101.0);
        let fan = Power::new::<watt>(0.0);
        assert!(matches!(
            Condenser::new(conductance, air, density, fan),
            Err(CondenserError::TooLittleAir { .. })
        ));
    }

    #[test]
    fn the_pressure_of_a_reference_temperature_gives_it_back() {
        for reference in [SaturationReference::Dew, SaturationReference::Mid, SaturationReference::Bubble] {
            let pressure = reference.pressure(&TestFluid, celsius(40.0)).unwrap();
            let back = reference.temperature(&TestFluid, pressure).unwrap();
            assert_relative_eq!(back.value, 313.15, max_relative = 1e-10);
        }
    }

    #[test]
    fn rated_air_gives_the_rating_back_and_thin_air_less() {
        let condenser = condenser();
        let one = Ratio::new::<ratio>(1.0);
        let rated = condenser.in_air(MassDensity::new::<kilogram_per_cubic_meter>(1.2), one).unwrap();
        assert_relative_eq!(rated.value.conductance.value, 603.6, max_relative = 1e-12);
        assert_relative_eq!(rated.value.air_rate.value, 1.0, max_relative = 1e-12);
        assert_relative_eq!(rated.value.effectiveness().value, 0.6, max_relative = 1e-12);
        assert_relative_eq!(condenser.effectiveness().value, 0.6, max_relative = 1e-12);
        let half_speed =
            condenser.in_air(MassDensity::new::<kilogram_per_cubic_meter>(1.2), one * 0.5).unwrap().value;
        assert_relative_eq!(half_speed.fan_power.value, 37.5, max_relative = 1e-12);
        assert_relative_eq!(half_speed.air_rate.value, 0.5, max_relative = 1e-12);
        // 1 - exp(-0.9163 x 0.5^-0.6) over 0.6, halved.
        let expected = 0.5 * (1.0 - (-0.916_290_7_f64 * 0.5_f64.powf(-0.6)).exp()) / 0.6;
        assert_relative_eq!(half_speed.conductance.value, 603.6 * expected, max_relative = 1e-6);
        let thin = condenser.in_air(MassDensity::new::<kilogram_per_cubic_meter>(0.2), one).unwrap();
        assert!(thin.caveats.has(Caveat::OutsidePartFlowRange));
    }

    #[test]
    fn the_altitude_factor_is_that_of_the_published_table() {
        for (feet, published) in [(2500.0, 0.95), (5000.0, 0.90), (7500.0, 0.85), (10_000.0, 0.80)] {
            let pressure = standard_atmosphere(Length::new::<foot>(feet)).unwrap().pascal();
            let factor =
                density_factor(Ratio::new::<ratio>(0.7), Ratio::new::<ratio>(pressure / 101_325.0)).unwrap();
            assert!((factor.value - published).abs() <= 0.005, "{feet} ft: {}", factor.value);
        }
    }

    proptest! {
        #[test]
        fn a_speed_is_found_for_every_share(share in 0.02_f64..=1.0, density in 0.8_f64..1.5) {
            let condenser = condenser();
            let density = MassDensity::new::<kilogram_per_cubic_meter>(density);
            let speed = condenser.speed_for(density, Ratio::new::<ratio>(share)).unwrap();
            let full = condenser.in_air(density, Ratio::new::<ratio>(1.0)).unwrap().value.conductance;
            let slowed = condenser.in_air(density, speed).unwrap().value.conductance;
            prop_assert!(((slowed / full).value - share).abs() < 1e-9);
            prop_assert!(speed.value <= 1.0);
        }

        #[test]
        fn more_air_rejects_more_heat(low in 0.3_f64..1.4, more in 0.01_f64..0.5) {
            prop_assert!(conductance_share(0.9, low + more) > conductance_share(0.9, low));
        }
    }
}
