//! Reading typed values from the tables of a TOML text, every fault with its place.

use super::asked::{Notes, Wanted};
use super::diagnose::{Fault, FaultKind, Located, Source, Span};
use super::quantity::{self, Kind, Quantity, QuantityError, Range, nearest};
use super::size::SizeError;
use toml::de::{DeTable, DeValue};

/// A value: a table, or anything else.
#[derive(Clone, Debug)]
pub(crate) enum Node<'t> {
    Leaf(&'t DeValue<'t>),
    Table(Table<'t>),
}

/// A key with its value.
#[derive(Clone, Debug)]
pub(crate) struct Entry<'t> {
    pub(crate) key: &'t str,
    pub(crate) key_span: Span,
    pub(crate) node: Node<'t>,
    pub(crate) span: Span,
}

impl Entry<'_> {
    /// Whether the value is the word `none`.
    pub(crate) fn says_none(&self) -> bool {
        matches!(&self.node, Node::Leaf(DeValue::String(text)) if text.trim().eq_ignore_ascii_case("none"))
    }
}

/// A table, its entries in the order of the file.
#[derive(Clone, Debug)]
pub(crate) struct Table<'t> {
    /// Keys that lead to it, `set.ice-room.maker`; empty for the whole file.
    pub(crate) path: String,
    /// Its header, or where it begins.
    pub(crate) span: Span,
    pub(crate) entries: Vec<Entry<'t>>,
}

/// What a value of a key is, for the offers in messages.
#[derive(Clone, Copy)]
pub(crate) struct Key {
    pub(crate) name: &'static str,
    /// A whole right value as it stands behind `=`.
    pub(crate) example: &'static str,
}

/// A key with an example.
pub(crate) const fn key(name: &'static str, example: &'static str) -> Key {
    Key { name, example }
}

impl<'t> Table<'t> {
    /// The parser limits the depth of nesting, so this recursion is shallow.
    pub(crate) fn new(path: String, span: Span, table: &'t DeTable<'t>) -> Self {
        let mut entries: Vec<_> = table
            .iter()
            .map(|(key, value)| {
                let (name, span) = (key.get_ref().as_ref(), value.span().into());
                let node = match value.get_ref() {
                    DeValue::Table(table) => Node::Table(Self::new(joined(&path, name), span, table)),
                    leaf => Node::Leaf(leaf),
                };
                Entry { key: name, key_span: key.span().into(), node, span }
            })
            .collect();
        entries.sort_by_key(|entry| entry.key_span);
        Self { path, span, entries }
    }

    pub(crate) fn entry(&self, key: &str) -> Option<&Entry<'t>> {
        self.entries.iter().find(|entry| entry.key == key)
    }

    pub(crate) fn has(&self, key: &str) -> bool {
        self.entry(key).is_some()
    }

    /// How many entries a list has as written; a single text is a list of one.
    pub(crate) fn listed(&self, key: &str) -> usize {
        match self.entry(key).map(|entry| &entry.node) {
            Some(Node::Leaf(DeValue::Array(items))) => items.len(),
            Some(_) => 1,
            None => 0,
        }
    }

    /// How messages call this table.
    pub(crate) fn title(&self) -> String {
        if self.path.is_empty() { "the file".into() } else { format!("[{}]", self.path) }
    }
}

fn joined(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}

/// A reader that turns entries into values and collects what is wrong with them.
pub(crate) struct Reader<'s> {
    pub(crate) source: &'s Source,
    pub(crate) faults: Vec<Fault>,
    /// Tables and the keys that belong there, for a key that strayed into another one.
    pub(crate) homes: &'static [(&'static str, &'static [&'static str])],
    /// Path of a table and the key that is probably meant by an unknown one: it is not missing besides.
    pub(crate) misspelt: Vec<(String, &'static str)>,
    /// What is asked for, where somebody wants to know.
    pub(crate) notes: Option<Notes>,
}

