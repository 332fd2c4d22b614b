//! A set at rest: refrigerant moves to its coldest place.
//!
//! Vapour condenses in the colder volume and liquid boils off in the warmer one until the pressure of both is that of the colder
//! temperature. How much could move, not how soon: a bound to judge valves, heaters and accumulators by.

use crate::{
    fluid::{OutsideRange, Refrigerant},
    outcome::{Method, Outcome},
    range::{OutOfRange, within},
    receiver::Contents,
    units::{
        AbsolutePressure, BubbleTemperature, DewTemperature, Mass, TemperatureInterval,
        ThermodynamicTemperature, Volume, delta,
    },
};
use thiserror::Error;
use uom::si::{mass::kilogram, temperature_interval::kelvin as kelvin_interval, volume::cubic_meter};

/// Why nothing can be said about a standstill.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum StandstillError {
    /// A quantity outside its range, or no number.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// The property data do not reach the state.
    #[error(transparent)]
    Property(#[from] OutsideRange),
    /// The side that should draw refrigerant is not the colder one.
    #[error("the colder side is {:.1} K warmer than the other", -difference.get::<kelvin_interval>())]
    NotColder {
        /// Warm side above cold side.
        difference: TemperatureInterval,
    },
}

/// One side of a set at rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Side {
    /// Internal volume; 0 to 1000 m³.
    pub volume: Volume,
    /// Refrigerant in it when the set stops; 0 to 1e6 kg, the cold side no more than it can hold as liquid.
    pub charge: Mass,
    /// Temperature that it takes.
    pub temperature: ThermodynamicTemperature,
}

/// What ends a migration.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MigrationLimit {
    /// The warm side has no liquid left: only vapour at the pressure of the cold side.
    Charge,
    /// The cold side is full of liquid.
    Volume,
}

/// What a colder side could draw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Migration {
    /// Mass that could move; 0 where the warm side holds no more than vapour.
    pub moved: Mass,
    /// What ends it.
    pub limit: MigrationLimit,
    /// Pressure of both sides: the dew pressure of the cold side's temperature.
    pub pressure: AbsolutePressure,
    /// Mass left on the warm side.
    pub left: Mass,
    /// Liquid on the cold side at the end.
    pub cold_liquid: Mass,
}

