//! Chart 3: temperature, pressure and height along the liquid line, with its bubble line: where it comes nearest to
//! flashing, or flashes.

use super::{
    ChartError,
    axis::Axis,
    canvas::{
        Canvas, Dash, FAINT, INK, LARGE, MARGIN, PALE, SMALL, STRONG, Side, WARM, WIDTH, below_title, draw,
        shortened, smooth, text_width, unbroken, wrap,
    },
    labels::{Frame, Ground},
    rule::{self, LABEL_ROW, Rule, draw_rules, in_order},
};
use crate::{
    figure::{
        AxisUnit, Units, axis_of_gauge_pressure, axis_of_length, axis_of_temperature, length,
        temperature_difference,
    },
    view::{LineProfileView, PhaseView, ProfilePointView},
};
use plotters::style::RGBColor;

const LEFT: i32 = 58;
const RIGHT: i32 = WIDTH - 20;
/// Heights of the three plots, and of the words above each.
const TEMPERATURE: i32 = 200;
const PRESSURE: i32 = 100;
const HEIGHT: i32 = 110;
const WORDS: i32 = 26;
/// Least span of the temperatures drawn, K: a narrower one would blow up what no thermometer reads.
const LEAST_SPAN_K: f64 = 3.0;

/// The two curves: full and thick against thin and dashed, so that grey print tells them apart.
const LIQUID: (u32, Dash, RGBColor) = (4, None, STRONG);
const BUBBLE: (u32, Dash, RGBColor) = (3, Some((9, 5)), WARM);

/// Temperature with the bubble temperature at the local pressure, pressure, and height, along one line.
///
/// # Errors
/// [`ChartError`] where the picture can not be drawn.
pub fn line_profile(view: &LineProfileView, units: Units) -> Result<String, ChartError> {
    let title = wrap(&finding(view, units), LARGE, WIDTH - 2 * MARGIN);
    let rules = rules(view, units);
    let keys = keys(view);
    let labels = below_title(title.len());
    let temperature_top = labels + rule::height(&rules) + WORDS;
    let pressure_top = temperature_top + TEMPERATURE + WORDS;
    let height_top = pressure_top + PRESSURE + WORDS;
    let foot = height_top + HEIGHT;
    let rows = i32::try_from(keys.len()).unwrap_or(0);
    let height = foot + 2 * LABEL_ROW + 16 + LABEL_ROW * rows + MARGIN;

    let points: Vec<ProfilePointView> = view.points.iter().copied().filter(finite).collect();
    let run = axis_of_length(units);
    let end = points.last().map_or(0.0, |point| point.position_m);
    let x = Along { axis: Axis::from_zero(end / run.si, [LEFT, RIGHT], 5.0), unit: run };

    draw(height, |canvas| {
        canvas.title(&title)?;
        for (from, to) in two_phase(view, end) {
            let (from, to) = (x.pixel(from), x.pixel(to));
            for (top, foot) in
                [(temperature_top, temperature_top + TEMPERATURE), (pressure_top, pressure_top + PRESSURE)]
            {
                canvas.hatch((from, top), (to, foot), HATCH)?;
            }
        }
        let panel = |top, tall| Panel { top, foot: top + tall, x: &x };
        draw_temperatures(canvas, &panel(temperature_top, TEMPERATURE), &points, units)?;
        draw_pressure(canvas, &panel(pressure_top, PRESSURE), &points, units)?;
        draw_height(canvas, &panel(height_top, HEIGHT), view, &points, units)?;
        draw_rules(canvas, &rules, |at| x.pixel(at), labels, foot)?;
        for (value, text) in x.axis.ticks() {
            canvas.text(&text, (x.axis.pixel(value), foot + 15), Side::Middle, SMALL, INK)?;
        }
        let words = format!("run from {} to {}, {}", view.from, view.to, x.unit.name);
        let words = shortened(&words, SMALL, WIDTH - 2 * MARGIN);
        canvas.text(&words, (WIDTH / 2, foot + 15 + LABEL_ROW), Side::Middle, SMALL, INK)?;
        for (row, key) in (0..).zip(&keys) {
            key.draw(canvas, foot + 2 * LABEL_ROW + 22 + LABEL_ROW * row)?;
        }
        Ok(())
    })
}

