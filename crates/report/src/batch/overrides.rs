//! Columns of the table as keys of the job: where each one's cell goes in the text of the template, and as what.

use super::table::Row;
use crate::job::{self, Fault, FaultKind, Faults, Job, quantity::nearest, size::was_date};
use std::{fmt, ops::Range};
use tables::{Library, dialect::Separator};
use toml::de::{DeTable, DeValue};

/// The column that names a row.
const NAME: &str = "name";

/// What is wrong with a column, and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ColumnFault {
    /// Its place, from 1.
    pub place: usize,
    /// Its header.
    pub header: String,
    /// What is wrong; what to write instead.
    pub message: String,
}

impl fmt::Display for ColumnFault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "column {} (`{}`): {}", self.place, self.header, self.message)
    }
}

/// The columns of a table, each with its place in a template.
#[derive(Debug)]
pub struct Columns {
    /// Text of the template.
    template: String,
    /// How many columns the header has.
    width: usize,
    name: Option<usize>,
    /// By their places in the template.
    slots: Vec<Slot>,
    separator: Separator,
}

/// A key that a column overrides.
#[derive(Clone, Debug)]
struct Slot {
    column: usize,
    key: String,
    /// What of the template gives way; empty where the key is not in it.
    at: Range<usize>,
    /// What goes around the value.
    around: (String, &'static str),
    written: Written,
}

/// What the template has at a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Written {
    Text,
    Number,
    Flag,
    Absent,
}

/// A job put together from the template and a row.
#[derive(Debug)]
pub struct Composed {
    /// The text.
    pub text: String,
    /// Where each column's cell went, and the slot, in the order of the text.
    put: Vec<(Range<usize>, usize)>,
}

impl Columns {
    /// Finds every column's key in the template.
    ///
    /// # Errors
    /// All columns that name no key, name one twice, or whose key can not be overridden.
    pub fn new(
        header: &Row,
        separator: Separator,
        template: &str,
        job: &Job,
        library: &Library,
    ) -> Result<Self, Vec<ColumnFault>> {
        // The parser begins to count behind a mark of the encoding.
        let template = template.strip_prefix('\u{feff}').unwrap_or(template).to_owned();
        let width = header.cells.iter().rposition(|cell| !cell.is_empty()).map_or(0, |last| last + 1);
        let mut columns = Self { template, width, name: None, slots: vec![], separator };
        let mut faults = vec![];
        for (column, written) in header.cells.iter().enumerate().filter(|(_, cell)| !cell.is_empty()) {
            let before = header.cells[..column].iter().position(|other| other == written);
            let done = match before {
                Some(before) => {
                    Err(format!("the same stands in column {} already; keep one of the two", before + 1))
                }
                None if written.eq_ignore_ascii_case(NAME) => {
                    columns.name = Some(column);
                    Ok(())
                }
                None => columns.slot(column, written, job, library).map(|slot| columns.slots.push(slot)),
            };
            faults.extend(done.err().map(|message| ColumnFault {
                place: column + 1,
                header: written.clone(),
                message,
            }));
        }
        columns.slots.sort_by_key(|slot| (slot.at.start, slot.column));
        if faults.is_empty() { Ok(columns) } else { Err(faults) }
    }

