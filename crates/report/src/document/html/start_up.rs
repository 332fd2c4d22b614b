//! Start-up: what is to be read in the air of the day, what to do, what to hand over.

use super::{Pack, Part, sheet, steps};
use crate::{
    document::sheet::{ABSENT, Grid},
    view::StartUpView,
};
use maud::{Markup, html};

pub(super) fn part(pack: Pack<'_>) -> Part {
    let body = html! {
        @for set in &pack.view.sets {
            article.record {
                h3 { "Start-up of " (set.name) }
                (of_set(&set.start_up, pack))
            }
        }
    };
    Part { id: "start-up", title: "Start-up sheet", body }
}

fn of_set(start_up: &StartUpView, pack: Pack<'_>) -> Markup {
    html! {
        p { (start_up.how) }
        (sheet::list(&start_up.missing))
        @if !start_up.points.is_empty() { (sheet::table(&points(start_up))) }
        @if !start_up.expected.is_empty() {
            h4 { "Also to be read" }
            (steps::record(&start_up.expected, pack.units))
        }
        @if !start_up.steps.is_empty() { h4 { "In order" } (steps::ordered(&start_up.steps)) }
        @if !start_up.record.is_empty() {
            h4 { "Record" }
            (steps::record(&start_up.record, pack.units))
        }
        @if !start_up.hand_over.is_empty() { h4 { "To hand over" } (steps::ticked(&start_up.hand_over)) }
    }
}

fn points(start_up: &StartUpView) -> Grid {
    let condensing = format!("condensing, {}", start_up.condensing_refers_to);
    let mut grid =
        Grid::new(&["outdoor air", &condensing, "head pressure", "TD", "subcooling", "superheat", "remark"]);
    for point in &start_up.points {
        let remark = [(point.held, "held up"), (point.design, "design day")];
        let remark: Vec<&str> = remark.into_iter().filter_map(|(is, what)| is.then_some(what)).collect();
        let remark = if remark.is_empty() { ABSENT.to_owned() } else { remark.join(", ") };
        grid.row(point.words.iter().cloned().chain([remark]));
    }
    grid
}
