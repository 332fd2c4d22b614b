//! A sheet to draw on: shapes, dashes and text in the palette of all charts.

use super::{ChartError, axis::Axis};
use plotters::{
    element::{Circle, DashedPathElement, PathElement, Polygon, Rectangle, Text},
    prelude::{DrawingArea, IntoDrawingArea, SVGBackend},
    style::{
        Color, FontStyle, RGBColor, ShapeStyle, TextStyle,
        text_anchor::{HPos, Pos, VPos},
    },
};

/// Width of every chart: narrow enough that a phone shows its text at a readable size.
pub(super) const WIDTH: i32 = 480;
/// The smallest text of any chart; shown on a screen 360 pixels wide it is still 11 pixels high.
pub(super) const SMALL: i32 = 15;
/// Text of titles.
pub(super) const LARGE: i32 = 19;

/// Colours by lightness first, so that grey print keeps them apart.
pub(super) const INK: RGBColor = RGBColor(28, 32, 38);
/// Thin rules and ticks.
pub(super) const FAINT: RGBColor = RGBColor(196, 200, 205);
/// The tube taken, this run.
pub(super) const STRONG: RGBColor = RGBColor(16, 78, 110);
/// Other tubes.
pub(super) const PALE: RGBColor = RGBColor(176, 205, 214);
/// Limits that must not be passed.
pub(super) const WARM: RGBColor = RGBColor(166, 62, 24);
/// The ground.
pub(super) const PAPER: RGBColor = RGBColor(255, 255, 255);

/// Where text stands against its point.
#[derive(Clone, Copy)]
pub(super) enum Side {
    /// Starts at the point.
    Start,
    /// Has the point in its middle.
    Middle,
    /// Ends at the point.
    End,
}

/// A polyline's dashes: drawn and blank pixels; none for a full line.
pub(super) type Dash = Option<(i32, i32)>;

pub(super) struct Canvas<'a> {
    area: DrawingArea<SVGBackend<'a>, plotters::coord::Shift>,
}

type Drawn = Result<(), ChartError>;

fn refused<E: std::error::Error + Send + Sync>(
    error: plotters::drawing::DrawingAreaErrorKind<E>,
) -> ChartError {
    ChartError::Drawing(error.to_string())
}

