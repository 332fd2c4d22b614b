//! Flooding: whether condensate in a riser drains back against rising vapour.

use crate::{
    outcome::{Caveat, Caveats, Method, Outcome},
    two_phase::ImpossibleFlow,
    units::{Bore, MassDensity, MassRate, Ratio},
};
use uom::si::ratio::ratio;

/// What becomes of the condensate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Condensate {
    /// All of it runs down, even past sharp-edged ends.
    DrainsBack,
    /// Some runs down and some is carried up, or it depends on the shape of the ends: no steady state to design on.
    Between,
    /// None runs down, even past well-rounded ends.
    CarriedUp,
}

/// Where a riser stands between draining and carrying.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flooding {
    /// `sqrt(j_g*)` of the vapour.
    pub vapour_number: Ratio,
    /// `sqrt(j_l*)` of the condensate.
    pub liquid_number: Ratio,
    /// What follows.
    pub condensate: Condensate,
}

/// Judges condensate that would run down a vertical tube in which vapour rises.
///
/// With `j* = j sqrt(rho) / sqrt(g D (rho_l - rho_g))` of each phase, `j` its volume rate over the cross-section, flooding
/// starts at `sqrt(j_g*) + sqrt(j_l*) = C`, G. B. Wallis, UKAEA report AEEW-R142, 1961, and One-Dimensional Two-Phase Flow,
/// 1969, chapter 11: `C` = 0.725 for sharp-edged ends, 0.88 to 1.0 for rounded ones (equation and constants from memory,
/// neither was opened). Below 0.725 the condensate drains back; where `sqrt(j_g*)` alone is above 1.0 none runs down;
/// anything else is between.
///
/// # Validity
/// Vertical tube of 12 to 51 mm (Wallis' own tubes, from memory); beyond, [`Caveat::OutsideFloodingRange`].
///
/// # Errors
/// [`ImpossibleFlow`]: a rate below 0, a bore of 0, or vapour that is not lighter than the liquid.
///
/// # Example
/// R-134a at 40 °C in a 26 mm riser: 20 kg/h of vapour let 5 kg/h of condensate drain back, 800 kg/h carry it up.
/// ```
/// use physics::{flooding::{Condensate, flooding}, units::{Bore, Length, MassDensity, MassRate, unit::{length::millimeter, mass_density::kilogram_per_cubic_meter, mass_rate::kilogram_per_second}}};
/// let density = |value| MassDensity::new::<kilogram_per_cubic_meter>(value);
/// let behind = |vapour_kg_h: f64| {
///     let rate = |kg_h: f64| MassRate::new::<kilogram_per_second>(kg_h / 3600.0);
///     let bore = Bore::new(Length::new::<millimeter>(26.04));
///     flooding(rate(vapour_kg_h), rate(5.0), bore, density(1147.0), density(50.0)).unwrap().value.condensate
/// };
/// assert_eq!(behind(20.0), Condensate::DrainsBack);
/// assert_eq!(behind(800.0), Condensate::CarriedUp);
/// ```
pub fn flooding(
    vapour_rate: MassRate,
    liquid_rate: MassRate,
    bore: Bore,
    liquid_density: MassDensity,
    vapour_density: MassDensity,
) -> Result<Outcome<Flooding>, ImpossibleFlow> {
    let bore_m = bore.get().value;
    let (liquid_kg_m3, vapour_kg_m3) = (liquid_density.value, vapour_density.value);
    ImpossibleFlow::unless_all(&[
        ("vapour rate", vapour_rate.value, vapour_rate.value >= 0.0),
        ("liquid rate", liquid_rate.value, liquid_rate.value >= 0.0),
        ("bore", bore_m, bore_m > 0.0),
        ("vapour density", vapour_kg_m3, vapour_kg_m3 > 0.0),
        ("liquid density", liquid_kg_m3, liquid_kg_m3 > vapour_kg_m3),
    ])?;
    let tube = kernel::Riser { bore_m, liquid_kg_m3, vapour_kg_m3 };
    let per_area = |rate: MassRate| rate.value / bore.area().value;
    let vapour_number = tube.number(per_area(vapour_rate), vapour_kg_m3);
    let liquid_number = tube.number(per_area(liquid_rate), liquid_kg_m3);
    // Rates and bores that are possible one by one can still be no flow together.
    ImpossibleFlow::unless_all(&[
        ("number of the vapour", vapour_number, true),
        ("number of the liquid", liquid_number, true),
    ])?;
    let mut caveats = Caveats::default();
    if !(0.012..=0.051).contains(&bore_m) {
        caveats.add(Caveat::OutsideFloodingRange);
    }
    Ok(Outcome {
        value: Flooding {
            vapour_number: Ratio::new::<ratio>(vapour_number),
            liquid_number: Ratio::new::<ratio>(liquid_number),
            condensate: kernel::condensate(vapour_number, liquid_number),
        },
        method: Method::Flooding,
        caveats,
    })
}

mod kernel {
    use super::Condensate;
    use crate::units::STANDARD_GRAVITY_M_S2;

    const SHARP_EDGED_ENDS: f64 = 0.725;
    const WELL_ROUNDED_ENDS: f64 = 1.0;

    pub(super) struct Riser {
        pub(super) bore_m: f64,
        pub(super) liquid_kg_m3: f64,
        pub(super) vapour_kg_m3: f64,
    }

