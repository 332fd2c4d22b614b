//! Liquid and vapour that flow together in a tube: friction, void fraction, fittings.
//!
//! Every law here meets that of single phase at quality 0 and 1, so that a march may cross the bubble and the dew line.
//! No correlation of two-phase flow is good to better than some 20 to 40 %; where a second one of other descent exists it
//! is returned beside the first, and their spread is the doubt.

use crate::{
    fittings::{ThreeK, kernel::ThreeKInBore},
    outcome::{Caveats, Method, Outcome},
    units::{Bore, DynamicViscosity, Length, MassDensity, MassFlux, Pressure, Ratio, SurfaceTension},
};
use thiserror::Error;
use uom::si::{length::inch, mass_density::kilogram_per_cubic_meter, pressure::pascal, ratio::ratio};

/// Liquid and vapour in equilibrium at one place of a tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flow {
    /// Mass rate over cross-section, `mass_rate / bore.area()`.
    pub mass_flux: MassFlux,
    /// Vapour as a share of the mass, 0 to 1.
    pub quality: Ratio,
    /// Bore.
    pub bore: Bore,
    /// Roughness of the wall.
    pub roughness: Length,
    /// Height gained per length of tube, -1 to 1; 0 is level.
    pub rise: Ratio,
    /// Density of the saturated liquid.
    pub liquid_density: MassDensity,
    /// Density of the saturated vapour.
    pub vapour_density: MassDensity,
    /// Viscosity of the saturated liquid.
    pub liquid_viscosity: DynamicViscosity,
    /// Viscosity of the saturated vapour.
    pub vapour_viscosity: DynamicViscosity,
    /// Surface tension between them.
    pub surface_tension: SurfaceTension,
}

/// A flow that can not be.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[error("liquid and vapour can not flow together with a {what} of {value}")]
pub struct ImpossibleFlow {
    /// What it is.
    pub what: &'static str,
    /// Its value in SI.
    pub value: f64,
}

