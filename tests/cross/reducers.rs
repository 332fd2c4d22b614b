//! Reducers and flow coefficients against the library fluids 1.3.1 (`data/generate/parallel_riser_points.py`).

use crate::support::*;
use physics::{
    fittings::{reducer, referred_to, resistance_of_flow_coefficient},
    units::{VolumeRate, unit::volume_rate::cubic_meter_per_hour},
};

/// Same closed forms, printed with 12 digits.
const SAME_EQUATIONS: f64 = 1e-10;
/// Density of water in the library's constant, kg/m3; IEC's form of the definition has 1000.
const LIBRARY_WATER_KG_M3: f64 = 999.297_445_68;
const ROWS: usize = 12;

#[test]
fn changes_of_bore_and_flow_coefficients_are_those_of_the_library() {
    let mut tally = Tally::new("reducers and flow coefficients");
    for row in read("cross/data/reducers.csv") {
        let (small, large) = (bore_mm(1e3 * row.number("small_m")), bore_mm(1e3 * row.number("large_m")));
        let (wider, narrower) = (reducer(small, large).unwrap(), reducer(large, small).unwrap());
        let kv = VolumeRate::new::<cubic_meter_per_hour>(row.number("kv_m3_h"));
        let of_kv = resistance_of_flow_coefficient(kv, small) * (1000.0 / LIBRARY_WATER_KG_M3);
        for (column, found) in [
            ("enlargement", wider),
            ("contraction", narrower),
            ("enlargement_of_large", referred_to(wider, small, large)),
            ("contraction_of_large", referred_to(narrower, small, large)),
            ("kv_small", of_kv),
        ] {
            let what = format!("{} {column}", row.place());
            tally.relative(&what, found.value, row.number(column), SAME_EQUATIONS);
        }
    }
    tally.finish(5 * ROWS);
}
