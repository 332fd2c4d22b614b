//! Runs a script of `data/generate` with a Python that has the packages of `data/generate/requirements.txt`.

use std::{env, path::Path, process::Command};

/// Names that Python.
const PYTHON: &str = "LINESET_PYTHON";

/// What a script printed; a script that fails fails the test. None where no Python is named: then it says how to name one.
pub(crate) fn run(script: &str, arguments: &[&str]) -> Option<String> {
    let Some(python) = env::var_os(PYTHON) else {
        println!(
            "skipped: {PYTHON} is not set. To run this check: python3 -m venv venv && venv/bin/pip install -r \
             data/generate/requirements.txt, then set {PYTHON} to the full path of venv/bin/python"
        );
        return None;
    };
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/generate").join(script);
    let ran = Command::new(&python).arg(script).args(arguments).output();
    let ran = ran.unwrap_or_else(|error| panic!("{PYTHON} names {python:?}, which does not start: {error}"));
    let (said, faults) = (String::from_utf8_lossy(&ran.stdout), String::from_utf8_lossy(&ran.stderr));
    println!("{said}");
    assert!(ran.status.success(), "{}\n{said}\n{faults}", ran.status);
    Some(said.into_owned())
}
