//! The two fluids of textbook examples: a liquid of constant density, and a perfect gas. Neither changes phase.

use crate::support::{kelvins, pascals};
use physics::{
    fluid::{Ends, OutsideRange, Phase, Refrigerant, Region, State, Thermal, TwoPhase},
    units::{
        AbsolutePressure, BubbleTemperature, DewTemperature, DynamicViscosity, MassDensity, SpecificEnthalpy,
        SurfaceTension, ThermodynamicTemperature,
        unit::{
            available_energy::joule_per_kilogram, dynamic_viscosity::pascal_second,
            mass_density::kilogram_per_cubic_meter, thermodynamic_temperature::kelvin,
        },
    },
};

/// Heat capacity of both; it cancels, because neither density nor viscosity depends on temperature along a line.
const HEAT_CAPACITY_J_KG_K: f64 = 1000.0;

const FAR_FROM_SATURATION_K: f64 = 1000.0;

#[derive(Clone, Copy)]
pub(crate) enum Density {
    Constant { kg_m3: f64 },
    PerfectGas { gas_constant_j_kg_k: f64 },
}

#[derive(Clone, Copy)]
pub(crate) struct SimpleFluid {
    pub(crate) density: Density,
    pub(crate) viscosity_pa_s: f64,
}

impl SimpleFluid {
    pub(crate) fn liquid(kg_m3: f64, viscosity_pa_s: f64) -> Self {
        Self { density: Density::Constant { kg_m3 }, viscosity_pa_s }
    }

    /// Air: gas constant 287.05 J/(kg K) (U.S. Standard Atmosphere 1976).
    pub(crate) fn air(viscosity_pa_s: f64) -> Self {
        Self { density: Density::PerfectGas { gas_constant_j_kg_k: 287.05 }, viscosity_pa_s }
    }

    pub(crate) fn state(&self, pressure_pa: f64, temperature: ThermodynamicTemperature) -> State {
        let temperature_k = temperature.get::<kelvin>();
        let density = match self.density {
            Density::Constant { kg_m3 } => kg_m3,
            Density::PerfectGas { gas_constant_j_kg_k } => {
                pressure_pa / (gas_constant_j_kg_k * temperature_k)
            }
        };
        let phase = match self.density {
            Density::Constant { .. } => Phase::Liquid,
            Density::PerfectGas { .. } => Phase::Vapour,
        };
        State {
            phase,
            pressure: pascals(pressure_pa),
            temperature,
            saturation_distance: kelvins(FAR_FROM_SATURATION_K),
            enthalpy: SpecificEnthalpy::new::<joule_per_kilogram>(HEAT_CAPACITY_J_KG_K * temperature_k),
            density: MassDensity::new::<kilogram_per_cubic_meter>(density),
            viscosity: DynamicViscosity::new::<pascal_second>(self.viscosity_pa_s),
        }
    }

    fn at(&self, pressure: AbsolutePressure, enthalpy: SpecificEnthalpy) -> Result<State, OutsideRange> {
        let temperature_k = enthalpy.get::<joule_per_kilogram>() / HEAT_CAPACITY_J_KG_K;
        Ok(self.state(pressure.pascal(), ThermodynamicTemperature::new::<kelvin>(temperature_k)))
    }
}

const NO_SATURATION: OutsideRange =
    OutsideRange { region: Region::SaturationTemperature, value: f64::NAN, low: f64::NAN, high: f64::NAN };

impl Refrigerant for SimpleFluid {
    fn ends(&self, _: AbsolutePressure) -> Result<Ends, OutsideRange> {
        Err(NO_SATURATION)
    }

    fn at_bubble(&self, _: BubbleTemperature) -> Result<State, OutsideRange> {
        Err(NO_SATURATION)
    }

    fn at_dew(&self, _: DewTemperature) -> Result<State, OutsideRange> {
        Err(NO_SATURATION)
    }

    fn vapour(&self, pressure: AbsolutePressure, enthalpy: SpecificEnthalpy) -> Result<State, OutsideRange> {
        self.at(pressure, enthalpy)
    }

    fn liquid(&self, pressure: AbsolutePressure, enthalpy: SpecificEnthalpy) -> Result<State, OutsideRange> {
        self.at(pressure, enthalpy)
    }

    fn vapour_at(
        &self,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<State, OutsideRange> {
        Ok(self.state(pressure.pascal(), temperature))
    }

    fn liquid_at(
        &self,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<State, OutsideRange> {
        Ok(self.state(pressure.pascal(), temperature))
    }

    fn two_phase(&self, _: AbsolutePressure, _: SpecificEnthalpy) -> Result<TwoPhase, OutsideRange> {
        Err(NO_SATURATION)
    }

    fn thermal(&self, _: &State) -> Result<Thermal, OutsideRange> {
        Err(NO_SATURATION)
    }

    fn surface_tension(&self, _: BubbleTemperature) -> Result<SurfaceTension, OutsideRange> {
        Err(NO_SATURATION)
    }

    fn distance_to_last_saturation(&self, _: AbsolutePressure) -> Result<f64, OutsideRange> {
        Ok(FAR_FROM_SATURATION_K)
    }
}
