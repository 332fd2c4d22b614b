//! Faults of a job file as plain data, and their rendering for people.

use std::{fmt, ops::Range, sync::Arc};

/// Part of a source text, in bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl From<Range<usize>> for Span {
    fn from(range: Range<usize>) -> Self {
        Self { start: range.start, end: range.end }
    }
}

/// A value and where it was written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Located<T> {
    /// The value.
    pub value: T,
    /// Where.
    pub span: Span,
}

impl<T> Located<T> {
    /// The same place with another value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Located<U> {
        Located { value: change(self.value), span: self.span }
    }
}

/// A text and the name of the file that it came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// Name of the file, as to be printed.
    pub name: String,
    /// The whole text.
    pub text: String,
}

impl Source {
    /// Line and column of a byte, both from 1; the column counts characters.
    #[must_use]
    pub fn position(&self, byte: usize) -> (usize, usize) {
        let before = &self.text[..self.boundary(byte)];
        let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
        (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
    }

    /// The text at a span, without the quotation marks around it.
    #[must_use]
    pub fn written(&self, span: Span) -> &str {
        let span = self.inside(span);
        self.text[span.start..span.end].trim_matches(['"', '\''])
    }

    /// The remark that stands behind a value on its line.
    pub(crate) fn remark(&self, span: Span) -> Option<&str> {
        let rest = self.text[self.inside(span).end..].lines().next()?;
        let remark = rest.trim_start_matches(['"', '\'', ' ', '\t']).strip_prefix('#')?.trim();
        (!remark.is_empty()).then_some(remark)
    }

    /// The nearest character boundary at or before `byte`.
    fn boundary(&self, byte: usize) -> usize {
        self.text.floor_char_boundary(byte.min(self.text.len()))
    }

    fn inside(&self, span: Span) -> Span {
        let start = self.boundary(span.start);
        Span { start, end: self.boundary(span.end).max(start) }
    }
}

/// What sort of fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum FaultKind {
    /// The file is no UTF-8 text.
    Encoding,
    /// The text is no TOML.
    Syntax,
    /// `format` is missing or unknown.
    Format,
    /// A key that does not exist.
    Key,
    /// A value of the wrong type, or a word that is none of those allowed.
    Value,
    /// A quantity that cannot be read.
    Quantity,
    /// A value outside the range that makes sense.
    Range,
    /// A tube size that cannot be read.
    Size,
    /// A key that is needed and absent.
    Missing,
    /// Two statements that cannot both be true, or of which only one may stand.
    Contradiction,
    /// A name that nothing bears.
    Reference,
    /// A statement that is possible and yet so unlikely that it must be confirmed.
    Confirm,
}

impl FaultKind {
    /// The word printed with the fault.
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Self::Encoding => "encoding",
            Self::Syntax => "syntax",
            Self::Format => "format",
            Self::Key => "key",
            Self::Value => "value",
            Self::Quantity => "quantity",
            Self::Range => "range",
            Self::Size => "size",
            Self::Missing => "missing",
            Self::Contradiction => "contradiction",
            Self::Reference => "reference",
            Self::Confirm => "confirm",
        }
    }
}

/// A place that a fault points at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// Where.
    pub span: Span,
    /// What stands there; may be empty.
    pub label: String,
}

/// One fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// What sort.
    pub kind: FaultKind,
    /// What is wrong.
    pub message: String,
    /// Where.
    pub at: Mark,
    /// The other places concerned.
    pub also: Vec<Mark>,
    /// What to write instead.
    pub help: String,
}

impl Fault {
    /// A fault at one place.
    pub fn new(kind: FaultKind, span: Span, message: impl Into<String>, help: impl Into<String>) -> Self {
        let at = Mark { span, label: String::new() };
        Self { kind, message: message.into(), at, also: vec![], help: help.into() }
    }

    /// Says what stands at the place of the fault.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.at.label = label.into();
        self
    }

    /// Adds another place.
    #[must_use]
    pub fn also(mut self, span: Span, label: impl Into<String>) -> Self {
        self.also.push(Mark { span, label: label.into() });
        self
    }
}

