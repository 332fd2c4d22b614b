//! The march: pressure and enthalpy along a line, from its inlet to its outlet.

use super::{
    Element, Line,
    local::{Elsewhere, Kind, Local, Place, Stretch, Stretchiness},
};
use crate::{
    fittings::{equivalent_length, kernel::ThreeKInBore},
    fluid::{OutsideRange, Phase, Refrigerant, Region, State},
    friction,
    heat::Linear,
    outcome::{Caveat, Caveats, Method, NEAR_CRITICAL_K, Outcome},
    units::{
        AbsolutePressure, EquivalentLength, Length, Mass, MassDensity, MassRate, Power, Pressure, Ratio,
        STANDARD_GRAVITY_M_S2, SpecificEnthalpy, TemperatureInterval, Velocity,
    },
};
use thiserror::Error;
use uom::si::{
    length::inch, length::meter, mass::kilogram, mass_density::kilogram_per_cubic_meter, power::watt,
    pressure::pascal, ratio::ratio, temperature_interval::kelvin as kelvin_interval,
    thermodynamic_temperature::kelvin, velocity::meter_per_second,
};

/// What enters a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Inlet {
    /// Phase.
    pub phase: Phase,
    /// Pressure at the inlet.
    pub pressure: AbsolutePressure,
    /// Enthalpy at the inlet.
    pub enthalpy: SpecificEnthalpy,
    /// Mass rate.
    pub mass_rate: MassRate,
}

impl Inlet {
    /// The state that enters.
    ///
    /// # Errors
    /// [`OutsideRange`] where it lies outside the property data or in another phase.
    pub fn state(&self, fluid: &dyn Refrigerant) -> Result<State, OutsideRange> {
        match self.phase {
            Phase::Vapour => fluid.vapour(self.pressure, self.enthalpy),
            Phase::Liquid => fluid.liquid(self.pressure, self.enthalpy),
        }
    }
}

/// Accuracy asked of the march.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// Error admitted in one step, as a share of the pressure; a thousand times as much of the step's own change of
    /// pressure comes on top, and ten times as much is admitted where two phases flow.
    pub step: Ratio,
}

impl Tolerance {
    /// The least that can be asked for: below, steps shrink into the rounding of a pressure.
    pub const FINEST: f64 = 1e-12;
}

impl Default for Tolerance {
    /// 1e-7 of the pressure a step: about 1e-5 of the drop of an ordinary line.
    fn default() -> Self {
        Self { step: Ratio::new::<ratio>(1e-7) }
    }
}

/// A place along the line, reported to the observer: the inlet, then the end of every step, fitting and group of like fittings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// Index of the element that ends here (the first element for the inlet).
    pub element: usize,
    /// Distance from the inlet along the tube.
    pub position: Length,
    /// Height above the inlet.
    pub height: Length,
    /// What flows here.
    pub local: Local,
    /// Mean velocity; where two phases flow, as if they flowed together.
    pub velocity: Velocity,
    /// What is left before the other phase appears: bubble temperature less liquid temperature for what entered as liquid,
    /// vapour temperature less dew temperature for what entered as vapour. Beyond, negative: the enthalpy that is lacking,
    /// by the heat capacity at saturation.
    pub phase_margin: TemperatureInterval,
    /// Heat taken up from the surroundings since the inlet.
    pub heat: Power,
}

/// Where the flow turned from one kind into another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PhaseChange {
    /// Distance from the inlet along the tube.
    pub position: Length,
    /// Index of the element in which it happened.
    pub element: usize,
    /// What flows from there on.
    pub into: Stream,
    /// Whether the tube rises there.
    pub rising: bool,
}

/// A kind of flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stream {
    /// Liquid alone.
    Liquid,
    /// Liquid and vapour in equilibrium.
    TwoPhase,
    /// Vapour alone.
    Vapour,
}

impl From<Kind> for Stream {
    fn from(kind: Kind) -> Self {
        match kind {
            Kind::Single(Phase::Liquid) => Self::Liquid,
            Kind::Single(Phase::Vapour) => Self::Vapour,
            Kind::TwoPhase => Self::TwoPhase,
        }
    }
}

/// Changes of the flow that an outlet reports; later ones are counted only.
pub const PHASE_CHANGES_KEPT: usize = 4;

/// What leaves a line, and what was met on the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outlet {
    /// State at the inlet.
    pub inlet: State,
    /// What leaves.
    pub outlet: Local,
    /// Inlet less outlet pressure: friction, fittings, height and acceleration.
    pub pressure_drop: Pressure,
    /// Share of friction in straight tube.
    pub friction_drop: Pressure,
    /// Share of fittings and fixed resistances.
    pub fittings_drop: Pressure,
    /// Share of height: positive where the outlet is higher.
    pub static_drop: Pressure,
    /// Share of acceleration: positive where the flow leaves faster than it enters.
    pub acceleration_drop: Pressure,
    /// Heat taken up from the surroundings; negative where it is given off.
    pub heat: Power,
    /// Greatest velocity.
    pub velocity_max: Velocity,
    /// Refrigerant held by the line.
    pub charge: Mass,
    /// Least phase margin along the line.
    pub least_phase_margin: TemperatureInterval,
    /// Where the other phase begins.
    pub saturation_reached_at: Option<Length>,
    /// The changes of the flow, in order: the first [`PHASE_CHANGES_KEPT`].
    pub phase_changes: [Option<PhaseChange>; PHASE_CHANGES_KEPT],
    /// Run plus fittings expressed as tube, at the inlet's friction factor.
    pub equivalent_length: EquivalentLength,
    /// The gas in the riser that carries oil worst; none without a rising leg in which gas flows.
    pub riser: Option<RiserGas>,
}

/// The gas at the end of a rising leg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RiserGas {
    /// Its density.
    pub density: MassDensity,
    /// Its share of the mass rate: below 1 where some of it has condensed, or liquid has flashed.
    pub share: Ratio,
}

/// Why a march found no outlet.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum MarchError {
    /// A state left the property data.
    #[error("{position_m:.2} m from the inlet: {source}")]
    Property {
        /// Distance from the inlet, m.
        position_m: f64,
        /// The refusal.
        source: OutsideRange,
    },
    /// Friction used up the pressure: none is left, or the flow has all but reached the speed of sound, beyond which no steady
    /// flow in a tube exists.
    #[error("the pressure is used up {position_m:.2} m from the inlet")]
    PressureUsedUp {
        /// Distance from the inlet, m.
        position_m: f64,
    },
    /// The flow changes over lengths that no step resolves: exchange far beyond that of any tube, or next to no flow in it.
    #[error("the flow changes too fast to be followed {position_m:.2} m from the inlet")]
    TooSteep {
        /// Distance from the inlet, m.
        position_m: f64,
    },
    /// No inlet pressure was found that gives the outlet pressure asked for.
    #[error("no inlet pressure gives the outlet pressure asked for")]
    NoInletPressure,
    /// A bore, roughness, length, rise, mass rate, exchange or tolerance that can not be.
    #[error("{what} of {value} can not be marched")]
    Geometry {
        /// What it is.
        what: &'static str,
        /// Its value in SI.
        value: f64,
    },
}

/// Marches from the inlet to the outlet.
///
/// Momentum and energy along each leg, with the mass flux `G` and the momentum volume `v` (the specific volume of one
/// phase): `dp/ds = -F - rho g dz/ds - G^2 dv/ds` and `dh/ds = q'/m - g dz/ds - G^2 v dv/ds`, solved for both slopes with
/// `dv = (dv/dp) dp + (dv/dh) dh`, by the embedded Runge-Kutta pair 3(2) of P. Bogacki and L. F. Shampine, Appl. Math.
/// Letters 2 (1989), p. 321, with steps chosen for `tolerance`. `F` is Darcy-Weisbach friction with the Colebrook factor; of
/// two phases that of Friedel ([`crate::two_phase`]). `q'` is nothing here; see [`march_with_heat`]. A fitting takes
/// `K rho v^2 / 2`, K by the 3-K method, at the mean volume across it; a check valve at least its cracking pressure. Charge is
/// `rho A ds`, summed with the same formula.
///
/// Liquid that reaches its bubble line and vapour that reaches its dew line go on as two-phase flow (phases in equilibrium,
/// void fraction by the drift-flux model of [`crate::two_phase::VoidModel::Steiner`]), and as one phase again where they get
/// there.
///
/// # Validity
/// Steady flow; the caveats of the outcome say where a correlation leaves its range.
///
/// # Errors
/// [`MarchError`]: a state outside the property data, or the pressure used up.
pub fn march(
    fluid: &dyn Refrigerant,
    line: &Line,
    inlet: Inlet,
    tolerance: Tolerance,
    observe: &mut dyn FnMut(&Station),
) -> Result<Outcome<Outlet>, MarchError> {
    march_with_heat(fluid, line, &[], inlet, tolerance, observe)
}

