//! Rated pressures of copper tube and growth of hot legs against published tables. What is recalled stands in
//! `recalled::strength`, so that no row is lost: 194 + 15 + 10 here, 11 there.

use crate::support::*;
use physics::{
    strength::{Basis, Temper, Tolerance, expansion::free_expansion, working_pressure},
    tube::Tube,
    units::{
        Length, OutsideDiameter, Pressure, TemperatureCoefficient, ThermodynamicTemperature,
        unit::{
            length::{foot, inch, millimeter},
            pressure::{bar, megapascal, psi},
            temperature_coefficient::per_kelvin,
            temperature_interval::degree_fahrenheit,
        },
    },
};
use tables::strength::StressBasis;

/// Listed psi are whole numbers from 94 up (0.5 % of 94), and their dimensions come in ten-thousandths of an inch.
const PRINTED_PSI: f64 = 0.005;
/// Whole bar.
const PRINTED_BAR: f64 = 0.5;
/// The stress was fitted to these rows with one number a temper: it can show that the shape of the formula fits, no more.
/// Whole bar from 58 up, half of one either way.
const FITTED: f64 = 0.01;

/// The groups of the rows of `working_pressure.csv`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Group {
    Published,
    Recalled,
    EuropeanNominal,
    EuropeanFitted,
}

pub(crate) fn rows(group: Group) -> Vec<Row> {
    let rows = read("published/data/working_pressure.csv");
    assert_eq!(rows.len(), 230);
    rows.into_iter().filter(|row| self::group(row) == group).collect()
}

fn group(row: &Row) -> Group {
    match (row.text("standard"), row.text("grade")) {
        ("EN 1057", "published") => Group::EuropeanNominal,
        ("EN 12735-1", "published") => Group::EuropeanFitted,
        (_, "published") => Group::Published,
        (_, "memory") => Group::Recalled,
        (standard, grade) => panic!("{}: {standard}, {grade}", row.place()),
    }
}

fn tube(row: &Row) -> (Tube, Tolerance) {
    let inches = |column| Length::new::<inch>(row.number(column));
    let (outside, wall) = (inches("od_in"), inches("wall_in"));
    let tolerance = Tolerance { wall: wall - inches("t_min_in"), outside: inches("d_max_in") - outside };
    (Tube::new(OutsideDiameter::new(outside), wall).unwrap(), tolerance)
}

/// A metric tube by its name, `12.7 x 0.8`, with a tolerance of its wall as share of it.
fn metric(row: &Row, tolerance: f64) -> (Tube, Tolerance) {
    let (outside, wall) = row.text("nominal").split_once(" x ").unwrap();
    let millimetres = |text: &str| Length::new::<millimeter>(text.parse().unwrap());
    let (outside, wall) = (millimetres(outside), millimetres(wall));
    let tolerance = Tolerance { wall: tolerance * wall, outside: millimetres("0") };
    (Tube::new(OutsideDiameter::new(outside), wall).unwrap(), tolerance)
}

fn temper(row: &Row) -> Temper {
    match row.text("temper") {
        "annealed" | "annealed coil" | "annealed basis" => Temper::Annealed,
        "drawn" | "rigid" => Temper::Drawn,
        other => panic!("{}: temper {other}", row.place()),
    }
}

/// Stress of the library at the row's temperature.
fn stress(row: &Row, basis: StressBasis) -> Pressure {
    let at: ThermodynamicTemperature = match row.text("temp_unit") {
        "F" => fahrenheit(row.number("temp")),
        "C" => celsius(row.number("temp")),
        other => panic!("{}: unit {other}", row.place()),
    };
    let curve = LIBRARY.strength().allowable_stress(basis, temper(row)).unwrap();
    curve.value.at(at).unwrap()
}

/// Rated pressure of a row in psi, with the stress of the library.
pub(crate) fn rated_psi(row: &Row) -> f64 {
    let stress = stress(row, StressBasis::American);
    approx::assert_relative_eq!(stress.get::<psi>(), row.number("stress"), max_relative = 1e-9);
    let (tube, tolerance) = tube(row);
    working_pressure(Basis::American, &tube, tolerance, stress).unwrap().value.get().get::<psi>()
}

pub(crate) fn compare(tally: &mut Tally, rows: &[Row]) {
    for row in rows {
        let what = format!("{} {} {}", row.place(), row.text("standard"), row.text("nominal"));
        tally.relative(&what, rated_psi(row), row.number("p_listed"), PRINTED_PSI);
    }
}

