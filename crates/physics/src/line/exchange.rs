//! What each leg of a line exchanges with its surroundings.

use super::{Inlet, Line, Phase};
use crate::{
    fluid::{OutsideRange, Refrigerant, State},
    heat::{self, Conditions, HeatError, Pipe, Surroundings, inside_film},
    outcome::{Caveats, Method, Outcome},
    units::{
        Length, SpecificHeatCapacity, ThermodynamicTemperature,
        unit::{temperature_interval::kelvin as kelvin_interval, thermodynamic_temperature::kelvin},
    },
};
use thiserror::Error;

/// The tube of a leg and what is around it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setting {
    /// Tube, insulation, finish, and how it stands.
    pub pipe: Pipe,
    /// Air, sun, wind.
    pub surroundings: Surroundings,
}

/// Why the exchange of a line could not be computed.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum ExchangeError {
    /// The inlet lies outside the property data.
    #[error(transparent)]
    Property(#[from] OutsideRange),
    /// The exchange of a leg could not be computed.
    #[error("leg {}: {source}", leg + 1)]
    Heat {
        /// Index of the leg in the order of flow.
        leg: usize,
        /// The refusal.
        source: HeatError,
    },
}

/// Below this change of temperature along a leg its exchange is not taken anew, K.
const SAME_K: f64 = 1.0;

/// Exchange of each leg, in the order of flow, at the mean temperature of the fluid in it.
///
/// Leg by leg: [`heat::exchange`] at the temperature that enters, the change of temperature that follows
/// ([`heat::rise_along`]), and once more at the mean of the leg. What the fluid gains by friction and height is left out here
/// (the march has it), and fluid that reaches saturation stays at the saturation temperature of the inlet's pressure:
/// both move the straight lines by less than they are good for. `inlet.pressure` may be that of the outlet. Properties of the
/// film inside are those of the inlet. Without flow nothing is exchanged.
///
/// # Errors
/// [`ExchangeError`].
pub fn exchanges(
    fluid: &dyn Refrigerant,
    line: &Line,
    settings: &[Setting],
    inlet: Inlet,
) -> Result<Outcome<Vec<heat::Exchange>>, ExchangeError> {
    let mut caveats = Caveats::default();
    let mut found = Vec::with_capacity(settings.len());
    let state = inlet.state(fluid)?;
    let heat_capacity = fluid.thermal(&state)?;
    let film = inside_film(
        line.bore,
        inlet.mass_rate,
        state.viscosity,
        heat_capacity.conductivity,
        heat_capacity.heat_capacity,
    )
    .map_err(|source| ExchangeError::Heat { leg: 0, source })?;
    caveats.merge(film.caveats);
    let along = Along { inlet, state, heat_capacity: heat_capacity.heat_capacity };
    let mut entering = state.temperature;
    for (leg, (setting, (length, _))) in settings.iter().zip(line.legs()).enumerate() {
        let refused = |source| ExchangeError::Heat { leg, source };
        let at = |fluid_k: f64| {
            let fluid = ThermodynamicTemperature::new::<kelvin>(fluid_k);
            let conditions = Conditions { fluid, film: film.value, surroundings: setting.surroundings };
            heat::exchange(&setting.pipe, &conditions).map_err(refused)
        };
        let mut exchange = at(entering.get::<kelvin>())?;
        let mut rise_k = along.rise_k(&exchange.value, entering, length).map_err(refused)?;
        if rise_k.abs() > SAME_K {
            exchange = at(entering.get::<kelvin>() + 0.5 * rise_k)?;
            rise_k = along.rise_k(&exchange.value, entering, length).map_err(refused)?;
        }
        caveats.merge(exchange.caveats);
        found.push(exchange.value);
        entering = ThermodynamicTemperature::new::<kelvin>(entering.get::<kelvin>() + rise_k);
    }
    Ok(Outcome { value: found, method: Method::HeatExchange, caveats })
}

