//! Running the command from the root of the repository.

use serde_json::Value;
use std::{
    path::PathBuf,
    process::{Command, Output},
};

/// A path of the repository, whatever folder the tests run in.
pub(crate) fn repo(path: &str) -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../..")).join(path)
}

pub(crate) fn lineset() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lineset"));
    command.current_dir(repo("."));
    command
}

/// What a run of the command gave.
pub(crate) struct Ran {
    pub(crate) status: i32,
    pub(crate) out: String,
    pub(crate) remarks: String,
}

impl From<Output> for Ran {
    fn from(output: Output) -> Self {
        Self {
            status: output.status.code().expect("the command ends by itself"),
            out: String::from_utf8(output.stdout).unwrap(),
            remarks: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

pub(crate) fn run(arguments: &[&str]) -> Ran {
    lineset().args(arguments).output().unwrap().into()
}

/// The JSON of a command, whatever its verdict.
pub(crate) fn answer(arguments: &[&str]) -> Value {
    let ran = run(&[arguments, &["--format", "json"]].concat());
    assert!(ran.status < 2, "{arguments:?}: {}", ran.remarks);
    serde_json::from_str(&ran.out).unwrap()
}

/// The number at a JSON pointer.
pub(crate) fn number(value: &Value, pointer: &str) -> f64 {
    value.pointer(pointer).and_then(Value::as_f64).unwrap_or_else(|| panic!("no number at {pointer}"))
}

/// The line of a service in the first set.
pub(crate) fn line<'a>(answer: &'a Value, service: &str) -> &'a Value {
    let lines = answer["sets"][0]["lines"].as_array().unwrap();
    lines.iter().find(|line| line["service"] == service).unwrap()
}
