//! One metre of tube in its surroundings: heat, surface temperature, resistances.

use super::{HeatError, Quantity, Surface, air, positive, within};
use crate::{
    outcome::{Caveats, Method, Outcome},
    root,
    tube::Tube,
    units::{
        AbsolutePressure, ConductancePerLength, HeatFluxDensity, HeatTransfer, Length, LinearPowerDensity,
        MassRate, ResistanceOfLength, SpecificHeatCapacity, TemperatureCoefficient, TemperatureInterval,
        ThermalConductivity, ThermodynamicTemperature, Velocity, delta,
    },
};
use uom::si::{
    heat_transfer::watt_per_square_meter_kelvin, linear_power_density::watt_per_meter, ratio::ratio,
    temperature_coefficient::per_kelvin, temperature_interval, thermal_conductivity::watt_per_meter_kelvin,
    thermodynamic_temperature::kelvin,
};

/// Conductivity that goes with temperature in a straight line: `k = k_0 (1 + a (T - T_0))`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conductivity {
    /// Value at the reference temperature, the mean temperature of the test.
    pub value: ThermalConductivity,
    /// Reference temperature.
    pub reference: ThermodynamicTemperature,
    /// Relative change per kelvin; zero where the data give one value.
    pub slope: TemperatureCoefficient,
}

impl Conductivity {
    /// One value at all temperatures.
    #[must_use]
    pub fn constant(value: ThermalConductivity) -> Self {
        Self {
            value,
            reference: ThermodynamicTemperature::new::<kelvin>(273.15),
            slope: TemperatureCoefficient::new::<per_kelvin>(0.0),
        }
    }

    /// Conductivity at a temperature.
    #[must_use]
    pub fn at(&self, temperature: ThermodynamicTemperature) -> ThermalConductivity {
        self.value * (1.0 + self.slope.value * delta(temperature, self.reference).value)
    }
}

/// Insulation around a tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Insulation {
    /// Thickness.
    pub thickness: Length,
    /// Conductivity.
    pub conductivity: Conductivity,
}

/// How a tube stands; it decides free convection.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stand {
    /// Level or nearly so.
    Level,
    /// Upright.
    Upright {
        /// Height of the rise.
        height: Length,
    },
}

/// A tube as its surroundings see it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pipe {
    /// The tube.
    pub tube: Tube,
    /// Conductivity of its wall: copper C12200 339 W/(m K) (from memory). It never matters.
    pub wall_conductivity: ThermalConductivity,
    /// Insulation, tight on the tube.
    pub insulation: Option<Insulation>,
    /// Finish of whatever lies outermost.
    pub surface: Surface,
    /// Level or upright.
    pub stand: Stand,
}

impl Pipe {
    /// Diameter of the surface: tube plus insulation.
    #[must_use]
    pub fn outside_diameter(&self) -> Length {
        let around = self.insulation.map_or(0.0, |insulation| 2.0 * insulation.thickness.value);
        let mut diameter = self.tube.outside().get();
        diameter.value += around;
        diameter
    }
}

/// What is around a tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surroundings {
    /// Temperature of the air.
    pub air: ThermodynamicTemperature,
    /// Temperature of what the surface sees: indoors that of the air; under a clear sky lower.
    pub radiant: ThermodynamicTemperature,
    /// Pressure of the air.
    pub pressure: AbsolutePressure,
    /// Wind across the tube; zero indoors, and for sweating.
    pub wind: Velocity,
    /// Sun on a surface that faces it; zero in the shade.
    pub sun: HeatFluxDensity,
}

impl Surroundings {
    /// Still, shaded, everything at the temperature of the air.
    #[must_use]
    pub fn still(air: ThermodynamicTemperature, pressure: AbsolutePressure) -> Self {
        Self {
            air,
            radiant: air,
            pressure,
            wind: Velocity::new::<uom::si::velocity::meter_per_second>(0.0),
            sun: HeatFluxDensity::new::<uom::si::heat_flux_density::watt_per_square_meter>(0.0),
        }
    }
}

/// What a tube carries and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Temperature of the fluid.
    pub fluid: ThermodynamicTemperature,
    /// Film inside ([`super::inside_film`]).
    pub film: HeatTransfer,
    /// What is around.
    pub surroundings: Surroundings,
}

/// Resistances of one metre, from the fluid outwards.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resistances {
    /// Film inside.
    pub film: ResistanceOfLength,
    /// Wall of the tube.
    pub wall: ResistanceOfLength,
    /// Insulation at its mean temperature; zero where there is none.
    pub insulation: ResistanceOfLength,
    /// Convection and radiation outside, towards [`Exchange::sol_air`].
    pub outside: ResistanceOfLength,
}

impl Resistances {
    /// All of them in series.
    #[must_use]
    pub fn total(&self) -> ResistanceOfLength {
        self.film + self.wall + self.insulation + self.outside
    }
}