/// Copper Tube Handbook and tables that quote it: Type M at all temperatures in both tempers, others at one.
#[test]
fn listed_pressures_of_the_handbook_are_those_of_the_formula() {
    let mut tally = Tally::new("rated pressures, American basis");
    compare(&mut tally, &rows(Group::Published));
    tally.finish(194);
}

/// The tolerances of the library's products are those that the listed pressures were computed with.
#[test]
fn the_librarys_own_tolerances_give_the_listed_pressures() {
    let mut tally = Tally::new("rated pressures with the library's tolerances");
    for row in rows(Group::Published) {
        let standards: &[&str] = match row.text("standard") {
            "ASTM B88 Type L / B280 straight" => &["ASTM B88 Type L", "ASTM B280"],
            "ASTM B88 Type M" => continue,
            standard => &[standard],
        };
        let (tube, _) = tube(&row);
        let temper = temper(&row);
        for product in LIBRARY.tubes().find(tube.outside(), Some(tube.wall())) {
            if !standards.contains(&&*product.standard) {
                continue;
            }
            let tolerance = LIBRARY.strength().tolerance(product, temper).unwrap().value;
            let stress = stress(&row, StressBasis::American);
            let found = working_pressure(Basis::American, &product.tube, tolerance, stress).unwrap();
            let what = format!("{} {}", row.place(), product.printed_name());
            tally.relative(&what, found.value.get().get::<psi>(), row.number("p_listed"), PRINTED_PSI);
        }
    }
    // Each of the 40 rows of Types K and L and of B280 is met by one to three products; a tube that is added may meet more.
    tally.finish_at_least(62);
}

/// Table for EN 1057 tube: nominal dimensions, tensile strength over 3.5 at 20 °C.
#[test]
fn listed_pressures_of_european_tube_are_those_of_its_own_basis() {
    let mut tally = Tally::new("rated pressures, European basis, bar");
    for row in rows(Group::EuropeanNominal) {
        let stress = stress(&row, StressBasis::EuropeanTensile);
        let basis = StressBasis::EuropeanTensile.formula();
        let (tube, tolerance) = metric(&row, 0.0);
        let rated = working_pressure(basis, &tube, tolerance, stress).unwrap();
        let what = format!("{} {}", row.place(), row.text("nominal"));
        tally.absolute(&what, rated.value.get().get::<bar>(), row.number("p_listed"), PRINTED_BAR);
    }
    tally.finish(15);
}

#[test]
fn a_fitted_stress_brings_the_shape_of_a_listed_european_table() {
    let mut tally = Tally::new("rated pressures, European basis, fitted stress");
    for row in rows(Group::EuropeanFitted) {
        let (tube, tolerance) = metric(&row, 0.1);
        let stress = Pressure::new::<megapascal>(row.number("stress"));
        let rated = working_pressure(Basis::European, &tube, tolerance, stress).unwrap();
        let what = format!("{} {} {:?}", row.place(), row.text("nominal"), temper(&row));
        tally.relative(&what, rated.value.get().get::<bar>(), row.number("p_listed"), FITTED);
    }
    tally.finish(10);
}

pub(crate) fn hot_legs(quantity: &str) -> f64 {
    let rows = read("published/data/hot_legs.csv");
    rows.iter().find(|row| row.text("quantity") == quantity).unwrap().number("value")
}

#[test]
fn copper_grows_as_the_handbook_says() {
    let mut tally = Tally::new("growth of 100 ft by 100 °F, in");
    let growth = |per_kelvin_value: f64| {
        let expansion = TemperatureCoefficient::new::<per_kelvin>(per_kelvin_value);
        let warming = physics::units::TemperatureInterval::new::<degree_fahrenheit>(100.0);
        free_expansion(Length::new::<foot>(100.0), expansion, warming).get::<inch>()
    };
    tally.relative("its coefficient", growth(1.8 * hot_legs("expansion")), hot_legs("growth"), 5e-4);
    // The fact sheet that the library quotes (25 to 100 °C) says 0.7 % less than the handbook (70 to 212 °F).
    let library = LIBRARY.strength().copper().expansion.value.value;
    tally.relative("the library's coefficient", growth(library), hot_legs("growth"), 0.01);
    tally.finish(2);
}
