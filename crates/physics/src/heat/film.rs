//! Films: what convection does at the inside and the outside of a tube, as Nusselt numbers.

use super::{HeatError, Quantity, positive, within};
use crate::{
    outcome::{Caveat, Caveats, Method, Outcome},
    units::{
        Bore, DynamicViscosity, HeatTransfer, MassRate, Ratio, SpecificHeatCapacity, ThermalConductivity,
    },
};
use uom::si::{heat_transfer::watt_per_square_meter_kelvin, ratio::ratio};

/// Nusselt number of developed flow inside a smooth tube, on the bore.
///
/// - `Re <= 2300`: 3.66 (constant wall temperature, developed; entry lengths, which raise it, are left out).
/// - `Re >= 4000`: V. Gnielinski, Int. Chemical Engineering 16, 1976, 359:
///   `Nu = (f/8)(Re - 1000) Pr / (1 + 12.7 sqrt(f/8) (Pr^(2/3) - 1))` with G. K. Filonenko's (1954)
///   `f = (1.82 log10 Re - 1.64)^-2`; the factors for entry and property variation are left out (each near 1).
/// - Between: straight line in `Re` between the two ends (Gnielinski, Int. J. Heat Mass Transfer 63, 2013, 134);
///   [`Caveat::TransitionalFlow`].
///
/// Valid for `0.5 <= Pr <= 2000`, `Re <= 5e6`; beyond, [`Caveat::OutsideInsideFilmRange`].
#[must_use]
pub fn nusselt_inside(reynolds: Ratio, prandtl: Ratio) -> Outcome<Ratio> {
    let mut caveats = Caveats::default();
    let nusselt = kernel::inside(reynolds.get::<ratio>(), prandtl.get::<ratio>(), &mut caveats);
    Outcome { value: Ratio::new::<ratio>(nusselt), method: Method::InsideFilm, caveats }
}

/// Heat transfer coefficient inside a tube ([`nusselt_inside`]).
///
/// Where the fluid boils or condenses, give the properties of the liquid and the whole mass rate. That is a lower bound
/// and enough: a turbulent film is some per cent of the resistance of a bare tube in still air, about a tenth in strong
/// wind, and nothing behind insulation.
///
/// # Errors
/// [`HeatError::OutsideRange`] where bore or a property is not positive, or the mass rate is negative.
///
/// # Example
/// Water at 20 °C, 0.3 kg/s in a 20 mm bore: `Re` 19 100, `Pr` 7.0, about 4 300 W/(m² K).
/// ```
/// use physics::{heat::inside_film, units::{Bore, DynamicViscosity, Length, MassRate, SpecificHeatCapacity, ThermalConductivity, unit::{length::millimeter, mass_rate::kilogram_per_second, dynamic_viscosity::pascal_second, thermal_conductivity::watt_per_meter_kelvin, specific_heat_capacity::joule_per_kilogram_kelvin, heat_transfer::watt_per_square_meter_kelvin}}};
/// let film = inside_film(
///     Bore::new(Length::new::<millimeter>(20.0)), MassRate::new::<kilogram_per_second>(0.3),
///     DynamicViscosity::new::<pascal_second>(1.0e-3), ThermalConductivity::new::<watt_per_meter_kelvin>(0.598),
///     SpecificHeatCapacity::new::<joule_per_kilogram_kelvin>(4184.0),
/// ).unwrap().value;
/// assert!((film.get::<watt_per_square_meter_kelvin>() / 4300.0 - 1.0).abs() < 0.02);
/// ```
pub fn inside_film(
    bore: Bore,
    mass_rate: MassRate,
    viscosity: DynamicViscosity,
    conductivity: ThermalConductivity,
    specific_heat: SpecificHeatCapacity,
) -> Result<Outcome<HeatTransfer>, HeatError> {
    let bore_m = positive(Quantity::Bore, bore.get().value)?;
    let rate_kg_s = within(Quantity::MassRate, mass_rate.value, 0.0, f64::MAX)?;
    let viscosity_pa_s = positive(Quantity::Viscosity, viscosity.value)?;
    let conductivity_w_m_k = positive(Quantity::Conductivity, conductivity.value)?;
    let heat_j_kg_k = positive(Quantity::SpecificHeat, specific_heat.value)?;
    let mut caveats = Caveats::default();
    let reynolds = rate_kg_s / (std::f64::consts::FRAC_PI_4 * bore_m * viscosity_pa_s);
    let nusselt = kernel::inside(reynolds, viscosity_pa_s * heat_j_kg_k / conductivity_w_m_k, &mut caveats);
    Ok(Outcome {
        value: HeatTransfer::new::<watt_per_square_meter_kelvin>(nusselt * conductivity_w_m_k / bore_m),
        method: Method::InsideFilm,
        caveats,
    })
}