/// Heat exchange as a straight line in the temperature of the fluid: `q = conductance (surroundings - fluid)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Linear {
    /// `-dq/dT_fluid`, the surface temperature following: its mean over 5 K either way.
    pub conductance: ConductancePerLength,
    /// Temperature of the surroundings that, with this conductance, gives the exact heat.
    pub surroundings: ThermodynamicTemperature,
}

impl Linear {
    /// Heat into the fluid at another temperature of the fluid.
    #[must_use]
    pub fn heat_into_fluid(&self, fluid: ThermodynamicTemperature) -> LinearPowerDensity {
        let watts_per_metre = self.conductance.value * delta(self.surroundings, fluid).value;
        LinearPowerDensity::new::<watt_per_meter>(watts_per_metre)
    }
}

/// What one metre exchanges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exchange {
    /// Heat per length **into the fluid**: positive where it gains, negative where it gives off.
    pub heat_into_fluid: LinearPowerDensity,
    /// Temperature of the outermost surface.
    pub surface: ThermodynamicTemperature,
    /// Share of convection in the outside coefficient.
    pub convection: HeatTransfer,
    /// Share of radiation in the outside coefficient.
    pub radiation: HeatTransfer,
    /// Temperature of the air that, without radiation difference and sun, would give the same heat to the surface:
    /// `(h_c T_air + h_r T_radiant + absorbed sun / (pi D)) / (h_c + h_r)`.
    pub sol_air: ThermodynamicTemperature,
    /// Resistances in series; `(sol_air - fluid) / total` is the heat into the fluid.
    pub resistances: Resistances,
    /// Straight line in the temperature of the fluid, for a march.
    pub linear: Linear,
}

impl Exchange {
    /// Convection and radiation together.
    #[must_use]
    pub fn outside_coefficient(&self) -> HeatTransfer {
        self.convection + self.radiation
    }

    /// How far the surface is above a dew point; it sweats where this is negative.
    #[must_use]
    pub fn above_dew_point(&self, dew_point: ThermodynamicTemperature) -> TemperatureInterval {
        delta(self.surface, dew_point)
    }
}

/// Heat between the fluid in one metre of tube and its surroundings, steady.
///
/// Outwards: film inside, `ln(D_o/D_i)/(2 pi k)` of wall and insulation (its conductivity at its mean temperature, which
/// is exact for a straight line), and at the surface
/// `q/(pi D) = h_c (T_air - T_s) + e sigma (T_radiant^4 - T_s^4) + a G / pi`. `h_c` is free convection of a level
/// ([`super::film::nusselt_free_level`]) or upright cylinder ([`super::film::nusselt_free_upright`]) and wind across it
/// ([`super::film::nusselt_wind`]) blended by their cubes, properties at the film temperature. Sun `G` falls on the
/// projected diameter, as if the tube lay square to it: the greatest it can be; what the ground reflects is left out.
///
/// The surface temperature is bracketed between 200 K and 450 K and found to 1e-9 K.
///
/// # Validity
/// Temperatures 200 K to 450 K, air 40 kPa to 120 kPa, wind to 60 m/s; caveats of the films. Expect 15 to 20 % of the
/// outside coefficient, most of it the scatter of the data behind the equations and the unknown finish.
///
/// # Errors
/// [`HeatError::OutsideRange`] names the quantity; [`HeatError::NoBalance`] where sun would drive the surface above 450 K.
///
/// # Example
/// Liquid at 35 °C in a bare 3/8 in tube through a 55 °C attic, dull copper: about 6.5 W/m into the liquid.
/// ```
/// use physics::{heat::*, tube::Tube, units::{*, unit::{length::inch, thermal_conductivity::watt_per_meter_kelvin, ratio::ratio, thermodynamic_temperature::degree_celsius, heat_transfer::watt_per_square_meter_kelvin, linear_power_density::watt_per_meter}}};
/// let pipe = Pipe {
///     tube: Tube::new(OutsideDiameter::new(Length::new::<inch>(0.375)), Length::new::<inch>(0.032)).unwrap(),
///     wall_conductivity: ThermalConductivity::new::<watt_per_meter_kelvin>(339.0),
///     insulation: None,
///     surface: Surface { emissivity: Ratio::new::<ratio>(0.4), absorptance: Ratio::new::<ratio>(0.5) },
///     stand: Stand::Level,
/// };
/// let attic = ThermodynamicTemperature::new::<degree_celsius>(55.0);
/// let conditions = Conditions {
///     fluid: ThermodynamicTemperature::new::<degree_celsius>(35.0),
///     film: HeatTransfer::new::<watt_per_square_meter_kelvin>(1500.0),
///     surroundings: Surroundings::still(attic, AbsolutePressure::from_pascal(101_325.0)),
/// };
/// let gain = exchange(&pipe, &conditions).unwrap().value.heat_into_fluid.get::<watt_per_meter>();
/// assert!((gain - 6.45).abs() < 0.05);
/// ```
pub fn exchange(pipe: &Pipe, conditions: &Conditions) -> Result<Outcome<Exchange>, HeatError> {
    let outside = outside(pipe, &conditions.surroundings)?;
    let fluid_k =
        within(Quantity::FluidTemperature, conditions.fluid.get::<kelvin>(), air::LOWEST_K, air::HIGHEST_K)?;
    let inside = inside(pipe, fluid_k, conditions.film, [air::LOWEST_K, air::HIGHEST_K])?;
    let mut caveats = Caveats::default();
    let surface_k = kernel::surface_k(&inside, &outside, &mut caveats)?;
    let films = outside.films(surface_k, &mut caveats);
    let heat_w_m = inside.heat_w_m(surface_k);
    let slope_w_m_k = kernel::conductance_w_m_k(&inside, &outside)?;
    let temperature = ThermodynamicTemperature::new::<kelvin>;
    let film = HeatTransfer::new::<watt_per_square_meter_kelvin>;
    let value = Exchange {
        heat_into_fluid: LinearPowerDensity::new::<watt_per_meter>(heat_w_m),
        surface: temperature(surface_k),
        convection: film(films.convection_w_m2_k),
        radiation: film(films.radiation_w_m2_k),
        sol_air: temperature(outside.sol_air_k(&films)),
        resistances: resistances(&inside, surface_k, outside.resistance_m_k_w(&films)),
        linear: Linear {
            conductance: ConductancePerLength::new::<watt_per_meter_kelvin>(slope_w_m_k),
            surroundings: temperature(inside.fluid_k + heat_w_m / slope_w_m_k),
        },
    };
    Ok(Outcome { value, method: Method::HeatExchange, caveats })
}