impl<'s> Reader<'s> {
    pub(crate) fn new(source: &'s Source, homes: &'static [(&'static str, &'static [&'static str])]) -> Self {
        Self { source, faults: vec![], homes, misspelt: vec![], notes: None }
    }
}

impl Reader<'_> {
    pub(crate) fn fault(&mut self, fault: Fault) {
        self.faults.push(fault);
    }

    /// Notes what may stand behind a key, whether or not it stands in this file.
    pub(crate) fn asks(&mut self, table: &Table<'_>, key: &Key, wanted: impl FnOnce() -> Wanted) {
        self.asks_for(table, key.name, key.example, wanted);
    }

    fn asks_for(&mut self, table: &Table<'_>, key: &str, example: &str, wanted: impl FnOnce() -> Wanted) {
        let Some(notes) = &mut self.notes else { return };
        let remark = table.entry(key).and_then(|entry| self.source.remark(entry.span));
        let asked = notes.asked(&table.path, key, example, wanted());
        if asked.remark.is_none() {
            asked.remark = remark.map(str::to_owned);
        }
    }

    /// Notes the pattern of the keys that the file may choose in a table.
    pub(crate) fn names(&mut self, table: &Table<'_>, pattern: &'static str) {
        if let Some(notes) = &mut self.notes {
            notes.names(&table.path, pattern);
        }
    }

    /// Notes that one of several groups of keys must stand.
    pub(crate) fn needs(&mut self, table: &Table<'_>, ways: &[&[&str]]) {
        if let Some(notes) = &mut self.notes {
            notes.needed(&table.path, ways);
        }
    }

    /// A fault about a value: the key goes in front of the message.
    pub(crate) fn value_fault(
        &mut self,
        kind: FaultKind,
        key: &str,
        span: Span,
        message: impl std::fmt::Display,
        help: impl Into<String>,
    ) {
        self.fault(Fault::new(kind, span, format!("{key}: {message}"), help));
    }

    pub(crate) fn quantity_fault(&mut self, key: &str, span: Span, error: &QuantityError) {
        let kind = if matches!(error, QuantityError::OutOfRange { .. }) {
            FaultKind::Range
        } else {
            FaultKind::Quantity
        };
        self.value_fault(kind, key, span, error, error.help());
    }

    /// A tube size that cannot be read.
    pub(crate) fn size_fault(&mut self, key: &str, span: Span, error: &SizeError) {
        let kind = match error {
            SizeError::Quantity(QuantityError::OutOfRange { .. }) => FaultKind::Range,
            _ => FaultKind::Size,
        };
        self.value_fault(kind, key, span, error, error.help());
    }

    /// Tells every key that is not among `known`.
    pub(crate) fn only(&mut self, table: &Table<'_>, known: &[&'static str]) {
        if let Some(notes) = &mut self.notes {
            notes.read(&table.path, known);
        }
        for entry in table.entries.iter().filter(|entry| !known.contains(&entry.key)) {
            let is_table = matches!(entry.node, Node::Table(_)) && table.path.is_empty();
            let help = if let Some(name) = nearest(entry.key, known.iter().copied()) {
                self.misspelt.push((table.path.clone(), name));
                format!("did you mean `{name}`?")
            } else if let Some((home, _)) = self.homes.iter().find(|(_, keys)| keys.contains(&entry.key)) {
                format!("move it: `{}` belongs in {home}", entry.key)
            } else {
                format!("{} here: {}", if is_table { "tables" } else { "keys" }, known.join(", "))
            };
            let message = if is_table {
                format!("there is no table `[{}]`", entry.key)
            } else {
                format!("there is no key `{}` in {}", entry.key, table.title())
            };
            self.fault(Fault::new(FaultKind::Key, entry.key_span, message, help));
        }
    }

    /// Tells that a name stands for nothing, and the known one that is probably meant; `otherwise` when none is.
    pub(crate) fn unknown_name<'k>(
        &mut self,
        (key, span): (&str, Span),
        what: &str,
        name: &str,
        known: impl IntoIterator<Item = &'k str>,
        otherwise: impl Into<String>,
    ) {
        let help = match nearest(name, known) {
            Some(known) => format!("did you mean `{known}`?"),
            None => otherwise.into(),
        };
        self.value_fault(FaultKind::Reference, key, span, format_args!("there is no {what} `{name}`"), help);
    }

    /// Tells that a key is absent.
    pub(crate) fn missing(&mut self, table: &Table<'_>, key: &Key) {
        self.missing_because(table, key, "");
    }

    /// Tells that a key is absent, and behind the offer why it is needed.
    pub(crate) fn missing_because(&mut self, table: &Table<'_>, key: &Key, why: &str) {
        if self.is_misspelt(table, key) {
            return;
        }
        self.fault(Fault::new(
            FaultKind::Missing,
            table.span,
            format!("`{}` is missing in {}", key.name, table.title()),
            format!("add `{} = {}`{why}", key.name, key.example),
        ));
    }

