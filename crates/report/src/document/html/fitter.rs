//! The fitter's two printed sheets: the four numbers, what governs, tubes and targets on the first; routes and tags on
//! the second.

use super::{LOCAL_CODE, Pack, chart, sheet_of, tags, take_care};
use crate::{
    document::{
        sheet::{ABSENT, Grid},
        text, verdict_words, words,
    },
    figure::{in_unit, length},
    view::{SetChargeView, SetSizeView, TubeView},
};
use maud::{Markup, html};

pub(super) fn pages(pack: Pack<'_>) -> Markup {
    html! {
        div.sheet {
            h2 { "For the fitter" }
            @for set in &pack.view.size.sets { article { (of_set(pack, set)) } }
            p.local { (LOCAL_CODE) " The cautions of the long file count for these sheets too." }
        }
        div.sheet {
            h2 { "Routes and tags" }
            (chart::all(pack, "isometric"))
            (tags::short(pack))
            (take_care(&pack.view.prove.cautions))
        }
    }
}

fn of_set(pack: Pack<'_>, set: &SetSizeView) -> Markup {
    let run = length(set.run_m).both(pack.units);
    let charge = pack.view.charge.sets.iter().find(|charge| charge.name == set.name);
    html! {
        h3 { (set.name) ", " (set.refrigerant) ", run " (run) ": " (verdict_words(set.verdict)) }
        @if let Some(charge) = charge { (four_numbers(pack, charge)) }
        (sheet_of(|sheet| text::print_governing(sheet, set, pack.units)))
        (sheet_of(|sheet| sheet.grid(tubes(pack, set))))
        (targets(pack, &set.name))
    }
}

/// What to weigh in, the total, whether that is allowed, when to stop.
fn four_numbers(pack: Pack<'_>, charge: &SetChargeView) -> Markup {
    let first = [text::headline(charge, pack.units), text::total(&pack.view.charge, charge, pack.units)];
    let last = charge.budget.iter().flat_map(text::may_i);
    html! {
        ol.numbers { @for number in first.into_iter().chain(last) { li { (number) } } }
    }
}

fn tubes(pack: Pack<'_>, set: &SetSizeView) -> Grid {
    let mut grid = Grid::new(&["line", "tube", "plumber's nominal", "product", "run", "flow"]);
    for line in &set.lines {
        let of_tube = |text: fn(&TubeView) -> Option<String>| {
            line.tube.as_ref().and_then(text).unwrap_or_else(|| ABSENT.into())
        };
        grid.row([
            line.service.clone(),
            line.tube.as_ref().map_or_else(|| "none of the stock".into(), |tube| tube.name.clone()),
            of_tube(|tube| tube.nominal.clone()),
            of_tube(|tube| Some(tube.product.clone())),
            length(line.run_m).both(pack.units),
            text::lift(line, pack.units),
        ]);
    }
    grid
}

/// Figures that the rig is set to.
const TARGETS: [&str; 4] = ["test-pressure", "held", "target", "holding-pressure"];

/// The answers of what proves the lines, with what the rig is set to.
fn targets(pack: Pack<'_>, set: &str) -> Markup {
    let parts = pack.view.prove.sets.iter().filter(|it| it.name == set).flat_map(|it| &it.parts);
    let parts: Vec<_> = parts.collect();
    html! {
        @if parts.is_empty() {
            p { "Test pressure and vacuum: the record sheets give the rules; the job's tables pressure_test and evacuation bring the figures." }
        } @else {
            dl.targets {
                @for part in parts {
                    dt { (text::capital(&words(&part.name))) ": " (verdict_words(part.verdict)) (text::unchecked(part)) }
                    dd {
                        @for figure in part.figures.iter().filter(|figure| TARGETS.contains(&&*figure.what)) {
                            strong { (words(&figure.what)) " " (in_unit(figure.value, figure.unit).both(pack.units)) } "; "
                        }
                        (text::ended(&text::capital(&part.answer)))
                    }
                }
            }
        }
    }
}