impl ImpossibleFlow {
    /// Refuses the first that does not hold.
    pub(crate) fn unless_all(conditions: &[(&'static str, f64, bool)]) -> Result<(), Self> {
        match conditions.iter().find(|(_, value, holds)| !(*holds && value.is_finite())) {
            Some(&(what, value, _)) => Err(Self { what, value }),
            None => Ok(()),
        }
    }
}

impl Flow {
    fn plain(&self) -> Result<kernel::Flow, ImpossibleFlow> {
        let plain = kernel::Flow {
            flux_kg_m2_s: self.mass_flux.value,
            quality: self.quality.value,
            bore_m: self.bore.get().value,
            relative_roughness: (self.roughness / self.bore.get()).value,
            rise: self.rise.value,
            liquid_kg_m3: self.liquid_density.value,
            vapour_kg_m3: self.vapour_density.value,
            liquid_pa_s: self.liquid_viscosity.value,
            vapour_pa_s: self.vapour_viscosity.value,
            tension_n_m: self.surface_tension.value,
        };
        ImpossibleFlow::unless_all(&[
            ("mass flux", plain.flux_kg_m2_s, plain.flux_kg_m2_s > 0.0),
            ("quality", plain.quality, (0.0..=1.0).contains(&plain.quality)),
            ("bore", plain.bore_m, plain.bore_m > 0.0),
            ("roughness", self.roughness.value, self.roughness.value >= 0.0),
            ("rise per length", plain.rise, plain.rise.abs() <= 1.0),
            ("vapour density", plain.vapour_kg_m3, plain.vapour_kg_m3 > 0.0),
            ("liquid density", plain.liquid_kg_m3, plain.liquid_kg_m3 > plain.vapour_kg_m3),
            ("vapour viscosity", plain.vapour_pa_s, plain.vapour_pa_s > 0.0),
            ("liquid viscosity", plain.liquid_pa_s, plain.liquid_pa_s > plain.vapour_pa_s),
            ("surface tension", plain.tension_n_m, plain.tension_n_m > 0.0),
        ])?;
        Ok(plain)
    }
}

/// Friction by two correlations of different descent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrictionDrop {
    /// By Friedel: the one to design with.
    pub friedel: Pressure,
    /// By Müller-Steinhagen and Heck: the second opinion.
    pub mueller_steinhagen_heck: Pressure,
}

/// Pressure drop of friction along a short piece of tube, over which quality and properties hardly change.
///
/// With `dp_lo`, `dp_go` the Darcy-Weisbach drops of the whole mass rate as liquid and as vapour (Colebrook), `x` the quality:
/// - L. Friedel, European Two-Phase Flow Group Meeting, Ispra 1979, form for horizontal and vertical upward flow:
///   `dp = (1-x)^2 dp_lo + x^2 dp_go + 3.24 F H Fr^-0.0454 We^-0.035 dp_lo`, `F = x^0.78 (1-x)^0.224`,
///   `H = (rho_l/rho_g)^0.91 (mu_g/mu_l)^0.19 (1 - mu_g/mu_l)^0.7`, `Fr = G^2/(g D rho^2)`, `We = G^2 D/(sigma rho)` at the
///   homogeneous density `1/rho = x/rho_g + (1-x)/rho_l`. Others print the exponent of `Fr` as 0.045: less than 1 % apart.
/// - H. Müller-Steinhagen and K. Heck, Chem. Eng. Process. 20, 1986, p. 297:
///   `dp = (dp_lo + 2 (dp_go - dp_lo) x) (1-x)^(1/3) + dp_go x^3`.
///
/// Both were read in the source of the library fluids 1.3.1 (`fluids/two_phase.py`), not in the papers. Over 300 random flows
/// of refrigerants the second is 0.64 to 1.61 times the first (nine in ten of them; median 1.04).
///
/// # Validity
/// Friedel: `mu_l/mu_g` up to 1000, bores from 4 mm, mean error about 40 % (notes of the same source); beyond,
/// [`OutsideTwoPhaseFrictionRange`](crate::outcome::Caveat::OutsideTwoPhaseFrictionRange). Downward flow has other constants:
/// [`FallingTwoPhaseFlow`](crate::outcome::Caveat::FallingTwoPhaseFlow). The caveats of the friction factor count for the
/// phases that are there.
///
/// # Errors
/// [`ImpossibleFlow`].
///
/// # Example
/// P. B. Whalley, Boiling, Condensation and Gas-Liquid Flow, example 4, prints 730 Pa/m with the Blasius factor.
/// ```
/// use physics::{two_phase::{Flow, friction_pressure_drop}, units::*};
/// use physics::units::unit::{dynamic_viscosity::pascal_second, length::meter, mass_density::kilogram_per_cubic_meter, mass_rate::kilogram_per_second, pressure::pascal, ratio::ratio, surface_tension::newton_per_meter};
/// let bore = Bore::new(Length::new::<meter>(0.05));
/// let flow = Flow {
///     mass_flux: MassRate::new::<kilogram_per_second>(0.6) / bore.area(),
///     quality: Ratio::new::<ratio>(0.1),
///     bore,
///     roughness: Length::new::<meter>(0.0),
///     rise: Ratio::new::<ratio>(0.0),
///     liquid_density: MassDensity::new::<kilogram_per_cubic_meter>(915.0),
///     vapour_density: MassDensity::new::<kilogram_per_cubic_meter>(2.67),
///     liquid_viscosity: DynamicViscosity::new::<pascal_second>(180e-6),
///     vapour_viscosity: DynamicViscosity::new::<pascal_second>(14e-6),
///     surface_tension: SurfaceTension::new::<newton_per_meter>(0.0487),
/// };
/// let drop = friction_pressure_drop(Length::new::<meter>(1.0), &flow).unwrap().value;
/// assert!((drop.friedel.get::<pascal>() / 730.0 - 1.0).abs() < 0.015);
/// ```
pub fn friction_pressure_drop(length: Length, flow: &Flow) -> Result<Outcome<FrictionDrop>, ImpossibleFlow> {
    let gradients = kernel::friction(&flow.plain()?);
    let over_length = |gradient_pa_m: f64| Pressure::new::<pascal>(gradient_pa_m * length.value);
    Ok(Outcome {
        value: FrictionDrop {
            friedel: over_length(gradients.friedel_pa_m),
            mueller_steinhagen_heck: over_length(gradients.mueller_steinhagen_heck_pa_m),
        },
        method: Method::TwoPhaseFriction,
        caveats: gradients.caveats,
    })
}

/// Which model of the void fraction.
///
/// Each gives the slip ratio `S`, velocity of the vapour over that of the liquid, and
/// `void = x / (x + (1-x) S rho_g/rho_l)`. The first two are the drift-flux model of S. Z. Rouhani and E. Axelsson,
/// Int. J. Heat Mass Transfer 13, 1970, p. 383: `void = (x/rho_g) / (C0 (x/rho_g + (1-x)/rho_l) + v/G)`, `C0 = 1 + c (1-x)`,
/// `v = 1.18 (1-x) (g sigma (rho_l - rho_g))^(1/4) / rho_l^(1/2)`, hence
/// `S = 1 + c (1 - x + x rho_l/rho_g) + 1.18 (g sigma rho_l^2 (rho_l - rho_g))^(1/4) / G`.
/// All were read in the source of the library fluids 1.3.1 (`fluids/two_phase_voidage.py`), not in the papers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VoidModel {
    /// Drift flux with `c` = 0.12, horizontal tube (D. Steiner, VDI Heat Atlas, 1993): the one to design with. Range taken, by
    /// judgement of the refrigerant data that others compared it with (from memory): bore 4 to 50 mm, mass flux 50 to
    /// 2000 kg/(m² s).
    Steiner,
    /// Drift flux with `c` = 0.2, quoted for vertical upward flow; same range. Holds more liquid, so it bounds the static head
    /// of a riser from above.
    RouhaniAxelsson,
    /// `S` = 1: the upper bound of the void fraction in level and rising tube; fair at high mass flux.
    Homogeneous,
    /// `S = (rho_l/rho_g)^(1/3)`, S. M. Zivi, J. Heat Transfer 86, 1964, p. 247: least production of entropy, without regard to
    /// mass flux; made for boiling water.
    Zivi,
}