/// What one metre exchanges at a given outside coefficient.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Through {
    /// Heat per length into the fluid.
    pub heat_into_fluid: LinearPowerDensity,
    /// Temperature of the outermost surface.
    pub surface: ThermodynamicTemperature,
    /// Resistances in series.
    pub resistances: Resistances,
}

/// Heat into the fluid at a given coefficient between the surface and surroundings of one temperature:
/// `q = (T_surroundings - T_fluid)/R`, the cylinder of ASTM C680 and ISO 12241 (not opened).
///
/// For textbook cases and for coefficients that a code prescribes; [`exchange`] computes them. The finish and the stand of
/// the pipe play no part.
///
/// # Errors
/// [`HeatError::OutsideRange`] for what is not positive, and for temperatures outside 150 K to 1000 K.
pub fn exchange_at(
    pipe: &Pipe,
    fluid: ThermodynamicTemperature,
    film: HeatTransfer,
    surroundings: ThermodynamicTemperature,
    coefficient: HeatTransfer,
) -> Result<Outcome<Through>, HeatError> {
    let fluid_k = within(Quantity::FluidTemperature, fluid.get::<kelvin>(), 150.0, 1000.0)?;
    let air_k = within(Quantity::AirTemperature, surroundings.get::<kelvin>(), 150.0, 1000.0)?;
    let film_w_m2_k = positive(Quantity::FilmCoefficient, coefficient.value)?;
    let inside = inside(pipe, fluid_k, film, [fluid_k, air_k])?;
    let outside_m_k_w = 1.0 / (std::f64::consts::PI * pipe.outside_diameter().value * film_w_m2_k);
    let balance = |surface_k: f64| (air_k - surface_k) / outside_m_k_w - inside.heat_w_m(surface_k);
    let ends = [(fluid_k, balance(fluid_k)), (air_k, balance(air_k))];
    let surface_k = root::bracketed(ends, 1e-10, |surface_k| Ok::<_, HeatError>(balance(surface_k)))?;
    let value = Through {
        heat_into_fluid: LinearPowerDensity::new::<watt_per_meter>(inside.heat_w_m(surface_k)),
        surface: ThermodynamicTemperature::new::<kelvin>(surface_k),
        resistances: resistances(&inside, surface_k, outside_m_k_w),
    };
    Ok(Outcome { value, method: Method::Cylinder, caveats: Caveats::default() })
}

/// How much the fluid warms along a run, the line [`Linear`] taken along all of it: `(T_s - T) (1 - exp(-U L/(m c)))`.
/// Negative where it cools.
///
/// # Errors
/// [`HeatError::OutsideRange`] unless run, mass rate and specific heat capacity are positive.
pub fn rise_along(
    linear: &Linear,
    entering: ThermodynamicTemperature,
    run: Length,
    mass_rate: MassRate,
    specific_heat: SpecificHeatCapacity,
) -> Result<TemperatureInterval, HeatError> {
    let run_m = positive(Quantity::Run, run.value)?;
    let rate_kg_s = positive(Quantity::MassRate, mass_rate.value)?;
    let heat_j_kg_k = positive(Quantity::SpecificHeat, specific_heat.value)?;
    let units = linear.conductance.value * run_m / (rate_kg_s * heat_j_kg_k);
    let rise_k = -delta(linear.surroundings, entering).value * (-units).exp_m1();
    Ok(TemperatureInterval::new::<temperature_interval::kelvin>(rise_k))
}

