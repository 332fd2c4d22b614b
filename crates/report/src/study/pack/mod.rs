//! All studies of one job together.

use super::{CompareError, charge, compare, prove, resolve, size, supply};
use crate::{
    figure::Units,
    job::Job,
    view::{FieldView, PackView, VerdictView},
};
use tables::Library;

/// Makes every study that the job has the keys for.
///
/// # Errors
/// As [`resolve()`] and [`compare()`].
pub fn pack(
    job: &Job,
    library: &Library,
    units: Option<Units>,
    tell: &(dyn Fn(f64) + Sync),
) -> Result<PackView, CompareError> {
    let resolved = resolve(job, library)?.printed_in(units);
    let (size, charge) = (size(&resolved), charge(&resolved));
    let (prove, supply) = (prove(&resolved), supply(&resolved));
    let compare = if !job.condensers.is_empty() { Some(compare(job, library, units, tell)?) } else { None };
    let asked = |view: &FieldView| view.sets.iter().any(|set| !set.parts.is_empty());
    let fields = [&prove, &supply].into_iter().filter(|view| asked(view)).map(|view| view.verdict);
    let verdict = [size.verdict, charge.verdict]
        .into_iter()
        .chain(compare.as_ref().map(|view| view.verdict))
        .chain(fields)
        .max_by_key(|verdict| verdict.gravity())
        .unwrap_or(VerdictView::NotChecked);
    Ok(PackView {
        job: size.job.clone(),
        verdict,
        summary: Vec::new(),
        sets: Vec::new(),
        materials: Vec::new(),
        not_contained: Vec::new(),
        sources: size.sources.clone(),
        cautions: size.cautions.clone(),
        not_compared: None,
        size,
        charge,
        compare,
        prove,
        supply,
    })
}
