//! The fitter's two printed sheets: the four numbers, what governs, the tubes and the targets on the first; routes and
//! tags on the second.

use super::{LOCAL_CODE, Pack, chart, sheet, tags};
use crate::{
    document::{
        sheet::{ABSENT, Grid, Sheet},
        text, verdict_words, words,
    },
    figure::length,
    view::{FieldSetView, LineView, SetChargeView, SetSizeView},
};
use maud::{Markup, html};

pub(super) fn pages(pack: Pack<'_>) -> Markup {
    let sets = &pack.view.size.sets;
    html! {
        div.sheet {
            h2 { "For the fitter" }
            @for (index, set) in sets.iter().enumerate() {
                article { (of_set(pack, index, set)) }
            }
            (care(pack))
        }
        div.sheet {
            h2 { "Routes and tags" }
            div.routes { @for index in 0..sets.len() { (chart::of(pack, "isometric", index)) } }
            (tags::short(pack))
        }
    }
}

fn of_set(pack: Pack<'_>, index: usize, set: &SetSizeView) -> Markup {
    let run = length(set.run_m).both(pack.units);
    html! {
        h3 { (set.name) ", " (set.refrigerant) ", run " (run) ": " (verdict_words(set.verdict)) }
        @if let Some(charge) = pack.view.charge.sets.get(index) { (four_numbers(pack, charge)) }
        (sheet::set(governing(pack, set)))
        (sheet::table(&tubes(pack, set)))
        (targets(pack, index))
    }
}

/// What to weigh in, the total, whether that is allowed, when to stop.
fn four_numbers(pack: Pack<'_>, charge: &SetChargeView) -> Markup {
    let total = text::total(&pack.view.charge, charge, pack.units);
    let first = [text::headline(charge, pack.units), total];
    let last = charge.budget.iter().flat_map(text::may_i);
    html! {
        ol.numbers { @for number in first.into_iter().chain(last) { li { (number) } } }
    }
}

fn governing(pack: Pack<'_>, set: &SetSizeView) -> Sheet {
    let mut sheet = Sheet::default();
    text::print_governing(&mut sheet, set, pack.units);
    sheet
}

fn tubes(pack: Pack<'_>, set: &SetSizeView) -> Grid {
    let mut grid = Grid::new(&["line", "tube", "plumber's nominal", "product", "run", "lift", "tag"]);
    let tag = |line: &LineView| {
        let mut drawn = set.isometric.lines.iter();
        drawn.find(|it| it.service == line.service).map_or_else(|| ABSENT.to_owned(), |it| it.tag.clone())
    };
    for line in &set.lines {
        let of_tube = |text: &dyn Fn(&crate::view::TubeView) -> Option<String>| {
            line.tube.as_ref().and_then(text).unwrap_or_else(|| ABSENT.into())
        };
        grid.row([
            line.service.clone(),
            line.tube.as_ref().map_or_else(|| "none of the stock".into(), |tube| tube.name.clone()),
            of_tube(&|tube| tube.nominal.clone()),
            of_tube(&|tube| Some(tube.product.clone())),
            length(line.run_m).both(pack.units),
            length(line.lift_m).both(pack.units),
            tag(line),
        ]);
    }
    grid
}

/// The answers of what proves the lines.
fn targets(pack: Pack<'_>, index: usize) -> Markup {
    let parts = pack.view.prove.sets.get(index).map_or(&[][..], |set: &FieldSetView| &set.parts);
    html! {
        @if parts.is_empty() {
            p { "Test pressure and vacuum are not asked for: tables pressure_test and evacuation of the set bring them." }
        } @else {
            dl.targets {
                @for part in parts {
                    dt { (text::capital(&words(&part.name))) ": " (verdict_words(part.verdict)) }
                    dd { (text::ended(&text::capital(&part.answer))) }
                }
            }
        }
    }
}

/// The cautions of the work that the fitter does from these sheets.
fn care(pack: Pack<'_>) -> Markup {
    html! { p.local { (LOCAL_CODE) " Cautions: " a href="#cautions" { "all of them" } "." } @if false { (pack.view.job) } }
}
