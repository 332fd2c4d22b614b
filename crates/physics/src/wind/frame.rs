//! A frame with the units that it carries, and the block that the wind sees of it.

use super::WindError;
use crate::{
    range::{OutOfRange, within},
    units::{Length, Mass, Pressure, STANDARD_GRAVITY_M_S2},
};
use uom::si::{length::meter, mass::kilogram, pressure::pascal};

/// Farthest that anything of a frame may lie off, m.
const FARTHEST_M: f64 = 100.0;

/// A condenser as the wind sees it: a block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// Side along the width of the frame; 0.01 to 100 m, as depth and height.
    pub width: Length,
    /// Side along the depth of the frame.
    pub depth: Length,
    /// Height.
    pub height: Length,
    /// Operating mass, above 0 to 100 000 kg.
    pub mass: Mass,
}

/// A unit and where it stands on the frame. The origin is any corner of the plan; every place lies within 100 m of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlacedUnit {
    /// The unit.
    pub unit: Unit,
    /// From the origin to its near side, along the width.
    pub across: Length,
    /// From the origin to its near side, along the depth.
    pub along: Length,
    /// From the top of the stand to its underside; at least 0.
    pub above: Length,
}

/// Units on top of each other, from the lowest up, each in the middle of the one below.
#[must_use]
pub fn stacked(units: &[Unit]) -> Vec<PlacedUnit> {
    let mut above = Length::new::<meter>(0.0);
    let place = |unit: &Unit| {
        let placed = PlacedUnit { unit: *unit, across: -0.5 * unit.width, along: -0.5 * unit.depth, above };
        above += unit.height;
        placed
    };
    units.iter().map(place).collect()
}

/// Units beside each other along the width, with a clear gap between neighbours.
#[must_use]
pub fn side_by_side(units: &[Unit], gap: Length) -> Vec<PlacedUnit> {
    let none = Length::new::<meter>(0.0);
    let mut across = none;
    let place = |unit: &Unit| {
        let placed = PlacedUnit { unit: *unit, across, along: -0.5 * unit.depth, above: none };
        across += unit.width + gap;
        placed
    };
    units.iter().map(place).collect()
}

/// What the units stand on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stand {
    /// From the roof to the underside of the lowest unit's place; 0 to 20 m.
    pub height: Length,
    /// Whether it is closed, so that wind presses on it too.
    pub clad: bool,
    /// Mass of stand and platform; 0 where unknown (safe side for the anchors, not for the roof), to 100 000 kg.
    pub mass: Mass,
}

/// Anchors of a frame, in rows along its four sides, the middle of them under the middle of the units' plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Anchors {
    /// Distance between the two rows that run along the depth; 0.01 to 100 m.
    pub span_width: Length,
    /// Distance between the two rows that run along the width; 0.01 to 100 m.
    pub span_depth: Length,
    /// Anchors in one row along the width: they hold against wind on the width; at least 1.
    pub row_width: u32,
    /// Anchors in one row along the depth; at least 1.
    pub row_depth: u32,
    /// All anchors: they share the shear.
    pub count: u32,
}

/// Face of a frame that the wind blows on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// The face as wide as the frame.
    Width,
    /// The face as wide as the frame is deep.
    Depth,
}

impl Face {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Width, Self::Depth];
}

/// A frame with its units, reduced to the block around them.
///
/// The block is taken as solid: gaps between units count as if they were filled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    stand: Stand,
    anchors: Anchors,
    width_m: f64,
    depth_m: f64,
    bottom_m: f64,
    top_m: f64,
    mass_kg: f64,
    /// Centre of mass off the middle of the plan, along the width and along the depth.
    off_m: [f64; 2],
}

