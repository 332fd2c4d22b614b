//! Things to do, and rows to write into.

use crate::{
    figure::Units,
    view::{RecordRowView, StepView},
};
use maud::{Markup, html};

/// Steps in order, each with its source and grade; nothing where there is none.
pub(super) fn ordered(steps: &[StepView]) -> Markup {
    html! { @if !steps.is_empty() { ol.steps { @for step in steps { li { (sentence(step)) } } } } }
}

/// Rules without an order.
pub(super) fn rules(steps: &[StepView]) -> Markup {
    html! { @if !steps.is_empty() { ul { @for step in steps { li { (sentence(step)) } } } } }
}

/// Things to tick off.
pub(super) fn ticked(steps: &[StepView]) -> Markup {
    html! {
        @if !steps.is_empty() { ul.ticked { @for step in steps { li { span.tick {} (sentence(step)) } } } }
    }
}

fn sentence(step: &StepView) -> Markup {
    html! { (step.text) (origin(&step.source, &step.grade)) }
}

/// Source and grade in small print; the grade once where the source says it itself.
pub(super) fn origin(source: &str, grade: &str) -> Markup {
    let said = grade.is_empty() || source.contains(grade);
    html! {
        @if !source.is_empty() {
            " " small.origin { "(" (source) @if !said { ", " (grade) } ")" }
        }
    }
}

/// Rows to read and write down: what must be read, and ruled fields wide enough to write in.
pub(super) fn record(rows: &[RecordRowView], units: Units) -> Markup {
    html! {
        @if !rows.is_empty() {
            div.table {
                table.record {
                    thead { tr { th scope="col" { "read" } th scope="col" { "must be" } th scope="col" { "written down" } } }
                    tbody {
                        @for row in rows {
                            tr {
                                th scope="row" { (row.what) }
                                td data-label="must be" {
                                    @if !row.accept.is_empty() { (row.accept) (origin(&row.source, &row.grade)) }
                                }
                                td.blanks data-label="written down" {
                                    @for _ in 0..row.blanks.max(1) {
                                        span.field { span.blank {} (unit(row, units)) }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Both units where they differ, so that whoever writes strikes one out.
fn unit(row: &RecordRowView, units: Units) -> String {
    let (first, second) = match units {
        Units::Us => (row.unit_us, row.unit_si),
        Units::Si => (row.unit_si, row.unit_us),
    };
    match (first, second) {
        ("", "") => String::new(),
        _ if first == second || second.is_empty() => first.to_owned(),
        _ => format!("{first} / {second}"),
    }
}