/// The refrigerant that a colder side could draw out of a warmer one while a set stands.
///
/// `m = min(m_warm - V_warm rho_g(p, T_warm), V_cold rho_l(T_cold) - m_cold)` with `p` the dew pressure of the cold side's
/// temperature (mass balance). With glide the dew pressure is the lowest that the cold side can have; more vapour would
/// stay behind at a higher one.
///
/// Left out: how long it takes; closed valves and check valves on the way; refrigerant that oil takes up, in a crankcase above all;
/// columns of liquid between the two; a third place colder than both; that the cold side warms up on the way. Full of liquid is
/// saturated liquid at the cold temperature.
///
/// # Errors
/// [`StandstillError::NotColder`]; [`StandstillError::OutOfRange`], also where the cold side holds more than it can;
/// [`StandstillError::Property`].
pub fn migration(
    fluid: &dyn Refrigerant,
    warm: &Side,
    cold: &Side,
) -> Result<Outcome<Migration>, StandstillError> {
    within("charge of the warm side (kg)", warm.charge.get::<kilogram>(), 0.0, 1e6)?;
    for side in [warm, cold] {
        within("volume of a side (m³)", side.volume.get::<cubic_meter>(), 0.0, 1e3)?;
    }
    let difference = delta(warm.temperature, cold.temperature);
    if difference.value < 0.0 || difference.is_nan() {
        return Err(StandstillError::NotColder { difference });
    }
    let dew = fluid.at_dew(DewTemperature::new(cold.temperature))?;
    let contents = Contents::at(fluid, BubbleTemperature::new(cold.temperature))?;
    let full = contents.liquid * cold.volume;
    within("charge of the cold side (kg)", cold.charge.get::<kilogram>(), 0.0, full.get::<kilogram>())?;
    let room = full - cold.charge;
    let vapour = fluid.vapour_at(dew.pressure, warm.temperature)?.density * warm.volume;
    let nothing = Mass::new::<kilogram>(0.0);
    // A warm side with less than its vapour has no liquid to give.
    let spare = if warm.charge > vapour { warm.charge - vapour } else { nothing };
    let (moved, limit) =
        if spare > room { (room, MigrationLimit::Volume) } else { (spare, MigrationLimit::Charge) };
    let found = Migration {
        moved,
        limit,
        pressure: dew.pressure,
        left: warm.charge - moved,
        cold_liquid: contents.liquid_of(cold.charge + moved, cold.volume),
    };
    Ok(contents.outcome(found, Method::Migration))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fluid::test_fluid::TestFluid;
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{thermodynamic_temperature::degree_celsius, volume::liter};

    fn side(volume_l: f64, charge_kg: f64, degrees: f64) -> Side {
        Side {
            volume: Volume::new::<liter>(volume_l),
            charge: Mass::new::<kilogram>(charge_kg),
            temperature: ThermodynamicTemperature::new::<degree_celsius>(degrees),
        }
    }

    fn moved(warm: Side, cold: Side) -> Migration {
        migration(&TestFluid, &warm, &cold).unwrap().value
    }

    /// Vapour of the made-up fluid on the warm side, kg in 10 L: an ideal gas at the dew pressure of 0 °C.
    fn vapour_kg(degrees: f64) -> f64 {
        let dew_pa = 1e5 * (11.0 - 2750.0 / 273.15_f64).exp();
        0.01 * dew_pa / (90.0 * (273.15 + degrees))
    }

    #[test]
    fn all_liquid_moves_where_there_is_room() {
        let found = moved(side(10.0, 3.0, 20.0), side(5.0, 0.1, 0.0));
        assert_eq!(found.limit, MigrationLimit::Charge);
        assert_relative_eq!(found.moved.value, 3.0 - vapour_kg(20.0), max_relative = 1e-9);
        assert_relative_eq!(found.left.value, vapour_kg(20.0), max_relative = 1e-9);
        assert!(found.cold_liquid < found.moved + Mass::new::<kilogram>(0.1));
    }

    #[test]
    fn a_small_cold_volume_is_full_first() {
        let found = moved(side(10.0, 8.0, 20.0), side(5.0, 1.0, 0.0));
        assert_eq!(found.limit, MigrationLimit::Volume);
        assert_relative_eq!(found.moved.value, 4.0, max_relative = 1e-12);
        assert_relative_eq!(found.cold_liquid.value, 5.0, max_relative = 1e-12);
        let none = moved(side(10.0, 8.0, 20.0), side(0.0, 0.0, 0.0));
        assert_eq!(
            (none.moved.value, none.cold_liquid.value, none.limit),
            (0.0, 0.0, MigrationLimit::Volume)
        );
    }

    #[test]
    fn a_side_without_liquid_gives_nothing() {
        let found = moved(side(10.0, 0.5 * vapour_kg(20.0), 20.0), side(5.0, 0.0, 0.0));
        assert_eq!((found.moved.value, found.limit), (0.0, MigrationLimit::Charge));
        assert_eq!(found.cold_liquid.value, 0.0);
        assert_eq!(moved(side(0.0, 0.0, 20.0), side(5.0, 0.0, 0.0)).moved.value, 0.0);
    }

    #[test]
    fn what_can_not_be_is_refused() {
        let refused = |warm, cold| migration(&TestFluid, &warm, &cold).unwrap_err();
        let (warm, cold) = (side(10.0, 3.0, 20.0), side(5.0, 0.0, 0.0));
        let swapped = refused(cold, warm);
        assert!(matches!(swapped, StandstillError::NotColder { .. }));
        assert!(swapped.to_string().contains("20.0 K warmer"), "{swapped}");
        assert!(matches!(refused(side(10.0, 3.0, f64::NAN), cold), StandstillError::NotColder { .. }));
        for (warm, cold) in
            [(side(-1.0, 3.0, 20.0), cold), (side(10.0, -3.0, 20.0), cold), (warm, side(5.0, 5.1, 0.0))]
        {
            assert!(matches!(refused(warm, cold), StandstillError::OutOfRange(_)));
        }
        assert!(matches!(refused(warm, side(5.0, 0.0, -200.0)), StandstillError::Property(_)));
    }

    proptest! {
        #[test]
        fn nothing_is_lost_and_nothing_overfills(
            warm_l in 0.0_f64..20.0, warm_kg in 0.0_f64..20.0, cold_l in 0.0_f64..20.0, held in 0.0_f64..1.0,
            degrees in -20.0_f64..20.0, warmer in 0.0_f64..40.0,
        ) {
            // The made-up liquid has 1 kg/L.
            let cold_kg = held * cold_l;
            let found = moved(side(warm_l, warm_kg, degrees + warmer), side(cold_l, cold_kg, degrees));
            prop_assert!(((found.moved + found.left).value - warm_kg).abs() < 1e-12);
            prop_assert!(found.moved.value >= 0.0 && found.left.value >= -1e-12);
            prop_assert!(cold_kg + found.moved.value <= cold_l * (1.0 + 1e-12));
            prop_assert!(found.cold_liquid.value <= cold_kg + found.moved.value);
            // A larger cold volume never draws less.
            let larger = moved(side(warm_l, warm_kg, degrees + warmer), side(cold_l + 1.0, cold_kg, degrees));
            prop_assert!(larger.moved >= found.moved);
        }
    }
}