    /// Keys that are overridden.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.slots.iter().map(|slot| slot.key.as_str())
    }

    /// The name that a row gives itself.
    #[must_use]
    pub fn name<'r>(&self, row: &'r Row) -> Option<&'r str> {
        self.name.and_then(|column| row.cells.get(column)).map(String::as_str).filter(|name| !name.is_empty())
    }

    fn slot(&self, column: usize, key: &str, job: &Job, library: &Library) -> Result<Slot, String> {
        known_name(key, job, library)?;
        let (tree, _) = DeTable::parse_recoverable(&self.template);
        let parts: Vec<&str> = key.split('.').collect();
        if parts
            .iter()
            .any(|part| part.is_empty() || !part.chars().all(|c| c.is_alphanumeric() || "-_".contains(c)))
        {
            return Err(
                "this is no key; write the path of one, such as `set.ice-room.capacity` or `site.altitude`"
                    .into(),
            );
        }
        let mut table = tree.get_ref();
        // Where a key that is not there goes: into the deepest table that has a place of its own in the text.
        let (mut open, mut rest, mut found) = (0..0, parts.as_slice(), 0);
        for (depth, part) in parts.iter().enumerate() {
            let Some((_, value)) = table.iter().find(|(key, _)| key.get_ref().as_ref() == *part) else {
                break;
            };
            let span = value.span();
            match value.get_ref() {
                DeValue::Table(inner) => {
                    if matches!(self.template.as_bytes().get(span.start), Some(b'[' | b'{')) {
                        (open, rest) = (span, &parts[depth + 1..]);
                    }
                    table = inner;
                    found += 1;
                }
                leaf if depth + 1 == parts.len() => {
                    let written = match leaf {
                        DeValue::Integer(_) | DeValue::Float(_) => Written::Number,
                        DeValue::Boolean(_) => Written::Flag,
                        _ => Written::Text,
                    };
                    let around = (String::new(), "");
                    return Ok(Slot { column, key: key.to_owned(), at: span, around, written });
                }
                _ => return Err(format!("`{}` is no table in the template", parts[..=depth].join("."))),
            }
        }
        if found == parts.len() {
            return Err("this is a table of the template; name one of its keys".into());
        }
        let slot = self.absent(column, key, open, &rest.join("."));
        self.try_out(&slot)?;
        Ok(slot)
    }

    /// The place of a key that the template does not have, in the table that begins at `open`.
    fn absent(&self, column: usize, key: &str, open: Range<usize>, rest: &str) -> Slot {
        let text = &self.template;
        let (at, around) = match text.as_bytes().get(open.start) {
            Some(b'{') => (open.start + 1, (format!(" {rest} = "), ",")),
            Some(b'[') if !open.is_empty() => {
                let line_end = text[open.start..].find('\n').map_or(text.len(), |length| open.start + length);
                (line_end, (format!("\n{rest} = "), ""))
            }
            // Before the first table, by its whole path.
            _ => (0, (format!("{key} = "), "\n")),
        };
        Slot { column, key: key.to_owned(), at: at..at, around, written: Written::Absent }
    }

    /// Whether the reader of jobs knows the key, and the text stays TOML with it.
    fn try_out(&self, slot: &Slot) -> Result<(), String> {
        let mut text = self.template.clone();
        let (before, after) = &slot.around;
        text.insert_str(slot.at.start, &format!("{before}\"\"{after}"));
        let of_slot = slot.at.start..slot.at.start + before.len() + 2;
        let Err(faults) = job::read("template", text.as_bytes()) else { return Ok(()) };
        let here = |fault: &&Fault| of_slot.contains(&fault.at.span.start);
        let unplaced = || {
            let key = &slot.key;
            format!("the template has no place for `{key}`; write it into the template with any right value")
        };
        if faults.iter().any(|fault| fault.kind == FaultKind::Syntax) {
            return Err(unplaced());
        }
        match faults.iter().filter(here).find(|fault| fault.kind == FaultKind::Key) {
            Some(fault) => Err(format!("{}; {}", fault.message, fault.help)),
            None => Ok(()),
        }
    }

    /// Puts the cells of a row into the template; an empty cell leaves what the template says.
    ///
    /// # Errors
    /// All cells that can not be meant as they are written.
    pub fn compose(&self, row: &Row) -> Result<Composed, Vec<String>> {
        let cells = &row.cells;
        if cells.len() < self.width || cells[self.width..].iter().any(|cell| !cell.is_empty()) {
            let (cells, width) = (cells.len(), self.width);
            return Err(vec![format!(
                "the row has {cells} cells and the header {width}; end each row as the header ends, and put a cell that \
                 holds a separator in quotation marks"
            )]);
        }
        let mut faults: Vec<String> = vec![];
        let headless = cells.iter().enumerate().find(|(column, cell)| {
            !cell.is_empty()
                && Some(*column) != self.name
                && !self.slots.iter().any(|slot| slot.column == *column)
        });
        faults.extend(headless.map(|(column, _)| {
            format!(
                "column {}: this cell stands under no header; write a key there, or empty the cell",
                column + 1
            )
        }));
        let mut composed = Composed { text: String::with_capacity(self.template.len() + 256), put: vec![] };
        let mut copied = 0;
        for (index, slot) in self.slots.iter().enumerate() {
            let cell = &cells[slot.column];
            if cell.is_empty() {
                continue;
            }
            match slot.value(cell, self.separator) {
                Ok(value) => {
                    composed.text.push_str(&self.template[copied..slot.at.start]);
                    copied = slot.at.end;
                    let start = composed.text.len();
                    composed.text.push_str(&slot.around.0);
                    composed.text.push_str(&value);
                    composed.put.push((start..composed.text.len(), index));
                    composed.text.push_str(slot.around.1);
                }
                Err(message) => faults.push(format!("column `{}`: {message}", slot.key)),
            }
        }
        composed.text.push_str(&self.template[copied..]);
        if faults.is_empty() { Ok(composed) } else { Err(faults) }
    }

    /// What a fault of a composed job says to the one who wrote the table: a column, or a line of the template.
    #[must_use]
    pub fn told(&self, faults: &Faults, composed: &Composed) -> Vec<String> {
        let tell = |fault: &Fault| {
            let places = std::iter::once(&fault.at).chain(&fault.also).map(|mark| mark.span.start);
            let column = places.into_iter().find_map(|byte| self.column_at(byte, composed));
            match column {
                Some(key) => format!("column `{key}`: {}; {}", fault.message, fault.help),
                None => {
                    let line = self.line_of(fault.at.span.start, composed);
                    format!("template, line {line}: {}; {}", fault.message, fault.help)
                }
            }
        };
        faults.iter().map(tell).collect()
    }

    fn column_at(&self, byte: usize, composed: &Composed) -> Option<&str> {
        let (_, slot) = composed.put.iter().find(|(range, _)| range.contains(&byte))?;
        Some(&self.slots[*slot].key)
    }

    /// The line of the template that a place of a composed job comes from.
    fn line_of(&self, byte: usize, composed: &Composed) -> usize {
        let before = composed.put.iter().take_while(|(range, _)| range.end <= byte);
        let moved: isize = before
            .map(|(range, slot)| {
                let slot = &self.slots[*slot];
                (range.len() + slot.around.1.len()) as isize - slot.at.len() as isize
            })
            .sum();
        let byte = byte.saturating_add_signed(-moved).min(self.template.len());
        self.template[..self.template.floor_char_boundary(byte)].matches('\n').count() + 1
    }
}