/// [`march`] with heat exchange: `exchanges` holds what each leg exchanges, in the order of the legs; a leg beyond its end
/// exchanges nothing.
///
/// # Errors
/// As [`march`].
pub fn march_with_heat(
    fluid: &dyn Refrigerant,
    line: &Line,
    exchanges: &[Linear],
    inlet: Inlet,
    tolerance: Tolerance,
    observe: &mut dyn FnMut(&Station),
) -> Result<Outcome<Outlet>, MarchError> {
    let mut walk = Walk::start(fluid, line, inlet, tolerance)?;
    let mut exchanges = exchanges.iter();
    walk.refuse_hopeless(walk.stretch.friction_pa_m(&walk.place).0)?;
    observe(&walk.station(0));
    for (index, element) in line.elements.iter().enumerate() {
        match *element {
            Element::Leg { length, rise } => walk.leg(index, length, rise, exchanges.next(), observe)?,
            Element::Fitting { coefficients, count } => {
                let in_bore = ThreeKInBore::new(&coefficients, line.bore.get().get::<inch>());
                let mut left = count;
                while left > 0 {
                    let coefficient = in_bore.resistance(walk.stretch.reynolds(&walk.place));
                    let together = walk.fittings_at_once(coefficient, left);
                    walk.resistance(index, f64::from(together) * coefficient, 0.0, observe)?;
                    left -= together;
                }
            }
            Element::Resistance { coefficient } => {
                walk.resistance(index, coefficient.get::<ratio>(), 0.0, observe)?
            }
            Element::CheckValve { coefficient, cracking } => {
                walk.resistance(index, coefficient.get::<ratio>(), cracking.value, observe)?
            }
        }
    }
    Ok(walk.finish())
}

/// Marches so that the outlet has a given pressure: for a line whose far end is held, such as a discharge line at the
/// condenser. `inlet.pressure` is ignored; the enthalpy is that of the inlet.
///
/// Solved by the secant method on the inlet pressure, kept between pressures known to be too little and too much, to 1e-8 of it.
///
/// # Errors
/// As [`march`], and [`MarchError::NoInletPressure`] where the iteration finds none.
pub fn march_to_outlet(
    fluid: &dyn Refrigerant,
    line: &Line,
    exchanges: &[Linear],
    outlet_pressure: AbsolutePressure,
    inlet: Inlet,
    tolerance: Tolerance,
) -> Result<Outcome<Outlet>, MarchError> {
    march_to_outlet_near(fluid, line, exchanges, outlet_pressure, outlet_pressure, inlet, tolerance)
}

/// [`march_to_outlet`] begun at an inlet pressure that is known to be near, as that of a line much like this one: it changes
/// how soon the answer is found, and the answer by less than the tolerance that it is found to.
pub(crate) fn march_to_outlet_near(
    fluid: &dyn Refrigerant,
    line: &Line,
    exchanges: &[Linear],
    outlet_pressure: AbsolutePressure,
    near: AbsolutePressure,
    inlet: Inlet,
    tolerance: Tolerance,
) -> Result<Outcome<Outlet>, MarchError> {
    let from = |inlet_pa: f64| {
        let inlet = Inlet { pressure: AbsolutePressure::from_pascal(inlet_pa), ..inlet };
        march_with_heat(fluid, line, exchanges, inlet, tolerance, &mut |_| {})
    };
    let wanted_pa = outlet_pressure.pascal();
    Inlet { pressure: outlet_pressure, ..inlet }
        .state(fluid)
        .map_err(|source| MarchError::Property { position_m: 0.0, source })?;
    // The inlet pressure lies between one that is too little (at which the outlet is not even reached, often) and one that is
    // too much; where the data end above, the tube wants a pressure that the refrigerant has not.
    let (mut too_little_pa, mut too_much_pa) = (0.0_f64, f64::INFINITY);
    let mut inlet_pa = near.pascal();
    let mut before: Option<(f64, f64)> = None;
    for _ in 0..80 {
        let next_pa = match from(inlet_pa) {
            Ok(outcome) => {
                let miss_pa = outcome.value.outlet.pressure.pascal() - wanted_pa;
                if miss_pa.abs() <= 1e-8 * wanted_pa {
                    return Ok(outcome);
                }
                if miss_pa < 0.0 {
                    too_little_pa = too_little_pa.max(inlet_pa);
                } else {
                    too_much_pa = too_much_pa.min(inlet_pa);
                }
                let slope = match before {
                    Some((other_pa, other_miss_pa)) if other_miss_pa != miss_pa => {
                        ((miss_pa - other_miss_pa) / (inlet_pa - other_pa)).clamp(0.2, 20.0)
                    }
                    // The drop of a gas goes with the inverse of its pressure.
                    _ => 1.0 + outcome.value.pressure_drop.value.max(0.0) / inlet_pa,
                };
                before = Some((inlet_pa, miss_pa));
                inlet_pa - miss_pa / slope
            }
            Err(MarchError::PressureUsedUp { .. }) => {
                too_little_pa = too_little_pa.max(inlet_pa);
                1.3 * inlet_pa
            }
            // The data may end between here and the inlet pressure sought.
            Err(MarchError::Property { .. }) => {
                too_much_pa = too_much_pa.min(inlet_pa);
                f64::NAN
            }
            Err(other) => return Err(other),
        };
        inlet_pa = if next_pa > too_little_pa && next_pa < too_much_pa {
            next_pa
        } else if too_much_pa - too_little_pa < 1e-9 * wanted_pa {
            break;
        } else if too_much_pa.is_finite() {
            0.5 * (too_little_pa + too_much_pa)
        } else {
            1.3 * too_little_pa
        };
    }
    Err(MarchError::NoInletPressure)
}

/// The integrated quantities.
#[derive(Clone, Copy, Debug, Default)]
struct Course {
    pressure_pa: f64,
    enthalpy_j_kg: f64,
    charge_kg: f64,
    friction_pa: f64,
    static_pa: f64,
    heat_w: f64,
}

impl Course {
    fn plus(self, step_m: f64, weighted: &[(f64, Self)]) -> Self {
        weighted.iter().fold(self, |sum, (weight, slope)| Self {
            pressure_pa: sum.pressure_pa + step_m * weight * slope.pressure_pa,
            enthalpy_j_kg: sum.enthalpy_j_kg + step_m * weight * slope.enthalpy_j_kg,
            charge_kg: sum.charge_kg + step_m * weight * slope.charge_kg,
            friction_pa: sum.friction_pa + step_m * weight * slope.friction_pa,
            static_pa: sum.static_pa + step_m * weight * slope.static_pa,
            heat_w: sum.heat_w + step_m * weight * slope.heat_w,
        })
    }
}

/// What a stage evaluation can meet.
enum Stop {
    /// Another kind of flow, met this far beyond the boundary.
    Boundary {
        to: Kind,
        beyond: f64,
    },
    Error(MarchError),
}

/// Distance at which a boundary counts as reached, K.
const AT_BOUNDARY_K: f64 = 1e-5;

/// Share of a pressure below which its change drowns in rounding.
const RESOLVED: f64 = 1e-13;

/// Share of the pressure below which the momentum flux of gas is not worth the look-ups that acceleration takes.
const SLOW: f64 = 1e-5;

/// Turns in which the state behind a fitting is put right, and the share of the pressure (or of the like enthalpy) that is
/// good enough.
const FITTING_PUT_RIGHT: u32 = 8;
const RESOLVED_IN_FITTING: f64 = 1e-9;

/// Near the speed of sound slopes grow without bound: what is left of the determinant of the slopes there.
const CHOKED: f64 = 0.02;

/// Errors that a step may have, in units of the tolerance: of its own relative change of pressure or enthalpy (where a line
/// loses a large share of its pressure no more digits are asked of its drop than elsewhere), and of two phases, whose laws
/// are good to a third at best.
const PER_CHANGE: f64 = 1000.0;
const OF_TWO_PHASES: f64 = 10.0;

/// Change of pressure after which the stretchiness of one phase is taken anew, of two phases, and change of their enthalpy.
const STRETCHINESS_RENEWED_AFTER: f64 = 0.05;
const OF_TWO_PHASES_RENEWED_AFTER: f64 = 0.01;
const OF_TWO_PHASES_RENEWED_AFTER_J_KG: f64 = 1000.0;

/// Steps tried in one leg, after which it is given up: an ordinary leg takes some tens.
const TRIES: u32 = 100_000;

/// Enthalpy that weighs in the error of a step as much as the whole pressure: 1 J/kg, a thousandth of a kelvin, moves the
/// density by 3e-6.
const ENTHALPY_SCALE_J_KG: f64 = 1e7;

/// Error of enthalpy that the pair may not see. Where a step takes fluid a share `z` of the way to its surroundings (`z < 0`:
/// the change of the slope over the step by the change of enthalpy), the two formulas differ by `z^3 (1 + z)/48` of that way:
/// by nothing at -1, where the step is wrong by a tenth of it. So `z^3/48` is asked for as well.
fn unseen_j_kg(warmed_j_kg: f64, bent_j_kg: f64) -> f64 {
    if bent_j_kg == 0.0 {
        return 0.0;
    }
    let z = (bent_j_kg / warmed_j_kg).abs().min(1.0);
    bent_j_kg * z * z / 48.0
}

/// The stretchiness in use, and where it was taken.
#[derive(Clone, Copy)]
struct Taken {
    value: Stretchiness,
    pressure_pa: f64,
    enthalpy_j_kg: f64,
}

impl Taken {
    const NONE: Self = Self {
        value: Stretchiness { per_pressure: 0.0, per_enthalpy: 0.0 },
        pressure_pa: f64::NAN,
        enthalpy_j_kg: f64::NAN,
    };
}

/// What a leg exchanges, with the doubts of the line.
#[derive(Clone, Copy, Default)]
struct Exchange {
    conductance_w_m_k: f64,
    surroundings_k: f64,
}