fn resistances(inside: &kernel::Inside, surface_k: f64, outside_m_k_w: f64) -> Resistances {
    let resistance = |m_k_w: f64| m_k_w / ConductancePerLength::new::<watt_per_meter_kelvin>(1.0);
    Resistances {
        film: resistance(inside.film_m_k_w),
        wall: resistance(inside.wall_m_k_w),
        insulation: resistance(inside.insulation_m_k_w(surface_k)),
        outside: resistance(outside_m_k_w),
    }
}

fn outside(pipe: &Pipe, surroundings: &Surroundings) -> Result<kernel::Outside, HeatError> {
    let range = |quantity, t: ThermodynamicTemperature| {
        within(quantity, t.get::<kelvin>(), air::LOWEST_K, air::HIGHEST_K)
    };
    let height_m = match pipe.stand {
        Stand::Level => None,
        Stand::Upright { height } => Some(positive(Quantity::Height, height.value)?),
    };
    let absorptance = within(Quantity::Absorptance, pipe.surface.absorptance.get::<ratio>(), 0.0, 1.0)?;
    let sun_w_m2 = within(Quantity::Sun, surroundings.sun.value, 0.0, 1500.0)?;
    let diameter_m = pipe.outside_diameter().value;
    Ok(kernel::Outside {
        diameter_m,
        height_m,
        emissivity: within(Quantity::Emissivity, pipe.surface.emissivity.get::<ratio>(), 0.0, 1.0)?,
        sun_w_m: absorptance * sun_w_m2 * diameter_m,
        air_k: range(Quantity::AirTemperature, surroundings.air)?,
        radiant_k: range(Quantity::RadiantTemperature, surroundings.radiant)?,
        pressure_pa: within(
            Quantity::AirPressure,
            surroundings.pressure.pascal(),
            air::LOWEST_PA,
            air::HIGHEST_PA,
        )?,
        wind_m_s: within(Quantity::Wind, surroundings.wind.value, 0.0, 60.0)?,
    })
}

/// `temperatures_k` are the ends of what can occur in the insulation.
fn inside(
    pipe: &Pipe,
    fluid_k: f64,
    film: HeatTransfer,
    temperatures_k: [f64; 2],
) -> Result<kernel::Inside, HeatError> {
    use std::f64::consts::{PI, TAU};
    let film_w_m2_k = positive(Quantity::FilmCoefficient, film.value)?;
    let wall_w_m_k = positive(Quantity::Conductivity, pipe.wall_conductivity.value)?;
    let (bore_m, tube_m) = (pipe.tube.bore().get().value, pipe.tube.outside().get().value);
    let layer = match pipe.insulation {
        None => None,
        Some(Insulation { thickness, conductivity }) => {
            let thickness_m = within(Quantity::Thickness, thickness.value, f64::MIN_POSITIVE, 1.0)?;
            // A straight line that is positive at both ends is positive between.
            for end_k in temperatures_k {
                let there = conductivity.at(ThermodynamicTemperature::new::<kelvin>(end_k));
                positive(Quantity::Conductivity, there.value)?;
            }
            Some(kernel::Layer {
                ln_ratio: (2.0 * thickness_m / tube_m).ln_1p(),
                reference_w_m_k: conductivity.value.value,
                reference_k: conductivity.reference.get::<kelvin>(),
                slope_1_k: conductivity.slope.value,
            })
        }
    };
    Ok(kernel::Inside {
        fluid_k,
        film_m_k_w: 1.0 / (PI * bore_m * film_w_m2_k),
        wall_m_k_w: (tube_m / bore_m).ln() / (TAU * wall_w_m_k),
        layer,
    })
}

mod kernel {
    use super::super::{HeatError, air, air::kernel::Air, film::kernel as film};
    use crate::root;
    use crate::{outcome::Caveats, units::STANDARD_GRAVITY_M_S2};
    use std::f64::consts::{PI, TAU};

    /// Free convection makes the slope change fastest where fluid and air are equally warm: a mean over some kelvins
    /// serves a march better there than the tangent.
    const SPAN_K: f64 = 5.0;
    const STEFAN_BOLTZMANN_W_M2_K4: f64 = 5.670_374_419e-8;

    /// Insulation: a cylinder whose conductivity goes with temperature in a straight line.
    #[derive(Clone, Copy)]
    pub(super) struct Layer {
        pub(super) ln_ratio: f64,
        pub(super) reference_w_m_k: f64,
        pub(super) reference_k: f64,
        pub(super) slope_1_k: f64,
    }

    #[derive(Clone, Copy)]
    pub(super) struct Inside {
        pub(super) fluid_k: f64,
        pub(super) film_m_k_w: f64,
        pub(super) wall_m_k_w: f64,
        pub(super) layer: Option<Layer>,
    }

    impl Inside {
        /// Heat into the fluid while the surface is at `surface_k`.
        pub(super) fn heat_w_m(&self, surface_k: f64) -> f64 {
            let within_m_k_w = self.film_m_k_w + self.wall_m_k_w;
            match self.layer {
                None => (surface_k - self.fluid_k) / within_m_k_w,
                Some(layer) => self.tube_rise_k(surface_k, layer) / within_m_k_w,
            }
        }

