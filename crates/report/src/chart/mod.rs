//! Pictures as SVG, drawn from the [`view`](crate::view) structs: legible in grey and on a phone, the title says
//! what was found.
//!
//! No font file is read: text asks the viewer for its plain sans-serif, and the layout leaves room for a wide one.

mod axis;
mod canvas;
mod charge_against_run;
mod cycle;
mod elevation;
mod head_pressure;
mod isometric;
mod labels;
mod layout;
mod line_profile;
mod pressure_temperature;
mod riser_flux;
mod rule;
mod run_against_allowable;
mod series;

pub use charge_against_run::charge_against_run;
pub use cycle::cycle;
pub use head_pressure::head_pressure;
pub use isometric::isometric;
pub use layout::layout;
pub use line_profile::line_profile;
pub use pressure_temperature::pressure_temperature;
pub use riser_flux::riser_flux;
pub use run_against_allowable::run_against_allowable;

use crate::{
    figure::Units,
    view::{CardView, ChargeView, CompareView, SizeView},
};
use thiserror::Error;

/// A chart that could not be drawn.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum ChartError {
    /// The drawing library refused an element.
    #[error("the chart could not be drawn: {0}")]
    Drawing(String),
}

/// A chart with the name of its file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chart {
    /// What it shows, in kebab-case: `run-against-allowable`, `isometric`...
    pub kind: String,
    /// Place in the view of the set or layout that it shows, from 0.
    pub index: usize,
    /// File name, `run-against-allowable-1-ice-room.svg`.
    pub file_name: String,
    /// The SVG text.
    pub svg: String,
}

impl Chart {
    fn new(kind: &str, index: usize, of: &str, svg: String) -> Self {
        Self { kind: kind.to_owned(), index, file_name: file_name(kind, index, of), svg }
    }

    /// What the chart finds: its title, which is the bold text of the largest size that it begins with.
    #[must_use]
    pub fn title(&self) -> String {
        let texts = self.svg.split("<text ").skip(1).filter_map(|text| {
            let (attributes, rest) = text.split_once('>')?;
            let size: f64 = attributes.split_once("font-size=\"")?.1.split('"').next()?.parse().ok()?;
            let large = size.round() >= f64::from(canvas::LARGE) && attributes.contains("bold");
            Some((large, rest.split("</text>").next()?.trim()))
        });
        let lines: Vec<&str> = texts.take_while(|(large, _)| *large).map(|(_, line)| line).collect();
        lines
            .join(" ")
            .replace("&lt;", "<")
            .replace("&gt;", ">")
            .replace("&quot;", "\"")
            .replace("&amp;", "&")
    }
}

/// All charts of a size sheet: of each set its tubes, its liquid line, its risers and its route.
///
/// # Errors
/// [`ChartError`] where a chart can not be drawn.
pub fn size_charts(view: &SizeView, units: Units) -> Result<Vec<Chart>, ChartError> {
    let mut charts = Vec::new();
    for (index, set) in view.sets.iter().enumerate() {
        let mut add = |name: &str, svg: String| {
            charts.push(Chart::new(name, index, &set.name, svg));
        };
        add("run-against-allowable", run_against_allowable(set, units)?);
        for line in &set.lines {
            if let Some(profile) = &line.profile {
                add(&format!("line-profile-{}", line.service), line_profile(profile, units)?);
            }
            if let Some(riser) = &line.riser_flux {
                add(&format!("riser-flux-{}", line.service), riser_flux(riser, units)?);
            }
        }
        add("isometric", isometric(&set.isometric, units)?);
    }
    Ok(charts)
}

/// All charts of a charge sheet, one a set.
///
/// # Errors
/// [`ChartError`] where a chart can not be drawn.
pub fn charge_charts(view: &ChargeView, units: Units) -> Result<Vec<Chart>, ChartError> {
    let sets = view.sets.iter().enumerate();
    sets.map(|(index, set)| {
        let svg = charge_against_run(set, units)?;
        Ok(Chart::new("charge-against-run", index, &set.name, svg))
    })
    .collect()
}

/// All charts of a comparison: every layout, every set against outdoor air, and the cycles of the layout that is
/// recommended, else of the first.
///
/// # Errors
/// [`ChartError`] where a chart can not be drawn.
pub fn compare_charts(view: &CompareView, units: Units) -> Result<Vec<Chart>, ChartError> {
    let mut charts = Vec::new();
    let mut add = |name: &str, index: usize, of: &str, svg: String| {
        charts.push(Chart::new(name, index, of, svg));
    };
    for (index, drawn) in view.layouts.iter().enumerate() {
        add("layout", index, &drawn.name, layout(view, drawn, units)?);
    }
    for (index, set) in view.sets.iter().enumerate() {
        add("head-pressure", index, &set.name, head_pressure(view, &set.name, units)?);
    }
    let recommended = view.layouts.iter().find(|layout| view.recommends(layout));
    if let Some(layout) = recommended.or(view.layouts.first()) {
        for (index, circuit) in layout.circuits.iter().enumerate() {
            add("cycle", index, &circuit.set, cycle(&layout.name, circuit, units)?);
        }
    }
    Ok(charts)
}