struct Walk<'a> {
    line: &'a Line,
    stretch: Stretch<'a>,
    entered_as: Phase,
    tolerance: f64,
    rate_kg_s: f64,
    area_m2: f64,
    /// Length of the whole way, and height that its falling legs give back.
    run_m: f64,
    fall_m: f64,
    inlet_factor: Ratio,
    at: Course,
    kind: Kind,
    place: Place,
    stretchiness: Taken,
    inlet: State,
    position_m: f64,
    height_m: f64,
    fittings_pa: f64,
    equivalent_m: f64,
    velocity_max_m_s: f64,
    least_margin_k: f64,
    changes: [Option<PhaseChange>; PHASE_CHANGES_KEPT],
    changed: usize,
    riser: Option<RiserGas>,
    caveats: Caveats,
}

impl<'a> Walk<'a> {
    fn start(
        fluid: &'a dyn Refrigerant,
        line: &'a Line,
        inlet: Inlet,
        tolerance: Tolerance,
    ) -> Result<Self, MarchError> {
        let (bore_m, roughness_m, rate_kg_s) =
            (line.bore.get().value, line.roughness.value, inlet.mass_rate.value * line.factors.load);
        let area_m2 = line.bore.area().value;
        for (what, value, good) in [
            ("a bore (m)", bore_m, bore_m > 0.0 && area_m2.is_normal()),
            ("a roughness (m)", roughness_m, roughness_m >= 0.0),
            ("a mass rate (kg/s)", rate_kg_s, rate_kg_s >= 0.0),
            ("a tolerance", tolerance.step.value, tolerance.step.value >= Tolerance::FINEST),
        ] {
            if !(good && value.is_finite()) {
                return Err(MarchError::Geometry { what, value });
            }
        }
        let at_inlet = |source| MarchError::Property { position_m: 0.0, source };
        let state = inlet.state(fluid).map_err(at_inlet)?;
        let stretch = Stretch {
            fluid,
            factors: &line.factors,
            flux_kg_m2_s: rate_kg_s / area_m2,
            bore_m,
            relative_roughness: roughness_m / bore_m,
            climb: 0.0,
        };
        let kind = Kind::Single(inlet.phase);
        let place = stretch.of_one_phase(&state);
        let mut walk = Self {
            line,
            stretch,
            entered_as: inlet.phase,
            tolerance: tolerance.step.get::<ratio>(),
            rate_kg_s,
            area_m2,
            run_m: line.run().get::<meter>() * line.factors.length,
            fall_m: line.legs().map(|(_, rise)| (-rise.get::<meter>()).max(0.0)).sum(),
            inlet_factor: Ratio::new::<ratio>(0.0),
            at: Course {
                pressure_pa: inlet.pressure.pascal(),
                enthalpy_j_kg: inlet.enthalpy.value,
                ..Course::default()
            },
            kind,
            place,
            stretchiness: Taken::NONE,
            inlet: state,
            position_m: 0.0,
            height_m: 0.0,
            fittings_pa: 0.0,
            equivalent_m: 0.0,
            velocity_max_m_s: 0.0,
            least_margin_k: f64::INFINITY,
            changes: [None; PHASE_CHANGES_KEPT],
            changed: 0,
            riser: None,
            caveats: Caveats::default(),
        };
        if fluid.distance_to_last_saturation(inlet.pressure).map_err(at_inlet)? < NEAR_CRITICAL_K {
            walk.caveats.add(Caveat::NearCritical);
        }
        if rate_kg_s > 0.0 {
            let reynolds = walk.stretch.reynolds(&walk.place);
            let (factor, noted) =
                friction::kernel::darcy_friction_factor(reynolds, walk.stretch.relative_roughness);
            walk.inlet_factor = Ratio::new::<ratio>(factor);
            walk.caveats.merge(noted);
        }
        walk.renew_stretchiness();
        walk.note_station();
        Ok(walk)
    }

    fn stage(&self, course: &Course) -> Result<Place, Stop> {
        if course.pressure_pa.is_nan() || course.pressure_pa <= 0.0 {
            return Err(Stop::Error(MarchError::PressureUsedUp { position_m: self.position_m }));
        }
        self.stretch.place(self.kind, course.pressure_pa, course.enthalpy_j_kg).map_err(|elsewhere| {
            let source = match elsewhere {
                Elsewhere::Boundary { to, beyond } => return Stop::Boundary { to, beyond },
                Elsewhere::Outside(source) => source,
            };
            // The inlet was inside the data: a line that falls out of them at the cold end has lost its pressure.
            let cold_end = matches!(source.region, Region::BubblePressure | Region::DewPressure);
            Stop::Error(if cold_end && source.value < source.low {
                MarchError::PressureUsedUp { position_m: self.position_m }
            } else {
                MarchError::Property { position_m: self.position_m, source }
            })
        })
    }

    /// Takes the stretchiness anew where the last one lies too far away; says whether it changed. Of liquid and of slow gas none
    /// is worth taking: what a step lacks for it is a hundred-thousandth of the pressure, or is put right at its end.
    fn renew_stretchiness(&mut self) -> bool {
        let taken = self.stretchiness;
        let momentum_pa = self.stretch.flux_kg_m2_s.powi(2) * self.place.momentum_m3_kg;
        let slow = momentum_pa <= SLOW * self.place.pressure_pa;
        let pressure_moved = (self.place.pressure_pa / taken.pressure_pa - 1.0).abs();
        let enthalpy_moved_j_kg = (self.place.enthalpy_j_kg - taken.enthalpy_j_kg).abs();
        let near = match self.kind {
            Kind::Single(_) => pressure_moved < STRETCHINESS_RENEWED_AFTER,
            Kind::TwoPhase => {
                pressure_moved < OF_TWO_PHASES_RENEWED_AFTER
                    && enthalpy_moved_j_kg < OF_TWO_PHASES_RENEWED_AFTER_J_KG
            }
        };
        if slow || self.kind == Kind::Single(Phase::Liquid) {
            self.stretchiness = Taken::NONE;
            return taken.value != Stretchiness::default();
        }
        if near {
            return false;
        }
        self.stretchiness = Taken {
            value: self.stretch.stretchiness(self.kind, &self.place),
            pressure_pa: self.place.pressure_pa,
            enthalpy_j_kg: self.place.enthalpy_j_kg,
        };
        true
    }

    /// Slopes along the tube at a place; none where the flow has all but reached the speed of sound.
    fn slope(&self, place: &Place, exchange: Exchange) -> Result<(Course, Caveats), Stop> {
        let (friction_pa_m, caveats) = self.stretch.friction_pa_m(place);
        let climb = self.stretch.climb;
        // Without flow there is nothing that heat could warm on its way: the line stands at the temperature of its inlet.
        let moves = self.rate_kg_s > 0.0;
        let heat_w_m = if moves {
            exchange.conductance_w_m_k * (exchange.surroundings_k - place.temperature_k)
        } else {
            0.0
        };
        let static_pa_m = place.density_kg_m3 * STANDARD_GRAVITY_M_S2 * climb;
        let warmed_j_kg_m = if moves { heat_w_m / self.rate_kg_s } else { 0.0 };
        let (pressure_pa, enthalpy_j_kg) =
            self.balance(place, friction_pa_m + static_pa_m, warmed_j_kg_m - STANDARD_GRAVITY_M_S2 * climb)?;
        let slope = Course {
            pressure_pa,
            enthalpy_j_kg,
            charge_kg: place.density_kg_m3 * self.area_m2,
            friction_pa: friction_pa_m,
            static_pa: static_pa_m,
            heat_w: heat_w_m,
        };
        Ok((slope, caveats))
    }

    /// Changes of pressure and enthalpy from a loss of pressure and a gain of enthalpy, with what acceleration makes of them.
    fn balance(&self, place: &Place, loss_pa: f64, gain_j_kg: f64) -> Result<(f64, f64), Stop> {
        let Stretchiness { per_pressure, per_enthalpy } = self.stretchiness.value;
        let (flux, volume) = (self.stretch.flux_kg_m2_s, place.momentum_m3_kg);
        let by_pressure = -flux * flux * volume * per_pressure / place.pressure_pa;
        let by_enthalpy = flux * flux * volume * per_enthalpy;
        let determinant = 1.0 + by_pressure + volume * by_enthalpy;
        if determinant < CHOKED {
            return Err(Stop::Error(MarchError::PressureUsedUp { position_m: self.position_m }));
        }
        let pressure_pa = (-loss_pa * (1.0 + volume * by_enthalpy) - by_enthalpy * gain_j_kg) / determinant;
        let enthalpy_j_kg = (gain_j_kg * (1.0 + by_pressure) + volume * by_pressure * loss_pa) / determinant;
        Ok((pressure_pa, enthalpy_j_kg))
    }

    /// Spares the small steps into a dead end: a line has no outlet whose friction, at the gradient of here, takes more on
    /// the rest of the way than the pressure of here and all that falling legs give back. Liquid keeps its gradient, or
    /// flashes and loses more. That of gas grows as the pressure falls: an ideal gas at constant temperature has no outlet
    /// beyond half of its pressure (`p^2` falls along a straight line); three quarters leave room for gas that cools on the
    /// way.
    fn refuse_hopeless(&self, friction_pa_m: f64) -> Result<(), MarchError> {
        let share = match self.kind {
            Kind::Single(Phase::Vapour) => 0.75,
            Kind::Single(Phase::Liquid) => 1.0,
            // Two phases may become one that loses less.
            Kind::TwoPhase => return Ok(()),
        };
        let regained_pa = self.place.density_kg_m3 * STANDARD_GRAVITY_M_S2 * self.fall_m;
        let there_pa = share * self.at.pressure_pa + regained_pa;
        if friction_pa_m * (self.run_m - self.position_m) > there_pa {
            return Err(MarchError::PressureUsedUp {
                position_m: self.position_m + there_pa / friction_pa_m,
            });
        }
        Ok(())
    }

