//! The material list: what to buy for all sets, then what each takes.

use super::{Pack, Part, sheet, sheet_of, steps};
use crate::{document::text, view::MaterialItemView};
use maud::{Markup, html};

pub(super) fn part(pack: Pack<'_>) -> Part {
    let sets = &pack.view.sets;
    let body = html! {
        h3 { "All sets together" }
        (table(&pack.view.materials, false))
        @for set in sets {
            @if sets.len() > 1 {
                h3 { (set.name) }
                (table(&set.materials.items, true))
            }
            (sheet_of(|sheet| {
                text::print_list(sheet, &format!("Assumed for the count of {}", set.name), &set.materials.assumptions);
                text::print_list(sheet, "Not on the list", &set.materials.not_contained);
            }))
        }
    };
    Part { id: "materials", title: "Material list", body }
}

/// The items; `counted` adds how each was counted and with what waste.
fn table(items: &[MaterialItemView], counted: bool) -> Markup {
    html! {
        @if items.is_empty() { (sheet::list(&["nothing to list".to_owned()])) } @else {
            div.table {
                table {
                    thead {
                        tr {
                            @for name in ["item", "for", "size", "to order"] { th scope="col" { (name) } }
                            @if counted { th scope="col" { "how" } }
                        }
                    }
                    tbody { @for item in items { (row(item, counted)) } }
                }
            }
        }
    }
}

fn row(item: &MaterialItemView, counted: bool) -> Markup {
    html! {
        tr {
            th scope="row" { (item.what) }
            td data-label="for" { (item.line) }
            td data-label="size" { (item.size) }
            td data-label="to order" { (item.quantity_words) }
            @if counted {
                td data-label="how" {
                    @if let Some(missing) = &item.missing { (missing) } @else {
                        (item.how) (steps::origin(&item.source, &item.grade))
                    }
                }
            }
        }
    }
}
