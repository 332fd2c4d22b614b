//! From bytes to a tree: encoding and syntax, with the faults told in plain words.

use super::diagnose::{Fault, FaultKind, Source, Span};
use toml::de::Error;

/// A job file is a page of text; what is larger is something else.
pub(crate) const LARGEST: usize = 1 << 20;

/// The text of a file. When it is not clean UTF-8 a fault comes along, and the text is only fit to be pointed into.
pub(crate) fn decode(bytes: &[u8]) -> (String, Option<Fault>) {
    const SAVE: &str = "save the file as UTF-8 (in the editor: Save as, encoding UTF-8)";
    let at_start = |message: String, help: &str| {
        let fault = Fault::new(FaultKind::Encoding, Span { start: 0, end: 0 }, message, help);
        (String::new(), Some(fault))
    };
    if bytes.len() > LARGEST {
        return at_start(
            format!("the file has {:.1} MB; a file of a job has at most 1 MB", bytes.len() as f64 / 1e6),
            "is this the right file?",
        );
    }
    match bytes {
        [0xff, 0xfe, 0, 0, ..] | [0, 0, 0xfe, 0xff, ..] => {
            return at_start("the file is encoded as UTF-32".into(), SAVE);
        }
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => return at_start("the file is encoded as UTF-16".into(), SAVE),
        _ => {}
    }
    // A mark at the beginning that some editors write; it is no part of the text.
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    if let Some(zero) = bytes.iter().position(|byte| *byte == 0) {
        let every_other = bytes.iter().filter(|byte| **byte == 0).count() * 3 > bytes.len();
        if every_other {
            return at_start("the file is encoded as UTF-16, without a byte-order mark".into(), SAVE);
        }
        return at_start(
            format!("byte {} of the file is zero: this is no text file", zero + 1),
            "is this the right file?",
        );
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => (text.to_owned(), None),
        Err(error) => {
            let start = error.valid_up_to();
            let byte = bytes.get(start).copied().unwrap_or_default();
            // The signs that an older Windows or Latin-1 file holds in a job.
            let sign = match byte {
                0xb0 => " (the degree sign of an older encoding)",
                0xbc..=0xbe => " (a fraction of an older encoding)",
                0xb2 | 0xb3 => " (a raised 2 or 3 of an older encoding)",
                0xe4 | 0xf6 | 0xfc | 0xdf | 0xe9 | 0xe8 => " (an accented letter of an older encoding)",
                _ => "",
            };
            let text = String::from_utf8_lossy(bytes).into_owned();
            // The first replacement character stands where the sound text ends.
            let end = start + '\u{fffd}'.len_utf8();
            (
                text,
                Some(Fault::new(
                    FaultKind::Encoding,
                    Span { start, end },
                    format!("byte {byte:#04X} is not UTF-8{sign}"),
                    SAVE,
                )),
            )
        }
    }
}

/// Faults of syntax, the first one of each line: what follows on the same line is mostly its consequence.
pub(crate) fn faults(source: &Source, errors: &[Error]) -> Vec<Fault> {
    let mut faults: Vec<Fault> = errors.iter().map(|error| fault(source, error)).collect();
    faults.sort_by_key(|fault| fault.at.span);
    faults.dedup_by_key(|fault| source.position(fault.at.span.start).0);
    // A list that is not closed swallows the rest of the file; nothing behind it can be judged.
    if let Some(open) = faults.iter().position(|fault| fault.message == OPEN_LIST) {
        faults.truncate(open + 1);
    }
    faults
}

/// What is said of a list without its end.
pub(crate) const OPEN_LIST: &str = "the list is not closed";

