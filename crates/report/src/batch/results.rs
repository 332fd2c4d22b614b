//! The table of results: a line a row.

use crate::{
    document::{csv::CsvError, governing, verdict_words},
    figure::{KILOGRAM_PER_OUNCE, METRE_PER_FOOT},
    job::Job,
    view::{BriefLineView, BriefSetView, BriefView, CheckView, SetChargeView, VerdictView},
};

/// Verdict of a row that could not be read or computed.
pub(super) const FAULT: &str = "fault";
/// Place of the verdict among the cells of a line.
pub(super) const VERDICT: usize = 2;

/// The columns of a table of results: those of the sets and lines of a template.
#[derive(Clone, Debug)]
pub struct Layout {
    /// Sets, each with the services of its lines.
    sets: Vec<(String, Vec<&'static str>)>,
    allowable_lengths: bool,
    width: usize,
}

const OF_LINE: [&str; 4] = ["tube", "allowable_length_m", "allowable_length_ft", "stopped_by"];
const OF_CHARGE: [&str; 5] = ["added_for_lines_kg", "added_kg", "added_oz", "total_kg", "charge_question"];

impl Layout {
    /// Of a template and the keys that its table overrides, which may add lines.
    pub fn new<'k>(job: &Job, keys: impl Iterator<Item = &'k str> + Clone, allowable_lengths: bool) -> Self {
        let sets: Vec<(String, Vec<&'static str>)> = job
            .sets
            .iter()
            .map(|set| {
                let name = &set.name.value;
                let of_table = |service: &str| {
                    let path = format!("set.{name}.line.{service}.");
                    keys.clone().any(|key| key.starts_with(&path))
                };
                let services = physics::sizing::Service::NAMED.iter().filter(|(word, service)| {
                    set.lines.iter().any(|line| line.service == *service) || of_table(word)
                });
                (name.clone(), services.map(|(word, _)| *word).collect())
            })
            .collect();
        let mut layout = Self { sets, allowable_lengths, width: 0 };
        layout.width = layout.header_cells().len();
        layout
    }

    fn header_cells(&self) -> Vec<String> {
        let mut header: Vec<String> = [
            "row",
            "name",
            "verdict",
            "governing_set",
            "governing_line",
            "governing_check",
            "governing_condition",
            "value",
            "limit",
            "margin",
            "unit",
        ]
        .map(str::to_owned)
        .to_vec();
        for (set, services) in &self.sets {
            let prefix = if self.sets.len() > 1 { format!("{set}.") } else { String::new() };
            header.extend(["size_verdict", "charge_verdict"].map(|name| format!("{prefix}{name}")));
            for service in services {
                header.extend(self.of_line().iter().map(|name| format!("{prefix}{service}_{name}")));
            }
            header.extend(OF_CHARGE.map(|name| format!("{prefix}{name}")));
        }
        header.push("fault".to_owned());
        header
    }

    fn of_line(&self) -> &'static [&'static str] {
        if self.allowable_lengths { &OF_LINE } else { &OF_LINE[..1] }
    }

    /// The header with its line end.
    ///
    /// # Errors
    /// [`CsvError`].
    pub fn header(&self) -> Result<String, CsvError> {
        line(&self.header_cells())
    }

    /// A row that was computed.
    ///
    /// # Errors
    /// [`CsvError`].
    pub fn row(&self, number: u64, name: &str, view: &BriefView) -> Result<String, CsvError> {
        let mut cells = vec![number.to_string(), name.to_owned(), verdict_words(verdict(view)).to_owned()];
        let set = view.sets.iter().map(|set| (set.name.as_str(), governing_of(set)));
        let checks = set.filter_map(|(name, found)| found.map(|(line, check)| ((name, line), check)));
        match governing(checks) {
            Some(((set, service), check)) => {
                cells.extend(
                    [set, service.unwrap_or_default(), &check.kind, &check.condition].map(str::to_owned),
                );
                cells.extend([check.value, check.limit, check.margin].map(number_cell));
                cells.push(check.unit.to_owned());
            }
            None => cells.extend(vec![String::new(); 8]),
        }
        for (name, services) in &self.sets {
            match view.sets.iter().find(|set| set.name == *name) {
                Some(set) => cells.extend(self.set_cells(set, services)),
                None => {
                    let width = 2 + OF_CHARGE.len() + self.of_line().len() * services.len();
                    cells.extend(vec![String::new(); width]);
                }
            }
        }
        cells.push(String::new());
        line(&cells)
    }

