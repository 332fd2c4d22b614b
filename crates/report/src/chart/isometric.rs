//! Chart 5: the route in space, with its lengths, its lines and the tags at both ends.

mod projection;

use self::projection::{Drawn, Eye, Flat, beside, lay_out, on_route};
use super::{
    ChartError,
    canvas::{
        Canvas, Dash, FAINT, INK, LARGE, MARGIN, PAPER, SMALL, STRONG, Side, WARM, WIDTH, below_title, draw,
        shortened, unbroken, wrap,
    },
    labels::{Frame, Ground, Named, Placed, label_width},
    rule::LABEL_ROW,
};
use crate::{
    figure::{Units, length},
    view::{IsometricLegView, IsometricLineView, IsometricMarkView, IsometricView},
};
use plotters::style::RGBColor;

/// Room for the route itself; labels stand around it.
const ROOM: Flat = (290.0, 300.0);
/// Free ground at the four sides of the route: labels at the left and right are wider than high.
const SIDE: i32 = 4;
const ABOVE: i32 = 90;
/// Every leg beyond this many makes the sheet higher, so that its label finds room.
const FEW_LEGS: usize = 6;
const PER_LEG: i32 = 24;
const MOST_LEGS: usize = 20;
/// Distance between lines side by side, and height of a row of a label.
const APART: f64 = 8.0;
const ROW: i32 = 17;
/// Half the width and height of the boxes at the ends.
const BOX: (i32, i32) = (14, 11);
/// Longer names and tags are shortened to this width.
const TAG: i32 = 210;
const PLACE: i32 = 130;
/// Edge of a tag.
const EDGE: RGBColor = RGBColor(140, 146, 152);
/// Piece of a line in a tag and in the key.
const SAMPLE: i32 = 30;

/// Strokes of the lines in the order of the view: width and dashes tell them apart in grey.
const STROKES: [(u32, Dash, RGBColor); 4] = [
    (4, None, STRONG),
    (3, Some((7, 4)), WARM),
    (3, Some((2, 4)), RGBColor(70, 110, 60)),
    (2, Some((14, 4)), INK),
];

/// The route from head to condenser at 30 degrees, its lines side by side, with lengths, places, parts and tags.
///
/// # Errors
/// [`ChartError`] where the picture can not be drawn.
pub fn isometric(view: &IsometricView, units: Units) -> Result<String, ChartError> {
    let title = wrap(&finding(view, units), LARGE, WIDTH - 2 * MARGIN);
    let more_legs = view.legs.len().min(MOST_LEGS).saturating_sub(FEW_LEGS);
    let extra = PER_LEG * i32::try_from(more_legs).unwrap_or(0);
    let drawn = lay_out(&view.legs, (ROOM.0, ROOM.1 + f64::from(extra)));
    let top = below_title(title.len());
    let foot = top + drawn.size.1.ceil() as i32 + 2 * ABOVE + extra / 2;
    let mut plan = Plan::of(view, &drawn, Frame { left: SIDE, top, right: WIDTH - SIDE, foot }, units);
    // Ground that no label needed is left out.
    let (highest, lowest) = plan.reach();
    plan.rise(highest - top);
    let foot = top + lowest - highest + LABEL_ROW;
    let rows = plan.below.len() + view.lines.len();
    let key = i32::try_from(rows).unwrap_or(0) * LABEL_ROW;
    let height = foot + key.max(if view.compass { ARROW } else { 0 }) + MARGIN;

    draw(height, |canvas| {
        canvas.title(&title)?;
        plan.draw(canvas)?;
        if view.compass {
            draw_north(canvas, Eye::on(&view.legs), foot)?;
        }
        let mut y = foot + LABEL_ROW / 2;
        for (index, line) in view.lines.iter().enumerate() {
            draw_sample(canvas, index, (MARGIN, y))?;
            let start = MARGIN + SAMPLE + 12;
            let words = shortened(&format!("{}, {}", line.service, line.tube_name), SMALL, KEY_ROOM - start);
            canvas.text(&words, (start, y), Side::Start, SMALL, INK)?;
            y += LABEL_ROW;
        }
        for words in &plan.below {
            canvas.text(words, (MARGIN, y), Side::Start, SMALL, INK)?;
            y += LABEL_ROW;
        }
        Ok(())
    })
}

