//! Files that are read and written: nothing is overwritten silently, nothing is left half-written.

use crate::command::{lineset, run};
use std::{
    fs,
    path::{Path, PathBuf},
    process::Stdio,
};

const JOB: &str = "data/jobs/harbour-fish-counter.toml";
const MARK: &str = "mine\n";

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut files: Vec<_> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    files
}

#[test]
fn new_writes_a_job_that_meets_and_never_replaces_one() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    assert_eq!(run(&["new", text(&path)]).status, 0);
    assert_eq!(run(&["size", text(&path)]).status, 0);
    fs::write(&path, MARK).unwrap();
    let ran = run(&["new", text(&path)]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(ran.remarks.contains("exists already"), "{}", ran.remarks);
    assert_eq!(fs::read_to_string(&path).unwrap(), MARK);
    assert_eq!(run(&["new", text(&path), "--replace"]).status, 0);
    assert_eq!(fs::read_to_string(&path).unwrap(), run(&["new"]).out);
}

#[test]
fn out_refuses_an_existing_file_without_replace() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sheet.txt");
    fs::write(&path, MARK).unwrap();
    for command in
        [&["size", JOB, "--out"][..], &["charge", JOB, "--out"], &["tubes", "--out"], &["sources", "--out"]]
    {
        let ran = run(&[command, &[text(&path)]].concat());
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{command:?}");
        assert!(
            ran.remarks.contains("exists already") && ran.remarks.contains("--replace"),
            "{}",
            ran.remarks
        );
        assert_eq!(fs::read_to_string(&path).unwrap(), MARK);
    }
    let ran = run(&["size", JOB, "--out", text(&path), "--replace"]);
    assert_eq!((ran.status, ran.out.as_str()), (0, ""));
    assert_eq!(fs::read_to_string(&path).unwrap(), run(&["size", JOB]).out);
    assert_eq!(files(folder.path()), [path], "no temporary file is left");
}

#[test]
fn out_refuses_the_job_itself_even_with_replace() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("job.toml");
    run(&["new", text(&path)]);
    let before = fs::read_to_string(&path).unwrap();
    assert_eq!(run(&["size", text(&path), "--out", text(&path), "--replace"]).status, 2);
    assert_eq!(fs::read_to_string(&path).unwrap(), before);
}

#[test]
fn folder_gets_charts_and_refuses_those_that_are_there() {
    let folder = tempfile::tempdir().unwrap();
    let charts = folder.path().join("new/charts");
    let ran = run(&["size", JOB, "--folder", text(&charts)]);
    assert_eq!(ran.status, 0);
    let written = files(&charts);
    let names: Vec<&str> = written.iter().map(|path| path.file_name().unwrap().to_str().unwrap()).collect();
    // One set: its route, the liquid on its way, the riser of its discharge line, and its tubes.
    let of_the_set = [
        "isometric-1-ice-room.svg",
        "line-profile-liquid-1-ice-room.svg",
        "riser-flux-discharge-1-ice-room.svg",
        "run-against-allowable-1-ice-room.svg",
    ];
    assert_eq!(names, of_the_set);
    for (path, name) in written.iter().zip(names) {
        let svg = fs::read_to_string(path).unwrap();
        assert!(svg.starts_with("<svg") && svg.trim_end().ends_with("</svg>"), "{name}");
        assert!(ran.remarks.contains(name), "the file is named: {}", ran.remarks);
    }
    let svg = fs::read_to_string(&written[0]).unwrap();
    fs::write(&written[0], MARK).unwrap();
    // The sheet is not written either: all files or none.
    let sheet = folder.path().join("sheet.txt");
    let ran = run(&["size", JOB, "--folder", text(&charts), "--out", text(&sheet)]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(ran.remarks.contains("exists already"), "{}", ran.remarks);
    assert_eq!(fs::read_to_string(&written[0]).unwrap(), MARK);
    assert!(!sheet.exists());
    assert_eq!(run(&["size", JOB, "--folder", text(&charts), "--replace"]).status, 0);
    assert_eq!(fs::read_to_string(&written[0]).unwrap(), svg, "the same job draws the same chart");
}

#[test]
fn a_missing_file_is_named() {
    for (command, path) in [("size", "no/such/job.toml"), ("charge", "no/such/job.toml")] {
        let ran = run(&[command, path]);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""));
        assert!(ran.remarks.contains(path), "{}", ran.remarks);
    }
    let ran = run(&["size", JOB, "--data", "no/such/data"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert!(ran.remarks.contains("no/such/data"), "{}", ran.remarks);
}

#[test]
fn a_reader_that_goes_away_is_no_fault() {
    for (arguments, status) in [
        (&["size", JOB, "--format", "json"][..], 0),
        (&["size", "data/jobs/too-far.toml"], 1),
        (&["tubes"], 0),
        (&["new"], 0),
        (&["--help"], 0),
    ] {
        // Nobody reads this pipe from the start, so the first write fails.
        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let child = lineset().args(arguments).stdout(writer).stderr(Stdio::piped()).spawn().unwrap();
        let output = child.wait_with_output().unwrap();
        let remarks = String::from_utf8(output.stderr).unwrap();
        assert_eq!((output.status.code(), remarks.as_str()), (Some(status), ""), "{arguments:?}");
    }
}

#[test]
fn an_answer_that_can_not_be_printed_is_a_fault() {
    // A device that is always full; there is none such outside Linux.
    let Ok(full) = fs::OpenOptions::new().write(true).open("/dev/full") else { return };
    let output = lineset().arg("tubes").stdout(full).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8(output.stderr).unwrap().contains("can not be printed"));
}
