//! What flows at a place along a line: one phase or two, and what the momentum balance needs of it.

use crate::{
    fluid::{Ends, OutsideRange, Phase, Refrigerant, Region, State},
    friction,
    outcome::Caveats,
    two_phase::{VoidModel, kernel as two_phase},
    uncertainty::Factors,
    units::{
        AbsolutePressure, BubbleTemperature, MassDensity, Ratio, SpecificEnthalpy, ThermodynamicTemperature,
    },
};
use uom::si::{
    available_energy::joule_per_kilogram, mass_density::kilogram_per_cubic_meter, ratio::ratio,
    thermodynamic_temperature::kelvin,
};

/// What fills the tube at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Flow {
    /// Liquid alone.
    Liquid,
    /// Liquid and vapour in equilibrium.
    TwoPhase {
        /// Vapour as a share of the mass rate.
        quality: Ratio,
        /// Vapour as a share of the tube's section.
        void_fraction: Ratio,
    },
    /// Vapour alone.
    Vapour,
}

/// State of what flows at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Local {
    /// Phases.
    pub flow: Flow,
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// Enthalpy.
    pub enthalpy: SpecificEnthalpy,
    /// Density of what fills the tube: by the void fraction where two phases flow.
    pub density: MassDensity,
}

impl From<State> for Local {
    fn from(state: State) -> Self {
        let flow = match state.phase {
            Phase::Liquid => Flow::Liquid,
            Phase::Vapour => Flow::Vapour,
        };
        let State { pressure, temperature, enthalpy, density, .. } = state;
        Self { flow, pressure, temperature, enthalpy, density }
    }
}

/// How far a state may lie across a saturation line and still count as on it: K of superheat or subcooling, and the
/// share of the latent heat that corresponds to it. Wide enough that rounding can not throw a state to and fro.
const ON_LINE_K: f64 = 1e-4;
const ON_LINE_SHARE: f64 = 1e-6;
/// Kelvin that count as one unit of share where distances to a boundary are compared.
const KELVIN_PER_SHARE: f64 = 100.0;

/// The kind of flow that a stretch is computed with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Single(Phase),
    TwoPhase,
}

/// Why a place could not be evaluated with the kind of flow of its stretch.
pub(super) enum Elsewhere {
    /// It lies in another kind, this far beyond the boundary (K, or share in like units).
    Boundary { to: Kind, beyond: f64 },
    /// It lies outside the data.
    Outside(OutsideRange),
}

/// A place as numbers. Densities and viscosities carry the doubts of the line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) pressure_pa: f64,
    pub(super) enthalpy_j_kg: f64,
    pub(super) temperature_k: f64,
    /// Weighs on the line and fills it.
    pub(super) density_kg_m3: f64,
    /// The momentum flux is the square of the mass flux times this: the specific volume where one phase flows.
    pub(super) momentum_m3_kg: f64,
    pub(super) flow: PlaceFlow,
    pub(super) caveats: Caveats,
}

#[derive(Clone, Copy, Debug)]
pub(super) enum PlaceFlow {
    Single { phase: Phase, viscosity_pa_s: f64, distance_k: f64 },
    TwoPhase { plain: two_phase::Flow, void_fraction: f64 },
}

/// What a stretch of a line is evaluated with.
#[derive(Clone, Copy)]
pub(super) struct Stretch<'a> {
    pub(super) fluid: &'a dyn Refrigerant,
    pub(super) factors: &'a Factors,
    pub(super) flux_kg_m2_s: f64,
    pub(super) bore_m: f64,
    pub(super) relative_roughness: f64,
    /// Height gained per length.
    pub(super) climb: f64,
}

