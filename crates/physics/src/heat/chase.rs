//! Lines that share the air of a chase.

use super::{HeatError, Quantity, air, within};
use crate::{
    outcome::{Caveats, Method, Outcome},
    units::{ConductancePerLength, LinearPowerDensity, ThermodynamicTemperature},
};
use uom::si::{linear_power_density::watt_per_meter, thermodynamic_temperature::kelvin};

/// Something that exchanges heat with the air of a chase.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Neighbour {
    /// Conductance per length between it and the air of the chase.
    pub conductance: ConductancePerLength,
    /// Its temperature: of the fluid in a line, or of the place around the chase.
    pub temperature: ThermodynamicTemperature,
}

/// The air of a chase, and where the heat goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Chase {
    /// Temperature of the enclosed air.
    pub air: ThermodynamicTemperature,
    /// Heat into the fluid of each line, in the order given (negative: the line gives off).
    pub heat_into_lines: Vec<LinearPowerDensity>,
    /// Heat into the place around the chase.
    pub heat_into_place: LinearPowerDensity,
}

/// Balance of lines in one chase: `sum U_i (T_i - T_air) + U_enclosure (T_place - T_air) = 0`.
///
/// Assumes well-mixed air without draught along the chase, steady state, no radiation from line to line past the air
/// (their conductances may hold it, towards the air), and lines that do not touch. Conductances are per length of chase: take
/// those of [`super::exchange()`] in air near the answer; once more with the air that comes out settles them.
///
/// # Errors
/// [`HeatError::OutsideRange`] for a negative conductance or a temperature outside 200 K to 450 K;
/// [`HeatError::NothingConducts`] where all conductances are zero.
///
/// # Example
/// A discharge line at 80 °C and a liquid line at 35 °C, both 0.4 W/(m K), in a chase of 1.2 W/(m K) in a 25 °C wall: the
/// liquid is heated by its neighbour.
/// ```
/// use physics::{heat::chase::{Neighbour, share_a_chase}, units::{ConductancePerLength, ThermodynamicTemperature, unit::{thermal_conductivity::watt_per_meter_kelvin, thermodynamic_temperature::degree_celsius, linear_power_density::watt_per_meter}}};
/// let neighbour = |conductance, temperature| Neighbour {
///     conductance: ConductancePerLength::new::<watt_per_meter_kelvin>(conductance),
///     temperature: ThermodynamicTemperature::new::<degree_celsius>(temperature),
/// };
/// let chase = share_a_chase(&[neighbour(0.4, 80.0), neighbour(0.4, 35.0)], neighbour(1.2, 25.0)).unwrap().value;
/// assert!((chase.air.get::<degree_celsius>() - 38.0).abs() < 1e-9);
/// assert!((chase.heat_into_lines[1].get::<watt_per_meter>() - 1.2).abs() < 1e-9);
/// ```
pub fn share_a_chase(lines: &[Neighbour], place: Neighbour) -> Result<Outcome<Chase>, HeatError> {
    let (mut sum_w_m_k, mut weighted_w_m) = (0.0, 0.0);
    for neighbour in lines.iter().chain([&place]) {
        let conductance_w_m_k = within(Quantity::Conductance, neighbour.conductance.value, 0.0, f64::MAX)?;
        let temperature_k = within(
            Quantity::ChaseTemperature,
            neighbour.temperature.get::<kelvin>(),
            air::LOWEST_K,
            air::HIGHEST_K,
        )?;
        sum_w_m_k += conductance_w_m_k;
        weighted_w_m += conductance_w_m_k * temperature_k;
    }
    if sum_w_m_k == 0.0 {
        return Err(HeatError::NothingConducts);
    }
    let air_k = within(Quantity::ChaseTemperature, weighted_w_m / sum_w_m_k, 0.0, f64::MAX)?;
    let into = |neighbour: &Neighbour| {
        let difference_k = air_k - neighbour.temperature.get::<kelvin>();
        LinearPowerDensity::new::<watt_per_meter>(neighbour.conductance.value * difference_k)
    };
    let value = Chase {
        air: ThermodynamicTemperature::new::<kelvin>(air_k),
        heat_into_lines: lines.iter().map(into).collect(),
        heat_into_place: into(&place),
    };
    Ok(Outcome { value, method: Method::ChaseBalance, caveats: Caveats::default() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use uom::si::thermal_conductivity::watt_per_meter_kelvin;

    fn neighbour((conductance_w_m_k, temperature_k): (f64, f64)) -> Neighbour {
        Neighbour {
            conductance: ConductancePerLength::new::<watt_per_meter_kelvin>(conductance_w_m_k),
            temperature: ThermodynamicTemperature::new::<kelvin>(temperature_k),
        }
    }

    #[test]
    fn a_chase_of_nothing_has_no_air_temperature() {
        let isolated = share_a_chase(&[neighbour((0.0, 300.0))], neighbour((0.0, 290.0)));
        assert_eq!(isolated.unwrap_err(), HeatError::NothingConducts);
        for line in [(-0.1, 300.0), (f64::NAN, 300.0), (0.1, 20.0), (0.1, f64::NAN)] {
            assert!(share_a_chase(&[neighbour(line)], neighbour((1.0, 290.0))).is_err(), "{line:?}");
        }
        let huge = share_a_chase(&[neighbour((f64::MAX, 300.0))], neighbour((f64::MAX, 300.0)));
        assert!(huge.is_err(), "a sum that overflows is refused");
    }

    proptest! {
        #[test]
        fn heat_is_conserved_and_the_air_lies_between(
            lines in proptest::collection::vec((0.01..3.0_f64, 230.0..400.0_f64), 0..6),
            place in (0.01..10.0_f64, 230.0..330.0_f64),
        ) {
            let all: Vec<_> = lines.iter().map(|line| neighbour(*line)).collect();
            let chase = share_a_chase(&all, neighbour(place)).unwrap().value;
            let sum_w_m: f64 = chase.heat_into_lines.iter().chain([&chase.heat_into_place]).map(|heat| heat.value).sum();
            prop_assert!(sum_w_m.abs() < 1e-9, "{sum_w_m}");
            let temperatures = lines.iter().chain([&place]).map(|(_, temperature_k)| *temperature_k);
            let (low, high) = temperatures.fold((f64::MAX, f64::MIN), |(low, high), t| (low.min(t), high.max(t)));
            let air_k = chase.air.get::<kelvin>();
            prop_assert!((low - 1e-9..=high + 1e-9).contains(&air_k));
        }
    }
}
