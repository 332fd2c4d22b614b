//! Job file, studies, charts and documents.

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
