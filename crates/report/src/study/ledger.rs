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

    pub(crate) fn into_view(self) -> Vec<SourceView> {
        self.0
    }
}
