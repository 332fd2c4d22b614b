//! The job pack: all sheets of a job together, and what only the pack holds.

use super::{
    ChargeView, CheckView, CompareView, FieldView, MaterialItemView, MaterialsView, PlacingView, RecordView,
    SizeView, SourceView, StartUpView, TagsView, VerdictView,
};
use serde::Serialize;

/// Answer of `lineset pack`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PackView {
    /// Name of the job.
    pub job: String,
    /// The layout that all sheets are for, its added legs in the routes: the recommended one; absent where there is none.
    pub built_as: Option<String>,
    /// The gravest verdict of all sheets; proving and supply count where the job has a table for them.
    pub verdict: VerdictView,
    /// All checks of all sheets, the one that governs first, then by what is left to the limit.
    pub summary: Vec<PackCheckView>,
    /// Tubes.
    pub size: SizeView,
    /// Charge.
    pub charge: ChargeView,
    /// Layouts; absent where there is nothing to compare (see `not_compared`).
    pub compare: Option<CompareView>,
    /// Why there are no layouts in the pack, and what would bring them.
    pub not_compared: Option<String>,
    /// Pressure test, evacuation and holding charge.
    pub prove: FieldView,
    /// Power, water and drain.
    pub supply: FieldView,
    /// What the pack holds of each set beside the sheets.
    pub sets: Vec<SetPackView>,
    /// The material of all sets together: what to buy.
    pub materials: Vec<MaterialItemView>,
    /// What the pack does not contain.
    pub not_contained: Vec<String>,
    /// The ledgers of all sheets together, each entry once.
    pub sources: Vec<SourceView>,
    /// Safety cautions of all sheets together, each once.
    pub cautions: Vec<String>,
}

/// One check with the place it belongs to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PackCheckView {
    /// Sheet that it stands on: `size`, `charge`, `compare`, `prove`, `supply`.
    pub sheet: &'static str,
    /// Set or layout; empty where it is of neither.
    pub of: String,
    /// Line or part of the work; empty for a set as a whole.
    pub part: String,
    /// The check in a sentence.
    pub sentence: String,
    /// The check.
    pub check: CheckView,
}

/// What the pack holds of one set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetPackView {
    /// Name from the job file.
    pub name: String,
    /// Letter that its tags begin with.
    pub letter: String,
    /// Where the condenser stands and what the maker's sheet must confirm.
    pub placing: PlacingView,
    /// Material.
    pub materials: MaterialsView,
    /// Tags.
    pub tags: TagsView,
    /// Record sheets.
    pub records: RecordView,
    /// Start-up and hand-over.
    pub start_up: StartUpView,
}

/// One thing to do, or one rule, with where it comes from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StepView {
    /// In a sentence.
    pub text: String,
    /// Its source; empty where it only says what this job states or what was computed for it.
    pub source: String,
    /// Grade of the source; empty where there is none.
    pub grade: String,
}
