//! The ledger: what was taken from the tables, with where it comes from.

use crate::view::SourceView;
use tables::Source;

/// What was taken, in the order of taking, each once.
#[derive(Clone, Debug, Default)]
pub(crate) struct Ledger(Vec<SourceView>);

impl Ledger {
    pub(crate) fn note(&mut self, what: impl Into<String>, source: &Source) {
        self.note_words(what, &source.text, &source.grade.to_string());
    }

    pub(crate) fn note_words(&mut self, what: impl Into<String>, source: &str, grade: &str) {
        let entry = SourceView { what: what.into(), source: source.to_owned(), grade: grade.to_owned() };
        if !self.0.contains(&entry) {
            self.0.push(entry);
        }
    }

    /// Only what was taken for something whose name begins with one of these.
    pub(crate) fn only(&self, begins: &[&str]) -> Self {
        let begun = |entry: &&SourceView| begins.iter().any(|begin| entry.what.starts_with(begin));
        Self(self.0.iter().filter(begun).cloned().collect())
    }

    pub(crate) fn into_view(self) -> Vec<SourceView> {
        self.0
    }
}
