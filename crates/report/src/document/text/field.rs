//! The sheets of the field: what proves the lines, what supplies a set.

use super::{Grid, Sheet, capital, print_checks, print_list, print_sources};
use crate::{
    document::{verdict_words, words},
    figure::{Units, in_unit},
    view::{FieldPartView, FieldView, VerdictView},
};

/// The answer of `prove` and of `supply` for a person: the first lines say what each part comes to.
#[must_use]
pub fn field_sheet(view: &FieldView, units: Units) -> String {
    let mut sheet = Sheet::default();
    for set in &view.sets {
        for part in &set.parts {
            sheet.paragraph(&format!(
                "{}, {}: {}{}. {}.",
                set.name,
                words(&part.name),
                verdict_words(part.verdict),
                unchecked(part),
                part.answer
            ));
        }
        if set.parts.is_empty() {
            sheet.paragraph(&format!("{}: the job has no table for this sheet.", set.name));
        }
    }
    sheet.gap();
    sheet.paragraph(&view.job);
    for set in &view.sets {
        sheet.heading(&format!("{}, {}", set.name, set.refrigerant));
        for part in &set.parts {
            print_part(&mut sheet, part, units);
        }
        print_list(&mut sheet, "Not asked for", &set.absent);
        print_list(&mut sheet, "Assumed", &set.assumptions);
    }
    print_list(&mut sheet, "Not in this sheet", &view.not_contained);
    print_sources(&mut sheet, &view.sources);
    print_list(&mut sheet, "Take care", &view.cautions);
    sheet.finish()
}

/// What leaves a part without a verdict, in brackets; nothing where it has one.
pub(in crate::document) fn unchecked(part: &FieldPartView) -> String {
    let first = part.checks.iter().find(|check| check.verdict == VerdictView::NotChecked);
    match first.filter(|_| part.verdict == VerdictView::NotChecked) {
        Some(check) => {
            let missing = check.missing.as_deref().unwrap_or("what its sheet names");
            format!(" ({} needs {missing})", words(&check.kind))
        }
        None => String::new(),
    }
}

/// One part: figures, checks, steps, remarks.
pub(in crate::document) fn print_part(sheet: &mut Sheet, part: &FieldPartView, units: Units) {
    sheet.section(&capital(&words(&part.name)));
    let mut grid = Grid::new(&["", "value"]);
    for figure in &part.figures {
        grid.row([words(&figure.what), in_unit(figure.value, figure.unit).both(units)]);
    }
    sheet.grid(grid);
    if !part.checks.is_empty() {
        sheet.gap();
        print_checks(sheet, &part.checks, units);
    }
    print_list(sheet, &format!("{}: in order", capital(&words(&part.name))), &part.steps);
    print_list(sheet, &format!("{}: remarks", capital(&words(&part.name))), &part.remarks);
}
