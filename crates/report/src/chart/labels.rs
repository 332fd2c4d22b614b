//! Where labels stand: near what they name, on free ground, off strokes and off one another.

/// An upright rectangle in pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Frame {
    pub(super) left: i32,
    pub(super) top: i32,
    pub(super) right: i32,
    pub(super) foot: i32,
}

impl Frame {
    pub(super) fn around((x, y): (i32, i32), (width, height): (i32, i32)) -> Self {
        let (left, top) = (x - width / 2, y - height / 2);
        Self { left, top, right: left + width, foot: top + height }
    }

    fn wider(self, by: i32) -> Self {
        Self { left: self.left - by, top: self.top - by, right: self.right + by, foot: self.foot + by }
    }

    pub(super) fn meets(self, other: Self) -> bool {
        self.left < other.right && other.left < self.right && self.top < other.foot && other.top < self.foot
    }

    fn lies_in(self, other: Self) -> bool {
        self.left >= other.left
            && self.right <= other.right
            && self.top >= other.top
            && self.foot <= other.foot
    }

    /// Whether a stroke passes through: the share of it inside both pairs of edges is not empty.
    pub(super) fn is_crossed_by(self, [from, to]: Stroke) -> bool {
        let inside = |low: i32, high: i32, start: i32, end: i32| {
            let (low, high) = (f64::from(low - start), f64::from(high - start));
            match f64::from(end - start) {
                0.0 if low < 0.0 && high > 0.0 => (f64::NEG_INFINITY, f64::INFINITY),
                0.0 => (1.0, 0.0),
                along => ((low / along).min(high / along), (low / along).max(high / along)),
            }
        };
        let (x, y) = (inside(self.left, self.right, from.0, to.0), inside(self.top, self.foot, from.1, to.1));
        x.0.max(y.0).max(0.0) < x.1.min(y.1).min(1.0)
    }

    /// The point of the frame nearest to `at`.
    fn nearest(self, (x, y): (i32, i32)) -> (i32, i32) {
        (x.clamp(self.left, self.right), y.clamp(self.top, self.foot))
    }
}

/// A straight stroke.
pub(super) type Stroke = [(i32, i32); 2];

/// A label that has found its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Placed {
    /// Where the label stands.
    pub(super) frame: Frame,
    /// A thin line from the named point to the label, where the label stands too far off to be read without.
    pub(super) leader: Option<Stroke>,
}

/// What a label names.
#[derive(Clone, Copy)]
pub(super) struct Named<'a> {
    /// Points that the label may stand at, the first rather than the others.
    pub(super) points: &'a [(i32, i32)],
    /// The label stands beside a line of this direction rather than ahead of it.
    pub(super) along: (f64, f64),
    /// How far the thing reaches around its point.
    pub(super) reach: i32,
}

/// Width that a label takes in a wide sans-serif, letter by letter: a tag in capitals is far wider than running text.
pub(super) fn label_width(text: &str, size: i32) -> i32 {
    let width = |letter: char| match letter {
        ' ' | '\u{a0}' | '.' | ',' | '-' | '/' | '\'' | 'i' | 'j' | 'l' | 't' | 'f' | 'I' => 0.4,
        'm' | 'w' | 'M' | 'W' | '%' => 0.98,
        letter if letter.is_uppercase() => 0.72,
        _ => 0.64,
    };
    (text.chars().map(width).sum::<f64>() * f64::from(size)).ceil() as i32
}

/// A part of the sheet, with what is already on it.
pub(super) struct Ground {
    sheet: Frame,
    frames: Vec<Frame>,
    strokes: Vec<Stroke>,
}

/// Least distance of a label from strokes and other labels.
const APART: i32 = 4;
/// A label this far from the edge of what it names wants a leader.
const FAR: i32 = 10;
/// Directions that are tried about a point.
const DIRECTIONS: i32 = 32;

impl Ground {
    pub(super) fn new(sheet: Frame) -> Self {
        Self { sheet, frames: Vec::new(), strokes: Vec::new() }
    }

    /// Keeps labels off a frame.
    pub(super) fn keep_off(&mut self, frame: Frame) {
        self.frames.push(frame);
    }

    /// Keeps labels off a polyline.
    pub(super) fn keep_off_line(&mut self, points: &[(i32, i32)]) {
        self.strokes.extend(points.windows(2).map(|pair| [pair[0], pair[1]]));
    }

    /// Finds free ground for a label of `size` nearest to what it names. Nothing where the ground is full.
    pub(super) fn place(&mut self, named: &Named<'_>, size: (i32, i32)) -> Option<Placed> {
        self.place_where(named, size, |_| true)
    }