    /// Whether an unknown key of the table probably means this one.
    fn is_misspelt(&self, table: &Table<'_>, key: &Key) -> bool {
        self.misspelt.iter().any(|(path, name)| *path == table.path && *name == key.name)
    }

    /// Gives the value, or tells that it is missing when the key is absent.
    pub(crate) fn need<T>(&mut self, table: &Table<'_>, key: &Key, value: Option<T>) -> Option<T> {
        self.needs(table, &[&[key.name]]);
        if !table.has(key.name) {
            self.missing(table, key);
        }
        value
    }

    /// Tells that a value has the wrong type.
    pub(crate) fn wrong_type(&mut self, entry: &Entry<'_>, wanted: &str, help: impl Into<String>) {
        let found = match &entry.node {
            Node::Table(_) => "a table",
            Node::Leaf(leaf) => type_name(leaf),
        };
        self.value_fault(
            FaultKind::Value,
            entry.key,
            entry.span,
            format_args!("{wanted} is wanted here, not {found}"),
            help,
        );
    }

    /// A text. A bare number is told how to become one.
    pub(crate) fn text(&mut self, table: &Table<'_>, key: &Key) -> Option<Located<String>> {
        self.asks(table, key, || Wanted::Text);
        self.written(table, key)
    }

    fn written(&mut self, table: &Table<'_>, key: &Key) -> Option<Located<String>> {
        let entry = table.entry(key.name)?;
        match &entry.node {
            Node::Leaf(DeValue::String(text)) if text.trim().is_empty() => {
                self.value_fault(
                    FaultKind::Value,
                    key.name,
                    entry.span,
                    "nothing is written between the quotation marks",
                    format!("write `{} = {}`", key.name, key.example),
                );
                None
            }
            Node::Leaf(DeValue::String(text)) => Some(Located { value: text.to_string(), span: entry.span }),
            _ => {
                self.wrong_type(
                    entry,
                    "text in quotation marks",
                    format!("write `{} = {}`", key.name, key.example),
                );
                None
            }
        }
    }

    /// A quantity in a range. A bare number is offered the units.
    pub(crate) fn quantity<Q: Quantity>(
        &mut self,
        table: &Table<'_>,
        key: &Key,
        range: &Range,
    ) -> Option<Located<Q>> {
        self.parsed(table, key, Q::kind(), |text| quantity::read_within(text, range))
    }

    /// A text that means something, by a reading function.
    pub(crate) fn meant<T>(
        &mut self,
        table: &Table<'_>,
        key: &Key,
        read: impl FnOnce(&str) -> Result<T, QuantityError>,
    ) -> Option<Located<T>> {
        let text = self.text(table, key)?;
        let value =
            read(&text.value).map_err(|error| self.quantity_fault(key.name, text.span, &error)).ok()?;
        Some(Located { value, span: text.span })
    }

    /// A value with a unit, by a reading function.
    pub(crate) fn parsed<T>(
        &mut self,
        table: &Table<'_>,
        key: &Key,
        kind: &'static Kind,
        read: impl FnOnce(&str) -> Result<T, QuantityError>,
    ) -> Option<Located<T>> {
        self.asks(table, key, || Wanted::Quantity(kind));
        self.parsed_entry(table.entry(key.name)?, key.example, kind, read)
    }

    /// The same of an entry whose key the file chooses.
    pub(crate) fn parsed_entry<T>(
        &mut self,
        entry: &Entry<'_>,
        example: &str,
        kind: &'static Kind,
        read: impl FnOnce(&str) -> Result<T, QuantityError>,
    ) -> Option<Located<T>> {
        let text = match &entry.node {
            Node::Leaf(DeValue::String(text)) => text.to_string(),
            // `peak_flow = 1.7` needs no unit; `altitude = 160` is refused by the reading function with both units offered.
            Node::Leaf(DeValue::Integer(_) | DeValue::Float(_)) => self.source.written(entry.span).to_owned(),
            _ => {
                self.wrong_type(entry, kind.name, format!("write `{} = {example}`", entry.key));
                return None;
            }
        };
        match read(&text) {
            Ok(value) => Some(Located { value, span: entry.span }),
            Err(error) => {
                self.quantity_fault(entry.key, entry.span, &error);
                None
            }
        }
    }

