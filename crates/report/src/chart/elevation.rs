//! The condensers of a layout seen from the side that their air leaves by, drawn to scale.

use super::{
    ChartError,
    canvas::{Canvas, FAINT, INK, LARGE, MARGIN, PALE, SMALL, Side, WARM, WIDTH, text_width, wrap},
    rule::LABEL_ROW,
};
use crate::{
    figure::{Units, axis_of_length, celsius, percent, saturation_temperature},
    view::{CompareView, CondenserView, DrawView, LayoutView, PlaceView},
};

/// Most room of the sketch, without the words below it.
const SKETCH: i32 = 250;
/// Between a unit and the path of the air that another draws from it.
const PATH: i32 = 22;
/// Between the paths of two draws.
const PATHS_APART: i32 = 20;
/// Room kept for paths and their shares beside the units.
const BESIDE: i32 = 90;
/// From the roof down to the middle of the scale bar.
const SCALE_BAR: i32 = 26;
/// A single small unit is not blown up further than this.
const MOST_PIXELS_PER_METRE: f64 = 120.0;

/// A unit on the sheet.
#[derive(Clone, Copy)]
struct Housing {
    left: i32,
    top: i32,
    right: i32,
    foot: i32,
}

impl Housing {
    fn middle(self) -> (i32, i32) {
        ((self.left + self.right) / 2, (self.top + self.foot) / 2)
    }
}

/// The sketch with the words below it.
pub(super) struct Elevation {
    housings: Vec<Housing>,
    sketch: i32,
    pixels_per_metre: f64,
    words: Vec<(bool, String)>,
}

impl Elevation {
    pub(super) fn of(view: &CompareView, layout: &LayoutView, units: Units) -> Self {
        let places: Option<Vec<PlaceView>> = layout.condensers.iter().map(|it| it.place).collect();
        let places = places.filter(|places| !places.is_empty() && places.iter().all(drawable));
        let mut words = Vec::new();
        for (index, condenser) in layout.condensers.iter().enumerate() {
            let rows = condenser_words(view, layout, condenser, units);
            let named = format!("{} {}: {}", index + 1, condenser.name, rows[0]);
            words.extend(wrap(&named, SMALL, WIDTH - 2 * MARGIN).into_iter().map(|row| (true, row)));
            words.extend(wrap(&rows[1], SMALL, WIDTH - 2 * MARGIN).into_iter().map(|row| (false, row)));
        }
        let note = if places.is_some() {
            "Seen from the side that the air leaves by; to scale."
        } else {
            "No sketch: key outline of a condenser not stated."
        };
        words.push((false, note.into()));
        let places = places.unwrap_or_default();
        let left_m = places.iter().map(|place| place.left_m).fold(f64::INFINITY, f64::min);
        let right_m = places.iter().map(|place| place.left_m + place.width_m).fold(0.0, f64::max);
        let top_m = places.iter().map(|place| place.bottom_m + place.height_m).fold(0.0, f64::max);
        let draws = i32::try_from(layout.draws.len()).unwrap_or(0);
        let over_tops = if above_each_other(&places) { 0 } else { draws };
        let above = if over_tops > 0 || layout.condensers.iter().any(|it| it.blows_up) {
            PATH + PATHS_APART * over_tops
        } else {
            10
        };
        let room = (f64::from(WIDTH - 2 * BESIDE), f64::from(SKETCH - above - SCALE_BAR));
        let pixels_per_metre = (room.0 / (right_m - left_m)).min(room.1 / top_m).min(MOST_PIXELS_PER_METRE);
        let middle_m = f64::midpoint(left_m, right_m);
        let x = |at_m: f64| WIDTH / 2 + (pixels_per_metre * (at_m - middle_m)).round() as i32;
        let y = |up_m: f64| SKETCH - SCALE_BAR - (pixels_per_metre * up_m).round() as i32;
        // Free room above all that is drawn is left out.
        let spare = if places.is_empty() { SKETCH } else { (y(top_m) - above).max(0) };
        let sketch = SKETCH - spare;
        let y = |up_m: f64| y(up_m) - spare;
        let housings = places.iter().map(|place| Housing {
            left: x(place.left_m),
            right: x(place.left_m + place.width_m),
            top: y(place.bottom_m + place.height_m),
            foot: y(place.bottom_m),
        });
        Self { housings: housings.collect(), sketch, pixels_per_metre, words }
    }

    pub(super) fn height(&self) -> i32 {
        self.sketch + LABEL_ROW * i32::try_from(self.words.len()).unwrap_or(0) + LABEL_ROW
    }

    pub(super) fn draw(
        &self,
        canvas: &Canvas<'_>,
        layout: &LayoutView,
        top: i32,
        units: Units,
    ) -> Result<(), ChartError> {
        let mut y = top + LABEL_ROW;
        if !self.housings.is_empty() {
            self.draw_units(canvas, layout, top, units)?;
            y += self.sketch;
        }
        for (bold, row) in &self.words {
            if *bold {
                canvas.bold(row, (MARGIN, y), Side::Start, SMALL, INK)?;
            } else {
                canvas.text(row, (MARGIN, y), Side::Start, SMALL, INK)?;
            }
            y += LABEL_ROW;
        }
        Ok(())
    }

