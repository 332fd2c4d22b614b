//! Job file, studies, charts and documents.

pub mod job;
pub mod view;
