//! Bad job files and the whole message that each one gets, from reading it or from looking its names up in the tables.
//!
//! A case stands in `cases/*.md`: a heading, a block `edit` that changes `base.toml` (a line `- old` must be in the
//! base; it gives way to the lines `+ new` below it; `+ new` alone goes to the end; `! utf-16` and the like change the
//! encoding), and a block `text` with the whole message. `LINESET_ACCEPT=1 cargo test -p report --test bad_input`
//! writes the messages as they are now; read every one of them as an installer would before you commit it.

// Helpers of the tests stand outside the test functions, where the lint does not see that they are tests.
#![allow(clippy::unwrap_used, clippy::panic)]

use report::{
    job::{self, FaultKind, SettableLimit},
    study::{ResolveError, resolve, settable_limits},
};
use std::{fmt::Write as _, fs, path::PathBuf};
use tables::Library;

const BASE: &str = include_str!("base.toml");

fn folder() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/bad_input/cases"))
}

struct Case {
    title: String,
    edit: Vec<String>,
    message: String,
}

fn cases(text: &str) -> (String, Vec<Case>) {
    let mut sections = text.split("\n## ");
    let preamble = sections.next().unwrap().to_owned();
    let cases = sections
        .map(|section| {
            let (title, body) = section.split_once('\n').unwrap();
            let block = |name: &str| {
                let from = body.find(&format!("```{name}\n"))? + name.len() + 4;
                let to = from + body[from..].find("```\n")?;
                Some(body[from..to].to_owned())
            };
            let edit = block("edit").unwrap_or_else(|| panic!("{title}: no edit"));
            Case {
                title: title.to_owned(),
                edit: edit.lines().map(ToOwned::to_owned).collect(),
                message: block("text").unwrap_or_default(),
            }
        })
        .collect();
    (preamble, cases)
}

fn edited(case: &Case) -> Vec<u8> {
    let mut lines: Vec<String> = BASE.lines().map(ToOwned::to_owned).collect();
    let mut at = lines.len();
    let mut encoding = None;
    for edit in &case.edit {
        match edit.split_at(2) {
            ("- ", old) => {
                at = lines
                    .iter()
                    .position(|line| line == old)
                    .unwrap_or_else(|| panic!("{}: no line `{old}` in the base", case.title));
                lines.remove(at);
            }
            ("+ ", new) => {
                lines.insert(at, new.to_owned());
                at += 1;
            }
            ("! ", name) => encoding = Some(name),
            _ => panic!("{}: `{edit}` is no edit", case.title),
        }
    }
    let text = lines.join("\n") + "\n";
    let wide = |order: fn(u16) -> [u8; 2]| text.encode_utf16().flat_map(order).collect::<Vec<u8>>();
    match encoding {
        None => text.into_bytes(),
        Some("utf-16 little-endian with mark") => [vec![0xff, 0xfe], wide(u16::to_le_bytes)].concat(),
        Some("utf-16 big-endian with mark") => [vec![0xfe, 0xff], wide(u16::to_be_bytes)].concat(),
        Some("utf-16 little-endian") => wide(u16::to_le_bytes),
        // Latin-1: its code points are the first 256 of Unicode.
        Some("latin-1") => text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect(),
        Some("zero byte") => [text.as_bytes(), b"\0"].concat(),
        Some("two megabytes") => [text.as_bytes(), &vec![b'#'; 2 << 20]].concat(),
        Some("empty") => vec![],
        Some(other) => panic!("{}: no encoding `{other}`", case.title),
    }
}

fn message(case: &Case) -> String {
    let job = match job::read("job.toml", &edited(case)) {
        Ok(job) => job,
        Err(faults) => return faults.render(false),
    };
    match resolve(&job, &Library::embedded().unwrap()) {
        Err(ResolveError::Faults(faults)) => faults.render(false),
        other => panic!("{}: no fault found: {other:?}", case.title),
    }
}

