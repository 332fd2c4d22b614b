//! Double risers against splits solved by the library fluids 1.3.1 and scipy (`data/generate/parallel_riser_points.py`).
//!
//! Both stand on the same equations: what this catches is a slip in the split, the changeover, units or height.

use crate::support::*;
use physics::{
    double_riser::{Duty, Load, Riser, double_riser},
    units::{
        DynamicViscosity, Length,
        unit::{dynamic_viscosity::pascal_second, length::micrometer},
    },
};

/// Both solve Colebrook and the split to rounding; the table has 12 digits.
const SAME_EQUATIONS: f64 = 1e-9;
const ROWS: usize = 20;

#[test]
fn a_pair_shares_as_the_library_solves_it() {
    let mut tally = Tally::new("double risers");
    for row in read("cross/data/double_risers.csv") {
        let load = |column: &str| Load {
            mass_rate: mass_rate(row.number(column)),
            density: density(row.number("gas_kg_m3")),
            viscosity: DynamicViscosity::new::<pascal_second>(row.number("gas_pa_s")),
        };
        let riser = |bore: &str, resistance: &str| Riser {
            bore: bore_mm(1e3 * row.number(bore)),
            resistance: number(row.number(resistance)),
        };
        let duty = Duty {
            full: load("full_kg_s"),
            least: load("least_kg_s"),
            oil_density: density(row.number("oil_kg_m3")),
            oil_return_limit: number(1.0),
            height: metres(row.number("height_m")),
            length: metres(row.number("length_m")),
            roughness: Length::new::<micrometer>(DRAWN_COPPER_UM),
        };
        let outcome = double_riser(&duty, riser("small_m", "small_k"), riser("large_m", "large_k")).unwrap();
        let found = outcome.value;
        for (column, value) in [
            ("small_kg_s", found.small.mass_rate.value),
            ("drop_pa", found.small.drop.value),
            ("drop_pa", found.large.drop.value),
            ("changeover_kg_s", found.changeover.value),
            ("alone_pa", found.small_alone.drop.value),
            ("oil_column_m", found.oil_column.value),
        ] {
            tally.relative(&format!("{} {column}", row.place()), value, row.number(column), SAME_EQUATIONS);
        }
    }
    tally.finish(6 * ROWS);
}