/// How liquid and vapour share the tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mixture {
    /// Share of the cross-section that is vapour.
    pub void_fraction: Ratio,
    /// Mass per volume of tube, for static head and charge: `void rho_g + (1 - void) rho_l`.
    pub density: MassDensity,
    /// For acceleration: the momentum flux is `G^2 / momentum_density`, where
    /// `1 / momentum_density = x^2/(rho_g void) + (1-x)^2/(rho_l (1 - void))`.
    pub momentum_density: MassDensity,
}

/// Void fraction and the two densities that follow from it.
///
/// # Validity
/// Level and rising tube. [`OutsideVoidRange`](crate::outcome::Caveat::OutsideVoidRange) outside the range of the drift-flux
/// models, [`FallingTwoPhaseFlow`](crate::outcome::Caveat::FallingTwoPhaseFlow) in a tube that falls by more than 1 in 10 (our
/// judgement): there liquid runs ahead of the vapour, and no model here knows it.
///
/// # Errors
/// [`ImpossibleFlow`].
pub fn mixture(flow: &Flow, model: VoidModel) -> Result<Outcome<Mixture>, ImpossibleFlow> {
    let found = kernel::mixture(&flow.plain()?, model);
    Ok(Outcome {
        value: Mixture {
            void_fraction: Ratio::new::<ratio>(found.void_fraction),
            density: MassDensity::new::<kilogram_per_cubic_meter>(found.density_kg_m3),
            momentum_density: MassDensity::new::<kilogram_per_cubic_meter>(found.momentum_density_kg_m3),
        },
        method: match model {
            VoidModel::Steiner => Method::DriftFluxVoid,
            VoidModel::RouhaniAxelsson => Method::VerticalDriftFluxVoid,
            VoidModel::Homogeneous => Method::HomogeneousVoid,
            VoidModel::Zivi => Method::ZiviVoid,
        },
        caveats: found.caveats,
    })
}

/// Which multiplier of a local loss.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LocalModel {
    /// Liquid and vapour well mixed behind the fitting: `B` = 1 of Chisholm. A lower bound for most fittings.
    Homogeneous,
    /// D. Chisholm, Two-Phase Flow in Pipelines and Heat Exchangers, 1983, with his coefficient `B` (all from memory, book not
    /// opened): `1 + 2.2 / (K (2 + R/D))` for a bend of radius `R`, 1.5 for a gate valve, 2.3 for a globe valve.
    Chisholm {
        /// `B`.
        b: Ratio,
    },
}

impl LocalModel {
    fn plain(self) -> Result<(f64, Method), ImpossibleFlow> {
        match self {
            Self::Homogeneous => Ok((1.0, Method::HomogeneousFitting)),
            Self::Chisholm { b } => {
                ImpossibleFlow::unless_all(&[("coefficient B", b.value, b.value > 0.0)])?;
                Ok((b.value, Method::ChisholmFitting))
            }
        }
    }
}