        /// How far the outside of the tube is above the fluid. With `x` that rise, `d` the rise to the surface and `u` the
        /// conductance of the layer at the reference times the resistance within,
        /// `x = u (d - x)(m + a x/2)`: a quadratic, and its root that stays finite as `a` vanishes.
        fn tube_rise_k(&self, surface_k: f64, layer: Layer) -> f64 {
            let rise_k = surface_k - self.fluid_k;
            let units = TAU * layer.reference_w_m_k / layer.ln_ratio * (self.film_m_k_w + self.wall_m_k_w);
            let mean_k = 0.5 * (self.fluid_k + surface_k);
            let factor = 1.0 + layer.slope_1_k * (mean_k - layer.reference_k);
            let square = 0.5 * layer.slope_1_k * units;
            let single = 1.0 + units * factor - square * rise_k;
            let constant = units * rise_k * factor;
            // Positive: between fluid and surface conductivity is, which makes the quadratic change sign there.
            2.0 * constant / (single + (single * single + 4.0 * square * constant).max(0.0).sqrt())
        }

        /// Resistance of the insulation at its mean temperature.
        pub(super) fn insulation_m_k_w(&self, surface_k: f64) -> f64 {
            self.layer.map_or(0.0, |layer| {
                let tube_k = self.fluid_k + self.tube_rise_k(surface_k, layer);
                let mean_k = 0.5 * (tube_k + surface_k);
                let factor = 1.0 + layer.slope_1_k * (mean_k - layer.reference_k);
                layer.ln_ratio / (TAU * layer.reference_w_m_k * factor)
            })
        }
    }

    #[derive(Clone, Copy)]
    pub(super) struct Outside {
        pub(super) diameter_m: f64,
        pub(super) height_m: Option<f64>,
        pub(super) emissivity: f64,
        pub(super) sun_w_m: f64,
        pub(super) air_k: f64,
        pub(super) radiant_k: f64,
        pub(super) pressure_pa: f64,
        pub(super) wind_m_s: f64,
    }

    pub(super) struct Films {
        pub(super) convection_w_m2_k: f64,
        pub(super) radiation_w_m2_k: f64,
    }

    impl Outside {
        pub(super) fn films(&self, surface_k: f64, caveats: &mut Caveats) -> Films {
            let film_k = 0.5 * (surface_k + self.air_k);
            let air = Air::at(film_k, self.pressure_pa);
            let (prandtl, kinematic_m2_s) = (air.prandtl(), air.kinematic_m2_s());
            let rayleigh = |size_m: f64| {
                STANDARD_GRAVITY_M_S2 * (surface_k - self.air_k).abs() * size_m.powi(3) * prandtl
                    / (film_k * kinematic_m2_s * kinematic_m2_s)
            };
            let free = match self.height_m {
                None => film::free_level(rayleigh(self.diameter_m), prandtl, caveats),
                // On the diameter, as the wind is.
                Some(height_m) => {
                    let slender = height_m / self.diameter_m;
                    film::free_upright(rayleigh(height_m), prandtl, slender, caveats) / slender
                }
            };
            let nusselt = if self.wind_m_s > 0.0 {
                let reynolds = self.wind_m_s * self.diameter_m / kinematic_m2_s;
                film::blend(free, film::wind(reynolds, prandtl, caveats))
            } else {
                free
            };
            Films {
                convection_w_m2_k: nusselt * air.conductivity_w_m_k / self.diameter_m,
                radiation_w_m2_k: self.emissivity
                    * STEFAN_BOLTZMANN_W_M2_K4
                    * (surface_k.powi(2) + self.radiant_k.powi(2))
                    * (surface_k + self.radiant_k),
            }
        }

        /// Heat into the surface.
        fn heat_w_m(&self, surface_k: f64, caveats: &mut Caveats) -> f64 {
            let films = self.films(surface_k, caveats);
            let flux_w_m2 = films.convection_w_m2_k * (self.air_k - surface_k)
                + films.radiation_w_m2_k * (self.radiant_k - surface_k);
            PI * self.diameter_m * flux_w_m2 + self.sun_w_m
        }

        pub(super) fn sol_air_k(&self, films: &Films) -> f64 {
            let flux_w_m2 = films.convection_w_m2_k * self.air_k
                + films.radiation_w_m2_k * self.radiant_k
                + self.sun_w_m / (PI * self.diameter_m);
            flux_w_m2 / (films.convection_w_m2_k + films.radiation_w_m2_k)
        }

        pub(super) fn resistance_m_k_w(&self, films: &Films) -> f64 {
            1.0 / (PI * self.diameter_m * (films.convection_w_m2_k + films.radiation_w_m2_k))
        }
    }