/// The chart of a card.
///
/// # Errors
/// [`ChartError`] where it can not be drawn.
pub fn card_charts(view: &CardView, units: Units) -> Result<Vec<Chart>, ChartError> {
    let kind = "pressure-temperature";
    let file_name = format!("{kind}-{}.svg", plain(&view.refrigerant));
    Ok(vec![Chart { kind: kind.to_owned(), index: 0, file_name, svg: pressure_temperature(view, units)? }])
}

/// The set's place keeps names apart that differ only in characters unfit for a file name.
fn file_name(chart: &str, index: usize, set: &str) -> String {
    let tail: String = plain(set).chars().take(40).collect();
    let tail = if tail.is_empty() { tail } else { format!("-{tail}") };
    format!("{chart}-{}{tail}.svg", index + 1)
}

/// Letters and digits of a name, parted by dashes.
fn plain(name: &str) -> String {
    let plain: String =
        name.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' }).collect();
    plain.split('-').filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-")
}

/// Charts as tests look at them.
#[cfg(test)]
mod looked_at {
    use super::canvas::{WIDTH, text_width};

    /// With `LINESET_DRAW=FOLDER` leaves a picture there to be looked at.
    pub(super) fn leave(name: &str, svg: &str) {
        if let Some(folder) = std::env::var_os("LINESET_DRAW") {
            std::fs::write(std::path::Path::new(&folder).join(format!("{name}.svg")), svg).unwrap();
        }
    }

    /// Every text starts and ends on the sheet and is large enough for a phone.
    pub(super) fn text_fits(svg: &str) {
        let mut texts = 0;
        for element in svg.split("<text ").skip(1) {
            let (attributes, rest) = element.split_once('>').unwrap();
            let attributes = format!(" {attributes}");
            let attribute = |name: &str| {
                let rest = attributes.split_once(&format!(" {name}=\""))?.1;
                rest.split('"').next()
            };
            let words = rest.split("</text>").next().unwrap().trim();
            let words = words.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
            let size: f64 = attribute("font-size").unwrap().parse().unwrap();
            assert!(size >= f64::from(super::canvas::SMALL) - 1e-6, "{words} is too small: {size}");
            let at: i32 = attribute("x").unwrap().parse().unwrap();
            let width = text_width(&words, size.round() as i32);
            let (left, right) = match attribute("text-anchor").unwrap() {
                "start" => (at, at + width),
                "middle" => (at - width / 2, at + width / 2),
                _ => (at - width, at),
            };
            assert!(left >= 0 && right <= WIDTH, "`{words}` stands from {left} to {right}");
            texts += 1;
        }
        assert!(texts > 5, "only {texts} texts");
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn file_names_are_plain_and_apart() {
        assert_eq!(file_name("c", 0, "ice-room"), "c-1-ice-room.svg");
        assert_eq!(file_name("c", 1, "../Ice Room/"), "c-2-ice-room.svg");
        assert_eq!(file_name("c", 2, "氷"), "c-3.svg");
    }

    #[test]
    fn a_chart_tells_its_finding_as_it_is_read() {
        let mut view = sample::size();
        view.sets[0].name = "a<b> & \"c\"".into();
        view.sets[0].isometric.set = view.sets[0].name.clone();
        for chart in size_charts(&view, Units::Us).unwrap() {
            let title = chart.title();
            assert!(title.len() > 10 && !title.contains("&lt;") && !title.contains("&amp;"), "{title}");
        }
        let isometric = size_charts(&view, Units::Us).unwrap().pop().unwrap();
        assert!(isometric.title().starts_with("a<b> & \"c\": "), "{}", isometric.title());
        assert!(isometric.title().ends_with(" above the head"), "{}", isometric.title());
    }

    /// `LINESET_DRAW=FOLDER cargo test -p report draw` leaves the sample charts there to be looked at.
    #[test]
    fn draw_samples_in_both_units() {
        for (units, name) in [(Units::Us, "us"), (Units::Si, "si")] {
            let mut charts = size_charts(&sample::size(), units).unwrap();
            charts.extend(charge_charts(&sample::charge(), units).unwrap());
            charts.extend(compare_charts(&sample::compare(), units).unwrap());
            assert_eq!(charts.len(), 3 + 7, "run, route and charge; layouts, sets and cycles");
            for chart in charts {
                assert!(chart.svg.starts_with("<svg ") && chart.svg.trim_end().ends_with("</svg>"));
                if let Some(folder) = std::env::var_os("LINESET_DRAW") {
                    let path = std::path::Path::new(&folder).join(format!("{name}-{}", chart.file_name));
                    std::fs::write(path, &chart.svg).unwrap();
                }
            }
        }
    }
}