impl Stretch<'_> {
    /// Evaluates a place with one kind of flow.
    pub(super) fn place(&self, kind: Kind, pressure_pa: f64, enthalpy_j_kg: f64) -> Result<Place, Elsewhere> {
        let pressure = AbsolutePressure::from_pascal(pressure_pa);
        let enthalpy = SpecificEnthalpy::new::<joule_per_kilogram>(enthalpy_j_kg);
        match kind {
            Kind::Single(phase) => self.single(phase, pressure, enthalpy),
            Kind::TwoPhase => self.two_phase(pressure, enthalpy),
        }
    }

    fn single(
        &self,
        phase: Phase,
        pressure: AbsolutePressure,
        enthalpy: SpecificEnthalpy,
    ) -> Result<Place, Elsewhere> {
        let found = match phase {
            Phase::Liquid => self.fluid.liquid(pressure, enthalpy),
            Phase::Vapour => self.fluid.vapour(pressure, enthalpy),
        };
        let state = found.or_else(|refusal| {
            let beyond_k = -refusal.value;
            match refusal.region {
                Region::Superheat | Region::Subcooling if beyond_k > ON_LINE_K => {
                    Err(Elsewhere::Boundary { to: Kind::TwoPhase, beyond: beyond_k })
                }
                Region::Superheat | Region::Subcooling if beyond_k > 0.0 => {
                    let ends = self.fluid.ends(pressure).map_err(Elsewhere::Outside)?;
                    let end = if phase == Phase::Liquid { ends.bubble } else { ends.dew };
                    Ok(State { enthalpy, ..end })
                }
                _ => Err(Elsewhere::Outside(refusal)),
            }
        })?;
        Ok(self.of_one_phase(&state))
    }

    /// The place of a state that was looked up already.
    pub(super) fn of_one_phase(&self, state: &State) -> Place {
        let density_kg_m3 = state.density.value * self.factors.density;
        Place {
            pressure_pa: state.pressure.pascal(),
            enthalpy_j_kg: state.enthalpy.value,
            temperature_k: state.temperature.value,
            density_kg_m3,
            momentum_m3_kg: 1.0 / density_kg_m3,
            caveats: Caveats::default(),
            flow: PlaceFlow::Single {
                phase: state.phase,
                viscosity_pa_s: state.viscosity.value * self.factors.viscosity,
                distance_k: state.saturation_distance.value,
            },
        }
    }

    fn two_phase(&self, pressure: AbsolutePressure, enthalpy: SpecificEnthalpy) -> Result<Place, Elsewhere> {
        let found = self.fluid.two_phase(pressure, enthalpy).or_else(|refusal| {
            let boundary = |phase, beyond: f64| Elsewhere::Boundary {
                to: Kind::Single(phase),
                beyond: beyond * KELVIN_PER_SHARE,
            };
            match refusal.region {
                Region::Quality if refusal.value < -ON_LINE_SHARE => {
                    Err(boundary(Phase::Liquid, -refusal.value))
                }
                Region::Quality if refusal.value > 1.0 + ON_LINE_SHARE => {
                    Err(boundary(Phase::Vapour, refusal.value - 1.0))
                }
                Region::Quality => self
                    .fluid
                    .ends(pressure)
                    .and_then(|Ends { bubble, dew }| {
                        let inside = enthalpy.max(bubble.enthalpy).min(dew.enthalpy);
                        self.fluid.two_phase(pressure, inside)
                    })
                    .map_err(Elsewhere::Outside),
                _ => Err(Elsewhere::Outside(refusal)),
            }
        })?;
        let (bubble, dew) = (found.ends.bubble, found.ends.dew);
        let tension = self
            .fluid
            .surface_tension(BubbleTemperature::new(bubble.temperature))
            .map_err(Elsewhere::Outside)?;
        let factors = self.factors;
        let plain = two_phase::Flow {
            flux_kg_m2_s: self.flux_kg_m2_s,
            quality: found.quality.get::<ratio>(),
            bore_m: self.bore_m,
            relative_roughness: self.relative_roughness,
            rise: self.climb,
            liquid_kg_m3: bubble.density.value * factors.density,
            vapour_kg_m3: dew.density.value * factors.density,
            liquid_pa_s: bubble.viscosity.value * factors.viscosity,
            vapour_pa_s: dew.viscosity.value * factors.viscosity,
            tension_n_m: tension.value,
        };
        // Drift without flow would fill the tube with liquid; what stands still is as it was let in.
        let model = if self.flux_kg_m2_s > 0.0 { VoidModel::Steiner } else { VoidModel::Homogeneous };
        let mixture = two_phase::mixture(&plain, model);
        Ok(Place {
            pressure_pa: pressure.pascal(),
            enthalpy_j_kg: enthalpy.value,
            temperature_k: found.temperature.value,
            density_kg_m3: mixture.density_kg_m3,
            momentum_m3_kg: 1.0 / mixture.momentum_density_kg_m3,
            flow: PlaceFlow::TwoPhase { plain, void_fraction: mixture.void_fraction },
            caveats: mixture.caveats,
        })
    }

    /// Friction of straight tube, Pa/m.
    pub(super) fn friction_pa_m(&self, place: &Place) -> (f64, Caveats) {
        if self.flux_kg_m2_s == 0.0 {
            return (0.0, Caveats::default());
        }
        let (plain_pa_m, mut caveats) = match &place.flow {
            PlaceFlow::Single { viscosity_pa_s, .. } => {
                let reynolds = self.flux_kg_m2_s * self.bore_m / viscosity_pa_s;
                let (factor, caveats) =
                    friction::kernel::darcy_friction_factor(reynolds, self.relative_roughness);
                let dynamic_pa = 0.5 * self.flux_kg_m2_s * self.flux_kg_m2_s * place.momentum_m3_kg;
                (factor * dynamic_pa / self.bore_m, caveats)
            }
            PlaceFlow::TwoPhase { plain, .. } => {
                let gradients = two_phase::friction(plain);
                (gradients.friedel_pa_m, gradients.caveats)
            }
        };
        caveats.merge(place.caveats);
        (self.factors.friction * plain_pa_m, caveats)
    }

    /// Reynolds number; of two phases at their homogeneous viscosity.
    pub(super) fn reynolds(&self, place: &Place) -> f64 {
        match &place.flow {
            PlaceFlow::Single { viscosity_pa_s, .. } => self.flux_kg_m2_s * self.bore_m / viscosity_pa_s,
            PlaceFlow::TwoPhase { plain, .. } => plain.homogeneous_reynolds(),
        }
    }

    /// What a fitting of resistance `coefficient` takes, Pa, at the volume of the place.
    pub(super) fn resistance_pa(&self, place: &Place, coefficient: f64) -> f64 {
        self.factors.friction
            * match &place.flow {
                PlaceFlow::Single { .. } => {
                    0.5 * coefficient * self.flux_kg_m2_s * self.flux_kg_m2_s * place.momentum_m3_kg
                }
                PlaceFlow::TwoPhase { plain, .. } => two_phase::local_drop_pa(plain, coefficient, 1.0),
            }
    }

    /// Mean velocity, m/s; of two phases as if they flowed together.
    pub(super) fn velocity_m_s(&self, place: &Place) -> f64 {
        let volume_m3_kg = match &place.flow {
            PlaceFlow::Single { .. } => place.momentum_m3_kg,
            PlaceFlow::TwoPhase { plain, .. } => plain.homogeneous_volume_m3_kg(),
        };
        self.flux_kg_m2_s * volume_m3_kg
    }

    /// How the momentum volume changes with pressure and enthalpy, by differences.
    pub(super) fn stretchiness(&self, kind: Kind, place: &Place) -> Stretchiness {
        // Towards lower pressure and higher enthalpy vapour stays vapour; the other way where that leaves the region.
        let beside = |by_pa: f64, by_j_kg: f64| {
            let at = |sign: f64| {
                self.place(kind, place.pressure_pa + sign * by_pa, place.enthalpy_j_kg + sign * by_j_kg)
                    .map(|other| (other.momentum_m3_kg - place.momentum_m3_kg) * sign)
            };
            at(1.0).or_else(|_| at(-1.0)).unwrap_or(0.0)
        };
        let (step_pa, step_j_kg) = (1e-4 * place.pressure_pa, 50.0);
        Stretchiness {
            per_pressure: beside(-step_pa, 0.0) / step_pa * place.pressure_pa / place.momentum_m3_kg,
            per_enthalpy: beside(0.0, step_j_kg) / step_j_kg / place.momentum_m3_kg,
        }
    }

    /// What is left before the other phase begins, K; negative by what is lacking where two phases flow.
    pub(super) fn phase_margin_k(&self, inlet: Phase, place: &Place) -> f64 {
        if let PlaceFlow::Single { phase, distance_k, .. } = place.flow
            && phase == inlet
        {
            return distance_k;
        }
        let pressure = AbsolutePressure::from_pascal(place.pressure_pa);
        let lacking = self.fluid.ends(pressure).and_then(|ends| {
            let (end, sense) = match inlet {
                Phase::Liquid => (ends.bubble, 1.0),
                Phase::Vapour => (ends.dew, -1.0),
            };
            let capacity = self.fluid.thermal(&end)?.heat_capacity.value;
            Ok(sense * (end.enthalpy.value - place.enthalpy_j_kg) / capacity)
        });
        lacking.unwrap_or(f64::NAN)
    }
}

