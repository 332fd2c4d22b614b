//! Charts in the page: the very drawing of the file, scaled to the width, with its finding as name.

use super::Pack;
use crate::chart::Chart;
use maud::{Markup, PreEscaped, html};

/// The charts of one set or layout whose kinds begin so, kind by kind.
pub(super) fn of(pack: Pack<'_>, kinds: &[&str], index: usize) -> Markup {
    side_by_side(
        kinds.iter().flat_map(|kind| {
            pack.charts.iter().filter(move |it| it.kind.starts_with(kind) && it.index == index)
        }),
    )
}

/// All charts of one kind.
pub(super) fn all(pack: Pack<'_>, kind: &str) -> Markup {
    side_by_side(pack.charts.iter().filter(|it| it.kind == kind))
}

fn side_by_side<'a>(charts: impl Iterator<Item = &'a Chart>) -> Markup {
    html! { div.charts { @for chart in charts { figure { (inlined(chart)) } } } }
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