/// Height of the north arrow, and where words of the key end at its left.
const ARROW: i32 = 52;
const KEY_ROOM: i32 = WIDTH - 96;

/// What the picture shows in one sentence.
fn finding(view: &IsometricView, units: Units) -> String {
    let run = unbroken(length(view.run_m).first(units));
    let legs = match view.legs.len() {
        1 => "1 leg".into(),
        legs => format!("{legs} legs"),
    };
    let lift = unbroken(length(view.lift_m.abs()).first(units));
    // A centimetre is less than two units are ever level.
    let stands = match view.lift_m {
        lift_m if lift_m > 0.01 => format!("{lift} above the head"),
        lift_m if lift_m < -0.01 => format!("{lift} below the head"),
        _ => "level with the head".into(),
    };
    format!("{}: {run} of run in {} to the condenser {stands}", view.set, unbroken(&legs))
}

/// Length of a leg, with the way it goes where the picture alone does not say it, and its place where that begins.
fn leg_words(legs: &[IsometricLegView], index: usize, compass: bool, units: Units) -> Vec<String> {
    let leg = &legs[index];
    let [east, north, up] = std::array::from_fn(|axis| leg.to_m[axis] - leg.from_m[axis]);
    let flat = 0.02 * leg.length_m;
    let way = if up > flat {
        "up "
    } else if up < -flat {
        "down "
    } else {
        match (compass, north.abs() > flat, east.abs() > flat) {
            (true, true, true) if north > 0.0 => {
                if east > 0.0 {
                    "NE "
                } else {
                    "NW "
                }
            }
            (true, true, true) => {
                if east > 0.0 {
                    "SE "
                } else {
                    "SW "
                }
            }
            _ => "",
        }
    };
    let mut words = vec![format!("{way}{}", length(leg.length_m).first(units))];
    let before = index.checked_sub(1).map_or("indoors", |before| legs[before].place.as_str());
    if leg.place != before {
        words.push(shortened(&leg.place, SMALL, PLACE));
    }
    words
}

/// Rows of a label.
#[derive(Clone, Debug)]
enum Row {
    Plain(String),
    Bold(String),
    /// Tag of the line of that index.
    Tag(usize, String),
}

impl Row {
    fn width(&self) -> i32 {
        match self {
            Self::Plain(words) => label_width(words, SMALL),
            // Bold letters are wider.
            Self::Bold(words) => label_width(words, SMALL) * 11 / 10,
            Self::Tag(_, words) => SAMPLE + 6 + label_width(words, SMALL),
        }
    }
}

struct Label {
    rows: Vec<Row>,
    placed: Placed,
}

/// Free ground between a tag's edge and its words.
const INSET: i32 = 4;

fn is_tag(rows: &[Row]) -> bool {
    rows.iter().any(|row| matches!(row, Row::Tag(..)))
}

fn size_of(rows: &[Row]) -> (i32, i32) {
    let width = rows.iter().map(Row::width).max().unwrap_or(0);
    let edges = if is_tag(rows) { 2 * INSET } else { 0 };
    (width + edges, ROW * i32::try_from(rows.len()).unwrap_or(0) + edges)
}

/// Everything in its place.
struct Plan {
    legs: Vec<projection::DrawnLeg>,
    lines: Vec<Vec<(i32, i32)>>,
    /// Boxes at the ends.
    ends: Vec<(i32, i32)>,
    marks: Vec<(i32, i32)>,
    labels: Vec<Label>,
    /// Words that found no room in the picture, and notes on it.
    below: Vec<String>,
}

fn pixel((x, y): Flat) -> (i32, i32) {
    (x.round() as i32, y.round() as i32)
}

