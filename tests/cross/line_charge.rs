//! Charge per metre of tube against own calculation with CoolProp 8.0.0 (each row has its bore and its state).

use crate::support::*;
use physics::{charge::charge_per_length, fluid::Refrigerant};

/// Five printed digits and the grid: the target of a charge.
const CHARGE: f64 = 0.005;
/// The grid's target for density.
const DENSITY: f64 = 5e-4;

#[test]
fn of_liquid_suction_and_discharge_lines() {
    let mut charge = Tally::new("charge per metre");
    let mut densities = Tally::new("density of the charge");
    let stock = LIBRARY.tubes().stock("ASTM B280 coil").unwrap();
    let mut bores = Tally::new("bores of the rows against ASTM B280 coil");
    for row in read("cross/data/line_charge.csv") {
        let fluid = refrigerant(row.text("refrigerant"));
        let state = match row.text("state") {
            "saturated liquid 40 C" => bubble(fluid, celsius(40.0)),
            "saturated vapour -15 C" => dew(fluid, celsius(-15.0)),
            "gas 80 C at 40 C condensing (dew)" => {
                fluid.vapour_at(dew(fluid, celsius(40.0)).pressure, celsius(80.0)).unwrap()
            }
            other => panic!("{}: state {other}", row.place()),
        };
        let what = format!("{} {} {}", row.place(), row.text("refrigerant"), row.text("tube_od"));
        densities.relative(&what, state.density.value, row.number("density_kg_m3"), DENSITY);
        let held = charge_per_length(state.density, bore_mm(row.number("tube_id_mm")));
        charge.relative(&what, held.value, row.number("kg_per_m"), CHARGE);
        let designation = format!("{} in", row.text("tube_od"));
        let same_size = stock.iter().filter(|product| *product.designation == *designation);
        let listed_mm = same_size.map(|product| product.tube.bore().get().value * 1e3);
        let nearest = listed_mm.min_by(|a, b| {
            let off = |mm: &f64| (mm - row.number("tube_id_mm")).abs();
            off(a).total_cmp(&off(b))
        });
        if let Some(nearest) = nearest {
            // The rows were made from recalled bores: they belong to one of the walls of the standard, or to the straight
            // tube of the same size, one gauge apart.
            bores.absolute(&what, nearest, row.number("tube_id_mm"), 0.4);
        }
    }
    charge.finish(81);
    densities.finish(81);
    bores.finish_at_least(50);
}