/// Hatch of the stretch that carries vapour.
const HATCH: RGBColor = RGBColor(150, 140, 134);

fn finite(point: &ProfilePointView) -> bool {
    let ProfilePointView {
        position_m,
        height_m,
        pressure_pa: _,
        gauge_pa,
        temperature_c,
        saturation_c,
        quality: _,
    } = *point;
    [position_m, height_m, gauge_pa, temperature_c, saturation_c].iter().all(|value| value.is_finite())
}

/// What the picture shows in one sentence.
fn finding(view: &LineProfileView, units: Units) -> String {
    let subject = format!("{}, {}", view.set, unbroken(&view.tube_name));
    let far = |at_m: f64| format!("{} from the {}", unbroken(length(at_m).first(units)), view.from);
    let enters = view.points.first().is_some_and(|point| point.quality > 0.0);
    let flashes = view.events.iter().find(|event| event.into == PhaseView::TwoPhase);
    let found = if enters {
        format!("liquid leaves the {} with vapour in it", view.from)
    } else if let Some(event) = flashes {
        let again = view
            .events
            .iter()
            .find(|later| later.into == PhaseView::Liquid && later.position_m > event.position_m);
        let again = again.map_or_else(String::new, |later| {
            format!(
                ", liquid again after {}",
                unbroken(length(later.position_m - event.position_m).first(units))
            )
        });
        let rising = if event.rising { " in a rise" } else { "" };
        format!("liquid flashes {}{rising}{again}", far(event.position_m))
    } else if view.least_margin_k <= 0.0 {
        format!("liquid reaches its bubble line {}", far(view.least_margin_at_m))
    } else {
        let margin = unbroken(temperature_difference(view.least_margin_k).first(units));
        let place = place(view).unwrap_or_else(|| far(view.least_margin_at_m));
        format!("liquid stays {margin} below its bubble line, closest {place}")
    };
    format!("{subject} at {}: {found}", view.condition)
}

/// Where the margin is least, as one would say it; nothing where no part or end is there.
fn place(view: &LineProfileView) -> Option<String> {
    let end = view.points.last()?.position_m;
    let near = |at_m: f64| (at_m - view.least_margin_at_m).abs() <= 0.01 * end;
    if let Some(part) = view.parts.iter().find(|part| near(part.position_m)) {
        return Some(format!("at the {}", part.name));
    }
    if near(end) || near(0.0) {
        return Some(format!("at the {}", if near(end) { &view.to } else { &view.from }));
    }
    // A rise or fall shows within a few hundredths of the run at either side.
    let height = |at_m: f64| {
        let pair = view.points.windows(2).find(|pair| pair[1].position_m >= at_m)?;
        Some(between(pair, at_m, |point| point.height_m))
    };
    let (here, reach) = (height(view.least_margin_at_m)?, 0.03 * end);
    let (before, after) =
        (height(view.least_margin_at_m - reach)? - here, height(view.least_margin_at_m + reach)? - here);
    let level = 0.2 * reach;
    match (before, after) {
        (before, after) if after > level && before > -level => Some("at the foot of a rise".into()),
        (before, after) if before < -level && after < level => Some("at the top of a rise".into()),
        (before, after) if after < -level && before < level => Some("at the top of a fall".into()),
        (before, after) if before > level && after > -level => Some("at the foot of a fall".into()),
        _ => None,
    }
}

/// A value at a place between two points.
fn between(pair: &[ProfilePointView], at_m: f64, value: impl Fn(&ProfilePointView) -> f64) -> f64 {
    let (from, to) = (&pair[0], &pair[1]);
    let apart = to.position_m - from.position_m;
    let share = if apart > 0.0 { ((at_m - from.position_m) / apart).clamp(0.0, 1.0) } else { 0.0 };
    value(from) + share * (value(to) - value(from))
}

