//! Friction of straight tube: Darcy-Weisbach with the Colebrook friction factor.

use crate::{
    outcome::{Caveat, Caveats, Method, Outcome},
    units::{Bore, Length, MassDensity, Pressure, Ratio, Velocity},
};
use uom::si::{pressure::pascal, ratio::ratio};

/// Darcy friction factor (four times the Fanning factor).
///
/// - `Re <= 2300`: `f = 64/Re` (Hagen-Poiseuille).
/// - `Re >= 4000`: `1/sqrt(f) = -2 log10( (e/D)/3.7 + 2.51/(Re sqrt(f)) )`, C. F. Colebrook, J. Inst. Civil Engineers
///   11, 1939, eq. for the transition region, solved to machine precision.
/// - Between: straight line in `Re` between the two, so that the factor is continuous; [`Caveat::TransitionalFlow`].
///
/// # Validity
/// `Re <= 1e8`, `e/D <= 0.05` (range of the Moody chart); beyond, [`Caveat::OutsideFrictionRange`].
///
/// # Example
/// 200 L/min of water at 30 °C in a smooth 52.5 mm bore, `Re` = 100 600: Technical Paper 410, problem 7.1, prints 0.0179.
/// ```
/// use physics::{friction::darcy_friction_factor, units::{Ratio, unit::ratio::ratio}};
/// let factor = darcy_friction_factor(Ratio::new::<ratio>(100_600.0), Ratio::new::<ratio>(0.0)).value;
/// assert!((factor.get::<ratio>() - 0.0179).abs() < 0.5e-4 * 2.0);
/// ```
#[must_use]
pub fn darcy_friction_factor(reynolds: Ratio, relative_roughness: Ratio) -> Outcome<Ratio> {
    let (factor, caveats) =
        kernel::darcy_friction_factor(reynolds.get::<ratio>(), relative_roughness.get::<ratio>());
    Outcome { value: Ratio::new::<ratio>(factor), method: Method::Colebrook, caveats }
}

/// Pressure drop of friction along a tube at constant density: `dp = f (L/D) rho v^2 / 2` (Darcy-Weisbach).
///
/// Valid where the density changes little along the tube;
/// [`crate::line::march`] takes a tube where it does not.
#[must_use]
pub fn friction_pressure_drop(
    length: Length,
    bore: Bore,
    roughness: Length,
    density: MassDensity,
    velocity: Velocity,
    reynolds: Ratio,
) -> Outcome<Pressure> {
    let outcome = darcy_friction_factor(reynolds, roughness / bore.get());
    let drop_pa = if velocity.value == 0.0 {
        0.0
    } else {
        outcome.value.get::<ratio>()
            * (length / bore.get()).value
            * density.value
            * velocity.value
            * velocity.value
            / 2.0
    };
    Outcome { value: Pressure::new::<pascal>(drop_pa), method: Method::Colebrook, caveats: outcome.caveats }
}

pub(crate) mod kernel {
    use super::{Caveat, Caveats};

    const LAMINAR_TO: f64 = 2300.0;
    const TURBULENT_FROM: f64 = 4000.0;

    pub(crate) fn darcy_friction_factor(reynolds: f64, relative_roughness: f64) -> (f64, Caveats) {
        let mut caveats = Caveats::default();
        if reynolds > 1e8 || relative_roughness > 0.05 {
            caveats.add(Caveat::OutsideFrictionRange);
        }
        let factor = if reynolds <= LAMINAR_TO {
            caveats.add(Caveat::LaminarFlow);
            64.0 / reynolds
        } else if reynolds >= TURBULENT_FROM {
            colebrook(reynolds, relative_roughness)
        } else {
            caveats.add(Caveat::TransitionalFlow);
            let (left, right) = (64.0 / LAMINAR_TO, colebrook(TURBULENT_FROM, relative_roughness));
            left + (right - left) * (reynolds - LAMINAR_TO) / (TURBULENT_FROM - LAMINAR_TO)
        };
        (factor, caveats)
    }

