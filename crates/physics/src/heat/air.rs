//! Properties of dry air.

use super::{HeatError, Quantity, within};
use crate::{
    outcome::{Caveats, Method, Outcome},
    units::{
        AbsolutePressure, DynamicViscosity, MassDensity, Ratio, ThermalConductivity, ThermodynamicTemperature,
    },
};
use uom::si::{
    dynamic_viscosity::pascal_second, mass_density::kilogram_per_cubic_meter, ratio::ratio,
    thermal_conductivity::watt_per_meter_kelvin, thermodynamic_temperature::kelvin,
};

/// Temperatures that the properties of air, and with them all of `heat`, hold for.
pub(super) const LOWEST_K: f64 = 200.0;
pub(super) const HIGHEST_K: f64 = 450.0;
/// From 7000 m of altitude to well below the sea.
pub(super) const LOWEST_PA: f64 = 4.0e4;
pub(super) const HIGHEST_PA: f64 = 1.2e5;

/// Dry air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirProperties {
    /// Density.
    pub density: MassDensity,
    /// Dynamic viscosity.
    pub viscosity: DynamicViscosity,
    /// Thermal conductivity.
    pub conductivity: ThermalConductivity,
    /// Prandtl number.
    pub prandtl: Ratio,
}

/// Dry air at 200 K to 450 K and 40 kPa to 120 kPa.
///
/// U.S. Standard Atmosphere 1976, eq. 51 and 53: `mu = 1.458e-6 T^1.5/(T + 110.4)`,
/// `k = 2.64638e-3 T^1.5/(T + 245.4 10^(-12/T))`; density of an ideal gas with 287.053 J/(kg K); heat capacity
/// 1007 J/(kg K). Against the reference equations of dry air (CoolProp 8.0.0) viscosity lies within 1.2 %,
/// conductivity within 2.3 % (1 % from 0 to 180 °C), density within 0.3 %, heat capacity within 1.4 %.
///
/// # Errors
/// [`HeatError::OutsideRange`].
pub fn air_properties(
    temperature: ThermodynamicTemperature,
    pressure: AbsolutePressure,
) -> Result<Outcome<AirProperties>, HeatError> {
    let temperature_k = within(Quantity::AirTemperature, temperature.get::<kelvin>(), LOWEST_K, HIGHEST_K)?;
    let pressure_pa = within(Quantity::AirPressure, pressure.pascal(), LOWEST_PA, HIGHEST_PA)?;
    let air = kernel::Air::at(temperature_k, pressure_pa);
    Ok(Outcome {
        value: AirProperties {
            density: MassDensity::new::<kilogram_per_cubic_meter>(air.density_kg_m3),
            viscosity: DynamicViscosity::new::<pascal_second>(air.viscosity_pa_s),
            conductivity: ThermalConductivity::new::<watt_per_meter_kelvin>(air.conductivity_w_m_k),
            prandtl: Ratio::new::<ratio>(air.prandtl()),
        },
        method: Method::Air,
        caveats: Caveats::default(),
    })
}

pub(super) mod kernel {
    const GAS_CONSTANT_J_KG_K: f64 = 287.053;
    const HEAT_CAPACITY_J_KG_K: f64 = 1007.0;

    pub(in super::super) struct Air {
        pub(in super::super) density_kg_m3: f64,
        pub(in super::super) viscosity_pa_s: f64,
        pub(in super::super) conductivity_w_m_k: f64,
    }

    impl Air {
        pub(in super::super) fn at(temperature_k: f64, pressure_pa: f64) -> Self {
            let power = temperature_k * temperature_k.sqrt();
            Self {
                density_kg_m3: pressure_pa / (GAS_CONSTANT_J_KG_K * temperature_k),
                viscosity_pa_s: 1.458e-6 * power / (temperature_k + 110.4),
                conductivity_w_m_k: 2.646_38e-3 * power
                    / (temperature_k + 245.4 * 10.0_f64.powf(-12.0 / temperature_k)),
            }
        }

        pub(in super::super) fn prandtl(&self) -> f64 {
            self.viscosity_pa_s * HEAT_CAPACITY_J_KG_K / self.conductivity_w_m_k
        }

        pub(in super::super) fn kinematic_m2_s(&self) -> f64 {
            self.viscosity_pa_s / self.density_kg_m3
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn refuses_what_lies_outside_its_range() {
        let at = |temperature_k, pressure_pa| {
            air_properties(
                ThermodynamicTemperature::new::<kelvin>(temperature_k),
                AbsolutePressure::from_pascal(pressure_pa),
            )
        };
        assert!(at(300.0, 101_325.0).is_ok());
        for (temperature_k, pressure_pa) in
            [(199.0, 101_325.0), (451.0, 101_325.0), (f64::NAN, 101_325.0), (300.0, 1e3), (300.0, f64::NAN)]
        {
            assert!(at(temperature_k, pressure_pa).is_err(), "{temperature_k} K, {pressure_pa} Pa");
        }
    }
}