/// Pressure drop of a fitting by the 3-K method.
///
/// `dp = K G^2/(2 rho_l) (1 + (rho_l/rho_g - 1) (B x (1-x) + x^2))`, with `K` at the Reynolds number `G D/mu` of the homogeneous
/// viscosity `1/mu = x/mu_g + (1-x)/mu_l` (W. H. McAdams et al., Trans. ASME 64, 1942), which is that of the single phase at
/// either end. For `B` = 1 it is `K rho v^2/2` at the homogeneous density.
///
/// # Errors
/// [`ImpossibleFlow`].
pub fn fitting_pressure_drop(
    flow: &Flow,
    coefficients: &ThreeK,
    model: LocalModel,
) -> Result<Outcome<Pressure>, ImpossibleFlow> {
    let in_bore = ThreeKInBore::new(coefficients, flow.bore.get().get::<inch>());
    local_drop(flow, model, |plain| in_bore.resistance(plain.homogeneous_reynolds()))
}

/// Pressure drop of a part with a fixed resistance coefficient; otherwise as [`fitting_pressure_drop`].
///
/// # Errors
/// [`ImpossibleFlow`].
pub fn resistance_pressure_drop(
    flow: &Flow,
    coefficient: Ratio,
    model: LocalModel,
) -> Result<Outcome<Pressure>, ImpossibleFlow> {
    local_drop(flow, model, |_| coefficient.value)
}

fn local_drop(
    flow: &Flow,
    model: LocalModel,
    resistance: impl Fn(&kernel::Flow) -> f64,
) -> Result<Outcome<Pressure>, ImpossibleFlow> {
    let plain = flow.plain()?;
    let (b, method) = model.plain()?;
    let drop_pa = kernel::local_drop_pa(&plain, resistance(&plain), b);
    Ok(Outcome { value: Pressure::new::<pascal>(drop_pa), method, caveats: Caveats::default() })
}

pub(crate) mod kernel {
    use super::VoidModel;
    use crate::{
        friction::kernel::darcy_friction_factor,
        outcome::{Caveat, Caveats},
        units::STANDARD_GRAVITY_M_S2,
    };

    /// A flow that can be: [`super::Flow::plain`] says what that means; nothing here looks again.
    #[derive(Clone, Copy, Debug)]
    pub(crate) struct Flow {
        pub(crate) flux_kg_m2_s: f64,
        pub(crate) quality: f64,
        pub(crate) bore_m: f64,
        pub(crate) relative_roughness: f64,
        pub(crate) rise: f64,
        pub(crate) liquid_kg_m3: f64,
        pub(crate) vapour_kg_m3: f64,
        pub(crate) liquid_pa_s: f64,
        pub(crate) vapour_pa_s: f64,
        pub(crate) tension_n_m: f64,
    }

    #[derive(Clone, Copy, Debug)]
    pub(crate) struct Gradients {
        pub(crate) friedel_pa_m: f64,
        pub(crate) mueller_steinhagen_heck_pa_m: f64,
        pub(crate) caveats: Caveats,
    }

    #[derive(Clone, Copy, Debug)]
    pub(crate) struct Mixture {
        pub(crate) void_fraction: f64,
        pub(crate) density_kg_m3: f64,
        pub(crate) momentum_density_kg_m3: f64,
        pub(crate) caveats: Caveats,
    }

    const STEEP_FALL: f64 = -0.1;

    impl Flow {
        pub(crate) fn homogeneous_reynolds(&self) -> f64 {
            self.flux_kg_m2_s
                * self.bore_m
                * (self.quality / self.vapour_pa_s + (1.0 - self.quality) / self.liquid_pa_s)
        }

        pub(crate) fn homogeneous_volume_m3_kg(&self) -> f64 {
            self.quality / self.vapour_kg_m3 + (1.0 - self.quality) / self.liquid_kg_m3
        }

        /// Friction of the whole mass rate as one phase.
        fn alone_pa_m(&self, phase_kg_m3: f64, phase_pa_s: f64) -> (f64, Caveats) {
            let reynolds = self.flux_kg_m2_s * self.bore_m / phase_pa_s;
            let (factor, caveats) = darcy_friction_factor(reynolds, self.relative_roughness);
            (factor * self.flux_kg_m2_s * self.flux_kg_m2_s / (2.0 * self.bore_m * phase_kg_m3), caveats)
        }

        fn falls_steeply(&self) -> bool {
            self.rise < STEEP_FALL
        }
    }

