//! Where condensers stand: room around them, footing, hot neighbours, what the maker's sheet must confirm.

use super::{Pack, Part, sheet, steps};
use crate::{
    document::{
        sheet::{ABSENT, Grid},
        text,
    },
    view::{PlacingLayoutView, PlacingView},
};
use maud::{Markup, html};

pub(super) fn part(pack: Pack<'_>) -> Part {
    let body = html! {
        @if let Some(missing) = &pack.view.not_compared { p { (text::ended(&text::capital(missing))) } }
        @for set in &pack.view.sets {
            h3 { (set.name) }
            (of_set(&set.placing))
        }
    };
    Part { id: "placing", title: "Placing", body }
}

fn of_set(placing: &PlacingView) -> Markup {
    // What is not recommended is not built; the layouts stand beside each other in their own part.
    let one_is_recommended = placing.layouts.iter().any(|layout| layout.recommended);
    let shown = || placing.layouts.iter().filter(|layout| layout.recommended || !one_is_recommended);
    html! {
        @if !placing.condensers.is_empty() { p { "Condenser: " (placing.condensers.join(", ")) } }
        @if let Some(missing) = &placing.missing { p { (text::ended(&text::capital(missing))) } }
        @for layout in shown() {
            h4 { (text::capital(&layout.name)) @if layout.recommended { ", recommended" } }
            (of_layout(layout))
        }
        @if !placing.clearances.is_empty() {
            h4 { "Clearances by habit; the maker's label wins" }
            ul {
                @for clearance in &placing.clearances {
                    li { (clearance.around) ": " (clearance.words) (steps::origin(&clearance.source, &clearance.grade)) }
                }
            }
        }
        @if !placing.confirm.is_empty() {
            h4 { "The maker's sheet must confirm" }
            ul.ticked {
                @for confirm in &placing.confirm {
                    li {
                        span.tick {} (confirm.what)
                        @if !confirm.key.is_empty() { " " small.origin { "(key " (confirm.key) ")" } }
                    }
                }
            }
        }
        @if !placing.steps.is_empty() {
            h4 { "Through the building and over the roof" }
            (steps::rules(&placing.steps))
        }
    }
}

fn of_layout(layout: &PlacingLayoutView) -> Markup {
    let mut grid = Grid::new(&["side", "room", "keeps the habit"]);
    for side in &layout.clear {
        let keeps = side.keeps_habit.map_or(ABSENT, |keeps| if keeps { "yes" } else { "no" });
        grid.row([side.side, &side.words, keeps].map(str::to_owned));
    }
    let access = (!layout.access.is_empty()).then(|| format!("access: {}", layout.access));
    html! {
        @if !layout.clear.is_empty() { (sheet::table(&grid)) }
        (sheet::list(&layout.footing))
        (sheet::list(&layout.hot_neighbours))
        (sheet::list(&access.into_iter().chain(layout.warnings.iter().cloned()).collect::<Vec<_>>()))
    }
}