impl Slot {
    /// The cell as a value of TOML; `Err` says what is wrong with it and what to write instead.
    fn value(&self, cell: &str, separator: Separator) -> Result<String, String> {
        if cell.contains('\u{fffd}') {
            return Err(format!(
                "`{cell}` holds a character of another encoding; save the table as CSV UTF-8"
            ));
        }
        if cell.starts_with('[') {
            return list(cell);
        }
        let last = self.key.rsplit('.').next().unwrap_or_default();
        // Names are words, whatever they look like.
        if last == "name" {
            return Ok(quoted(cell));
        }
        if let Some(was) = was_date(cell, self.is_of_tube()) {
            return Err(no_date(cell, &was, self.is_of_tube()));
        }
        let cell = separator.with_decimal_points(cell).map_err(|error| {
            let [whole, decimal] = &error.offers;
            format!("{error}; write `{whole}` or `{decimal}`")
        })?;
        let flag = ["true", "false"].into_iter().find(|flag| cell.eq_ignore_ascii_case(flag));
        let number = || {
            let digits = cell.strip_prefix('-').unwrap_or(&cell);
            let plain = digits.starts_with(|c: char| c.is_ascii_digit())
                && (digits == "0" || !digits.starts_with('0') || digits.starts_with("0."))
                && !digits.ends_with('.')
                && digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.')
                && digits.matches('.').count() <= 1;
            plain.then(|| cell.clone())
        };
        let bare = match self.written {
            Written::Text => None,
            Written::Flag => flag.map(str::to_owned),
            Written::Number => number(),
            Written::Absent => {
                flag.map(str::to_owned).or_else(|| number().filter(|cell| !cell.contains('.')))
            }
        };
        Ok(bare.unwrap_or_else(|| quoted(&cell)))
    }

