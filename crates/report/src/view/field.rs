//! Work in the field: what proves lines tight and dry, and what supplies a set with power and water.

use super::{CheckView, SourceView, VerdictView};
use serde::Serialize;

/// Answer of `lineset prove` and of `lineset supply`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FieldView {
    /// Name of the job.
    pub job: String,
    /// Worst verdict of all sets; not checked where no set has a table for this sheet.
    pub verdict: VerdictView,
    /// The sets.
    pub sets: Vec<FieldSetView>,
    /// What this sheet does not contain.
    pub not_contained: Vec<String>,
    /// The ledger of values taken from the tables.
    pub sources: Vec<SourceView>,
    /// Safety cautions.
    pub cautions: Vec<String>,
}

/// One set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FieldSetView {
    /// Name from the job file.
    pub name: String,
    /// Refrigerant.
    pub refrigerant: String,
    /// Worst verdict of its parts; not checked where it has none.
    pub verdict: VerdictView,
    /// `pressure-test`, `evacuation`, `holding-charge`; `power-head`, `power-fan`, `water`, `drain`: those whose table the
    /// job has.
    pub parts: Vec<FieldPartView>,
    /// Tables of this sheet that the set has not, each with what it would bring.
    pub absent: Vec<String>,
    /// Assumptions made, each with the key that changes it.
    pub assumptions: Vec<String>,
}

/// One part of the work.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FieldPartView {
    /// Its name in kebab-case.
    pub name: String,
    /// Worst verdict of its checks.
    pub verdict: VerdictView,
    /// The answer in a sentence.
    pub answer: String,
    /// Its figures.
    pub figures: Vec<FieldFigureView>,
    /// Its checks.
    pub checks: Vec<CheckView>,
    /// What to do, in order.
    pub steps: Vec<String>,
    /// Remarks.
    pub remarks: Vec<String>,
}

/// One figure.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FieldFigureView {
    /// What it is, in kebab-case.
    pub what: String,
    /// Its value in `unit`.
    pub value: f64,
    /// SI unit: `Pa(g)` above the atmosphere of the site, `Pa(a)` above vacuum, `degC`, `s`, `m3`, `kg/a` (a year), `A`, `V`...
    pub unit: &'static str,
}
