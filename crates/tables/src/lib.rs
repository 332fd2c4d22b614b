//! Data and look-up: tubes, fittings, insulation, refrigerants, limits and property grids, each value with its source.
//!
//! [`Library`] is the door. It reads the data embedded in the program, or a folder of the same layout on disk:
//! ```
//! use physics::units::{Length, OutsideDiameter, unit::length::inch};
//! use tables::{Library, tubes};
//!
//! let library = Library::embedded()?;
//! let stock = library.tubes().stock("ASTM B280 coil")?;
//! let half_inch = tubes::matching(&stock, OutsideDiameter::new(Length::new::<inch>(0.5)), None);
//! assert_eq!(half_inch[0].printed_outside(), "1/2 in OD");
//! # Ok::<(), tables::TableError>(())
//! ```
//! Every row of every file carries a source and a grade ([`provenance`]); a file that breaks a rule of its table is
//! refused with file, line and column ([`TableError`]).

pub mod dialect;
pub mod error;
pub mod field;
pub mod fittings;
mod folder;
pub mod insulation;
mod library;
pub mod limits;
pub mod materials;
pub mod properties;
pub mod provenance;
pub mod refrigerants;
pub mod roof;
mod sheet;
pub mod strength;
mod suggest;
pub mod supplies;
pub mod tubes;
pub mod weather;

pub use error::{Fault, Place, TableError};
pub use folder::DataFolder;
pub use library::Library;
pub use provenance::{Grade, Reading, SafetyFigure, Source, Sourced};
