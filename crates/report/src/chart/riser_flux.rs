//! Chart 4: down to which load each tube carries oil up a riser.

use super::{
    ChartError,
    axis::Axis,
    canvas::{
        Canvas, FAINT, INK, LARGE, MARGIN, SMALL, Side, WARM, WIDTH, below_title, draw, smooth, unbroken,
        wrap,
    },
    labels::{Frame, Ground, Named, Placed, label_width},
    rule::{self, LABEL_ROW, Rule, draw_rules, in_order},
    series::{draw_key, finite, look},
};
use crate::{
    figure::Units,
    view::{RiserCurveView, RiserFluxView, VerdictView},
};
use plotters::style::RGBColor;

const PLOT: i32 = 300;
const LEFT: i32 = 50;
const RIGHT: i32 = WIDTH - 20;

/// Mass flux over the least that carries oil, against load, for the tube taken and its neighbours. The numbers are shares, the
/// same in both unit systems.
///
/// # Errors
/// [`ChartError`] where the picture can not be drawn.
pub fn riser_flux(view: &RiserFluxView, _units: Units) -> Result<String, ChartError> {
    let title = wrap(&finding(view), LARGE, WIDTH - 2 * MARGIN);
    let rules = load_rules(view);
    // A third row of words below the rules: what the axis upward counts.
    let top = below_title(title.len()) + LABEL_ROW + rule::height(&rules) + 8;
    let foot = top + PLOT;
    let curves = by_height(view);
    let rows = i32::try_from(curves.len()).unwrap_or(0);
    let height = foot + 2 * LABEL_ROW + 16 + LABEL_ROW * rows + MARGIN;
    let scale = Scale::of(view, top, foot);

    draw(height, |canvas| {
        let below = canvas.title(&title)?;
        draw_axes(canvas, &scale, top, foot)?;
        draw_region(canvas, view, &scale, foot)?;
        let axis_words = "mass flux, times the least that carries oil";
        canvas.text(axis_words, (MARGIN, below + 4), Side::Start, SMALL, INK)?;
        let labels = below + LABEL_ROW;
        draw_rules(canvas, &rules, |load| scale.x.pixel(100.0 * load), labels, foot)?;

        let mut ground =
            Ground::new(Frame { left: LEFT + 2, top: top + 2, right: RIGHT - 2, foot: foot - 2 });
        for rule in &rules {
            let at = scale.x.pixel(100.0 * rule.at);
            ground.keep_off_line(&[(at, top), (at, foot)]);
        }
        for ratio in [1.0, view.limit_ratio] {
            ground.keep_off_line(&[(LEFT, scale.y.pixel(ratio)), (RIGHT, scale.y.pixel(ratio))]);
        }
        // The tube taken last, on top of the others.
        let (taken, others): (Vec<_>, Vec<_>) = curves.iter().enumerate().partition(|(_, curve)| curve.taken);
        for (index, curve) in others.into_iter().chain(taken) {
            draw_curve(canvas, &scale, index, curve, &mut ground)?;
        }
        draw_words(canvas, view, &scale, &mut ground)?;
        for (row, (index, curve)) in (0..).zip(curves.iter().enumerate()) {
            let y = foot + 2 * LABEL_ROW + 22 + LABEL_ROW * row;
            draw_key(canvas, index, &curve.name, curve.taken.then_some(", taken"), y)?;
        }
        Ok(())
    })
}

fn percent(share: f64) -> String {
    format!("{:.0}\u{a0}%", 100.0 * share)
}

/// What the picture shows in one sentence.
fn finding(view: &RiserFluxView) -> String {
    let tube = view.tube_name.split(" + ").map(unbroken).collect::<Vec<_>>().join(" + ");
    let least = percent(view.least_load);
    let carries = match view.carries_from_load {
        None => format!("carries oil at no load up to the peak of {}", percent(view.peak_load)),
        Some(load) if beyond_the_picture(view) => {
            format!("carries oil down to {} load and below; this head goes to {least}", percent(load))
        }
        Some(load) if load <= view.least_load => {
            format!("carries oil down to {} load; this head goes to {least}", percent(load))
        }
        Some(load) => {
            format!("carries oil only from {} load up; this head goes down to {least}", percent(load))
        }
    };
    let changeover = view
        .changeover_load
        .map_or_else(String::new, |load| format!("; below {} the small leg flows alone", percent(load)));
    let close = if view.verdict == VerdictView::TooCloseToCall { ", too close to call" } else { "" };
    format!("{}: {tube} {} {carries}{close}{changeover}", view.set, view.service)
}

