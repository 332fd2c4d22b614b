//! The route in space with its lines, for the isometric.

use serde::Serialize;

/// One straight piece of the route. Coordinates are east, north and up of the head.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct IsometricLegView {
    /// Where it begins, seen from the head: east, north, up.
    pub from_m: [f64; 3],
    /// Where it ends.
    pub to_m: [f64; 3],
    /// Measured length.
    pub length_m: f64,
    /// Its surroundings, `attic`; `indoors` where the job names none.
    pub place: String,
}

/// One line in the route.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct IsometricLineView {
    /// `discharge`, `liquid`, `drain`, `suction`.
    pub service: String,
    /// The tube taken, `1/2 in OD`.
    pub tube_name: String,
    /// What the tags at both ends of this line say; short, `ICE-ROOM D`.
    pub tag: String,
}

/// A thing on the route: the head, the condenser, a trap.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct IsometricMarkView {
    /// Where: east, north and up of the head.
    pub at_m: [f64; 3],
    /// `head`, `condenser`, `inverted loop`, `foot trap`, `receiver`.
    pub name: String,
}

/// The route of one set in space.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct IsometricView {
    /// Name of the set.
    pub set: String,
    /// The legs from the head to the condenser, each beginning where the one before ends.
    pub legs: Vec<IsometricLegView>,
    /// The lines that run along it.
    pub lines: Vec<IsometricLineView>,
    /// What stands on it; the head at its beginning and the condenser at its end among them.
    pub marks: Vec<IsometricMarkView>,
    /// Height of the condenser above the head; negative below it.
    pub lift_m: f64,
    /// Length of all legs.
    pub run_m: f64,
    /// Whether the job states the points of the compass; without them level legs may be
    /// drawn any way, and no north arrow is.
    pub compass: bool,
}
