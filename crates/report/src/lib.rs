//! Job file, studies, charts and documents.

#[cfg(feature = "charts")]
pub mod chart;
pub mod document;
pub mod figure;
pub mod job;
pub mod study;
pub mod view;

#[cfg(test)]
mod sample;
