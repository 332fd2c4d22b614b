//! Heat that water gives off while it freezes.

use crate::{
    outcome::{Caveats, Method, Outcome},
    units::{MassRate, Power, ThermodynamicTemperature},
};
use thiserror::Error;
use uom::si::{mass_rate::kilogram_per_second, power::watt, thermodynamic_temperature::degree_celsius};

const WATER_J_KG_K: f64 = 4187.0;
const FUSION_J_KG: f64 = 333_600.0;
const ICE_J_KG_K: f64 = 2090.0;

/// Why a load of ice can not be computed.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum IceError {
    /// No ice.
    #[error("the rate of ice is {rate_kg_s} kg/s, which is not positive")]
    NoIce {
        /// The rate.
        rate_kg_s: f64,
    },
    /// Water that is no liquid, or warmer than mains water gets.
    #[error("water of {water_c} °C is outside 0 °C to 60 °C")]
    Water {
        /// Its temperature, °C.
        water_c: f64,
    },
    /// Ice warmer than it can be or colder than machines make it.
    #[error("ice of {ice_c} °C is outside -40 °C to 0 °C")]
    Ice {
        /// Its temperature, °C.
        ice_c: f64,
    },
}

/// Heat to be taken out of water that becomes ice, at 0 °C to 60 °C and -40 °C to 0 °C.
///
/// `Q = m (4.187 t_water + 333.6 - 2.09 t_ice)` in kJ and °C (heats of water and ice near 0 °C, textbook values). What the
/// machine itself takes up beside it - harvest, pump, walls - is not in it.
///
/// # Errors
/// [`IceError`].
pub fn ice_load(
    rate: MassRate,
    water: ThermodynamicTemperature,
    ice: ThermodynamicTemperature,
) -> Result<Outcome<Power>, IceError> {
    let rate_kg_s = rate.get::<kilogram_per_second>();
    if !(rate_kg_s > 0.0 && rate_kg_s.is_finite()) {
        return Err(IceError::NoIce { rate_kg_s });
    }
    let (water_c, ice_c) = (water.get::<degree_celsius>(), ice.get::<degree_celsius>());
    if !(-1e-9..=60.0).contains(&water_c) {
        return Err(IceError::Water { water_c });
    }
    if !(-40.0..=1e-9).contains(&ice_c) {
        return Err(IceError::Ice { ice_c });
    }
    let heat_j_kg = WATER_J_KG_K * water_c + FUSION_J_KG - ICE_J_KG_K * ice_c;
    Ok(Outcome {
        value: Power::new::<watt>(rate_kg_s * heat_j_kg),
        method: Method::IceLoad,
        caveats: Caveats::default(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn load_w(rate_kg_s: f64, water_c: f64, ice_c: f64) -> Result<f64, IceError> {
        let temperature = ThermodynamicTemperature::new::<degree_celsius>;
        ice_load(MassRate::new::<kilogram_per_second>(rate_kg_s), temperature(water_c), temperature(ice_c))
            .map(|load| load.value.get::<watt>())
    }

    #[test]
    fn water_cools_freezes_and_cools_on() {
        assert_relative_eq!(load_w(0.01, 0.0, 0.0).unwrap(), 3336.0, max_relative = 1e-9);
        assert_relative_eq!(load_w(0.01, 20.0, 0.0).unwrap() - 3336.0, 837.4, max_relative = 1e-6);
        assert_relative_eq!(load_w(0.01, 0.0, -10.0).unwrap() - 3336.0, 209.0, max_relative = 1e-6);
        assert_eq!(load_w(0.0, 20.0, -5.0), Err(IceError::NoIce { rate_kg_s: 0.0 }));
        assert!(matches!(load_w(1.0, 70.0, -5.0), Err(IceError::Water { .. })));
        assert!(matches!(load_w(1.0, 20.0, 5.0), Err(IceError::Ice { .. })));
    }
}