/// Stretches that carry vapour beside the liquid: from, to.
fn two_phase(view: &LineProfileView, end_m: f64) -> Vec<(f64, f64)> {
    let enters = view.points.first().is_some_and(|point| point.quality > 0.0 && point.quality < 1.0);
    let mut open = enters.then_some(0.0);
    let mut stretches = Vec::new();
    for event in &view.events {
        match (open, event.into) {
            (None, PhaseView::TwoPhase) => open = Some(event.position_m),
            (Some(from), PhaseView::Liquid | PhaseView::Vapour) => {
                stretches.push((from, event.position_m));
                open = None;
            }
            _ => {}
        }
    }
    stretches.extend(open.map(|from| (from, end_m)));
    stretches
}

/// What is drawn across: where it flashes and is liquid again, or where the margin is least.
fn rules(view: &LineProfileView, units: Units) -> Vec<Rule> {
    let events = view.events.iter().map(|event| {
        let (words, colour, dash) = match event.into {
            PhaseView::TwoPhase => ("flashes at", WARM, None),
            PhaseView::Liquid => ("liquid again at", INK, Some((10, 5))),
            PhaseView::Vapour => ("all vapour at", INK, Some((2, 4))),
        };
        let label = format!("{words} {}", length(event.position_m).first(units));
        Rule { label, at: event.position_m, colour, width: 2, dash }
    });
    let mut rules: Vec<Rule> = events.collect();
    if rules.is_empty() && view.points.first().is_some_and(|point| point.quality == 0.0) {
        let margin = temperature_difference(view.least_margin_k);
        let at = length(view.least_margin_at_m);
        let label = format!("least margin {} at {}", margin.first(units), at.first(units));
        rules.push(Rule { label, at: view.least_margin_at_m, colour: INK, width: 2, dash: Some((2, 4)) });
    }
    in_order(rules)
}

/// Words below the picture with a piece of what they name.
enum Key {
    Curve(&'static str, (u32, Dash, RGBColor)),
    Hatch(&'static str),
}

fn keys(view: &LineProfileView) -> Vec<Key> {
    let mut keys = vec![
        Key::Curve("bubble temperature at the local pressure", BUBBLE),
        Key::Curve("temperature of the refrigerant", LIQUID),
    ];
    if !two_phase(view, 0.0).is_empty() {
        keys.push(Key::Hatch("liquid with vapour in it"));
    }
    keys
}

impl Key {
    fn draw(&self, canvas: &Canvas<'_>, y: i32) -> Result<(), ChartError> {
        const SAMPLE: i32 = 50;
        let words = match self {
            Self::Curve(words, (width, dash, colour)) => {
                canvas.line(&[(MARGIN, y), (MARGIN + SAMPLE, y)], *width, *dash, *colour)?;
                words
            }
            Self::Hatch(words) => {
                canvas.hatch((MARGIN, y - 7), (MARGIN + SAMPLE, y + 7), HATCH)?;
                words
            }
        };
        canvas.text(words, (MARGIN + SAMPLE + 12, y), Side::Start, SMALL, INK)
    }
}

/// The axis along the run.
struct Along {
    axis: Axis,
    unit: AxisUnit,
}

impl Along {
    fn pixel(&self, at_m: f64) -> i32 {
        self.axis.pixel(at_m / self.unit.si)
    }
}

/// One plot of the three.
struct Panel<'a> {
    top: i32,
    foot: i32,
    x: &'a Along,
}

impl Panel<'_> {
    /// Rules, ticks and words of the panel.
    fn frame(&self, canvas: &Canvas<'_>, y: &Axis, words: &str) -> Result<(), ChartError> {
        for (value, _) in self.x.axis.ticks() {
            let at = self.x.axis.pixel(value);
            canvas.line(&[(at, self.top), (at, self.foot + 5)], 1, None, FAINT)?;
        }
        for (value, text) in y.ticks() {
            let at = y.pixel(value);
            canvas.line(&[(LEFT - 5, at), (RIGHT, at)], 1, None, FAINT)?;
            canvas.text(&text, (LEFT - 8, at), Side::End, SMALL, INK)?;
        }
        let words = shortened(words, SMALL, WIDTH - 2 * MARGIN);
        canvas.text(&words, (MARGIN, self.top - 15), Side::Start, SMALL, INK)
    }

