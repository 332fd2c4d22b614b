//! What it all rests on: assumptions, sources with their grades, cautions.

use super::{LOCAL_CODE, Pack, Part, sheet};
use crate::{
    document::{sheet::Sheet, text},
    view::SourceView,
};
use maud::html;

/// Inputs as understood, assumptions, and what no sheet holds.
pub(super) fn assumptions(pack: Pack<'_>) -> Part {
    let view = pack.view;
    let mut sheet = Sheet::default();
    for set in &view.size.sets {
        text::print_echo(&mut sheet, &format!("Inputs of {} as understood", set.name), &set.echo, pack.units);
        text::print_list(&mut sheet, &format!("Assumed for the lines of {}", set.name), &set.assumptions);
    }
    if let Some(compare) = &view.compare {
        text::print_list(&mut sheet, "Assumed for the layouts", &compare.assumptions);
    }
    for set in view.prove.sets.iter().chain(&view.supply.sets) {
        text::print_list(&mut sheet, &format!("Assumed in the field, {}", set.name), &set.assumptions);
    }
    let not_contained = [&view.size.not_contained, &view.charge.not_contained, &view.prove.not_contained]
        .into_iter()
        .chain([&view.supply.not_contained])
        .chain(view.compare.as_ref().map(|compare| &compare.not_contained));
    text::print_list(&mut sheet, "Not in this pack", &once(not_contained));
    Part::of("assumptions", "Assumptions", sheet)
}

/// Every source once, with all that was taken from it.
pub(super) fn sources(pack: Pack<'_>) -> Part {
    let view = pack.view;
    let all: Vec<SourceView> =
        [&view.size.sources, &view.charge.sources, &view.prove.sources, &view.supply.sources]
            .into_iter()
            .chain(view.compare.as_ref().map(|compare| &compare.sources))
            .flatten()
            .cloned()
            .collect();
    let mut sheet = Sheet::default();
    text::print_sources(&mut sheet, &all);
    Part::of("sources", "Sources", sheet)
}

/// Every caution once.
pub(super) fn cautions(pack: Pack<'_>) -> Part {
    let view = pack.view;
    let all = [&view.size.cautions, &view.charge.cautions, &view.prove.cautions, &view.supply.cautions]
        .into_iter()
        .chain(view.compare.as_ref().map(|compare| &compare.cautions));
    let body = html! {
        aside.care { (sheet::list(&once(all))) p { (LOCAL_CODE) } }
    };
    Part { id: "cautions", title: "Cautions", body }
}

/// Each text once, in the order of its first place.
fn once<'a>(lists: impl Iterator<Item = &'a Vec<String>>) -> Vec<String> {
    let mut texts: Vec<String> = Vec::new();
    for text in lists.flatten() {
        if !texts.contains(text) {
            texts.push(text.clone());
        }
    }
    texts
}
