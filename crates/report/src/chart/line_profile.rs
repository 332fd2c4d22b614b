//! Chart 3: temperature, pressure and height along the liquid line, with its bubble line: where it comes nearest to
//! flashing, or flashes.

use super::{
    ChartError,
    axis::Axis,
    canvas::{
        Canvas, Dash, FAINT, INK, LARGE, MARGIN, PALE, SMALL, STRONG, Side, WARM, WIDTH, below_title, draw,
        shortened, smooth, text_width, unbroken, wrap,
    },
    labels::{Frame, Ground, Named, Placed},
    rule::{self, LABEL_ROW, Rule, draw_rules, in_order},
};
use crate::{
    figure::{
        AxisUnit, Units, axis_of_gauge_pressure, axis_of_length, axis_of_temperature, length,
        temperature_difference,
    },
    view::{LineProfileView, PhaseView, ProfilePartView, ProfilePointView},
};
use plotters::style::RGBColor;

const LEFT: i32 = 58;
const RIGHT: i32 = WIDTH - 20;
/// Heights of the three plots, and of the words above each.
const TEMPERATURE: i32 = 200;
const PRESSURE: i32 = 100;
const HEIGHT: i32 = 130;
const WORDS: i32 = 38;
/// Least span of the temperatures drawn, K: a narrower one would blow up what no thermometer reads.
const LEAST_SPAN_K: f64 = 3.0;

/// Width, dashes, colour.
type Look = (u32, Dash, RGBColor);

/// The two curves: full and thick against thin and dashed, so that grey print tells them apart.
const LIQUID: Look = (4, None, STRONG);
const BUBBLE: Look = (3, Some((9, 5)), WARM);

