//! The JSON Schema of the job file, formed from what the reader asks for when it reads an example of everything.

use super::asked::{ANY, Asked, AskedTable, Notes, Wanted};
use super::{STARTER, file};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// Behind the starter with all its remarks switched on: the ways to say a thing that it does not take. It need not be
/// a job that could be computed; only what is asked for counts.
const OTHER_WAYS: &str = r#"
[limits]
[set.suction]
like = "ice-room"
[set.suction.compressor]
map = "compressor.csv"
[set.suction.line.suction]
tube = "choose"
[set.suction.line.drain]
tube = "choose"
[set.warm]
like = "ice-room"
heat_rejection = "28 000 Btu/h"
discharge_gas = "170 °F"
"#;

/// A limit that a job may set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SettableLimit {
    /// Its key.
    pub key: String,
    /// What it limits, in words.
    pub about: String,
}

/// The JSON Schema (draft 2020-12) of the job file, for editors: which keys there are, what may stand behind them, an
/// example of each. It is strict in keys and loose in values: every spelling that [`read`](super::read) takes passes,
/// and whatever it refuses for its number or its unit may pass too. `limits` are those that a job may set.
///
/// ```
/// let schema = report::job::schema(&[]);
/// assert_eq!(schema["properties"]["format"]["const"], 1);
/// ```
#[must_use]
pub fn schema(limits: &[SettableLimit]) -> Value {
    let notes = notes();
    let mut schema = table(&notes, "");
    schema["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    schema["$id"] = json!("urn:uuid:4b0f6f7e-3c1d-4a52-9d0b-8f2a7c5e61d4");
    schema["title"] = json!("Job file of lineset, format 1");
    let settable = limits.iter().map(|limit| {
        let value = json!({ "type": ["string", "number"], "description": limit.about });
        (limit.key.clone(), value)
    });
    schema["properties"]["limits"] = json!({
        "type": "object",
        "additionalProperties": false,
        "description": "Limits of this job in place of those of the tables.",
        "properties": settable.collect::<Map<_, _>>(),
    });
    schema
}

fn notes() -> Notes {
    file::asked(&format!("{}{OTHER_WAYS}", switched_on(STARTER)))
}

/// The starter with every remark that shows a key in place of the remark.
fn switched_on(starter: &str) -> String {
    let shown = |line: &&str| {
        let key = line.strip_prefix("# ").and_then(|line| line.split_once(" = ")).map(|(key, _)| key);
        key.is_some_and(|key| !key.contains(' '))
    };
    starter.lines().map(|line| if shown(&line) { &line[2..] } else { line }).collect::<Vec<_>>().join("\n")
}

fn table(notes: &Notes, path: &str) -> Value {
    let mut schema = json!({ "type": "object" });
    let Some(asked) = notes.table(path) else { return schema };
    match asked.asked.get(ANY) {
        Some(any) => {
            schema["additionalProperties"] = value(notes, &below(path, ANY), any);
            schema["propertyNames"] = json!({ "minLength": 1, "maxLength": 40 });
            if let Some(pattern) = asked.names {
                schema["propertyNames"]["pattern"] = json!(pattern);
            }
        }
        None => {
            let properties =
                asked.asked.iter().map(|(key, asked)| (key.clone(), value(notes, &below(path, key), asked)));
            schema["properties"] = properties.collect();
            schema["additionalProperties"] = json!(false);
        }
    }
    if path == SET {
        schema["if"] = json!({ "required": ["like"] });
        schema["else"] = needs_below(notes, path);
    } else if !copied(path) {
        add_needs(&mut schema, asked);
    }
    schema
}

const SET: &str = "set.NAME";

/// Whether what such a table needs may come from the set that its own is like.
fn copied(path: &str) -> bool {
    let inside = path.strip_prefix(SET).and_then(|below| below.strip_prefix('.'));
    inside.is_some_and(|inside| !file::WHOLE.contains(&inside.split('.').next().unwrap_or(inside)))
}

/// What a set that copies nothing needs, in itself and in its tables.
fn needs_below(notes: &Notes, path: &str) -> Value {
    let mut schema = json!({});
    let Some(asked) = notes.table(path) else { return schema };
    add_needs(&mut schema, asked);
    let inner: Map<_, _> = asked
        .asked
        .iter()
        .filter(|(_, asked)| asked.wanted == [Wanted::Table])
        .map(|(key, _)| (key, below(path, key)))
        .filter(|(_, path)| copied(path))
        .map(|(key, path)| (key.clone(), needs_below(notes, &path)))
        .filter(|(_, needs)| needs != &json!({}))
        .collect();
    if !inner.is_empty() {
        schema["properties"] = Value::Object(inner);
    }
    schema
}

fn add_needs(schema: &mut Value, asked: &AskedTable) {
    let (single, several): (Vec<_>, Vec<_>) = asked.needs().partition(|ways| ways.len() == 1);
    let required: Vec<_> = single.into_iter().flatten().flatten().collect();
    if !required.is_empty() {
        schema["required"] = json!(required);
    }
    let all: Vec<_> = several
        .into_iter()
        .map(|ways| ways.iter().map(|keys| json!({ "required": keys })).collect::<Vec<_>>())
        .map(|ways| json!({ "anyOf": ways }))
        .collect();
    if !all.is_empty() {
        schema["allOf"] = json!(all);
    }
}

fn value(notes: &Notes, path: &str, asked: &Asked) -> Value {
    let mut kinds: Vec<_> = asked.wanted.iter().map(|wanted| kind(notes, path, wanted)).collect();
    let mut schema = if kinds.len() == 1 { kinds.remove(0) } else { json!({ "anyOf": kinds }) };
    let words = asked.wanted.iter().filter_map(|wanted| in_words(wanted, &asked.example));
    let remark = asked.remark.iter().map(|remark| {
        let mut letters = remark.chars();
        letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
    });
    let description: Vec<String> = remark.chain(words).map(|text| format!("{text}.")).collect();
    if !description.is_empty() {
        schema["description"] = json!(description.join(" "));
    }
    if let Some(example) = example(&asked.example) {
        schema["examples"] = json!([example]);
    }
    schema
}

fn kind(notes: &Notes, path: &str, wanted: &Wanted) -> Value {
    match wanted {
        Wanted::Format => json!({ "const": 1 }),
        Wanted::Text => json!({ "type": "string", "pattern": "\\S" }),
        Wanted::Quantity(_) => json!({ "type": ["string", "number"] }),
        Wanted::Words(words) => {
            let spellings: Vec<_> = words.iter().map(|word| any_spelling(word)).collect();
            let pattern = format!("^\\s*({})\\s*$", spellings.join("|"));
            json!({ "anyOf": [{ "enum": words }, { "type": "string", "pattern": pattern }] })
        }
        Wanted::List => json!({ "type": ["string", "array"], "items": { "type": "string" } }),
        Wanted::Count(least, most) => json!({
            "type": ["integer", "string"],
            "minimum": least,
            "maximum": most,
            "pattern": "^\\s*\\+?[0-9]+\\s*$",
        }),
        Wanted::Flag => json!({ "type": "boolean" }),
        Wanted::Table => table(notes, path),
    }
}

/// A pattern of the word in capital or small letters, with `-` or `_` for its spaces: flags for that are not in every
/// dialect of patterns.
fn any_spelling(word: &str) -> String {
    word.chars()
        .map(|letter| match letter {
            ' ' | '-' | '_' => "[ _-]".to_owned(),
            letter if letter.is_ascii_alphabetic() => {
                format!("[{}{}]", letter.to_ascii_lowercase(), letter.to_ascii_uppercase())
            }
            letter => letter.to_string(),
        })
        .collect()
}

fn in_words(wanted: &Wanted, example: &str) -> Option<String> {
    match wanted {
        Wanted::Quantity(kind) => {
            let mut letters = kind.name.chars();
            let name: String =
                letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect();
            Some(format!("{name} with its unit ({}), for example {example}", kind.accepted))
        }
        Wanted::Words(words) => Some(format!("One of: {}", words.join(", "))),
        Wanted::Count(least, most) => Some(format!("A count from {least} to {most}")),
        Wanted::Text | Wanted::List => Some(format!("For example {example}")),
        Wanted::Format | Wanted::Flag | Wanted::Table => None,
    }
}

/// An example as JSON.
fn example(written: &str) -> Option<Value> {
    let mut value: BTreeMap<String, Value> = toml::from_str(&format!("value = {written}")).ok()?;
    value.remove("value")
}

fn below(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}

#[cfg(test)]
mod tests {
    use super::super::read;
    use super::*;
    use jsonschema::Validator;
    use std::{collections::BTreeSet, fs, path::Path};

    fn validator() -> Validator {
        let library = tables::Library::embedded().unwrap();
        let limits = crate::study::settable_limits(&library).map(|limit| SettableLimit {
            key: limit.key.to_string(),
            about: limit.condition_note.to_string(),
        });
        let schema = schema(&limits.collect::<Vec<_>>());
        jsonschema::draft202012::meta::validate(&schema).unwrap();
        jsonschema::draft202012::new(&schema).unwrap()
    }

    fn as_json(text: &str) -> Value {
        toml::from_str(text).unwrap_or_else(|error| panic!("{error}\n{text}"))
    }

    fn faults(validator: &Validator, text: &str) -> Vec<String> {
        let tree = as_json(text);
        validator.iter_errors(&tree).map(|error| format!("{}: {error}", error.instance_path())).collect()
    }

    /// Every list of keys that the reader holds a table to is in the schema as it stands, and every key of it has been
    /// asked for, so that the schema knows what may stand behind it.
    #[test]
    fn the_schema_has_the_keys_of_the_reader_and_no_other() {
        let notes = notes();
        let title = |path: &str| match path {
            "set.NAME.head_pressure" => "`head_pressure` of [set.NAME]".to_owned(),
            "set.NAME.line.liquid" => "[set.NAME.line.SERVICE]".to_owned(),
            path => format!("[{path}]"),
        };
        let mut found = BTreeSet::new();
        for (path, asked) in notes.tables().filter(|(_, asked)| !asked.keys.is_empty()) {
            let keys: BTreeSet<&str> = asked.asked.keys().map(String::as_str).collect();
            assert_eq!(keys, asked.keys, "[{path}]");
            assert!(asked.asked.values().all(|asked| !asked.wanted.is_empty()));
            if let Some((home, listed)) = file::HOMES.iter().find(|(home, _)| *home == title(path)) {
                assert_eq!(keys, listed.iter().copied().collect(), "{home}");
                found.insert(*home);
            }
        }
        assert_eq!(found, file::HOMES.iter().map(|(home, _)| *home).collect());
        let schema = schema(&[]);
        let mut tables = 0;
        each_object(&schema, &mut |object| {
            tables += 1;
            let closed = object["additionalProperties"] == json!(false);
            assert!(closed || object["additionalProperties"].is_object(), "{object}");
            assert!(!closed || object["properties"].is_object(), "{object}");
        });
        assert!(tables > file::HOMES.len(), "{tables}");
    }

    fn each_object(schema: &Value, check: &mut dyn FnMut(&Value)) {
        match schema {
            Value::Object(entries) => {
                if schema["type"] == "object" {
                    check(schema);
                }
                entries.values().for_each(|entry| each_object(entry, check));
            }
            Value::Array(items) => items.iter().for_each(|item| each_object(item, check)),
            _ => {}
        }
    }

    #[test]
    fn good_jobs_pass() {
        let validator = validator();
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/jobs");
        let mut jobs = 0;
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|extension| extension == "toml") {
                let text = fs::read_to_string(&path).unwrap();
                assert_eq!(faults(&validator, &text), Vec::<String>::new(), "{}", path.display());
                jobs += 1;
            }
        }
        assert!(jobs >= 10, "{jobs}");
        for text in [STARTER, &switched_on(STARTER)] {
            read("a.toml", text.as_bytes()).unwrap();
            assert_eq!(faults(&validator, text), Vec::<String>::new());
        }
    }

    /// What the reader takes in another spelling passes too, and what it refuses for its key or its type does not.
    #[test]
    fn the_schema_and_the_reader_agree() {
        let validator = validator();
        let second = "\n[set.second]\nlike = \"ice-room\"\n";
        let cases = [
            ("\"flooding valve\"", "\" Flooding-Valve\"", true),
            ("units = \"us\"", "units = \"SI\"", true),
            ("\"1.7\"", "1.7", true),
            ("legs = [", "# legs = [\nrun = \"70 ft\"\nlift = \"20 ft\"\nelbows = \"4\" #[", true),
            (
                "[stock]\n",
                &format!("{second}[set.second.line.liquid]\ninsulation = \"none\"\n[stock]\n"),
                true,
            ),
            ("[stock]\n", "[stok]\n", false),
            ("peak_flow", "peek_flow", false),
            ("longest_run", "longest_rum", false),
            ("opens_at_difference", "opens_at", false),
            ("format = 1", "format = 2", false),
            ("format = 1", "", false),
            ("receiver_at = \"head\"", "receiver_at = \"roof\"", false),
            ("refrigerant = \"R-449A\"", "", false),
            ("tube = \"choose\"", "", false),
            ("sun = true", "sun = \"true\"", false),
            ("legs = [", "# [", false),
            ("[layout.open]\ndraws = []", "[layout.open]", false),
            ("serves = \"ice-room\"", "", false),
            ("method = \"flooding valve\", ", "", false),
            ("volume = \"1400 ft3\"", "", false),
            ("evaporating = \"5 °F dew\"", "evaporating = [\"5 °F dew\"]", false),
        ];
        for (old, new, good) in cases {
            assert!(STARTER.contains(old), "{old}");
            let text = STARTER.replacen(old, new, 1);
            let read = read("a.toml", text.as_bytes());
            assert_eq!(read.is_ok(), good, "the reader, {old} -> {new}: {:?}", read.err());
            let told = faults(&validator, &text);
            assert_eq!(told.is_empty(), good, "the schema, {old} -> {new}: {told:?}");
        }
    }

    #[test]
    fn a_limit_is_known_by_its_key() {
        let limit = SettableLimit { key: "greatest-velocity-drain".into(), about: "m/s".into() };
        let schema = schema(&[limit]);
        let validator = jsonschema::draft202012::new(&schema).unwrap();
        let with = |entry: &str| format!("{STARTER}\n[limits]\n{entry}\n");
        assert_eq!(
            faults(&validator, &with("greatest-velocity-drain = \"80 ft/min\"")),
            Vec::<String>::new()
        );
        assert!(!faults(&validator, &with("greatest-velocity = \"80 ft/min\"")).is_empty());
    }

    #[test]
    fn an_editor_can_tell_what_a_key_means() {
        let schema = schema(&[]);
        let lowest_air = &schema["properties"]["site"]["properties"]["lowest_air"];
        assert_eq!(lowest_air["examples"], json!(["-10 °F"]));
        assert_eq!(
            lowest_air["description"],
            "Coldest day: decides the winter charge. A temperature with its unit (°F, °C, K), for example \"-10 °F\"."
        );
    }
}