/// Nusselt number of free convection from a level cylinder, on its diameter.
///
/// `Nu = (0.60 + 0.387 Ra^(1/6) / (1 + (0.559/Pr)^(9/16))^(8/27))^2`, S. W. Churchill and H. H. S. Chu, Int. J. Heat Mass
/// Transfer 18, 1975, 1049, the equation for all `Ra`. Valid for `Ra <= 1e12` ([`Caveat::OutsideFreeConvectionRange`]
/// above); below 1e-5 it goes to its limit of pure conduction, 0.36.
#[must_use]
pub fn nusselt_free_level(rayleigh: Ratio, prandtl: Ratio) -> Outcome<Ratio> {
    let mut caveats = Caveats::default();
    let nusselt = kernel::free_level(rayleigh.get::<ratio>(), prandtl.get::<ratio>(), &mut caveats);
    Outcome { value: Ratio::new::<ratio>(nusselt), method: Method::FreeConvectionLevel, caveats }
}

/// Nusselt number of free convection from an upright cylinder, on its height.
///
/// Upright plate: `Nu_p = (0.825 + 0.387 Ra^(1/6) / (1 + (0.492/Pr)^(9/16))^(8/27))^2` (Churchill and Chu, Int. J. Heat
/// Mass Transfer 18, 1975, 1323), times `1 + B (sqrt(32) Gr^(-1/4) H/D)^C`, with
/// `B = 0.0571322 + 0.20305 Pr^-0.43` and `C = 0.9165 - 0.0043 sqrt(Pr) + 0.01333 ln Pr + 0.0004809/Pr` (C. O. Popiel,
/// J. Wojtkowiak and K. Bober, Exp. Thermal Fluid Science 32, 2007, 607). A thin riser gives off more than a plate.
///
/// The correction is of laminar flow: `Ra <= 1e9` on the height (risers of about 1.5 m at most). As `Ra` goes to zero it
/// grows without bound: below 1e4, which is a hundredth of a kelvin at 0.2 m, the value at 1e4 stands.
/// [`Caveat::OutsideFreeConvectionRange`] outside both.
#[must_use]
pub fn nusselt_free_upright(rayleigh: Ratio, prandtl: Ratio, height_over_diameter: Ratio) -> Outcome<Ratio> {
    let mut caveats = Caveats::default();
    let nusselt = kernel::free_upright(
        rayleigh.get::<ratio>(),
        prandtl.get::<ratio>(),
        height_over_diameter.get::<ratio>(),
        &mut caveats,
    );
    Outcome { value: Ratio::new::<ratio>(nusselt), method: Method::FreeConvectionUpright, caveats }
}

/// Nusselt number of wind across a cylinder, on its diameter, properties at the film temperature.
///
/// `Nu = 0.3 + 0.62 Re^(1/2) Pr^(1/3) / (1 + (0.4/Pr)^(2/3))^(1/4) (1 + (Re/282000)^(5/8))^(4/5)`, S. W. Churchill and
/// M. Bernstein, J. Heat Transfer 99, 1977, 300. Valid for `Re Pr >= 0.2` (and about `Re <= 4e6`, the end of the data);
/// outside, [`Caveat::OutsideWindRange`]. It is a lower bound of the data rather than their mean.
#[must_use]
pub fn nusselt_wind(reynolds: Ratio, prandtl: Ratio) -> Outcome<Ratio> {
    let mut caveats = Caveats::default();
    let nusselt = kernel::wind(reynolds.get::<ratio>(), prandtl.get::<ratio>(), &mut caveats);
    Outcome { value: Ratio::new::<ratio>(nusselt), method: Method::WindFilm, caveats }
}