    pub(crate) fn friction(flow: &Flow) -> Gradients {
        let mut caveats = Caveats::default();
        if flow.liquid_pa_s > 1000.0 * flow.vapour_pa_s || flow.bore_m < 0.004 {
            caveats.add(Caveat::OutsideTwoPhaseFrictionRange);
        }
        if flow.falls_steeply() {
            caveats.add(Caveat::FallingTwoPhaseFlow);
        }
        let (x, y) = (flow.quality, 1.0 - flow.quality);
        let (liquid_pa_m, of_liquid) = flow.alone_pa_m(flow.liquid_kg_m3, flow.liquid_pa_s);
        let (vapour_pa_m, of_vapour) = flow.alone_pa_m(flow.vapour_kg_m3, flow.vapour_pa_s);
        if y > 0.0 {
            caveats.merge(of_liquid);
        }
        if x > 0.0 {
            caveats.merge(of_vapour);
        }
        Gradients {
            friedel_pa_m: y * y * liquid_pa_m + x * x * vapour_pa_m + friedel_interaction(flow) * liquid_pa_m,
            mueller_steinhagen_heck_pa_m: (liquid_pa_m + 2.0 * (vapour_pa_m - liquid_pa_m) * x) * y.cbrt()
                + vapour_pa_m * x * x * x,
            caveats,
        }
    }

    /// `3.24 F H Fr^-0.0454 We^-0.035`, summed as logarithms: one `exp` for seven powers, and at either end `ln 0` makes it 0.
    fn friedel_interaction(flow: &Flow) -> f64 {
        let volume = flow.homogeneous_volume_m3_kg();
        let viscosity_ratio = flow.vapour_pa_s / flow.liquid_pa_s;
        let flux_squared = flow.flux_kg_m2_s * flow.flux_kg_m2_s;
        let froude = flux_squared * volume * volume / (STANDARD_GRAVITY_M_S2 * flow.bore_m);
        let weber = flux_squared * flow.bore_m * volume / flow.tension_n_m;
        let f = 0.78 * flow.quality.ln() + 0.224 * (1.0 - flow.quality).ln();
        let h = 0.91 * (flow.liquid_kg_m3 / flow.vapour_kg_m3).ln()
            + 0.19 * viscosity_ratio.ln()
            + 0.7 * (-viscosity_ratio).ln_1p();
        3.24 * (f + h - 0.0454 * froude.ln() - 0.035 * weber.ln()).exp()
    }

    fn slip_ratio(flow: &Flow, model: VoidModel) -> f64 {
        let density_ratio = flow.liquid_kg_m3 / flow.vapour_kg_m3;
        let drift_flux = |c: f64| {
            let buoyancy_kg_m3 = flow.liquid_kg_m3 - flow.vapour_kg_m3;
            let drift_kg_m2_s =
                (STANDARD_GRAVITY_M_S2 * flow.tension_n_m * buoyancy_kg_m3).sqrt() * flow.liquid_kg_m3;
            1.0 + c * (1.0 - flow.quality + flow.quality * density_ratio)
                + 1.18 * drift_kg_m2_s.sqrt() / flow.flux_kg_m2_s
        };
        match model {
            VoidModel::Steiner => drift_flux(0.12),
            VoidModel::RouhaniAxelsson => drift_flux(0.2),
            VoidModel::Homogeneous => 1.0,
            VoidModel::Zivi => density_ratio.cbrt(),
        }
    }

    pub(crate) fn mixture(flow: &Flow, model: VoidModel) -> Mixture {
        let mut caveats = Caveats::default();
        let in_range = (0.004..=0.05).contains(&flow.bore_m) && (50.0..=2000.0).contains(&flow.flux_kg_m2_s);
        if !in_range && matches!(model, VoidModel::Steiner | VoidModel::RouhaniAxelsson) {
            caveats.add(Caveat::OutsideVoidRange);
        }
        if flow.falls_steeply() {
            caveats.add(Caveat::FallingTwoPhaseFlow);
        }
        let (x, y) = (flow.quality, 1.0 - flow.quality);
        let slip = slip_ratio(flow, model);
        // Areas of both in units that leave vapour its quality: nothing is 0/0 where one phase ends.
        let vapour_share = x;
        let liquid_share = y * slip * flow.vapour_kg_m3 / flow.liquid_kg_m3;
        let whole = vapour_share + liquid_share;
        Mixture {
            void_fraction: vapour_share / whole,
            density_kg_m3: (vapour_share * flow.vapour_kg_m3 + liquid_share * flow.liquid_kg_m3) / whole,
            momentum_density_kg_m3: flow.vapour_kg_m3 / (whole * (x + y / slip)),
            caveats,
        }
    }

