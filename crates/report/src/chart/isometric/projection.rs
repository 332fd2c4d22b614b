//! The route laid on the sheet: projected, long legs broken, short legs lengthened, fitted to the room there is.

use crate::view::IsometricLegView;

/// A leg is drawn at most this many times as long as the median leg, and at least this share of it.
const LONGEST: f64 = 3.0;
const SHORTEST: f64 = 0.45;
/// Pixels per metre times drawn metres: a route of one short leg would otherwise fill the sheet.
const LONGEST_PIXELS: f64 = 240.0;

pub(super) type Flat = (f64, f64);

/// One leg on the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct DrawnLeg {
    pub(super) from: Flat,
    pub(super) to: Flat,
    /// The corner below or beside a leg that is level and follows no axis: its two parts along the axes meet there.
    pub(super) corner: Option<Flat>,
    /// Drawn shorter than it is.
    pub(super) broken: bool,
}

impl DrawnLeg {
    pub(super) fn at(&self, share: f64) -> Flat {
        (self.from.0 + share * (self.to.0 - self.from.0), self.from.1 + share * (self.to.1 - self.from.1))
    }
}

/// The route on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Drawn {
    pub(super) legs: Vec<DrawnLeg>,
    /// Whether a leg is drawn longer or shorter than the others' scale says.
    pub(super) not_to_scale: bool,
    /// Size that the route takes.
    pub(super) size: Flat,
}

/// From where the route is seen: how far north lies from the right-hand side of the sheet, radian.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Eye {
    north: f64,
}

impl Eye {
    /// North goes up to the right and east down to the right, both at 30 degrees. A route with a leg between the points
    /// of the compass is seen turned by 20 degrees: northwest would lie upright, as if it rose.
    pub(super) fn on(legs: &[IsometricLegView]) -> Self {
        let turned =
            legs.iter().any(|leg| is_skew(std::array::from_fn(|axis| leg.to_m[axis] - leg.from_m[axis])));
        Self { north: if turned { 25_f64 } else { 45_f64 }.to_radians() }
    }

    /// East, north and up on the sheet, seen from above the level by the angle that makes the three axes alike.
    pub(super) fn project(self, [east, north, up]: [f64; 3]) -> Flat {
        let ((sine, cosine), grown) = (self.north.sin_cos(), 1.5_f64.sqrt());
        let (right, away) = (north * cosine + east * sine, north * sine - east * cosine);
        (right * grown, -away * grown / 3_f64.sqrt() - up)
    }
}

/// Whether a way leads between the points of the compass.
fn is_skew([east, north, up]: [f64; 3]) -> bool {
    let little = 0.02 * east.hypot(north).hypot(up);
    east.abs() > little && north.abs() > little
}

/// The legs fitted into `room`, their left upper corner at the origin. A leg without length or with a place that is no number is
/// drawn as a point.
pub(super) fn lay_out(legs: &[IsometricLegView], room: Flat) -> Drawn {
    let true_lengths: Vec<f64> = legs.iter().map(span).collect();
    let median = median(&true_lengths);
    let mut not_to_scale = false;
    let mut at = [0.0; 3];
    let mut vertices = vec![(at, None, false)];
    for (leg, length) in legs.iter().zip(&true_lengths) {
        let drawn = if *length > 0.0 { length.clamp(SHORTEST * median, LONGEST * median) } else { 0.0 };
        let broken = drawn < length * (1.0 - 1e-9);
        not_to_scale |= (drawn - length).abs() > 1e-9 * length;
        let along: [f64; 3] = std::array::from_fn(|axis| {
            if *length > 0.0 { (leg.to_m[axis] - leg.from_m[axis]) / length * drawn } else { 0.0 }
        });
        let corner = is_skew(along).then_some([at[0] + along[0], at[1], at[2]]);
        at = std::array::from_fn(|axis| at[axis] + along[axis]);
        vertices.push((at, corner, broken));
    }
    fit(&vertices, Eye::on(legs), room, not_to_scale)
}

/// A vertex with the corner of the leg that ends there, and whether that leg is broken.
type Vertex = ([f64; 3], Option<[f64; 3]>, bool);

