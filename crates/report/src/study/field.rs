//! What the sheets of the field share: parts in the making, thresholds with their source, words.

use super::{
    check::{made, unmade},
    ledger::Ledger,
    resolve::{Resolved, ResolvedSet, words},
    size::worst,
};
use crate::{
    figure,
    job::{Located, PressureReading},
    view::{CheckView, FieldFigureView, FieldPartView, FieldSetView, FieldView, VerdictView},
};
use physics::{
    check::Sense,
    field::FieldError,
    units::{AbsolutePressure, ThermodynamicTemperature, unit::thermodynamic_temperature::degree_celsius},
};
use tables::{Library, field::FieldValue};

/// A part in the making.
pub(super) struct Part<'a> {
    view: FieldPartView,
    library: &'a Library,
}

impl<'a> Part<'a> {
    pub(super) fn new(name: &str, library: &'a Library) -> Self {
        let view = FieldPartView {
            name: name.to_owned(),
            verdict: VerdictView::NotChecked,
            answer: String::new(),
            figures: Vec::new(),
            checks: Vec::new(),
            steps: Vec::new(),
            remarks: Vec::new(),
        };
        Self { view, library }
    }

    pub(super) fn figure(&mut self, what: &str, value: f64, unit: &'static str) {
        self.view.figures.push(FieldFigureView { what: what.to_owned(), value, unit });
    }

    pub(super) fn remark(&mut self, text: impl Into<String>) {
        self.view.remarks.push(text.into());
    }

    pub(super) fn step(&mut self, text: impl Into<String>) {
        self.view.steps.push(text.into());
    }

    pub(super) fn check(&mut self, check: CheckView) {
        self.view.checks.push(check);
    }

    /// A check against a limit of the job or its plates.
    pub(super) fn against(
        &mut self,
        kind: &str,
        value: f64,
        limit: f64,
        sense: Sense,
        unit: &'static str,
        (whose, source): (&str, &str),
    ) {
        let check = made(kind, value, limit, sense, unit, None);
        self.check(CheckView { whose: whose.to_owned(), source: source.to_owned(), ..check });
    }

    /// A check that needs a key.
    pub(super) fn lacks(&mut self, kind: &str, missing: impl AsRef<str>) {
        self.check(unmade(kind, "", missing.as_ref().to_owned()));
    }

    /// A check whose figures do not go together.
    pub(super) fn refused(&mut self, kind: &str, error: FieldError) {
        self.lacks(kind, format!("figures that go together: {error}"));
    }

    /// A threshold of the tables with its source in words; none, and a check that could not be made, where a data folder
    /// leaves it out.
    pub(super) fn threshold<V: FieldValue>(&mut self, key: &str, ledger: &mut Ledger) -> Option<(V, String)> {
        match self.library.field().value::<V>(key) {
            Ok(found) => {
                ledger.note(key, &found.source);
                Some((found.value, words(&found.source)))
            }
            Err(error) => {
                self.lacks(key, error.to_string());
                None
            }
        }
    }

    /// Whether one of these checks fails.
    pub(super) fn fails(&self, kinds: &[&str]) -> bool {
        let of_kind = |check: &&CheckView| kinds.contains(&check.kind.as_str());
        self.view.checks.iter().filter(of_kind).any(|check| check.verdict == VerdictView::Fails)
    }

    /// The part with its verdict and its answer.
    pub(super) fn done(mut self, answer: impl Into<String>) -> FieldPartView {
        self.view.verdict = worst(self.view.checks.iter().map(|check| check.verdict));
        self.view.answer = answer.into();
        self.view
    }
}

/// A set with its parts.
pub(super) fn set_view(
    set: &ResolvedSet<'_>,
    parts: Vec<FieldPartView>,
    absent: Vec<String>,
    assumptions: Vec<String>,
) -> FieldSetView {
    let verdict =
        if parts.is_empty() { VerdictView::NotChecked } else { worst(parts.iter().map(|part| part.verdict)) };
    FieldSetView {
        name: set.set.name.value.clone(),
        refrigerant: set.refrigerant.clone(),
        verdict,
        parts,
        absent,
        assumptions,
    }
}

/// The answer for all sets. A set without any table of the sheet is left out of the verdict, unless none has one.
pub(super) fn view(
    resolved: &Resolved<'_>,
    sets: Vec<FieldSetView>,
    ledger: Ledger,
    not_contained: &[&str],
    cautions: Vec<String>,
) -> FieldView {
    let asked: Vec<VerdictView> =
        sets.iter().filter(|set| !set.parts.is_empty()).map(|set| set.verdict).collect();
    let verdict = if asked.is_empty() { VerdictView::NotChecked } else { worst(asked) };
    FieldView {
        job: resolved.job.name.value.clone(),
        verdict,
        sets,
        not_contained: not_contained.iter().map(|text| (*text).to_owned()).collect(),
        sources: ledger.into_view(),
        cautions,
    }
}

/// Pascal above the atmosphere of the site.
pub(super) fn gauge_pa(reading: PressureReading, atmosphere: AbsolutePressure) -> f64 {
    reading.absolute(atmosphere).gauge(atmosphere).get().value
}

/// A stated air, or 20 °C with the assumption told.
pub(super) fn air_or_room(
    stated: Option<Located<ThermodynamicTemperature>>,
    key: &str,
    resolved: &Resolved<'_>,
    assumptions: &mut Vec<String>,
) -> ThermodynamicTemperature {
    const ROOM_C: f64 = 20.0;
    stated.map_or_else(
        || {
            let said = figure::temperature(ROOM_C).both(resolved.units());
            assumptions.push(format!("the lines are at {said} (change with {key})"));
            ThermodynamicTemperature::new::<degree_celsius>(ROOM_C)
        },
        |air| air.value,
    )
}

/// What the tests of both sheets look at: the cellar's job with some of it replaced.
#[cfg(test)]
pub(super) mod of_tests {
    use super::super::{Resolved, resolve};
    use crate::{
        job,
        view::{CheckView, FieldPartView, FieldView},
    };

    pub(in crate::study) const CELLAR: &str = include_str!("../../../../data/jobs/tight-and-dry.toml");

    pub(in crate::study) fn of_cellar(
        changes: &[(&str, &str)],
        study: fn(&Resolved<'_>) -> FieldView,
    ) -> FieldView {
        let text = changes.iter().fold(CELLAR.to_owned(), |text, (old, new)| {
            assert!(text.contains(old), "{old}");
            text.replace(old, new)
        });
        let job = job::read("a.toml", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"));
        let library = tables::Library::embedded().unwrap();
        study(&resolve(&job, &library).unwrap())
    }

    pub(in crate::study) fn part<'a>(view: &'a FieldView, name: &str) -> &'a FieldPartView {
        view.sets[0].parts.iter().find(|part| part.name == name).unwrap()
    }

    pub(in crate::study) fn check<'a>(view: &'a FieldView, name: &str, kind: &str) -> &'a CheckView {
        part(view, name).checks.iter().find(|check| check.kind == kind).unwrap()
    }

    pub(in crate::study) fn figure(view: &FieldView, name: &str, what: &str) -> f64 {
        part(view, name).figures.iter().find(|figure| figure.what == what).unwrap().value
    }
}