    fn curve(&self, points: &[ProfilePointView], y: impl Fn(&ProfilePointView) -> i32) -> Vec<(i32, i32)> {
        let pixels: Vec<(i32, i32)> =
            points.iter().map(|point| (self.x.pixel(point.position_m), y(point))).collect();
        smooth(&pixels)
    }
}

fn span(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (least, greatest) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, greatest), value| {
        (least.min(value), greatest.max(value))
    });
    if least <= greatest { (least, greatest) } else { (0.0, 1.0) }
}

fn draw_temperatures(
    canvas: &Canvas<'_>,
    panel: &Panel<'_>,
    points: &[ProfilePointView],
    units: Units,
) -> Result<(), ChartError> {
    let (degrees, degree) = axis_of_temperature(units);
    let (least, greatest) = span(points.iter().flat_map(|point| [point.temperature_c, point.saturation_c]));
    let lacking = (LEAST_SPAN_K - (greatest - least)).max(0.0) / 2.0;
    let axis =
        Axis::between(degrees(least - lacking), degrees(greatest + lacking), [panel.foot, panel.top], 5.0);
    let y = |celsius: f64| axis.pixel(degrees(celsius));

    // The gap between the curves is what is left before the liquid flashes.
    for stretch in points.chunk_by(|one, other| is_below(one) && is_below(other)) {
        let liquid = stretch.iter().map(|point| (panel.x.pixel(point.position_m), y(point.temperature_c)));
        let bubble =
            stretch.iter().rev().map(|point| (panel.x.pixel(point.position_m), y(point.saturation_c)));
        let outline: Vec<(i32, i32)> = liquid.chain(bubble).collect();
        if outline.len() > 3 {
            canvas.polygon(&outline, PALE)?;
        }
    }
    panel.frame(canvas, &axis, &format!("temperature, {degree}"))?;
    for ((width, dash, colour), curve) in [
        (LIQUID, panel.curve(points, |point| y(point.temperature_c))),
        (BUBBLE, panel.curve(points, |point| y(point.saturation_c))),
    ] {
        canvas.line(&curve, width, dash, colour)?;
    }
    Ok(())
}

fn is_below(point: &ProfilePointView) -> bool {
    point.saturation_c > point.temperature_c
}

fn draw_pressure(
    canvas: &Canvas<'_>,
    panel: &Panel<'_>,
    points: &[ProfilePointView],
    units: Units,
) -> Result<(), ChartError> {
    let unit = axis_of_gauge_pressure(units);
    let (least, greatest) = span(points.iter().map(|point| point.gauge_pa / unit.si));
    // A hundredth of the pressure is what a service gauge shows.
    let lacking = (0.01 * greatest.abs() - (greatest - least)).max(0.0) / 2.0;
    let axis = Axis::between(least - lacking, greatest + lacking, [panel.foot, panel.top], 3.0);
    panel.frame(canvas, &axis, &format!("pressure, {}", unit.name))?;
    let curve = panel.curve(points, |point| axis.pixel(point.gauge_pa / unit.si));
    canvas.line(&curve, 3, None, STRONG)
}