    impl Riser {
        /// `sqrt(j*)` of a phase; `j sqrt(rho)` is its flux over `sqrt(rho)`.
        pub(super) fn number(&self, flux_kg_m2_s: f64, phase_kg_m3: f64) -> f64 {
            let weight_pa = STANDARD_GRAVITY_M_S2 * self.bore_m * (self.liquid_kg_m3 - self.vapour_kg_m3);
            (flux_kg_m2_s / (phase_kg_m3 * weight_pa).sqrt()).sqrt()
        }
    }

    pub(super) fn condensate(vapour_number: f64, liquid_number: f64) -> Condensate {
        if vapour_number + liquid_number < SHARP_EDGED_ENDS {
            Condensate::DrainsBack
        } else if vapour_number > WELL_ROUNDED_ENDS {
            Condensate::CarriedUp
        } else {
            Condensate::Between
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{oil_return, units::Length};
    use proptest::prelude::*;
    use uom::si::{length::meter, mass_density::kilogram_per_cubic_meter, mass_rate::kilogram_per_second};

    fn rate(kg_s: f64) -> MassRate {
        MassRate::new::<kilogram_per_second>(kg_s)
    }

    fn density(kg_m3: f64) -> MassDensity {
        MassDensity::new::<kilogram_per_cubic_meter>(kg_m3)
    }

    fn judge(vapour_kg_s: f64, liquid_kg_s: f64, bore_m: f64) -> Outcome<Flooding> {
        let bore = Bore::new(Length::new::<meter>(bore_m));
        flooding(rate(vapour_kg_s), rate(liquid_kg_s), bore, density(1150.0), density(50.0)).unwrap()
    }

    /// By hand: `j_g*` = (4 m / (pi D^2)) / sqrt(50 x 9.80665 x 0.02 x 1100) = 1 at m = 0.032 631 kg/s.
    #[test]
    fn the_bounds_lie_where_the_equation_puts_them() {
        let unit_kg_s = 0.032_631;
        let vapour_number = judge(unit_kg_s, 0.0, 0.02).value.vapour_number.get::<ratio>();
        assert!((vapour_number - 1.0).abs() < 1e-4, "{vapour_number}");
        let behind =
            |number: f64, liquid_kg_s| judge(number * number * unit_kg_s, liquid_kg_s, 0.02).value.condensate;
        assert_eq!(behind(0.72, 0.0), Condensate::DrainsBack);
        assert_eq!(behind(0.73, 0.0), Condensate::Between);
        assert_eq!(behind(0.99, 0.0), Condensate::Between);
        assert_eq!(behind(1.01, 0.0), Condensate::CarriedUp);
        // Standing vapour: liquid alone floods the tube at its own number.
        assert_eq!(behind(0.0, 0.05), Condensate::DrainsBack);
        assert_eq!(behind(0.0, 0.15), Condensate::Between);
    }

    /// The criterion of oil return has the same form with 0.85: it lies between draining and carrying.
    #[test]
    fn the_least_rate_of_oil_return_is_between() {
        let bore = Bore::new(Length::new::<meter>(0.02));
        let least = oil_return::minimum_mass_rate(bore, density(50.0), density(1150.0)).unwrap().value;
        let found = judge(least.value, 0.0, 0.02).value;
        assert!((found.vapour_number.get::<ratio>() - 0.85).abs() < 1e-12);
        assert_eq!(found.condensate, Condensate::Between);
    }

    #[test]
    fn what_can_not_be_is_refused_and_a_strange_bore_is_told() {
        let bore = Bore::new(Length::new::<meter>(0.02));
        let refusal = |vapour, liquid_density| {
            flooding(rate(vapour), rate(0.0), bore, density(liquid_density), density(50.0))
        };
        assert_eq!(refusal(-1.0, 1150.0).unwrap_err().what, "vapour rate");
        assert_eq!(refusal(f64::NAN, 1150.0).unwrap_err().what, "vapour rate");
        assert_eq!(refusal(0.1, 50.0).unwrap_err().what, "liquid density");
        assert!(judge(0.01, 0.0, 0.008).caveats.has(Caveat::OutsideFloodingRange));
        assert!(judge(0.01, 0.0, 0.054).caveats.has(Caveat::OutsideFloodingRange));
        assert_eq!(judge(0.01, 0.0, 0.02).caveats, Caveats::default());
    }

    proptest! {
        /// More vapour never helps draining, a wider tube never hinders it.
        #[test]
        fn goes_one_way(vapour in 0.0..0.2_f64, liquid in 0.0..0.05_f64, bore in 0.005..0.06_f64, more in 1.0..3.0_f64) {
            let rank = |vapour, bore| judge(vapour, liquid, bore).value.condensate as u8;
            prop_assert!(rank(vapour * more, bore) >= rank(vapour, bore));
            prop_assert!(rank(vapour, bore * more) <= rank(vapour, bore));
        }
    }

    /// Each is a number above 0; together they are no flow: the section of such a tube is too small for a number.
    #[test]
    fn a_tube_that_rounds_to_nothing_is_refused() {
        let bore = Bore::new(uom::si::f64::Length::new::<uom::si::length::meter>(1e-200));
        let rate = MassRate::new::<uom::si::mass_rate::kilogram_per_second>(0.0);
        let density = |value| MassDensity::new::<uom::si::mass_density::kilogram_per_cubic_meter>(value);
        assert!(flooding(rate, rate, bore, density(1100.0), density(50.0)).is_err());
    }
}
