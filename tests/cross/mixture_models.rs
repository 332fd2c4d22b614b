//! The generator's equations and component models against published values, by `data/generate/check_published.py`:
//! what the grids cannot answer (components of blends, states of a given density, residual Helmholtz energies).
//!
//! It needs a Python with `data/generate/requirements.txt` installed, named by `LINESET_PYTHON`.

use std::{env, path::Path, process::Command};

const PYTHON: &str = "LINESET_PYTHON";

#[test]
fn the_generator_meets_published_values() {
    let Some(python) = env::var_os(PYTHON) else {
        println!(
            "skipped, {PYTHON} is not set: python3 -m venv venv && venv/bin/pip install -r \
             data/generate/requirements.txt, then {PYTHON}=$PWD/venv/bin/python"
        );
        return;
    };
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/generate/check_published.py");
    let run = Command::new(&python)
        .arg(script)
        .output()
        .unwrap_or_else(|error| panic!("{PYTHON} names {python:?}, which does not start: {error}"));
    let (table, faults) = (String::from_utf8_lossy(&run.stdout), String::from_utf8_lossy(&run.stderr));
    println!("{table}");
    assert!(run.status.success(), "{table}\n{faults}");
    // 1,055 + 51 rows: a table must not lose its rows unseen.
    assert!(table.contains("1049 rows compared, 57 rejected"), "{table}");
}