fn fit(vertices: &[Vertex], eye: Eye, room: Flat, not_to_scale: bool) -> Drawn {
    let flat = || {
        vertices.iter().flat_map(|(at, corner, _)| [Some(*at), *corner]).flatten().map(|at| eye.project(at))
    };
    let least = flat().fold((0.0, 0.0), |least: Flat, at| (least.0.min(at.0), least.1.min(at.1)));
    let most = flat().fold((0.0, 0.0), |most: Flat, at| (most.0.max(at.0), most.1.max(at.1)));
    let (width, height) = (most.0 - least.0, most.1 - least.1);
    let longest = vertices
        .windows(2)
        .map(|pair| (eye.project(pair[0].0), eye.project(pair[1].0)))
        .map(|(from, to)| (to.0 - from.0).hypot(to.1 - from.1))
        .fold(0.0, f64::max);
    let scale = [room.0 / width, room.1 / height, LONGEST_PIXELS / longest]
        .into_iter()
        .filter(|scale| scale.is_finite())
        .fold(f64::INFINITY, f64::min);
    let scale = if scale.is_finite() { scale } else { 1.0 };
    let place = |at: [f64; 3]| {
        let (x, y) = eye.project(at);
        ((x - least.0) * scale, (y - least.1) * scale)
    };
    let legs = vertices
        .windows(2)
        .map(|pair| DrawnLeg {
            from: place(pair[0].0),
            to: place(pair[1].0),
            corner: pair[1].1.map(place),
            broken: pair[1].2,
        })
        .collect();
    Drawn { legs, not_to_scale, size: (width * scale, height * scale) }
}

/// Distance between the ends of a leg; nought where they are no numbers.
fn span(leg: &IsometricLegView) -> f64 {
    let square: f64 = leg.from_m.iter().zip(leg.to_m).map(|(from, to)| (to - from).powi(2)).sum();
    let length = square.sqrt();
    if length.is_finite() { length } else { 0.0 }
}

/// The middle length; of two legs the shorter, so that the longer can be drawn broken.
fn median(lengths: &[f64]) -> f64 {
    let mut sorted: Vec<f64> = lengths.iter().copied().filter(|length| *length > 0.0).collect();
    sorted.sort_by(f64::total_cmp);
    match sorted.as_slice() {
        [] => 0.0,
        [shorter, _] => *shorter,
        more if more.len() % 2 == 0 => (more[more.len() / 2 - 1] + more[more.len() / 2]) / 2.0,
        more => more[more.len() / 2],
    }
}

/// Where a point of space stands on the drawn route: which leg it is nearest to, and how far along it.
pub(super) fn on_route(legs: &[IsometricLegView], at: [f64; 3]) -> Option<(usize, f64)> {
    let near = |leg: &IsometricLegView| {
        let length = span(leg);
        let along: f64 =
            (0..3).map(|axis| (at[axis] - leg.from_m[axis]) * (leg.to_m[axis] - leg.from_m[axis])).sum();
        let share = if length > 0.0 { (along / (length * length)).clamp(0.0, 1.0) } else { 0.0 };
        let off: f64 = (0..3)
            .map(|axis| (leg.from_m[axis] + share * (leg.to_m[axis] - leg.from_m[axis]) - at[axis]).powi(2))
            .sum();
        (share, off.sqrt())
    };
    let all = legs.iter().enumerate().map(|(index, leg)| (index, near(leg)));
    let nearest =
        all.filter(|(_, (_, off))| off.is_finite()).min_by(|one, other| one.1.1.total_cmp(&other.1.1))?;
    Some((nearest.0, nearest.1.0))
}

