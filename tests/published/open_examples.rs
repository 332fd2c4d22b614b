//! Where each row of the open worked examples is held, and why some are not: `data/open_examples.csv`. Its 190 ids are those
//! of a collection of textbook examples, handbook rows and check values that can be read openly.

use crate::support::*;
use std::{collections::BTreeSet, path::Path};

const ROWS: usize = 190;
/// What is held: 51 check values of models, 33 of fluid mechanics, 14 of two textbook chains, 1 of an insulated pipe, 23
/// densities of oil, 40 of cycles, condensers and ice.
const HELD: usize = 162;

#[test]
fn every_open_example_is_held_or_says_why_not() {
    let rows = read("published/data/open_examples.csv");
    assert_eq!(rows.iter().map(|row| row.text("id")).collect::<BTreeSet<_>>().len(), ROWS);
    let mut held = 0;
    for row in &rows {
        let (file, reason) = (row.text("held_in"), row.text("why_not"));
        assert_ne!(file.is_empty(), reason.is_empty(), "{}: held or not", row.place());
        if file.is_empty() {
            println!("{} {}: {reason}", row.text("id"), row.text("quantity"));
            continue;
        }
        held += 1;
        // The oils have keys of their own.
        if file.starts_with("published/") {
            let found = read(file).iter().any(|other| other.text("id") == row.text("id"));
            assert!(found, "{}: {file} has no {}", row.place(), row.text("id"));
        } else {
            let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(file);
            assert!(path.exists(), "{}", path.display());
        }
    }
    assert_eq!(held, HELD);
}