    fn leg(
        &mut self,
        index: usize,
        length: Length,
        rise: Length,
        exchange: Option<&Linear>,
        observe: &mut dyn FnMut(&Station),
    ) -> Result<(), MarchError> {
        let stated_m = length.get::<meter>();
        if !(stated_m >= 0.0 && stated_m.is_finite()) {
            return Err(MarchError::Geometry { what: "a leg length (m)", value: stated_m });
        }
        let rise_m = rise.get::<meter>();
        if rise_m.is_nan() || rise_m.abs() > stated_m * (1.0 + 1e-12) {
            return Err(MarchError::Geometry { what: "a rise beyond the leg's length (m)", value: rise_m });
        }
        if stated_m == 0.0 {
            return Ok(());
        }
        // A doubt about the length stretches the leg, heights stay.
        let length_m = stated_m * self.line.factors.length;
        let climb = rise_m / length_m;
        self.stretch.climb = climb;
        let exchange = exchange.map_or(Ok(Exchange::default()), |exchange| self.exchange(exchange))?;
        if climb > 0.0 {
            self.note_riser();
        }
        self.equivalent_m += length_m;
        let shortest_m = 1e-6 * length_m;
        let (mut done_m, mut step_m) = (0.0, length_m);
        let mut first = self.first_slope(exchange)?;
        // Whether no step has been taken since another kind of flow began.
        let mut entered = false;
        let mut tries = 0;
        while done_m < length_m {
            tries += 1;
            if tries > TRIES {
                return Err(MarchError::TooSteep { position_m: self.position_m });
            }
            step_m = step_m.min(length_m - done_m);
            match self.try_step(first, exchange, step_m) {
                Ok(step) => {
                    let admitted = self.admitted();
                    let growth = 0.9 * (admitted / step.error.max(1e-30)).cbrt();
                    if step.error > admitted && step_m > shortest_m {
                        step_m *= growth.clamp(0.1, 0.9);
                        continue;
                    }
                    let step = self.put_right(step, exchange, step_m);
                    self.at = step.end;
                    self.place = step.place;
                    self.caveats.merge(step.caveats);
                    entered = false;
                    done_m += step_m;
                    self.position_m += step_m;
                    self.height_m += climb * step_m;
                    if length_m - done_m < shortest_m {
                        done_m = length_m;
                    }
                    first = step.slope;
                    self.note_station();
                    self.refuse_hopeless(first.friction_pa)?;
                    observe(&self.station(index));
                    step_m *= growth.clamp(0.2, 8.0);
                    if self.renew_stretchiness() && done_m < length_m {
                        first = self.first_slope(exchange)?;
                    }
                }
                // Just come from there: a long trial step may land beyond the boundary again where the true course does not.
                Err(Stop::Boundary { .. }) if entered && step_m > shortest_m => step_m *= 0.1,
                // As good as there, or so slow that a step changes nothing: the other kind of flow begins here.
                Err(Stop::Boundary { to, .. })
                    if self.place.distance_to(self.stretch.fluid, to) < AT_BOUNDARY_K
                        || step_m <= shortest_m
                        || step_m * first.pressure_pa.abs() <= RESOLVED * self.at.pressure_pa =>
                {
                    self.enter(to, index, climb > 0.0)?;
                    entered = true;
                    first = self.first_slope(exchange)?;
                    step_m = 0.05 * (length_m - done_m);
                }
                // Up to just before where the straight line from here to the trial place crosses.
                Err(Stop::Boundary { to, beyond }) => {
                    let margin = self.place.distance_to(self.stretch.fluid, to).max(0.0);
                    step_m *= (0.99 * margin / (margin + beyond)).clamp(0.05, 0.9);
                }
                Err(Stop::Error(MarchError::PressureUsedUp { .. } | MarchError::Property { .. }))
                    if step_m > shortest_m =>
                {
                    // A long trial step may leave the data where the true course does not.
                    step_m *= 0.5;
                }
                Err(Stop::Error(error)) => return Err(error),
            }
        }
        if climb > 0.0 {
            self.note_riser();
        }
        Ok(())
    }

    /// Error that a step may have.
    fn admitted(&self) -> f64 {
        self.tolerance * if self.kind == Kind::TwoPhase { OF_TWO_PHASES } else { 1.0 }
    }

    fn first_slope(&mut self, exchange: Exchange) -> Result<Course, MarchError> {
        match self.slope(&self.place, exchange) {
            Ok((slope, noted)) => {
                self.caveats.merge(noted);
                Ok(slope)
            }
            Err(Stop::Error(error)) => Err(error),
            // A slope looks nowhere but here.
            Err(Stop::Boundary { .. }) => Err(MarchError::PressureUsedUp { position_m: self.position_m }),
        }
    }

    fn try_step(&self, first: Course, exchange: Exchange, step_m: f64) -> Result<Step, Stop> {
        let mut caveats = Caveats::default();
        let mut evaluate = |course: Course| {
            let place = self.stage(&course)?;
            let (slope, noted) = self.slope(&place, exchange)?;
            caveats.merge(noted);
            Ok((place, slope))
        };
        let (_, second) = evaluate(self.at.plus(step_m, &[(0.5, first)]))?;
        let (_, third) = evaluate(self.at.plus(step_m, &[(0.75, second)]))?;
        let end = self.at.plus(step_m, &[(2.0 / 9.0, first), (1.0 / 3.0, second), (4.0 / 9.0, third)]);
        let (place, slope) = evaluate(end)?;
        let lower =
            self.at.plus(step_m, &[(7.0 / 24.0, first), (0.25, second), (1.0 / 3.0, third), (0.125, slope)]);
        // Each against what it may be.
        let of = |error: f64, change: f64, scale: f64| error.abs() / (scale + PER_CHANGE * change.abs());
        let at = &self.at;
        let warmed_j_kg = end.enthalpy_j_kg - at.enthalpy_j_kg;
        let bent_j_kg = step_m * (slope.enthalpy_j_kg - first.enthalpy_j_kg);
        let error = of(end.pressure_pa - lower.pressure_pa, end.pressure_pa - at.pressure_pa, at.pressure_pa)
            .max(of(end.enthalpy_j_kg - lower.enthalpy_j_kg, warmed_j_kg, ENTHALPY_SCALE_J_KG))
            .max(of(unseen_j_kg(warmed_j_kg, bent_j_kg), warmed_j_kg, ENTHALPY_SCALE_J_KG));
        Ok(Step { end, place, slope, error, caveats })
    }

    /// The slopes took acceleration by the stretchiness of some way before: what momentum and energy lack over the step is put
    /// right at its end, where it is more than a step may err (or is worth a look-up, where slopes took none).
    fn put_right(&self, step: Step, exchange: Exchange, step_m: f64) -> Step {
        if self.rate_kg_s == 0.0 {
            return step;
        }
        let (at, end) = (&self.at, &step.end);
        let warmed_j_kg = (end.heat_w - at.heat_w) / self.rate_kg_s;
        let lifted_j_kg = STANDARD_GRAVITY_M_S2 * self.stretch.climb * step_m;
        let lost_pa = end.friction_pa - at.friction_pa + end.static_pa - at.static_pa;
        let (missing_pa, missing_j_kg) = self.missing(end, &step.place, lost_pa, warmed_j_kg - lifted_j_kg);
        let admitted =
            if self.stretchiness.value == Stretchiness::default() { SLOW } else { self.admitted() };
        if missing_pa.abs() <= admitted * at.pressure_pa
            && missing_j_kg.abs() <= admitted * ENTHALPY_SCALE_J_KG
        {
            return step;
        }
        let corrected =
            self.balance(&step.place, missing_pa, missing_j_kg).and_then(|(pressure_pa, enthalpy_j_kg)| {
                let end = Course {
                    pressure_pa: end.pressure_pa + pressure_pa,
                    enthalpy_j_kg: end.enthalpy_j_kg + enthalpy_j_kg,
                    ..*end
                };
                let place = self.stage(&end)?;
                let (slope, _) = self.slope(&place, exchange)?;
                Ok(Step { end, place, slope, ..step })
            });
        // Where the corrected state would lie across a boundary, the next step finds that out.
        corrected.unwrap_or(step)
    }

    /// What the state after a loss of pressure and a gain of enthalpy lacks to balance `p + G^2 v` and `h + (G v)^2/2` with the
    /// state here, in the form that [`Self::balance`] takes.
    fn missing(&self, after: &Course, place: &Place, loss_pa: f64, gain_j_kg: f64) -> (f64, f64) {
        let flux_squared = self.stretch.flux_kg_m2_s.powi(2);
        let (here, there) = (self.place.momentum_m3_kg, place.momentum_m3_kg);
        let missing_pa = after.pressure_pa - self.at.pressure_pa + loss_pa + flux_squared * (there - here);
        let kinetic_j_kg = 0.5 * flux_squared * (there * there - here * here);
        (missing_pa, self.at.enthalpy_j_kg - after.enthalpy_j_kg + gain_j_kg - kinetic_j_kg)
    }

    fn exchange(&self, exchange: &Linear) -> Result<Exchange, MarchError> {
        let factors = &self.line.factors;
        let conductance_w_m_k = factors.heat_transfer * exchange.conductance.value;
        let surroundings_k = factors.surroundings_k + exchange.surroundings.get::<kelvin>();
        for (what, value) in
            [("a conductance (W/(m K))", conductance_w_m_k), ("surroundings (K)", surroundings_k)]
        {
            if !(value >= 0.0 && value.is_finite()) {
                return Err(MarchError::Geometry { what, value });
            }
        }
        Ok(Exchange { conductance_w_m_k, surroundings_k })
    }