    fn draw_units(
        &self,
        canvas: &Canvas<'_>,
        layout: &LayoutView,
        top: i32,
        units: Units,
    ) -> Result<(), ChartError> {
        let roof = top + self.sketch - SCALE_BAR;
        let moved =
            |housing: &Housing| Housing { top: housing.top + top, foot: housing.foot + top, ..*housing };
        let housings: Vec<Housing> = self.housings.iter().map(moved).collect();
        canvas.hatch((MARGIN, roof), (WIDTH - MARGIN, roof + 8), FAINT)?;
        canvas.line(&[(MARGIN, roof), (WIDTH - MARGIN, roof)], 2, None, INK)?;
        for housing in &housings {
            for x in [housing.left + 2, housing.right - 2] {
                canvas.line(&[(x, housing.foot), (x, roof)], 2, None, INK)?;
            }
        }
        for (index, (housing, condenser)) in housings.iter().zip(&layout.condensers).enumerate() {
            canvas.bar((housing.left, housing.top), (housing.right, housing.foot), PALE)?;
            canvas.bold(&format!("{}", index + 1), housing.middle(), Side::Middle, LARGE, INK)?;
            if condenser.blows_up {
                let x = (3 * housing.left + housing.right) / 4;
                arrow(canvas, &[(x, housing.top - 2), (x, housing.top - PATH + 4)], INK)?;
            }
        }
        let find = |name: &str| layout.condensers.iter().position(|it| it.name == name);
        for (index, draw) in (0..).zip(&layout.draws) {
            if let (Some(from), Some(by)) = (find(&draw.from), find(&draw.by)) {
                draw_path(canvas, housings[from], housings[by], draw, index)?;
            }
        }
        let length = axis_of_length(units);
        let bar = if length.si < 1.0 { 3.0 } else { 1.0 };
        let end = MARGIN + (bar * length.si * self.pixels_per_metre).round() as i32;
        let y = roof + SCALE_BAR - 6;
        canvas.line(&[(MARGIN, y - 4), (MARGIN, y + 4)], 2, None, INK)?;
        canvas.line(&[(end, y - 4), (end, y + 4)], 2, None, INK)?;
        canvas.line(&[(MARGIN, y), (end, y)], 2, None, INK)?;
        canvas.text(&format!("{bar} {}", length.name), (end + 8, y), Side::Start, SMALL, INK)
    }
}

fn drawable(place: &PlaceView) -> bool {
    let PlaceView { left_m, bottom_m, width_m, height_m, .. } = *place;
    [left_m, bottom_m, width_m, height_m].iter().all(|value| value.is_finite())
        && width_m > 0.0
        && height_m > 0.0
        && bottom_m >= 0.0
}

fn above_each_other(places: &[PlaceView]) -> bool {
    let left_m = places.iter().map(|place| place.left_m).fold(f64::NEG_INFINITY, f64::max);
    places.iter().all(|place| place.left_m + place.width_m > left_m)
}

/// Air in and out; what it serves and at which temperature that condenses.
fn condenser_words(
    view: &CompareView,
    layout: &LayoutView,
    condenser: &CondenserView,
    units: Units,
) -> [String; 2] {
    let degrees = |at_k: f64| saturation_temperature(celsius(at_k)).first(units).replace(' ', "\u{a0}");
    let served = layout.circuits.iter().filter(|circuit| condenser.serves.contains(&circuit.set));
    let served: Vec<String> = served
        .map(|circuit| {
            let end = view.sets.iter().find(|set| set.name == circuit.set);
            let end = end.map_or_else(String::new, |set| format!("\u{a0}{}", set.condensing_refers_to));
            let held = if circuit.held { ", held up" } else { "" };
            format!("{} condenses at {}{end}{held}", circuit.set, degrees(circuit.condensing_k))
        })
        .collect();
    [
        format!("air {} in, {} out", degrees(condenser.inlet_air_k), degrees(condenser.outlet_air_k)),
        served.join("; "),
    ]
}

/// The way of the air that one unit draws from another: beside units above each other, else over their tops.
fn draw_path(
    canvas: &Canvas<'_>,
    from: Housing,
    by: Housing,
    draw: &DrawView,
    index: i32,
) -> Result<(), ChartError> {
    let share = percent(draw.fraction).us.replace(' ', "\u{a0}");
    let above_each_other = from.left < by.right && by.left < from.right;
    let off = PATH + PATHS_APART * index;
    // Out and in stand apart, so that units that draw from each other, or from themselves, have two ways.
    if above_each_other {
        let out = from.right.max(by.right) + off;
        let (start, end) = (from.middle().1 - 7, by.middle().1 + 9);
        arrow(canvas, &[(from.right + 1, start), (out, start), (out, end), (by.right + 3, end)], WARM)?;
        canvas.bold(&share, (out + 6, (start + end) / 2), Side::Start, SMALL, WARM)
    } else {
        let up = from.top.min(by.top) - off;
        let (start, end) = (from.middle().0 + 8, by.middle().0 - 8);
        arrow(canvas, &[(start, from.top - 1), (start, up), (end, up), (end, by.top - 3)], WARM)?;
        let middle = (start + end) / 2;
        let half = text_width(&share, SMALL) / 2 + 3;
        canvas.blank((middle - half, up - 9), (middle + half, up + 9))?;
        canvas.bold(&share, (middle, up), Side::Middle, SMALL, WARM)
    }
}

/// A line with a head at its end; its last piece is level or upright.
fn arrow(
    canvas: &Canvas<'_>,
    points: &[(i32, i32)],
    colour: plotters::style::RGBColor,
) -> Result<(), ChartError> {
    canvas.line(points, 2, None, colour)?;
    if let [.., (x0, y0), (x, y)] = *points {
        let (dx, dy) = ((x - x0).signum(), (y - y0).signum());
        let back = |side: i32| (x - 9 * dx + 5 * side * dy, y - 9 * dy + 5 * side * dx);
        canvas.polygon(&[(x, y), back(1), back(-1)], colour)?;
    }
    Ok(())
}
