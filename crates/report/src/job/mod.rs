//! The job file: text in, all faults at once or a checked [`Job`] out.
//!
//! [`read`] is the way in. Quantities, tube sizes, legs and parts have modules of their own, which also serve the
//! options of the command line.

mod across;
pub mod diagnose;
mod file;
mod model;
pub mod part;
mod plate;
pub mod quantity;
pub mod route;
pub mod size;
mod starter;
mod syntax;
mod table;

pub use diagnose::{Fault, FaultKind, Faults, Located, Source, Span};
pub use file::read;
pub use model::*;
pub use part::{Part, PartKind};
pub use quantity::{FlowCoefficient, PressureReading, SaturatedTemperature, SaturationEnd};
pub use route::{Direction, INDOORS, Leg, Route};
pub use size::{SizeRequest, TubeForm, TubeRequest};
pub use starter::STARTER;