/// Temperature with the bubble temperature at the local pressure, pressure, and height, along one line.
///
/// # Errors
/// [`ChartError`] where the picture can not be drawn.
pub fn line_profile(view: &LineProfileView, units: Units) -> Result<String, ChartError> {
    let title = wrap(&finding(view, units), LARGE, WIDTH - 2 * MARGIN);
    let rules = rules(view, units);
    let labels = below_title(title.len());
    let top = labels + rule::height(&rules);
    let points: Vec<ProfilePointView> = view.points.iter().copied().filter(finite).collect();
    let end = points.last().map_or(0.0, |point| point.position_m);
    let run = axis_of_length(units);
    let x = Along { axis: Axis::exactly(0.0, end / run.si, [LEFT, RIGHT], 5.0), unit: run };

    let temperature = temperature_panel(&points, top + WORDS, units);
    let pressure = pressure_panel(&points, temperature.foot + WORDS, units);
    let height = height_panel(&points, &view.from, pressure.foot + WORDS, units);
    let foot = height.foot;
    let parts = Parts::of(view, &points, &height, &x, &rules);
    let keys = keys(view, &parts, units);
    let rows = i32::try_from(keys.len()).unwrap_or(0);
    let sheet = foot + 2 * LABEL_ROW + 16 + LABEL_ROW * rows + MARGIN;

    draw(sheet, |canvas| {
        canvas.title(&title)?;
        for panel in [&temperature, &pressure, &height] {
            for (from, to) in two_phase(view, end) {
                canvas.hatch((x.pixel(from), panel.top), (x.pixel(to), panel.foot), HATCH)?;
            }
        }
        shade_margin(canvas, &temperature, &x, &points)?;
        for panel in [&temperature, &pressure, &height] {
            panel.draw_grid(canvas, &x)?;
        }
        draw_rules(canvas, &rules, |at| x.pixel(at), labels, foot)?;
        // Over the rules, so that none strikes through a curve or through words.
        for panel in [&temperature, &pressure, &height] {
            panel.draw_words(canvas)?;
            for curve in &panel.curves {
                let (width, dash, colour) = curve.look;
                canvas.line(&panel.pixels(&x, &points, curve.value), width, dash, colour)?;
            }
        }
        parts.draw(canvas)?;
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
    } else if view.least_margin_k <= 0.0 && view.least_margin_at_m <= 0.0 {
        format!("liquid leaves the {} at its bubble line and stays liquid", view.from)
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
    Curve(&'static str, Look),
    Hatch(&'static str),
    Words(String),
}

fn keys(view: &LineProfileView, parts: &Parts, units: Units) -> Vec<Key> {
    let mut keys = vec![
        Key::Curve("bubble temperature at the local pressure", BUBBLE),
        Key::Curve("temperature of the refrigerant", LIQUID),
    ];
    if !two_phase(view, 0.0).is_empty() {
        keys.push(Key::Hatch("liquid with vapour in it"));
    }
    let parts: Vec<String> = parts
        .marked
        .iter()
        .map(|part| {
            let at = length(part.position_m);
            format!("{}\u{a0}{} at\u{a0}{}", part.letter, part.name, unbroken(at.first(units)))
        })
        .collect();
    keys.extend(wrap(&parts.join(", "), SMALL, WIDTH - 2 * MARGIN).into_iter().map(Key::Words));
    keys
}

impl Key {
    fn draw(&self, canvas: &Canvas<'_>, y: i32) -> Result<(), ChartError> {
        const SAMPLE: i32 = 50;
        let words: &str = match self {
            Self::Curve(words, (width, dash, colour)) => {
                canvas.line(&[(MARGIN, y), (MARGIN + SAMPLE, y)], *width, *dash, *colour)?;
                words
            }
            Self::Hatch(words) => {
                canvas.hatch((MARGIN, y - 7), (MARGIN + SAMPLE, y + 7), HATCH)?;
                words
            }
            Self::Words(words) => return canvas.text(words, (MARGIN, y), Side::Start, SMALL, INK),
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

/// A curve of a panel.
struct Curve {
    value: fn(&ProfilePointView) -> f64,
    look: Look,
}

/// One plot of the three.
struct Panel {
    top: i32,
    foot: i32,
    axis: Axis,
    /// Number on the axis of a value in SI.
    number: Box<dyn Fn(f64) -> f64>,
    words: String,
    curves: Vec<Curve>,
}

impl Panel {
    fn y(&self, value: f64) -> i32 {
        self.axis.pixel((self.number)(value))
    }

    fn pixels(
        &self,
        x: &Along,
        points: &[ProfilePointView],
        value: fn(&ProfilePointView) -> f64,
    ) -> Vec<(i32, i32)> {
        let pixels: Vec<(i32, i32)> =
            points.iter().map(|point| (x.pixel(point.position_m), self.y(value(point)))).collect();
        smooth(&pixels)
    }

    fn draw_grid(&self, canvas: &Canvas<'_>, x: &Along) -> Result<(), ChartError> {
        for (value, _) in x.axis.ticks() {
            let at = x.axis.pixel(value);
            canvas.line(&[(at, self.top), (at, self.foot + 5)], 1, None, FAINT)?;
        }
        canvas.levels(&self.axis, LEFT, RIGHT)
    }

    fn draw_words(&self, canvas: &Canvas<'_>) -> Result<(), ChartError> {
        let (words, y) = (shortened(&self.words, SMALL, WIDTH - 2 * MARGIN), self.top - 17);
        canvas.blank((MARGIN, y - 9), (MARGIN + text_width(&words, SMALL) + 6, y + 8))?;
        canvas.text(&words, (MARGIN, y), Side::Start, SMALL, INK)
    }
}

fn span(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (least, greatest) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, greatest), value| {
        (least.min(value), greatest.max(value))
    });
    if least <= greatest { (least, greatest) } else { (0.0, 1.0) }
}

/// A span of at least so much, about the same middle.
fn widened((least, greatest): (f64, f64), to: f64) -> (f64, f64) {
    let lacking = (to - (greatest - least)).max(0.0) / 2.0;
    (least - lacking, greatest + lacking)
}

fn temperature_panel(points: &[ProfilePointView], top: i32, units: Units) -> Panel {
    let (degrees, degree) = axis_of_temperature(units);
    let all = span(points.iter().flat_map(|point| [point.temperature_c, point.saturation_c]));
    let (least, greatest) = widened(all, LEAST_SPAN_K);
    let foot = top + TEMPERATURE;
    Panel {
        top,
        foot,
        axis: Axis::between(degrees(least), degrees(greatest), [foot, top], 5.0),
        number: Box::new(degrees),
        words: format!("temperature, {degree}"),
        curves: vec![
            Curve { value: |point| point.temperature_c, look: LIQUID },
            Curve { value: |point| point.saturation_c, look: BUBBLE },
        ],
    }
}

fn pressure_panel(points: &[ProfilePointView], top: i32, units: Units) -> Panel {
    let unit = axis_of_gauge_pressure(units);
    let all = span(points.iter().map(|point| point.gauge_pa / unit.si));
    // A hundredth of the pressure is what a service gauge shows.
    let (least, greatest) = widened(all, 0.01 * all.1.abs());
    let foot = top + PRESSURE;
    Panel {
        top,
        foot,
        axis: Axis::between(least, greatest, [foot, top], 3.0),
        words: format!("pressure, {}", unit.name),
        number: Box::new(move |gauge_pa| gauge_pa / unit.si),
        curves: vec![Curve { value: |point| point.gauge_pa, look: (3, None, STRONG) }],
    }
}

fn height_panel(points: &[ProfilePointView], from: &str, top: i32, units: Units) -> Panel {
    let unit = axis_of_length(units);
    let (least, greatest) = span(points.iter().map(|point| point.height_m / unit.si));
    let foot = top + HEIGHT;
    Panel {
        top,
        foot,
        // A level line stands in the middle.
        axis: Axis::between(least.min(-1.0), greatest.max(1.0), [foot, top], 4.0),
        words: format!("height above the {from}, {}", unit.name),
        number: Box::new(move |height_m| height_m / unit.si),
        curves: vec![Curve { value: |point| point.height_m, look: (3, None, INK) }],
    }
}

/// The gap between the curves is what is left before the liquid flashes.
fn shade_margin(
    canvas: &Canvas<'_>,
    panel: &Panel,
    x: &Along,
    points: &[ProfilePointView],
) -> Result<(), ChartError> {
    // A stretch may start or end on the bubble line itself.
    let is_below = |point: &ProfilePointView| point.saturation_c >= point.temperature_c;
    for stretch in points.chunk_by(|one, other| is_below(one) && is_below(other)) {
        let liquid = stretch.iter().map(|point| (x.pixel(point.position_m), panel.y(point.temperature_c)));
        let bubble =
            stretch.iter().rev().map(|point| (x.pixel(point.position_m), panel.y(point.saturation_c)));
        let outline: Vec<(i32, i32)> = liquid.chain(bubble).collect();
        if outline.len() > 3 && stretch.iter().any(|point| point.saturation_c > point.temperature_c) {
            canvas.polygon(&outline, PALE)?;
        }
    }
    Ok(())
}

/// A part with its mark and the letter that stands for it.
struct Marked {
    letter: char,
    name: String,
    position_m: f64,
    at: (i32, i32),
    /// Where marks crowd, a letter may find no room; the letters about it and the order of the words tell which it is.
    placed: Option<Placed>,
}

/// The parts of the line on its height. They crowd before the head: letters stand for them, and the words are below.
struct Parts {
    marked: Vec<Marked>,
}

impl Parts {
    fn of(
        view: &LineProfileView,
        points: &[ProfilePointView],
        panel: &Panel,
        x: &Along,
        rules: &[Rule],
    ) -> Self {
        let sheet = Frame { left: LEFT + 2, top: panel.top - 6, right: WIDTH - 4, foot: panel.foot - 2 };
        let mut ground = Ground::new(sheet);
        ground.keep_off_line(&panel.pixels(x, points, |point| point.height_m));
        for rule in rules {
            ground.keep_off_line(&[(x.pixel(rule.at), panel.top), (x.pixel(rule.at), panel.foot)]);
        }
        let place = |(part, letter): (&ProfilePartView, char)| {
            let pair = points.windows(2).find(|pair| pair[1].position_m >= part.position_m)?;
            let height_m = between(pair, part.position_m, |point| point.height_m);
            let at = (x.pixel(part.position_m), panel.y(height_m));
            let (name, position_m) = (part.name.clone(), part.position_m);
            Some(Marked { letter, name, position_m, at, placed: None })
        };
        let mut marked: Vec<Marked> = view.parts.iter().zip('a'..='z').filter_map(place).collect();
        for part in &marked {
            ground.keep_off(Frame::around(part.at, (11, 11)));
        }
        for part in &mut marked {
            let named = Named { points: &[part.at], along: (1.0, 0.0), reach: 7 };
            part.placed = ground.place(&named, (11, 13));
        }
        Self { marked }
    }

    fn draw(&self, canvas: &Canvas<'_>) -> Result<(), ChartError> {
        for leader in self.marked.iter().filter_map(|part| part.placed?.leader) {
            canvas.line(&leader, 1, None, INK)?;
        }
        for part in &self.marked {
            canvas.mark(3, part.at, INK)?;
            if let Some(Placed { frame: Frame { left, top, right, foot }, .. }) = part.placed {
                canvas.blank((left, top), (right, foot))?;
                let at = ((left + right) / 2, (top + foot) / 2 - 1);
                canvas.bold(&part.letter.to_string(), at, Side::Middle, SMALL, INK)?;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        chart::looked_at::{leave, text_fits},
        view::ProfileEventView,
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
        let mut vapour = subcooling_k <= 0.0;
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
                leave(&format!("line-profile-{name}-{unit}"), &svg);
                text_fits(&svg);
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
            "ice-room, 3/8 in OD at summer: liquid stays 7.3 °F below its bubble line, closest at the top of a fall"
        );
        assert_eq!(
            found("flashes"),
            "ice-room, 3/8 in OD at summer: liquid flashes 43 ft from the condenser in a rise, liquid again after 60 ft"
        );
        assert_eq!(
            found("flat"),
            "ice-room, 3/8 in OD at summer: liquid stays 0.5 °F below its bubble line, closest at the head"
        );
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
        let svg = line_profile(&cases()[1].1, Units::Si).unwrap().replace('\u{a0}', " ");
        for words in [
            "bubble temperature",
            "b filter drier at",
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