impl Frame {
    /// A frame. The stand's mass acts in the middle of the plan.
    ///
    /// # Errors
    /// [`WindError::NoUnit`]; [`WindError::OutOfRange`] for a dimension, place or mass outside its range;
    /// [`WindError::RowBeyondCount`]; [`WindError::WeightOutsideAnchors`] for a frame that tips by itself.
    pub fn new(units: &[PlacedUnit], stand: Stand, anchors: Anchors) -> Result<Self, WindError> {
        if units.is_empty() {
            return Err(WindError::NoUnit);
        }
        let (mut low_m, mut high_m) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        let mut moment_kg_m = [0.0; 2];
        let mut units_kg = 0.0;
        for placed in units {
            let unit = &placed.unit;
            let mass_kg = within("mass of a unit (kg)", unit.mass.get::<kilogram>(), 1e-3, 1e5)?;
            units_kg += mass_kg;
            let places = [(placed.across, -FARTHEST_M), (placed.along, -FARTHEST_M), (placed.above, 0.0)];
            let sides = [unit.width, unit.depth, unit.height];
            for (axis, ((place, least_m), side)) in places.into_iter().zip(sides).enumerate() {
                let place_m =
                    within("place of a unit on the frame (m)", place.get::<meter>(), least_m, FARTHEST_M)?;
                let side_m = extent("side of a unit (m)", side)?;
                low_m[axis] = low_m[axis].min(place_m);
                high_m[axis] = high_m[axis].max(place_m + side_m);
                if let Some(moment) = moment_kg_m.get_mut(axis) {
                    *moment += mass_kg * (place_m + 0.5 * side_m);
                }
            }
        }
        within("height of the stand (m)", stand.height.get::<meter>(), 0.0, 20.0)?;
        let mass_kg = units_kg + within("mass of the stand (kg)", stand.mass.get::<kilogram>(), 0.0, 1e5)?;
        let off_m = [0, 1]
            .map(|axis: usize| (moment_kg_m[axis] - 0.5 * (low_m[axis] + high_m[axis]) * units_kg) / mass_kg);
        for (span, off_m) in [anchors.span_width, anchors.span_depth].into_iter().zip(off_m) {
            let span_m = extent("distance of the rows of anchors (m)", span)?;
            if off_m.abs() >= 0.5 * span_m {
                return Err(WindError::WeightOutsideAnchors { off_m: off_m.abs(), span_m });
            }
        }
        for row in [anchors.row_width, anchors.row_depth] {
            within("number of anchors in a row", f64::from(row), 1.0, 1e4)?;
            if row > anchors.count {
                return Err(WindError::RowBeyondCount { row, count: anchors.count });
            }
        }
        Ok(Self {
            stand,
            anchors,
            width_m: high_m[0] - low_m[0],
            depth_m: high_m[1] - low_m[1],
            bottom_m: low_m[2],
            top_m: high_m[2],
            mass_kg,
            off_m,
        })
    }

    /// Mass of units and stand.
    #[must_use]
    pub fn mass(&self) -> Mass {
        Mass::new::<kilogram>(self.mass_kg)
    }

    /// Weight over the plan of the block: what to hold against the load that the roof was built for. Legs press on far
    /// smaller spots.
    #[must_use]
    pub fn footprint_pressure(&self) -> Pressure {
        Pressure::new::<pascal>(self.weight_n() / self.plan_m2())
    }

    pub(super) fn anchors(&self) -> &Anchors {
        &self.anchors
    }

    pub(super) fn weight_n(&self) -> f64 {
        self.mass_kg * STANDARD_GRAVITY_M_S2
    }

    pub(super) fn plan_m2(&self) -> f64 {
        self.width_m * self.depth_m
    }

    /// Area that the wind presses on, and the height of its centre above the roof.
    pub(super) fn face(&self, face: Face) -> (f64, f64) {
        let stand_m = self.stand.height.get::<meter>();
        let from_m = if self.stand.clad { 0.0 } else { stand_m + self.bottom_m };
        let to_m = stand_m + self.top_m;
        let side_m = match face {
            Face::Width => self.width_m,
            Face::Depth => self.depth_m,
        };
        (side_m * (to_m - from_m), 0.5 * (from_m + to_m))
    }

    /// Distance of the rows that resist wind on a face, that of the weight from the nearer of them, and anchors a row.
    pub(super) fn holds_against(&self, face: Face) -> (f64, f64, u32) {
        let (span, off_m, row) = match face {
            Face::Width => (self.anchors.span_depth, self.off_m[1], self.anchors.row_width),
            Face::Depth => (self.anchors.span_width, self.off_m[0], self.anchors.row_depth),
        };
        let span_m = span.get::<meter>();
        (span_m, 0.5 * span_m - off_m.abs(), row)
    }
}

fn extent(what: &'static str, length: Length) -> Result<f64, OutOfRange> {
    within(what, length.get::<meter>(), 0.01, FARTHEST_M)
}