impl Plan {
    fn of(view: &IsometricView, drawn: &Drawn, sheet: Frame, units: Units) -> Self {
        let shift = (
            f64::from(WIDTH) / 2.0 - drawn.size.0 / 2.0,
            f64::from(sheet.top + sheet.foot) / 2.0 - drawn.size.1 / 2.0,
        );
        let moved = |(x, y): Flat| (x + shift.0, y + shift.1);
        let mut legs = drawn.legs.clone();
        for leg in &mut legs {
            (leg.from, leg.to, leg.corner) = (moved(leg.from), moved(leg.to), leg.corner.map(moved));
        }
        let mut route: Vec<Flat> = legs.first().map(|leg| leg.from).into_iter().collect();
        route.extend(legs.iter().map(|leg| leg.to));
        let half = (view.lines.len().max(1) - 1) as f64 / 2.0;
        let lines: Vec<Vec<(i32, i32)>> = (0..view.lines.len().max(1))
            .map(|index| beside(&route, APART * (index as f64 - half)).into_iter().map(pixel).collect())
            .collect();

        let mut ground = Ground::new(sheet);
        for line in &lines {
            ground.keep_off_line(line);
        }
        for leg in &legs {
            if let Some(corner) = leg.corner {
                ground.keep_off_line(&[pixel(leg.from), pixel(corner), pixel(leg.to)]);
            }
            if leg.broken {
                ground.keep_off(Frame::around(pixel(leg.at(0.5)), (26, 26)));
            }
        }
        let mut plan =
            Self { legs, lines, ends: Vec::new(), marks: Vec::new(), labels: Vec::new(), below: Vec::new() };
        plan.place_marks(view, &mut ground);
        plan.place_lengths(view, &mut ground, units);
        if drawn.not_to_scale {
            let broken = plan.legs.iter().any(|leg| leg.broken);
            let note =
                if broken { "Not to scale; a leg with a gap is drawn shortened." } else { "Not to scale." };
            plan.below.extend(wrap(note, SMALL, KEY_ROOM - MARGIN));
        }
        plan
    }

    /// Ends with their tags first, as their labels are the largest; then what stands between.
    fn place_marks(&mut self, view: &IsometricView, ground: &mut Ground) {
        let last = self.legs.len().saturating_sub(1);
        let stands = |mark: &IsometricMarkView| {
            let (leg, share) = on_route(&view.legs, mark.at_m)?;
            let at_end = (leg == 0 && share < 1e-6) || (leg == last && share > 1.0 - 1e-6);
            Some((leg, pixel(self.legs.get(leg)?.at(share)), at_end))
        };
        let mut found: Vec<_> = view.marks.iter().filter_map(|mark| Some((mark, stands(mark)?))).collect();
        for (_, (_, at, at_end)) in &found {
            let (width, height) = if *at_end { (2 * BOX.0 + 2, 2 * BOX.1 + 2) } else { (14, 14) };
            ground.keep_off(Frame::around(*at, (width, height)));
            if *at_end { self.ends.push(*at) } else { self.marks.push(*at) }
        }
        found.sort_by_key(|(_, (_, _, at_end))| !at_end);
        let mut tagged: Vec<(i32, i32)> = Vec::new();
        for (mark, (leg, at, at_end)) in found {
            let mut rows = vec![Row::Bold(shortened(&mark.name, SMALL, TAG))];
            // Two things at one end have one set of tags.
            if at_end && !tagged.contains(&at) {
                let tag = |(index, line): (usize, &IsometricLineView)| {
                    Row::Tag(index, shortened(&line.tag, SMALL, TAG))
                };
                rows.extend(view.lines.iter().enumerate().map(tag));
                tagged.push(at);
            }
            let along = self.along(leg);
            let reach = if at_end { BOX.0 } else { 7 };
            self.place(ground, &Named { points: &[at], along, reach }, rows);
        }
    }

    /// Short legs first: they have the least ground beside them.
    fn place_lengths(&mut self, view: &IsometricView, ground: &mut Ground, units: Units) {
        let pixels = |index: &usize| {
            let leg = &self.legs[*index];
            (leg.to.0 - leg.from.0).hypot(leg.to.1 - leg.from.1).round() as i64
        };
        let mut order: Vec<usize> = (0..self.legs.len()).collect();
        order.sort_by_key(pixels);
        for index in order {
            let leg = self.legs[index];
            let words = leg_words(&view.legs, index, view.compass, units);
            let shares = if leg.broken { [0.3, 0.7, 0.2] } else { [0.5, 0.35, 0.65] };
            let points = shares.map(|share| pixel(leg.at(share)));
            let rows = words.into_iter().map(Row::Plain).collect();
            let along = self.along(index);
            let reach = (APART * self.lines.len() as f64 / 2.0) as i32;
            self.place(ground, &Named { points: &points, along, reach }, rows);
        }
    }

