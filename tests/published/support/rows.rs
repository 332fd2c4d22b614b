//! Rows of a reference table, by the names in its header.

use std::{collections::BTreeMap, path::Path};

/// One row. Every look-up panics with file and row when the cell is not what a check expects of it.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    place: String,
    cells: BTreeMap<String, String>,
}

/// All rows of `tests/FILE`; lines that start with `#` say where the table comes from.
pub(crate) fn read(file: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests").join(file);
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(&path).unwrap();
    let header = reader.headers().unwrap().clone();
    let rows: Vec<Row> = reader
        .records()
        .map(|record| {
            let record = record.unwrap();
            let place = format!("{file}, line {}", record.position().unwrap().line());
            let cells = header.iter().map(str::to_owned).zip(record.iter().map(str::to_owned)).collect();
            Row { place, cells }
        })
        .collect();
    assert!(!rows.is_empty(), "{file} has no rows");
    rows
}

impl Row {
    /// File and line.
    pub(crate) fn place(&self) -> &str {
        &self.place
    }

    pub(crate) fn text(&self, column: &str) -> &str {
        self.cells.get(column).unwrap_or_else(|| panic!("{}: no column {column}", self.place))
    }

    pub(crate) fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse().unwrap_or_else(|_| panic!("{}: {column} is {text:?}", self.place))
    }

    /// A cell of the form `key=value|key=value`, as pairs.
    pub(crate) fn pairs(&self, column: &str) -> Vec<(&str, &str)> {
        self.text(column).split('|').filter_map(|pair| pair.split_once('=')).collect()
    }

    /// What a key of such a cell stands for.
    pub(crate) fn pair(&self, column: &str, key: &str) -> &str {
        let pair = self.pairs(column).into_iter().find(|(name, _)| *name == key);
        pair.unwrap_or_else(|| panic!("{}: no {key} in {column}", self.place)).1
    }

    /// The number that a key of such a cell starts with: `-20` of `sat_suction_C=-20 (dew)`.
    pub(crate) fn keyed(&self, column: &str, key: &str) -> f64 {
        let value = self.pair(column, key);
        value.split(' ').next().and_then(|number| number.parse().ok()).unwrap_or_else(|| {
            panic!("{}: {key} in {column} is {value:?}", self.place);
        })
    }

    /// Half a unit of the last printed digit of a number.
    pub(crate) fn print_rounding(&self, column: &str) -> f64 {
        let decimals = self.text(column).split_once('.').map_or(0, |(_, decimals)| decimals.len());
        0.5 * 10_f64.powi(-i32::try_from(decimals).unwrap())
    }
}
