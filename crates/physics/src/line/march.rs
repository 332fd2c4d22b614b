//! The march: pressure and enthalpy along a line, from its inlet to its outlet.

use super::{Element, Line};
use crate::{
    fittings::{equivalent_length, kernel::ThreeKInBore},
    fluid::{OutsideRange, Phase, Refrigerant, Region, State},
    friction,
    outcome::{Caveat, Caveats, Method, Outcome},
    units::{
        AbsolutePressure, EquivalentLength, Length, Mass, MassDensity, MassRate, Pressure, Ratio,
        STANDARD_GRAVITY_M_S2, SpecificEnthalpy, TemperatureInterval, Velocity, delta,
    },
};
use thiserror::Error;
use uom::si::{
    available_energy::joule_per_kilogram, length::inch, length::meter, mass::kilogram,
    mass_density::kilogram_per_cubic_meter, pressure::pascal, ratio::ratio,
    temperature_interval::kelvin as kelvin_interval, velocity::meter_per_second,
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

/// Accuracy asked of the march.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// Error admitted in one step, as a share of the pressure.
    pub step: Ratio,
}

impl Default for Tolerance {
    /// 1e-7 of the pressure a step: about 1e-5 of the drop of an ordinary line.
    fn default() -> Self {
        Self { step: Ratio::new::<ratio>(1e-7) }
    }
}

/// A place along the line, reported to the observer: the inlet, then the end of every step and of every fitting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// Index of the element that ends here (the first element for the inlet).
    pub element: usize,
    /// Distance from the inlet along the tube.
    pub position: Length,
    /// Height above the inlet.
    pub height: Length,
    /// State of the refrigerant.
    pub state: State,
    /// Velocity.
    pub velocity: Velocity,
    /// Bubble temperature less liquid temperature (liquid), or vapour temperature less dew temperature (vapour):
    /// what is left before the other phase appears; negative beyond.
    pub phase_margin: TemperatureInterval,
}

/// What leaves a line, and what was met on the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outlet {
    /// State at the inlet.
    pub inlet: State,
    /// State at the outlet.
    pub outlet: State,
    /// Inlet less outlet pressure: friction, fittings and height.
    pub pressure_drop: Pressure,
    /// Share of friction in straight tube.
    pub friction_drop: Pressure,
    /// Share of fittings and fixed resistances.
    pub fittings_drop: Pressure,
    /// Share of height: positive where the outlet is higher.
    pub static_drop: Pressure,
    /// Greatest velocity.
    pub velocity_max: Velocity,
    /// Refrigerant held by the line.
    pub charge: Mass,
    /// Least phase margin along the line.
    pub least_phase_margin: TemperatureInterval,
    /// Where the other phase would begin.
    pub saturation_reached_at: Option<Length>,
    /// Run plus fittings expressed as tube, at the inlet's friction factor.
    pub equivalent_length: EquivalentLength,
    /// Greatest density of the gas at the foot of a rising leg; none without one.
    pub densest_at_riser: Option<MassDensity>,
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
    /// Friction used up the pressure: none is left, or gas has reached `rho v^2 = p`, beyond which no steady flow in a
    /// tube exists (choking of isothermal flow; any text of gas dynamics). Without acceleration, which this march leaves
    /// out, the true flow chokes sooner still.
    #[error("the pressure is used up {position_m:.2} m from the inlet")]
    PressureUsedUp {
        /// Distance from the inlet, m.
        position_m: f64,
    },
    /// No inlet pressure was found that gives the outlet pressure asked for.
    #[error("no inlet pressure gives the outlet pressure asked for")]
    NoInletPressure,
    /// A bore, roughness, length, rise or mass rate that can not be.
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
/// `dp/ds = -f rho v^2 / (2 D) - rho g dz/ds` and `dh/ds = -g dz/ds` (adiabatic) along each leg by the embedded
/// Runge-Kutta pair 3(2) of P. Bogacki and L. F. Shampine, Appl. Math. Letters 2 (1989), p. 321, with steps chosen
/// for `tolerance`; at a fitting `dp = K rho v^2 / 2`, K by the 3-K method, with the density before it. Charge is
/// `rho A ds`, summed with the same formula.
///
/// # Validity
/// One phase, steady flow, no heat exchange, no acceleration: where these fail the outcome's caveats say so. Liquid that
/// reaches its bubble line (vapour its dew line) goes on with frozen density and viscosity, a lower bound of the drop.
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
    let mut walk = Walk::start(fluid, line, inlet, tolerance)?;
    walk.refuse_hopeless(walk.slope(&walk.state, 0.0).0.friction_pa)?;
    observe(&walk.station(0));
    for (index, element) in line.elements.iter().enumerate() {
        match *element {
            Element::Leg { length, rise } => walk.leg(index, length, rise, observe)?,
            Element::Fitting { coefficients, count } => {
                let in_bore = ThreeKInBore::new(&coefficients, line.bore.get().get::<inch>());
                for _ in 0..count {
                    walk.resistance(index, in_bore.resistance(walk.reynolds()), observe)?;
                }
            }
            Element::Resistance { coefficient } => {
                walk.resistance(index, coefficient.get::<ratio>(), observe)?
            }
        }
    }
    Ok(walk.finish())
}