    /// Newton on `x = 1/sqrt(f)`: `g(x) = x + 2 log10(a + b x)`. `g` is rising and concave, so Newton from any start
    /// converges; the start is one fixed-point step, three steps reach rounding.
    fn colebrook(reynolds: f64, relative_roughness: f64) -> f64 {
        let per_decade = 2.0 * std::f64::consts::LOG10_E;
        let (a, b) = (relative_roughness / 3.7, 2.51 / reynolds);
        let mut x = -per_decade * (a + 7.0 * b).ln();
        for _ in 0..3 {
            let inner = a + b * x;
            x -= (x + per_decade * inner.ln()) / (1.0 + per_decade * b / inner);
        }
        1.0 / (x * x)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Colebrook by bisection on the bracketed root: slow, and independent of the Newton kernel.
    fn bracketed(reynolds: f64, relative_roughness: f64) -> f64 {
        let gap = |x: f64| x + 2.0 * (relative_roughness / 3.7 + 2.51 * x / reynolds).log10();
        let (mut low, mut high) = (1.0, 40.0);
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if gap(middle) > 0.0 { high = middle } else { low = middle }
        }
        1.0 / (low * low)
    }

    fn factor(reynolds: f64, roughness: f64) -> f64 {
        kernel::darcy_friction_factor(reynolds, roughness).0
    }

    #[test]
    fn newton_agrees_with_a_bracketed_solution() {
        for i in 0..=60 {
            let reynolds = 4e3 * (1e8_f64 / 4e3).powf(f64::from(i) / 60.0);
            for roughness in
                std::iter::once(0.0).chain((0..=40).map(|j| 1e-6 * 5e4_f64.powf(f64::from(j) / 40.0)))
            {
                let (found, expected) = (factor(reynolds, roughness), bracketed(reynolds, roughness));
                assert!(
                    (found - expected).abs() < 1e-10,
                    "Re {reynolds} e/D {roughness}: {found} {expected}"
                );
            }
        }
    }

    /// Cengel and Cimbala, Fluid Mechanics, example 8-3: 6 L/s of water through 60 m of 50 mm tube, printed 96 536 Pa with a
    /// chart-read factor; the chart is good to about 1 %.
    #[test]
    fn a_textbook_line_of_water_drops_as_printed() {
        use uom::si::{length::meter, mass_density::kilogram_per_cubic_meter, velocity::meter_per_second};
        let drop_pa = |velocity_m_s: f64| {
            let outcome = friction_pressure_drop(
                Length::new::<meter>(60.0),
                Bore::new(Length::new::<meter>(0.05)),
                Length::new::<meter>(2e-6),
                MassDensity::new::<kilogram_per_cubic_meter>(999.0),
                Velocity::new::<meter_per_second>(velocity_m_s),
                Ratio::new::<ratio>(999.0 * velocity_m_s * 0.05 / 1.138e-3),
            );
            outcome.value.get::<pascal>()
        };
        let velocity_m_s = 0.006 / (std::f64::consts::FRAC_PI_4 * 0.05 * 0.05);
        assert!((drop_pa(velocity_m_s) / 96_536.0 - 1.0).abs() < 0.01, "{}", drop_pa(velocity_m_s));
        assert_eq!(drop_pa(0.0), 0.0);
    }

    #[test]
    fn factor_joins_at_both_ends_of_the_transition_and_says_where_it_is() {
        for edge in [2300.0, 4000.0] {
            assert!((factor(edge * (1.0 - 1e-9), 1e-4) - factor(edge * (1.0 + 1e-9), 1e-4)).abs() < 1e-8);
        }
        let caveats = |reynolds, roughness| kernel::darcy_friction_factor(reynolds, roughness).1;
        assert!(caveats(1000.0, 0.0).has(Caveat::LaminarFlow));
        assert!(caveats(3000.0, 0.0).has(Caveat::TransitionalFlow));
        assert_eq!(caveats(1e5, 1e-4), Caveats::default());
        assert!(caveats(2e8, 1e-4).has(Caveat::OutsideFrictionRange));
        assert!(caveats(1e5, 0.06).has(Caveat::OutsideFrictionRange));
        assert_eq!(caveats(1e8, 0.05), Caveats::default(), "the ends of the chart belong to it");
    }

    proptest! {
        #[test]
        fn rougher_is_never_smoother(reynolds in 4e3..1e8_f64, e in 0.0..0.04_f64, more in 1e-6..0.01_f64) {
            prop_assert!(factor(reynolds, e + more) > factor(reynolds, e));
        }

        #[test]
        fn turbulent_factor_falls_with_reynolds(reynolds in 4e3..5e7_f64, e in 0.0..0.05_f64) {
            prop_assert!(factor(reynolds * 1.5, e) < factor(reynolds, e));
        }
    }
}