    /// One word of several.
    pub(crate) fn one_of<T: Copy>(
        &mut self,
        table: &Table<'_>,
        key: &Key,
        words: &[(&str, T)],
    ) -> Option<Located<T>> {
        self.asks(table, key, || Wanted::Words(words.iter().map(|(word, _)| (*word).to_owned()).collect()));
        let text = self.written(table, key)?;
        let plain = |word: &str| word.trim().to_lowercase().replace(['-', '_'], " ");
        let written = plain(&text.value);
        if let Some((_, value)) = words.iter().find(|(word, _)| plain(word) == written) {
            return Some(Located { value: *value, span: text.span });
        }
        let all = quantity::alternatives(words.iter().map(|(word, _)| (*word).to_owned()));
        let help = match nearest(&written, words.iter().map(|(word, _)| *word)) {
            Some(word) => format!("did you mean `{word}`? Allowed: {all}"),
            None => format!("write {all}"),
        };
        self.value_fault(
            FaultKind::Value,
            key.name,
            text.span,
            format_args!("`{}` is not known here", text.value),
            help,
        );
        None
    }

    /// A list of texts; a single text is a list of one.
    pub(crate) fn list(&mut self, table: &Table<'_>, key: &Key) -> Vec<Located<String>> {
        self.asks(table, key, || Wanted::List);
        table.entry(key.name).map(|entry| self.list_at(entry, key.example)).unwrap_or_default()
    }

    /// The same of an entry whose key the file chooses.
    pub(crate) fn list_at(&mut self, entry: &Entry<'_>, example: &str) -> Vec<Located<String>> {
        match &entry.node {
            Node::Leaf(DeValue::String(text)) => vec![Located { value: text.to_string(), span: entry.span }],
            Node::Leaf(DeValue::Array(items)) => {
                let mut texts = vec![];
                for item in items.iter() {
                    match item.get_ref() {
                        DeValue::String(text) => {
                            texts.push(Located { value: text.to_string(), span: item.span().into() })
                        }
                        other => self.value_fault(
                            FaultKind::Value,
                            entry.key,
                            item.span().into(),
                            format_args!("text in quotation marks is wanted here, not {}", type_name(other)),
                            format!("write `{} = {}`", entry.key, example),
                        ),
                    }
                }
                texts
            }
            _ => {
                self.wrong_type(entry, "a list", format!("write `{} = {}`", entry.key, example));
                vec![]
            }
        }
    }

    /// A list in which something must stand; an empty one is told.
    pub(crate) fn filled_list_of<T>(
        &mut self,
        table: &Table<'_>,
        key: &Key,
        read: impl FnMut(&mut Self, &Located<String>) -> Option<T>,
    ) -> Vec<Located<T>> {
        if let Some(entry) = table.entry(key.name).filter(|_| table.listed(key.name) == 0) {
            self.value_fault(
                FaultKind::Value,
                key.name,
                entry.span,
                "the list is empty",
                format!("write `{} = {}`", key.name, key.example),
            );
        }
        self.list_of(table, key, read)
    }

    /// A list of quantities in a range, at least one.
    pub(crate) fn quantities<Q: Quantity>(
        &mut self,
        table: &Table<'_>,
        key: &Key,
        range: &Range,
    ) -> Vec<Located<Q>> {
        self.filled_list_of(table, key, |reader, text| {
            quantity::read_within(&text.value, range)
                .map_err(|error| reader.quantity_fault(key.name, text.span, &error))
                .ok()
        })
    }

    /// Tells that of two keys, each of which says the same in its own way, both or none stand.
    pub(crate) fn one_of_two(&mut self, table: &Table<'_>, (one, other): (&Key, &Key), twice: &str) {
        self.needs(table, &[&[one.name], &[other.name]]);
        match (table.entry(one.name), table.entry(other.name)) {
            (None, None) if self.is_misspelt(table, other) => {}
            (None, None) => {
                self.missing_because(table, one, &format!(", or `{} = {}`", other.name, other.example));
            }
            (Some(first), Some(second)) => {
                let (first, second) =
                    (first.key_span.min(second.key_span), first.key_span.max(second.key_span));
                let help = format!("keep `{}`, or keep `{}`", one.name, other.name);
                self.fault(
                    Fault::new(FaultKind::Contradiction, second, twice, help)
                        .also(first, "the other statement"),
                );
            }
            _ => {}
        }
    }