    /// Whether a fraction of an inch may stand there.
    fn is_of_tube(&self) -> bool {
        ["tube", "insulation", "covered_tubes", "connections"].iter().any(|part| self.key.contains(part))
    }
}

/// A list as TOML writes it: `["up 14 ft", "north 38 ft in attic"]`.
fn list(cell: &str) -> Result<String, String> {
    let text = format!("x = {cell}");
    let (tree, errors) = DeTable::parse_recoverable(&text);
    let mut entries = tree.get_ref().iter();
    let whole = matches!(entries.next(), Some((key, value))
        if key.get_ref().as_ref() == "x" && matches!(value.get_ref(), DeValue::Array(_)) && value.span() == (4..text.len()));
    if errors.is_empty() && whole && entries.next().is_none() {
        Ok(cell.to_owned())
    } else {
        Err(format!("`{cell}` is no whole list; write `[\"up 14 ft\", \"north 38 ft in attic\"]`"))
    }
}

/// A text of TOML.
fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for character in text.chars() {
        match character {
            '"' | '\\' => out.extend(['\\', character]),
            control if control.is_control() => out.push_str(&format!("\\u{:04x}", control as u32)),
            other => out.push(other),
        }
    }
    out.push('"');
    out
}

fn no_date(cell: &str, was: &[String], of_tube: bool) -> String {
    let meant = |size: &String| {
        let size = if of_tube { size.as_str() } else { size.trim_end_matches(" OD") };
        format!("`{size}`")
    };
    let offers: Vec<String> = was.iter().map(meant).collect();
    let offers = if offers.is_empty() {
        "what stood there".to_owned()
    } else {
        format!("what was meant ({}?)", offers.join(" or "))
    };
    format!("`{cell}` is a date, made by a spreadsheet; format the column as text and write {offers}")
}

