//! Tables that people keep beside a job, as CSV: rows of cells with their places, read by the reader of the job's tables.

use super::diagnose::{Fault, FaultKind, Faults, Source, Span};
use super::quantity::nearest;
use super::syntax;
use super::table::{Entry, Key, Node, Reader, Table};
use csv_core::{ReadFieldResult, ReaderBuilder};
use std::sync::Arc;
use tables::dialect::Separator;
use toml::de::{DeString, DeValue};

/// A column of such a table. The key's example is a whole right cell.
pub(super) struct Column {
    pub(super) key: Key,
    /// Whether the header must have it.
    pub(super) needed: bool,
    /// Whether its cells hold numbers, which may have decimal commas where semicolons separate cells.
    pub(super) numbers: bool,
}

/// A text between separators.
struct Cell {
    text: String,
    span: Span,
}

/// A row as the reader of tables takes it: a value for each column that is filled.
struct Row {
    span: Span,
    values: Vec<(&'static Column, Cell, DeValue<'static>)>,
}

/// Reads a file of rows: `make` turns them into what they mean.
///
/// # Errors
/// All faults at once. Rows are looked at only where the header is right.
pub(super) fn read<T>(
    file_name: &str,
    bytes: &[u8],
    columns: &'static [Column],
    make: impl FnOnce(&mut Reader<'_>, &[Table<'_>]) -> Option<T>,
) -> Result<(Arc<Source>, T), Faults> {
    let (text, bad_encoding) = syntax::decode(bytes);
    let source = Arc::new(Source { name: file_name.to_owned(), text });
    if let Some(fault) = bad_encoding {
        return Err(Faults::one(source, fault));
    }
    let mut reader = Reader::new(&source, &[]);
    let rows = rows(&mut reader, columns);
    let of_cells: Vec<Span> = reader.faults.iter().map(|fault| fault.at.span).collect();
    let made = rows.and_then(|rows| {
        let tables: Vec<Table<'_>> = rows.iter().map(Row::table).collect();
        make(&mut reader, &tables)
    });
    // What has no one reading is not judged besides.
    let mut faults = reader.faults;
    let meant = faults.split_off(of_cells.len());
    faults.extend(meant.into_iter().filter(|fault| !of_cells.contains(&fault.at.span)));
    match (made, Faults::new(Arc::clone(&source), faults)) {
        (Some(made), None) => Ok((source, made)),
        (_, Some(faults)) => Err(faults),
        // Not reached: whoever gives no value tells why. Should that ever fail, the user still gets a message.
        (None, None) => Err(Faults::one(Arc::clone(&source), empty())),
    }
}

fn empty() -> Fault {
    Fault::new(
        FaultKind::Missing,
        Span { start: 0, end: 0 },
        "the file has no rows",
        "write a header and a row below it, as the file in `data/templates` has them",
    )
}

/// Tells that a cell is empty which must be filled.
pub(super) fn missing(reader: &mut Reader<'_>, row: &Table<'_>, key: &Key) {
    reader.fault(Fault::new(
        FaultKind::Missing,
        row.span,
        format!("`{}` is empty in this row", key.name),
        format!("write it, such as `{}`", key.example),
    ));
}

/// Gives the value, or tells that the cell is empty.
pub(super) fn need<T>(reader: &mut Reader<'_>, row: &Table<'_>, key: &Key, value: Option<T>) -> Option<T> {
    if !row.has(key.name) {
        missing(reader, row, key);
    }
    value
}

impl Row {
    fn table(&self) -> Table<'_> {
        Table {
            path: String::new(),
            span: self.span,
            entries: self
                .values
                .iter()
                .map(|(column, cell, value)| Entry {
                    key: column.key.name,
                    key_span: cell.span,
                    node: Node::Leaf(value),
                    span: cell.span,
                })
                .collect(),
        }
    }
}

/// The rows below the header; none where the header is wrong or nothing is below it.
fn rows(reader: &mut Reader<'_>, columns: &'static [Column]) -> Option<Vec<Row>> {
    let text = reader.source.text.as_str();
    let is_remark = |line: &str| line.trim().is_empty() || line.starts_with('#');
    let separator = Separator::of(text.lines().find(|line| !is_remark(line)).unwrap_or_default());
    let mut records = records(text, separator).into_iter();
    let Some(header) = records.next() else {
        reader.fault(empty());
        return None;
    };
    let header = header_columns(reader, columns, &header)?;
    let rows: Vec<Row> = records.filter_map(|record| row(reader, separator, &header, record)).collect();
    if rows.is_empty() && reader.faults.is_empty() {
        reader.fault(empty());
    }
    Some(rows)
}