    /// Tells that something stands in two places of which one is enough.
    pub(crate) fn told_twice(&mut self, message: impl Into<String>, second: Span, first: Span) {
        self.fault(
            Fault::new(FaultKind::Contradiction, second, message, "keep one of the two")
                .also(first, "the first one"),
        );
    }

    /// A whole number from `least` to `most`.
    pub(crate) fn count(
        &mut self,
        table: &Table<'_>,
        key: &Key,
        (least, most): (u32, u32),
    ) -> Option<Located<u32>> {
        self.asks(table, key, || Wanted::Count(least, most));
        let entry = table.entry(key.name)?;
        let count = match &entry.node {
            Node::Leaf(DeValue::Integer(_) | DeValue::String(_)) => {
                self.source.written(entry.span).trim().parse::<u32>().ok()
            }
            _ => None,
        };
        if let Some(value) = count.filter(|count| (least..=most).contains(count)) {
            return Some(Located { value, span: entry.span });
        }
        self.value_fault(
            FaultKind::Value,
            key.name,
            entry.span,
            format_args!("a count from {least} to {most} is wanted here"),
            format!("write `{} = {}`", key.name, key.example),
        );
        None
    }

    /// A list whose texts are read one by one.
    pub(crate) fn list_of<T>(
        &mut self,
        table: &Table<'_>,
        key: &Key,
        mut read: impl FnMut(&mut Self, &Located<String>) -> Option<T>,
    ) -> Vec<Located<T>> {
        let texts = self.list(table, key);
        texts.iter().filter_map(|text| Some(Located { value: read(self, text)?, span: text.span })).collect()
    }

    /// `true` or `false`; `false` when not said.
    pub(crate) fn flag(&mut self, table: &Table<'_>, key: &str) -> bool {
        self.stated_flag(table, key).is_some_and(|stated| stated.value)
    }

    /// `true` or `false`, where said.
    pub(crate) fn stated_flag(&mut self, table: &Table<'_>, key: &str) -> Option<Located<bool>> {
        self.asks_for(table, key, "true", || Wanted::Flag);
        let entry = table.entry(key)?;
        match &entry.node {
            Node::Leaf(DeValue::Boolean(value)) => Some(Located { value: *value, span: entry.span }),
            _ => {
                self.wrong_type(
                    entry,
                    "true or false",
                    format!("write `{key} = true` or `{key} = false`, without quotation marks"),
                );
                None
            }
        }
    }

    /// A table below this one.
    pub(crate) fn table<'a, 't>(&mut self, table: &'a Table<'t>, key: &str) -> Option<&'a Table<'t>> {
        self.asks_for(table, key, "", || Wanted::Table);
        self.inner(table, key)
    }

    fn inner<'a, 't>(&mut self, table: &'a Table<'t>, key: &str) -> Option<&'a Table<'t>> {
        let entry = table.entry(key)?;
        match &entry.node {
            Node::Table(inner) => Some(inner),
            Node::Leaf(_) => {
                self.wrong_type(
                    entry,
                    "a table",
                    format!("write a line `[{}]` and the keys below it", joined(&table.path, key)),
                );
                None
            }
        }
    }

    /// The tables below this one that the file names itself: sets, places, condensers, layouts.
    pub(crate) fn named<'a, 't>(&mut self, table: &'a Table<'t>) -> Vec<(Located<String>, &'a Table<'t>)> {
        if let Some(notes) = &mut self.notes {
            notes.named(&table.path);
        }
        let mut tables = vec![];
        for entry in &table.entries {
            let good = !entry.key.trim().is_empty()
                && entry.key.chars().count() <= 40
                && entry.key.chars().all(|c| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_'));
            if !good {
                self.fault(Fault::new(
                    FaultKind::Value,
                    entry.key_span,
                    format!("`{}` does not do as a name in [{}]", entry.key.escape_debug(), table.path),
                    "write letters, digits, spaces, `-` and `_`, at most 40: it goes on tags and files",
                ));
            }
            if let Some(inner) = self.inner(table, entry.key)
                && good
            {
                tables.push((Located { value: entry.key.to_owned(), span: entry.key_span }, inner));
            }
        }
        tables
    }
}

fn type_name(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
