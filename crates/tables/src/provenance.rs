//! Where a value comes from, and how much that is worth.

use crate::sheet::Word;
use std::{fmt, sync::Arc};

/// What a source is worth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Grade {
    /// The value was read in the source named.
    Published,
    /// Calculated with the open library named.
    Computed,
    /// Follows from published values by the step named.
    Derived,
    /// Concluded from published values that it reproduces or resembles.
    Inferred,
    /// Recalled; the source was not opened.
    Memory,
    /// A rule of the trade without a source.
    CommonPractice,
    /// Stated by the user.
    Stated,
}

impl Word for Grade {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("published", Self::Published),
        ("computed", Self::Computed),
        ("derived", Self::Derived),
        ("inferred", Self::Inferred),
        ("memory", Self::Memory),
        ("common practice", Self::CommonPractice),
        ("stated", Self::Stated),
    ];
}

impl fmt::Display for Grade {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self.word())
    }
}

/// Source of a value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// The source in words; never empty.
    pub text: Arc<str>,
    /// What it is worth.
    pub grade: Grade,
}

impl fmt::Display for Source {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} ({})", self.text, self.grade)
    }
}

/// A value with its source.
#[derive(Clone, Debug, PartialEq)]
pub struct Sourced<T> {
    /// The value.
    pub value: T,
    /// Where it comes from.
    pub source: Source,
}

impl<T> Sourced<T> {
    pub(crate) fn new(value: T, source: Source) -> Self {
        Self { value, source }
    }

    /// The same source behind another form of the value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Sourced<U> {
        Sourced { value: change(self.value), source: self.source }
    }
}