/// What each place of the header stands for; none at an empty place, as spreadsheets leave behind the last column.
fn header_columns(
    reader: &mut Reader<'_>,
    columns: &'static [Column],
    header: &[Cell],
) -> Option<Vec<Option<&'static Column>>> {
    let before = reader.faults.len();
    let mut found: Vec<Option<&'static Column>> = vec![];
    let mut meant = vec![];
    for cell in header {
        let name = cell.text.to_lowercase().replace([' ', '-'], "_");
        let column = columns.iter().find(|column| column.key.name == name);
        let again = column
            .is_some_and(|column| found.iter().flatten().any(|other| other.key.name == column.key.name));
        found.push(column);
        if again {
            let message = format!("the column `{name}` stands here twice");
            reader.fault(Fault::new(FaultKind::Key, cell.span, message, "keep one of the two"));
        } else if column.is_none() && !name.is_empty() {
            let names = columns.iter().map(|column| column.key.name);
            let help = match nearest(&name, names.clone()) {
                Some(known) => {
                    meant.push(known);
                    format!("did you mean `{known}`? Units stand in the cells")
                }
                None => format!("columns here: {}", names.collect::<Vec<_>>().join(", ")),
            };
            let message = format!("there is no column `{}`", cell.text);
            reader.fault(Fault::new(FaultKind::Key, cell.span, message, help));
        }
    }
    let span = around(header);
    for column in columns.iter().filter(|column| column.needed) {
        let name = column.key.name;
        let there = found.iter().flatten().any(|other| other.key.name == name) || meant.contains(&name);
        if !there {
            let message = format!("the column `{name}` is missing");
            let help = format!("add `{name}` to the header, and cells such as `{}`", column.key.example);
            reader.fault(Fault::new(FaultKind::Missing, span, message, help));
        }
    }
    (reader.faults.len() == before).then_some(found)
}

/// A row with what is filled of it; none if nothing is.
fn row(
    reader: &mut Reader<'_>,
    separator: Separator,
    header: &[Option<&'static Column>],
    cells: Vec<Cell>,
) -> Option<Row> {
    if cells.iter().all(|cell| cell.text.is_empty()) {
        return None;
    }
    let span = around(&cells);
    // A number with an unquoted separator in it shifts all that follows.
    let beside =
        |(column, cell): (&Option<&'static Column>, &Cell)| column.is_none() && !cell.text.is_empty();
    if cells.len() != header.len() || header.iter().zip(&cells).any(beside) {
        let message = if cells.len() == header.len() {
            "a cell of this row stands under no column".to_owned()
        } else {
            format!("the row has {} cells, the header {}", cells.len(), header.len())
        };
        let help = "end each row as the header ends; put a cell that holds a separator in quotation marks";
        reader.fault(Fault::new(FaultKind::Syntax, span, message, help));
        return None;
    }
    let mut values = vec![];
    for (column, cell) in header.iter().zip(cells) {
        let Some(column) = column.filter(|_| !cell.text.is_empty()) else { continue };
        let text =
            if column.numbers { separator.with_decimal_points(&cell.text) } else { Ok(cell.text.clone()) };
        let text = text.unwrap_or_else(|error| {
            let [whole, decimal] = &error.offers;
            let help = format!("write `{whole}` or `{decimal}`");
            reader.value_fault(FaultKind::Quantity, column.key.name, cell.span, &error, help);
            // The cell is not empty: that is not told besides.
            cell.text.clone()
        });
        values.push((column, cell, DeValue::String(DeString::Owned(text))));
    }
    Some(Row { span, values })
}

fn around(cells: &[Cell]) -> Span {
    let (first, last) = (cells.first(), cells.last());
    Span { start: first.map_or(0, |cell| cell.span.start), end: last.map_or(0, |cell| cell.span.end) }
}

/// The records of a text, without remarks and empty lines. Each cell keeps its place, quotation marks included.
fn records(text: &str, separator: Separator) -> Vec<Vec<Cell>> {
    let bytes = text.as_bytes();
    let mut reader = ReaderBuilder::new().delimiter(separator.byte()).build();
    // No field is longer than the text.
    let mut buffer = vec![0; bytes.len() + 1];
    let (mut records, mut cells, mut at) = (vec![], vec![], 0);
    loop {
        if cells.is_empty() {
            let skipped = text[at..].split_inclusive('\n');
            at += skipped
                .take_while(|line| line.trim().is_empty() || line.starts_with('#'))
                .map(str::len)
                .sum::<usize>();
        }
        let (start, mut written) = (at, 0);
        let ended = loop {
            let (result, taken, given) = reader.read_field(&bytes[at..], &mut buffer[written..]);
            at += taken;
            written += given;
            match result {
                // Where the input is empty the next call ends the field.
                ReadFieldResult::InputEmpty | ReadFieldResult::OutputFull => {}
                ReadFieldResult::Field { record_end } => break Some(record_end),
                ReadFieldResult::End => break None,
            }
        };
        let Some(record_end) = ended else { return records };
        let raw = text[start..at].trim_end_matches(['\r', '\n']);
        let raw = if record_end { raw } else { &raw[..raw.len().saturating_sub(1)] };
        let leading = raw.len() - raw.trim_start().len();
        let span = Span { start: start + leading, end: start + leading + raw.trim().len() };
        let cell = String::from_utf8_lossy(&buffer[..written]).trim().to_owned();
        cells.push(Cell { text: cell, span });
        if record_end {
            records.push(std::mem::take(&mut cells));
        }
    }
}