struct Along {
    inlet: Inlet,
    state: State,
    heat_capacity: SpecificHeatCapacity,
}

impl Along {
    /// How much the fluid warms along a leg; at most to its saturation temperature if it entered on the other side of it.
    fn rise_k(
        &self,
        exchange: &heat::Exchange,
        entering: ThermodynamicTemperature,
        length: Length,
    ) -> Result<f64, HeatError> {
        if length.value == 0.0 || self.inlet.mass_rate.value == 0.0 {
            return Ok(0.0);
        }
        let rise =
            heat::rise_along(&exchange.linear, entering, length, self.inlet.mass_rate, self.heat_capacity)?;
        let distance_k = self.state.saturation_distance.get::<kelvin_interval>();
        let gained_k = entering.get::<kelvin>() - self.state.temperature.get::<kelvin>();
        let rise_k = rise.get::<kelvin_interval>();
        Ok(match self.inlet.phase {
            Phase::Liquid => rise_k.min(distance_k - gained_k),
            Phase::Vapour => rise_k.max(-distance_k - gained_k),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        fluid::test_fluid::TestFluid,
        heat::{Stand, Surface},
        line::Element,
        tube::Tube,
        units::{
            AbsolutePressure, Bore, MassRate, OutsideDiameter, Ratio, ThermalConductivity,
            unit::{
                length::{meter, millimeter},
                mass_rate::kilogram_per_second,
                ratio::ratio,
                thermal_conductivity::watt_per_meter_kelvin,
            },
        },
    };
    use approx::assert_relative_eq;

    const PRESSURE_PA: f64 = 15e5;

    fn kelvins(value: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<kelvin>(value)
    }

    fn legs(lengths_m: &[f64]) -> Line {
        let length = Length::new::<meter>;
        let leg = |long_m: &f64| Element::Leg { length: length(*long_m), rise: length(0.0) };
        let elements = lengths_m.iter().map(leg).collect();
        Line::new(Bore::new(Length::new::<millimeter>(10.0)), Length::new::<millimeter>(0.0015), elements)
    }

    /// Bare tube, dull, in still air.
    fn setting(air_k: f64) -> Setting {
        let millimetres = Length::new::<millimeter>;
        Setting {
            pipe: Pipe {
                tube: Tube::new(OutsideDiameter::new(millimetres(12.0)), millimetres(1.0)).unwrap(),
                wall_conductivity: ThermalConductivity::new::<watt_per_meter_kelvin>(339.0),
                insulation: None,
                surface: Surface {
                    emissivity: Ratio::new::<ratio>(0.4),
                    absorptance: Ratio::new::<ratio>(0.5),
                },
                stand: Stand::Level,
            },
            surroundings: Surroundings::still(kelvins(air_k), AbsolutePressure::from_pascal(101_325.0)),
        }
    }

    fn inlet(phase: Phase, temperature_k: f64, rate_kg_s: f64) -> Inlet {
        let pressure = AbsolutePressure::from_pascal(PRESSURE_PA);
        let state = match phase {
            Phase::Liquid => TestFluid.liquid_at(pressure, kelvins(temperature_k)),
            Phase::Vapour => TestFluid.vapour_at(pressure, kelvins(temperature_k)),
        };
        let mass_rate = MassRate::new::<kilogram_per_second>(rate_kg_s);
        Inlet { phase, pressure, enthalpy: state.unwrap().enthalpy, mass_rate }
    }

    fn found(line: &Line, settings: &[Setting], inlet: Inlet) -> Vec<heat::Exchange> {
        exchanges(&TestFluid, line, settings, inlet).unwrap().value
    }

    /// Exchange of a setting at one temperature of the fluid, with the film of the inlet.
    fn at(line: &Line, setting: &Setting, inlet: Inlet, fluid_k: f64) -> heat::Exchange {
        let state = inlet.state(&TestFluid).unwrap();
        let thermal = TestFluid.thermal(&state).unwrap();
        let rate = inlet.mass_rate;
        let film = inside_film(line.bore, rate, state.viscosity, thermal.conductivity, thermal.heat_capacity);
        let (fluid, film) = (kelvins(fluid_k), film.unwrap().value);
        let conditions = Conditions { fluid, film, surroundings: setting.surroundings };
        heat::exchange(&setting.pipe, &conditions).unwrap().value
    }

    /// What one leg leaves enters the next; each is taken at the mean of its own way, here by hand: entering, once along, half.
    #[test]
    fn each_leg_is_taken_at_its_mean_and_begins_where_the_one_before_ends() {
        let (line, settings) = (legs(&[8.0, 4.0]), [setting(290.0), setting(300.0)]);
        let inlet = inlet(Phase::Vapour, 370.0, 0.02);
        let both = found(&line, &settings, inlet);
        let heat_capacity = TestFluid.thermal(&inlet.state(&TestFluid).unwrap()).unwrap().heat_capacity;
        let mut entering_k = 370.0;
        for (setting, (exchange, length_m)) in settings.iter().zip(both.iter().zip([8.0, 4.0])) {
            let rise_k = |exchange: &heat::Exchange| {
                let length = Length::new::<meter>(length_m);
                let entering = kelvins(entering_k);
                heat::rise_along(&exchange.linear, entering, length, inlet.mass_rate, heat_capacity)
                    .unwrap()
                    .value
            };
            let first = rise_k(&at(&line, setting, inlet, entering_k));
            assert!(first < -SAME_K, "cools enough to be looked at twice: {first}");
            assert_eq!(*exchange, at(&line, setting, inlet, entering_k + 0.5 * first));
            entering_k += rise_k(exchange);
        }
        assert!(entering_k < 355.0, "{entering_k}");
    }

    #[test]
    fn a_leg_that_hardly_changes_the_fluid_is_taken_where_it_enters() {
        let (line, settings, inlet) = (legs(&[0.5]), [setting(300.0)], inlet(Phase::Liquid, 310.0, 0.05));
        assert_eq!(found(&line, &settings, inlet), [at(&line, &settings[0], inlet, 310.0)]);
    }

    /// Far enough to cool to the surroundings, were it not for the dew line, where the gas begins to condense; the next leg
    /// begins there. Liquid likewise stops at its bubble line.
    #[test]
    fn the_fluid_stays_at_saturation_once_it_is_there() {
        let ends = TestFluid.ends(AbsolutePressure::from_pascal(PRESSURE_PA)).unwrap();
        let cases = [
            (Phase::Vapour, ends.dew.temperature.value, 10.0, 280.0),
            (Phase::Liquid, ends.bubble.temperature.value, -10.0, 380.0),
        ];
        for (phase, saturated_k, away_k, air_k) in cases {
            let line = legs(&[2000.0, 5.0]);
            let settings = [setting(air_k), setting(air_k)];
            let inlet = inlet(phase, saturated_k + away_k, 0.005);
            let both = found(&line, &settings, inlet);
            assert_eq!(both[0], at(&line, &settings[0], inlet, saturated_k + 0.5 * away_k));
            let next = at(&line, &settings[1], inlet, saturated_k);
            assert_relative_eq!(
                both[1].heat_into_fluid.value,
                next.heat_into_fluid.value,
                max_relative = 1e-9
            );
        }
    }

    #[test]
    fn without_flow_the_fluid_keeps_its_temperature_and_impossible_places_are_refused_by_leg() {
        let (line, inlet) = (legs(&[20.0, 10.0]), inlet(Phase::Liquid, 310.0, 0.0));
        let both = found(&line, &[setting(330.0), setting(330.0)], inlet);
        assert_eq!(both[0], both[1]);
        let refused = exchanges(&TestFluid, &line, &[setting(330.0), setting(20.0)], inlet).unwrap_err();
        assert!(matches!(refused, ExchangeError::Heat { leg: 1, .. }), "{refused}");
    }
}
