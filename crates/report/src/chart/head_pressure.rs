//! Chart 7: condensing temperature against outdoor air, where head pressure is held up, and the share of the condenser
//! that is then left to condense.

use super::{
    ChartError,
    axis::Axis,
    canvas::{INK, MARGIN, SMALL, Side, WIDTH, below_title, draw, shortened, smooth, title_lines, unbroken},
    rule::{self, LABEL_ROW, Rule, draw_rules, in_order},
    series::{draw_key, look},
};
use crate::{
    figure::{Units, axis_of_temperature, celsius, temperature},
    view::{AirPointView, CompareView, LayoutView},
};
use plotters::style::RGBColor;

const LEFT: i32 = 58;
const RIGHT: i32 = WIDTH - 20;
const TEMPERATURE: i32 = 240;
const SHARE: i32 = 100;
const WORDS: i32 = 38;
/// Ground where head pressure is held up.
const HELD: RGBColor = RGBColor(226, 232, 236);

/// One set in all layouts.
///
/// # Errors
/// [`ChartError`] where the picture can not be drawn.
pub fn head_pressure(view: &CompareView, set: &str, units: Units) -> Result<String, ChartError> {
    let curves: Vec<Curve<'_>> =
        view.layouts.iter().filter_map(|layout| Curve::of(view, layout, set)).collect();
    let title = title_lines(&finding(&curves, set, units));
    let rules = in_order(vec![Rule {
        label: format!("design day {}", temperature(celsius(view.outdoor_air_k)).first(units)),
        at: view.outdoor_air_k,
        colour: INK,
        width: 2,
        dash: Some((2, 4)),
    }]);
    let labels = below_title(title.len());
    let top = labels + rule::height(&rules) + WORDS;
    let foot = top + TEMPERATURE;
    let share_top = foot + WORDS;
    let share_foot = share_top + SHARE;
    let keys = share_foot + 2 * LABEL_ROW + 20;
    let rows = i32::try_from(curves.len()).unwrap_or(0) + 1;

    let (degrees, degree) = axis_of_temperature(units);
    let degrees = |at_k: f64| degrees(celsius(at_k));
    let points = || curves.iter().flat_map(|curve| &curve.points);
    let airs = || points().map(|point| point.air_k).chain([view.outdoor_air_k]);
    let condensing = || points().filter_map(|point| point.condensing_k);
    let [least_k, most_k] =
        [condensing().fold(f64::INFINITY, f64::min), condensing().fold(f64::NEG_INFINITY, f64::max)];
    let [least_k, most_k] = if least_k < most_k { [least_k, most_k] } else { [290.0, 320.0] };
    let x = Axis::exactly(
        degrees(airs().fold(f64::INFINITY, f64::min)),
        degrees(airs().fold(f64::NEG_INFINITY, f64::max) + 1.0),
        [LEFT, RIGHT],
        6.0,
    );
    let y = Axis::between(degrees(least_k), degrees(most_k), [foot, top], 6.0);
    let share = Axis::from_zero(100.0, [share_foot, share_top], 4.0);
    let across = |at_k: f64| x.pixel(degrees(at_k));

    draw(keys + LABEL_ROW * rows, |canvas| {
        canvas.title(&title)?;
        let shown = shown(&curves);
        let held = shown.and_then(|curve| Some((curve.name, curve.held_up_to()?)));
        if let Some((_, at_k)) = held {
            for [top, foot] in [[top, foot], [share_top, share_foot]] {
                canvas.patch((LEFT, top), (across(at_k), foot), HELD)?;
            }
        }
        let mut words_above = Vec::new();
        for (axis, top, words) in [
            (&y, top, format!("condensing, {degree}")),
            (&share, share_top, "share of the condenser that condenses, %".to_owned()),
        ] {
            canvas.levels(axis, LEFT, RIGHT)?;
            words_above.push((words, top - 17));
        }
        canvas.uprights(&x, top, share_foot)?;
        let words = format!("outdoor air, {degree}");
        canvas.text(&words, (WIDTH / 2, share_foot + 15 + LABEL_ROW), Side::Middle, SMALL, INK)?;
        draw_rules(canvas, &rules, across, labels, share_foot)?;
        for (words, y) in words_above {
            canvas.words_on_white(&words, (MARGIN, y), Side::Start, INK)?;
        }
        // The one that counts first: where curves coincide, dashes on the thick line show that they do.
        let (counts, others): (Vec<_>, Vec<_>) = curves.iter().enumerate().partition(|(_, it)| it.counts);
        for (index, curve) in counts.into_iter().chain(others) {
            let (width, dash, colour) = look(index, curve.counts);
            let warm = curve.points.iter().filter_map(|point| Some((point.air_k, point.condensing_k?)));
            let warm: Vec<(i32, i32)> =
                warm.map(|(air_k, at_k)| (across(air_k), y.pixel(degrees(at_k)))).collect();
            canvas.line(&smooth(&warm), width, dash, colour)?;
            let shares = curve.points.iter().filter(|point| point.share.is_finite());
            let shares: Vec<(i32, i32)> =
                shares.map(|point| (across(point.air_k), share.pixel(100.0 * point.share))).collect();
            canvas.line(&smooth(&shares), width, dash, colour)?;
            // Marks of curves that coincide stand beside each other.
            if let Some(at) = warm.get(warm.len() * (index + 1) / (curves.len() + 1)) {
                canvas.mark(index, *at, colour)?;
            }
        }
        let mut at = keys;
        for (index, curve) in curves.iter().enumerate() {
            draw_key(canvas, index, curve.name, curve.counts.then_some(", recommended"), at)?;
            at += LABEL_ROW;
        }
        if let Some((name, _)) = held {
            canvas.patch((MARGIN, at - 7), (MARGIN + 44, at + 7), HELD)?;
            let words = format!("head pressure held up, {name}");
            let words = shortened(&words, SMALL, WIDTH - MARGIN - 58 - 4);
            canvas.text(&words, (MARGIN + 58, at), Side::Start, SMALL, INK)?;
        }
        Ok(())
    })
}

