//! The table of results: a line a row.

use crate::{
    document::{csv::CsvError, governing, verdict_words},
    job::Job,
    view::{BriefSetView, BriefView, CheckView, VerdictView},
};

/// Verdict of a row that could not be read or computed.
pub const FAULT: &str = "fault";
/// Place of the verdict among the cells of a line.
pub const VERDICT: usize = 2;
const KILOGRAM_PER_OUNCE: f64 = 0.028_349_523_125;
const METRE_PER_FOOT: f64 = 0.3048;

/// The columns of a table of results: those of the sets and lines of a template.
#[derive(Clone, Debug)]
pub struct Layout {
    /// Sets, each with the services of its lines.
    sets: Vec<(String, Vec<&'static str>)>,
    width: usize,
}

impl Layout {
    /// Of a template and the keys that its table overrides, which may add lines.
    pub fn new<'k>(job: &Job, keys: impl Iterator<Item = &'k str> + Clone) -> Self {
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
        let mut layout = Self { sets, width: 0 };
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
                header.extend(
                    ["tube", "allowable_length_m", "allowable_length_ft", "stopped_by"]
                        .map(|name| format!("{prefix}{service}_{name}")),
                );
            }
            header.extend(
                ["added_for_lines_kg", "added_kg", "added_oz", "total_kg", "charge_question"]
                    .map(|name| format!("{prefix}{name}")),
            );
        }
        header.push("fault".to_owned());
        header
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
                cells.extend([set, service.unwrap_or_default(), &check.kind, &check.condition].map(str::to_owned));
                cells.extend([check.value, check.limit, check.margin].map(number_cell));
                cells.push(check.unit.to_owned());
            }
            None => cells.extend(vec![String::new(); 8]),
        }
        for (name, services) in &self.sets {
            match view.sets.iter().find(|set| set.name == *name) {
                Some(set) => cells.extend(set_cells(set, services)),
                None => cells.extend(vec![String::new(); 7 + 4 * services.len()]),
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

fn set_cells(set: &BriefSetView, services: &[&str]) -> Vec<String> {
    let mut cells = [set.size_verdict, set.charge_verdict].map(|verdict| verdict_words(verdict).to_owned()).to_vec();
    for service in services {
        match set.lines.iter().find(|line| line.service == *service) {
            Some(line) => {
                cells.push(line.tube.as_ref().map_or_else(|| "none".to_owned(), |tube| tube.name.clone()));
                let metres = line.allowable_length_m;
                cells.extend([metres, metres.map(|metres| metres / METRE_PER_FOOT)].map(number_cell));
                cells.push(match &line.stopped_by {
                    Some(check) => check.clone(),
                    None if line.not_limited => "not limited within".to_owned(),
                    None => String::new(),
                });
            }
            None => cells.extend(vec![String::new(); 4]),
        }
    }
    let charge = &set.charge;
    let budget = charge.budget.as_ref();
    let added_kg = budget.map_or(charge.added_charge_kg, |budget| budget.added_kg);
    cells.extend(
        [
            charge.added_charge_kg,
            added_kg,
            added_kg.map(|added| added / KILOGRAM_PER_OUNCE),
            charge.total_charge_kg,
        ]
        .map(number_cell),
    );
    let question = match charge.added_charge_kg {
        None => Some(charge.how.clone()),
        Some(_) => budget.and_then(|budget| budget.winter.question.clone()),
    };
    cells.push(question.unwrap_or_default());
    cells
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
