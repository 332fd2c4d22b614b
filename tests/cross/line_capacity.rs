//! Line capacities of R-404A against own calculation with CoolProp 8.0.0 and Colebrook at 1.5 um: no handbook value.

use crate::support::{capacity::capacity_kw, *};

/// Four printed digits, the grid's 0.05 % in density, and pressures 2 F apart at cold suction.
const PRINT_ROUNDING_AND_GRID: f64 = 0.003;

#[test]
fn r404a() {
    let mut tally = Tally::new("R-404A line capacity");
    for row in read("cross/data/line_capacity.csv") {
        // Discharge gas 45 K above condensing.
        let gas = (row.text("line") == "discharge").then(|| celsius(row.number("cond_C")) + kelvins(45.0));
        let what = format!("{} {} {}", row.place(), row.text("line"), row.text("tube_od"));
        tally.relative(
            &what,
            capacity_kw(&row, 1.0, gas),
            row.number("capacity_kW"),
            PRINT_ROUNDING_AND_GRID,
        );
    }
    tally.finish(74);
}
