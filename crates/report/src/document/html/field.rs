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
            for part in &set.parts {
                let (name, verdict) = (words(&part.name), verdict_words(part.verdict));
                sheet.heading(&format!("{}, {name}: {verdict}", set.name));
                sheet.paragraph(&text::ended(&text::capital(&part.answer)));
                text::print_part(sheet, part, units);
            }
            text::print_list(sheet, &format!("Not asked for, {}", set.name), &set.absent);
        }
    });
    let body = html! { (sets) (take_care(&view.cautions)) };
    Part { id, title, body }
}