pub(super) mod kernel {
    use super::{Caveat, Caveats};

    const LAMINAR_TO: f64 = 2300.0;
    const TURBULENT_FROM: f64 = 4000.0;
    const LAMINAR_NUSSELT: f64 = 3.66;
    const LEAST_UPRIGHT_RAYLEIGH: f64 = 1e4;
    /// Nusselt number of a cylinder in air at rest, as the equation of wind has it.
    const AT_REST: f64 = 0.3;

    pub(in super::super) fn inside(reynolds: f64, prandtl: f64, caveats: &mut Caveats) -> f64 {
        if !(0.5..=2000.0).contains(&prandtl) || reynolds > 5e6 {
            caveats.add(Caveat::OutsideInsideFilmRange);
        }
        if reynolds <= LAMINAR_TO {
            caveats.add(Caveat::LaminarFlow);
            LAMINAR_NUSSELT
        } else if reynolds >= TURBULENT_FROM {
            gnielinski(reynolds, prandtl)
        } else {
            caveats.add(Caveat::TransitionalFlow);
            let share = (reynolds - LAMINAR_TO) / (TURBULENT_FROM - LAMINAR_TO);
            LAMINAR_NUSSELT + share * (gnielinski(TURBULENT_FROM, prandtl) - LAMINAR_NUSSELT)
        }
    }

    fn gnielinski(reynolds: f64, prandtl: f64) -> f64 {
        let eighth = (1.82 * reynolds.log10() - 1.64).powi(-2) / 8.0;
        eighth * (reynolds - 1000.0) * prandtl / (1.0 + 12.7 * eighth.sqrt() * (prandtl.cbrt().powi(2) - 1.0))
    }

    pub(in super::super) fn free_level(rayleigh: f64, prandtl: f64, caveats: &mut Caveats) -> f64 {
        if rayleigh > 1e12 {
            caveats.add(Caveat::OutsideFreeConvectionRange);
        }
        (0.60 + churchill_chu(rayleigh, prandtl, 0.559)).powi(2)
    }

    pub(in super::super) fn free_upright(
        rayleigh: f64,
        prandtl: f64,
        height_over_diameter: f64,
        caveats: &mut Caveats,
    ) -> f64 {
        if !(LEAST_UPRIGHT_RAYLEIGH..=1e9).contains(&rayleigh) {
            caveats.add(Caveat::OutsideFreeConvectionRange);
        }
        let rayleigh = rayleigh.max(LEAST_UPRIGHT_RAYLEIGH);
        let plate = (0.825 + churchill_chu(rayleigh, prandtl, 0.492)).powi(2);
        let factor = 0.057_132_2 + 0.203_05 * prandtl.powf(-0.43);
        let exponent = 0.9165 - 0.0043 * prandtl.sqrt() + 0.013_33 * prandtl.ln() + 0.000_480_9 / prandtl;
        let slenderness = 32.0_f64.sqrt() * (rayleigh / prandtl).powf(-0.25) * height_over_diameter;
        plate * (1.0 + factor * slenderness.powf(exponent))
    }

    fn churchill_chu(rayleigh: f64, prandtl: f64, number: f64) -> f64 {
        0.387 * rayleigh.powf(1.0 / 6.0) * (1.0 + (number / prandtl).powf(9.0 / 16.0)).powf(-8.0 / 27.0)
    }

    pub(in super::super) fn wind(reynolds: f64, prandtl: f64, caveats: &mut Caveats) -> f64 {
        if reynolds * prandtl < 0.2 || reynolds > 4e6 {
            caveats.add(Caveat::OutsideWindRange);
        }
        AT_REST
            + 0.62 * reynolds.sqrt() * prandtl.cbrt() / (1.0 + (0.4 / prandtl).cbrt().powi(2)).sqrt().sqrt()
                * (1.0 + (reynolds / 282_000.0).powf(0.625)).powf(0.8)
    }

