//! Free drains: what a standing column of liquid can push through, and the column that a pressure difference asks for.
//!
//! A free drain has no other drive than the height of its liquid: above the column and beyond it stands the same vapour
//! (a receiver vented to the coil's outlet, or coils that share one header). Heights are vertical, not lengths of tube.

use crate::units::{Length, MassDensity, Pressure, STANDARD_GRAVITY_M_S2};
use thiserror::Error;
use uom::si::{length::meter, pressure::pascal};

/// The liquid of a column and the vapour that stands beside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// Density of the liquid.
    pub liquid_density: MassDensity,
    /// Density of the vapour that fills the same height on the other way down; 0 leaves it out, which overstates the static head
    /// (by a tenth for a dense refrigerant at 40 °C).
    pub vapour_density: MassDensity,
}

/// What a column of liquid over a check valve has to push.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrainBalance {
    /// Static head of the column.
    pub static_head: Pressure,
    /// Cracking pressure and friction together.
    pub needed: Pressure,
    /// Static head less what is needed: below 0 liquid backs up into the coil until its column suffices.
    pub margin: Pressure,
}

/// A drain that can not be.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum DrainError {
    /// Liquid that is not heavier than the vapour beside it does not drain.
    #[error("liquid of {liquid_kg_m3} kg/m3 does not drain past vapour of {vapour_kg_m3} kg/m3")]
    NotHeavier {
        /// Density of the liquid, kg/m3.
        liquid_kg_m3: f64,
        /// Density of the vapour, kg/m3.
        vapour_kg_m3: f64,
    },
    /// A quantity is negative or no number.
    #[error("the {what} must be at least 0, not {value}")]
    Negative {
        /// The quantity.
        what: &'static str,
        /// Its value in SI.
        value: f64,
    },
}

impl Column {
    /// Static head of a column of a height: `(rho_liquid - rho_vapour) g h`. Hydrostatics, no other source.
    ///
    /// # Errors
    /// [`DrainError`]: a negative height or vapour density, a quantity that is no number, liquid not heavier than vapour.
    ///
    /// # Example
    /// 0.5 m of liquid of 1050 kg/m3 with vapour of 50 kg/m3 beside it: 1000 x 9.80665 x 0.5.
    /// ```
    /// use physics::{drain::Column, units::{Length, MassDensity, unit::{length::meter, mass_density::kilogram_per_cubic_meter, pressure::pascal}}};
    /// let density = |value| MassDensity::new::<kilogram_per_cubic_meter>(value);
    /// let column = Column { liquid_density: density(1050.0), vapour_density: density(50.0) };
    /// assert!((column.static_head(Length::new::<meter>(0.5))?.get::<pascal>() - 4903.325).abs() < 1e-9);
    /// # Ok::<(), physics::drain::DrainError>(())
    /// ```
    pub fn static_head(&self, height: Length) -> Result<Pressure, DrainError> {
        Ok(Pressure::new::<pascal>(self.weight_pa_m()? * not_negative("height", height.value)?))
    }

    /// Height of a drop leg that holds a pressure difference: `h = dp / ((rho_liquid - rho_vapour) g)`. Hydrostatics.
    ///
    /// Where coils of unequal drop drain into one header, each needs a leg of at least the height that belongs to the
    /// difference between its drop and the least of them, or liquid stands in its last tubes.
    ///
    /// # Errors
    /// [`DrainError`]: as [`static_head`](Self::static_head), and a negative difference.
    pub fn drop_leg(&self, difference: Pressure) -> Result<Length, DrainError> {
        Ok(Length::new::<meter>(not_negative("pressure difference", difference.value)? / self.weight_pa_m()?))
    }

    /// Whether the column between a coil's outlet and a check valve below it opens the valve and keeps it open.
    ///
    /// `height` is that of the coil's outlet above the valve, `cracking` the pressure at which the valve opens, `friction`
    /// what drain, parts and the open valve lose at the greatest flow (0 for opening alone). The static head must cover their sum
    /// (common practice, no source). A valve set upright adds the weight of its disc only if that is in its cracking pressure.
    ///
    /// # Errors
    /// [`DrainError`]: as [`static_head`](Self::static_head), and a negative cracking pressure or friction.
    pub fn over_check_valve(
        &self,
        height: Length,
        cracking: Pressure,
        friction: Pressure,
    ) -> Result<DrainBalance, DrainError> {
        let static_head = self.static_head(height)?;
        let needed = Pressure::new::<pascal>(
            not_negative("cracking pressure", cracking.value)? + not_negative("friction", friction.value)?,
        );
        Ok(DrainBalance { static_head, needed, margin: static_head - needed })
    }

