//! Job file, studies, charts and documents.

pub mod view;
