//! Figures of a whole job are altered at will: the charge budget, the tests and the supplies answer in finite numbers or
//! the job is refused in words; no sheet is wider than a terminal.
#![no_main]

use libfuzzer_sys::fuzz_target;
use report::{document::text, figure::Units, job, study};
use std::sync::LazyLock;

const JOB: &str = include_str!("../../../data/jobs/harbour-fish-counter.toml");
const FACTORS: [f64; 12] = [0.0, -1.0, 1e-3, 0.1, 0.3, 0.7, 0.95, 1.05, 1.5, 3.0, 10.0, 1e3];
const REFRIGERANTS: [&str; 4] = ["R-449A", "R-134a", "R-454C", "R-744"];

static LIBRARY: LazyLock<tables::Library> =
    LazyLock::new(|| tables::Library::embedded().expect("the tests read the embedded tables"));

/// The job cut at its numbers: what stands before each, and the number.
static CUT: LazyLock<Vec<(&str, Option<f64>)>> = LazyLock::new(|| {
    let mut cut = Vec::new();
    let (mut from, mut at) = (0, 0);
    let bytes = JOB.as_bytes();
    while at < bytes.len() {
        let begins = bytes[at].is_ascii_digit() && at > 0 && b"\" ".contains(&bytes[at - 1]);
        if !begins {
            at += 1;
            continue;
        }
        let end = at + bytes[at..].iter().take_while(|byte| byte.is_ascii_digit() || **byte == b'.').count();
        match JOB[at..end].parse() {
            Ok(number) => {
                cut.push((&JOB[from..at], Some(number)));
                from = end;
            }
            Err(_) => {}
        }
        at = end;
    }
    cut.push((&JOB[from..], None));
    cut
});

fuzz_target!(|input: (u8, [(u16, u8); 3], bool)| {
    let (which, edits, si) = input;
    let mut text = String::with_capacity(JOB.len());
    for (index, (before, number)) in CUT.iter().enumerate() {
        text.push_str(before);
        let Some(number) = number else { continue };
        let edit = edits.iter().find(|(place, _)| usize::from(*place) % CUT.len() == index);
        let factor = edit.map_or(1.0, |(_, factor)| FACTORS[usize::from(*factor) % FACTORS.len()]);
        text.push_str(&(number * factor).to_string());
    }
    let name = REFRIGERANTS[usize::from(which) % REFRIGERANTS.len()];
    let text = text.replace("\"R-449A\"", &format!("\"{name}\""));
    let Ok(job) = job::read("job.toml", text.as_bytes()) else { return };
    let Ok(resolved) = study::resolve(&job, &LIBRARY) else { return };
    let units = if si { Units::Si } else { Units::Us };
    let sheets = [
        text::charge_sheet(&study::charge(&resolved), units),
        text::field_sheet(&study::prove(&resolved), units),
        text::field_sheet(&study::supply(&resolved), units),
    ];
    for sheet in sheets {
        let wide = sheet.lines().find(|line| line.chars().count() > 80);
        assert!(wide.is_none(), "{wide:?}\n{text}");
        let odd = sheet.split(|c: char| !c.is_ascii_alphabetic()).find(|word| ["NaN", "inf"].contains(word));
        assert!(odd.is_none(), "{sheet}\n{text}");
    }
});
