//! What rows about winter ask for: the flooded share of a condenser by its design difference, and slips by name.

use super::{Row, fahrenheit, kelvins};
use physics::{
    coil_charge::Slip,
    condenser::SaturationReference,
    fluid::Refrigerant,
    units::{Power, unit::power::kilowatt, unit::ratio::ratio},
    winter::{WinterDuty, flooding},
};

/// Flooded share of a condenser that rejects 10 kW at a design difference, from a held mid temperature down to an air.
pub(crate) fn flooded_share(
    fluid: &dyn Refrigerant,
    held_f: f64,
    air_f: f64,
    difference_f: f64,
    load: f64,
) -> f64 {
    let design = Power::new::<kilowatt>(10.0);
    let duty = WinterDuty {
        held: SaturationReference::Mid.pressure(fluid, fahrenheit(held_f)).unwrap(),
        heat_rejection: design * load,
        air: fahrenheit(air_f),
    };
    let found = flooding(fluid, &duty, design / kelvins(difference_f / 1.8)).unwrap();
    found.value.flooded_share.get::<ratio>()
}

/// Flooded share of a row that states held and air temperature, design difference and load.
pub(crate) fn flooded_share_of(fluid: &dyn Refrigerant, row: &Row) -> f64 {
    let input = |key| row.keyed("inputs", key);
    flooded_share(fluid, input("held_f"), input("air_f"), input("difference_f"), input("load"))
}

/// The slip that a row names.
pub(crate) fn slip(row: &Row) -> Slip {
    match row.pair("inputs", "slip") {
        "homogeneous" => Slip::Homogeneous,
        "double" => Slip::Double,
        "zivi" => Slip::Zivi,
        other => panic!("{}: slip {other}", row.place()),
    }
}
