//! Holding charge: the gas that a line is left with so that a hiss on opening proves it tight.
//!
//! A few grams: it shows that the line is whole, it is no part of the design charge. No hiss means reject and test.

use super::{
    FieldError, GAS_CONSTANT_J_MOL_K, field_temperature_k,
    nitrogen::{nitrogen_molar_mass, volume_m3},
    plain,
};
use crate::{
    fluid::Refrigerant,
    outcome::{Method, Outcome},
    range::within,
    units::{AbsolutePressure, Mass, ThermodynamicTemperature, Volume},
};
use uom::si::{mass::kilogram, mass_density::kilogram_per_cubic_meter, molar_mass::kilogram_per_mole};

/// Mass of nitrogen in a volume: `m = P V M/(R T)`, compressibility factor 1 (within 0.2 % up to 400 kPa near room
/// temperature; allowed up to 1 MPa, -60 °C to 100 °C).
///
/// # Errors
/// [`FieldError::OutOfRange`].
pub fn nitrogen_mass(
    volume: Volume,
    pressure: AbsolutePressure,
    temperature: ThermodynamicTemperature,
) -> Result<Outcome<Mass>, FieldError> {
    let pressure_pa = within("pressure of the holding charge (Pa)", pressure.pascal(), 1e3, 1e6)?;
    let temperature_k = field_temperature_k("temperature of the gas (K)", temperature)?;
    let molar_mass = nitrogen_molar_mass().get::<kilogram_per_mole>();
    let mass_kg = pressure_pa * volume_m3(volume)? * molar_mass / (GAS_CONSTANT_J_MOL_K * temperature_k);
    Ok(plain(Mass::new::<kilogram>(mass_kg), Method::HoldingCharge))
}

/// Mass of refrigerant vapour in a volume: `m = V rho(P, T)` by the property data.
///
/// # Errors
/// [`FieldError::Properties`] where the refrigerant is not all vapour, or outside its data; [`FieldError::OutOfRange`] for the
/// volume.
pub fn vapour_mass(
    fluid: &dyn Refrigerant,
    volume: Volume,
    pressure: AbsolutePressure,
    temperature: ThermodynamicTemperature,
) -> Result<Outcome<Mass>, FieldError> {
    let density_kg_m3 = fluid.vapour_at(pressure, temperature)?.density.get::<kilogram_per_cubic_meter>();
    Ok(plain(Mass::new::<kilogram>(volume_m3(volume)? * density_kg_m3), Method::HoldingCharge))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fluid::test_fluid::{GAS_CONSTANT, TestFluid};
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{mass::gram, thermodynamic_temperature::kelvin, volume::liter};

    fn nitrogen_g(litres: f64, pressure_pa: f64, temperature_k: f64) -> Result<f64, FieldError> {
        let mass = nitrogen_mass(
            Volume::new::<liter>(litres),
            AbsolutePressure::from_pascal(pressure_pa),
            ThermodynamicTemperature::new::<kelvin>(temperature_k),
        )?;
        Ok(mass.value.get::<gram>())
    }

    #[test]
    fn a_mole_of_nitrogen_fills_its_molar_volume() {
        assert_relative_eq!(nitrogen_g(22.413_97, 101_325.0, 273.15).unwrap(), 28.0134, max_relative = 1e-6);
        assert!(nitrogen_g(0.0, 1e5, 293.0).is_err());
        assert!(nitrogen_g(1.0, 2e6, 293.0).is_err());
        assert!(nitrogen_g(1.0, 1e5, f64::NAN).is_err());
    }

    #[test]
    fn vapour_has_the_density_of_its_data_and_liquid_is_refused() {
        let mass = |pressure_pa, temperature_k| {
            vapour_mass(
                &TestFluid,
                Volume::new::<liter>(2.0),
                AbsolutePressure::from_pascal(pressure_pa),
                ThermodynamicTemperature::new::<kelvin>(temperature_k),
            )
        };
        let found = mass(2e5, 300.0).unwrap().value.get::<gram>();
        assert_relative_eq!(found, 2.0 * 2e5 / (GAS_CONSTANT * 300.0), max_relative = 1e-9);
        assert!(matches!(mass(3e6, 300.0), Err(FieldError::Properties(_))));
    }

    proptest! {
        #[test]
        fn twice_the_pressure_is_twice_the_nitrogen(litres in 0.1..10.0_f64, pressure_pa in 1e4..4e5_f64, temperature_k in 250.0..330.0_f64) {
            let one = nitrogen_g(litres, pressure_pa, temperature_k).unwrap();
            prop_assert!((nitrogen_g(litres, 2.0 * pressure_pa, temperature_k).unwrap() / one - 2.0).abs() < 1e-12);
            prop_assert!(nitrogen_g(litres, pressure_pa, temperature_k + 1.0).unwrap() < one);
        }
    }
}