/// Draws on a white sheet of the given height and returns the SVG.
pub(super) fn draw(height: i32, paint: impl FnOnce(&Canvas<'_>) -> Drawn) -> Result<String, ChartError> {
    let mut svg = String::new();
    {
        let size = (WIDTH.unsigned_abs(), height.unsigned_abs());
        let area = SVGBackend::with_string(&mut svg, size).into_drawing_area();
        area.fill(&PAPER).map_err(refused)?;
        let canvas = Canvas { area };
        paint(&canvas)?;
        canvas.area.present().map_err(refused)?;
    }
    Ok(svg)
}

impl Canvas<'_> {
    pub(super) fn text(&self, text: &str, at: (i32, i32), side: Side, size: i32, colour: RGBColor) -> Drawn {
        self.styled_text(text, at, side, size, colour, FontStyle::Normal)
    }

    pub(super) fn bold(&self, text: &str, at: (i32, i32), side: Side, size: i32, colour: RGBColor) -> Drawn {
        self.styled_text(text, at, side, size, colour, FontStyle::Bold)
    }

    fn styled_text(
        &self,
        text: &str,
        at: (i32, i32),
        side: Side,
        size: i32,
        colour: RGBColor,
        weight: FontStyle,
    ) -> Drawn {
        let h_pos = match side {
            Side::Start => HPos::Left,
            Side::Middle => HPos::Center,
            Side::End => HPos::Right,
        };
        // The backend divides sizes by 1.24 on writing; undone here so that `size` is what the SVG says.
        let style = TextStyle::from(("sans-serif", f64::from(size) * 1.24, weight))
            .color(&colour)
            .pos(Pos::new(h_pos, VPos::Center));
        self.area.draw(&Text::new(text.to_owned(), at, style)).map_err(refused)
    }

    pub(super) fn line(&self, points: &[(i32, i32)], width: u32, dash: Dash, colour: RGBColor) -> Drawn {
        let style = ShapeStyle { color: colour.to_rgba(), filled: false, stroke_width: width };
        match dash {
            None => self.area.draw(&PathElement::new(points.to_vec(), style)).map_err(refused),
            Some((drawn, blank)) => {
                self.area.draw(&DashedPathElement::new(points.to_vec(), drawn, blank, style)).map_err(refused)
            }
        }
    }

    /// Thin upright rules at the ticks of an axis, from `top` to a little below `foot`, with their texts.
    pub(super) fn uprights(&self, axis: &Axis, top: i32, foot: i32) -> Drawn {
        for (value, text) in axis.ticks() {
            let at = axis.pixel(value);
            self.line(&[(at, top), (at, foot + 5)], 1, None, FAINT)?;
            self.text(&text, (at, foot + 15), Side::Middle, SMALL, INK)?;
        }
        Ok(())
    }

    /// Thin level rules at the ticks of an axis, from a little left of `left` to `right`, with their texts.
    pub(super) fn levels(&self, axis: &Axis, left: i32, right: i32) -> Drawn {
        for (value, text) in axis.ticks() {
            let at = axis.pixel(value);
            self.line(&[(left - 5, at), (right, at)], 1, None, FAINT)?;
            self.text(&text, (left - 8, at), Side::End, SMALL, INK)?;
        }
        Ok(())
    }

    /// Words on white ground, so that rules and grid lines end at them.
    pub(super) fn words_on_white(&self, text: &str, at: (i32, i32), side: Side, colour: RGBColor) -> Drawn {
        let width = text_width(text, SMALL);
        let left = match side {
            Side::Start => at.0,
            Side::Middle => at.0 - width / 2,
            Side::End => at.0 - width,
        };
        self.blank((left - 2, at.1 - 9), (left + width + 2, at.1 + 9))?;
        self.text(text, at, side, SMALL, colour)
    }

    pub(super) fn bar(&self, from: (i32, i32), to: (i32, i32), fill: RGBColor) -> Drawn {
        self.area.draw(&Rectangle::new([from, to], fill.filled())).map_err(refused)?;
        let edge = ShapeStyle { color: STRONG.to_rgba(), filled: false, stroke_width: 1 };
        self.area.draw(&Rectangle::new([from, to], edge)).map_err(refused)
    }

    /// White ground under text that crosses a rule.
    pub(super) fn blank(&self, from: (i32, i32), to: (i32, i32)) -> Drawn {
        self.patch(from, to, PAPER)
    }

    /// A plain area without an edge.
    pub(super) fn patch(&self, from: (i32, i32), to: (i32, i32), fill: RGBColor) -> Drawn {
        self.area.draw(&Rectangle::new([from, to], fill.filled())).map_err(refused)
    }

    /// Slanted thin lines across an area: reads in grey where a pale colour would not.
    pub(super) fn hatch(&self, from: (i32, i32), to: (i32, i32), colour: RGBColor) -> Drawn {
        const APART: i32 = 9;
        let ((left, top), (right, foot)) = (from, to);
        let height = foot - top;
        // Each line rises to the right at 45 degrees and starts at the foot, or at the left edge.
        let mut start = left - height + APART / 2;
        while start < right {
            let low = start.max(left);
            let high = (start + height).min(right);
            self.line(&[(low, foot - (low - start)), (high, foot - (high - start))], 1, None, colour)?;
            start += APART;
        }
        Ok(())
    }

    /// The mark of series `index`: circle, square, triangle, diamond, and again.
    pub(super) fn mark(&self, index: usize, (x, y): (i32, i32), fill: RGBColor) -> Drawn {
        const R: i32 = 5;
        match index % 4 {
            0 => self.area.draw(&Circle::new((x, y), R, fill.filled())).map_err(refused),
            1 => self
                .area
                .draw(&Rectangle::new([(x - R, y - R), (x + R, y + R)], fill.filled()))
                .map_err(refused),
            2 => self.polygon(&[(x, y - R - 1), (x + R + 1, y + R), (x - R - 1, y + R)], fill),
            _ => self.polygon(&[(x, y - R - 2), (x + R + 2, y), (x, y + R + 2), (x - R - 2, y)], fill),
        }
    }

    pub(super) fn polygon(&self, points: &[(i32, i32)], fill: RGBColor) -> Drawn {
        self.area.draw(&Polygon::new(points.to_vec(), fill.filled())).map_err(refused)
    }

    /// The title on as many lines as it needs, from the top edge; gives the pixel below it.
    pub(super) fn title(&self, lines: &[String]) -> Result<i32, ChartError> {
        for (row, line) in lines.iter().enumerate() {
            self.bold(line, (MARGIN, title_row(row)), Side::Start, LARGE, INK)?;
        }
        Ok(title_row(lines.len()))
    }
}

