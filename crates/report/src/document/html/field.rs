//! Work in the field: power, water and drain; what proves the lines.

use super::{Part, sheet, take_care};
use crate::{
    document::{sheet::Sheet, text, verdict_words, words},
    figure::Units,
    view::FieldView,
};
use maud::html;

/// A field sheet as a part; with nothing asked for it says which tables of the job bring it.
pub(super) fn part(id: &'static str, title: &'static str, view: &FieldView, units: Units) -> Option<Part> {
    if view.sets.is_empty() {
        return None;
    }
    let mut sheet = Sheet::default();
    for set in &view.sets {
        sheet.heading(&format!("{}, {}", set.name, set.refrigerant));
        for part in &set.parts {
            text::print_part(&mut sheet, part, units);
            sheet.paragraph(&format!(
                "{}: {}. {}",
                text::capital(&words(&part.name)),
                verdict_words(part.verdict),
                text::ended(&text::capital(&part.answer))
            ));
        }
        text::print_list(&mut sheet, "Not asked for", &set.absent);
    }
    let body = html! {
        (sheet::set(sheet))
        (take_care(&view.cautions))
    };
    Some(Part { id, title, body })
}