/// Whether the tube taken carries oil at the least load drawn already, so that the load from which it does is not in sight.
fn beyond_the_picture(view: &RiserFluxView) -> bool {
    let taken = view.curves.iter().find(|curve| curve.taken);
    let first = taken.and_then(|curve| curve.points.iter().find(|point| finite(point)));
    first.is_some_and(|[load, ratio]| *ratio > view.limit_ratio && view.carries_from_load == Some(*load))
}

/// The loads that matter, drawn across.
fn load_rules(view: &RiserFluxView) -> Vec<Rule> {
    let rule = |name: &str, at: f64, width, dash, colour| Rule {
        label: format!("{name} {}", percent(at)),
        at,
        colour,
        width,
        dash,
    };
    let mut rules = vec![rule("least load", view.least_load, 3, None, INK)];
    if view.least_load < 1.0 {
        rules.push(rule("design", 1.0, 1, None, INK));
    }
    if view.peak_load > 1.0 {
        rules.push(rule("peak", view.peak_load, 2, Some((2, 4)), INK));
    }
    rules.extend(view.changeover_load.map(|load| rule("both legs from", load, 2, Some((10, 5)), WARM)));
    in_order(rules)
}

/// The curves with the highest, of the smallest tube, first: the order that the eye meets them in.
fn by_height(view: &RiserFluxView) -> Vec<&RiserCurveView> {
    let steepness = |curve: &RiserCurveView| {
        let last = curve.points.iter().rfind(|point| finite(point));
        last.map_or(0.0, |[load, ratio]| ratio / load)
    };
    let mut curves: Vec<&RiserCurveView> = view.curves.iter().collect();
    curves.sort_by(|one, other| steepness(other).total_cmp(&steepness(one)));
    curves
}

struct Scale {
    x: Axis,
    y: Axis,
    top: f64,
}

impl Scale {
    fn of(view: &RiserFluxView, top: i32, foot: i32) -> Self {
        let points = || view.curves.iter().flat_map(|curve| &curve.points).filter(|point| finite(point));
        let marked = [Some(view.least_load), Some(1.0), Some(view.peak_load), view.carries_from_load];
        let loads = || points().map(|point| point[0]).chain(marked.into_iter().flatten());
        let taken = view.curves.iter().filter(|curve| curve.taken).flat_map(|curve| &curve.points);
        let highest = taken.filter(|point| finite(point)).map(|point| point[1]).fold(0.0, f64::max);
        // Narrow tubes that reach many times the limit would squeeze what matters into the foot.
        let y = Axis::from_zero(highest.max(1.8 * view.limit_ratio), [foot, top], 5.0);
        let (least, greatest) = (loads().fold(1.0, f64::min), loads().fold(1.0, f64::max));
        Self { x: Axis::exactly(100.0 * least, 100.0 * greatest, [LEFT, RIGHT], 8.0), y, top: y.high() }
    }

    /// The pixels of a curve, cut where it leaves the picture at the top.
    fn pixels(&self, points: &[[f64; 2]]) -> Vec<(i32, i32)> {
        let mut kept: Vec<[f64; 2]> = Vec::new();
        let points: Vec<[f64; 2]> = points.iter().copied().filter(finite).collect();
        for (index, point) in points.iter().enumerate() {
            let before = index.checked_sub(1).and_then(|before| points.get(before));
            match before {
                Some(before) if (before[1] > self.top) != (point[1] > self.top) => {
                    let share = (self.top - before[1]) / (point[1] - before[1]);
                    kept.push([before[0] + share * (point[0] - before[0]), self.top]);
                }
                _ => {}
            }
            if point[1] <= self.top {
                kept.push(*point);
            }
        }
        kept.iter().map(|[load, ratio]| (self.x.pixel(100.0 * load), self.y.pixel(*ratio))).collect()
    }
}

fn draw_axes(canvas: &Canvas<'_>, scale: &Scale, top: i32, foot: i32) -> Result<(), ChartError> {
    canvas.uprights(&scale.x, top, foot)?;
    canvas.levels(&scale.y, LEFT, RIGHT)?;
    let load = "load, % of design";
    canvas.text(load, ((LEFT + RIGHT) / 2, foot + 15 + LABEL_ROW), Side::Middle, SMALL, INK)
}

