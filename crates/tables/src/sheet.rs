//! Reading of the small tables: a CSV file with named columns, each row with its line.

use crate::{
    error::{Fault, Place, TableError},
    folder::DataFolder,
    provenance::{Grade, Source, Sourced},
};
use csv::{ByteRecord, ReaderBuilder, StringRecord};
use physics::units::{
    ThermodynamicTemperature,
    unit::thermodynamic_temperature::{degree_celsius, degree_fahrenheit},
};
use std::{collections::HashMap, hash::Hash, sync::Arc};

/// A column that takes one word of a fixed list.
pub(crate) trait Word: Copy + PartialEq + 'static {
    const WORDS: &'static [(&'static str, Self)];

    fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, value)| *value == self).map_or("", |(word, _)| word)
    }

    fn parse(text: &str) -> Result<Self, Fault> {
        Self::WORDS.iter().find(|(word, _)| *word == text).map(|(_, value)| *value).ok_or_else(|| {
            let words: Vec<_> = Self::WORDS.iter().map(|(word, _)| *word).collect();
            Fault::UnknownWord { text: text.to_owned(), expected: words.join(", ") }
        })
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Degree {
    Celsius,
    Fahrenheit,
}

impl Word for Degree {
    const WORDS: &'static [(&'static str, Self)] = &[("degC", Self::Celsius), ("degF", Self::Fahrenheit)];
}

/// A parsed file.
pub(crate) struct Sheet {
    file: Arc<str>,
    columns: Vec<&'static str>,
    rows: Vec<(u64, StringRecord)>,
}

/// One row of a [`Sheet`].
#[derive(Clone, Copy)]
pub(crate) struct Row<'a> {
    sheet: &'a Sheet,
    line: u64,
    record: &'a StringRecord,
}

impl Sheet {
    /// Reads `file`, whose header must consist of `columns` in any order.
    pub(crate) fn read(
        folder: &DataFolder,
        file: &str,
        columns: &[&'static str],
    ) -> Result<Self, TableError> {
        let bytes = folder.read(file)?;
        let file: Arc<str> = file.into();
        let mut reader = reader(&bytes);
        let fault =
            |line, column: Option<&str>, fault| TableError::Row { place: place(&file, line, column), fault };
        let decode = |record: ByteRecord| {
            let line = line(&bytes, record.position());
            match StringRecord::from_byte_record(record) {
                Ok(record) => Ok((line, record)),
                Err(_) => Err(fault(line, None, Fault::NotUtf8)),
            }
        };
        let (header_line, header) =
            decode(reader.byte_headers().map_err(|error| unreadable(&file, error))?.clone())?;
        let mut in_order: Vec<&'static str> = Vec::with_capacity(columns.len());
        for name in header.iter().map(str::trim) {
            match columns.iter().find(|column| **column == name && !in_order.contains(column)) {
                Some(column) => in_order.push(column),
                None => return Err(fault(header_line, Some(name), Fault::UnexpectedColumn)),
            }
        }
        if let Some(missing) = columns.iter().find(|column| !in_order.contains(column)) {
            return Err(fault(header_line, Some(missing), Fault::MissingColumn));
        }
        let mut rows = Vec::new();
        for record in reader.byte_records() {
            let (line, record) = decode(record.map_err(|error| unreadable(&file, error))?)?;
            if record.len() != header.len() {
                let (found, expected) = (record.len(), header.len());
                return Err(fault(line, None, Fault::CellCount { found, expected }));
            }
            rows.push((line, record));
        }
        if rows.is_empty() {
            return Err(fault(header_line, None, Fault::NoRows));
        }
        Ok(Self { file, columns: in_order, rows })
    }

    pub(crate) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|(line, record)| Row { sheet: self, line: *line, record })
    }
}

impl<'a> Row<'a> {
    /// An error at this row.
    pub(crate) fn fault(&self, column: &str, fault: Fault) -> TableError {
        TableError::Row { place: place(&self.sheet.file, self.line, Some(column)), fault }
    }

