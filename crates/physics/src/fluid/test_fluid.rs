//! A made-up refrigerant with closed formulas, for tests: an ideal gas over an incompressible liquid, with glide.

use super::{Ends, OutsideRange, Phase, Refrigerant, Region, State, Thermal, TwoPhase};
use crate::units::{
    AbsolutePressure, BubbleTemperature, DewTemperature, DynamicViscosity, MassDensity, Ratio,
    SpecificEnthalpy, SpecificEntropy, SpecificHeatCapacity, SurfaceTension, TemperatureInterval,
    ThermalConductivity, ThermodynamicTemperature,
};
use uom::si::{
    available_energy::joule_per_kilogram, dynamic_viscosity::pascal_second,
    mass_density::kilogram_per_cubic_meter, ratio::ratio, specific_heat_capacity::joule_per_kilogram_kelvin,
    surface_tension::newton_per_meter, temperature_interval::kelvin as kelvin_interval,
    thermal_conductivity::watt_per_meter_kelvin, thermodynamic_temperature::kelvin,
};

/// Gas constant 90 J/(kg K), heat capacities 900 and 1500 J/(kg K), dew line `ln(p/1 bar) = 11 - 2750/T`, the bubble
/// line 5 K colder, liquid of 1000 kg/m3, latent heat 180 kJ/kg at 273.15 K. Two-phase: quality is the share of enthalpy
/// less a parabola.
pub(crate) struct TestFluid;

pub(crate) const GAS_CONSTANT: f64 = 90.0;
const GAS_CP: f64 = 900.0;
const LIQUID_CP: f64 = 1500.0;
const GLIDE_K: f64 = 5.0;
/// Four times the greatest difference of share and quality.
const QUALITY_SAG: f64 = 0.16;
/// Data range, Pa.
pub(crate) const RANGE_PA: (f64, f64) = (5e4, 4e6);

fn state(
    phase: Phase,
    pressure_pa: f64,
    temperature_k: f64,
    distance_k: f64,
    enthalpy: f64,
    density: f64,
    viscosity: f64,
) -> State {
    State {
        phase,
        pressure: AbsolutePressure::from_pascal(pressure_pa),
        temperature: ThermodynamicTemperature::new::<kelvin>(temperature_k),
        saturation_distance: TemperatureInterval::new::<kelvin_interval>(distance_k),
        enthalpy: SpecificEnthalpy::new::<joule_per_kilogram>(enthalpy),
        density: MassDensity::new::<kilogram_per_cubic_meter>(density),
        viscosity: DynamicViscosity::new::<pascal_second>(viscosity),
    }
}

fn gas(pressure_pa: f64, temperature_k: f64) -> State {
    let enthalpy = 380e3 + GAS_CP * (temperature_k - 273.15);
    let superheat = dew_k(pressure_pa).map_or(f64::NAN, |dew_k| temperature_k - dew_k);
    state(
        Phase::Vapour,
        pressure_pa,
        temperature_k,
        superheat,
        enthalpy,
        pressure_pa / (GAS_CONSTANT * temperature_k),
        1.2e-5 * temperature_k / 360.0,
    )
}

fn liquid(pressure_pa: f64, temperature_k: f64) -> State {
    let subcooling = dew_k(pressure_pa).map_or(f64::NAN, |dew_k| dew_k - GLIDE_K - temperature_k);
    state(
        Phase::Liquid,
        pressure_pa,
        temperature_k,
        subcooling,
        200e3 + LIQUID_CP * (temperature_k - 273.15),
        1000.0,
        1.8e-4 * 305.0 / temperature_k,
    )
}

fn dew_k(pressure_pa: f64) -> Result<f64, OutsideRange> {
    let (low, high) = RANGE_PA;
    if (low..=high).contains(&pressure_pa) {
        Ok(2750.0 / (11.0 - (pressure_pa / 1e5).ln()))
    } else {
        Err(OutsideRange { region: Region::DewPressure, value: pressure_pa, low, high })
    }
}

fn pressure_pa(dew_k: f64) -> f64 {
    1e5 * (11.0 - 2750.0 / dew_k).exp()
}

impl Refrigerant for TestFluid {
    fn ends(&self, pressure: AbsolutePressure) -> Result<Ends, OutsideRange> {
        let (pressure_pa, dew_k) = (pressure.pascal(), dew_k(pressure.pascal())?);
        Ok(Ends { bubble: liquid(pressure_pa, dew_k - GLIDE_K), dew: gas(pressure_pa, dew_k) })
    }