    /// Direction of a leg on the sheet.
    fn along(&self, leg: usize) -> Flat {
        self.legs.get(leg).map_or((1.0, 0.0), |leg| {
            let (x, y) = (leg.to.0 - leg.from.0, leg.to.1 - leg.from.1);
            let length = x.hypot(y).max(1e-9);
            (x / length, y / length)
        })
    }

    fn place(&mut self, ground: &mut Ground, named: &Named<'_>, rows: Vec<Row>) {
        match ground.place(named, size_of(&rows)) {
            Some(placed) => self.labels.push(Label { rows, placed }),
            None => {
                let words = rows.iter().map(|row| match row {
                    Row::Plain(words) | Row::Bold(words) | Row::Tag(_, words) => words.as_str(),
                });
                let words = format!("no room above for: {}", words.collect::<Vec<_>>().join(", "));
                self.below.extend(wrap(&words, SMALL, KEY_ROOM - MARGIN));
            }
        }
    }

    /// Highest and lowest pixel of all that is drawn.
    fn reach(&self) -> (i32, i32) {
        let corners = self.legs.iter().filter_map(|leg| leg.corner).map(|corner| pixel(corner).1);
        let strokes = self.lines.iter().flatten().map(|at| at.1).chain(corners);
        let frames = self.labels.iter().flat_map(|label| [label.placed.frame.top, label.placed.frame.foot]);
        let boxes = self.ends.iter().flat_map(|at| [at.1 - BOX.1, at.1 + BOX.1]);
        strokes
            .chain(frames)
            .chain(boxes)
            .fold(None, |reach: Option<(i32, i32)>, y| {
                Some(reach.map_or((y, y), |(highest, lowest)| (highest.min(y), lowest.max(y))))
            })
            .unwrap_or((0, 0))
    }

    /// Moves all up by so many pixels.
    fn rise(&mut self, by: i32) {
        let flat = |at: Flat| (at.0, at.1 - f64::from(by));
        for leg in &mut self.legs {
            (leg.from, leg.to, leg.corner) = (flat(leg.from), flat(leg.to), leg.corner.map(flat));
        }
        let leaders = self.labels.iter_mut().filter_map(|label| label.placed.leader.as_mut()).flatten();
        for at in self.lines.iter_mut().flatten().chain(&mut self.ends).chain(&mut self.marks).chain(leaders)
        {
            at.1 -= by;
        }
        for label in &mut self.labels {
            label.placed.frame.top -= by;
            label.placed.frame.foot -= by;
        }
    }

    fn draw(&self, canvas: &Canvas<'_>) -> Result<(), ChartError> {
        for label in &self.labels {
            if let Some(leader) = label.placed.leader {
                canvas.line(&leader, 1, None, INK)?;
            }
        }
        for leg in &self.legs {
            if let Some(corner) = leg.corner {
                let points = [leg.from, corner, leg.to].map(pixel);
                canvas.line(&points, 1, Some((3, 3)), INK)?;
            }
        }
        for (index, line) in self.lines.iter().enumerate() {
            let (width, dash, colour) = STROKES[index % STROKES.len()];
            canvas.line(line, width, dash, colour)?;
        }
        for leg in self.legs.iter().filter(|leg| leg.broken) {
            draw_break(canvas, leg, self.lines.len())?;
        }
        for at in &self.ends {
            canvas.bar((at.0 - BOX.0, at.1 - BOX.1), (at.0 + BOX.0, at.1 + BOX.1), PAPER)?;
            canvas.bar((at.0 - BOX.0 + 3, at.1 - BOX.1 + 3), (at.0 + BOX.0 - 3, at.1 + BOX.1 - 3), FAINT)?;
        }
        for at in &self.marks {
            canvas.mark(3, *at, INK)?;
        }
        self.labels.iter().try_for_each(|label| label.draw(canvas))
    }
}

