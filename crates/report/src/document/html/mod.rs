//! The job pack as one page: nothing is loaded from elsewhere, nothing runs in it.
//!
//! Words and tables are those of the [text sheets](super::text), set as a page; what only a page has (the fitter's two
//! printed sheets, tags to cut out, blanks to write in) has a file each. All text of the user is escaped by `maud`.

mod charge;
mod chart;
mod field;
mod fitter;
mod grounds;
mod layout;
mod lines;
mod materials;
mod page;
mod placing;
mod records;
mod sheet;
mod start_up;
mod steps;
mod summary;
mod tags;

use crate::{
    chart::{Chart, ChartError, charge_charts, compare_charts, size_charts},
    document::sheet::Sheet,
    figure::Units,
    view::PackView,
};
use maud::{Markup, html};

/// What a part is written from.
#[derive(Clone, Copy)]
struct Pack<'a> {
    view: &'a PackView,
    charts: &'a [Chart],
    units: Units,
}

/// A part of the long file.
struct Part {
    /// Anchor.
    id: &'static str,
    /// Heading, also in the contents.
    title: &'static str,
    body: Markup,
}

/// All charts of a pack, in the order of the work.
///
/// # Errors
/// [`ChartError`] where one can not be drawn.
pub fn charts(view: &PackView, units: Units) -> Result<Vec<Chart>, ChartError> {
    let mut charts = size_charts(&view.size, units)?;
    charts.extend(charge_charts(&view.charge, units)?);
    if let Some(compare) = &view.compare {
        charts.extend(compare_charts(compare, units)?);
    }
    Ok(charts)
}

/// The page: the fitter's two sheets, then the long file in the order of the work.
#[must_use]
pub fn page(view: &PackView, charts: &[Chart], units: Units) -> String {
    let pack = Pack { view, charts, units };
    let parts: Vec<Part> = [
        Some(summary::part(pack)),
        Some(placing::part(pack)),
        Some(lines::isometric(pack)),
        Some(lines::part(pack)),
        Some(charge::part(pack)),
        layout::part(pack),
        layout::roof(pack),
        Some(field::part("supply", "Power, water and drain", &view.supply, units)),
        Some(materials::part(pack)),
        Some(tags::part(pack)),
        Some(field::part("prove", "Pressure test, evacuation, holding charge", &view.prove, units)),
        Some(records::part(pack)),
        Some(start_up::part(pack)),
        Some(grounds::assumptions(pack)),
        Some(grounds::sources(pack)),
        Some(grounds::cautions(pack)),
    ]
    .into_iter()
    .flatten()
    .collect();
    page::write(view, &fitter::pages(pack), &parts)
}

/// A sheet that is filled by `print`, set as a page.
fn sheet_of(print: impl FnOnce(&mut Sheet)) -> Markup {
    let mut sheet = Sheet::default();
    print(&mut sheet);
    sheet::set(sheet)
}

/// Cautions on the sheet that they belong to.
fn take_care(cautions: &[String]) -> Markup {
    html! {
        @if !cautions.is_empty() {
            aside.care {
                h3 { "Take care" }
                (sheet::list(cautions))
                p { (LOCAL_CODE) }
            }
        }
    }
}

const LOCAL_CODE: &str = "Local code and licensed practice govern.";