    fn at_bubble(&self, temperature: BubbleTemperature) -> Result<State, OutsideRange> {
        Ok(self.ends(AbsolutePressure::from_pascal(pressure_pa(temperature.get().value + GLIDE_K)))?.bubble)
    }

    fn at_dew(&self, temperature: DewTemperature) -> Result<State, OutsideRange> {
        Ok(self.ends(AbsolutePressure::from_pascal(pressure_pa(temperature.get().value)))?.dew)
    }

    fn vapour(&self, pressure: AbsolutePressure, enthalpy: SpecificEnthalpy) -> Result<State, OutsideRange> {
        let temperature_k = 273.15 + (enthalpy.value - 380e3) / GAS_CP;
        self.vapour_at(pressure, ThermodynamicTemperature::new::<kelvin>(temperature_k))
    }

    fn liquid(&self, pressure: AbsolutePressure, enthalpy: SpecificEnthalpy) -> Result<State, OutsideRange> {
        let temperature_k = 273.15 + (enthalpy.value - 200e3) / LIQUID_CP;
        self.liquid_at(pressure, ThermodynamicTemperature::new::<kelvin>(temperature_k))
    }

    fn vapour_at(
        &self,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<State, OutsideRange> {
        let superheat = temperature.value - dew_k(pressure.pascal())?;
        if superheat < -1e-9 {
            return Err(OutsideRange { region: Region::Superheat, value: superheat, low: 0.0, high: 200.0 });
        }
        Ok(gas(pressure.pascal(), temperature.value))
    }

    fn liquid_at(
        &self,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<State, OutsideRange> {
        let subcooling = dew_k(pressure.pascal())? - GLIDE_K - temperature.value;
        if subcooling < -1e-9 {
            return Err(OutsideRange {
                region: Region::Subcooling,
                value: subcooling,
                low: 0.0,
                high: 200.0,
            });
        }
        Ok(liquid(pressure.pascal(), temperature.value))
    }

    fn two_phase(
        &self,
        pressure: AbsolutePressure,
        enthalpy: SpecificEnthalpy,
    ) -> Result<TwoPhase, OutsideRange> {
        let ends = self.ends(pressure)?;
        let share =
            (enthalpy - ends.bubble.enthalpy).value / (ends.dew.enthalpy - ends.bubble.enthalpy).value;
        if !(0.0..=1.0).contains(&share) {
            return Err(OutsideRange { region: Region::Quality, value: share, low: 0.0, high: 1.0 });
        }
        Ok(TwoPhase {
            ends,
            quality: Ratio::new::<ratio>(share - QUALITY_SAG * share * (1.0 - share)),
            temperature: ThermodynamicTemperature::new::<kelvin>(
                ends.bubble.temperature.value + GLIDE_K * share,
            ),
        })
    }

    fn thermal(&self, state: &State) -> Result<Thermal, OutsideRange> {
        let of_temperature = (state.temperature.value / 273.15).ln();
        let (entropy, heat_capacity, conductivity) = match state.phase {
            Phase::Liquid => (1000.0 + LIQUID_CP * of_temperature, LIQUID_CP, 0.08),
            Phase::Vapour => {
                let of_pressure = GAS_CONSTANT * (state.pressure.pascal() / 1e5).ln();
                (1700.0 + GAS_CP * of_temperature - of_pressure, GAS_CP, 0.013)
            }
        };
        Ok(Thermal {
            entropy: SpecificEntropy::new::<joule_per_kilogram_kelvin>(entropy),
            heat_capacity: SpecificHeatCapacity::new::<joule_per_kilogram_kelvin>(heat_capacity),
            conductivity: ThermalConductivity::new::<watt_per_meter_kelvin>(conductivity),
        })
    }

    fn surface_tension(&self, temperature: BubbleTemperature) -> Result<SurfaceTension, OutsideRange> {
        Ok(SurfaceTension::new::<newton_per_meter>(1e-4 * (380.0 - temperature.get().value)))
    }

    fn distance_to_last_saturation(&self, pressure: AbsolutePressure) -> Result<f64, OutsideRange> {
        Ok(dew_k(RANGE_PA.1)? - dew_k(pressure.pascal())?)
    }
}