    pub(crate) fn local_drop_pa(flow: &Flow, resistance: f64, chisholm_b: f64) -> f64 {
        let x = flow.quality;
        let multiplier =
            1.0 + (flow.liquid_kg_m3 / flow.vapour_kg_m3 - 1.0) * (chisholm_b * x * (1.0 - x) + x * x);
        resistance * flow.flux_kg_m2_s * flow.flux_kg_m2_s / (2.0 * flow.liquid_kg_m3) * multiplier
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        friction,
        outcome::Caveat,
        units::{Velocity, unit},
    };
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{
        dynamic_viscosity::pascal_second, length::meter, mass_flux::kilogram_per_square_meter_second,
        surface_tension::newton_per_meter,
    };

    const MODELS: [VoidModel; 4] =
        [VoidModel::Steiner, VoidModel::RouhaniAxelsson, VoidModel::Homogeneous, VoidModel::Zivi];
    const ELBOW: ThreeK = ThreeK { k1: 800.0, k_infinity: 0.14, kd: 4.0 };

    /// Rounded values of R-134a at 40 °C in a 16.9 mm bore.
    const TUBE: kernel::Flow = kernel::Flow {
        flux_kg_m2_s: 300.0,
        quality: 0.3,
        bore_m: 0.0169,
        relative_roughness: 1.5e-6 / 0.0169,
        rise: 0.0,
        liquid_kg_m3: 1147.0,
        vapour_kg_m3: 50.0,
        liquid_pa_s: 161e-6,
        vapour_pa_s: 12.4e-6,
        tension_n_m: 0.0061,
    };

    fn quantities(plain: kernel::Flow) -> Flow {
        Flow {
            mass_flux: MassFlux::new::<kilogram_per_square_meter_second>(plain.flux_kg_m2_s),
            quality: Ratio::new::<ratio>(plain.quality),
            bore: Bore::new(Length::new::<meter>(plain.bore_m)),
            roughness: Length::new::<meter>(plain.relative_roughness * plain.bore_m),
            rise: Ratio::new::<ratio>(plain.rise),
            liquid_density: MassDensity::new::<kilogram_per_cubic_meter>(plain.liquid_kg_m3),
            vapour_density: MassDensity::new::<kilogram_per_cubic_meter>(plain.vapour_kg_m3),
            liquid_viscosity: DynamicViscosity::new::<pascal_second>(plain.liquid_pa_s),
            vapour_viscosity: DynamicViscosity::new::<pascal_second>(plain.vapour_pa_s),
            surface_tension: SurfaceTension::new::<newton_per_meter>(plain.tension_n_m),
        }
    }

    prop_compose! {
        /// Refrigerants between -30 and 60 °C in the tubes of the trade, quality 0.
        fn any_flow()(
            flux_kg_m2_s in 30.0..1500.0_f64, bore_m in 0.0045..0.055_f64, roughness_m in 0.0..5e-6_f64,
            liquid_kg_m3 in 700.0..1400.0_f64, vapour_kg_m3 in 2.0..150.0_f64,
            liquid_pa_s in 60e-6..400e-6_f64, vapour_pa_s in 9e-6..16e-6_f64, tension_n_m in 0.001..0.02_f64,
        ) -> kernel::Flow {
            kernel::Flow {
                flux_kg_m2_s, quality: 0.0, bore_m, relative_roughness: roughness_m / bore_m, rise: 0.0,
                liquid_kg_m3, vapour_kg_m3, liquid_pa_s, vapour_pa_s, tension_n_m,
            }
        }
    }

    fn at(flow: &kernel::Flow, quality: f64) -> kernel::Flow {
        kernel::Flow { quality, ..*flow }
    }

