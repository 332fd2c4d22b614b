//! Record sheets: what to read, what it must be, and room to write.

use super::StepView;
use serde::Serialize;

/// The record sheets of one set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RecordView {
    /// `pressure-test`, `evacuation`, `charging`.
    pub sheets: Vec<RecordSheetView>,
}

/// One sheet.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RecordSheetView {
    /// Its name in kebab-case.
    pub name: &'static str,
    /// Its title in words.
    pub title: String,
    /// Why acceptance values are missing, and what brings them; absent where the job has the table.
    pub missing: Option<String>,
    /// What to do, in order.
    pub steps: Vec<StepView>,
    /// The rows, in the order of reading.
    pub rows: Vec<RecordRowView>,
}

/// One row.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RecordRowView {
    /// What to read or write down.
    pub what: String,
    /// Unit in US units; empty for text.
    pub unit_us: &'static str,
    /// Unit in SI units; empty for text.
    pub unit_si: &'static str,
    /// Acceptance or expected value in SI.
    pub value: Option<f64>,
    /// Its unit as in checks; empty where there is no value.
    pub value_unit: &'static str,
    /// What must be read, in words; empty where it is only recorded.
    pub accept: String,
    /// Source of that, where it is a rule; empty otherwise.
    pub source: String,
    /// Grade of the source.
    pub grade: String,
    /// Blank fields to the right: 1, or more where it is read several times.
    pub blanks: u32,
}