fn draw_height(
    canvas: &Canvas<'_>,
    panel: &Panel<'_>,
    view: &LineProfileView,
    points: &[ProfilePointView],
    units: Units,
) -> Result<(), ChartError> {
    let unit = axis_of_length(units);
    let (least, greatest) = span(points.iter().map(|point| point.height_m / unit.si));
    let axis = Axis::around_zero(least.min(0.0), greatest.max(0.0), [panel.foot, panel.top], 3.0);
    panel.frame(canvas, &axis, &format!("height above the {}, {}", view.from, unit.name))?;
    let curve = panel.curve(points, |point| axis.pixel(point.height_m / unit.si));
    canvas.line(&curve, 3, None, INK)?;

    let mut ground =
        Ground::new(Frame { left: LEFT + 2, top: panel.top + 2, right: RIGHT, foot: panel.foot - 2 });
    ground.keep_off_line(&curve);
    let parts = || {
        view.parts.iter().filter_map(|part| {
            let pair = points.windows(2).find(|pair| pair[1].position_m >= part.position_m)?;
            let height_m = between(pair, part.position_m, |point| point.height_m);
            Some((part, (panel.x.pixel(part.position_m), axis.pixel(height_m / unit.si))))
        })
    };
    for (_, at) in parts() {
        canvas.mark(3, at, INK)?;
        ground.keep_off(Frame::around(at, (15, 15)));
    }
    for (part, at) in parts() {
        let name = shortened(&part.name, SMALL, 150);
        // A part without room for its name keeps its mark.
        if let Some(placed) = ground.place(&[at], (1.0, 0.0), (text_width(&name, SMALL), 15)) {
            let Frame { left, top, right, foot } = placed.frame;
            canvas.blank((left, top), (right, foot))?;
            if let Some(leader) = placed.leader {
                canvas.line(&leader, 1, None, INK)?;
            }
            canvas.text(&name, ((left + right) / 2, (top + foot) / 2), Side::Middle, SMALL, INK)?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        chart::looked_at::{leave, text_fits},
        view::{ProfileEventView, ProfilePartView},
    };

    /// A line (invented) that falls from the condenser through legs of length and rise; the bubble temperature follows
    /// the pressure by 1 K per 45 kPa.
    fn profile(
        legs: &[(f64, f64)],
        subcooling_k: f64,
        friction_pa_m: f64,
        heating_k_m: f64,
    ) -> LineProfileView {
        let (mut position_m, mut height_m, mut gauge_pa, mut temperature_c) =
            (0.0, 0.0, 1.90e6, 43.0 - subcooling_k);
        let mut points = Vec::new();
        let mut events = Vec::new();
        let mut least = (f64::INFINITY, 0.0);
        let mut vapour = false;
        for (length_m, rise) in legs {
            for step in 0..=30 {
                if step > 0 {
                    let apart = length_m / 30.0;
                    position_m += apart;
                    height_m += rise * apart;
                    gauge_pa -=
                        friction_pa_m * apart * if vapour { 3.0 } else { 1.0 } + 1000.0 * 9.81 * rise * apart;
                    temperature_c += heating_k_m * apart;
                }
                let saturation_c = 43.0 + (gauge_pa - 1.90e6) / 45e3;
                let boils = temperature_c >= saturation_c;
                if boils != vapour && !points.is_empty() {
                    let into = if boils { PhaseView::TwoPhase } else { PhaseView::Liquid };
                    events.push(ProfileEventView { position_m, into, rising: *rise > 0.0 });
                    vapour = boils;
                }
                if boils {
                    temperature_c = saturation_c;
                }
                if saturation_c - temperature_c < least.0 {
                    least = (saturation_c - temperature_c, position_m);
                }
                points.push(ProfilePointView {
                    position_m,
                    height_m,
                    pressure_pa: gauge_pa + 101_325.0,
                    gauge_pa,
                    temperature_c,
                    saturation_c,
                    quality: if boils { 0.03 } else { 0.0 },
                });
            }
            // A bend.
            gauge_pa -= 1_500.0;
        }
        let part =
            |share: f64, name: &str| ProfilePartView { position_m: share * position_m, name: name.into() };
        LineProfileView {
            set: "ice-room".into(),
            service: "liquid".into(),
            condition: "summer".into(),
            tube_name: "3/8 in OD".into(),
            from: "condenser".into(),
            to: "head".into(),
            parts: vec![
                part(0.02, "ball valve"),
                part(0.9, "filter drier"),
                part(0.93, "sight glass"),
                part(0.98, "ball valve"),
            ],
            points,
            events,
            least_margin_k: least.0,
            least_margin_at_m: least.1,
        }
    }

    const ROOF: [(f64, f64); 5] = [(3.7, 0.0), (1.8, -1.0), (11.6, 0.0), (4.3, -1.0), (2.0, 0.0)];
    const OVER: [(f64, f64); 6] = [(8.0, 0.0), (9.0, 1.0), (14.0, 0.0), (12.0, -1.0), (6.0, 0.0), (1.5, 1.0)];

    fn cases() -> Vec<(&'static str, LineProfileView)> {
        let mut long = profile(&OVER, 4.0, 900.0, 0.005);
        long.set = "blast-freezer, north end of the hall (invented)".into();
        long.condition = "low head".into();
        long.parts[1].name = "filter drier with sight glass and two shut-off valves".into();
        vec![
            ("meets", profile(&ROOF, 4.5, 1_100.0, 0.02)),
            ("flashes", profile(&OVER, 1.5, 1_400.0, 0.0)),
            ("long", long),
            ("flat", profile(&[(20.0, 0.0)], 0.4, 300.0, 0.0)),
            ("enters", profile(&ROOF, 0.0, 1_500.0, 0.0)),
        ]
    }

    #[test]
    fn draw_profiles() {
        for (name, view) in cases() {
            for (units, unit) in [(Units::Us, "us"), (Units::Si, "si")] {
                let svg = line_profile(&view, units).unwrap();
                text_fits(&svg);
                leave(&format!("line-profile-{name}-{unit}"), &svg);
            }
        }
    }

    #[test]
    fn says_how_near_flashing_is_or_where_it_begins() {
        let found = |name: &str| {
            let view = cases().into_iter().find(|case| case.0 == name).unwrap().1;
            finding(&view, Units::Us).replace('\u{a0}', " ")
        };
        assert_eq!(
            found("meets"),
            "ice-room, 3/8 in OD at summer: liquid stays 7.6 °F below its bubble line, closest at the top of a fall"
        );
        assert_eq!(found("flashes"), "");
        assert_eq!(found("flat"), "");
        assert_eq!(
            found("enters"),
            "ice-room, 3/8 in OD at summer: liquid leaves the condenser with vapour in it"
        );
    }

    #[test]
    fn two_phase_stretches_run_between_events() {
        let mut view = profile(&ROOF, 4.5, 1_100.0, 0.0);
        let event = |position_m, into| ProfileEventView { position_m, into, rising: false };
        assert_eq!(two_phase(&view, 20.0), []);
        view.events = vec![
            event(3.0, PhaseView::TwoPhase),
            event(5.0, PhaseView::Liquid),
            event(9.0, PhaseView::TwoPhase),
        ];
        assert_eq!(two_phase(&view, 20.0), [(3.0, 5.0), (9.0, 20.0)]);
        view.points[0].quality = 0.1;
        view.events.remove(0);
        assert_eq!(two_phase(&view, 20.0), [(0.0, 5.0), (9.0, 20.0)]);
    }

    #[test]
    fn names_the_curves_and_the_parts() {
        let svg = line_profile(&cases()[1].1, Units::Si).unwrap();
        for words in [
            "bubble temperature",
            "filter drier",
            "liquid with vapour in it",
            "pressure, kPa gauge",
            "flashes at",
        ] {
            assert!(svg.contains(words), "{words}");
        }
    }

    #[test]
    fn draws_without_points_and_with_numbers_that_are_not_finite() {
        let mut view = cases().remove(0).1;
        view.points[3].temperature_c = f64::NAN;
        assert!(!line_profile(&view, Units::Us).unwrap().contains("NaN"));
        view.points.clear();
        assert!(line_profile(&view, Units::Us).is_ok());
    }
}
