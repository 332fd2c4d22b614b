//! Dew and bubble pressure against temperature, with the glide drawn in.

use super::{
    ChartError,
    axis::Axis,
    canvas::{
        Canvas, Dash, FAINT, INK, LARGE, MARGIN, SMALL, STRONG, Side, WARM, WIDTH, below_title, draw,
        text_width, unbroken, wrap,
    },
    rule::LABEL_ROW,
};
use crate::{
    figure::{AxisUnit, Units, axis_of_gauge_pressure, axis_of_temperature, temperature_difference},
    view::{CardRowView, CardView, GlideView},
};
use plotters::style::RGBColor;

const PLOT: i32 = 330;
/// Points of a curve.
const SMOOTH: usize = 20;
const LEFT: i32 = 58;
const RIGHT: i32 = WIDTH - 20;

/// A curve with its line: full and thick against thin and dashed, so that grey print tells them apart.
struct Curve {
    name: &'static str,
    used_for: &'static str,
    width: u32,
    dash: Dash,
    colour: RGBColor,
    gauge_pa: fn(&CardRowView) -> f64,
}

/// Both curves of a card.
///
/// # Errors
/// [`ChartError`] where the picture can not be drawn.
pub fn pressure_temperature(view: &CardView, units: Units) -> Result<String, ChartError> {
    let title = wrap(&finding(view, units), LARGE, WIDTH - 2 * MARGIN);
    let bubble = Curve {
        name: if view.has_glide { "bubble" } else { "bubble and dew" },
        used_for: if view.has_glide { view.bubble_used_for } else { "superheat and subcooling" },
        width: 4,
        dash: None,
        colour: STRONG,
        gauge_pa: |row| row.bubble_gauge_pa,
    };
    let dew = Curve {
        name: "dew",
        used_for: view.dew_used_for,
        width: 3,
        dash: Some((9, 5)),
        colour: WARM,
        gauge_pa: |row| row.dew_gauge_pa,
    };
    let curves: Vec<Curve> = if view.has_glide { vec![bubble, dew] } else { vec![bubble] };

    let (degrees, degree) = axis_of_temperature(units);
    let pressure = axis_of_gauge_pressure(units);
    let keys: Vec<Vec<String>> = curves
        .iter()
        .map(|curve| wrap(&format!("{}, {}", curve.name, curve.used_for), SMALL, WIDTH - KEY_TEXT - MARGIN))
        .collect();
    let key_rows = i32::try_from(keys.iter().map(Vec::len).sum::<usize>()).unwrap_or(0);
    let top = below_title(title.len()) + LABEL_ROW + 8;
    let foot = top + PLOT;
    let height = foot + 2 * LABEL_ROW + 14 + LABEL_ROW * key_rows + MARGIN;

    let (first, last) = match view.rows.as_slice() {
        [first, .., last] => (degrees(first.temperature_c), degrees(last.temperature_c)),
        [only] => (degrees(only.temperature_c) - 1.0, degrees(only.temperature_c) + 1.0),
        [] => (0.0, 1.0),
    };
    let least = view.rows.iter().map(|row| row.dew_gauge_pa).fold(0.0, f64::min);
    let greatest = view.rows.iter().map(|row| row.bubble_gauge_pa).fold(0.0, f64::max);
    let scale = Scale {
        x: Axis::between(first, last, [LEFT, RIGHT], 6.0),
        y: Axis::down_to(least / pressure.si, greatest / pressure.si, [foot, top], 6.0),
        degrees,
        pressure,
    };

    draw(height, |canvas| {
        canvas.title(&title)?;
        draw_axes(canvas, &scale, top, foot, degree)?;
        for curve in &curves {
            let at = |row: &CardRowView| (scale.x(row.temperature_c), scale.y((curve.gauge_pa)(row)));
            // On whole pixels close points make a rough line.
            let every = view.rows.len().div_ceil(SMOOTH).max(1);
            let points: Vec<(i32, i32)> =
                view.rows.iter().rev().step_by(every).chain(view.rows.first()).map(at).collect();
            canvas.line(&points, curve.width, curve.dash, curve.colour)?;
        }
        if let Some(glide) = middle(view) {
            draw_glide(canvas, &scale, glide, units)?;
        }
        let mut y = foot + 2 * LABEL_ROW + 20;
        for (curve, lines) in curves.iter().zip(&keys) {
            canvas.line(&[(MARGIN, y), (KEY_TEXT - 12, y)], curve.width, curve.dash, curve.colour)?;
            for line in lines {
                canvas.text(line, (KEY_TEXT, y), Side::Start, SMALL, INK)?;
                y += LABEL_ROW;
            }
        }
        Ok(())
    })
}

