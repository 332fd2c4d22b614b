//! The property grids made afresh by their generator against those that are committed.

use std::{path::Path, process::Command};

/// A Python that has the packages of `data/generate/requirements.txt`.
const PYTHON: &str = "LINESET_PYTHON";
/// A pure refrigerant, a pseudo-pure one and a mixture, some of whose points are repaired.
const REFRIGERANTS: [&str; 3] = ["R-134a", "R-410A", "R-454B"];

#[test]
fn property_grids_are_those_that_the_generator_makes() {
    let Some(python) = std::env::var_os(PYTHON) else {
        eprintln!(
            "skipped: {PYTHON} is not set. To run this check: python3 -m venv venv && venv/bin/pip install -r \
             data/generate/requirements.txt, then set {PYTHON} to the full path of venv/bin/python"
        );
        return;
    };
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/generate/regeneration.py");
    let ran = Command::new(&python).arg(script).args(REFRIGERANTS).output();
    let ran = ran.unwrap_or_else(|error| panic!("{PYTHON} = {}: {error}", python.display()));
    let said = String::from_utf8_lossy(&ran.stdout);
    eprint!("{said}");
    assert!(
        ran.status.success(),
        "{}\n{said}{}",
        ran.status,
        String::from_utf8_lossy(&ran.stderr)
    );
    // Three tables each, and the glide of the two blends.
    assert_eq!(said.lines().count(), 11, "{said}");
}