fn fault(source: &Source, error: &Error) -> Fault {
    let text = source.text.as_str();
    let span: Span = error.span().unwrap_or(0..0).into();
    let start = text.floor_char_boundary(span.start.min(text.len()));
    let line_start = text[..start].rfind('\n').map_or(0, |newline| newline + 1);
    let line = text[line_start..].lines().next().unwrap_or_default().trim();
    let (key, value) = line.split_once('=').map_or((line, ""), |(key, value)| (key.trim(), value.trim()));
    let written = source.written(span);
    let new = |message: String, help: String| Fault::new(FaultKind::Syntax, span, message, help);
    let message = error.message();
    if message.starts_with("string values must be quoted") {
        let bare =
            written.trim_matches(|c| matches!(c, '“' | '”' | '„' | '‘' | '’' | '«' | '»' | '`')).trim();
        if bare.is_empty() {
            return new(
                format!("nothing is written behind `{key} =`"),
                format!("write a value, such as `{key} = \"...\"`"),
            );
        }
        let why = if bare.len() < written.trim().len() {
            "these are not the quotation marks of a keyboard"
        } else {
            "text and quantities stand in quotation marks"
        };
        let bare = bare.replace('"', " in");
        return new(
            why.into(),
            if line.contains('=') {
                format!("write `{key} = \"{bare}\"`")
            } else {
                format!("write `\"{bare}\"`")
            },
        );
    }
    if message.starts_with("unexpected key or value") {
        if value.starts_with('"') && value.matches('"').count() > 2 {
            let inner = value.strip_prefix('"').unwrap_or(value);
            let inner = inner.strip_suffix('"').unwrap_or(inner).replace('"', " in").replace("  ", " ");
            return new(
                "the text ended at an inch mark".into(),
                format!("write `in` for the inch mark: `{key} = \"{}\"`", inner.trim()),
            );
        }
        if value.starts_with(|c: char| c.is_ascii_digit() || c == '-') && !value.contains('"') {
            return new(
                "text and quantities stand in quotation marks".into(),
                format!("write `{key} = \"{value}\"`"),
            );
        }
        return new(
            "something is left behind the value".into(),
            "write one `key = value` a line, and `#` before a remark".into(),
        );
    }
    if message.starts_with("key with no value") || message.starts_with("invalid unquoted key") {
        if let Some((key, value)) = line.split_once(':')
            && key.trim().chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_'))
        {
            let value = value.trim().trim_matches('"');
            return new(
                "a `:` stands in place of `=`".into(),
                format!("write `{} = \"{value}\"`", key.trim()),
            );
        }
        return new(
            format!("`{line}` is neither `key = value` nor a `[table]`"),
            "write `key = \"value\"`, or `#` before a remark".into(),
        );
    }
    let entry_of_its_own = line.starts_with('[')
        || line.split_once('=').is_some_and(|(key, _)| {
            let key = key.trim();
            !key.is_empty() && key.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.'))
        });
    if message.starts_with("missing comma") && start == line_start && entry_of_its_own {
        // The list ends before this line: point at the end of what was written there.
        let end = text[..line_start].trim_end().len();
        let span = Span { start: end.saturating_sub(1), end };
        return Fault::new(FaultKind::Syntax, span, OPEN_LIST, "end it with `]`");
    }
    for (beginning, what, instead) in PLAIN_WORDS {
        if message.starts_with(beginning) {
            return new(what.replace("{}", written), (*instead).to_owned());
        }
    }
    new(message.replace(", expected", "; expected"), "write `key = \"value\"`, one a line".into())
}

/// Beginning of the parser's message; what to say (`{}` is the text at the place); what to write instead.
const PLAIN_WORDS: &[(&str, &str, &str)] = &[
    ("duplicate key", "`{}` is written twice", "keep one of the two"),
    ("invalid basic string", "the closing quotation mark is missing", "end the text with `\"`"),
    ("invalid literal string", "the closing quotation mark is missing", "end the text with `'`"),
    ("missing comma", "a comma is missing between two entries of the list", "write `[\"one\", \"two\"]`"),
    ("unclosed array", OPEN_LIST, "end it with `]`"),
    ("unexpected `=` in array", OPEN_LIST, "end it with `]`"),
    ("unclosed table", "the name of the table is not closed", "end it with `]`"),
    ("unclosed inline table", "the braces are not closed", "end them with `}`"),
    ("missing escaped value", "a single `\\` stands in the text", "write `\\\\` for a backslash"),
    (
        "unexpected leading zero",
        "a number begins with 0",
        "leave the leading 0 out, or put a quantity in quotation marks",
    ),
    ("recursion limit", "tables are nested too deep", "write tables as the starter job does"),
    ("cannot recurse", "lists are nested too deep", "write lists as the starter job does"),
];
