//! Charts in the page: the very drawing of the file, scaled to the width, with its finding as name.

use super::Pack;
use crate::chart::Chart;
use maud::{Markup, PreEscaped, html};

/// The charts of one kind, or of several whose names begin alike, for one set or layout.
pub(super) fn of(pack: Pack<'_>, kind: &str, index: usize) -> Markup {
    let charts: Vec<&Chart> =
        pack.charts.iter().filter(|it| it.kind.starts_with(kind) && it.index == index).collect();
    html! {
        @if !charts.is_empty() {
            div.charts { @for chart in charts { (figure(chart)) } }
        }
    }
}

fn figure(chart: &Chart) -> Markup {
    html! {
        figure { (inlined(chart)) }
    }
}

/// The drawing library writes `<svg width= height= viewBox= ...>` and escapes all text inside; role and name are put
/// into that first tag, the rest stays as it is in the file.
fn inlined(chart: &Chart) -> Markup {
    let title = html! { title { (chart.title()) } }.into_string();
    let svg = chart.svg.trim_end();
    PreEscaped(match svg.strip_prefix("<svg ").and_then(|rest| rest.split_once('>')) {
        Some((attributes, drawing)) => format!("<svg role=\"img\" {attributes}>{title}{drawing}"),
        None => svg.to_owned(),
    })
}
