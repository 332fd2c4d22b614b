//! What the help shows as an example runs as it stands.

use crate::command::{repo, run};
use std::{env, fs, path::Path, process::Command};

/// Files that the examples name, and the job of the repository that each stands for; sheets lie beside their folder.
const FILES: [(&str, &str); 4] = [
    ("ice-room.toml", "data/jobs/harbour-fish-counter.toml"),
    ("two-rooms.toml", "data/jobs/two-on-the-roof.toml"),
    ("roofs.toml", "data/jobs/harbour-fish-counter.toml"),
    ("roofs.csv", "data/jobs/many-roofs.csv"),
];

fn subcommands() -> Vec<String> {
    let help = run(&["--help"]).out;
    let listed = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    let names = listed.take_while(|line| !line.is_empty()).filter_map(|line| line.strip_prefix("  "));
    names
        .filter(|line| !line.starts_with(' '))
        .map(|line| line.split(' ').next().unwrap().to_owned())
        .collect()
}

/// The commands below a heading, lines that go on joined; what is explained beside one is left out.
fn commands(help: &str, headings: &[&str]) -> Vec<String> {
    let block = help.lines().skip_while(|line| !headings.contains(line)).skip(1);
    let block: Vec<&str> = block.take_while(|line| !line.is_empty()).map(str::trim).collect();
    let joined = block.join("\n").replace(" \\\n", " ");
    joined.lines().map(|line| line.split("  ").next().unwrap().trim().to_owned()).collect()
}

/// Runs a line of a shell in a folder; gives the status and what was answered on stdout or in new files.
fn in_shell(line: &str, folder: &Path) -> (i32, bool, String) {
    let program = Path::new(env!("CARGO_BIN_EXE_lineset")).parent().unwrap();
    let others = env::var_os("PATH").unwrap();
    let path = env::join_paths([program.to_owned()].into_iter().chain(env::split_paths(&others))).unwrap();
    let files = || fs::read_dir(folder).unwrap().count();
    let before = files();
    let ran = Command::new("sh").args(["-c", line]).current_dir(folder).env("PATH", path).output().unwrap();
    let mut found = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().metadata().unwrap());
    let written = found.all(|found| found.is_dir() || found.len() > 0);
    let answered = written && (files() > before || !ran.stdout.is_empty());
    (ran.status.code().unwrap(), answered, String::from_utf8(ran.stderr).unwrap())
}

#[cfg(unix)]
#[test]
fn every_example_of_the_help_runs() {
    for name in subcommands() {
        let help = run(&[&name, "--help"]).out;
        let examples = commands(&help, &["Example:", "Examples:"]);
        assert!(!examples.is_empty(), "the help of `{name}` has no example:\n{help}");
        for example in examples {
            assert!(example.starts_with(&format!("lineset {name}")), "{example}");
            let root = tempfile::tempdir().unwrap();
            let folder = root.path().join("jobs");
            for folder in ["jobs", "templates"] {
                fs::create_dir(root.path().join(folder)).unwrap();
            }
            for sheet in fs::read_dir(repo("data/templates")).unwrap().map(|entry| entry.unwrap()) {
                fs::copy(sheet.path(), root.path().join("templates").join(sheet.file_name())).unwrap();
            }
            if name != "new" {
                for (file, job) in FILES.iter().filter(|(file, _)| example.contains(file)) {
                    fs::copy(repo(job), folder.join(file)).unwrap();
                }
            }
            let (status, answered, told) = in_shell(&example, &folder);
            assert!(status < 2 && answered, "`{example}` ends with {status}: {told}");
        }
    }
}

/// The commands with which the help begins follow each other in one folder.
#[cfg(unix)]
#[test]
fn the_way_in_runs_from_the_starter_on() {
    let folder = tempfile::tempdir().unwrap();
    let way = commands(&run(&["--help"]).out, &["Start here:"]);
    assert!(way.len() > 3, "{way:?}");
    for line in way {
        let (status, answered, told) = in_shell(&line, folder.path());
        assert!(status < 2 && answered, "`{line}` ends with {status}: {told}");
    }
}

#[test]
fn all_help_fits_eighty_columns() {
    let names = subcommands();
    assert!(names.len() > 10, "{names:?}");
    for name in names.iter().map(String::as_str).chain([""]) {
        for flag in ["--help", "-h"] {
            let arguments: Vec<&str> = [name, flag].into_iter().filter(|word| !word.is_empty()).collect();
            let help = run(&arguments).out;
            for line in help.lines() {
                assert!(line.chars().count() <= 80, "{arguments:?}: {line}");
            }
        }
    }
}

#[test]
fn quiet_leaves_faults_alone() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("sheet.txt");
    let size = ["size", "data/jobs/harbour-fish-counter.toml", "--out", out.to_str().unwrap()];
    for quiet in ["--quiet", "-q"] {
        let ran = run(&[&[quiet][..], &size, &["--replace"]].concat());
        assert_eq!((ran.status, ran.out.as_str(), ran.remarks.as_str()), (0, "", ""));
        let after = run(&[&size[..], &["--replace", quiet]].concat());
        assert_eq!((after.status, after.remarks.as_str()), (0, ""), "behind the command too");
    }
    assert!(run(&[&size[..], &["--replace"]].concat()).remarks.starts_with("wrote "));
    let refused = run(&[&size[..], &["--quiet"]].concat());
    assert_eq!(refused.status, 2);
    assert!(refused.remarks.contains("exists already"), "{}", refused.remarks);
}