    /// Text of a cell that may be empty.
    pub(crate) fn optional(&self, column: &str) -> Option<&'a str> {
        let index = self.sheet.columns.iter().position(|name| *name == column)?;
        self.record.get(index).map(str::trim).filter(|text| !text.is_empty())
    }

    /// Text of a cell that must be filled.
    pub(crate) fn text(&self, column: &str) -> Result<&'a str, TableError> {
        self.optional(column).ok_or_else(|| self.fault(column, Fault::EmptyCell))
    }

    pub(crate) fn number(&self, column: &str) -> Result<f64, TableError> {
        number(self.text(column)?).map_err(|fault| self.fault(column, fault))
    }

    pub(crate) fn positive(&self, column: &str) -> Result<f64, TableError> {
        let value = self.number(column)?;
        if value > 0.0 {
            Ok(value)
        } else {
            Err(self.fault(column, Fault::OutOfRange { value, expected: "a positive number" }))
        }
    }

    pub(crate) fn not_negative(&self, column: &str) -> Result<f64, TableError> {
        let value = self.number(column)?;
        if value >= 0.0 {
            Ok(value)
        } else {
            Err(self.fault(column, Fault::OutOfRange { value, expected: "zero or a positive number" }))
        }
    }

    pub(crate) fn optional_positive(&self, column: &str) -> Result<Option<f64>, TableError> {
        self.optional(column).map(|_| self.positive(column)).transpose()
    }

    pub(crate) fn word<W: Word>(&self, column: &str) -> Result<W, TableError> {
        W::parse(self.text(column)?).map_err(|fault| self.fault(column, fault))
    }

    /// The temperature in `column`, in the degrees that `unit_column` names.
    pub(crate) fn temperature(
        &self,
        column: &str,
        unit_column: &str,
    ) -> Result<ThermodynamicTemperature, TableError> {
        let degrees = self.number(column)?;
        Ok(match self.word(unit_column)? {
            Degree::Celsius => ThermodynamicTemperature::new::<degree_celsius>(degrees),
            Degree::Fahrenheit => ThermodynamicTemperature::new::<degree_fahrenheit>(degrees),
        })
    }

    /// The source in `text_column`, with the grade in `grade_column`.
    pub(crate) fn source(&self, text_column: &str, grade_column: &str) -> Result<Source, TableError> {
        Ok(Source { text: self.text(text_column)?.into(), grade: self.word::<Grade>(grade_column)? })
    }
}

/// Rows of a table of constants (`key`, `value`, `unit`, `note`, `source`, `grade`), by their keys.
pub(crate) struct Constants<'a> {
    file: &'a str,
    rows: Vec<(&'a str, Row<'a>)>,
}

impl Sheet {
    pub(crate) const CONSTANTS: [&'static str; 6] = ["key", "value", "unit", "note", "source", "grade"];

    pub(crate) fn constants(&self) -> Result<Constants<'_>, TableError> {
        let mut seen = Unique::new();
        let mut rows = Vec::new();
        for row in self.rows() {
            let key = row.text("key")?;
            seen.insert(row, key, "key", key)?;
            rows.push((key, row));
        }
        Ok(Constants { file: &self.file, rows })
    }
}

impl Constants<'_> {
    /// A positive constant. Each has one unit: a second would be a conversion that nobody needs.
    pub(crate) fn take(&self, key: &str, unit: &str) -> Result<Sourced<f64>, TableError> {
        let missing = || TableError::MissingEntry { file: self.file.to_owned(), key: key.to_owned() };
        let (_, row) = self.rows.iter().find(|(found, _)| *found == key).ok_or_else(missing)?;
        let found = row.text("unit")?;
        if found != unit {
            let fault = Fault::UnknownWord { text: found.to_owned(), expected: unit.to_owned() };
            return Err(row.fault("unit", fault));
        }
        Ok(Sourced::new(row.positive("value")?, row.source("source", "grade")?))
    }
}

/// Refuses what was seen before.
pub(crate) struct Unique<K>(HashMap<K, u64>);

impl<K: Eq + Hash> Unique<K> {
    pub(crate) fn new() -> Self {
        Self(HashMap::new())
    }

    /// `key` identifies the row; `column` and `text` say it in the error.
    pub(crate) fn insert(
        &mut self,
        row: Row<'_>,
        key: K,
        column: &str,
        text: &str,
    ) -> Result<(), TableError> {
        match self.0.insert(key, row.line) {
            None => Ok(()),
            Some(first_line) => {
                Err(row.fault(column, Fault::Duplicate { text: text.to_owned(), first_line }))
            }
        }
    }
}

/// A finite number in plain notation.
pub(crate) fn number(text: &str) -> Result<f64, Fault> {
    text.parse::<f64>()
        .ok()
        .filter(|value| value.is_finite())
        .ok_or_else(|| Fault::NotANumber { text: text.to_owned() })
}

/// The dialect of all data files: comma-separated, `#` comments. Cell counts and blanks around cells are left to the
/// caller: the reader would copy each record to trim it.
pub(crate) fn reader(bytes: &[u8]) -> csv::Reader<&[u8]> {
    ReaderBuilder::new().comment(Some(b'#')).flexible(true).from_reader(bytes)
}

pub(crate) fn place(file: &Arc<str>, line: u64, column: Option<&str>) -> Place {
    Place { file: Arc::clone(file), line, column: column.map(Into::into) }
}

/// Line of a record. The reader notes where it went on reading, which is before any comments and empty lines.
pub(crate) fn line(bytes: &[u8], position: Option<&csv::Position>) -> u64 {
    let Some(position) = position else { return 1 };
    let start = usize::try_from(position.byte()).unwrap_or(usize::MAX);
    let rest = bytes.get(start..).unwrap_or_default();
    let skipped = rest.split_inclusive(|byte| *byte == b'\n').take_while(|text| {
        let text = text.trim_ascii();
        text.is_empty() || text.starts_with(b"#")
    });
    position.line() + skipped.count() as u64
}

pub(crate) fn unreadable(file: &Arc<str>, error: csv::Error) -> TableError {
    TableError::Unreadable { file: file.to_string(), source: error.into() }
}