/// A polyline beside another one at a distance to the right of its direction, mitred at the corners.
pub(super) fn beside(points: &[Flat], distance: f64) -> Vec<Flat> {
    let normals: Vec<Flat> = points
        .windows(2)
        .map(|pair| {
            let (x, y) = (pair[1].0 - pair[0].0, pair[1].1 - pair[0].1);
            let length = x.hypot(y);
            if length > 0.0 { (-y / length, x / length) } else { (0.0, 0.0) }
        })
        .collect();
    let mut shifted = Vec::new();
    for (index, point) in points.iter().enumerate() {
        let before = index.checked_sub(1).and_then(|before| normals.get(before));
        let after = normals.get(index);
        match (before, after) {
            (Some(one), Some(other)) => {
                let cosine = one.0 * other.0 + one.1 * other.1;
                if cosine > -0.9 {
                    let by = distance / (1.0 + cosine);
                    shifted.push((point.0 + by * (one.0 + other.0), point.1 + by * (one.1 + other.1)));
                } else {
                    // Straight back: a mitre would reach far ahead.
                    shifted.extend(
                        [one, other]
                            .map(|normal| (point.0 + distance * normal.0, point.1 + distance * normal.1)),
                    );
                }
            }
            (Some(normal), None) | (None, Some(normal)) => {
                shifted.push((point.0 + distance * normal.0, point.1 + distance * normal.1));
            }
            (None, None) => shifted.push(*point),
        }
    }
    shifted
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn leg(from_m: [f64; 3], to_m: [f64; 3]) -> IsometricLegView {
        let mut leg = IsometricLegView { from_m, to_m, length_m: 0.0, place: "indoors".into() };
        leg.length_m = span(&leg);
        leg
    }

    #[test]
    fn axes_stand_thirty_degrees_off_the_level() {
        let slope = |at| {
            let (x, y) = Eye::on(&[]).project(at);
            (-y).atan2(x).to_degrees()
        };
        approx::assert_relative_eq!(slope([0.0, 1.0, 0.0]), 30.0, epsilon = 1e-9);
        approx::assert_relative_eq!(slope([1.0, 0.0, 0.0]), -30.0, epsilon = 1e-9);
        approx::assert_relative_eq!(slope([0.0, 0.0, 1.0]), 90.0, epsilon = 1e-9);
        for unit in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]] {
            let (x, y) = Eye::on(&[]).project(unit);
            approx::assert_relative_eq!(x.hypot(y), 1.0, epsilon = 1e-9);
        }
    }

    #[test]
    fn no_level_leg_looks_upright() {
        let northwest = leg([0.0; 3], [-3.0, 3.0, 0.0]);
        let (x, y) = Eye::on(std::slice::from_ref(&northwest)).project(northwest.to_m);
        assert!(x > 0.3 * -y && y < 0.0, "{x} {y}");
    }

    #[test]
    fn a_long_leg_is_broken_and_a_short_one_lengthened() {
        let legs = [leg([0.0; 3], [0.0, 0.0, 3.0]), leg([0.0, 0.0, 3.0], [0.0, 60.0, 3.0])];
        let drawn = lay_out(&legs, (300.0, 300.0));
        let length = |leg: &DrawnLeg| (leg.to.0 - leg.from.0).hypot(leg.to.1 - leg.from.1);
        assert!(!drawn.legs[0].broken && drawn.legs[1].broken && drawn.not_to_scale);
        approx::assert_relative_eq!(length(&drawn.legs[1]), 3.0 * length(&drawn.legs[0]), epsilon = 1e-9);
        let alike = [leg([0.0; 3], [0.0, 0.0, 3.0]), leg([0.0, 0.0, 3.0], [0.0, 6.0, 3.0])];
        assert!(!lay_out(&alike, (300.0, 300.0)).not_to_scale);
    }

    #[test]
    fn a_thing_stands_on_the_leg_nearest_to_it() {
        let legs = [leg([0.0; 3], [0.0, 0.0, 3.0]), leg([0.0, 0.0, 3.0], [0.0, 60.0, 3.0])];
        let at = |place| on_route(&legs, place).map(|(leg, share)| (leg, (share * 1e3).round() / 1e3));
        assert_eq!(at([0.0, 0.0, 0.0]), Some((0, 0.0)));
        assert_eq!(at([0.5, 30.0, 3.0]), Some((1, 0.5)));
        assert_eq!(at([0.0, 70.0, 3.0]), Some((1, 1.0)));
        assert_eq!((at([f64::NAN, 0.0, 0.0]), on_route(&[], [0.0; 3])), (None, None));
    }

    #[test]
    fn a_line_beside_keeps_its_distance_at_a_corner() {
        assert_eq!(
            beside(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)], 2.0),
            [(0.0, 2.0), (8.0, 2.0), (8.0, 10.0)]
        );
        assert_eq!(
            beside(&[(0.0, 0.0), (10.0, 0.0), (0.0, 0.0)], 2.0),
            [(0.0, 2.0), (10.0, 2.0), (10.0, -2.0), (0.0, -2.0)]
        );
    }

    proptest! {
        #[test]
        fn every_route_fits_its_room(steps in prop::collection::vec((0..6_usize, 0.05..200.0_f64), 1..30)) {
            let mut at = [0.0; 3];
            let mut legs = Vec::new();
            for (way, length) in steps {
                let mut to = at;
                to[way % 3] += if way < 3 { length } else { -length };
                legs.push(leg(at, to));
                at = to;
            }
            let drawn = lay_out(&legs, (300.0, 340.0));
            prop_assert!(drawn.size.0 <= 300.0 + 1e-6 && drawn.size.1 <= 340.0 + 1e-6);
            for leg in &drawn.legs {
                for (x, y) in [leg.from, leg.to] {
                    prop_assert!((-1e-6..=300.0 + 1e-6).contains(&x) && (-1e-6..=340.0 + 1e-6).contains(&y));
                }
            }
        }
    }
}
