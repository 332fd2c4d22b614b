//! Bubble and dew temperature at one atmosphere, ANSI/ASHRAE 34 Table 4-2, from memory.

use crate::support::*;

/// The table is printed to 0.1 K, half of which is 0.23 % of pressure.
const PRINT_ROUNDING: f64 = 0.0025;

/// The listed blends of before 2022 were computed with other pair models than the grids, so each row is held to print
/// rounding and the stated uncertainty of the grid's own pressure.
#[test]
fn pressure_at_the_listed_temperatures_is_one_atmosphere() {
    let mut known = Known::of("boiling_points.csv", 0.0);
    let mut tally = Tally::new("ASHRAE 34 bubble and dew at one atmosphere");
    for row in read("published/data/boiling_points.csv") {
        let (name, at) = (row.text("refrigerant"), celsius(row.number("T_C")));
        let fluid = refrigerant(name);
        let pressure =
            if row.text("state") == "bubble" { bubble(fluid, at) } else { dew(fluid, at) }.pressure;
        let model = LIBRARY.refrigerants().find(name).unwrap().bands.value.pressure.value;
        let found = pressure.pascal() / 1e3;
        known.compare(&mut tally, &Known::key(&row), found, row.number("value"), PRINT_ROUNDING + model);
    }
    let within = tally.finish_and_count();
    assert_eq!(within + known.finish(), 34);
}
