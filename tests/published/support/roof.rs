//! What rows about condensers on a roof ask for: wind by height, air by altitude, load factors.

use super::{LIBRARY, Row};
use physics::{
    units::{
        Length, standard_atmosphere,
        unit::{length::foot, pressure::psi, ratio::ratio},
    },
    wind::{LoadCombination, exposure_coefficient},
};
use tables::roof::{Design, Edition, Exposure};

pub(crate) fn feet(value: f64) -> Length {
    Length::new::<foot>(value)
}

/// Kz of the library's terrain.
pub(crate) fn exposure(row: &Row) -> f64 {
    let named = |name: &str, key: &str| name == row.pair("inputs", key);
    let edition = Edition::ALL.into_iter().find(|edition| named(&edition.to_string(), "edition")).unwrap();
    let exposure =
        Exposure::ALL.into_iter().find(|exposure| named(&exposure.to_string(), "exposure")).unwrap();
    let terrain = LIBRARY.roof().terrain(edition, exposure).unwrap().value;
    let height = feet(row.keyed("inputs", "height_ft"));
    exposure_coefficient(height, &terrain).unwrap().value.get::<ratio>()
}

/// Pressure of the standard atmosphere, psi.
pub(crate) fn atmosphere_psi(altitude_ft: f64) -> f64 {
    standard_atmosphere(feet(altitude_ft)).unwrap().gauge(super::pascals(0.0)).get().get::<psi>()
}

/// Density of air of one temperature over that at sea level.
pub(crate) fn density_ratio(altitude_ft: f64) -> f64 {
    atmosphere_psi(altitude_ft) / atmosphere_psi(0.0)
}

/// Load factors of the library.
pub(crate) fn combination(row: &Row) -> LoadCombination {
    let design = match row.pair("inputs", "design") {
        "ASD" => Design::AllowableStress,
        "LRFD" => Design::Strength,
        other => panic!("{}: design {other}", row.place()),
    };
    LIBRARY.roof().combination(design).unwrap().value
}
