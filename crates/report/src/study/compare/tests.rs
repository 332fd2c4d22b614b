use super::*;
use crate::job::attach;
use std::{fs, path::PathBuf};

fn folder() -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "../../data/jobs"].iter().collect()
}

fn job(text: &str) -> Job {
    let mut job =
        job::read("test.toml", text.as_bytes()).unwrap_or_else(|faults| panic!("{}", faults.plain()));
    attach(&mut job, &|name| fs::read(folder().join(name))).unwrap_or_else(|faults| panic!("{faults}"));
    job
}

fn demo() -> String {
    fs::read_to_string(folder().join("two-on-the-roof.toml")).unwrap()
}

fn compared(text: &str) -> CompareView {
    let library = Library::embedded().unwrap();
    compare(&job(text), &library, None, &|_| {}).unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn prints() {
    let started = std::time::Instant::now();
    let view = compared(&demo());
    println!("{}", serde_json::to_string_pretty(&view).unwrap());
    println!("{:?}", started.elapsed());
}