/// The points of a curve that matter to the eye: whole pixels close together would make it rough.
pub(super) fn smooth(points: &[(i32, i32)]) -> Vec<(i32, i32)> {
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return Vec::new() };
    let off = |at: &(i32, i32)| {
        let along = (f64::from(last.0 - first.0), f64::from(last.1 - first.1));
        let apart = (f64::from(at.0 - first.0), f64::from(at.1 - first.1));
        let length = along.0.hypot(along.1);
        if length > 0.0 {
            (along.0 * apart.1 - along.1 * apart.0).abs() / length
        } else {
            apart.0.hypot(apart.1)
        }
    };
    let inner = points.iter().enumerate().skip(1).take(points.len().saturating_sub(2));
    let farthest = inner.map(|(index, at)| (index, off(at))).max_by(|one, other| one.1.total_cmp(&other.1));
    match farthest {
        // Rounding moves a point by up to 0.7 pixels, and the ends of its stretch as far.
        Some((index, apart)) if apart > 1.5 => {
            let mut kept = smooth(&points[..=index]);
            kept.pop();
            kept.extend(smooth(&points[index..]));
            kept
        }
        _ if first == last => vec![*first],
        _ => vec![*first, *last],
    }
}

/// Free space at the edges.
pub(super) const MARGIN: i32 = 12;

fn title_row(row: usize) -> i32 {
    24 + 24 * i32::try_from(row).unwrap_or(0)
}

/// Pixel below a title of that many lines.
pub(super) fn below_title(lines: usize) -> i32 {
    title_row(lines)
}

/// Width that a text takes at most in a plain sans-serif: digits and small letters are about half as wide as high.
pub(super) fn text_width(text: &str, size: i32) -> i32 {
    (text.chars().count() as f64 * f64::from(size) * 0.56).ceil() as i32
}

/// Breaks a text into lines that fit `room` pixels at `size`.
pub(super) fn wrap(text: &str, size: i32, room: i32) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split([' ', '\n', '\t']).filter(|word| !word.is_empty()) {
        match lines.last_mut() {
            Some(line) if text_width(&format!("{line} {word}"), size) <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// A title broken into lines; bold letters of a wide sans-serif take more room than plain ones.
pub(super) fn title_lines(title: &str) -> Vec<String> {
    const BOLD: i32 = 28;
    wrap(title, LARGE, WIDTH - 2 * MARGIN - BOLD)
}

/// A name that [`wrap`] keeps on one line.
pub(super) fn unbroken(name: &str) -> String {
    name.replace(' ', "\u{a0}")
}

/// Cuts nothing but long names of a label: what does not fit ends with three dots.
pub(super) fn shortened(text: &str, size: i32, room: i32) -> String {
    if text_width(text, size) <= room {
        return text.to_owned();
    }
    let fits = (f64::from(room) / (f64::from(size) * 0.56)).floor() as usize;
    let kept: String = text.chars().take(fits.saturating_sub(2)).collect();
    format!("{}...", kept.trim_end())
}
