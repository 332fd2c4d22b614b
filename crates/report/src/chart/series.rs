//! Curves of several tubes in one picture: told apart by dashes and marks beside colour, the one that counts drawn full.

use super::{
    ChartError,
    canvas::{Canvas, Dash, INK, MARGIN, SMALL, STRONG, Side, WIDTH, shortened, text_width},
};
use plotters::style::RGBColor;

/// Dashes and marks beside colour tell curves apart in grey; the one that counts has the full, thick line.
const OTHERS: [(Dash, RGBColor); 4] = [
    (Some((10, 5)), RGBColor(120, 70, 20)),
    (Some((3, 4)), RGBColor(70, 110, 60)),
    (Some((14, 4)), RGBColor(110, 110, 118)),
    (Some((6, 8)), RGBColor(128, 60, 110)),
];

/// Line of curve `index`: width, dashes, colour.
pub(super) fn look(index: usize, counts: bool) -> (u32, Dash, RGBColor) {
    let (dash, colour) = OTHERS[index % OTHERS.len()];
    if counts { (4, None, STRONG) } else { (2, dash, colour) }
}

/// A sample of curve `index` with its name; `why` says, of the one that counts, why it does, and is never cut.
pub(super) fn draw_key(
    canvas: &Canvas<'_>,
    index: usize,
    name: &str,
    why: Option<&str>,
    y: i32,
) -> Result<(), ChartError> {
    const SAMPLE: i32 = 44;
    let (width, dash, colour) = look(index, why.is_some());
    canvas.line(&[(MARGIN, y), (MARGIN + SAMPLE, y)], width, dash, colour)?;
    canvas.mark(index, (MARGIN + SAMPLE, y), colour)?;
    let start = MARGIN + SAMPLE + 14;
    let why_words = why.unwrap_or_default();
    let room = WIDTH - start - 4 - text_width(why_words, SMALL);
    let text = format!("{}{why_words}", shortened(name, SMALL, room));
    if why.is_some() {
        canvas.bold(&text, (start, y), Side::Start, SMALL, INK)
    } else {
        canvas.text(&text, (start, y), Side::Start, SMALL, INK)
    }
}

/// Whether a point can be drawn.
pub(super) fn finite(point: &[f64; 2]) -> bool {
    point.iter().all(|value| value.is_finite())
}
