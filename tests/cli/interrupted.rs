//! A disk that takes no more, and a program that is killed while it writes: what was asked for is there whole or not at all.
//!
//! A limit on the size of files stands in for a full disk: the system call fails where the signal of the limit is ignored,
//! and the program is killed at that byte where it is not.

#![cfg(unix)]

use crate::command::repo;
use std::{
    fs,
    path::Path,
    process::{Command, Output},
};

const JOB: &str = "data/jobs/harbour-fish-counter.toml";
const SIGNAL_OF_THE_LIMIT: &str = "25";

/// Runs the command in a folder with files of 4 KiB at most.
fn with_small_files(folder: &Path, survives: bool, arguments: &[&str]) -> Output {
    let ignore = if survives { format!("trap '' {SIGNAL_OF_THE_LIMIT}; ") } else { String::new() };
    // The unit of the limit is 512 bytes in some shells and 1024 in others; all files here are far larger.
    let script = format!("{ignore}ulimit -f 4; exec \"$0\" \"$@\"");
    let mut command = Command::new("sh");
    command.args(["-c", &script, env!("CARGO_BIN_EXE_lineset")]).args(arguments).current_dir(folder);
    command.output().unwrap()
}

fn left(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap());
    entries.map(|entry| entry.file_name().into_string().unwrap()).collect()
}

const WRITING: [&[&str]; 4] = [
    &["size", "--format", "json", "--out", "answer"],
    &["size", "--folder", "answer"],
    &["pack", "--folder", "answer"],
    &["charge", "--out", "answer"],
];

fn arguments<'a>(writing: &[&'a str], job: &'a str) -> Vec<&'a str> {
    [&writing[..1], &[job], &writing[1..]].concat()
}

#[test]
fn a_full_disk_is_told_and_leaves_nothing_behind() {
    let job = repo(JOB);
    for writing in WRITING {
        let folder = tempfile::tempdir().unwrap();
        let ran = with_small_files(folder.path(), true, &arguments(writing, job.to_str().unwrap()));
        let told = String::from_utf8(ran.stderr).unwrap();
        assert_eq!(ran.status.code(), Some(2), "{writing:?}: {told}");
        assert!(told.contains("answer") && told.contains("can not be"), "{writing:?}: {told}");
        let files: Vec<String> = left(folder.path())
            .into_iter()
            .filter(|name| name != "answer" || !left(&folder.path().join("answer")).is_empty())
            .collect();
        assert!(files.is_empty(), "{writing:?}: {files:?}");
    }
}

#[test]
fn a_program_that_is_killed_while_it_writes_leaves_no_half_of_an_answer() {
    let job = repo(JOB);
    for writing in WRITING {
        let folder = tempfile::tempdir().unwrap();
        let ran = with_small_files(folder.path(), false, &arguments(writing, job.to_str().unwrap()));
        assert_eq!(ran.status.code(), None, "{writing:?} was to be killed");
        let answer = folder.path().join("answer");
        // The folder of charts is made first; what it holds is whole or under a name that says that it is not.
        let half =
            answer.is_file() || answer.is_dir() && left(&answer).iter().any(|name| !name.starts_with('.'));
        assert!(!half, "{writing:?}");
    }
}
