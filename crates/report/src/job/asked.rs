//! What the reader asks a job file for, noted while it reads. The schema is formed from these notes, so that it says
//! what the reader does and nothing else.

use super::quantity::Kind;
use std::collections::{BTreeMap, BTreeSet};

/// Stands for a key that the file chooses.
pub(crate) const ANY: &str = "NAME";

/// What may stand behind a key.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Wanted {
    /// The number of the format.
    Format,
    Text,
    Quantity(&'static Kind),
    /// One of these.
    Words(Vec<String>),
    /// Texts; a single one is a list of one.
    List,
    /// A whole number between these.
    Count(u32, u32),
    Flag,
    Table,
}

/// A key as it was asked for.
#[derive(Clone, Debug, Default)]
pub(crate) struct Asked {
    /// A whole right value as it stands behind `=`; empty for a table.
    pub(crate) example: String,
    /// One, or several of which any will do.
    pub(crate) wanted: Vec<Wanted>,
    /// The remark behind the value in the text that was read.
    pub(crate) remark: Option<String>,
}

/// Groups of keys of which one must stand as a whole.
pub(crate) type Ways = Vec<Vec<String>>;

/// A table as it was asked for.
#[derive(Clone, Debug, Default)]
pub(crate) struct AskedTable {
    /// How often such a table was read.
    read: usize,
    /// The keys that it may hold; empty where the file chooses them.
    pub(crate) keys: BTreeSet<&'static str>,
    pub(crate) asked: BTreeMap<String, Asked>,
    /// Pattern of the keys that the file may choose, where they are not free.
    pub(crate) names: Option<&'static str>,
    needed: BTreeMap<Ways, usize>,
}

impl AskedTable {
    /// What every such table must hold, whatever else stands in it.
    pub(crate) fn needs(&self) -> impl Iterator<Item = &Ways> {
        self.needed.iter().filter(|(_, times)| **times >= self.read).map(|(ways, _)| ways)
    }
}

/// Notes by the path of the table, `set.NAME.maker`; empty for the whole file.
#[derive(Clone, Debug, Default)]
pub(crate) struct Notes {
    tables: BTreeMap<String, AskedTable>,
    /// Tables below which the file chooses the names of others.
    named: BTreeSet<String>,
}

impl Notes {
    pub(crate) fn table(&self, path: &str) -> Option<&AskedTable> {
        self.tables.get(path)
    }

    #[cfg(test)]
    pub(crate) fn tables(&self) -> impl Iterator<Item = (&str, &AskedTable)> {
        self.tables.iter().map(|(path, table)| (path.as_str(), table))
    }

    /// A table with the only keys that it may hold.
    pub(crate) fn read(&mut self, path: &str, keys: &[&'static str]) {
        let table = self.at(path);
        table.read += 1;
        table.keys.extend(keys);
    }

    /// A table that holds tables with names of the file's choice.
    pub(crate) fn named(&mut self, path: &str) {
        self.named.insert(path.to_owned());
        self.asked(path, ANY, "", Wanted::Table);
    }

    pub(crate) fn asked(&mut self, path: &str, key: &str, example: &str, wanted: Wanted) -> &mut Asked {
        let asked = self.at(path).asked.entry(key.to_owned()).or_default();
        if asked.example.is_empty() {
            asked.example = example.to_owned();
        }
        if !asked.wanted.contains(&wanted) {
            asked.wanted.push(wanted);
        }
        asked
    }

    pub(crate) fn names(&mut self, path: &str, pattern: &'static str) {
        self.at(path).names = Some(pattern);
    }

    pub(crate) fn needed(&mut self, path: &str, ways: &[&[&str]]) {
        let ways = ways.iter().map(|keys| keys.iter().map(|key| (*key).to_owned()).collect()).collect();
        *self.at(path).needed.entry(ways).or_default() += 1;
    }

    fn at(&mut self, path: &str) -> &mut AskedTable {
        let pattern = match path.split_once('.') {
            Some((first, rest)) if self.named.contains(first) => match rest.split_once('.') {
                Some((_, below)) => format!("{first}.{ANY}.{below}"),
                None => format!("{first}.{ANY}"),
            },
            _ => path.to_owned(),
        };
        self.tables.entry(pattern).or_default()
    }
}
