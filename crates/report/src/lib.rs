//! Job file, studies, charts and documents.
//!
//! [`job::read`] takes the text of a job, [`study::resolve`] looks up what it names, a study ([`study::size`],
//! [`study::charge`], [`study::compare`]) gives a view, whose numbers are SI with the unit in the name; documents and
//! charts print views.
//!
//! # Example
//! ```
//! use report::{job, study, view::VerdictView};
//! use tables::Library;
//!
//! let library = Library::embedded()?;
//! let job = job::read("ice-room.toml", job::STARTER.as_bytes()).map_err(|faults| faults.plain())?;
//! let resolved = study::resolve(&job, &library)?;
//! let answer = study::size(&resolved);
//! assert_eq!(answer.verdict, VerdictView::Meets);
//! let liquid = answer.sets[0].lines.iter().find(|line| line.service == "liquid").ok_or("no liquid line")?;
//! let tube = liquid.tube.as_ref().ok_or("no tube meets")?;
//! println!("{}: {:.2} kg of refrigerant", tube.name, liquid.charge_kg.unwrap_or(f64::NAN));
//! // 70 ft of run, each foot 0.3048 m.
//! assert!((liquid.run_m - 70.0 * 0.3048).abs() < 1e-9);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#[cfg(feature = "cli")]
pub mod batch;
#[cfg(feature = "charts")]
pub mod chart;
#[cfg(feature = "cli")]
pub mod cli;
#[cfg(feature = "cli")]
pub mod deliver;
pub mod document;
pub mod figure;
pub mod job;
pub mod study;
pub mod view;

#[cfg(test)]
mod sample;