    /// How many of `count` like fittings may be taken as one: all where they change the pressure by less than a thousandth, so
    /// that the mean volume of the group is as good as that of each.
    fn fittings_at_once(&self, coefficient: f64, count: u32) -> u32 {
        let loss_pa = f64::from(count) * self.stretch.resistance_pa(&self.place, coefficient);
        if loss_pa < 1e-3 * self.at.pressure_pa { count } else { 1 }
    }

    /// A fitting, or a valve that takes at least its cracking pressure.
    fn resistance(
        &mut self,
        index: usize,
        coefficient: f64,
        cracking_pa: f64,
        observe: &mut dyn FnMut(&Station),
    ) -> Result<(), MarchError> {
        if self.rate_kg_s > 0.0 {
            let (resistance, factor) = (Ratio::new::<ratio>(coefficient), self.inlet_factor);
            self.equivalent_m += equivalent_length(resistance, self.line.bore, factor).get().value;
            let (loss_pa, after, place) = match self.behind(coefficient, cracking_pa) {
                Ok(found) => found,
                Err(Stop::Error(error)) => return Err(error),
                Err(Stop::Boundary { .. }) => {
                    return Err(MarchError::PressureUsedUp { position_m: self.position_m });
                }
            };
            self.fittings_pa += loss_pa;
            self.at = after;
            self.place = place;
            if place.kind() != self.kind {
                self.note_change(place.kind(), index, false);
                self.kind = place.kind();
            }
            self.renew_stretchiness();
            self.note_station();
        }
        observe(&self.station(index));
        Ok(())
    }

    /// Loss of a resistance, and what flows behind it: a first answer by the slopes before it, put right until momentum
    /// `p + G^2 v` and energy `h + (G v)^2/2` on both sides differ by the loss and by nothing.
    fn behind(&self, coefficient: f64, cracking_pa: f64) -> Result<(f64, Course, Place), Stop> {
        let before = &self.place;
        let before_pa = self.stretch.resistance_pa(before, coefficient);
        let gas = self.stretchiness.value.per_pressure;
        // At the mean of the volumes before and behind.
        let mut loss_pa = (before_pa * (1.0 + 0.5 * gas * before_pa / self.at.pressure_pa)).max(cracking_pa);
        let (pressure_pa, enthalpy_j_kg) = self.balance(before, loss_pa, 0.0)?;
        let mut after = Course {
            pressure_pa: self.at.pressure_pa + pressure_pa,
            enthalpy_j_kg: self.at.enthalpy_j_kg + enthalpy_j_kg,
            ..self.at
        };
        let mut place = self.behind_at(&after)?;
        if self.stretchiness.value == Stretchiness::default() && place.kind() == self.kind {
            return Ok((loss_pa, after, place));
        }
        for _ in 0..FITTING_PUT_RIGHT {
            loss_pa = (0.5 * (before_pa + self.stretch.resistance_pa(&place, coefficient))).max(cracking_pa);
            let (missing_pa, missing_j_kg) = self.missing(&after, &place, loss_pa, 0.0);
            if missing_pa.abs() <= RESOLVED_IN_FITTING * after.pressure_pa
                && missing_j_kg.abs() <= RESOLVED_IN_FITTING * ENTHALPY_SCALE_J_KG
            {
                break;
            }
            let (pressure_pa, enthalpy_j_kg) = self.balance(&place, missing_pa, missing_j_kg)?;
            after.pressure_pa += pressure_pa;
            after.enthalpy_j_kg += enthalpy_j_kg;
            place = self.behind_at(&after)?;
        }
        Ok((loss_pa, after, place))
    }

    /// What flows behind a resistance, in which the other phase may begin.
    fn behind_at(&self, after: &Course) -> Result<Place, Stop> {
        self.stage(after).or_else(|stop| match stop {
            Stop::Boundary { to, .. } => {
                self.stretch.place(to, after.pressure_pa, after.enthalpy_j_kg).map_err(|_| stop)
            }
            stop => Err(stop),
        })
    }

    /// Another kind of flow begins here.
    fn enter(&mut self, to: Kind, element: usize, rising: bool) -> Result<(), MarchError> {
        // Here is the boundary, up to what counts as on it and what the shortest step can resolve. The rest of the way there is
        // gone at once, as heat, so that what follows starts where it belongs.
        let pressure = AbsolutePressure::from_pascal(self.at.pressure_pa);
        let found = self.stretch.fluid.ends(pressure).map(|ends| {
            let (low, high) = (ends.bubble.enthalpy.value, ends.dew.enthalpy.value);
            let here = self.at.enthalpy_j_kg;
            let inside = match to {
                Kind::TwoPhase => here.clamp(low, high),
                Kind::Single(Phase::Liquid) => here.min(low),
                Kind::Single(Phase::Vapour) => here.max(high),
            };
            (inside, self.stretch.place(to, self.at.pressure_pa, inside))
        });
        let position_m = self.position_m;
        match found {
            Ok((inside, Ok(place))) => {
                self.at.heat_w += self.rate_kg_s * (inside - self.at.enthalpy_j_kg);
                self.at.enthalpy_j_kg = inside;
                self.place = place;
                self.note_change(to, element, rising);
                self.kind = to;
                self.renew_stretchiness();
                Ok(())
            }
            Ok((_, Err(Elsewhere::Outside(source)))) | Err(source) => {
                Err(MarchError::Property { position_m, source })
            }
            Ok((_, Err(Elsewhere::Boundary { .. }))) => Err(MarchError::PressureUsedUp { position_m }),
        }
    }

    fn note_change(&mut self, to: Kind, element: usize, rising: bool) {
        let position = Length::new::<meter>(self.position_m);
        if let Some(slot) = self.changes.get_mut(self.changed) {
            *slot = Some(PhaseChange { position, element, into: to.into(), rising });
        }
        self.changed += 1;
        if to == Kind::TwoPhase {
            self.caveats.add(match self.kind {
                Kind::Single(Phase::Vapour) => Caveat::Condenses,
                _ => Caveat::Flashes,
            });
        }
    }

    /// Notes what is greatest and least along the line.
    fn note_station(&mut self) {
        self.velocity_max_m_s = self.velocity_max_m_s.max(self.stretch.velocity_m_s(&self.place));
        self.least_margin_k = self.least_margin_k.min(self.margin_k());
    }

    /// Keeps the gas that carries oil worst: the least flow goes with the root of its density.
    fn note_riser(&mut self) {
        let Some((density_kg_m3, share)) = self.place.gas() else { return };
        let gas = RiserGas {
            density: MassDensity::new::<kilogram_per_cubic_meter>(density_kg_m3),
            share: Ratio::new::<ratio>(share),
        };
        let carries = |gas: &RiserGas| gas.share.value / gas.density.value.sqrt();
        if self.riser.is_none_or(|worst| carries(&gas) < carries(&worst)) {
            self.riser = Some(gas);
        }
    }

    fn margin_k(&self) -> f64 {
        self.stretch.phase_margin_k(self.entered_as, &self.place)
    }

    fn station(&self, element: usize) -> Station {
        Station {
            element,
            position: Length::new::<meter>(self.position_m),
            height: Length::new::<meter>(self.height_m),
            local: self.place.local(),
            velocity: Velocity::new::<meter_per_second>(self.stretch.velocity_m_s(&self.place)),
            phase_margin: TemperatureInterval::new::<kelvin_interval>(self.margin_k()),
            heat: Power::new::<watt>(self.at.heat_w),
        }
    }

    fn finish(self) -> Outcome<Outlet> {
        let pressure = |pressure_pa: f64| Pressure::new::<pascal>(pressure_pa);
        let drop_pa = self.inlet.pressure.pascal() - self.at.pressure_pa;
        let parts_pa = self.at.friction_pa + self.fittings_pa + self.at.static_pa;
        let value = Outlet {
            inlet: self.inlet,
            outlet: self.place.local(),
            pressure_drop: pressure(drop_pa),
            friction_drop: pressure(self.at.friction_pa),
            fittings_drop: pressure(self.fittings_pa),
            static_drop: pressure(self.at.static_pa),
            acceleration_drop: pressure(drop_pa - parts_pa),
            heat: Power::new::<watt>(self.at.heat_w),
            velocity_max: Velocity::new::<meter_per_second>(self.velocity_max_m_s),
            charge: Mass::new::<kilogram>(self.at.charge_kg),
            least_phase_margin: TemperatureInterval::new::<kelvin_interval>(self.least_margin_k),
            saturation_reached_at: self.changes[0].map(|change| change.position),
            phase_changes: self.changes,
            equivalent_length: EquivalentLength::new(Length::new::<meter>(self.equivalent_m)),
            riser: self.riser,
        };
        Outcome { value, method: Method::March, caveats: self.caveats }
    }
}