/// Where the words of a key start, behind its piece of line.
const KEY_TEXT: i32 = MARGIN + 62;

struct Scale {
    x: Axis,
    y: Axis,
    degrees: fn(f64) -> f64,
    pressure: AxisUnit,
}

impl Scale {
    fn x(&self, temperature_c: f64) -> i32 {
        self.x.pixel((self.degrees)(temperature_c))
    }

    fn y(&self, gauge_pa: f64) -> i32 {
        self.y.pixel(gauge_pa / self.pressure.si)
    }
}

fn finding(view: &CardView, units: Units) -> String {
    let name = unbroken(&view.refrigerant);
    match view.glide_k.filter(|_| view.has_glide) {
        Some([least, greatest]) => {
            let [least, greatest] = [least, greatest].map(temperature_difference);
            let least_number = least.first(units).split(' ').next().unwrap_or_default().to_owned();
            let greatest = unbroken(greatest.first(units));
            let span = if least.first(units).replace(' ', "\u{a0}") == greatest {
                greatest
            } else {
                format!("{least_number} to {greatest}")
            };
            format!("{name}: at one pressure dew lies {span} above bubble")
        }
        None if view.has_glide => format!("{name}: dew and bubble have different pressures"),
        None => format!("{name}: dew and bubble are one curve"),
    }
}

/// The glide at about two thirds of the pressures, where the curves part visibly.
fn middle(view: &CardView) -> Option<&GlideView> {
    let greatest = view.rows.last()?.bubble_gauge_pa;
    let apart = |glide: &GlideView| (glide.gauge_pa - 0.6 * greatest).abs();
    let hottest = view.rows.last()?.temperature_c;
    let shown = view.glides.iter().filter(|glide| view.has_glide && glide.dew_c <= hottest);
    shown.min_by(|one, other| apart(one).total_cmp(&apart(other)))
}

/// A line from bubble to dew with its words at the left, where no curve runs.
fn draw_glide(canvas: &Canvas<'_>, scale: &Scale, glide: &GlideView, units: Units) -> Result<(), ChartError> {
    let y = scale.y(glide.gauge_pa);
    let (bubble, dew) = (scale.x(glide.bubble_c), scale.x(glide.dew_c));
    canvas.line(&[(bubble, y), (dew, y)], 2, None, INK)?;
    for end in [bubble, dew] {
        canvas.line(&[(end, y - 6), (end, y + 6)], 2, None, INK)?;
    }
    let text = format!("glide {}", temperature_difference(glide.dew_c - glide.bubble_c).first(units));
    let start = (bubble - 12 - text_width(&text, SMALL)).max(LEFT + 4);
    canvas.blank((start - 3, y - 10), (start + text_width(&text, SMALL), y + 10))?;
    canvas.text(&text, (start, y), Side::Start, SMALL, INK)
}

fn draw_axes(
    canvas: &Canvas<'_>,
    scale: &Scale,
    top: i32,
    foot: i32,
    degree: &str,
) -> Result<(), ChartError> {
    canvas.uprights(&scale.x, top, foot)?;
    for (value, text) in scale.y.ticks() {
        let at = scale.y.pixel(value);
        // Below the atmosphere starts another scale on a gauge.
        let (width, colour) = if value == 0.0 { (2, INK) } else { (1, FAINT) };
        canvas.line(&[(LEFT - 5, at), (RIGHT, at)], width, None, colour)?;
        canvas.text(&text, (LEFT - 8, at), Side::End, SMALL, INK)?;
    }
    let temperature = format!("saturation temperature, {degree}");
    canvas.text(&temperature, ((LEFT + RIGHT) / 2, foot + 15 + LABEL_ROW), Side::Middle, SMALL, INK)?;
    let vacuum = if scale.y.holds(-1e-9) { " (below 0: vacuum)" } else { "" };
    let pressure = format!("pressure, {}{vacuum}", scale.pressure.name);
    canvas.text(&pressure, (MARGIN, top - 19), Side::Start, SMALL, INK)
}
