//! Record sheets: what to do, what must be read, and room to write; one printed sheet each.

use super::{Pack, Part, steps};
use crate::document::text;
use maud::html;

pub(super) fn part(pack: Pack<'_>) -> Part {
    let body = html! {
        @for set in &pack.view.sets {
            @for record in &set.records.sheets {
                article.record {
                    h3 { (record.title) ", " (set.name) }
                    @if let Some(missing) = &record.missing { p { (text::ended(&text::capital(missing))) } }
                    (steps::ordered(&record.steps))
                    (steps::record(&record.rows, pack.units))
                }
            }
        }
    };
    Part { id: "records", title: "Record sheets", body }
}