    fn weight_pa_m(&self) -> Result<f64, DrainError> {
        let vapour_kg_m3 = not_negative("density of the vapour", self.vapour_density.value)?;
        let liquid_kg_m3 = not_negative("density of the liquid", self.liquid_density.value)?;
        if liquid_kg_m3 > vapour_kg_m3 {
            Ok((liquid_kg_m3 - vapour_kg_m3) * STANDARD_GRAVITY_M_S2)
        } else {
            Err(DrainError::NotHeavier { liquid_kg_m3, vapour_kg_m3 })
        }
    }
}

fn not_negative(what: &'static str, value: f64) -> Result<f64, DrainError> {
    if value >= 0.0 && value.is_finite() { Ok(value) } else { Err(DrainError::Negative { what, value }) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{mass_density::kilogram_per_cubic_meter, pressure::psi};

    fn column(liquid_kg_m3: f64, vapour_kg_m3: f64) -> Column {
        let density = |value| MassDensity::new::<kilogram_per_cubic_meter>(value);
        Column { liquid_density: density(liquid_kg_m3), vapour_density: density(vapour_kg_m3) }
    }

    fn metres(value: f64) -> Length {
        Length::new::<meter>(value)
    }

    fn pascals(value: f64) -> Pressure {
        Pressure::new::<pascal>(value)
    }

    /// By hand: 0.3 m of 1100 - 60 kg/m3 is 0.3 x 1040 x 9.80665 = 3059.67 Pa; 0.5 psi is 3447.38 Pa, 200 Pa of friction more.
    #[test]
    fn a_foot_of_liquid_does_not_open_half_a_psi() {
        let found = column(1100.0, 60.0)
            .over_check_valve(metres(0.3), Pressure::new::<psi>(0.5), pascals(200.0))
            .unwrap();
        assert_relative_eq!(found.static_head.value, 3059.6748, max_relative = 1e-9);
        assert_relative_eq!(found.needed.value, 3647.38, max_relative = 1e-6);
        assert_relative_eq!(found.margin.value, -587.70, max_relative = 1e-4);
    }

    /// By hand: 3 psi = 20 684.3 Pa over 1000 kg/m3 is 2.1092 m.
    #[test]
    fn drop_leg_by_hand() {
        let leg = column(1000.0, 0.0).drop_leg(Pressure::new::<psi>(3.0)).unwrap();
        assert_relative_eq!(leg.value, 2.1092, max_relative = 1e-4);
        assert_eq!(column(1000.0, 0.0).drop_leg(pascals(0.0)).unwrap(), metres(0.0));
    }

    #[test]
    fn what_can_not_be_is_refused() {
        let refused = |what: &'static str, found: Result<DrainBalance, DrainError>| {
            assert!(
                matches!(found, Err(DrainError::Negative { what: told, .. }) if told == what),
                "{what}: {found:?}"
            );
        };
        let good = column(1000.0, 50.0);
        let none = pascals(0.0);
        refused("height", good.over_check_valve(metres(-0.1), none, none));
        refused("height", good.over_check_valve(metres(f64::NAN), none, none));
        refused("cracking pressure", good.over_check_valve(metres(0.1), pascals(-1.0), none));
        refused("friction", good.over_check_valve(metres(0.1), none, pascals(f64::INFINITY)));
        refused("density of the vapour", column(1000.0, -1.0).over_check_valve(metres(0.1), none, none));
        refused("density of the liquid", column(f64::NAN, 1.0).over_check_valve(metres(0.1), none, none));
        let upside_down = column(50.0, 50.0).static_head(metres(0.1));
        assert!(matches!(upside_down, Err(DrainError::NotHeavier { .. })));
        assert!(matches!(good.drop_leg(pascals(-1.0)), Err(DrainError::Negative { .. })));
    }

    proptest! {
        #[test]
        fn a_drop_leg_of_the_static_head_is_the_height(
            height in 0.0..30.0_f64, liquid in 400.0..1400.0_f64, vapour in 0.0..300.0_f64,
        ) {
            let column = column(liquid, vapour);
            let back = column.drop_leg(column.static_head(metres(height)).unwrap()).unwrap();
            prop_assert!((back.value - height).abs() < 1e-12 * (1.0 + height));
        }

        #[test]
        fn more_height_helps_and_more_to_open_hinders(
            height in 0.0..10.0_f64, cracking in 0.0..1e4_f64, more in 0.01..10.0_f64,
        ) {
            let margin = |height, cracking| {
                column(1100.0, 60.0).over_check_valve(metres(height), pascals(cracking), pascals(100.0)).unwrap().margin
            };
            prop_assert!(margin(height + more, cracking) > margin(height, cracking));
            prop_assert!(margin(height, cracking + more) < margin(height, cracking));
        }
    }
}