/// Marches so that the outlet has a given pressure: for a line whose far end is held, such as a discharge line at the
/// condenser. `inlet.pressure` is ignored; the enthalpy is that of the inlet.
///
/// Solved by the secant method on the inlet pressure to 1e-8 of it.
///
/// # Errors
/// As [`march`], and [`MarchError::NoInletPressure`] where the iteration finds none.
pub fn march_to_outlet(
    fluid: &dyn Refrigerant,
    line: &Line,
    outlet_pressure: AbsolutePressure,
    inlet: Inlet,
    tolerance: Tolerance,
) -> Result<Outcome<Outlet>, MarchError> {
    let from = |inlet_pa: f64| {
        march(
            fluid,
            line,
            Inlet { pressure: AbsolutePressure::from_pascal(inlet_pa), ..inlet },
            tolerance,
            &mut |_| {},
        )
    };
    let wanted_pa = outlet_pressure.pascal();
    property(fluid, inlet.phase, wanted_pa, inlet.enthalpy.value)
        .map_err(|source| MarchError::Property { position_m: 0.0, source })?;
    // The outlet's own pressure may be too little to arrive at all: start higher until the far end is reached. Where the
    // data end first, the tube wants a pressure that the refrigerant has not.
    let mut inlet_pa = wanted_pa;
    let mut found = from(inlet_pa);
    while let Err(MarchError::PressureUsedUp { .. }) = found {
        inlet_pa *= 1.3;
        found = from(inlet_pa);
    }
    let mut before: Option<(f64, f64)> = None;
    for _ in 0..40 {
        let outcome = match found {
            Err(MarchError::Property { .. } | MarchError::PressureUsedUp { .. }) => {
                return Err(MarchError::NoInletPressure);
            }
            other => other?,
        };
        let miss_pa = outcome.value.outlet.pressure.pascal() - wanted_pa;
        if miss_pa.abs() <= 1e-8 * wanted_pa {
            return Ok(outcome);
        }
        let slope = match before {
            Some((other_pa, other_miss_pa)) if other_miss_pa != miss_pa => {
                ((miss_pa - other_miss_pa) / (inlet_pa - other_pa)).clamp(0.2, 20.0)
            }
            // The drop of a gas goes with the inverse of its pressure.
            _ => 1.0 + outcome.value.pressure_drop.value.max(0.0) / inlet_pa,
        };
        before = Some((inlet_pa, miss_pa));
        inlet_pa -= miss_pa / slope;
        found = from(inlet_pa);
    }
    Err(MarchError::NoInletPressure)
}

