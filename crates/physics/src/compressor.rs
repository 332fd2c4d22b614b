//! Compressors: mass rate, power and gas at the outlet for a suction state and a discharge pressure.
//!
//! All input goes into the gas; heat lost by the shell would make it colder.

use crate::{
    fluid::{OutsideRange, Refrigerant, Region, State},
    outcome::{Caveat, Caveats, Method, Outcome},
    units::{
        AbsolutePressure, MassRate, Power, Ratio, SpecificEnthalpy, TemperatureInterval,
        ThermodynamicTemperature, VolumeRate, delta,
    },
};
use std::ops::RangeInclusive;
use thiserror::Error;
use uom::si::{
    available_energy::joule_per_kilogram,
    mass_rate::kilogram_per_second,
    power::watt,
    ratio::ratio,
    specific_heat_capacity::joule_per_kilogram_kelvin,
    temperature_interval::kelvin as kelvin_interval,
    thermodynamic_temperature::{degree_celsius, degree_fahrenheit, kelvin},
    volume_rate::cubic_meter_per_second,
};

/// Share of the change of density by which the mass rate follows other superheat than that of the map (Dabiri and Rice).
const VOLUMETRIC_FACTOR: f64 = 0.75;

/// What a compressor does at one operating point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Work {
    /// Gas that it moves.
    pub mass_rate: MassRate,
    /// Its input.
    pub power: Power,
    /// Enthalpy of the gas that leaves it.
    pub discharge_enthalpy: SpecificEnthalpy,
}

/// Why a compressor gives no answer.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum CompressorError {
    /// A state outside the property data.
    #[error(transparent)]
    Property(#[from] OutsideRange),
    /// The discharge pressure is not above the suction pressure.
    #[error("the discharge pressure is not above the suction pressure")]
    NotLifting,
    /// The stated figures would need an isentropic efficiency that no compressor has.
    #[error("capacity and input need an isentropic efficiency of {efficiency}, which no compressor has")]
    Efficiency {
        /// The efficiency.
        efficiency: f64,
    },
    /// The map gives no positive mass rate or power here.
    #[error("the map gives {mass_rate_kg_s} kg/s and {power_w} W here")]
    Map {
        /// Mass rate.
        mass_rate_kg_s: f64,
        /// Power.
        power_w: f64,
    },
}

/// A compressor.
#[derive(Clone, Debug, PartialEq)]
pub enum Compressor {
    /// One isentropic efficiency and one swept volume.
    Constant(ConstantEfficiency),
    /// Its maker's polynomials.
    Map(Box<CompressorMap>),
}

impl Compressor {
    /// Mass rate, power and discharge gas.
    ///
    /// # Errors
    /// [`CompressorError`].
    pub fn at(
        &self,
        fluid: &dyn Refrigerant,
        suction: &State,
        discharge: AbsolutePressure,
    ) -> Result<Outcome<Work>, CompressorError> {
        match self {
            Self::Constant(constant) => constant.at(fluid, suction, discharge),
            Self::Map(map) => map.at(fluid, suction, discharge),
        }
    }
}

/// Share of vapour down to which gas that is compressed without friction may get wet.
const DRIEST_WET: f64 = 0.9;

/// Enthalpy after compression without friction and heat, by Newton's method on the entropy (`dh = T ds` along an isobar).
///
/// Slightly superheated gas of a refrigerant whose dew line leans over (isobutane, R-1234yf) ends a little wet: there
/// `h = h_dew - T_dew (s_dew - s)`, exact where boiling keeps its temperature.
///
/// # Errors
/// [`CompressorError::NotLifting`]; [`CompressorError::Property`] where the gas would leave the data, or a tenth of it condense.
pub fn isentropic_enthalpy(
    fluid: &dyn Refrigerant,
    suction: &State,
    discharge: AbsolutePressure,
) -> Result<SpecificEnthalpy, CompressorError> {
    if discharge <= suction.pressure {
        return Err(CompressorError::NotLifting);
    }
    let entropy = |state: &State| {
        fluid.thermal(state).map(|thermal| thermal.entropy.get::<joule_per_kilogram_kelvin>())
    };
    let wanted = entropy(suction)?;
    let mut state = fluid.ends(discharge)?.dew;
    for _ in 0..60 {
        let short_j_kg = state.temperature.get::<kelvin>() * (wanted - entropy(&state)?);
        let enthalpy = state.enthalpy + SpecificEnthalpy::new::<joule_per_kilogram>(short_j_kg);
        if short_j_kg < 0.0 && state.saturation_distance.get::<kelvin_interval>() == 0.0 {
            let value = fluid.two_phase(discharge, enthalpy)?.quality.get::<ratio>();
            if value < DRIEST_WET {
                let (region, low, high) = (Region::Quality, DRIEST_WET, 1.0);
                return Err(OutsideRange { region, value, low, high }.into());
            }
            return Ok(enthalpy);
        }
        state = fluid.vapour(discharge, enthalpy)?;
        if short_j_kg.abs() < 1e-7 {
            break;
        }
    }
    Ok(state.enthalpy)
}