    /// As [`Ground::place`], only where a frame suits.
    pub(super) fn place_where(
        &mut self,
        named: &Named<'_>,
        size: (i32, i32),
        suits: impl Fn(Frame) -> bool,
    ) -> Option<Placed> {
        let Named { points, along, reach } = *named;
        let farthest = (self.sheet.right - self.sheet.left).max(self.sheet.foot - self.sheet.top);
        let directions = directions(along);
        let candidates = (1..farthest / 4).map(|ring| 4 * ring).flat_map(|gap| {
            let directions = &directions;
            points.iter().flat_map(move |point| {
                directions.iter().map(move |direction| candidate(*point, *direction, (gap, reach), size))
            })
        });
        let placed = candidates.into_iter().find(|placed| suits(placed.frame) && self.is_free(placed))?;
        self.frames.push(placed.frame);
        self.strokes.extend(placed.leader);
        Some(placed)
    }

    fn is_free(&self, placed: &Placed) -> bool {
        let wide = placed.frame.wider(APART);
        placed.frame.lies_in(self.sheet)
            && !self.frames.iter().any(|frame| {
                // A leader may leave the thing that it begins on.
                let crossed =
                    |leader: Stroke| frame.is_crossed_by(leader) && frame.nearest(leader[0]) != leader[0];
                frame.meets(wide) || placed.leader.is_some_and(crossed)
            })
            && !self.strokes.iter().any(|stroke| wide.is_crossed_by(*stroke))
    }
}

/// Unit vectors all round, those square to `along` first.
fn directions((x, y): (f64, f64)) -> Vec<(f64, f64)> {
    let mut all: Vec<(f64, f64)> = (0..DIRECTIONS)
        .map(|step| f64::from(step) / f64::from(DIRECTIONS) * std::f64::consts::TAU)
        .map(|angle| (angle.cos(), angle.sin()))
        .collect();
    // Rounded, so that equal directions keep their order on every machine.
    let ahead = |direction: &(f64, f64)| ((direction.0 * x + direction.1 * y).abs() * 1e3).round();
    all.sort_by(|one, other| ahead(one).total_cmp(&ahead(other)));
    all
}

fn candidate(point: (i32, i32), (x, y): (f64, f64), (gap, reach): (i32, i32), size: (i32, i32)) -> Placed {
    let shift = |part: f64, extent: i32| (part * f64::from(extent / 2 + gap)).round() as i32;
    let frame = Frame::around((point.0 + shift(x, size.0), point.1 + shift(y, size.1)), size);
    let end = frame.nearest(point);
    let far = f64::from(end.0 - point.0).hypot(f64::from(end.1 - point.1));
    Placed { frame, leader: (far > f64::from(FAR + reach)).then_some([point, end]) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const SHEET: Frame = Frame { left: 0, top: 0, right: 400, foot: 300 };

    #[test]
    fn a_stroke_crosses_a_frame_or_passes_it() {
        let frame = Frame::around((100, 100), (40, 20));
        for (stroke, crosses) in [
            ([(0, 0), (200, 200)], true),
            ([(90, 95), (95, 100)], true),
            ([(100, 0), (100, 89)], false),
            ([(0, 120), (200, 120)], false),
            ([(70, 0), (70, 300)], false),
            ([(80, 80), (130, 130)], true),
            ([(70, 100), (100, 130)], false),
        ] {
            assert_eq!(frame.is_crossed_by(stroke), crosses, "{stroke:?}");
        }
    }

    #[test]
    fn a_label_stands_beside_its_line_and_far_ones_have_a_leader() {
        let named = Named { points: &[(200, 150)], along: (0.0, 1.0), reach: 0 };
        let mut ground = Ground::new(SHEET);
        ground.keep_off_line(&[(200, 20), (200, 280)]);
        let first = ground.place(&named, (60, 18)).unwrap();
        assert!(first.leader.is_none() && (first.frame.left > 200 || first.frame.right < 200), "{first:?}");
        assert_eq!((first.frame.top + first.frame.foot) / 2, 150);
        // The near ground is taken at both sides.
        ground.keep_off(Frame::around((200, 150), (170, 60)));
        let second = ground.place(&named, (60, 18)).unwrap();
        assert!(!second.frame.meets(first.frame));
        assert_eq!(ground.place(&named, (401, 18)), None);
    }

    proptest! {
        #[test]
        fn labels_never_meet_nor_leave_the_sheet(
            points in prop::collection::vec((0..400_i32, 0..300_i32), 1..40),
            widths in prop::collection::vec(20..120_i32, 40),
        ) {
            let mut ground = Ground::new(SHEET);
            ground.keep_off_line(&points);
            let placed: Vec<Placed> = points
                .iter()
                .zip(widths)
                .filter_map(|(point, width)| ground.place(&Named { points: &[*point], along: (1.0, 0.0), reach: 3 }, (width, 18)))
                .collect();
            for (index, one) in placed.iter().enumerate() {
                prop_assert!(one.frame.lies_in(SHEET));
                prop_assert!(!points.windows(2).any(|pair| one.frame.is_crossed_by([pair[0], pair[1]])));
                prop_assert!(!placed[..index].iter().any(|other| other.frame.meets(one.frame)));
            }
        }
    }
}
