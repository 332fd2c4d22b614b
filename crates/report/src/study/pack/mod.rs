//! The job pack: all sheets of a job, and what only the pack holds of each set.

mod materials;
mod placing;
mod record;
mod start_up;
mod summary;
mod tags;
#[cfg(test)]
mod tests;

use super::{
    charge,
    compare::{CompareError, compare, lines::lengthened},
    each_once,
    ledger::Ledger,
    prove,
    resolve::{Resolved, ResolvedLine, ResolvedSet, resolve},
    size::{size, tube_view, worst},
    supply,
};
use crate::{
    figure::Units,
    job::{Job, Service},
    view::{
        ChargeView, CompareView, FieldFigureView, FieldPartView, FieldSetView, FieldView, LayoutView,
        LineView, PackView, SetChargeView, SetPackView, SetSizeView, SizeView, SourceView, StepView,
        VerdictView,
    },
};
use physics::units::AbsolutePressure;
use tables::{Library, Source, supplies::Habits, tubes::TubeProduct};

/// Collects all sheets of a job; `progress` hears of the comparison of the layouts, the only long part.
///
/// What can not be compared is said in [`PackView::not_compared`]; the pack is made all the same.
///
/// # Errors
/// [`CompareError`] where the job has faults that only property data shows, or the tables are at fault.
pub fn pack(
    job: &Job,
    library: &Library,
    units: Option<Units>,
    progress: &(dyn Fn(f64) + Sync),
) -> Result<PackView, CompareError> {
    let (compare, not_compared) = compared(job, library, units, progress)?;
    // The lines lead to where the condensers will stand.
    let layout = compare.as_ref().and_then(|view| view.recommended.as_ref());
    let layout = layout.and_then(|name| job.layouts.iter().find(|layout| layout.name.value == *name));
    let built = layout.map_or_else(|| job.clone(), |layout| lengthened(job, layout));
    let resolved = resolve(&built, library)?.printed_in(units);
    let (mut size, charge) = (size(&resolved), charge::charge(&resolved));
    let (prove, supply) = (prove::prove(&resolved), supply::supply(&resolved));
    let desk =
        Desk { resolved: &resolved, size: &size, charge: &charge, compare: compare.as_ref(), prove: &prove };
    let mut ledger = Ledger::default();
    let sets = desk.sets(&mut ledger);
    let materials = materials::of_all(&sets, desk.units());
    let summary = summary::summary(&desk, &supply);
    letter_isometrics(&mut size, &sets);
    let verdict = verdict(&size, &charge, compare.as_ref(), [&prove, &supply]);
    let of_compare = compare.as_ref();
    let ledgers: [&[SourceView]; 5] = [
        &size.sources,
        &charge.sources,
        of_compare.map_or(&[], |view| &view.sources),
        &prove.sources,
        &supply.sources,
    ];
    let cautions: [&[String]; 5] = [
        &size.cautions,
        &charge.cautions,
        of_compare.map_or(&[], |view| &view.cautions),
        &prove.cautions,
        &supply.cautions,
    ];
    Ok(PackView {
        job: job.name.value.clone(),
        built_as: layout.map(|layout| layout.name.value.clone()),
        verdict,
        summary,
        materials,
        sources: each_once(ledgers.concat().into_iter().chain(ledger.into_view())),
        cautions: each_once(cautions.concat()),
        not_contained: NOT_CONTAINED.map(str::to_owned).to_vec(),
        sets,
        size,
        charge,
        compare,
        not_compared,
        prove,
        supply,
    })
}

const NOT_CONTAINED: [&str; 4] = [
    "prices, hours of work, hoisting and scaffold",
    "drawings of the building, permits, and who signs for what",
    "electrical material: cable, conduit, disconnects (`lineset supply` says the circuits)",
    "water and drain material: tube, filter, backflow device (`lineset supply` says what they must do)",
];

/// The comparison, or why there is none and what would bring it.
fn compared(
    job: &Job,
    library: &Library,
    units: Option<Units>,
    progress: &(dyn Fn(f64) + Sync),
) -> Result<(Option<CompareView>, Option<String>), CompareError> {
    if job.condensers.is_empty() {
        let missing = "No layouts are compared: the job describes no condenser (tables [condenser.NAME] with serves, \
                       rating and air_flow, and [layout.NAME] with draws)";
        return Ok((None, Some(missing.to_owned())));
    }
    match compare(job, library, units, progress) {
        Ok(view) => Ok((Some(view), None)),
        // A fault of the comparison leaves tubes and charge as they are: it is told, and the pack goes on.
        Err(CompareError::Faults(faults)) => {
            let told: Vec<String> =
                faults.iter().map(|fault| format!("{} ({})", fault.message, fault.help)).collect();
            Ok((None, Some(format!("No layouts are compared: {}", told.join("; ")))))
        }
        Err(error @ CompareError::Tables(_)) => Err(error),
    }
}

/// The gravest verdict. A sheet of the field without any table is said in it and does not count.
fn verdict(
    size: &SizeView,
    charge: &ChargeView,
    compare: Option<&CompareView>,
    field: [&FieldView; 2],
) -> VerdictView {
    let asked = |view: &&&FieldView| view.sets.iter().any(|set| !set.parts.is_empty());
    worst(
        [size.verdict, charge.verdict]
            .into_iter()
            .chain(compare.map(|view| view.verdict))
            .chain(field.iter().filter(asked).map(|view| view.verdict)),
    )
}

