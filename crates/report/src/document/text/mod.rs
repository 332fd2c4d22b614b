//! Sheets for people: plain text, at most 80 columns, nothing cut off, the verdict and the check that governs first.

mod alternatives;
mod budget;
mod charge;
mod columns;
mod compare;
mod field;
mod heat;
mod listing;
mod oil_return;
mod refrigerants;
mod sheet;
mod size;
mod strength;

pub(in crate::document) use budget::may_i;
pub use charge::charge_sheet;
pub(in crate::document) use charge::{headline, print_set as print_charge, total};
pub use compare::compare_sheet;
pub(in crate::document) use compare::{
    ended, print_layout, print_layouts, print_loads, print_roof, print_year, shared_warnings,
};
pub use field::field_sheet;
pub(in crate::document) use field::{print_part, unchecked};
pub use listing::{sources_sheet, tubes_sheet};
pub use refrigerants::{card_sheet, refrigerant_sheet, refrigerants_sheet};
pub use sheet::WIDTH;
pub use size::size_sheet;
pub(in crate::document) use size::{lift, print_governing, print_lines, print_not_counted};

use super::{
    sheet::{ABSENT, Grid, Sheet},
    verdict_words, words,
};
use crate::{
    figure::{Figure, Units, in_unit},
    view::{CheckView, EchoView, SourceView, VerdictView},
};
use sheet::{one_line, unbroken};

fn stacked(figure: Option<Figure>, units: Units) -> String {
    figure.map_or_else(|| ABSENT.into(), |figure| figure.stacked(units))
}

/// `0.2 ± 0.1 °F`; the margin alone where its band is none or too small for the printed digits.
pub(in crate::document) fn margin_and_band(check: &CheckView) -> Option<Figure> {
    // Between two temperatures lies a difference, without the offset of 32.
    let unit = match check.unit {
        "degC" => "K",
        // Between two pressures above the atmosphere lies no pressure above it.
        "Pa(g)" => "Pa",
        unit => unit,
    };
    let margin = in_unit(check.margin?, unit);
    let nothing = in_unit(0.0, unit);
    let band = check.band.map(|band| in_unit(band, unit)).filter(|band| *band != nothing);
    Some(band.map_or(margin.clone(), |band| margin.with_band(&band)))
}