/// The faults of one file: at least one, in the order of their places, none twice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Faults {
    source: Arc<Source>,
    faults: Vec<Fault>,
}

impl Faults {
    /// A single fault.
    #[must_use]
    pub fn one(source: Arc<Source>, fault: Fault) -> Self {
        let mut faults = vec![fault];
        tidy(&source, &mut faults);
        Self { source, faults }
    }

    /// `None` when there are no faults.
    #[must_use]
    pub fn new(source: Arc<Source>, mut faults: Vec<Fault>) -> Option<Self> {
        tidy(&source, &mut faults);
        faults.sort_by_key(|fault| fault.at.span);
        // A key that one set copies from another is found faulty in both.
        let mut kept: Vec<Fault> = Vec::with_capacity(faults.len());
        for fault in faults {
            let again = |other: &Fault| {
                (other.kind, other.at.span, &other.also) == (fault.kind, fault.at.span, &fault.also)
                    && (other.message == fault.message || fault.kind == FaultKind::Contradiction)
            };
            if !kept.iter().rev().take_while(|other| other.at.span == fault.at.span).any(again) {
                kept.push(fault);
            }
        }
        (!kept.is_empty()).then_some(Self { source, faults: kept })
    }

    /// The faults.
    pub fn iter(&self) -> std::slice::Iter<'_, Fault> {
        self.faults.iter()
    }

    /// How many; never 0.
    #[must_use]
    #[allow(clippy::len_without_is_empty)] // it never is
    pub fn len(&self) -> usize {
        self.faults.len()
    }

    /// The text that they are in.
    #[must_use]
    pub fn source(&self) -> &Source {
        &self.source
    }

    /// One line a fault: `file:line:column: message; help`.
    #[must_use]
    pub fn plain(&self) -> String {
        let mut out = String::new();
        for fault in &self.faults {
            let (line, column) = self.source.position(fault.at.span.start);
            out.push_str(&format!(
                "{}:{line}:{column}: {}; {}\n",
                self.source.name, fault.message, fault.help
            ));
        }
        out
    }

    /// Each fault with its lines of the source and what to write instead, for a terminal 80 columns wide.
    #[cfg(feature = "cli")]
    #[must_use]
    pub fn render(&self, colour: bool) -> String {
        render::all(self, colour)
    }
}

/// Brings every place inside the text and every message to harmless characters.
fn tidy(source: &Source, faults: &mut [Fault]) {
    for fault in faults {
        for mark in std::iter::once(&mut fault.at).chain(&mut fault.also) {
            mark.span = source.inside(mark.span);
            mark.label = harmless(&mark.label);
        }
        fault.message = harmless(&fault.message);
        fault.help = harmless(&fault.help);
    }
}

/// Takes out what would steer a terminal or turn the direction of writing: messages quote the file.
fn harmless(text: &str) -> String {
    let steers = |c: char| c.is_control() || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    text.chars().map(|c| if steers(c) { '\u{fffd}' } else { c }).collect()
}

impl fmt::Display for Faults {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.plain().trim_end())
    }
}

impl std::error::Error for Faults {}