impl Label {
    fn draw(&self, canvas: &Canvas<'_>) -> Result<(), ChartError> {
        let Frame { mut left, mut top, right, foot } = self.placed.frame;
        if is_tag(&self.rows) {
            let edge = [(left, top), (right, top), (right, foot), (left, foot), (left, top)];
            canvas.line(&edge, 1, None, EDGE)?;
            (left, top) = (left + INSET, top + INSET);
        }
        for (row, words) in (0..).zip(&self.rows) {
            let y = top + ROW * row + ROW / 2;
            match words {
                Row::Plain(words) => canvas.text(words, ((left + right) / 2, y), Side::Middle, SMALL, INK)?,
                Row::Bold(words) => canvas.bold(words, (left, y), Side::Start, SMALL, INK)?,
                Row::Tag(index, words) => {
                    draw_sample(canvas, *index, (left, y))?;
                    canvas.text(words, (left + SAMPLE + 6, y), Side::Start, SMALL, INK)?;
                }
            }
        }
        Ok(())
    }
}

fn draw_sample(canvas: &Canvas<'_>, index: usize, (x, y): (i32, i32)) -> Result<(), ChartError> {
    let (width, dash, colour) = STROKES[index % STROKES.len()];
    canvas.line(&[(x, y), (x + SAMPLE, y)], width, dash, colour)
}

/// A white gap with two slanted edges in the middle of a leg that is longer than drawn.
fn draw_break(canvas: &Canvas<'_>, leg: &projection::DrawnLeg, lines: usize) -> Result<(), ChartError> {
    let (x, y) = (leg.to.0 - leg.from.0, leg.to.1 - leg.from.1);
    let length = x.hypot(y).max(1e-9);
    let (along, across) = ((x / length, y / length), (-y / length, x / length));
    let half = APART * lines as f64 / 2.0 + 5.0;
    let middle = leg.at(0.5);
    let point = |ahead: f64, aside: f64| {
        pixel((middle.0 + ahead * along.0 + aside * across.0, middle.1 + ahead * along.1 + aside * across.1))
    };
    let (gap, slant) = (4.0, 4.0);
    let edges = [-gap, gap].map(|ahead| [point(ahead - slant, -half), point(ahead + slant, half)]);
    canvas.polygon(&[edges[0][0], edges[0][1], edges[1][1], edges[1][0]], PAPER)?;
    edges.iter().try_for_each(|edge| canvas.line(edge, 2, None, INK))
}