/// Relative change of specific volume, made dimensionless by the pressure (`-(p/v) dv/dp`, 1 for an ideal gas), and per
/// J/kg of enthalpy.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Stretchiness {
    pub(super) per_pressure: f64,
    pub(super) per_enthalpy: f64,
}

impl Place {
    pub(super) fn kind(&self) -> Kind {
        match self.flow {
            PlaceFlow::Single { phase, .. } => Kind::Single(phase),
            PlaceFlow::TwoPhase { .. } => Kind::TwoPhase,
        }
    }

    /// Distance to the boundary with another kind, in the measure of [`Elsewhere::Boundary`].
    pub(super) fn distance_to(&self, fluid: &dyn Refrigerant, to: Kind) -> f64 {
        match self.flow {
            PlaceFlow::Single { distance_k, .. } => distance_k,
            PlaceFlow::TwoPhase { .. } => {
                let ends = fluid.ends(AbsolutePressure::from_pascal(self.pressure_pa));
                let share = ends.map_or(0.5, |ends| {
                    (self.enthalpy_j_kg - ends.bubble.enthalpy.value)
                        / (ends.dew.enthalpy - ends.bubble.enthalpy).value
                });
                KELVIN_PER_SHARE * if to == Kind::Single(Phase::Liquid) { share } else { 1.0 - share }
            }
        }
    }