/// The pictures of a pack show the letters that hang on the tubes.
fn letter_isometrics(size: &mut SizeView, sets: &[SetPackView]) {
    for (set, pack) in size.sets.iter_mut().zip(sets) {
        for line in &mut set.isometric.lines {
            if let Some(tag) = pack.tags.tags.iter().find(|tag| tag.service == line.service) {
                line.tag.clone_from(&tag.line);
            }
        }
    }
}

/// What the parts of all sets share.
struct Desk<'a> {
    resolved: &'a Resolved<'a>,
    size: &'a SizeView,
    charge: &'a ChargeView,
    compare: Option<&'a CompareView>,
    prove: &'a FieldView,
}

impl Desk<'_> {
    fn units(&self) -> Units {
        self.resolved.units()
    }

    fn sets(&self, ledger: &mut Ledger) -> Vec<SetPackView> {
        // Every sheet has the sets of the job, in its order.
        let sheets = self.size.sets.iter().zip(&self.charge.sets).zip(&self.prove.sets);
        let sets = self.resolved.sets.iter().zip(sheets).enumerate();
        sets.map(|(index, (set, ((size, charge), prove)))| {
            let desk = SetDesk { desk: self, index, set, size, charge, prove, letter: letter(index) };
            desk.view(ledger)
        })
        .collect()
    }
}

/// `A`, `B` ... `Z`, `AA`: as many sets as a job may have.
fn letter(index: usize) -> String {
    let last = char::from(b'A' + (index % 26) as u8);
    match index / 26 {
        0 => last.to_string(),
        before => format!("{}{last}", letter(before - 1)),
    }
}

/// One set with its sheets.
struct SetDesk<'a> {
    desk: &'a Desk<'a>,
    index: usize,
    set: &'a ResolvedSet<'a>,
    size: &'a SetSizeView,
    charge: &'a SetChargeView,
    prove: &'a FieldSetView,
    letter: String,
}

impl SetDesk<'_> {
    fn view(&self, ledger: &mut Ledger) -> SetPackView {
        SetPackView {
            name: self.size.name.clone(),
            letter: self.letter.clone(),
            placing: self.placing(ledger),
            materials: self.materials(ledger),
            tags: self.tags(),
            records: self.records(ledger),
            start_up: self.start_up(ledger),
        }
    }

    fn units(&self) -> Units {
        self.desk.units()
    }

    fn both(&self, value: f64, unit: &str) -> String {
        self.desk.resolved.both(value, unit)
    }

    fn job(&self) -> &Job {
        self.desk.resolved.job
    }

    fn library(&self) -> &Library {
        self.desk.resolved.library
    }

    fn habits(&self) -> &Habits {
        self.library().supplies().habits()
    }

    fn air_pressure(&self) -> AbsolutePressure {
        self.desk.resolved.air_pressure()
    }

    /// The line behind its view, and the tube taken.
    fn line(&self, view: &LineView) -> Option<(&ResolvedLine<'_>, Option<&TubeProduct>)> {
        let line = self.set.lines.iter().find(|line| line.service.name() == view.service)?;
        let taken = |product: &&TubeProduct| {
            view.tube.as_ref().is_some_and(|tube| tube_view(product, &self.set.stock) == *tube)
        };
        Some((line, line.candidates.iter().find(taken)))
    }

    /// Condensers that serve the set.
    fn condensers(&self) -> Vec<&str> {
        let name = &self.size.name;
        let serves = |one: &&crate::job::Condenser| one.serves.iter().any(|served| served.value == *name);
        self.job().condensers.iter().filter(serves).map(|one| &*one.name.value).collect()
    }

    /// The layout that is recommended, or the only one.
    fn layout(&self) -> Option<&LayoutView> {
        let view = self.desk.compare?;
        let recommended = view.layouts.iter().find(|layout| view.recommends(layout));
        recommended.or_else(|| view.layouts.first())
    }

    /// A part of the proving sheet.
    fn proved(&self, name: &str) -> Option<&FieldPartView> {
        self.prove.parts.iter().find(|part| part.name == name)
    }

    /// A figure of a part of the proving sheet.
    fn proved_figure(&self, part: &str, what: &str) -> Option<f64> {
        let same = |figure: &&FieldFigureView| figure.what == what;
        self.proved(part)?.figures.iter().find(same).map(|figure| figure.value)
    }
}

/// A step that says what this job states or what was computed for it.
fn step(text: impl Into<String>) -> StepView {
    StepView { text: text.into(), source: String::new(), grade: String::new() }
}

/// A step by a rule.
fn rule(text: impl Into<String>, source: &str, grade: &str) -> StepView {
    StepView { text: text.into(), source: source.to_owned(), grade: grade.to_owned() }
}

/// A step by a row of the tables.
fn by(text: impl Into<String>, source: &Source) -> StepView {
    rule(text, &source.text, &source.grade.to_string())
}

/// A habit of the trade.
fn habit(text: impl Into<String>) -> StepView {
    rule(text, "trade habit, no source", "common practice")
}

/// Letter of a service: that of its name, but `C`, condensate, for a drain.
fn service_letter(service: Service) -> char {
    super::compare::service_letter(service)
}
