//! Known exceptions: rows of a published table that our values leave by more than the tolerance, each with its deviation
//! and the reason (`published/data/known_exceptions.csv`). A listed row has to deviate as listed, an unlisted one not.

use super::{Row, Tally, read};
use std::collections::{BTreeMap, BTreeSet};

/// The exceptions of one table.
pub(crate) struct Known {
    table: String,
    listed: BTreeMap<String, f64>,
    seen: BTreeSet<String>,
    faults: Vec<String>,
    /// How far the deviation may lie from the listed one.
    slack: f64,
}

impl Known {
    /// Deviations are listed to 0.01 %; `slack` is what the comparison at hand adds to that.
    pub(crate) fn of(table: &str, slack: f64) -> Self {
        let rows = read("published/data/known_exceptions.csv");
        let rows: Vec<&Row> = rows.iter().filter(|row| row.text("table") == table).collect();
        let listed: BTreeMap<_, _> = rows
            .iter()
            .map(|row| (row.text("row").to_owned(), row.number("deviation_pct") / 100.0))
            .collect();
        assert_eq!(listed.len(), rows.len(), "{table}: an exception is listed twice");
        assert!(
            rows.iter().all(|row| !row.text("reason").is_empty()),
            "{table}: an exception without reason"
        );
        Self { table: table.into(), listed, seen: BTreeSet::new(), faults: Vec::new(), slack: slack + 1e-4 }
    }

    /// The name of a row with the usual columns.
    pub(crate) fn key(row: &Row) -> String {
        let source = row.text("source").split(" (").next().unwrap_or_default();
        let cells = ["refrigerant", "state", "T_C", "quantity"].map(|column| row.text(column));
        format!("{} | {source}", cells.join(" | "))
    }

    /// Compares one row: into the tally if it is not listed, against its listing if it is.
    pub(crate) fn compare(
        &mut self,
        tally: &mut Tally,
        key: &str,
        found: f64,
        expected: f64,
        tolerance: f64,
    ) {
        let Some(&listed) = self.listed.get(key) else {
            tally.relative(key, found, expected, tolerance);
            return;
        };
        let deviation = found / expected - 1.0;
        if !self.seen.insert(key.to_owned()) {
            self.faults.push(format!("{key}: one listing, more than one row"));
        }
        if !((deviation - listed).abs() <= self.slack && deviation.abs() > tolerance - self.slack) {
            self.faults.push(format!(
                "{key}: found {found:.6}, expected {expected}, deviation {deviation:+.4}, listed {listed:+.4} against a \
                 tolerance of {tolerance}"
            ));
        }
    }

    /// Fails if a listed row did not deviate as listed or was not met; gives the number met.
    pub(crate) fn finish(self) -> usize {
        self.finish_where(|_| true)
    }

    /// As [`finish`](Self::finish), for a check that answers for some of the rows only.
    pub(crate) fn finish_where(self, answered: impl Fn(&str) -> bool) -> usize {
        let (listed, met) = (self.listed.keys().filter(|key| answered(key)).count(), self.seen.len());
        println!("{}: {met} known exceptions met", self.table);
        assert!(self.faults.is_empty(), "{}:\n{}", self.table, self.faults.join("\n"));
        assert_eq!(met, listed, "{}: number of known exceptions met", self.table);
        met
    }
}