/// The region where oil stays behind, and the two limits.
fn draw_region(
    canvas: &Canvas<'_>,
    view: &RiserFluxView,
    scale: &Scale,
    foot: i32,
) -> Result<(), ChartError> {
    let (one, limit) = (scale.y.pixel(1.0), scale.y.pixel(view.limit_ratio));
    canvas.hatch((LEFT, one), (RIGHT, foot), FAINT)?;
    canvas.line(&[(LEFT, one), (RIGHT, one)], 2, Some((2, 4)), WARM)?;
    canvas.line(&[(LEFT, limit), (RIGHT, limit)], 2, None, WARM)
}

fn draw_curve(
    canvas: &Canvas<'_>,
    scale: &Scale,
    index: usize,
    curve: &RiserCurveView,
    ground: &mut Ground,
) -> Result<(), ChartError> {
    let (width, dash, colour) = look(index, curve.taken);
    let points = smooth(&scale.pixels(&curve.points));
    ground.keep_off_line(&points);
    canvas.line(&points, width, dash, colour)?;
    match points.last() {
        Some(end) => {
            ground.keep_off(Frame::around(*end, (14, 14)));
            canvas.mark(index, *end, colour)
        }
        None => Ok(()),
    }
}

/// The words inside: the two limits, the ratio at least load, the load from which oil is carried.
fn draw_words(
    canvas: &Canvas<'_>,
    view: &RiserFluxView,
    scale: &Scale,
    ground: &mut Ground,
) -> Result<(), ChartError> {
    let pixel = |load: f64, ratio: f64| (scale.x.pixel(100.0 * load), scale.y.pixel(ratio));
    let taken = view.curves.iter().find(|curve| curve.taken).map_or(&[][..], |curve| &curve.points);
    let at_least = ratio_at(taken, view.least_load).filter(|ratio| *ratio <= scale.top);
    let points = [
        view.carries_from_load
            .filter(|_| !beyond_the_picture(view))
            .map(|load| (pixel(load, view.limit_ratio), percent(load))),
        at_least.map(|ratio| (pixel(view.least_load, ratio), format!("{ratio:.2}"))),
    ];
    for (at, _) in points.iter().flatten() {
        ground.keep_off(Frame::around(*at, (14, 14)));
        canvas.mark(0, *at, INK)?;
    }
    for (at, words) in points.iter().flatten() {
        let named = Named { points: &[*at], along: (1.0, -1.0), reach: 7 };
        if let Some(placed) = ground.place(&named, (label_width(words, SMALL), 16)) {
            draw_label(canvas, placed, words, INK)?;
        }
    }
    let along: Vec<i32> = (1..10).rev().map(|step| LEFT + (RIGHT - LEFT) * step / 10).collect();
    // One above its line and one below, so that neither can be read for the other.
    let asked = format!("{:.2} asked for", view.limit_ratio);
    for (ratio, words, above) in [(view.limit_ratio, asked, true), (1.0, "1.0 just carries".into(), false)] {
        let y = scale.y.pixel(ratio);
        let anchors: Vec<(i32, i32)> = along.iter().map(|x| (*x, y)).collect();
        let named = Named { points: &anchors, along: (1.0, 0.0), reach: 0 };
        let suits = |frame: Frame| if above { frame.foot < y } else { frame.top > y };
        if let Some(placed) = ground.place_where(&named, (label_width(&words, SMALL) + 8, 16), suits) {
            draw_label(canvas, placed, &words, WARM)?;
        }
    }
    Ok(())
}

fn draw_label(canvas: &Canvas<'_>, placed: Placed, words: &str, colour: RGBColor) -> Result<(), ChartError> {
    let Frame { left, top, right, foot } = placed.frame;
    canvas.blank((left, top), (right, foot))?;
    if let Some(leader) = placed.leader {
        canvas.line(&leader, 1, None, colour)?;
    }
    canvas.bold(words, ((left + right) / 2, (top + foot) / 2), Side::Middle, SMALL, colour)
}