pub(in crate::document) fn capital(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

pub(in crate::document) fn at(condition: &str) -> String {
    if condition.is_empty() { String::new() } else { format!(" at {condition}") }
}

/// One check as a sentence: value, limit, whose, margin, verdict.
pub(in crate::document) fn sentence(service: Option<&str>, check: &CheckView, units: Units) -> String {
    let line = service.map(|service| format!("{service} line, ")).unwrap_or_default();
    let subject = format!("{line}{}{}", words(&check.kind), at(&check.condition));
    if check.verdict == VerdictView::NotChecked {
        return format!("{subject}: {}.", needs(check));
    }
    let both = |value: Option<f64>| value.map(|value| in_unit(value, check.unit).both(units));
    let mut text = subject;
    if let Some(value) = both(check.value) {
        text.push_str(&format!(" is {value}"));
    }
    if let Some(limit) = both(check.limit) {
        text.push_str(&format!(", {} {limit} (limit by {})", check.sense, check.whose));
    }
    if let Some(margin) = margin_and_band(check) {
        text.push_str(&format!("; margin {}", margin.both(units)));
    }
    text.push_str(&format!(": {}.", verdict_words(check.verdict)));
    text
}

pub(in crate::document) fn needs(check: &CheckView) -> String {
    match &check.missing {
        Some(missing) => format!("not checked: needs {missing}"),
        None => "not checked".into(),
    }
}

/// The checks that were made as a table, then those that were not, the remarks, one line a check, and the sources of
/// the limits.
pub(in crate::document) fn print_checks(sheet: &mut Sheet, checks: &[CheckView], units: Units) {
    let (not_made, made): (Vec<_>, Vec<_>) =
        checks.iter().partition(|check| check.verdict == VerdictView::NotChecked);
    let mut grid = Grid::new(&["check", "at", "verdict", "value", "limit", "margin ± band"]);
    for check in &made {
        let sense = if check.sense == "at least" { "≥" } else { "≤" };
        let limit = check.limit.map(|limit| in_unit(limit, check.unit)).map(|limit| Figure {
            us: unbroken(&format!("{sense} {}", limit.us)),
            si: unbroken(&format!("{sense} {}", limit.si)),
        });
        grid.row([
            words(&check.kind),
            if check.condition.is_empty() { ABSENT.into() } else { check.condition.clone() },
            verdict_words(check.verdict).into(),
            stacked(check.value.map(|value| in_unit(value, check.unit)), units),
            stacked(limit, units),
            stacked(margin_and_band(check), units),
        ]);
    }
    sheet.spaced_grid(grid);
    for check in &not_made {
        sheet.bullet(&format!("{}{}: {}", words(&check.kind), at(&check.condition), needs(check)));
    }
    for check in checks {
        if let (Some(input), Some(measurement)) = (&check.matters_most, &check.settled_by) {
            sheet.bullet(&format!(
                "{}: what matters most is the {input}; what settles it: {measurement}",
                words(&check.kind)
            ));
        }
    }
    let mut said: Vec<String> = Vec::new();
    for check in checks.iter().filter(|check| !check.remarks.is_empty()) {
        let remark = format!("{}: {}", words(&check.kind), check.remarks.join("; "));
        if !said.contains(&remark) {
            sheet.bullet(&remark);
            said.push(remark);
        }
    }
    for (limits, source) in sources_of_limits(&made) {
        let limit = if limits.len() == 1 { "limit" } else { "limits" };
        sheet.bullet(&format!("{limit} of {}: {source}", listed(&limits)));
    }
}

/// The checks that share a source of their limit, in the order of the table.
fn sources_of_limits(checks: &[&CheckView]) -> Vec<(Vec<String>, String)> {
    let mut groups: Vec<(Vec<String>, String)> = Vec::new();
    for check in checks {
        let source = if check.source.is_empty() { check.whose.clone() } else { check.source.clone() };
        let name = words(&check.kind);
        match groups.iter_mut().find(|(_, other)| *other == source) {
            Some((names, _)) if names.contains(&name) => {}
            Some((names, _)) => names.push(name),
            None => groups.push((vec![name], source)),
        }
    }
    groups
}

/// `drop, velocity and oil return`.
pub(in crate::document) fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// Inputs in both unit systems; nothing where there is none.
pub(in crate::document) fn print_echo(sheet: &mut Sheet, heading: &str, echo: &[EchoView], units: Units) {
    if echo.is_empty() {
        return;
    }
    sheet.section(heading);
    let mut grid = Grid::new(match units {
        Units::Us => &["input", "US", "SI"],
        Units::Si => &["input", "SI", "US"],
    });
    for echo in echo {
        let figure = Figure { us: echo.us.clone(), si: echo.si.clone() };
        grid.row([echo.what.clone(), figure.first(units).to_owned(), figure.second(units).to_owned()]);
    }
    sheet.grid(grid);
}

/// A heading with one bullet for each text; nothing where there is none.
pub(in crate::document) fn print_list(sheet: &mut Sheet, heading: &str, texts: &[String]) {
    if texts.is_empty() {
        return;
    }
    sheet.section(heading);
    for text in texts {
        sheet.bullet(text);
    }
}

/// The sources of a sheet, with keys of the tables in words.
pub(in crate::document) fn print_sources(sheet: &mut Sheet, sources: &[SourceView]) {
    print_sources_of(sheet, sources, in_words);
}

/// Each source once, with all that was taken from it.
fn print_sources_of(sheet: &mut Sheet, sources: &[SourceView], named: impl Fn(&str) -> String) {
    if sources.is_empty() {
        return;
    }
    sheet.section("Sources (grade in brackets)");
    let mut groups: Vec<(&SourceView, Vec<String>)> = Vec::new();
    for source in sources {
        let what = named(&source.what);
        match groups.iter_mut().find(|(of, _)| of.source == source.source && of.grade == source.grade) {
            Some((_, whats)) if whats.contains(&what) => {}
            Some((_, whats)) => whats.push(what),
            None => groups.push((source, vec![what])),
        }
    }
    for (SourceView { source, grade, .. }, whats) in groups {
        // "common practice, no source" and "from memory: ..." say their grade themselves.
        let said = source.starts_with(grade) || source.starts_with(&format!("from {grade}"));
        let whats = without_repeats(whats);
        sheet.bullet(&match said {
            true if !source.contains(':') => format!("{source}: {whats}"),
            true => format!("{whats}: {source}"),
            false => format!("{whats}: {source} [{grade}]"),
        });
    }
}

/// `limit of a, b; c`: words that stand before several names are said once.
fn without_repeats(mut whats: Vec<String>) -> String {
    const SHARED: [&str; 4] = ["limit of ", "95 % band of ", "tube ", "turns as "];
    let shared = |what: &str| SHARED.into_iter().find(|shared| what.starts_with(shared));
    for what in &mut whats {
        if let Some(key) = what.strip_prefix("limit ").filter(|key| !key.starts_with("of ")) {
            *what = format!("limit of {key}");
        }
    }
    whats.sort_by_key(|what| {
        shared(what).map_or(SHARED.len(), |words| {
            SHARED.iter().position(|other| *other == words).unwrap_or(SHARED.len())
        })
    });
    let mut text = String::new();
    let mut before = None;
    for what in &whats {
        match shared(what).filter(|_| shared(what) == before) {
            Some(words) => text.push_str(&format!(", {}", &what[words.len()..])),
            None if text.is_empty() => text.push_str(what),
            None => text.push_str(&format!("; {what}")),
        }
        before = shared(what);
    }
    text
}

/// A key of the tables in words, `oil-density` as `oil density`; `R-449A` and `elbow-90` stay.
fn in_words(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let joins = |at: usize| {
        let small =
            |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(char::is_ascii_lowercase);
        small(at.checked_sub(1)) && small(at.checked_add(1))
    };
    letters.iter().enumerate().map(|(at, c)| if *c == '-' && joins(at) { ' ' } else { *c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        sample,
        view::{CompareView, SizeView},
    };
    use unicode_width::UnicodeWidthStr;

    /// Compares whole; `LINESET_WRITE_GOLDEN=1 cargo test` writes the file anew for a look at the difference.
    fn assert_golden(name: &str, text: &str) {
        let path =
            std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/document/text/golden").join(name);
        if std::env::var_os("LINESET_WRITE_GOLDEN").is_some() {
            std::fs::write(&path, text).unwrap();
        }
        let golden = std::fs::read_to_string(&path).unwrap();
        assert!(text == golden, "{name} differs; printed now:\n{text}");
    }

    fn assert_fits(text: &str) {
        for line in text.lines() {
            assert!(line.width() <= WIDTH, "{} columns: {line}", line.width());
            assert_eq!(line.trim_end(), line, "space at the end of a line");
        }
        assert!(text.ends_with('\n') && !text.contains("\n\n\n"), "{text}");
    }

    #[test]
    fn golden_sheets() {
        let (size, charge) = (sample::size(), sample::charge());
        assert_golden("size-us.txt", &size_sheet(&size, Units::Us));
        assert_golden("size-si.txt", &size_sheet(&size, Units::Si));
        assert_golden("charge-us.txt", &charge_sheet(&charge, Units::Us));
        assert_golden("charge-si.txt", &charge_sheet(&charge, Units::Si));
        assert_golden("compare-us.txt", &compare_sheet(&sample::compare(), Units::Us));
        assert_golden("compare-si.txt", &compare_sheet(&sample::compare(), Units::Si));
    }

    /// A job whose every text is longer than the sheet is wide, with wide, breakless and control characters.
    fn overlong() -> SizeView {
        let long = format!("{} \u{1b}[31m{} {}", "長い名前".repeat(30), "x".repeat(200), "word ".repeat(40));
        let mut view = sample::size();
        view.job.clone_from(&long);
        for set in &mut view.sets {
            set.name.clone_from(&long);
            set.refrigerant.clone_from(&long);
            set.assumptions.push(long.clone());
            set.lines.extend(set.lines.clone());
            for line in &mut set.lines {
                line.service.clone_from(&long);
                line.remarks.push(long.clone());
                for candidate in &mut line.candidates {
                    candidate.tube.name.clone_from(&long);
                    candidate.refused_for.push(long.clone());
                }
                for check in &mut line.checks {
                    check.kind.clone_from(&long);
                    check.whose.clone_from(&long);
                    check.source.clone_from(&long);
                    check.value = check.value.map(|_| -123_456_789.0);
                }
            }
        }
        view
    }

    /// More layouts than fit beside each other, with names that are longer than the sheet is wide.
    fn overlong_comparison() -> CompareView {
        let long = format!("{} {}", "長い名前".repeat(30), "x".repeat(200));
        let mut view = sample::compare();
        for copy in 0..9 {
            let mut layout = view.layouts[copy % 3].clone();
            layout.name = format!("{long}{copy}");
            layout.access.clone_from(&long);
            layout.warnings.push(long.clone());
            layout.condensers[0].name.clone_from(&long);
            layout.lines[0].set.clone_from(&long);
            view.layouts.push(layout);
        }
        view.sets[1].name.clone_from(&long);
        view.recommended = None;
        view
    }

    #[test]
    fn every_line_fits_and_nothing_is_cut_off() {
        for units in [Units::Us, Units::Si] {
            assert_fits(&size_sheet(&sample::size(), units));
            assert_fits(&charge_sheet(&sample::charge(), units));
            assert_fits(&compare_sheet(&sample::compare(), units));
            assert_fits(&field_sheet(&sample::field(), units));
            assert_fits(&compare_sheet(&overlong_comparison(), units));
            let text = size_sheet(&overlong(), units);
            assert_fits(&text);
            assert!(!text.contains('\u{1b}'), "control characters must not reach a terminal");
            // Once in the heading, the echo of wrapped names aside: all 200 are there.
            assert!(text.matches('x').count() >= 200);
        }
    }

    #[test]
    fn both_unit_orders_print_the_same_numbers() {
        let numbers = |text: &str| {
            let mut numbers: Vec<String> = text
                .split(|c: char| !(c.is_ascii_digit() || c == '.'))
                .filter(|part| part.chars().any(|c| c.is_ascii_digit()))
                .map(String::from)
                .collect();
            numbers.sort();
            numbers
        };
        let size = sample::size();
        assert_eq!(numbers(&size_sheet(&size, Units::Us)), numbers(&size_sheet(&size, Units::Si)));
        let charge = sample::charge();
        assert_eq!(numbers(&charge_sheet(&charge, Units::Us)), numbers(&charge_sheet(&charge, Units::Si)));
        let field = sample::field();
        assert_eq!(numbers(&field_sheet(&field, Units::Us)), numbers(&field_sheet(&field, Units::Si)));
        let compare = sample::compare();
        assert_eq!(
            numbers(&compare_sheet(&compare, Units::Us)),
            numbers(&compare_sheet(&compare, Units::Si))
        );
    }

    #[test]
    fn each_source_is_printed_once_with_all_that_was_taken_from_it() {
        let source = |what: &str, source: &str, grade: &str| SourceView {
            what: what.into(),
            source: source.into(),
            grade: grade.into(),
        };
        let mut sheet = Sheet::default();
        let sources = [
            source("limit oil-return", "common practice, no source", "common practice"),
            source("properties of R-449A", "CoolProp 8", "computed"),
            source("oil-density", "common practice, no source", "common practice"),
            source("limit flash-margin", "common practice, no source", "common practice"),
            source("oil-density", "common practice, no source", "common practice"),
            source("turns as elbow-90", "from memory: a table", "memory"),
        ];
        print_sources(&mut sheet, &sources);
        assert_eq!(
            sheet.finish(),
            "Sources (grade in brackets)\n\
             \x20 - common practice, no source: limit of oil return, flash margin; oil density\n\
             \x20 - properties of R-449A: CoolProp 8 [computed]\n\
             \x20 - turns as elbow-90: from memory: a table\n"
        );
    }

    #[test]
    fn limits_of_one_source_share_a_line() {
        let checks = sample::size().sets.remove(0).lines.remove(0).checks;
        let mut sheet = Sheet::default();
        print_checks(&mut sheet, &checks, Units::Us);
        let text = sheet.finish();
        assert_eq!(text.matches("handbook").count(), 1, "{text}");
        assert!(text.contains("limits of saturated temperature drop, oil return and velocity: "), "{text}");
    }

    #[test]
    fn a_check_without_numbers_is_still_a_sentence() {
        let set = sample::size().sets.remove(0);
        let check =
            set.lines[1].checks.iter().find(|check| check.verdict == VerdictView::NotChecked).unwrap();
        let text = sentence(Some("liquid"), check, Units::Us);
        assert!(
            text.starts_with("liquid line, flash margin low head at low head: not checked: needs "),
            "{text}"
        );
    }
}