/// A compressor whose isentropic efficiency and swept volume stay what they are at one point.
///
/// The efficiency is overall: isentropic work against electrical input. Real efficiencies fall at high and at low lift;
/// far from the point that it is taken from, this leans to too little power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConstantEfficiency {
    isentropic_efficiency: Ratio,
    swept: VolumeRate,
}

impl ConstantEfficiency {
    /// From an efficiency above 0 and at most 1, and the volume of suction gas that it takes in.
    ///
    /// # Errors
    /// [`CompressorError::Efficiency`].
    pub fn new(isentropic_efficiency: Ratio, swept: VolumeRate) -> Result<Self, CompressorError> {
        let efficiency = isentropic_efficiency.get::<ratio>();
        if efficiency > 0.0 && efficiency <= 1.0 && swept.get::<cubic_meter_per_second>() > 0.0 {
            Ok(Self { isentropic_efficiency, swept })
        } else {
            Err(CompressorError::Efficiency { efficiency })
        }
    }

    /// From one operating point: the gas moved and the input there.
    ///
    /// # Errors
    /// [`CompressorError`].
    pub fn from_point(
        fluid: &dyn Refrigerant,
        suction: &State,
        discharge: AbsolutePressure,
        mass_rate: MassRate,
        power: Power,
    ) -> Result<Self, CompressorError> {
        let work = isentropic_enthalpy(fluid, suction, discharge)? - suction.enthalpy;
        Self::new(mass_rate * work / power, mass_rate / suction.density)
    }

    /// Isentropic work against input.
    #[must_use]
    pub fn isentropic_efficiency(&self) -> Ratio {
        self.isentropic_efficiency
    }

    fn at(
        &self,
        fluid: &dyn Refrigerant,
        suction: &State,
        discharge: AbsolutePressure,
    ) -> Result<Outcome<Work>, CompressorError> {
        let work =
            (isentropic_enthalpy(fluid, suction, discharge)? - suction.enthalpy) / self.isentropic_efficiency;
        let mass_rate = self.swept * suction.density;
        Ok(Outcome {
            value: Work { mass_rate, power: mass_rate * work, discharge_enthalpy: suction.enthalpy + work },
            method: Method::ConstantEfficiency,
            caveats: Caveats::default(),
        })
    }
}

/// Scale of the temperatures that a map's polynomials take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum TemperatureScale {
    Celsius,
    Fahrenheit,
}

/// `X = c1 + c2 S + c3 D + c4 S² + c5 S D + c6 D² + c7 S³ + c8 D S² + c9 S D² + c10 D³` with the evaporating temperature
/// `S` and the condensing temperature `D`, both dew, in the scale of the map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TenCoefficients {
    /// `c1` to `c10`.
    pub coefficients: [f64; 10],
    /// Scale of `S` and `D`.
    pub scale: TemperatureScale,
    /// What one of `X` is in SI.
    pub to_si: f64,
}