/// The ratio of a curve at a load, between its points.
fn ratio_at(points: &[[f64; 2]], load: f64) -> Option<f64> {
    points.windows(2).find(|pair| (pair[0][0]..=pair[1][0]).contains(&load)).map(|pair| {
        let [from, to] = [pair[0], pair[1]];
        let share = if to[0] > from[0] { (load - from[0]) / (to[0] - from[0]) } else { 0.0 };
        from[1] + share * (to[1] - from[1])
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::looked_at::{leave, text_fits};

    fn curve(name: &str, ratio_at_design: f64, taken: bool, loads: [f64; 2]) -> RiserCurveView {
        let at = |step: i32| loads[0] + (loads[1] - loads[0]) * f64::from(step) / 20.0;
        let points = (0..=20).map(|step| [at(step), ratio_at_design * at(step).powf(0.97)]).collect();
        RiserCurveView { name: name.into(), taken, points }
    }

    /// A discharge riser (invented) in one tube.
    fn single() -> RiserFluxView {
        let loads = [0.4, 1.7];
        RiserFluxView {
            set: "ice-room".into(),
            service: "discharge".into(),
            tube_name: "1/2 in OD".into(),
            limit_ratio: 1.15,
            least_load: 0.6,
            peak_load: 1.7,
            carries_from_load: Some(0.47),
            changeover_load: None,
            verdict: VerdictView::Meets,
            curves: vec![
                curve("3/8 in OD", 5.6, false, loads),
                curve("1/2 in OD", 2.38, true, loads),
                curve("5/8 in OD", 1.33, false, loads),
                curve("3/4 in OD", 0.85, false, loads),
            ],
        }
    }

    fn double() -> RiserFluxView {
        RiserFluxView {
            set: "blast-freezer, north end of the hall (invented)".into(),
            service: "suction".into(),
            tube_name: "1-1/8 in OD + 1-5/8 in OD wall 0.060 in".into(),
            limit_ratio: 1.15,
            least_load: 0.3,
            peak_load: 1.0,
            carries_from_load: Some(0.24),
            changeover_load: Some(0.65),
            verdict: VerdictView::TooCloseToCall,
            curves: vec![
                curve("1-1/8 in OD alone", 4.6, true, [0.2, 0.65]),
                curve("both legs", 1.9, true, [0.65, 1.0]),
                curve(
                    "2-1/8 in OD wall 0.070 in, ASTM B280 straight lengths, hard drawn",
                    1.3,
                    false,
                    [0.2, 1.0],
                ),
            ],
        }
    }

    fn refused() -> RiserFluxView {
        let mut view = single();
        (view.tube_name, view.carries_from_load, view.verdict) =
            ("5/8 in OD".into(), Some(0.86), VerdictView::Fails);
        for curve in &mut view.curves {
            curve.taken = curve.name == view.tube_name;
        }
        view
    }

    #[test]
    fn draw_risers() {
        for (name, view) in [("single", single()), ("double", double()), ("refused", refused())] {
            let svg = riser_flux(&view, Units::Us).unwrap();
            leave(&format!("riser-flux-{name}"), &svg);
            text_fits(&svg);
        }
    }

    #[test]
    fn says_down_to_which_load_oil_is_carried() {
        let plain = |view: &RiserFluxView| finding(view).replace('\u{a0}', " ");
        assert_eq!(
            plain(&single()),
            "ice-room: 1/2 in OD discharge carries oil down to 47 % load; this head goes to 60 %"
        );
        assert_eq!(
            plain(&refused()),
            "ice-room: 5/8 in OD discharge carries oil only from 86 % load up; this head goes down to 60 %"
        );
        assert!(plain(&double()).ends_with(
            "down to 24 % load; this head goes to 30 %, too close to call; below 65 % the small leg flows alone"
        ));
        let never = RiserFluxView { carries_from_load: None, ..single() };
        assert!(plain(&never).ends_with("carries oil at no load up to the peak of 170 %"));
    }

    #[test]
    fn marks_loads_limits_and_the_ratio_at_least_load() {
        let svg = riser_flux(&single(), Units::Us).unwrap().replace('\u{a0}', " ");
        for words in [
            "least load 60 %",
            "design 100 %",
            "peak 170 %",
            "1.15 asked for",
            "1.0 just carries",
            "1.45",
            "1/2 in OD, taken",
        ] {
            assert!(svg.contains(words), "{words}");
        }
    }

    #[test]
    fn draws_without_curves_and_with_numbers_that_are_not_finite() {
        let mut view = single();
        view.curves[1].points = vec![[0.5, f64::NAN], [f64::INFINITY, 1.0], [0.7, 2.0]];
        assert!(!riser_flux(&view, Units::Si).unwrap().contains("NaN"));
        view.curves.clear();
        assert!(riser_flux(&view, Units::Si).is_ok());
    }

    #[test]
    fn a_curve_is_cut_at_the_top() {
        let view = single();
        let scale = Scale::of(&view, 0, 300);
        let pixels = scale.pixels(&view.curves[0].points);
        assert_eq!(pixels.last().map(|at| at.1), Some(0));
        assert!(pixels.windows(2).all(|pair| pair[1].1 <= pair[0].1 && pair[1].0 >= pair[0].0));
    }
}