    /// Density of the gas that flows here and its share of the mass rate; none where liquid flows alone.
    pub(super) fn gas(&self) -> Option<(f64, f64)> {
        match &self.flow {
            PlaceFlow::Single { phase: Phase::Liquid, .. } => None,
            PlaceFlow::Single { phase: Phase::Vapour, .. } => Some((self.density_kg_m3, 1.0)),
            PlaceFlow::TwoPhase { plain, .. } => Some((plain.vapour_kg_m3, plain.quality)),
        }
    }

    pub(super) fn local(&self) -> Local {
        let flow = match self.flow {
            PlaceFlow::Single { phase: Phase::Liquid, .. } => Flow::Liquid,
            PlaceFlow::Single { phase: Phase::Vapour, .. } => Flow::Vapour,
            PlaceFlow::TwoPhase { plain, void_fraction } => Flow::TwoPhase {
                quality: Ratio::new::<ratio>(plain.quality),
                void_fraction: Ratio::new::<ratio>(void_fraction),
            },
        };
        Local {
            flow,
            pressure: AbsolutePressure::from_pascal(self.pressure_pa),
            temperature: ThermodynamicTemperature::new::<kelvin>(self.temperature_k),
            enthalpy: SpecificEnthalpy::new::<joule_per_kilogram>(self.enthalpy_j_kg),
            density: MassDensity::new::<kilogram_per_cubic_meter>(self.density_kg_m3),
        }
    }
}
