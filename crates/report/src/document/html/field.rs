//! Work in the field: power, water and drain; what proves the lines.

use super::{Part, sheet_of, take_care};
use crate::{
    document::{text, verdict_words, words},
    figure::Units,
    view::FieldView,
};
use maud::html;

/// A field sheet; where nothing was asked for it says which tables of the job bring it.
pub(super) fn part(id: &'static str, title: &'static str, view: &FieldView, units: Units) -> Part {
    let sets = sheet_of(|sheet| {
        for set in &view.sets {
            sheet.heading(&format!("{}, {}", set.name, set.refrigerant));
            for part in &set.parts {
                sheet.paragraph(&format!(
                    "{}: {}. {}",
                    text::capital(&words(&part.name)),
                    verdict_words(part.verdict),
                    text::ended(&text::capital(&part.answer))
                ));
                text::print_part(sheet, part, units);
            }
            text::print_list(sheet, "Not asked for", &set.absent);
        }
    });
    let body = html! { (sets) (take_care(&view.cautions)) };
    Part { id, title, body }
}