    /// Free convection and wind together: cubes of what each adds to air at rest, S. W. Churchill, AIChE J. 23, 1977, 10.
    /// In still air this is free convection alone, exactly.
    pub(in super::super) fn blend(free: f64, wind: f64) -> f64 {
        AT_REST + ((free - AT_REST).powi(3) + (wind - AT_REST).powi(3)).cbrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn number(value: f64) -> Ratio {
        Ratio::new::<ratio>(value)
    }

    #[test]
    fn the_film_inside_joins_at_both_ends_of_the_transition() {
        for edge in [2300.0, 4000.0] {
            let at = |reynolds: f64| nusselt_inside(number(reynolds), number(3.0)).value.get::<ratio>();
            assert!((at(edge * (1.0 - 1e-9)) / at(edge * (1.0 + 1e-9)) - 1.0).abs() < 1e-7);
        }
        assert!(nusselt_inside(number(3000.0), number(3.0)).caveats.has(Caveat::TransitionalFlow));
        assert!(nusselt_inside(number(1e5), number(0.3)).caveats.has(Caveat::OutsideInsideFilmRange));
        assert_eq!(nusselt_inside(number(1e5), number(3.0)).caveats, Caveats::default());
    }

    #[test]
    fn films_outside_say_where_they_leave_their_range() {
        assert!(
            nusselt_free_level(number(2e12), number(0.7)).caveats.has(Caveat::OutsideFreeConvectionRange)
        );
        assert_eq!(nusselt_free_level(number(1e12), number(0.7)).caveats, Caveats::default());
        let upright = |rayleigh| nusselt_free_upright(number(rayleigh), number(0.7), number(100.0)).caveats;
        assert!(upright(2e9).has(Caveat::OutsideFreeConvectionRange));
        assert!(upright(9e3).has(Caveat::OutsideFreeConvectionRange));
        assert_eq!(upright(1e9), Caveats::default());
        assert_eq!(upright(1e4), Caveats::default());
        assert!(nusselt_wind(number(0.2), number(0.7)).caveats.has(Caveat::OutsideWindRange));
        assert!(nusselt_wind(number(5e6), number(0.7)).caveats.has(Caveat::OutsideWindRange));
        assert_eq!(nusselt_wind(number(1e4), number(0.7)).caveats, Caveats::default());
    }

    #[test]
    fn a_film_of_nothing_is_refused() {
        use uom::si::{
            dynamic_viscosity::pascal_second, length::meter, mass_rate::kilogram_per_second,
            specific_heat_capacity::joule_per_kilogram_kelvin, thermal_conductivity::watt_per_meter_kelvin,
        };
        let film = |bore_m: f64, rate_kg_s: f64, viscosity_pa_s: f64| {
            inside_film(
                Bore::new(crate::units::Length::new::<meter>(bore_m)),
                MassRate::new::<kilogram_per_second>(rate_kg_s),
                DynamicViscosity::new::<pascal_second>(viscosity_pa_s),
                ThermalConductivity::new::<watt_per_meter_kelvin>(0.1),
                SpecificHeatCapacity::new::<joule_per_kilogram_kelvin>(1000.0),
            )
        };
        assert!(film(0.01, 0.0, 1e-4).is_ok(), "a fluid at rest conducts");
        for (bore_m, rate_kg_s, viscosity_pa_s) in
            [(0.0, 0.1, 1e-4), (0.01, -0.1, 1e-4), (0.01, 0.1, 0.0), (f64::NAN, 0.1, 1e-4)]
        {
            assert!(film(bore_m, rate_kg_s, viscosity_pa_s).is_err());
        }
    }

    proptest! {
        #[test]
        fn still_air_leaves_free_convection_alone(free in 0.1..100.0_f64) {
            prop_assert!((kernel::blend(free, 0.3) / free - 1.0).abs() < 1e-12);
        }

        #[test]
        fn more_flow_never_carries_less(reynolds in 0.0..1e6_f64, more in 1.0..1e4_f64, prandtl in 0.6..10.0_f64) {
            let inside = |reynolds| nusselt_inside(number(reynolds), number(prandtl)).value;
            prop_assert!(inside(reynolds + more) >= inside(reynolds));
            let wind = |reynolds| nusselt_wind(number(reynolds), number(prandtl)).value;
            prop_assert!(wind(reynolds + more) > wind(reynolds));
        }
    }
}
