//! The lines of every set as a layout makes them: sized, charged, and ready to be marched.

use super::super::{
    charge,
    resolve::{ResolvedSet, resolve},
    size::{SizedLine, SizedSet},
    wording,
};
use super::CompareError;
use crate::{
    figure::Units,
    job::{Job, Layout, Leg, Service},
    view::{CheckView, LayoutLineView, VerdictView},
};
use physics::{
    check::{CheckKind, Condition},
    heat::Linear,
    line::Line,
    units::unit::length::meter,
};
use rayon::prelude::*;
use std::sync::Arc;
use tables::Library;

/// One line that physics can march.
pub(super) struct Marched {
    pub(super) service: Service,
    pub(super) line: Line,
    pub(super) exchanges: Vec<Linear>,
    /// The same line in the next smaller and the next larger tube of the stock.
    pub(super) others: Vec<OtherTube>,
}

/// A line in another tube than the one taken.
pub(super) struct OtherTube {
    pub(super) name: String,
    pub(super) larger: bool,
    pub(super) line: Line,
}

/// Lines of all sets in one layout.
pub(super) struct Lines {
    /// By set, in the order of the job; a line without a tube is left out.
    pub(super) marched: Vec<Vec<Marched>>,
    pub(super) views: Vec<LayoutLineView>,
    /// Of the sets as a whole: run, rise, equipment, branch budget.
    pub(super) checks: Vec<CheckView>,
    pub(super) added_charge_kg: Option<f64>,
}

/// The lines of every layout. Layouts that add the same legs share them.
pub(super) fn of_all(
    job: &Job,
    layouts: &[Layout],
    library: &Library,
    units: Option<Units>,
) -> Result<Vec<Arc<Lines>>, CompareError> {
    let first_alike = |layout: &Layout| layouts.iter().position(|other| added(other) == added(layout));
    let firsts: Vec<Option<usize>> = layouts.iter().map(first_alike).collect();
    let found = layouts
        .par_iter()
        .enumerate()
        .map(|(index, layout)| {
            let first = firsts[index] == Some(index);
            first.then(|| of_one(&lengthened(job, layout), library, units).map(Arc::new)).transpose()
        })
        .collect::<Result<Vec<_>, _>>()?;
    Ok(firsts.into_iter().filter_map(|first| found[first?].clone()).collect())
}

/// What a layout adds, wherever it is written.
fn added(layout: &Layout) -> Vec<(&str, Vec<&Leg>)> {
    let sets = layout.added_legs.iter();
    sets.map(|(set, legs)| (&*set.value, legs.iter().map(|leg| &leg.value).collect())).collect()
}

/// The job with the legs that a layout adds at the condenser's end.
pub(in crate::study) fn lengthened(job: &Job, layout: &Layout) -> Job {
    let mut job = job.clone();
    for (name, legs) in &layout.added_legs {
        if let Some(set) = job.sets.iter_mut().find(|set| set.name.value == name.value) {
            set.route.legs.extend(legs.iter().cloned());
        }
    }
    job
}

fn of_one(job: &Job, library: &Library, units: Option<Units>) -> Result<Lines, CompareError> {
    let resolved = resolve(job, library)?.printed_in(units);
    let sized: Vec<SizedSet<'_>> =
        resolved.sets.par_iter().map(|set| SizedSet::new(set, resolved.library)).collect();
    let (mut marched, mut views, mut checks) = (Vec::new(), Vec::new(), Vec::new());
    let mut added_charge_kg = Some(0.0);
    for set in &sized {
        marched.push(set.lines.iter().filter_map(|line| marched_line(set.set, line)).collect());
        views.extend(set.lines.iter().map(|line| view(set.set, line)));
        checks.extend(set.checks(&resolved).0.into_iter().map(|check| of_set(check, set, sized.len() > 1)));
        let added = charge::added_charge_kg(set, &resolved);
        added_charge_kg = added_charge_kg.zip(added).map(|(sum, more)| sum + more);
    }
    Ok(Lines { marched, views, checks, added_charge_kg })
}

/// The check with the name of its set, where there are several.
fn of_set(mut check: CheckView, set: &SizedSet<'_>, several: bool) -> CheckView {
    if several {
        let name = &set.set.set.name.value;
        check.condition =
            if check.condition.is_empty() { name.clone() } else { format!("{}, {name}", check.condition) };
    }
    check
}

/// The nearest stocked tubes of another outside diameter, one each way.
fn others(set: &ResolvedSet<'_>, line: &SizedLine<'_>) -> Vec<OtherTube> {
    let Some(taken) = line.taken else { return Vec::new() };
    let candidates = &line.line.candidates;
    let outside = |index: usize| candidates[index].tube.outside();
    let smaller = (0..taken).rev().find(|index| outside(*index) < outside(taken));
    let larger = (taken + 1..candidates.len()).find(|index| outside(*index) > outside(taken));
    let other = |index: usize| OtherTube {
        name: candidates[index].printed_among(&set.stock),
        larger: index > taken,
        line: line.cases[index].line.clone(),
    };
    smaller.into_iter().chain(larger).map(other).collect()
}

fn marched_line(set: &ResolvedSet<'_>, line: &SizedLine<'_>) -> Option<Marched> {
    let (_, case, _) = line.taken()?;
    let exchanges = case.duty(Condition::Summer).map(|duty| duty.exchanges.clone()).unwrap_or_default();
    Some(Marched {
        service: line.line.service,
        line: case.line.clone(),
        exchanges,
        others: others(set, line),
    })
}

fn view(set: &ResolvedSet<'_>, line: &SizedLine<'_>) -> LayoutLineView {
    let taken = line.taken();
    let judged = taken.map(|(_, _, judged)| judged);
    let value = |kind| judged.and_then(|judged| judged.value_of(kind));
    LayoutLineView {
        set: set.set.name.value.clone(),
        service: line.line.service.name().to_owned(),
        tube: taken.map(|(product, ..)| product.printed_among(&set.stock)),
        run_m: set.set.route.run().get::<meter>(),
        lift_m: line.cases.first().map_or(0.0, |case| case.line.lift().get::<meter>()),
        saturated_temperature_drop_k: value(CheckKind::SaturatedTemperatureDrop),
        flash_margin_k: value(CheckKind::FlashMargin),
        verdict: judged.map_or(VerdictView::Fails, |judged| wording::judgement(judged).verdict),
    }
}
