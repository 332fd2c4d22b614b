//! Tags for both ends of every line, and the test that proves them.

use super::{Pack, Part, sheet, steps};
use crate::{document::sheet::Grid, view::TagMatchView};
use maud::{Markup, html};

/// One row a tag, for the fitter's sheet.
pub(super) fn short(pack: Pack<'_>) -> Markup {
    let mut grid = Grid::new(&["tag", "end", "set", "line", "tube", "way"]);
    for tag in pack.view.sets.iter().flat_map(|set| &set.tags.tags) {
        grid.row([&tag.tag, tag.end, &tag.set, &tag.service, &tag.tube, &tag.way].map(str::to_owned));
    }
    html! { @if grid.rows().next().is_some() { h3 { "Tags" } (sheet::table(&grid)) } }
}

/// Boxes to cut out, then the pulse test with room to sign.
pub(super) fn part(pack: Pack<'_>) -> Part {
    let body = html! {
        p { "Cut out along the dashes: one at each end of every line, before the first joint is brazed." }
        div.tags {
            @for tag in pack.view.sets.iter().flat_map(|set| &set.tags.tags) {
                div.tag {
                    p.name { (tag.tag) }
                    p { (tag.set) ", " (tag.service) " line, end at the " (tag.end) }
                    p { (tag.tube) ", " (tag.refrigerant) }
                    p { "design " (tag.design_words) }
                    p { (tag.way) }
                }
            }
        }
        @for set in &pack.view.sets {
            h3 { "Nitrogen pulse test of " (set.name) }
            (steps::ordered(&set.tags.pulse_test))
            (matches(&set.tags.matches))
            (sheet::list(&set.tags.remarks))
        }
    };
    Part { id: "tags", title: "Tags", body }
}

fn matches(matches: &[TagMatchView]) -> Markup {
    html! {
        @if !matches.is_empty() {
            div.table {
                table.record {
                    thead { tr { @for name in ["line", "pulsed at", "comes at, and nowhere else", "signed"] { th scope="col" { (name) } } } }
                    tbody {
                        @for it in matches {
                            tr {
                                th scope="row" { (it.line) }
                                td data-label="pulsed at" { (it.pulsed_at) }
                                td data-label="comes at" { (it.comes_at) }
                                td.blanks data-label="signed" { span.field { span.blank {} } }
                            }
                        }
                    }
                }
            }
        }
    }
}