#[test]
fn the_base_is_good() {
    let job = job::read("base.toml", BASE.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"));
    resolve(&job, &Library::embedded().unwrap()).unwrap_or_else(|error| panic!("{error}"));
}

/// Editors warn with the schema of what the reader would refuse: each unknown key and each key that is missing outright.
#[test]
fn the_schema_refuses_the_same_keys() {
    let library = Library::embedded().unwrap();
    let limits = settable_limits(&library)
        .map(|limit| SettableLimit { key: limit.key.to_string(), about: limit.condition_note.to_string() });
    let schema = jsonschema::draft202012::new(&job::schema(&limits.collect::<Vec<_>>())).unwrap();
    let passes = |text: &str| schema.is_valid(&toml::from_str::<serde_json::Value>(text).unwrap());
    assert!(passes(BASE));
    let mut refused = 0;
    for file in ["key.md", "value.md", "tables.md"] {
        let (_, cases) = cases(&fs::read_to_string(folder().join(file)).unwrap());
        for case in cases.iter().filter(|case| case.message.contains("fault[key]")) {
            let text = String::from_utf8(edited(case)).unwrap();
            // A date that is not quoted has no like in JSON.
            if toml::from_str::<serde_json::Value>(&text).is_ok() {
                assert!(!passes(&text), "{file}, {}", case.title);
                refused += 1;
            }
        }
    }
    assert!(refused > 10, "{refused}");
    for key in
        ["name = ", "design_air = ", "refrigerant = ", "compressor_at = ", "condensing = ", "subcooling = "]
    {
        let text: String =
            BASE.lines().filter(|line| !line.starts_with(key)).map(|line| format!("{line}\n")).collect();
        let faults = job::read("job.toml", text.as_bytes()).unwrap_err();
        assert!(faults.iter().all(|fault| fault.kind == FaultKind::Missing), "{key}\n{faults}");
        assert!(!passes(&text), "{key}");
    }
}

#[test]
fn every_bad_file_gets_its_whole_message() {
    let accept = std::env::var_os("LINESET_ACCEPT").is_some();
    let mut wrong = String::new();
    let mut files: Vec<_> = fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    assert!(!files.is_empty());
    for file in files {
        let (preamble, cases) = cases(&fs::read_to_string(&file).unwrap());
        assert!(cases.len() >= 4, "{}: only {} cases", file.display(), cases.len());
        let mut text = preamble;
        for case in &cases {
            let found = message(case);
            if found != case.message {
                let _ = writeln!(
                    wrong,
                    "{}, {}\n--- expected\n{}--- found\n{found}",
                    file.display(),
                    case.title,
                    case.message
                );
            }
            let _ = write!(
                text,
                "\n## {}\n\n```edit\n{}\n```\n\n```text\n{found}```\n",
                case.title,
                case.edit.join("\n")
            );
        }
        if accept {
            fs::write(&file, text).unwrap();
        }
    }
    assert!(accept || wrong.is_empty(), "{wrong}");
}

#[test]
fn no_message_is_wider_than_a_terminal_unless_the_job_file_is() {
    for file in fs::read_dir(folder()).unwrap() {
        for case in cases(&fs::read_to_string(file.unwrap().path()).unwrap()).1 {
            for line in message(&case).lines() {
                assert!(line.chars().count() <= 80 || line.contains(" | "), "{}: {line}", case.title);
            }
        }
    }
}

#[test]
fn a_plain_line_names_file_line_and_column() {
    let text = BASE.replace("\"160 ft\"", "\"160\"");
    let faults = job::read("job.toml", text.as_bytes()).unwrap_err();
    assert_eq!(
        faults.plain(),
        "job.toml:5:12: altitude: `160` has no unit; a length is wanted; write `160 ft` or `160 m`\n"
    );
}

#[test]
fn a_byte_order_mark_of_utf_8_is_no_fault_and_moves_no_column() {
    let marked = |text: &str| [b"\xef\xbb\xbf", text.as_bytes()].concat();
    assert!(job::read("job.toml", &marked(BASE)).is_ok());
    let faults = job::read("job.toml", &marked(&BASE.replace("format = 1", "format = 2"))).unwrap_err();
    assert!(faults.plain().starts_with("job.toml:1:10: "), "{faults}");
}

#[test]
fn windows_line_ends_are_read() {
    assert!(job::read("job.toml", BASE.replace('\n', "\r\n").as_bytes()).is_ok());
}