impl TenCoefficients {
    fn si(&self, evaporating: ThermodynamicTemperature, condensing: ThermodynamicTemperature) -> f64 {
        let degrees = |temperature: ThermodynamicTemperature| match self.scale {
            TemperatureScale::Celsius => temperature.get::<degree_celsius>(),
            TemperatureScale::Fahrenheit => temperature.get::<degree_fahrenheit>(),
        };
        let (s, d) = (degrees(evaporating), degrees(condensing));
        let terms = [1.0, s, d, s * s, s * d, d * d, s * s * s, d * s * s, s * d * d, d * d * d];
        self.to_si
            * self.coefficients.iter().zip(terms).map(|(coefficient, term)| coefficient * term).sum::<f64>()
    }

    /// The quantity as a mass rate.
    #[must_use]
    pub fn mass_rate(
        &self,
        evaporating: ThermodynamicTemperature,
        condensing: ThermodynamicTemperature,
    ) -> MassRate {
        MassRate::new::<kilogram_per_second>(self.si(evaporating, condensing))
    }

    /// The quantity as a power.
    #[must_use]
    pub fn power(
        &self,
        evaporating: ThermodynamicTemperature,
        condensing: ThermodynamicTemperature,
    ) -> Power {
        Power::new::<watt>(self.si(evaporating, condensing))
    }
}

/// A maker's map: mass rate and power over evaporating and condensing dew temperature at one superheat.
#[derive(Clone, Debug, PartialEq)]
pub struct CompressorMap {
    /// Mass rate.
    pub mass_rate: TenCoefficients,
    /// Power.
    pub power: TenCoefficients,
    /// Superheat of the suction gas that the map was made with.
    pub superheat: TemperatureInterval,
    /// Evaporating dew temperatures that it was made for.
    pub evaporating: RangeInclusive<ThermodynamicTemperature>,
    /// Condensing dew temperatures that it was made for.
    pub condensing: RangeInclusive<ThermodynamicTemperature>,
}

impl CompressorMap {
    /// Other superheat than the map's: `m = m_map (1 + 0.75 (rho/rho_map - 1))`, power by the isentropic work that this
    /// mass rate takes against that of the map (Dabiri and Rice 1981).
    fn at(
        &self,
        fluid: &dyn Refrigerant,
        suction: &State,
        discharge: AbsolutePressure,
    ) -> Result<Outcome<Work>, CompressorError> {
        let evaporating = fluid.dew_temperature(suction.pressure)?.get();
        let condensing = fluid.dew_temperature(discharge)?.get();
        let mapped = fluid.vapour_at(suction.pressure, evaporating + self.superheat)?;
        let density_share = (suction.density / mapped.density).get::<ratio>();
        let mass_rate_mapped = self.mass_rate.mass_rate(evaporating, condensing);
        let mass_rate = mass_rate_mapped * (1.0 + VOLUMETRIC_FACTOR * (density_share - 1.0));
        let work = isentropic_enthalpy(fluid, suction, discharge)? - suction.enthalpy;
        let work_mapped = isentropic_enthalpy(fluid, &mapped, discharge)? - mapped.enthalpy;
        let power_mapped = self.power.power(evaporating, condensing);
        let power = power_mapped * ((mass_rate * work) / (mass_rate_mapped * work_mapped)).get::<ratio>();
        let (mass_rate_kg_s, power_w) = (mass_rate.get::<kilogram_per_second>(), power.get::<watt>());
        if !(mass_rate_kg_s > 0.0 && power_w > 0.0) {
            return Err(CompressorError::Map { mass_rate_kg_s, power_w });
        }
        let mut caveats = Caveats::default();
        if !self.evaporating.contains(&evaporating) || !self.condensing.contains(&condensing) {
            caveats.add(Caveat::OutsideCompressorMap);
        }
        if delta(suction.temperature, mapped.temperature).get::<kelvin_interval>().abs() > 15.0 {
            caveats.add(Caveat::FarFromMapSuperheat);
        }
        let discharge_enthalpy = suction.enthalpy + power / mass_rate;
        Ok(Outcome {
            value: Work { mass_rate, power, discharge_enthalpy },
            method: Method::TenCoefficients,
            caveats,
        })
    }
}

