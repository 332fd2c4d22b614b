//! Reducers against the equivalent lengths of sudden changes of bore in a handbook (`data/fittings/equivalent_length.csv`:
//! a reprint of the special-fitting table of the ASHRAE Handbook Refrigeration), lengths of the smaller tube, 66 rows.
//!
//! The table states neither bores nor friction factor: it is for copper and for steel. So a length is computed twice, with the
//! bore of ASTM B88 Type L and of Schedule 40 (from memory), and must reach the printed one between them. The factor is that of
//! full turbulence in commercial steel, 0.0457 mm (the basis of Crane Technical Paper 410, from memory).

use crate::support::*;
use physics::{fittings, friction::darcy_friction_factor};
use std::{ops::RangeInclusive, path::Path};

/// Printed to 0.1 m.
const PRINTED_M: f64 = 0.05;
/// Such tables are worked with a friction factor and a coefficient of two digits each (0.017, 0.19): 3 % of either.
const TWO_DIGITS: f64 = 0.06;
/// At 3/4 of the bore the handbook's contractions lie up to a fifth below the straight line `0.5 (1 - beta^2)`, which thus is
/// on the safe side: it has another coefficient there.
const CONTRACTION_AT_THREE_QUARTERS: RangeInclusive<f64> = -TWO_DIGITS..=0.2;
/// 1/2 in at half the bore prints 0.3 m, as much as at a quarter of the bore and as 3/4 in at half: it seems rounded up.
const ROUNDED_UP: (&str, RangeInclusive<f64>) = ("contraction-1-2 1/2 in", -0.12..=0.0);
const STEEL_MM: f64 = 0.0457;
/// Nominal size, bore of Type L, bore of Schedule 40, in.
const BORES_IN: [(&str, f64, f64); 11] = [
    ("3/8 in", 0.430, 0.493),
    ("1/2 in", 0.545, 0.622),
    ("3/4 in", 0.785, 0.824),
    ("1 in", 1.025, 1.049),
    ("1-1/4 in", 1.265, 1.380),
    ("1-1/2 in", 1.505, 1.610),
    ("2 in", 1.985, 2.067),
    ("2-1/2 in", 2.465, 2.469),
    ("3 in", 2.945, 3.068),
    ("3-1/2 in", 3.425, 3.548),
    ("4 in", 3.905, 4.026),
];

/// Equivalent length of a change between a bore and that bore over `diameters`, m of the smaller tube.
fn length_m(widens: bool, small_in: f64, diameters: f64) -> f64 {
    let small_mm = small_in * INCH_MM;
    let (small, large) = (bore_mm(small_mm), bore_mm(small_mm / diameters));
    let (from, to) = if widens { (small, large) } else { (large, small) };
    let factor = darcy_friction_factor(number(1e8), number(STEEL_MM / small_mm)).value;
    fittings::equivalent_length(fittings::reducer(from, to).unwrap(), small, factor).get().value
}

#[test]
fn sudden_changes_of_bore_are_as_long_as_printed() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/fittings/equivalent_length.csv");
    let mut enlargements = Tally::new("enlargements, beyond the rounding of the table");
    let mut contractions = Tally::new("contractions, beyond the rounding of the table");
    for record in csv::Reader::from_path(path).unwrap().records() {
        let record = record.unwrap();
        let Some((kind, bores)) = record[0].split_once('-') else { continue };
        let diameters = match (kind, bores) {
            ("enlargement" | "contraction", "1-4") => 0.25,
            ("enlargement" | "contraction", "1-2") => 0.5,
            ("enlargement" | "contraction", "3-4") => 0.75,
            _ => continue,
        };
        let (_, copper_in, steel_in) = *BORES_IN.iter().find(|(nominal, ..)| *nominal == &record[2]).unwrap();
        let widens = kind == "enlargement";
        let (shortest_m, longest_m) =
            (length_m(widens, copper_in, diameters), length_m(widens, steel_in, diameters));
        let printed_m: f64 = record[4].parse().unwrap();
        let found_m = printed_m.clamp(shortest_m, longest_m);
        let nearest_m = found_m.clamp(printed_m - PRINTED_M, printed_m + PRINTED_M);
        let what = format!("{} {}", &record[0], &record[2]);
        if widens {
            enlargements.relative(&what, found_m, nearest_m, TWO_DIGITS);
        } else if what == ROUNDED_UP.0 {
            contractions.within(&what, found_m, nearest_m, ROUNDED_UP.1);
        } else if bores == "3-4" {
            contractions.within(&what, found_m, nearest_m, CONTRACTION_AT_THREE_QUARTERS);
        } else {
            contractions.relative(&what, found_m, nearest_m, TWO_DIGITS);
        }
    }
    enlargements.finish(33);
    contractions.finish(33);
}
