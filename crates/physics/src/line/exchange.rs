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