    proptest! {
        #[test]
        fn the_ends_are_the_laws_of_one_phase(flow in any_flow()) {
            for (quality, rho, mu) in
                [(0.0, flow.liquid_kg_m3, flow.liquid_pa_s), (1.0, flow.vapour_kg_m3, flow.vapour_pa_s)]
            {
                let plain = at(&flow, quality);
                let flow = quantities(plain);
                let density = MassDensity::new::<kilogram_per_cubic_meter>(rho);
                let velocity: Velocity = flow.mass_flux / density;
                let reynolds = Ratio::new::<ratio>(plain.flux_kg_m2_s * plain.bore_m / mu);
                let one_metre = Length::new::<meter>(1.0);
                let single = friction::friction_pressure_drop(one_metre, flow.bore, flow.roughness, density, velocity, reynolds);
                let found = friction_pressure_drop(one_metre, &flow).unwrap();
                assert_relative_eq!(found.value.friedel.value, single.value.value, max_relative = 1e-12);
                assert_relative_eq!(found.value.mueller_steinhagen_heck.value, single.value.value, max_relative = 1e-12);
                prop_assert_eq!(found.caveats, single.caveats);
                for model in MODELS {
                    let found = mixture(&flow, model).unwrap().value;
                    prop_assert_eq!(found.void_fraction.value, quality);
                    assert_relative_eq!(found.density.value, rho, max_relative = 1e-12);
                    assert_relative_eq!(found.momentum_density.value, rho, max_relative = 1e-12);
                }
                let local = ELBOW.resistance(reynolds, flow.bore).value * rho * velocity.value * velocity.value / 2.0;
                for model in [LocalModel::Homogeneous, LocalModel::Chisholm { b: Ratio::new::<ratio>(2.3) }] {
                    let found = fitting_pressure_drop(&flow, &ELBOW, model).unwrap().value;
                    assert_relative_eq!(found.value, local, max_relative = 1e-12);
                }
            }
        }

        /// `x^0.78` and `(1-x)^(1/3)` start with an upright tangent: near the ends the gradient is continuous, but not to 1 %
        /// in steps of 1e-3. There the steps shrink with the distance instead.
        #[test]
        fn friction_is_positive_and_has_no_jump(flow in any_flow(), quality in 0.1..0.9_f64, small in 1e-12..1e-6_f64) {
            let both = |quality| {
                let found = kernel::friction(&at(&flow, quality));
                [found.friedel_pa_m, found.mueller_steinhagen_heck_pa_m]
            };
            for (here, next) in both(quality).into_iter().zip(both(quality + 1e-3)) {
                prop_assert!(here > 0.0 && (next / here - 1.0).abs() < 0.01, "{here} {next}");
            }
            for (end, inside) in [(0.0, small), (1.0, 1.0 - small)] {
                for (here, next) in both(end).into_iter().zip(both(inside)) {
                    // The liquid's share at quality 1 goes with (1-x)^0.224: 0.05 of it is left 1e-6 off.
                    let slope = if end == 0.0 { 3e4 * small.powf(0.78) } else { 30.0 * small.powf(0.224) };
                    prop_assert!((next / here - 1.0).abs() < slope, "{end} {small:e}: {here} {next}");
                }
            }
        }

        #[test]
        fn void_fraction_rises_with_quality(flow in any_flow(), quality in 0.0..0.999_f64) {
            for model in MODELS {
                let void = |quality| kernel::mixture(&at(&flow, quality), model).void_fraction;
                prop_assert!(void(quality) >= 0.0 && void(quality + 1e-3) > void(quality) && void(quality + 1e-3) <= 1.0);
            }
        }

        /// Slip is 1 or more in every model, and the vertical form slips more than the horizontal one.
        #[test]
        fn no_model_is_above_the_homogeneous(flow in any_flow(), quality in 0.0..1.0_f64) {
            let void = |model| kernel::mixture(&at(&flow, quality), model).void_fraction;
            for model in MODELS {
                prop_assert!(void(model) <= void(VoidModel::Homogeneous));
            }
            prop_assert!(void(VoidModel::RouhaniAxelsson) <= void(VoidModel::Steiner));
        }

        /// Momentum density as its definition has it; the kernel uses a form that stands the ends.
        #[test]
        fn densities_are_those_of_their_definition(flow in any_flow(), x in 0.001..0.999_f64) {
            for model in MODELS {
                let found = kernel::mixture(&at(&flow, x), model);
                let (void, rho_l, rho_g) = (found.void_fraction, flow.liquid_kg_m3, flow.vapour_kg_m3);
                prop_assert!(found.density_kg_m3 > rho_g && found.density_kg_m3 < rho_l);
                assert_relative_eq!(found.density_kg_m3, void * rho_g + (1.0 - void) * rho_l, max_relative = 1e-9);
                let volume = x * x / (rho_g * void) + (1.0 - x) * (1.0 - x) / (rho_l * (1.0 - void));
                assert_relative_eq!(found.momentum_density_kg_m3, 1.0 / volume, max_relative = 1e-9);
                if model == VoidModel::Homogeneous {
                    assert_relative_eq!(found.density_kg_m3, found.momentum_density_kg_m3, max_relative = 1e-9);
                }
            }
        }

        #[test]
        fn fitting_is_never_below_its_liquid_and_rises_with_b(flow in any_flow(), x in 0.001..0.999_f64, b in 1.0..4.0_f64) {
            let flow = quantities(at(&flow, x));
            let drop = |model| resistance_pressure_drop(&flow, Ratio::new::<ratio>(1.0), model).unwrap().value.value;
            let liquid = flow.mass_flux.value.powi(2) / (2.0 * flow.liquid_density.value);
            prop_assert!(drop(LocalModel::Homogeneous) > liquid);
            // `B x (1-x) + x^2` is `x` at `B` = 1.
            let volume = x / flow.vapour_density.value + (1.0 - x) / flow.liquid_density.value;
            assert_relative_eq!(drop(LocalModel::Homogeneous), flow.mass_flux.value.powi(2) * volume / 2.0, max_relative = 1e-12);
            let with_b = drop(LocalModel::Chisholm { b: Ratio::new::<ratio>(b) });
            prop_assert!(with_b >= drop(LocalModel::Homogeneous) * (1.0 - 1e-12));
        }
    }