/// The four integrated quantities.
#[derive(Clone, Copy, Debug, Default)]
struct Course {
    pressure_pa: f64,
    enthalpy_j_kg: f64,
    charge_kg: f64,
    friction_pa: f64,
}

impl Course {
    fn plus(self, step_m: f64, weighted: &[(f64, Self)]) -> Self {
        weighted.iter().fold(self, |sum, (weight, slope)| Self {
            pressure_pa: sum.pressure_pa + step_m * weight * slope.pressure_pa,
            enthalpy_j_kg: sum.enthalpy_j_kg + step_m * weight * slope.enthalpy_j_kg,
            charge_kg: sum.charge_kg + step_m * weight * slope.charge_kg,
            friction_pa: sum.friction_pa + step_m * weight * slope.friction_pa,
        })
    }
}

/// What a stage evaluation can meet.
enum Stop {
    /// The other phase, met this many kelvin beyond the saturation line.
    Saturation {
        beyond_k: f64,
    },
    Error(MarchError),
}

/// Margin at which saturation counts as reached, K.
const AT_SATURATION_K: f64 = 1e-5;

/// Share of a pressure below which its change drowns in rounding.
const RESOLVED: f64 = 1e-13;

struct Walk<'a> {
    fluid: &'a dyn Refrigerant,
    line: &'a Line,
    phase: Phase,
    tolerance: f64,
    /// Mass flux, kg/(m2 s).
    flux: f64,
    area_m2: f64,
    bore_m: f64,
    relative_roughness: f64,
    /// Length of the whole way, and height that its falling legs give back.
    run_m: f64,
    fall_m: f64,
    inlet_factor: Ratio,
    at: Course,
    state: State,
    inlet: State,
    position_m: f64,
    height_m: f64,
    static_pa: f64,
    fittings_pa: f64,
    equivalent_m: f64,
    velocity_max_m_s: f64,
    least_margin_k: f64,
    saturation_at_m: Option<f64>,
    riser_kg_m3: Option<f64>,
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
            (line.bore.get().value, line.roughness.value, inlet.mass_rate.value);
        for (what, value, good) in [
            ("a bore (m)", bore_m, bore_m > 0.0),
            ("a roughness (m)", roughness_m, roughness_m >= 0.0),
            ("a mass rate (kg/s)", rate_kg_s, rate_kg_s >= 0.0),
            ("a tolerance", tolerance.step.value, tolerance.step.value > 0.0),
        ] {
            if !(good && value.is_finite()) {
                return Err(MarchError::Geometry { what, value });
            }
        }
        let area_m2 = line.bore.area().value;
        let state = property(fluid, inlet.phase, inlet.pressure.pascal(), inlet.enthalpy.value)
            .map_err(|source| MarchError::Property { position_m: 0.0, source })?;
        let mut walk = Self {
            fluid,
            line,
            phase: inlet.phase,
            tolerance: tolerance.step.get::<ratio>(),
            flux: rate_kg_s / area_m2,
            area_m2,
            bore_m,
            relative_roughness: roughness_m / bore_m,
            run_m: line.run().get::<meter>() * line.factors.length,
            fall_m: line.legs().map(|(_, rise)| (-rise.get::<meter>()).max(0.0)).sum(),
            inlet_factor: Ratio::new::<ratio>(0.0),
            at: Course {
                pressure_pa: inlet.pressure.pascal(),
                enthalpy_j_kg: inlet.enthalpy.value,
                ..Course::default()
            },
            state,
            inlet: state,
            position_m: 0.0,
            height_m: 0.0,
            static_pa: 0.0,
            fittings_pa: 0.0,
            equivalent_m: 0.0,
            velocity_max_m_s: 0.0,
            least_margin_k: f64::INFINITY,
            saturation_at_m: None,
            riser_kg_m3: None,
            caveats: Caveats::default(),
        };
        let near = fluid
            .distance_to_last_saturation(inlet.pressure)
            .map_err(|source| MarchError::Property { position_m: 0.0, source })?;
        if near < 15.0 {
            walk.caveats.add(Caveat::NearCritical);
        }
        if walk.flux > 0.0 {
            let (factor, noted) =
                friction::kernel::darcy_friction_factor(walk.reynolds(), walk.relative_roughness);
            walk.inlet_factor = Ratio::new::<ratio>(factor);
            walk.caveats.merge(noted);
        }
        walk.note_station()?;
        Ok(walk)
    }

    fn density_kg_m3(&self, state: &State) -> f64 {
        state.density.value * self.line.factors.density
    }

    fn reynolds_of(&self, state: &State) -> f64 {
        self.flux * self.bore_m / (state.viscosity.value * self.line.factors.viscosity)
    }

    fn reynolds(&self) -> f64 {
        self.reynolds_of(&self.state)
    }

    /// State at a stage; frozen once the other phase was reached.
    fn stage(&self, course: &Course) -> Result<State, Stop> {
        if course.pressure_pa.is_nan() || course.pressure_pa <= 0.0 {
            return Err(Stop::Error(MarchError::PressureUsedUp { position_m: self.position_m }));
        }
        if self.saturation_at_m.is_some() {
            return Ok(State { pressure: AbsolutePressure::from_pascal(course.pressure_pa), ..self.state });
        }
        property(self.fluid, self.phase, course.pressure_pa, course.enthalpy_j_kg).map_err(|source| {
            let below = source.value < source.low;
            match source.region {
                Region::Superheat | Region::Subcooling if below => {
                    Stop::Saturation { beyond_k: -source.value }
                }
                // The inlet was inside the data: a line that falls out of them at the cold end has lost its pressure.
                Region::BubblePressure | Region::DewPressure if below => {
                    Stop::Error(MarchError::PressureUsedUp { position_m: self.position_m })
                }
                _ => Stop::Error(MarchError::Property { position_m: self.position_m, source }),
            }
        })
    }

    /// Slopes along the tube at a state; `climb` is height gained per length.
    fn slope(&self, state: &State, climb: f64) -> (Course, Caveats) {
        let density_kg_m3 = self.density_kg_m3(state);
        let (mut friction_pa_m, mut caveats) = (0.0, Caveats::default());
        if self.flux > 0.0 {
            let (factor, noted) =
                friction::kernel::darcy_friction_factor(self.reynolds_of(state), self.relative_roughness);
            caveats = noted;
            friction_pa_m = self.line.factors.friction * factor * self.flux * self.flux
                / (2.0 * density_kg_m3 * self.bore_m);
        }
        let slope = Course {
            pressure_pa: -friction_pa_m - density_kg_m3 * STANDARD_GRAVITY_M_S2 * climb,
            enthalpy_j_kg: -STANDARD_GRAVITY_M_S2 * climb,
            charge_kg: density_kg_m3 * self.area_m2,
            friction_pa: friction_pa_m,
        };
        (slope, caveats)
    }

    /// Spares the small steps into a dead end: a line has no outlet whose friction, at the gradient of here, takes more on
    /// the rest of the way than the pressure of here and all that falling legs give back. Liquid keeps its gradient. That
    /// of gas grows as the pressure falls: an ideal gas at constant temperature has no outlet beyond half of its pressure
    /// (`p^2` falls along a straight line); three quarters leave room for gas that cools on the way.
    fn refuse_hopeless(&self, friction_pa_m: f64) -> Result<(), MarchError> {
        let share = match self.phase {
            Phase::Liquid => 1.0,
            Phase::Vapour => 0.75,
        };
        let regained_pa = self.density_kg_m3(&self.state) * STANDARD_GRAVITY_M_S2 * self.fall_m;
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
        if climb > 0.0 {
            let density = self.density_kg_m3(&self.state);
            self.riser_kg_m3 = Some(self.riser_kg_m3.map_or(density, |densest| densest.max(density)));
        }
        self.equivalent_m += length_m;
        let shortest_m = 1e-6 * length_m;
        let (mut done_m, mut step_m) = (0.0, length_m);
        let (mut first, noted) = self.slope(&self.state, climb);
        self.caveats.merge(noted);
        while done_m < length_m {
            step_m = step_m.min(length_m - done_m);
            match self.try_step(first, climb, step_m) {
                Ok(step) => {
                    let admitted_pa = self.tolerance * self.at.pressure_pa;
                    let growth = 0.9 * (admitted_pa / step.error_pa.max(1e-30)).cbrt();
                    if step.error_pa > admitted_pa && step_m > shortest_m {
                        step_m *= growth.clamp(0.1, 0.9);
                        continue;
                    }
                    let friction_pa = step.end.friction_pa - self.at.friction_pa;
                    self.static_pa += self.at.pressure_pa - step.end.pressure_pa - friction_pa;
                    self.at = step.end;
                    self.state = step.state;
                    self.caveats.merge(step.caveats);
                    done_m += step_m;
                    self.position_m += step_m;
                    self.height_m += climb * step_m;
                    if length_m - done_m < shortest_m {
                        done_m = length_m;
                    }
                    first = step.slope;
                    self.note_station()?;
                    self.refuse_hopeless(first.friction_pa)?;
                    observe(&self.station(index));
                    step_m *= growth.clamp(0.2, 8.0);
                }
                // As good as there, or so slow that a step changes nothing: the other phase begins here.
                Err(Stop::Saturation { .. })
                    if self.margin_k() < AT_SATURATION_K
                        || step_m <= shortest_m
                        || step_m * first.pressure_pa.abs() <= RESOLVED * self.at.pressure_pa =>
                {
                    self.freeze();
                    step_m = length_m - done_m;
                }
                // Up to just before where the straight line from here to the trial state crosses.
                Err(Stop::Saturation { beyond_k }) => {
                    let margin_k = self.margin_k();
                    step_m *= (0.99 * margin_k / (margin_k + beyond_k)).clamp(0.05, 0.9);
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
        Ok(())
    }

    fn try_step(&self, first: Course, climb: f64, step_m: f64) -> Result<Step, Stop> {
        let mut caveats = Caveats::default();
        let mut evaluate = |course: Course| {
            let state = self.stage(&course)?;
            let (slope, noted) = self.slope(&state, climb);
            caveats.merge(noted);
            Ok((state, slope))
        };
        let (_, second) = evaluate(self.at.plus(step_m, &[(0.5, first)]))?;
        let (_, third) = evaluate(self.at.plus(step_m, &[(0.75, second)]))?;
        let end = self.at.plus(step_m, &[(2.0 / 9.0, first), (1.0 / 3.0, second), (4.0 / 9.0, third)]);
        let (state, slope) = evaluate(end)?;
        let lower =
            self.at.plus(step_m, &[(7.0 / 24.0, first), (0.25, second), (1.0 / 3.0, third), (0.125, slope)]);
        Ok(Step { end, state, slope, error_pa: (end.pressure_pa - lower.pressure_pa).abs(), caveats })
    }

    fn resistance(
        &mut self,
        index: usize,
        coefficient: f64,
        observe: &mut dyn FnMut(&Station),
    ) -> Result<(), MarchError> {
        if self.flux > 0.0 {
            let drop_pa = self.line.factors.friction * coefficient * self.flux * self.flux
                / (2.0 * self.density_kg_m3(&self.state));
            let (resistance, factor) = (Ratio::new::<ratio>(coefficient), self.inlet_factor);
            self.equivalent_m += equivalent_length(resistance, self.line.bore, factor).get().value;
            let after = Course { pressure_pa: self.at.pressure_pa - drop_pa, ..self.at };
            let state = match self.stage(&after) {
                Err(Stop::Saturation { .. }) => {
                    self.freeze();
                    State { pressure: AbsolutePressure::from_pascal(after.pressure_pa), ..self.state }
                }
                Err(Stop::Error(error)) => return Err(error),
                Ok(state) => state,
            };
            self.fittings_pa += drop_pa;
            self.at = after;
            self.state = state;
            self.note_station()?;
        }
        observe(&self.station(index));
        Ok(())
    }

    /// The other phase begins here: what follows keeps this density, viscosity and temperature.
    fn freeze(&mut self) {
        self.saturation_at_m = Some(self.position_m);
        self.caveats.add(match self.phase {
            Phase::Liquid => Caveat::FlashTreatedAsLiquid,
            Phase::Vapour => Caveat::CondensationTreatedAsVapour,
        });
    }

    fn velocity_m_s(&self) -> f64 {
        self.flux / self.density_kg_m3(&self.state)
    }

    /// Not a number below the end of the saturation data, where no margin can be stated.
    fn margin_k(&self) -> f64 {
        if self.saturation_at_m.is_none() {
            return self.state.saturation_distance.get::<kelvin_interval>();
        }
        let pressure = AbsolutePressure::from_pascal(self.at.pressure_pa);
        let temperature = self.state.temperature;
        let margin = match self.phase {
            Phase::Liquid => {
                self.fluid.bubble_temperature(pressure).map(|bubble| delta(bubble.get(), temperature))
            }
            Phase::Vapour => self.fluid.dew_temperature(pressure).map(|dew| delta(temperature, dew.get())),
        };
        margin.map_or(f64::NAN, |margin| margin.get::<kelvin_interval>())
    }

    /// Notes what is greatest and least along the line, and stops where the gas can go no further.
    fn note_station(&mut self) -> Result<(), MarchError> {
        let velocity_m_s = self.velocity_m_s();
        self.velocity_max_m_s = self.velocity_max_m_s.max(velocity_m_s);
        self.least_margin_k = self.least_margin_k.min(self.margin_k());
        if self.phase == Phase::Vapour {
            let dynamic_pa = self.density_kg_m3(&self.state) * velocity_m_s * velocity_m_s;
            if dynamic_pa >= self.at.pressure_pa {
                return Err(MarchError::PressureUsedUp { position_m: self.position_m });
            }
            if dynamic_pa > 0.01 * self.at.pressure_pa {
                self.caveats.add(Caveat::AccelerationLeftOut);
            }
        }
        Ok(())
    }

    fn station(&self, element: usize) -> Station {
        Station {
            element,
            position: Length::new::<meter>(self.position_m),
            height: Length::new::<meter>(self.height_m),
            state: self.state,
            velocity: Velocity::new::<meter_per_second>(self.velocity_m_s()),
            phase_margin: TemperatureInterval::new::<kelvin_interval>(self.margin_k()),
        }
    }

    fn finish(self) -> Outcome<Outlet> {
        let pressure = |pressure_pa: f64| Pressure::new::<pascal>(pressure_pa);
        let density = MassDensity::new::<kilogram_per_cubic_meter>;
        let value = Outlet {
            inlet: self.inlet,
            outlet: self.state,
            pressure_drop: pressure(self.inlet.pressure.pascal() - self.at.pressure_pa),
            friction_drop: pressure(self.at.friction_pa),
            fittings_drop: pressure(self.fittings_pa),
            static_drop: pressure(self.static_pa),
            velocity_max: Velocity::new::<meter_per_second>(self.velocity_max_m_s),
            charge: Mass::new::<kilogram>(self.at.charge_kg),
            least_phase_margin: TemperatureInterval::new::<kelvin_interval>(self.least_margin_k),
            saturation_reached_at: self.saturation_at_m.map(Length::new::<meter>),
            equivalent_length: EquivalentLength::new(Length::new::<meter>(self.equivalent_m)),
            densest_at_riser: self.riser_kg_m3.map(density),
        };
        Outcome { value, method: Method::AdiabaticMarch, caveats: self.caveats }
    }
}

struct Step {
    end: Course,
    state: State,
    slope: Course,
    error_pa: f64,
    caveats: Caveats,
}

fn property(
    fluid: &dyn Refrigerant,
    phase: Phase,
    pressure_pa: f64,
    enthalpy_j_kg: f64,
) -> Result<State, OutsideRange> {
    let pressure = AbsolutePressure::from_pascal(pressure_pa);
    let enthalpy = SpecificEnthalpy::new::<joule_per_kilogram>(enthalpy_j_kg);
    match phase {
        Phase::Vapour => fluid.vapour(pressure, enthalpy),
        Phase::Liquid => fluid.liquid(pressure, enthalpy),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        fittings::ThreeK,
        fluid::test_fluid::{GAS_CONSTANT, TestFluid},
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

    /// Isothermal ideal gas with a constant friction factor: `p1^2 - p2^2 = f (L/D) G^2 R T` (any gas dynamics text,
    /// acceleration left out). The test gas keeps its temperature, viscosity and so its friction factor.
    #[test]
    fn gas_with_a_large_drop_follows_the_closed_form() {
        let (line, inlet) = (line(8.0, vec![leg(30.0, 0.0)]), gas(0.03));
        let outcome = walk(&line, inlet);
        let flux: f64 = 0.03 / (std::f64::consts::FRAC_PI_4 * 64e-6);
        let factor = friction::kernel::darcy_friction_factor(flux * 8e-3 / 1.2e-5, 0.0015 / 8.0).0;
        let end_pa = (15e5_f64.powi(2) - factor * (30.0 / 8e-3) * flux * flux * GAS_CONSTANT * 360.0).sqrt();
        assert!(end_pa < 14.25e5, "the drop must be large to tell anything: {end_pa}");
        assert_relative_eq!(outcome.value.outlet.pressure.pascal(), end_pa, max_relative = 1e-7);
    }

    #[test]
    fn whole_line_and_three_unequal_pieces_agree() {
        let whole = line(8.0, vec![leg(30.0, 9.0)]);
        let pieces = line(8.0, vec![leg(3.0, 0.9), leg(20.0, 6.0), leg(7.0, 2.1)]);
        let (one, three) = (walk(&whole, gas(0.03)).value, walk(&pieces, gas(0.03)).value);
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
    fn flashing_is_found_where_it_starts_and_goes_on_as_liquid() {
        // 1000 kg/m3 rising 8 m loses 78.5 kPa; the margin at 1 K of subcooling is used up on the way.
        let bubble = TestFluid.bubble_temperature(AbsolutePressure::from_pascal(15e5)).unwrap().get().value;
        let riser = line(10.0, vec![leg(8.0, 8.0)]);
        let mut stations = Vec::new();
        let inlet = liquid(0.02, bubble - 1.0);
        let outcome =
            march(&TestFluid, &riser, inlet, Tolerance::default(), &mut |station| stations.push(*station))
                .unwrap();
        assert!(outcome.caveats.has(Caveat::FlashTreatedAsLiquid));
        let at_m = outcome.value.saturation_reached_at.unwrap().get::<meter>();
        let margin = |station: &Station| station.phase_margin.get::<kelvin_interval>();
        let before = stations.iter().rfind(|station| station.position.value <= at_m).unwrap();
        assert!(margin(before).abs() < 1e-3, "{}", margin(before));
        assert!(outcome.value.least_phase_margin.get::<kelvin_interval>() < -0.5);
        assert_eq!(stations.last().unwrap().position.value, 8.0);
        assert!(!walk(&riser, liquid(0.02, bubble - 10.0)).caveats.has(Caveat::FlashTreatedAsLiquid));
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

    /// `rho v^2 = p` where the pressure has fallen to `G sqrt(R T)`: 0.43 MPa here, far above the end of the data. Running
    /// into the data's end instead would read as "not checked", and a hopeless tube could be taken.
    #[test]
    fn gas_that_chokes_has_used_up_its_pressure() {
        let flux: f64 = 0.03 / (std::f64::consts::FRAC_PI_4 * 4e-6 * 4.0);
        let chokes_at_pa = flux * (GAS_CONSTANT * 360.0).sqrt();
        assert!(chokes_at_pa > 4.0 * crate::fluid::test_fluid::RANGE_PA.0, "{chokes_at_pa}");
        let mut lowest_pa = f64::INFINITY;
        let found = march(
            &TestFluid,
            &line(4.0, vec![leg(2.8, 0.0)]),
            gas(0.03),
            Tolerance::default(),
            &mut |station| lowest_pa = lowest_pa.min(station.state.pressure.pascal()),
        );
        assert!(matches!(found, Err(MarchError::PressureUsedUp { .. })), "{found:?}");
        assert!(lowest_pa > chokes_at_pa && lowest_pa < 1.1 * chokes_at_pa, "{lowest_pa} {chokes_at_pa}");
    }

    #[test]
    fn outlet_pressure_is_met_and_the_way_back_agrees() {
        let there = line(9.0, vec![leg(20.0, 6.0), ELBOW, leg(10.0, 0.0)]);
        let wanted = AbsolutePressure::from_pascal(15e5);
        let outcome = march_to_outlet(&TestFluid, &there, wanted, gas(0.03), Tolerance::default()).unwrap();
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
            march_to_outlet(&TestFluid, &level, outlet, gas(0.02), Tolerance::default())
        };
        let flux: f64 = 0.02 / (std::f64::consts::FRAC_PI_4 * 36e-6);
        let factor = friction::kernel::darcy_friction_factor(flux * 6e-3 / 1.2e-5, 0.0015 / 6.0).0;
        let inlet_pa = (25e10 + factor * (45.0 / 6e-3) * flux * flux * GAS_CONSTANT * 360.0).sqrt();
        assert!(inlet_pa > 13e5, "{inlet_pa}");
        assert_relative_eq!(to(45.0).unwrap().value.inlet.pressure.pascal(), inlet_pa, max_relative = 1e-6);
        assert_eq!(to(2000.0), Err(MarchError::NoInletPressure));
    }

    #[test]
    fn geometry_that_can_not_be_is_refused() {
        let good = line(8.0, vec![leg(1.0, 0.0)]);
        let with = |elements| line(8.0, elements);
        for (line, inlet) in [
            (line(0.0, vec![leg(1.0, 0.0)]), gas(0.01)),
            (line(f64::NAN, vec![leg(1.0, 0.0)]), gas(0.01)),
            (with(vec![leg(1.0, 1.1)]), gas(0.01)),
            (with(vec![leg(-1.0, 0.0)]), gas(0.01)),
            (with(vec![leg(f64::NAN, 0.0)]), gas(0.01)),
            (good.clone(), gas(-0.01)),
            (good.clone(), gas(f64::INFINITY)),
        ] {
            let found = march(&TestFluid, &line, inlet, Tolerance::default(), &mut |_| {});
            assert!(matches!(found, Err(MarchError::Geometry { .. })), "{found:?}");
        }
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
    fn risers_report_the_gas_at_their_foot() {
        let with_riser = walk(&line(9.0, vec![leg(20.0, 0.0), leg(5.0, 5.0)]), gas(0.03)).value;
        let density = with_riser.densest_at_riser.unwrap().value;
        assert!(density < with_riser.inlet.density.value && density > with_riser.outlet.density.value);
        assert_eq!(
            walk(&line(9.0, vec![leg(20.0, 0.0), leg(5.0, -5.0)]), gas(0.03)).value.densest_at_riser,
            None
        );
    }

    #[test]
    fn fast_gas_near_the_end_of_the_data_and_laminar_flow_are_said() {
        let level = line(8.0, vec![leg(1.0, 0.0)]);
        assert!(walk(&level, gas(0.1)).caveats.has(Caveat::AccelerationLeftOut));
        assert!(!walk(&level, gas(0.01)).caveats.has(Caveat::AccelerationLeftOut));
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
