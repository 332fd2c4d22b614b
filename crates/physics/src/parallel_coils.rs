//! Two or more coils on one circuit: they share inlet and outlet pressure, and the one that drops more has to be helped by
//! a column of liquid, or liquid backs up into it.

use crate::units::{Length, MassDensity, Power, Pressure, Ratio, STANDARD_GRAVITY_M_S2};
use thiserror::Error;
use uom::si::{
    length::meter, mass_density::kilogram_per_cubic_meter, power::watt, pressure::pascal, ratio::ratio,
};

/// Turbulent friction goes with the 1.8th power of the mass rate (Blasius).
const DROP_EXPONENT: f64 = 1.8;

/// One of the coils.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coil {
    /// Heat that it rejects: its share of the flow goes with it.
    pub heat: Power,
    /// Pressure that it and its branch would drop if all of the circuit flowed through it.
    pub drop_at_all_flow: Pressure,
}

/// Liquid behind one of the coils.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BackUp {
    /// Its share of the flow.
    pub flow_share: Ratio,
    /// Pressure that it drops at that share.
    pub drop: Pressure,
    /// Height of liquid between its outlet and the joint that makes up for what it drops more than the coil that drops
    /// least.
    pub drop_leg_needed: Length,
}

/// Figures that coils can not have.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[error("heat, pressure drop and density of liquid must not be negative, and some heat must be rejected")]
pub struct NoCoils;

/// What drop legs parallel coils need.
///
/// Flow divides as the heat does, since all of it condenses; `dp = dp_all (m/m_all)^1.8`; the height is
/// `(dp - least dp) / (rho g)` (common practice for coils in parallel, no source opened). Friction of the liquid in the drop
/// leg itself and the slope of header pipes are not in it.
///
/// # Errors
/// [`NoCoils`].
pub fn back_up(coils: &[Coil], liquid: MassDensity) -> Result<Vec<BackUp>, NoCoils> {
    let density_kg_m3 = liquid.get::<kilogram_per_cubic_meter>();
    let total_w: f64 = coils.iter().map(|coil| coil.heat.get::<watt>()).sum();
    let sound = coils.iter().all(|coil| coil.heat.value >= 0.0 && coil.drop_at_all_flow.value >= 0.0);
    if !(sound && total_w > 0.0 && density_kg_m3 > 0.0) {
        return Err(NoCoils);
    }
    let share = |coil: &Coil| coil.heat.get::<watt>() / total_w;
    let drop_pa = |coil: &Coil| coil.drop_at_all_flow.get::<pascal>() * share(coil).powf(DROP_EXPONENT);
    let least_pa = coils.iter().map(drop_pa).fold(f64::INFINITY, f64::min);
    let of = |coil: &Coil| BackUp {
        flow_share: Ratio::new::<ratio>(share(coil)),
        drop: Pressure::new::<pascal>(drop_pa(coil)),
        drop_leg_needed: Length::new::<meter>(
            (drop_pa(coil) - least_pa) / (density_kg_m3 * STANDARD_GRAVITY_M_S2),
        ),
    };
    Ok(coils.iter().map(of).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn coil(heat_w: f64, drop_pa: f64) -> Coil {
        Coil { heat: Power::new::<watt>(heat_w), drop_at_all_flow: Pressure::new::<pascal>(drop_pa) }
    }

    fn liquid() -> MassDensity {
        MassDensity::new::<kilogram_per_cubic_meter>(1000.0)
    }

    #[test]
    fn the_coil_that_drops_more_needs_the_column() {
        let found = back_up(&[coil(5e3, 40e3), coil(5e3, 20e3)], liquid()).unwrap();
        let half = 0.5_f64.powf(1.8);
        assert_relative_eq!(found[0].drop.value, 40e3 * half, max_relative = 1e-12);
        assert_relative_eq!(found[0].drop_leg_needed.value, 20e3 * half / 9806.65, max_relative = 1e-12);
        assert_eq!(found[1].drop_leg_needed.value, 0.0);
    }

    #[test]
    fn more_of_the_heat_is_more_of_the_flow_and_more_drop() {
        let found = back_up(&[coil(6e3, 30e3), coil(4e3, 30e3)], liquid()).unwrap();
        assert_relative_eq!(found[0].flow_share.value, 0.6, max_relative = 1e-12);
        assert!(found[0].drop_leg_needed > found[1].drop_leg_needed);
        assert!(back_up(&[coil(0.0, 1.0)], liquid()).is_err());
        assert!(back_up(&[coil(1.0, -1.0)], liquid()).is_err());
        assert!(back_up(&[], liquid()).is_err());
    }
}