    /// Where heat into the surface equals heat into the fluid. Their difference falls with the temperature of the surface.
    pub(super) fn surface_k(
        inside: &Inside,
        outside: &Outside,
        caveats: &mut Caveats,
    ) -> Result<f64, HeatError> {
        // Caveats are of the answer, not of the points tried on the way.
        let balance = |surface_k: f64| {
            outside.heat_w_m(surface_k, &mut Caveats::default()) - inside.heat_w_m(surface_k)
        };
        let temperatures = [inside.fluid_k, outside.air_k, outside.radiant_k];
        let low = temperatures.into_iter().fold(f64::MAX, f64::min);
        let high = temperatures.into_iter().fold(f64::MIN, f64::max);
        let (at_low, mut high, mut at_high) = (balance(low), high, balance(high));
        while at_high > 0.0 {
            if high >= air::HIGHEST_K {
                return Err(HeatError::NoBalance);
            }
            high = (high + 20.0).min(air::HIGHEST_K);
            at_high = balance(high);
        }
        if at_low < 0.0 {
            return Err(HeatError::NoBalance);
        }
        let found =
            root::bracketed([(low, at_low), (high, at_high)], 1e-9, |surface_k| Ok(balance(surface_k)))?;
        outside.films(found, caveats);
        Ok(found)
    }

    /// Mean of `-dq/dT_fluid` over [`SPAN_K`] either way (as far as fluids are computed), the surface following.
    pub(super) fn conductance_w_m_k(inside: &Inside, outside: &Outside) -> Result<f64, HeatError> {
        let heat_w_m = |fluid_k: f64| {
            let inside = Inside { fluid_k, ..*inside };
            let surface_k = surface_k(&inside, outside, &mut Caveats::default())?;
            Ok::<f64, HeatError>(inside.heat_w_m(surface_k))
        };
        let low_k = (inside.fluid_k - SPAN_K).max(air::LOWEST_K);
        let high_k = (inside.fluid_k + SPAN_K).min(air::HIGHEST_K);
        Ok((heat_w_m(low_k)? - heat_w_m(high_k)?) / (high_k - low_k))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        outcome::Caveat,
        units::{OutsideDiameter, Ratio},
    };
    use proptest::prelude::*;
    use uom::si::{
        heat_flux_density::watt_per_square_meter, length::millimeter, mass_rate::kilogram_per_second,
        specific_heat_capacity::joule_per_kilogram_kelvin, thermodynamic_temperature::degree_celsius,
        velocity::meter_per_second,
    };

    fn celsius(value: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<degree_celsius>(value)
    }

    fn millimetres(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }

    fn pipe(outside_mm: f64, thickness_mm: f64) -> Pipe {
        let conductivity = Conductivity {
            value: ThermalConductivity::new::<watt_per_meter_kelvin>(0.036),
            reference: celsius(10.0),
            slope: TemperatureCoefficient::new::<per_kelvin>(0.002),
        };
        Pipe {
            tube: Tube::new(OutsideDiameter::new(millimetres(outside_mm)), millimetres(0.8)).unwrap(),
            wall_conductivity: ThermalConductivity::new::<watt_per_meter_kelvin>(339.0),
            insulation: (thickness_mm > 0.0)
                .then(|| Insulation { thickness: millimetres(thickness_mm), conductivity }),
            surface: Surface { emissivity: Ratio::new::<ratio>(0.9), absorptance: Ratio::new::<ratio>(0.92) },
            stand: Stand::Level,
        }
    }

    fn conditions(fluid_c: f64, air_c: f64, wind_m_s: f64, sun_w_m2: f64) -> Conditions {
        let mut surroundings = Surroundings::still(celsius(air_c), AbsolutePressure::from_pascal(98e3));
        surroundings.wind = Velocity::new::<meter_per_second>(wind_m_s);
        surroundings.sun = HeatFluxDensity::new::<watt_per_square_meter>(sun_w_m2);
        Conditions {
            fluid: celsius(fluid_c),
            film: HeatTransfer::new::<watt_per_square_meter_kelvin>(800.0),
            surroundings,
        }
    }

    fn heat_w_m(pipe: &Pipe, conditions: &Conditions) -> f64 {
        exchange(pipe, conditions).unwrap().value.heat_into_fluid.value
    }