struct Step {
    end: Course,
    place: Place,
    slope: Course,
    /// Of pressure or enthalpy, whichever is worse, as a share of what the tolerance is a share of.
    error: f64,
    caveats: Caveats,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        fittings::ThreeK,
        fluid::test_fluid::{GAS_CONSTANT, TestFluid},
        line::Flow,
        uncertainty::{Factors, Lever},
        units::Bore,
    };
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{length::millimeter, mass_rate::kilogram_per_second, thermodynamic_temperature::kelvin};

    fn leg(length_m: f64, rise_m: f64) -> Element {
        Element::Leg { length: Length::new::<meter>(length_m), rise: Length::new::<meter>(rise_m) }
    }

    fn line(bore_mm: f64, elements: Vec<Element>) -> Line {
        Line::new(Bore::new(Length::new::<millimeter>(bore_mm)), Length::new::<millimeter>(0.0015), elements)
    }

    fn gas(rate_kg_s: f64) -> Inlet {
        inlet(Phase::Vapour, 15e5, 360.0, rate_kg_s)
    }

    fn liquid(rate_kg_s: f64, temperature_k: f64) -> Inlet {
        inlet(Phase::Liquid, 15e5, temperature_k, rate_kg_s)
    }

    fn inlet(phase: Phase, pressure_pa: f64, temperature_k: f64, rate_kg_s: f64) -> Inlet {
        let pressure = AbsolutePressure::from_pascal(pressure_pa);
        let temperature = uom::si::f64::ThermodynamicTemperature::new::<kelvin>(temperature_k);
        let state = match phase {
            Phase::Vapour => TestFluid.vapour_at(pressure, temperature),
            Phase::Liquid => TestFluid.liquid_at(pressure, temperature),
        };
        let mass_rate = MassRate::new::<kilogram_per_second>(rate_kg_s);
        Inlet { phase, pressure, enthalpy: state.unwrap().enthalpy, mass_rate }
    }

    fn walk(line: &Line, inlet: Inlet) -> Outcome<Outlet> {
        march(&TestFluid, line, inlet, Tolerance::default(), &mut |_| {}).unwrap()
    }

    fn drop_pa(line: &Line, inlet: Inlet) -> f64 {
        walk(line, inlet).value.pressure_drop.get::<pascal>()
    }

    const ELBOW: Element =
        Element::Fitting { coefficients: ThreeK { k1: 800.0, k_infinity: 0.091, kd: 4.0 }, count: 2 };

    /// Adiabatic flow of an ideal gas with constant friction factor (Fanno; A. H. Shapiro, Compressible Fluid Flow, 1953, and
    /// any text of gas dynamics): pressure at the outlet.
    fn fanno_end_pa(flux: f64, friction: f64, length_to_bore: f64) -> f64 {
        const GAMMA: f64 = 900.0 / (900.0 - GAS_CONSTANT);
        let mach_at = |pressure_pa: f64| {
            // From G and the constant of energy: cp T + v^2/2 = cp T0 with v = G R T / p.
            let total_k = 360.0 + (flux * GAS_CONSTANT * 360.0 / 15e5).powi(2) / 1800.0;
            let a = (flux * GAS_CONSTANT / pressure_pa).powi(2) / 1800.0;
            let static_k = ((1.0 + 4.0 * a * total_k).sqrt() - 1.0) / (2.0 * a);
            flux * GAS_CONSTANT * static_k / pressure_pa / (GAMMA * GAS_CONSTANT * static_k).sqrt()
        };
        let to_choking = |mach: f64| {
            let squared = mach * mach;
            (1.0 - squared) / (GAMMA * squared)
                + (GAMMA + 1.0) / (2.0 * GAMMA)
                    * ((GAMMA + 1.0) * squared / (2.0 + (GAMMA - 1.0) * squared)).ln()
        };
        let left = to_choking(mach_at(15e5)) - friction * length_to_bore;
        let (mut low_pa, mut high_pa) = (1e4, 15e5);
        for _ in 0..200 {
            let middle_pa = 0.5 * (low_pa + high_pa);
            let mach = mach_at(middle_pa);
            if mach > 1.0 || to_choking(mach) < left { low_pa = middle_pa } else { high_pa = middle_pa }
        }
        low_pa
    }

    /// The viscosity of the test gas goes with its temperature, which falls by 1 K here: 3e-5 in the friction factor.
    #[test]
    fn fast_gas_follows_the_closed_form_of_adiabatic_flow() {
        for (bore_mm, length_m) in [(8.0, 30.0), (6.0, 14.0), (5.0, 5.5)] {
            let outcome = walk(&line(bore_mm, vec![leg(length_m, 0.0)]), gas(0.03)).value;
            let flux: f64 = 0.03 / (std::f64::consts::FRAC_PI_4 * bore_mm * bore_mm * 1e-6);
            let reynolds = flux * bore_mm * 1e-3 / 1.2e-5;
            let factor = friction::kernel::darcy_friction_factor(reynolds, 0.0015 / bore_mm).0;
            let end_pa = fanno_end_pa(flux, factor, length_m / bore_mm * 1e3);
            assert!(end_pa < 14.25e5, "the drop must be large to tell anything: {end_pa}");
            assert_relative_eq!(outcome.pressure_drop.value, 15e5 - end_pa, max_relative = 2e-4);
            assert!(outcome.acceleration_drop.value > 0.004 * outcome.pressure_drop.value);
        }
    }

    #[test]
    fn whole_line_and_three_unequal_pieces_agree() {
        let whole = line(8.0, vec![leg(30.0, 9.0)]);
        let pieces = line(8.0, vec![leg(3.0, 0.9), leg(20.0, 6.0), leg(7.0, 2.1)]);
        let tight = Tolerance { step: Ratio::new::<ratio>(1e-8) };
        let walk = |line| march(&TestFluid, line, gas(0.03), tight, &mut |_| {}).unwrap();
        let (one, three) = (walk(&whole).value, walk(&pieces).value);
        assert!(one.pressure_drop.get::<pascal>() > 0.05 * 15e5);
        assert_relative_eq!(
            one.outlet.pressure.pascal(),
            three.outlet.pressure.pascal(),
            max_relative = 1e-7
        );
        assert_relative_eq!(one.charge.value, three.charge.value, max_relative = 1e-6);
    }

    #[test]
    fn liquid_drop_is_friction_fittings_and_height_and_nothing_else() {
        let there = line(8.0, vec![leg(12.0, 3.0), ELBOW, leg(6.0, -6.0)]);
        let outlet = walk(&there, liquid(0.05, 305.0)).value;
        let sum = outlet.friction_drop + outlet.fittings_drop + outlet.static_drop;
        assert_relative_eq!(sum.value, outlet.pressure_drop.value, max_relative = 1e-9);
        assert_relative_eq!(
            outlet.static_drop.value,
            1000.0 * STANDARD_GRAVITY_M_S2 * -3.0,
            max_relative = 1e-9
        );
        let expected_kg = 1000.0 * std::f64::consts::FRAC_PI_4 * 64e-6 * 18.0;
        assert_relative_eq!(outlet.charge.value, expected_kg, max_relative = 1e-9);
        assert!(outlet.equivalent_length.get().value > 18.0);
    }

    #[test]
    fn no_flow_no_friction() {
        let level = line(8.0, vec![leg(12.0, 0.0), ELBOW, leg(6.0, 0.0)]);
        for inlet in [gas(0.0), liquid(0.0, 305.0)] {
            let outcome = walk(&level, inlet);
            assert_eq!(outcome.value.pressure_drop.value, 0.0);
            assert_eq!(outcome.value.velocity_max.value, 0.0);
            assert!(outcome.value.charge.value > 0.0);
        }
    }

    #[test]
    fn flashing_is_found_where_it_starts_and_goes_on_in_two_phases() {
        // 1000 kg/m3 rising 8 m loses 78.5 kPa; the margin at 1 K of subcooling is used up on the way.
        let bubble = TestFluid.bubble_temperature(AbsolutePressure::from_pascal(15e5)).unwrap().get().value;
        let riser = line(10.0, vec![leg(8.0, 8.0)]);
        let mut stations = Vec::new();
        let inlet = liquid(0.02, bubble - 1.0);
        let outcome =
            march(&TestFluid, &riser, inlet, Tolerance::default(), &mut |station| stations.push(*station))
                .unwrap();
        assert!(outcome.caveats.has(Caveat::Flashes) && !outcome.caveats.has(Caveat::Condenses));
        let at_m = outcome.value.saturation_reached_at.unwrap().get::<meter>();
        let margin = |station: &Station| station.phase_margin.get::<kelvin_interval>();
        let before = stations.iter().rfind(|station| station.position.value <= at_m).unwrap();
        assert!(margin(before).abs() < 1e-3, "{}", margin(before));
        let change = outcome.value.phase_changes[0].unwrap();
        assert_eq!((change.into, change.element, change.rising), (Stream::TwoPhase, 0, true));
        assert_eq!(outcome.value.phase_changes[1], None);
        assert!(outcome.value.least_phase_margin.get::<kelvin_interval>() < -0.2);
        let last = stations.last().unwrap();
        assert_eq!(last.position.value, 8.0);
        let Flow::TwoPhase { quality, void_fraction } = last.local.flow else { panic!("{last:?}") };
        assert!(quality.value > 0.001 && void_fraction.value > quality.value);
        // Vapour makes the column lighter and the flow faster.
        assert!(last.local.density.value < 1000.0 && outcome.value.acceleration_drop.value > 0.0);
        assert!(!walk(&riser, liquid(0.02, bubble - 10.0)).caveats.has(Caveat::Flashes));
    }

    /// Two phases carry the doubts of the line in what they weigh, hold and rub; and without flow they stand as they came.
    #[test]
    fn doubts_count_in_two_phases_too() {
        let ends = TestFluid.ends(AbsolutePressure::from_pascal(15e5)).unwrap();
        let level = line(8.0, vec![leg(0.01, 0.0), leg(20.0, 0.0)]);
        let inlet = liquid(0.05, ends.bubble.temperature.value - 0.001);
        let exchanges = [linear(1e4, 350.0), linear(0.0, 300.0)];
        let found = |factors: Factors| warmed(&Line { factors, ..level.clone() }, &exchanges, inlet).value;
        let plain = found(Factors::default());
        assert!(plain.phase_changes[0].is_some_and(|change| change.element == 0), "{plain:?}");
        let nudged = |lever| found(Factors::default().nudged(lever, 0.1));
        let denser = nudged(Lever::Density);
        assert_relative_eq!(denser.charge.value / plain.charge.value, 1.1, max_relative = 0.02);
        assert!(denser.friction_drop.value < 0.97 * plain.friction_drop.value);
        assert!(nudged(Lever::Viscosity).friction_drop.value > 1.005 * plain.friction_drop.value);
        assert_relative_eq!(
            nudged(Lever::Friction).friction_drop.value / plain.friction_drop.value,
            1.1,
            max_relative = 0.05
        );
    }

    /// Liquid that flashes on the way up and falls again is liquid at the foot: the change back is reported too.
    #[test]
    fn flash_gas_condenses_where_the_pressure_comes_back() {
        let bubble = TestFluid.bubble_temperature(AbsolutePressure::from_pascal(15e5)).unwrap().get().value;
        let over = line(10.0, vec![leg(8.0, 8.0), leg(12.0, -12.0)]);
        let outcome = walk(&over, liquid(0.02, bubble - 1.0));
        let into: Vec<_> = outcome.value.phase_changes.iter().flatten().map(|change| change.into).collect();
        assert_eq!(into, [Stream::TwoPhase, Stream::Liquid]);
        assert_eq!(outcome.value.outlet.flow, Flow::Liquid);
        assert!(outcome.caveats.has(Caveat::FallingTwoPhaseFlow));
    }

    fn linear(conductance_w_m_k: f64, surroundings_k: f64) -> Linear {
        Linear {
            conductance: crate::units::ConductancePerLength::new::<
                uom::si::thermal_conductivity::watt_per_meter_kelvin,
            >(conductance_w_m_k),
            surroundings: uom::si::f64::ThermodynamicTemperature::new::<kelvin>(surroundings_k),
        }
    }

    fn warmed(line: &Line, exchanges: &[Linear], inlet: Inlet) -> Outcome<Outlet> {
        march_with_heat(&TestFluid, line, exchanges, inlet, Tolerance::default(), &mut |_| {}).unwrap()
    }

    /// `T_s - T = (T_s - T_1) exp(-U L / (m c))`, the closed form of a tube in surroundings of one temperature; friction warms
    /// the liquid by less than a millikelvin here.
    #[test]
    fn liquid_warms_towards_its_surroundings_leg_by_leg() {
        let legs = line(10.0, vec![leg(20.0, 0.0), ELBOW, leg(10.0, 0.0), leg(5.0, 0.0)]);
        let exchanges = [linear(0.5, 330.0), linear(0.8, 290.0)];
        let outcome = warmed(&legs, &exchanges, liquid(0.01, 305.0)).value;
        let after = |t_k: f64, u: f64, s_k: f64, l: f64| s_k - (s_k - t_k) * (-u * l / (0.01 * 1500.0)).exp();
        let expected_k = after(after(305.0, 0.5, 330.0, 20.0), 0.8, 290.0, 10.0);
        assert_relative_eq!(outcome.outlet.temperature.value, expected_k, epsilon = 2e-3);
        let gained_w = 0.01 * (outcome.outlet.enthalpy - outcome.inlet.enthalpy).value;
        assert_relative_eq!(outcome.heat.value, gained_w, max_relative = 1e-6);
        assert_eq!(walk(&legs, liquid(0.01, 305.0)).value.heat.value, 0.0);
        assert_eq!(warmed(&legs, &exchanges, liquid(0.0, 305.0)).value.heat.value, 0.0, "nothing flows");
    }

    #[test]
    fn hot_surroundings_make_liquid_flash_and_cold_ones_make_gas_condense() {
        let level = line(10.0, vec![leg(30.0, 0.0)]);
        let bubble = TestFluid.bubble_temperature(AbsolutePressure::from_pascal(15e5)).unwrap().get().value;
        let hot = warmed(&level, &[linear(1.0, 345.0)], liquid(0.01, bubble - 2.0));
        assert!(hot.caveats.has(Caveat::Flashes), "{:?}", hot.value.phase_changes);
        let cold = warmed(&level, &[linear(1.0, 300.0)], gas(0.01));
        assert!(cold.caveats.has(Caveat::Condenses) && !cold.caveats.has(Caveat::Flashes));
        let Flow::TwoPhase { quality, .. } = cold.value.outlet.flow else { panic!("{:?}", cold.value) };
        assert!((0.1..0.99).contains(&quality.value), "{quality:?}");
        // The heat is all there is: it closes over the change of phase as well.
        let given_off_w = 0.01 * (cold.value.outlet.enthalpy - cold.value.inlet.enthalpy).value;
        assert_relative_eq!(cold.value.heat.value, given_off_w, max_relative = 2e-3);
        assert!(cold.value.acceleration_drop.value < 0.0, "what condenses slows down");
    }

    /// Where a step brings the fluid one unit of heat transfer on its way, the embedded pair sees no error.
    #[test]
    fn no_length_of_a_leg_hides_the_error_of_its_step() {
        for halves in 1..80 {
            let pipe = line(15.0, vec![leg(0.5 * f64::from(halves), 0.0)]);
            let at = |step: f64| {
                let tolerance = Tolerance { step: Ratio::new::<ratio>(step) };
                let exchanges = [linear(2.0, 400.0)];
                let inlet = gas(0.02);
                let outcome = march_with_heat(&TestFluid, &pipe, &exchanges, inlet, tolerance, &mut |_| {});
                outcome.unwrap().value.outlet.temperature.get::<kelvin>()
            };
            let (found, exact) = (at(1e-7), at(1e-11));
            assert!((found - exact).abs() < 0.01, "{halves} halves of a metre: {found} K, {exact} K");
        }
    }

    #[test]
    fn momentum_and_energy_close_over_a_resistance_of_fast_gas() {
        let inlet = gas(0.15);
        let pipe = line(10.0, vec![Element::Resistance { coefficient: Ratio::new::<ratio>(8.0) }]);
        let found = walk(&pipe, inlet).value;
        let flux = 0.15 / pipe.bore.area().value;
        let (before, after) = (1.0 / found.inlet.density.value, 1.0 / found.outlet.density.value);
        assert!(after > 1.1 * before, "the gas expands");
        let accelerated_pa = flux * flux * (after - before);
        assert_relative_eq!(found.acceleration_drop.value, accelerated_pa, max_relative = 1e-6);
        assert_relative_eq!(
            found.fittings_drop.value,
            8.0 * flux * flux * 0.25 * (before + after),
            max_relative = 1e-6
        );
        let cooled_j_kg = (found.inlet.enthalpy - found.outlet.enthalpy).value;
        assert_relative_eq!(
            cooled_j_kg,
            0.5 * flux * flux * (after * after - before * before),
            max_relative = 1e-5
        );
    }

    #[test]
    fn a_check_valve_takes_its_cracking_pressure_or_its_loss() {
        let valve = |k: f64, cracking_pa: f64| Element::CheckValve {
            coefficient: Ratio::new::<ratio>(k),
            cracking: Pressure::new::<pascal>(cracking_pa),
        };
        let drop = |element| drop_pa(&line(8.0, vec![element]), liquid(0.05, 305.0));
        let wide_open = drop(Element::Resistance { coefficient: Ratio::new::<ratio>(4.0) });
        assert!(wide_open > 1000.0);
        assert_relative_eq!(drop(valve(4.0, 500.0)), wide_open, max_relative = 1e-12);
        assert_relative_eq!(drop(valve(4.0, 2.0 * wide_open)), 2.0 * wide_open, max_relative = 1e-9);
    }

    /// Liquid on the edge of saturation that hardly moves: in a millionth of the leg the pressure falls by less than rounding
    /// resolves, and a step that changes nothing is always good.
    #[test]
    fn saturated_liquid_that_hardly_moves_is_soon_done() {
        let bubble = TestFluid.bubble_temperature(AbsolutePressure::from_pascal(15e5)).unwrap().get().value;
        let mut stations = 0;
        let level = line(50.0, vec![leg(0.01, 0.0)]);
        for offset_k in [0.0, -9.99e-10] {
            march(&TestFluid, &level, liquid(0.003, bubble - offset_k), Tolerance::default(), &mut |_| {
                stations += 1
            })
            .unwrap();
        }
        assert!(stations < 300, "{stations}");
    }

    #[test]
    fn falling_liquid_gains_flash_margin() {
        let outlet = walk(&line(10.0, vec![leg(8.0, -8.0)]), liquid(0.02, 305.0)).value;
        assert!(outlet.outlet.pressure > outlet.inlet.pressure);
    }

    #[test]
    fn a_hopeless_bore_uses_up_the_pressure_and_says_where() {
        let found =
            march(&TestFluid, &line(2.0, vec![leg(30.0, 0.0)]), gas(0.03), Tolerance::default(), &mut |_| {});
        let error = found.unwrap_err();
        let MarchError::PressureUsedUp { position_m } = error else { panic!("{error}") };
        assert!(position_m < 1.0, "{position_m}");
    }

    /// The gas reaches the speed of sound where its pressure has fallen to about `G sqrt(R T / gamma)`: 0.41 MPa here, far above
    /// the end of the data. Running into the data's end instead would read as "not checked", and a hopeless tube could be taken.
    #[test]
    fn gas_that_chokes_has_used_up_its_pressure() {
        let flux: f64 = 0.03 / (std::f64::consts::FRAC_PI_4 * 4e-6 * 4.0);
        let chokes_at_pa = flux * (GAS_CONSTANT * 350.0 * 810.0 / 900.0).sqrt();
        assert!(chokes_at_pa > 4.0 * crate::fluid::test_fluid::RANGE_PA.0, "{chokes_at_pa}");
        let mut lowest_pa = f64::INFINITY;
        let found = march(
            &TestFluid,
            &line(4.0, vec![leg(2.65, 0.0)]),
            gas(0.03),
            Tolerance::default(),
            &mut |station| lowest_pa = lowest_pa.min(station.local.pressure.pascal()),
        );
        assert!(matches!(found, Err(MarchError::PressureUsedUp { .. })), "{found:?}");
        // It stops a little sooner, where what is left of the way is seen to be hopeless.
        assert!(lowest_pa > chokes_at_pa && lowest_pa < 1.3 * chokes_at_pa, "{lowest_pa} {chokes_at_pa}");
    }

    #[test]
    fn outlet_pressure_is_met_and_the_way_back_agrees() {
        let there = line(9.0, vec![leg(20.0, 6.0), ELBOW, leg(10.0, 0.0)]);
        let wanted = AbsolutePressure::from_pascal(15e5);
        let outcome =
            march_to_outlet(&TestFluid, &there, &[], wanted, gas(0.03), Tolerance::default()).unwrap();
        assert_relative_eq!(outcome.value.outlet.pressure.pascal(), 15e5, max_relative = 1e-8);
        let again = walk(&there, Inlet { pressure: outcome.value.inlet.pressure, ..gas(0.03) });
        assert_eq!(again.value, outcome.value);
    }

    /// The outlet's own pressure could not even carry the flow a quarter of the way; three times as much can. Closed form as
    /// for the large drop above.
    #[test]
    fn an_inlet_far_above_the_outlet_is_found_and_one_beyond_the_data_refused() {
        let to = |length_m: f64| {
            let level = line(6.0, vec![leg(length_m, 0.0)]);
            let outlet = AbsolutePressure::from_pascal(5e5);
            march_to_outlet(&TestFluid, &level, &[], outlet, gas(0.02), Tolerance::default())
        };
        let flux: f64 = 0.02 / (std::f64::consts::FRAC_PI_4 * 36e-6);
        let factor = friction::kernel::darcy_friction_factor(flux * 6e-3 / 1.2e-5, 0.0015 / 6.0).0;
        let inlet_pa = (25e10 + factor * (45.0 / 6e-3) * flux * flux * GAS_CONSTANT * 360.0).sqrt();
        assert!(inlet_pa > 13e5, "{inlet_pa}");
        // Acceleration, which the closed form leaves out, takes 1.2 % more here.
        let found_pa = to(45.0).unwrap().value.inlet.pressure.pascal();
        assert!((1.0..1.02).contains(&(found_pa / inlet_pa)), "{found_pa} {inlet_pa}");
        assert_eq!(to(2000.0), Err(MarchError::NoInletPressure));
    }

    #[test]
    fn geometry_that_can_not_be_is_refused() {
        let good = line(8.0, vec![leg(1.0, 0.0)]);
        let with = |elements| line(8.0, elements);
        for (line, inlet) in [
            (line(0.0, vec![leg(1.0, 0.0)]), gas(0.01)),
            (line(f64::NAN, vec![leg(1.0, 0.0)]), gas(0.01)),
            (line(1e200, vec![leg(1.0, 0.0)]), gas(0.01)),
            (with(vec![leg(1.0, 1.1)]), gas(0.01)),
            (with(vec![leg(-1.0, 0.0)]), gas(0.01)),
            (with(vec![leg(f64::NAN, 0.0)]), gas(0.01)),
            (good.clone(), gas(-0.01)),
            (good.clone(), gas(f64::INFINITY)),
        ] {
            let found = march(&TestFluid, &line, inlet, Tolerance::default(), &mut |_| {});
            assert!(matches!(found, Err(MarchError::Geometry { .. })), "{found:?}");
        }
        for (exchange, what) in [
            (linear(-0.1, 300.0), "a conductance (W/(m K))"),
            (linear(f64::NAN, 300.0), "a conductance (W/(m K))"),
            (linear(0.1, f64::NAN), "surroundings (K)"),
        ] {
            let found =
                march_with_heat(&TestFluid, &good, &[exchange], gas(0.01), Tolerance::default(), &mut |_| {});
            assert!(
                matches!(found, Err(MarchError::Geometry { what: said, .. }) if said == what),
                "{found:?}"
            );
        }
        let boundless = [linear(1e7, 330.0)];
        let found =
            march_with_heat(&TestFluid, &good, &boundless, gas(0.01), Tolerance::default(), &mut |_| {});
        match found {
            Ok(outcome) => {
                assert_relative_eq!(outcome.value.outlet.temperature.get::<kelvin>(), 330.0, epsilon = 0.01);
            }
            Err(error) => assert!(matches!(error, MarchError::TooSteep { .. }), "{error}"),
        }
        let too_fine = Tolerance { step: Ratio::new::<ratio>(0.5 * Tolerance::FINEST) };
        let found = march(&TestFluid, &good, gas(0.01), too_fine, &mut |_| {});
        assert!(matches!(found, Err(MarchError::Geometry { what: "a tolerance", .. })), "{found:?}");
    }

    #[test]
    fn every_factor_moves_the_drop_the_right_way() {
        let base = line(8.0, vec![leg(30.0, 0.0), ELBOW]);
        let nudged = |lever| Line { factors: Factors::default().nudged(lever, 0.1), ..base.clone() };
        let drop = |line: &Line| drop_pa(line, gas(0.02));
        let before = drop(&base);
        assert!(drop(&nudged(Lever::Density)) < before);
        assert!(drop(&nudged(Lever::Viscosity)) > before);
        assert!(drop(&nudged(Lever::Friction)) > 1.09 * before);
        assert!(drop(&nudged(Lever::Length)) > 1.05 * before);
        assert_relative_eq!(
            walk(&nudged(Lever::Density), liquid(0.0, 305.0)).value.charge.value,
            1.1 * walk(&base, liquid(0.0, 305.0)).value.charge.value,
            max_relative = 1e-9
        );
    }

    #[test]
    fn risers_report_the_gas_that_carries_oil_worst() {
        let with_riser = walk(&line(9.0, vec![leg(20.0, 0.0), leg(5.0, 5.0)]), gas(0.03)).value;
        let riser = with_riser.riser.unwrap();
        let density = riser.density.value;
        // The pressure falls on the way up, so the foot is the worst place.
        assert!(density < with_riser.inlet.density.value && density > with_riser.outlet.density.value);
        assert_eq!(riser.share.value, 1.0);
        assert_eq!(walk(&line(9.0, vec![leg(20.0, 0.0), leg(5.0, -5.0)]), gas(0.03)).value.riser, None);
        // Cooled on the way up until a part of it condenses: the top is the worst place, and gas alone carries.
        let cooled = warmed(&line(9.0, vec![leg(30.0, 30.0)]), &[linear(1.0, 300.0)], gas(0.01)).value;
        let Flow::TwoPhase { quality, .. } = cooled.outlet.flow else { panic!("{cooled:?}") };
        let riser = cooled.riser.unwrap();
        assert_eq!(riser.share, quality);
        assert!(riser.density.value < 1.3 * cooled.inlet.density.value, "of the gas, not of the mixture");
        assert_eq!(walk(&line(9.0, vec![leg(5.0, 5.0)]), liquid(0.03, 300.0)).value.riser, None);
    }

    #[test]
    fn gas_near_the_end_of_the_data_and_laminar_flow_are_said() {
        let level = line(8.0, vec![leg(1.0, 0.0)]);
        assert!(walk(&level, gas(1e-5)).caveats.has(Caveat::LaminarFlow));
        let hot = inlet(Phase::Vapour, 38e5, 400.0, 0.01);
        assert!(walk(&level, hot).caveats.has(Caveat::NearCritical));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]

        #[test]
        fn more_length_more_drop(length in 1.0..40.0_f64, more in 0.01..5.0_f64, rate in 0.001..0.02_f64) {
            let one = drop_pa(&line(9.0, vec![leg(length, 0.0)]), gas(rate));
            prop_assert!(drop_pa(&line(9.0, vec![leg(length + more, 0.0)]), gas(rate)) > one);
        }

        #[test]
        fn wider_bore_less_drop(bore in 8.0..30.0_f64, more in 0.1..5.0_f64, rate in 0.001..0.01_f64) {
            let one = drop_pa(&line(bore, vec![leg(20.0, 0.0), ELBOW]), gas(rate));
            prop_assert!(drop_pa(&line(bore + more, vec![leg(20.0, 0.0), ELBOW]), gas(rate)) < one);
        }

        #[test]
        fn doubled_flow_takes_nearly_four_times_the_drop(rate in 0.04..0.2_f64) {
            let level = line(16.0, vec![leg(5.0, 0.0)]);
            let times = drop_pa(&level, liquid(2.0 * rate, 300.0)) / drop_pa(&level, liquid(rate, 300.0));
            prop_assert!((3.4..3.8).contains(&times), "{}", times);
        }
    }
}