struct Curve<'a> {
    name: &'a str,
    counts: bool,
    design_k: f64,
    points: Vec<Point>,
}

#[derive(Clone, Copy)]
struct Point {
    air_k: f64,
    condensing_k: Option<f64>,
    held: bool,
    share: f64,
}

impl<'a> Curve<'a> {
    fn of(view: &CompareView, layout: &'a LayoutView, set: &str) -> Option<Self> {
        let index = layout.circuits.iter().position(|circuit| circuit.set == set)?;
        let point = |point: &AirPointView| Point {
            air_k: point.outdoor_air_k,
            condensing_k: point.condensing_k.get(index).copied().flatten().filter(|at_k| at_k.is_finite()),
            held: point.held.get(index) == Some(&true),
            share: point.active_share.get(index).copied().unwrap_or(f64::NAN),
        };
        let points = layout.against_air.iter().filter(|point| point.outdoor_air_k.is_finite()).map(point);
        Some(Self {
            name: &layout.name,
            counts: view.recommends(layout),
            design_k: layout.circuits[index].condensing_k,
            points: points.collect(),
        })
    }

    /// Warmest air of the curve at which head pressure is held up.
    fn held_up_to(&self) -> Option<f64> {
        let held = self.points.iter().filter(|point| point.held).map(|point| point.air_k);
        held.max_by(f64::total_cmp)
    }
}

/// The layout that the words are on: the one recommended, else the first.
fn shown<'a, 'b>(curves: &'b [Curve<'a>]) -> Option<&'b Curve<'a>> {
    curves.iter().find(|curve| curve.counts).or(curves.first())
}

fn finding(curves: &[Curve<'_>], set: &str, units: Units) -> String {
    let degrees = |at_k: f64| unbroken(temperature(celsius(at_k)).first(units));
    let Some(shown) = shown(curves) else {
        return format!("{set}: condensing temperature is not known");
    };
    let design = format!("; on the design day {} condenses at {}", shown.name, degrees(shown.design_k));
    match shown.held_up_to() {
        Some(air_k) => {
            format!("{set}: head pressure is held up at {} of outdoor air and below{design}", degrees(air_k))
        }
        None => format!("{set}: condensing follows the outdoor air, nothing holds head pressure up{design}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        chart::looked_at::{leave, text_fits},
        sample,
    };

    #[test]
    fn draw_head_pressures() {
        let view = sample::compare();
        for (units, name) in [(Units::Us, "us"), (Units::Si, "si")] {
            for set in &view.sets {
                let svg = head_pressure(&view, &set.name, units).unwrap();
                leave(&format!("{name}-head-pressure-{}", set.name), &svg);
                text_fits(&svg);
            }
        }
    }

    #[test]
    fn says_where_head_pressure_is_held_up() {
        let mut view = sample::compare();
        let svg = head_pressure(&view, "ice-room", Units::Si).unwrap().replace('\u{a0}', " ");
        for words in ["side by side, recommended", "design day 37.8 °C", "outdoor air, °C"] {
            assert!(svg.contains(words), "{words}");
        }
        let words = |view: &CompareView| {
            let curves: Vec<_> =
                view.layouts.iter().filter_map(|layout| Curve::of(view, layout, "ice-room")).collect();
            finding(&curves, "ice-room", Units::Si).replace('\u{a0}', " ")
        };
        assert_eq!(
            words(&view),
            "ice-room: head pressure is held up at 9.0 °C of outdoor air and below; on the design day side by side condenses at 43.3 °C"
        );
        for point in view.layouts.iter_mut().flat_map(|layout| &mut layout.against_air) {
            point.held = vec![false, false];
        }
        assert!(words(&view).contains("nothing holds head pressure up"));
    }

    #[test]
    fn draws_without_curves_and_with_numbers_that_are_not_finite() {
        let mut view = sample::compare();
        view.layouts[0].against_air[0].outdoor_air_k = f64::NAN;
        view.layouts[1].against_air[1].condensing_k = vec![None, Some(f64::INFINITY)];
        view.layouts[1].against_air[2].active_share.clear();
        assert!(!head_pressure(&view, "cold-store", Units::Us).unwrap().contains("NaN"));
        view.layouts.clear();
        assert!(head_pressure(&view, "cold-store", Units::Us).is_ok());
    }
}
