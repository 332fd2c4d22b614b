//! Sheets for people: plain text, at most 80 columns, nothing cut off, the verdict and the check that governs first.

mod charge;
mod listing;
mod sheet;
mod size;

pub use charge::charge_sheet;
pub use listing::{sources_sheet, tubes_sheet};
pub use sheet::WIDTH;
pub use size::size_sheet;

use super::{verdict_words, words};
use crate::{
    figure::{Figure, Units, in_unit},
    view::{CheckView, SourceView, VerdictView},
};
use sheet::{Grid, Sheet, unbroken};

/// What stands in a cell whose value is absent.
const ABSENT: &str = "-";

fn stacked(figure: Option<Figure>, units: Units) -> String {
    figure.map_or_else(|| ABSENT.into(), |figure| figure.stacked(units))
}

/// `0.2 °F ± 0.1 °F`, in both units one above the other.
fn margin_and_band(check: &CheckView, units: Units) -> String {
    let Some(margin) = check.margin.map(|margin| in_unit(margin, check.unit)) else { return ABSENT.into() };
    match check.band.filter(|band| *band > 0.0).map(|band| in_unit(band, check.unit)) {
        Some(band) => Figure {
            us: format!("{} ± {}", margin.us, band.us),
            si: format!("{} ± {}", margin.si, band.si),
        }
        .stacked(units),
        None => margin.stacked(units),
    }
}

fn at(condition: &str) -> String {
    if condition.is_empty() { String::new() } else { format!(" at {condition}") }
}

/// One check as a sentence: value, limit, whose, margin, verdict.
fn sentence(service: Option<&str>, check: &CheckView, units: Units) -> String {
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
    if let Some(margin) = both(check.margin) {
        text.push_str(&format!("; margin {margin}"));
        if let Some(band) = both(check.band.filter(|band| *band > 0.0)) {
            text.push_str(&format!(" ± {band}"));
        }
    }
    text.push_str(&format!(": {}.", verdict_words(check.verdict)));
    text
}

fn needs(check: &CheckView) -> String {
    match &check.missing {
        Some(missing) => format!("not checked: needs {missing}"),
        None => "not checked".into(),
    }
}

/// The checks that were made as a table, then those that were not, the sources of the limits and the remarks.
fn print_checks(sheet: &mut Sheet, checks: &[CheckView], units: Units) {
    let (not_made, made): (Vec<_>, Vec<_>) =
        checks.iter().partition(|check| check.verdict == VerdictView::NotChecked);
    let mut grid = Grid::new(&["check", "verdict", "value", "limit", "margin ± band", "limit by", "at"]);
    for check in &made {
        let limit = stacked(check.limit.map(|limit| in_unit(limit, check.unit)), units);
        grid.row([
            words(&check.kind),
            verdict_words(check.verdict).into(),
            stacked(check.value.map(|value| in_unit(value, check.unit)), units),
            if check.limit.is_some() { format!("{}\n{limit}", check.sense) } else { limit },
            margin_and_band(check, units),
            check.whose.clone(),
            if check.condition.is_empty() { ABSENT.into() } else { check.condition.clone() },
        ]);
    }
    sheet.spaced_grid(grid);
    for check in not_made {
        sheet.bullet(&format!("{}{}: {}", words(&check.kind), at(&check.condition), needs(check)));
    }
    for check in checks {
        if check.verdict != VerdictView::NotChecked && !check.source.is_empty() {
            sheet.bullet(&format!("limit of {}: {}", words(&check.kind), check.source));
        }
        for remark in &check.remarks {
            sheet.bullet(&format!("{}: {remark}", words(&check.kind)));
        }
    }
}

/// A heading with one bullet for each text; nothing where there is none.
fn print_list(sheet: &mut Sheet, heading: &str, texts: &[String]) {
    if texts.is_empty() {
        return;
    }
    sheet.section(heading);
    for text in texts {
        sheet.bullet(text);
    }
}

fn print_sources(sheet: &mut Sheet, sources: &[SourceView]) {
    if sources.is_empty() {
        return;
    }
    sheet.section("Sources (grade in brackets)");
    for source in sources {
        sheet.bullet(&format!("{}: {} [{}]", source.what, source.source, source.grade));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{sample, view::SizeView};
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
        assert!(text.ends_with('\n') && !text.contains("\n\n\n"));
    }

    #[test]
    fn golden_sheets() {
        let (size, charge) = (sample::size(), sample::charge());
        assert_golden("size-us.txt", &size_sheet(&size, Units::Us));
        assert_golden("size-si.txt", &size_sheet(&size, Units::Si));
        assert_golden("charge-us.txt", &charge_sheet(&charge, Units::Us));
        assert_golden("charge-si.txt", &charge_sheet(&charge, Units::Si));
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

    #[test]
    fn every_line_fits_and_nothing_is_cut_off() {
        for units in [Units::Us, Units::Si] {
            assert_fits(&size_sheet(&sample::size(), units));
            assert_fits(&charge_sheet(&sample::charge(), units));
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
