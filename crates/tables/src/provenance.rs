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

impl Grade {
    /// Whether the value is only recalled: printed as unconfirmed wherever a person may act on it.
    #[must_use]
    pub fn is_unconfirmed(self) -> bool {
        self == Self::Memory
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

    /// Whether the value is only recalled.
    #[must_use]
    pub fn is_unconfirmed(&self) -> bool {
        self.source.grade.is_unconfirmed()
    }

    /// The same source behind another form of the value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Sourced<U> {
        Sourced { value: change(self.value), source: self.source }
    }
}

/// A figure that people's safety hangs on: class, flammability limit, concentration limit.
///
/// Its value can not be had without what it is worth, so that no check passes on a recalled figure unawares:
/// ```compile_fail
/// # let library = tables::Library::embedded().unwrap();
/// # let refrigerant = library.refrigerants().find("R-404A").unwrap();
/// let limit = refrigerant.concentration_limit.as_ref().unwrap().value;
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct SafetyFigure<T>(Sourced<T>);

/// A safety figure as it may be used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reading<T> {
    /// Read in its source, or computed.
    Confirmed(T),
    /// Recalled only: an answer that rests on it must say so.
    Unconfirmed(T),
}

impl<T> SafetyFigure<T> {
    pub(crate) fn new(value: T, source: Source) -> Self {
        Self(Sourced::new(value, source))
    }

    /// The value with what it is worth.
    pub fn reading(&self) -> Reading<&T> {
        if self.is_unconfirmed() {
            Reading::Unconfirmed(&self.0.value)
        } else {
            Reading::Confirmed(&self.0.value)
        }
    }

    /// Where it comes from.
    #[must_use]
    pub fn source(&self) -> &Source {
        &self.0.source
    }

    /// Whether the value is only recalled.
    #[must_use]
    pub fn is_unconfirmed(&self) -> bool {
        self.0.is_unconfirmed()
    }
}

impl<T> Reading<T> {
    /// The value and whether it is unconfirmed, for printing both.
    pub fn parts(self) -> (T, bool) {
        match self {
            Self::Confirmed(value) => (value, false),
            Self::Unconfirmed(value) => (value, true),
        }
    }
}
