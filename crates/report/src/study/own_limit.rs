//! Entries of `[limits]` that belong to no check of a single line.

use super::resolve::Resolved;
use crate::job::quantity::{self, Quantity};
use tables::Sourced;

/// The job's own value of a limit, or the default one, with its source and grade. Resolving has refused an entry that
/// can not be read or lies outside the range of its key.
pub(super) fn own_or<Q: Quantity>(
    resolved: &Resolved<'_>,
    key: &str,
    default: &Sourced<Q>,
) -> (Q, String, String) {
    let own = resolved.job.limits.iter().find(|entry| entry.key.value == key);
    match own.and_then(|entry| quantity::read(&entry.text.value).ok()) {
        Some(value) => (value, "the job file, [limits]".to_owned(), "job".to_owned()),
        None => (default.value, default.source.text.to_string(), default.source.grade.to_string()),
    }
}