/// The arrow lies as the legs do.
fn draw_north(canvas: &Canvas<'_>, eye: Eye, top: i32) -> Result<(), ChartError> {
    const LONG: f64 = 44.0;
    let (x, y) = eye.project([0.0, LONG, 0.0]);
    let start = (WIDTH - 82, top + 40);
    let end = (start.0 + x.round() as i32, start.1 + y.round() as i32);
    canvas.line(&[start, end], 3, None, INK)?;
    let (back, aside) = (eye.project([0.0, -13.0, 0.0]), eye.project([6.0, 0.0, 0.0]));
    let wing = |side: f64| {
        pixel((f64::from(end.0) + back.0 + side * aside.0, f64::from(end.1) + back.1 + side * aside.1))
    };
    let tip = pixel((f64::from(end.0) - back.0 / 3.0, f64::from(end.1) - back.1 / 3.0));
    canvas.polygon(&[tip, wing(1.0), wing(-1.0)], INK)?;
    canvas.bold("N", (end.0 + 14, end.1 - 4), Side::Start, SMALL + 1, INK)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::looked_at::{leave, text_fits};
    use proptest::prelude::*;

    /// A route (invented) from legs as a job file has them.
    fn route(set: &str, legs: &[(&str, f64, &str)]) -> IsometricView {
        let slant = std::f64::consts::FRAC_1_SQRT_2;
        let mut at = [0.0; 3];
        let mut drawn = Vec::new();
        for (way, length_m, place) in legs {
            let along = match *way {
                "up" => [0.0, 0.0, 1.0],
                "down" => [0.0, 0.0, -1.0],
                "north" => [0.0, 1.0, 0.0],
                "south" => [0.0, -1.0, 0.0],
                "east" => [1.0, 0.0, 0.0],
                "west" => [-1.0, 0.0, 0.0],
                "northeast" => [slant, slant, 0.0],
                "northwest" => [-slant, slant, 0.0],
                "southeast" => [slant, -slant, 0.0],
                _ => [-slant, -slant, 0.0],
            };
            let to_m = std::array::from_fn(|axis| at[axis] + along[axis] * length_m);
            drawn.push(IsometricLegView { from_m: at, to_m, length_m: *length_m, place: (*place).into() });
            at = to_m;
        }
        let line = |service: &str, tube_name: &str, tag: &str| IsometricLineView {
            service: service.into(),
            tube_name: tube_name.into(),
            tag: tag.into(),
        };
        let mark = |at_m, name: &str| IsometricMarkView { at_m, name: name.into() };
        IsometricView {
            set: set.into(),
            lines: vec![
                line("discharge", "1/2 in OD", "ICE-ROOM D"),
                line("liquid", "3/8 in OD", "ICE-ROOM L"),
            ],
            marks: vec![mark([0.0; 3], "head"), mark(at, "condenser")],
            lift_m: at[2],
            run_m: legs.iter().map(|leg| leg.1).sum(),
            legs: drawn,
            compass: true,
        }
    }

    fn cases() -> Vec<(&'static str, IsometricView)> {
        let harbour = [
            ("up", 4.27, "indoors"),
            ("north", 11.58, "attic"),
            ("up", 1.83, "roof"),
            ("west", 3.66, "roof"),
        ];
        let mut four = route("ice-room", &harbour);
        let loop_at = four.legs[2].to_m;
        four.marks.push(IsometricMarkView { at_m: loop_at, name: "inverted loop".into() });
        four.marks.push(IsometricMarkView { at_m: [0.0; 3], name: "foot trap".into() });
        let mut nine = route(
            "blast-freezer, north end of the hall (invented)",
            &[
                ("up", 2.5, "indoors"),
                ("east", 6.0, "indoors"),
                ("north", 4.0, "ceiling-void"),
                ("up", 5.5, "shaft"),
                ("west", 3.0, "attic"),
                ("north", 14.0, "attic"),
                ("down", 2.0, "attic"),
                ("east", 5.0, "roof-of-the-cold-store"),
                ("up", 1.0, "roof-of-the-cold-store"),
            ],
        );
        nine.lines[0].tube_name = "1-1/8 in OD wall 0.045 in".into();
        nine.lines[0].tag = "BLAST-FREEZER DISCHARGE".into();
        nine.marks[1].name = "condenser with receiver".into();
        let mut short =
            route("bar", &[("north", 5.0, "indoors"), ("up", 4.0, "indoors"), ("north", 5.0, "indoors")]);
        short.compass = false;
        let mut double =
            route("meat-room", &[("west", 3.0, "indoors"), ("up", 9.0, "shaft"), ("south", 4.0, "roof")]);
        double.lines.push(IsometricLineView {
            service: "suction, large leg".into(),
            tube_name: "1-5/8 in OD".into(),
            tag: "MEAT S2".into(),
        });
        vec![
            ("four", four),
            ("nine", nine),
            ("two", route("ice-room", &[("up", 3.0, "indoors"), ("north", 60.0, "attic")])),
            ("one", route("ice-room", &[("north", 18.0, "indoors")])),
            (
                "tower",
                route("ice-room", &[("west", 1.0, "indoors"), ("up", 34.0, "shaft"), ("east", 1.5, "roof")]),
            ),
            (
                "flat",
                route(
                    "ice-room",
                    &[
                        ("north", 20.0, "indoors"),
                        ("east", 25.0, "indoors"),
                        ("south", 18.0, "yard"),
                        ("east", 40.0, "yard"),
                    ],
                ),
            ),
            (
                "falls",
                route(
                    "cellar-head",
                    &[
                        ("up", 2.0, "indoors"),
                        ("west", 7.0, "indoors"),
                        ("down", 9.0, "shaft"),
                        ("northwest", 6.0, "yard"),
                        ("up", 1.2, "yard"),
                    ],
                ),
            ),
            ("run-and-lift", short),
            ("three-lines", double),
        ]
    }

    #[test]
    fn draw_isometrics() {
        for (name, view) in cases() {
            for (units, unit) in [(Units::Us, "us"), (Units::Si, "si")] {
                let svg = isometric(&view, units).unwrap();
                leave(&format!("isometric-{name}-{unit}"), &svg);
                text_fits(&svg);
            }
        }
    }

    #[test]
    fn says_how_far_and_how_high() {
        let found = |view: &IsometricView, units| finding(view, units).replace('\u{a0}', " ");
        let cases = cases();
        assert_eq!(
            found(&cases[0].1, Units::Us),
            "ice-room: 70 ft of run in 4 legs to the condenser 20 ft above the head"
        );
        assert_eq!(
            found(&cases[3].1, Units::Si),
            "ice-room: 18.0 m of run in 1 leg to the condenser level with the head"
        );
        assert!(found(&cases[6].1, Units::Si).ends_with("to the condenser 5.8 m below the head"));
    }

    #[test]
    fn every_length_tag_place_and_thing_is_in_the_picture() {
        for (name, view) in cases() {
            let svg = isometric(&view, Units::Si).unwrap();
            assert!(!svg.contains("no room above"), "{name}");
            for leg in &view.legs {
                assert!(svg.contains(length(leg.length_m).first(Units::Si)), "{name}: {}", leg.length_m);
            }
            for line in &view.lines {
                let tag = shortened(&line.tag, SMALL, TAG);
                assert_eq!(svg.matches(&tag).count(), 2, "{name}: {tag} at both ends");
            }
            for mark in &view.marks {
                assert!(svg.contains(&shortened(&mark.name, SMALL, TAG)), "{name}: {}", mark.name);
            }
            assert_eq!(
                svg.contains("Not to scale"),
                ["nine", "two", "tower", "falls"].contains(&name),
                "{name}"
            );
        }
        assert!(isometric(&cases()[0].1, Units::Us).unwrap().contains("attic"));
    }

    #[test]
    fn a_place_is_named_where_it_begins() {
        let legs = cases().remove(0).1.legs;
        let words = |index| leg_words(&legs, index, true, Units::Us).join(", ");
        assert_eq!([0, 1, 2, 3].map(words), ["up 14 ft", "38 ft, attic", "up 6.0 ft, roof", "12 ft"]);
    }

    #[test]
    fn draws_without_legs_and_with_numbers_that_are_not_finite() {
        let mut view = cases().remove(0).1;
        view.legs[1].to_m[1] = f64::NAN;
        view.marks[0].at_m[0] = f64::INFINITY;
        assert!(!isometric(&view, Units::Us).unwrap().contains("NaN"));
        view.legs.clear();
        view.lines.clear();
        assert!(isometric(&view, Units::Us).is_ok());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]
        /// Any route of legs square to one another, with all its labels on the sheet and none on another.
        #[test]
        fn labels_never_meet(steps in prop::collection::vec((0..6_usize, 0.3..80.0_f64), 1..24)) {
            let ways = ["up", "north", "east", "down", "south", "west"];
            let legs: Vec<(&str, f64, &str)> =
                steps.iter().map(|(way, length_m)| (ways[*way], *length_m, "attic")).collect();
            let view = route("ice-room", &legs);
            let drawn = lay_out(&view.legs, ROOM);
            let sheet = Frame { left: SIDE, top: 60, right: WIDTH - SIDE, foot: 60 + drawn.size.1 as i32 + 2 * ABOVE };
            let plan = Plan::of(&view, &drawn, sheet, Units::Us);
            for (index, one) in plan.labels.iter().enumerate() {
                for other in &plan.labels[..index] {
                    prop_assert!(!one.placed.frame.meets(other.placed.frame));
                }
                for pair in plan.lines.iter().flat_map(|line| line.windows(2)) {
                    prop_assert!(!one.placed.frame.is_crossed_by([pair[0], pair[1]]));
                }
            }
        }
    }
}