/// Whether what a key names between its first and its second point is there: a set, a place, a limit.
fn known_name(key: &str, job: &Job, library: &Library) -> Result<(), String> {
    let mut parts = key.split('.');
    let (Some(table), Some(name)) = (parts.next(), parts.next()) else { return Ok(()) };
    let known: Vec<&str> = match table {
        "set" => job.sets.iter().map(|set| set.name.value.as_str()).collect(),
        "places" => job.places.iter().map(|place| place.name.value.as_str()).collect(),
        "condenser" => job.condensers.iter().map(|condenser| condenser.name.value.as_str()).collect(),
        "layout" => job.layouts.iter().map(|layout| layout.name.value.as_str()).collect(),
        "limits" => library.limits().all().iter().map(|limit| &*limit.key).collect(),
        _ => return Ok(()),
    };
    if known.contains(&name) || (table == "places" && name == job::INDOORS) {
        return Ok(());
    }
    let help = match nearest(name, known.iter().copied()) {
        Some(known) => format!("did you mean `{}`?", key.replacen(name, known, 1)),
        None if known.is_empty() => "write it into the template first".to_owned(),
        None if table == "limits" => "`lineset sources` lists the limits".to_owned(),
        None => format!("it has {}", known.join(", ")),
    };
    let what = if table == "limits" {
        "there is no limit".to_owned()
    } else {
        format!("the template has no `{table}`")
    };
    Err(format!("{what} `{name}`; {help}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEMPLATE: &str = include_str!("../../../../data/jobs/too-far.toml");

    fn row(number: u64, cells: &[&str]) -> Row {
        Row { number, cells: cells.iter().map(|cell| (*cell).to_owned()).collect() }
    }

    fn columns(header: &[&str]) -> Result<Columns, Vec<ColumnFault>> {
        let job = job::read("template", TEMPLATE.as_bytes()).unwrap();
        Columns::new(&row(1, header), Separator::Comma, TEMPLATE, &job, &Library::embedded().unwrap())
    }

    #[test]
    fn cells_go_where_their_keys_are_or_would_be() {
        let columns = columns(&[
            "set.boat-house.route.legs",
            "name",
            "limits.saturated-temperature-drop-liquid",
            "places.indoors.air",
            "set.boat-house.head_pressure.opens_at_difference",
            "set.boat-house.head_pressure.method",
            "set.boat-house.head_pressure.at",
            "set.boat-house.maker.covered_tubes.liquid",
            "set.boat-house.strength.cut_out",
            "site.altitude",
        ])
        .unwrap();
        let cells = [
            "[\"up 9 ft\", \"north 12 ft\"]",
            "one",
            "1 °F",
            "21 °C",
            "20 psi",
            "flooding valve",
            "head",
            "3/8\" OD",
            "27 bar(g)",
            "90 ft",
        ];
        let composed = columns.compose(&row(2, &cells)).unwrap();
        let job = job::read("row", composed.text.as_bytes()).unwrap();
        assert_eq!((job.sets[0].route.legs.len(), job.limits.len(), job.places.len()), (2, 1, 1));
        let set = &job.sets[0];
        assert!(set.strength.cut_out.is_some() && set.head_pressure.opens_at_difference.is_some());
        assert!(job.site.altitude.is_some());
        let size = &set.maker.as_ref().unwrap().covered_tubes[1].tube.value;
        assert_eq!(size.as_written, "3/8\" OD");
        // What no cell fills stays as it is.
        assert_eq!(columns.compose(&row(3, &[""; 10])).unwrap().text, TEMPLATE);
    }

    #[test]
    fn faults_are_told_by_column_or_by_line_of_the_template() {
        let columns = columns(&["site.altitude", "site.design_air", "set.boat-house.route.run"]).unwrap();
        let told = |cells: &[&str]| {
            let composed = columns.compose(&row(2, cells)).unwrap();
            columns.told(&job::read("row", composed.text.as_bytes()).unwrap_err(), &composed)
        };
        let told_of = told(&["90", "warm", ""]);
        assert!(
            told_of.len() == 2 && told_of.iter().any(|fault| fault.starts_with("column `site.altitude`: "))
        );
        assert!(told_of.iter().any(|fault| fault.starts_with("column `site.design_air`: ")), "{told_of:?}");
        // The legs of the template stand against it.
        let told_of = told(&["90 ft", "88 °F", "70 ft"]);
        assert!(told_of[0].starts_with("column `set.boat-house.route.run`: "), "{told_of:?}");
        let line = TEMPLATE.lines().position(|line| line.starts_with("legs")).unwrap() + 1;
        let composed = columns.compose(&row(2, &["90 ft", "88 °F", "70 ft"])).unwrap();
        let at = composed.text.find("legs =").unwrap();
        assert_eq!(columns.line_of(at, &composed), line);
    }

    #[test]
    fn a_text_can_not_leave_its_quotation_marks() {
        assert_eq!(quoted("a\"b\\c\n"), "\"a\\\"b\\\\c\\u000a\"");
        assert!(list("[\"a\"]").is_ok());
        for cell in ["[\"a\"]\ny = 1", "[1", "[]]", "[\"a\"] # x"] {
            assert!(list(cell).is_err(), "{cell}");
        }
    }
}