#[cfg(feature = "cli")]
mod render {
    use super::{Fault, Faults, Source};
    use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};

    const WIDTH: usize = 80;

    pub(super) fn all(faults: &Faults, colour: bool) -> String {
        let renderer = if colour { Renderer::styled() } else { Renderer::plain() }.term_width(WIDTH);
        let mut out = String::new();
        for fault in &faults.faults {
            out.push_str(&one(&renderer, &faults.source, fault));
            out.push_str("\n\n");
        }
        let count = match faults.len() {
            1 => "1 fault".to_owned(),
            several => format!("{several} faults"),
        };
        out.push_str(&format!("{count} in {}\n", faults.source.name));
        out
    }

    fn one(renderer: &Renderer, source: &Source, fault: &Fault) -> String {
        let code = fault.kind.code();
        let title = wrapped(&fault.message, "fault[]: ".len() + code.len());
        let help = wrapped(&fault.help, "    = help: ".len());
        let primary = AnnotationKind::Primary
            .span(fault.at.span.start..fault.at.span.end)
            .label(label(&fault.at.label));
        let also = fault.also.iter().map(|mark| {
            AnnotationKind::Context.span(mark.span.start..mark.span.end).label(label(&mark.label))
        });
        let snippet = Snippet::source(source.text.as_str())
            .path(source.name.as_str())
            .annotation(primary)
            .annotations(also);
        let group = Level::ERROR
            .with_name("fault")
            .primary_title(title)
            .id(code)
            .element(snippet)
            .element(Level::HELP.message(help));
        renderer.render(&[group])
    }

    fn label(text: &str) -> Option<&str> {
        (!text.is_empty()).then_some(text)
    }

    /// Breaks `text` into lines; `indent` is what the renderer puts before each.
    fn wrapped(text: &str, indent: usize) -> String {
        let room = WIDTH.saturating_sub(indent).max(20);
        let mut out = String::new();
        let mut used = 0;
        // A number stays with its unit.
        let mut words: Vec<String> = vec![];
        for word in text.split_whitespace() {
            match words.last_mut() {
                Some(last) if last.ends_with(|c: char| c.is_ascii_digit()) && word.chars().count() <= 6 => {
                    last.push(' ');
                    last.push_str(word);
                }
                _ => words.push(word.to_owned()),
            }
        }
        for word in words {
            let width = word.chars().count();
            if used > 0 && used + 1 + width > room {
                out.push('\n');
                used = 0;
            } else if used > 0 {
                out.push(' ');
                used += 1;
            }
            out.push_str(&word);
            used += width;
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(text: &str) -> Arc<Source> {
        Arc::new(Source { name: "a.toml".into(), text: text.into() })
    }

    #[test]
    fn positions_count_lines_and_characters() {
        let source = source("a = 1\nß° = 2\n");
        assert_eq!(source.position(0), (1, 1));
        assert_eq!(source.position(6), (2, 1));
        assert_eq!(source.position(8), (2, 2));
        assert_eq!(source.position(9), (2, 2), "inside a character: where it begins");
        assert_eq!(source.position(999), (3, 1));
    }

    #[test]
    fn faults_are_sorted_and_told_once() {
        let fault = |start, message: &str| {
            Fault::new(FaultKind::Value, Span { start, end: start + 1 }, message, "help")
        };
        let faults =
            Faults::new(source("abcdef"), vec![fault(3, "b"), fault(0, "a"), fault(3, "b")]).unwrap();
        assert_eq!(faults.plain(), "a.toml:1:1: a; help\na.toml:1:4: b; help\n");
        assert!(Faults::new(source(""), vec![]).is_none());
    }

    #[test]
    fn a_message_cannot_steer_the_terminal() {
        let fault = Fault::new(
            FaultKind::Key,
            Span { start: 0, end: 1 },
            "no \u{1b}[31m key",
            "write\u{7}\n\u{202e}",
        );
        let faults = Faults::new(source("abc"), vec![fault]).unwrap();
        assert_eq!(faults.plain().chars().filter(|c| c.is_control()).count(), 1, "the end of the line only");
    }

    #[cfg(feature = "cli")]
    #[test]
    fn rendering_survives_spans_at_the_edges() {
        for text in ["", "°", "a\n", "\t\u{0}x", "a\r\nb"] {
            for start in 0..=text.len() + 1 {
                for end in [start, start + 1, start + 9, 0] {
                    let fault = Fault::new(FaultKind::Syntax, Span { start, end }, "m", "h")
                        .also(Span { start: 0, end: 1 }, "x");
                    let faults = Faults::new(source(text), vec![fault]).unwrap();
                    assert!(faults.render(false).contains("a.toml"), "{text:?} {start} {end}");
                    assert!(!faults.render(false).contains('\u{1b}'));
                }
            }
        }
    }
}
