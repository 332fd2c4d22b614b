//! Bubble and dew temperature at one atmosphere, ANSI/ASHRAE 34 Table 4-2, from memory.

use crate::support::*;

#[test]
fn pressure_at_the_listed_temperatures_is_one_atmosphere() {
    let mut tally = Tally::new("ASHRAE 34 bubble and dew at one atmosphere");
    for row in read("published/data/boiling_points.csv") {
        let (name, at) = (row.text("refrigerant"), celsius(row.number("T_C")));
        let (fluid, state) = (refrigerant(name), row.text("state"));
        let pressure = if state == "bubble" { bubble(fluid, at) } else { dew(fluid, at) }.pressure;
        // The table is printed to 0.1 K, half of which is 0.23 % of pressure; its blends of before 2022 were computed
        // with other pair models than the grid: up to 1.5 % for R-449A.
        let tolerance = if name == "R-449A" { 0.015 } else { 0.0025 };
        tally.relative(&format!("{name} {state}"), pressure.pascal() / 1e3, row.number("value"), tolerance);
    }
    tally.finish(4);
}