    fn refused(pipe: &Pipe, conditions: &Conditions) -> Quantity {
        match exchange(pipe, conditions) {
            Err(HeatError::OutsideRange { quantity, .. }) => quantity,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn names_what_lies_outside_its_range() {
        let (good_pipe, good) = (pipe(15.9, 19.0), conditions(-10.0, 30.0, 0.0, 0.0));
        assert_eq!(refused(&good_pipe, &conditions(-80.0, 30.0, 0.0, 0.0)), Quantity::FluidTemperature);
        assert_eq!(refused(&good_pipe, &conditions(f64::NAN, 30.0, 0.0, 0.0)), Quantity::FluidTemperature);
        assert_eq!(refused(&good_pipe, &conditions(0.0, 400.0, 0.0, 0.0)), Quantity::AirTemperature);
        assert_eq!(refused(&good_pipe, &conditions(0.0, 30.0, -1.0, 0.0)), Quantity::Wind);
        assert_eq!(refused(&good_pipe, &conditions(0.0, 30.0, 0.0, f64::INFINITY)), Quantity::Sun);
        let mut thick = good_pipe;
        thick.insulation.as_mut().unwrap().thickness = millimetres(-1.0);
        assert_eq!(refused(&thick, &good), Quantity::Thickness);
        let mut steep = good_pipe;
        steep.insulation.as_mut().unwrap().conductivity.slope =
            TemperatureCoefficient::new::<per_kelvin>(0.02);
        assert_eq!(refused(&steep, &good), Quantity::Conductivity);
        let mut shiny = good_pipe;
        shiny.surface.emissivity = Ratio::new::<ratio>(1.2);
        assert_eq!(refused(&shiny, &good), Quantity::Emissivity);
        let mut flat = good_pipe;
        flat.stand = Stand::Upright { height: millimetres(0.0) };
        assert_eq!(refused(&flat, &good), Quantity::Height);
        let mut still_film = good;
        still_film.film = HeatTransfer::new::<watt_per_square_meter_kelvin>(0.0);
        assert_eq!(refused(&good_pipe, &still_film), Quantity::FilmCoefficient);
        let mut high = good;
        high.surroundings.pressure = AbsolutePressure::from_pascal(1e4);
        assert_eq!(refused(&good_pipe, &high), Quantity::AirPressure);
    }

    #[test]
    fn sun_on_a_black_tube_that_sheds_nothing_has_no_balance() {
        let mut mirror_inside = pipe(300.0, 100.0);
        mirror_inside.surface.emissivity = Ratio::new::<ratio>(0.0);
        let mut hot = conditions(176.0, 176.0, 0.0, 1500.0);
        hot.film = HeatTransfer::new::<watt_per_square_meter_kelvin>(1.0);
        assert_eq!(exchange(&mirror_inside, &hot).unwrap_err(), HeatError::NoBalance);
    }

    #[test]
    fn a_tall_riser_says_that_its_film_leaves_its_range() {
        let mut riser = pipe(22.0, 0.0);
        riser.stand = Stand::Upright { height: millimetres(6000.0) };
        assert!(
            exchange(&riser, &conditions(80.0, 20.0, 0.0, 0.0))
                .unwrap()
                .caveats
                .has(Caveat::OutsideFreeConvectionRange)
        );
        riser.stand = Stand::Level;
        assert_eq!(exchange(&riser, &conditions(80.0, 20.0, 0.0, 0.0)).unwrap().caveats, Caveats::default());
    }

    /// Against the exact mean slope over 10 K either way: within 2 %. Only a bare tube in still air within 5 K of the air,
    /// where free convection sets in from nothing and there is hardly any heat, is off by up to 8 %.
    #[test]
    fn the_straight_line_holds_over_ten_kelvin_either_way() {
        let mut count = 0;
        for thickness_mm in [0.0, 13.0, 25.0] {
            for stand in [Stand::Level, Stand::Upright { height: millimetres(1000.0) }] {
                for (wind_m_s, sun_w_m2) in [(0.0, 0.0), (0.0, 900.0), (3.0, 0.0), (3.0, 900.0)] {
                    for fluid_c in [-30.0, -10.0, 0.0, 30.0, 35.0, 60.0, 80.0, 110.0] {
                        let pipe = Pipe { stand, ..pipe(15.9, thickness_mm) };
                        let at = |fluid_c: f64| {
                            exchange(&pipe, &conditions(fluid_c, 30.0, wind_m_s, sun_w_m2)).unwrap().value
                        };
                        let here = at(fluid_c);
                        let exact = here.linear.heat_into_fluid(celsius(fluid_c)).value;
                        assert!((exact - here.heat_into_fluid.value).abs() < 1e-9 * (1.0 + exact.abs()));
                        let surface_to_air_k = delta(here.surface, celsius(30.0)).value.abs();
                        let (below, above) = (at(fluid_c - 10.0), at(fluid_c + 10.0));
                        let mean = (below.heat_into_fluid - above.heat_into_fluid).value / 20.0;
                        let bare_in_still_air = thickness_mm == 0.0 && wind_m_s == 0.0;
                        let allowed = if bare_in_still_air && surface_to_air_k < 5.0 { 0.08 } else { 0.02 };
                        let off = here.linear.conductance.value / mean - 1.0;
                        assert!(
                            off.abs() < allowed,
                            "{thickness_mm} mm {stand:?} {wind_m_s} {sun_w_m2} {fluid_c}: {off}"
                        );
                        count += 1;
                    }
                }
            }
        }
        assert!(count > 150, "{count}");
    }

    #[test]
    fn a_run_warms_towards_its_surroundings_and_never_past_them() {
        let linear = exchange(&pipe(9.5, 0.0), &conditions(35.0, 55.0, 0.0, 0.0)).unwrap().value.linear;
        let rise = |run_m: f64, rate_kg_s: f64| {
            rise_along(
                &linear,
                celsius(35.0),
                millimetres(run_m * 1e3),
                MassRate::new::<kilogram_per_second>(rate_kg_s),
                SpecificHeatCapacity::new::<joule_per_kilogram_kelvin>(1500.0),
            )
        };
        let short = rise(1.0, 0.05).unwrap().value;
        let watts = linear.heat_into_fluid(celsius(35.0)).value;
        assert!((short / (watts / (0.05 * 1500.0)) - 1.0).abs() < 0.01, "{short}");
        let all = rise(1e5, 0.05).unwrap().value;
        assert!((all - delta(linear.surroundings, celsius(35.0)).value).abs() < 1e-9);
        assert!(rise(0.0, 0.05).is_err());
        assert!(rise(1.0, -0.05).is_err());
    }

    fn any_pipe() -> impl Strategy<Value = Pipe> {
        let stands = prop_oneof![
            Just(Stand::Level),
            (200.0..5000.0_f64).prop_map(|mm| Stand::Upright { height: millimetres(mm) })
        ];
        (6.0..60.0_f64, 0.0..50.0_f64, 0.02..1.0_f64, 0.0..1.0_f64, stands).prop_map(
            |(outside_mm, thickness_mm, emissivity, absorptance, stand)| Pipe {
                surface: Surface {
                    emissivity: Ratio::new::<ratio>(emissivity),
                    absorptance: Ratio::new::<ratio>(absorptance),
                },
                stand,
                ..pipe(outside_mm, thickness_mm)
            },
        )
    }

    proptest! {
        #[test]
        fn without_a_difference_no_heat(pipe in any_pipe(), all_c in -40.0..100.0_f64, wind_m_s in 0.0..10.0_f64) {
            let found = exchange(&pipe, &conditions(all_c, all_c, wind_m_s, 0.0)).unwrap().value;
            prop_assert_eq!(found.heat_into_fluid.value, 0.0);
            prop_assert!(delta(found.surface, celsius(all_c)).value.abs() < 1e-9);
        }

        #[test]
        fn resistances_in_series_carry_the_heat(
            pipe in any_pipe(), fluid_c in -40.0..110.0_f64, air_c in -30.0..55.0_f64, wind_m_s in 0.0..10.0_f64, sun in 0.0..1000.0_f64,
        ) {
            let conditions = conditions(fluid_c, air_c, wind_m_s, sun);
            let found = exchange(&pipe, &conditions).unwrap().value;
            let through = delta(found.sol_air, conditions.fluid).value / found.resistances.total().value;
            prop_assert!((through - found.heat_into_fluid.value).abs() < 1e-6 * (1.0 + through.abs()), "{} {}", through, found.heat_into_fluid.value);
            prop_assert!(found.linear.conductance.value > 0.0);
        }

        #[test]
        fn colder_surroundings_never_heat_more(
            pipe in any_pipe(), fluid_c in -40.0..110.0_f64, air_c in -20.0..55.0_f64, less in 0.01..20.0_f64, sky in 0.0..20.0_f64,
            wind_m_s in 0.0..10.0_f64, sun in 0.0..1000.0_f64,
        ) {
            let warm = conditions(fluid_c, air_c, wind_m_s, sun);
            let cold = conditions(fluid_c, air_c - less, wind_m_s, sun);
            prop_assert!(heat_w_m(&pipe, &cold) <= heat_w_m(&pipe, &warm) + 1e-9);
            let mut open = warm;
            open.surroundings.radiant = celsius(air_c - sky);
            prop_assert!(heat_w_m(&pipe, &open) <= heat_w_m(&pipe, &warm) + 1e-9);
        }

        #[test]
        fn sun_never_cools(pipe in any_pipe(), fluid_c in -40.0..110.0_f64, air_c in -20.0..55.0_f64, sun in 0.0..1000.0_f64) {
            let (shade, sunny) = (conditions(fluid_c, air_c, 1.0, 0.0), conditions(fluid_c, air_c, 1.0, sun));
            prop_assert!(heat_w_m(&pipe, &sunny) >= heat_w_m(&pipe, &shade) - 1e-9);
        }

        /// Critical radius with the greatest conductivity and the least coefficient on the way: beyond it, no exception.
        #[test]
        fn beyond_the_critical_radius_more_insulation_never_carries_more(
            outside_mm in 6.0..60.0_f64, thickness_mm in 1.0..40.0_f64, more_mm in 0.1..20.0_f64, fluid_c in -40.0..110.0_f64, air_c in -20.0..55.0_f64,
        ) {
            let conditions = conditions(fluid_c, air_c, 0.0, 0.0);
            let thin = exchange(&pipe(outside_mm, thickness_mm), &conditions).unwrap().value;
            let thick = exchange(&pipe(outside_mm, thickness_mm + more_mm), &conditions).unwrap().value;
            let least_w_m2_k = thick.outside_coefficient().value.min(thin.outside_coefficient().value);
            prop_assume!(outside_mm / 2.0 + thickness_mm > 1e3 * 0.036 * 1.2 / least_w_m2_k);
            prop_assert!(thick.heat_into_fluid.value.abs() <= thin.heat_into_fluid.value.abs() + 1e-9);
        }
    }
}
