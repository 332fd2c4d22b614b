//! What a tube's metal does under heat and pressure.

use crate::{
    tube::Tube,
    units::{Pressure, Ratio, TemperatureCoefficient},
};

/// Elastic and thermal constants of the metal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TubeMaterial {
    /// Linear thermal expansion.
    pub expansion: TemperatureCoefficient,
    /// Modulus of elasticity.
    pub modulus: Pressure,
    /// Poisson's ratio.
    pub poisson: Ratio,
}

impl TubeMaterial {
    /// Relative growth of the bore volume of a closed tube per Pa of inside pressure.
    ///
    /// `(1/V) dV/dp = (3 (1 - 2 nu) + 2 k (1 + nu)) / (E (k - 1))` with `k = (D/d)^2`, outside over bore: hoop and axial
    /// strain at the bore of a thick tube with closed ends that may move (Lamé and Clapeyron 1833).
    pub(super) fn volume_growth_per_pa(&self, tube: &Tube) -> f64 {
        let (outside_m, bore_m) = (tube.outside().get().value, tube.bore().get().value);
        let (k, poisson) = ((outside_m / bore_m).powi(2), self.poisson.value);
        (3.0 * (1.0 - 2.0 * poisson) + 2.0 * k * (1.0 + poisson)) / (self.modulus.value * (k - 1.0))
    }

    /// Relative growth of a volume by heat: `(1 + alpha dT)^3`.
    pub(super) fn volume_ratio_of_heat(&self, warming_k: f64) -> f64 {
        (1.0 + self.expansion.value * warming_k).powi(3)
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::units::{Length, OutsideDiameter};
    use uom::si::{
        length::millimeter, pressure::gigapascal, ratio::ratio, temperature_coefficient::per_kelvin,
    };

    pub(crate) fn copper() -> TubeMaterial {
        TubeMaterial {
            expansion: TemperatureCoefficient::new::<per_kelvin>(16.8e-6),
            modulus: Pressure::new::<gigapascal>(117.0),
            poisson: Ratio::new::<ratio>(0.34),
        }
    }

    pub(crate) fn tube(outside_mm: f64, wall_mm: f64) -> Tube {
        Tube::new(
            OutsideDiameter::new(Length::new::<millimeter>(outside_mm)),
            Length::new::<millimeter>(wall_mm),
        )
        .unwrap()
    }

    /// Thin shell, closed ends: `d/(E t) (5/4 - nu)`, textbooks of strength of materials.
    #[test]
    fn a_thin_wall_yields_as_the_shell_formula_says() {
        let thin = copper().volume_growth_per_pa(&tube(100.0, 0.05));
        approx::assert_relative_eq!(thin, 99.9 / 0.05 * (1.25 - 0.34) / 117e9, max_relative = 2e-3);
    }
}