    #[test]
    fn caveats_say_what_leaves_its_range() {
        let friction = |plain| kernel::friction(&plain).caveats;
        let void = |plain, model| kernel::mixture(&plain, model).caveats;
        assert_eq!(friction(TUBE), Caveats::default());
        assert_eq!(void(TUBE, VoidModel::Steiner), Caveats::default());
        let narrow = kernel::Flow { bore_m: 0.0039, ..TUBE };
        assert!(friction(narrow).has(Caveat::OutsideTwoPhaseFrictionRange));
        assert!(void(narrow, VoidModel::RouhaniAxelsson).has(Caveat::OutsideVoidRange));
        assert_eq!(void(narrow, VoidModel::Homogeneous), Caveats::default());
        let syrup = kernel::Flow { liquid_pa_s: 0.0125, ..TUBE };
        assert!(friction(syrup).has(Caveat::OutsideTwoPhaseFrictionRange));
        assert!(friction(syrup).has(Caveat::LaminarFlow));
        for flux_kg_m2_s in [49.0, 2001.0] {
            assert!(
                void(kernel::Flow { flux_kg_m2_s, ..TUBE }, VoidModel::Steiner).has(Caveat::OutsideVoidRange)
            );
        }
        let falling = kernel::Flow { rise: -1.0, ..TUBE };
        assert!(friction(falling).has(Caveat::FallingTwoPhaseFlow));
        assert!(void(falling, VoidModel::Zivi).has(Caveat::FallingTwoPhaseFlow));
        // A level line laid to fall 1 in 100 is level flow still.
        assert_eq!(friction(kernel::Flow { rise: -0.01, ..TUBE }), Caveats::default());
    }

    #[test]
    fn what_can_not_be_is_refused() {
        let what = |plain: kernel::Flow| {
            mixture(&quantities(plain), VoidModel::Steiner).map_err(|refusal| refusal.what).unwrap_err()
        };
        assert_eq!(what(kernel::Flow { flux_kg_m2_s: 0.0, ..TUBE }), "mass flux");
        assert_eq!(what(kernel::Flow { flux_kg_m2_s: f64::INFINITY, ..TUBE }), "mass flux");
        assert_eq!(what(kernel::Flow { quality: 1.01, ..TUBE }), "quality");
        assert_eq!(what(kernel::Flow { quality: f64::NAN, ..TUBE }), "quality");
        assert_eq!(what(kernel::Flow { rise: 1.5, ..TUBE }), "rise per length");
        assert_eq!(what(kernel::Flow { liquid_kg_m3: 50.0, ..TUBE }), "liquid density");
        assert_eq!(what(kernel::Flow { liquid_pa_s: 12e-6, ..TUBE }), "liquid viscosity");
        assert_eq!(what(kernel::Flow { tension_n_m: 0.0, ..TUBE }), "surface tension");
        let refusal = resistance_pressure_drop(
            &quantities(TUBE),
            Ratio::new::<ratio>(1.0),
            LocalModel::Chisholm { b: Ratio::new::<ratio>(-1.0) },
        );
        assert_eq!(refusal.unwrap_err().what, "coefficient B");
    }

    #[test]
    fn mass_flux_is_mass_rate_over_the_bore() {
        use unit::mass_rate::kilogram_per_second;
        let bore = Bore::new(Length::new::<meter>(0.05));
        let flux = crate::units::MassRate::new::<kilogram_per_second>(0.6) / bore.area();
        let same: MassFlux = flux;
        assert_relative_eq!(same.value, 0.6 / (std::f64::consts::FRAC_PI_4 * 0.0025), max_relative = 1e-12);
    }
}