/// Heat rejected against capacity: `1 + 1/COP`, all input going into the refrigerant.
///
/// # Errors
/// [`CompressorError::Map`] where capacity or input is not positive.
pub fn heat_rejection_factor(capacity: Power, input: Power) -> Result<Ratio, CompressorError> {
    if capacity.value > 0.0 && input.value >= 0.0 {
        Ok((capacity + input) / capacity)
    } else {
        Err(CompressorError::Efficiency { efficiency: f64::NAN })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fluid::test_fluid::{GAS_CONSTANT, TestFluid};
    use approx::assert_relative_eq;

    fn suction(superheat_k: f64) -> State {
        let pressure = AbsolutePressure::from_pascal(3e5);
        let dew = TestFluid.dew_temperature(pressure).unwrap().get();
        TestFluid.vapour_at(pressure, dew + TemperatureInterval::new::<kelvin_interval>(superheat_k)).unwrap()
    }

    fn discharge() -> AbsolutePressure {
        AbsolutePressure::from_pascal(15e5)
    }

    fn constant() -> ConstantEfficiency {
        ConstantEfficiency::new(Ratio::new::<ratio>(0.65), VolumeRate::new::<cubic_meter_per_second>(2e-3))
            .unwrap()
    }

    #[test]
    fn an_ideal_gas_is_compressed_by_its_closed_form() {
        // T2 = T1 (p2/p1)^(R/cp), R 90, cp 900 J/(kg K).
        let suction = suction(10.0);
        let enthalpy = isentropic_enthalpy(&TestFluid, &suction, discharge()).unwrap();
        let expected = 900.0 * suction.temperature.value * (5.0_f64.powf(GAS_CONSTANT / 900.0) - 1.0);
        assert_relative_eq!((enthalpy - suction.enthalpy).value, expected, max_relative = 1e-9);
        assert_eq!(
            isentropic_enthalpy(&TestFluid, &suction, suction.pressure),
            Err(CompressorError::NotLifting)
        );
    }

    /// The isentropes of the made-up gas cross its dew line at high pressure.
    #[test]
    fn gas_may_end_a_little_wet() {
        let suction = suction(2.0);
        let entropy = |state: &State| TestFluid.thermal(state).unwrap().entropy.value;
        let (mut wet, mut refused) = (0, 0);
        for step in 4..120 {
            let pressure = AbsolutePressure::from_pascal(1e5 * f64::from(step));
            let Ok(ends) = TestFluid.ends(pressure) else { break };
            let below = entropy(&ends.dew) - entropy(&suction);
            if below <= 0.0 {
                continue;
            }
            let expected = ends.dew.enthalpy.value - ends.dew.temperature.value * below;
            match isentropic_enthalpy(&TestFluid, &suction, pressure) {
                Ok(found) => {
                    wet += 1;
                    assert_relative_eq!(found.value, expected, max_relative = 1e-12);
                }
                Err(CompressorError::Property(outside)) => {
                    refused += 1;
                    assert!(outside.region == Region::Quality && outside.value < 0.9, "{outside}");
                }
                Err(other) => panic!("{other}"),
            }
        }
        assert!(wet > 0 && refused > 0, "{wet} wet, {refused} refused");
    }

    #[test]
    fn a_point_gives_back_its_own_figures() {
        let suction = suction(8.0);
        let (rate, power) = (MassRate::new::<kilogram_per_second>(0.02), Power::new::<watt>(1400.0));
        let compressor =
            ConstantEfficiency::from_point(&TestFluid, &suction, discharge(), rate, power).unwrap();
        let work = Compressor::Constant(compressor).at(&TestFluid, &suction, discharge()).unwrap().value;
        assert_relative_eq!(work.mass_rate.value, 0.02, max_relative = 1e-12);
        assert_relative_eq!(work.power.value, 1400.0, max_relative = 1e-9);
        assert_relative_eq!(
            (work.discharge_enthalpy - suction.enthalpy).value,
            1400.0 / 0.02,
            max_relative = 1e-9
        );
        let impossible =
            ConstantEfficiency::from_point(&TestFluid, &suction, discharge(), rate, power * 0.1).unwrap_err();
        assert!(matches!(impossible, CompressorError::Efficiency { efficiency } if efficiency > 1.0));
    }

    /// A map that is the constant compressor's own figures at 10 K: flat mass rate, power linear in nothing but `c1`.
    fn map() -> CompressorMap {
        let suction = suction(10.0);
        let work = Compressor::Constant(constant()).at(&TestFluid, &suction, discharge()).unwrap().value;
        let flat = |value: f64| {
            let mut coefficients = [0.0; 10];
            coefficients[0] = value;
            TenCoefficients { coefficients, scale: TemperatureScale::Celsius, to_si: 1.0 }
        };
        let celsius = ThermodynamicTemperature::new::<degree_celsius>;
        CompressorMap {
            mass_rate: flat(work.mass_rate.value),
            power: flat(work.power.value),
            superheat: TemperatureInterval::new::<kelvin_interval>(10.0),
            evaporating: celsius(-40.0)..=celsius(10.0),
            condensing: celsius(20.0)..=celsius(70.0),
        }
    }

    #[test]
    fn a_map_at_its_own_superheat_is_taken_as_it_is() {
        let (map, suction) = (Compressor::Map(Box::new(map())), suction(10.0));
        let by_map = map.at(&TestFluid, &suction, discharge()).unwrap();
        let by_constant =
            Compressor::Constant(constant()).at(&TestFluid, &suction, discharge()).unwrap().value;
        assert_relative_eq!(by_map.value.mass_rate.value, by_constant.mass_rate.value, max_relative = 1e-12);
        assert_relative_eq!(by_map.value.power.value, by_constant.power.value, max_relative = 1e-12);
        assert_eq!(by_map.caveats, Caveats::default());
    }

    #[test]
    fn warmer_gas_is_thinner_and_a_map_left_is_told() {
        let map = map();
        let warm =
            Compressor::Map(Box::new(map.clone())).at(&TestFluid, &suction(30.0), discharge()).unwrap();
        let share = suction(30.0).density / suction(10.0).density;
        let expected = map.mass_rate.coefficients[0] * (1.0 + 0.75 * (share.value - 1.0));
        assert_relative_eq!(warm.value.mass_rate.value, expected, max_relative = 1e-12);
        assert!(warm.caveats.has(Caveat::FarFromMapSuperheat));
        // Isentropic work of an ideal gas goes with its absolute temperature.
        let warmth = suction(30.0).temperature.value / suction(10.0).temperature.value;
        let power = map.power.coefficients[0] * warmth * (1.0 + 0.75 * (share.value - 1.0));
        assert_relative_eq!(warm.value.power.value, power, max_relative = 1e-9);
        let celsius = ThermodynamicTemperature::new::<degree_celsius>;
        let small = CompressorMap { condensing: celsius(0.0)..=celsius(5.0), ..map };
        let outside = Compressor::Map(Box::new(small)).at(&TestFluid, &suction(10.0), discharge()).unwrap();
        assert!(outside.caveats.has(Caveat::OutsideCompressorMap));
    }

    #[test]
    fn every_term_of_the_polynomial_counts_in_the_scale_of_the_map() {
        let celsius = ThermodynamicTemperature::new::<degree_celsius>;
        for (index, expected) in [1.0, 2.0, 3.0, 4.0, 6.0, 9.0, 8.0, 12.0, 18.0, 27.0].into_iter().enumerate()
        {
            let mut coefficients = [0.0; 10];
            coefficients[index] = 5.0;
            let row = TenCoefficients { coefficients, scale: TemperatureScale::Celsius, to_si: 2.0 };
            assert_relative_eq!(
                row.power(celsius(2.0), celsius(3.0)).value,
                10.0 * expected,
                max_relative = 1e-9
            );
        }
        let mut coefficients = [0.0; 10];
        coefficients[1] = 1.0;
        let row = TenCoefficients { coefficients, scale: TemperatureScale::Fahrenheit, to_si: 1.0 };
        assert_relative_eq!(row.mass_rate(celsius(10.0), celsius(3.0)).value, 50.0, max_relative = 1e-9);
    }

    #[test]
    fn heat_rejected_is_capacity_and_input() {
        let factor = heat_rejection_factor(Power::new::<watt>(10e3), Power::new::<watt>(3e3)).unwrap();
        assert_relative_eq!(factor.value, 1.3, max_relative = 1e-12);
        assert!(heat_rejection_factor(Power::new::<watt>(0.0), Power::new::<watt>(3e3)).is_err());
    }
}
