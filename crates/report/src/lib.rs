//! Job file, studies, charts and documents.

pub mod document;
pub mod figure;
pub mod view;

#[cfg(test)]
mod sample;