    /// A row that could not be read or computed.
    ///
    /// # Errors
    /// [`CsvError`].
    pub fn fault(&self, number: u64, name: &str, faults: &[String]) -> Result<String, CsvError> {
        let mut cells = vec![String::new(); self.width];
        cells[0] = number.to_string();
        cells[1] = name.to_owned();
        cells[VERDICT] = FAULT.to_owned();
        cells[self.width - 1] = faults.join(" | ");
        line(&cells)
    }

    fn set_cells(&self, set: &BriefSetView, services: &[&str]) -> Vec<String> {
        let verdicts = [set.size_verdict, set.charge_verdict];
        let mut cells = verdicts.map(|verdict| verdict_words(verdict).to_owned()).to_vec();
        for service in services {
            let line = set.lines.iter().find(|line| line.service == *service);
            let of_line = line.map_or_else(Default::default, line_cells);
            cells.extend(of_line.into_iter().take(self.of_line().len()));
        }
        cells.extend(charge_cells(&set.charge));
        cells
    }
}

/// The gravest verdict of a row.
#[must_use]
pub fn verdict(view: &BriefView) -> VerdictView {
    let verdicts = view.sets.iter().flat_map(|set| [set.size_verdict, set.charge_verdict]);
    verdicts.max_by_key(|verdict| verdict.gravity()).unwrap_or(VerdictView::Meets)
}

/// The check that governs a set: of its size, and of its charge where that is not the same check once more.
fn governing_of(set: &BriefSetView) -> Option<(Option<&str>, &CheckView)> {
    let of_set = set.checks.iter().map(|check| (None, check));
    let of_lines = set
        .lines
        .iter()
        .flat_map(|line| line.checks.iter().map(move |check| (Some(line.service.as_str()), check)));
    let again = |check: &&CheckView| set.checks.iter().any(|other| other.kind == check.kind);
    let of_charge = set.charge.checks.iter().filter(|check| !again(check)).map(|check| (None, check));
    governing(of_set.chain(of_lines).chain(of_charge))
}

/// In the order of [`OF_LINE`].
fn line_cells(line: &BriefLineView) -> [String; OF_LINE.len()] {
    let metres = line.allowable_length_m;
    let stopped_by = match &line.stopped_by {
        Some(check) => check.clone(),
        None if line.not_limited => "not limited within".to_owned(),
        None => String::new(),
    };
    [
        line.tube.as_ref().map_or_else(|| "none".to_owned(), |tube| tube.name.clone()),
        number_cell(metres),
        number_cell(metres.map(|metres| metres / METRE_PER_FOOT)),
        stopped_by,
    ]
}

/// In the order of [`OF_CHARGE`].
fn charge_cells(charge: &SetChargeView) -> [String; OF_CHARGE.len()] {
    let budget = charge.budget.as_ref();
    let added_kg = budget.map_or(charge.added_charge_kg, |budget| budget.added_kg);
    let question = match charge.added_charge_kg {
        None => Some(charge.how.clone()),
        Some(_) => budget.and_then(|budget| budget.winter.question.clone()),
    };
    [
        number_cell(charge.added_charge_kg),
        number_cell(added_kg),
        number_cell(added_kg.map(|added| added / KILOGRAM_PER_OUNCE)),
        number_cell(charge.total_charge_kg),
        question.unwrap_or_default(),
    ]
}

fn number_cell(value: Option<f64>) -> String {
    value.map_or_else(String::new, |value| crate::figure::six_digits(value).to_string())
}

/// A line with its end, and no other line end in it.
fn line(cells: &[String]) -> Result<String, CsvError> {
    let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
    writer.write_record(cells.iter().map(|cell| cell.replace(['\r', '\n'], " ")))?;
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8(bytes)?)
}
