//! The job file: text in, all faults at once or a checked [`Job`] out.
//!
//! [`read`] is the way in. Quantities, tube sizes, legs and parts have modules of their own, which also serve the
//! options of the command line.

mod across;
mod asked;
mod attached;
mod budget;
pub mod catalogue;
mod cells;
pub mod compressor_map;
mod condenser;
pub mod diagnose;
pub mod field;
mod file;
mod layout;
mod load;
mod model;
pub mod outline;
pub mod part;
mod plate;
pub mod quantity;
mod roof;
pub mod route;
mod schema;
pub mod size;
mod starter;
mod syntax;
mod table;

pub use attached::{AttachFaults, Attached, attach};
pub use catalogue::{Catalogue, CatalogueModel, CatalogueRating};
pub use compressor_map::{CompressorMap, Row as MapRow};
pub use diagnose::{Fault, FaultKind, Faults, Located, Source, Span};
pub use field::FieldWork;
pub use file::read;
pub use model::*;
pub use outline::{Outline, Plan};
pub use part::{Part, PartKind};
pub use quantity::{FlowCoefficient, PressureReading, SaturatedTemperature, SaturationEnd, SoundPowerLevel};
pub use route::{Direction, INDOORS, Leg, Route};
pub use schema::{SettableLimit, schema};
pub use size::{SizeRequest, TubeForm, TubeRequest};
pub use starter::STARTER;
