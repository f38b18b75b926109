//! The walk of a TOML tree beside a schema.

use super::{Document, schema};
use crate::diagnostic::Diagnostic;
use crate::units::{MAX_LENGTH, Unit, parse_angle, parse_feed, parse_length};
use serde_json::{Map, Number, Value};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

type SchemaObject = Map<String, Value>;

pub(super) fn walk(
    root: &Value,
    table: &Spanned<DeTable<'_>>,
    document: &mut Document,
) -> Result<Value, Vec<Diagnostic>> {
    if let Some(unit) = table.get_ref().get("units").and_then(|v| v.get_ref().as_str()) {
        document.unit = if unit == "in" { Unit::In } else { Unit::Mm };
    }
    let mut walk = Walk { root, document, found: Vec::new() };
    let schema = schema::resolved(root, root);
    let value = walk.table(&schema, table.get_ref(), "");
    if walk.found.is_empty() { Ok(value) } else { Err(walk.found) }
}

struct Walk<'a> {
    root: &'a Value,
    document: &'a mut Document,
    found: Vec<Diagnostic>,
}

impl Walk<'_> {
    fn wrong(&mut self, key: &str, message: String) -> Value {
        self.found.push(Diagnostic::error(message).key(key));
        Value::Null
    }

    fn wrong_with_help(&mut self, key: &str, message: String, help: String) {
        self.found.push(Diagnostic::error(message).key(key).help(help));
    }

    fn table(&mut self, schema: &SchemaObject, table: &DeTable<'_>, path: &str) -> Value {
        let none = Map::new();
        let known = schema.get("properties").and_then(Value::as_object).unwrap_or(&none);
        let mut out = Map::new();
        for (key, value) in table {
            let name = key.get_ref().as_ref();
            let inner = join(path, name);
            self.document.places.insert(inner.clone(), place(key.span(), value));
            let rule = match known.get(name) {
                Some(rule) => rule,
                None => match schema.get("additionalProperties") {
                    Some(rule @ Value::Object(_)) => rule,
                    _ => {
                        self.document.places.insert(inner.clone(), key.span());
                        self.unknown(&inner, name, known);
                        continue;
                    }
                },
            };
            let rule = schema::resolved(rule, self.root);
            out.insert(name.to_string(), self.value(&rule, value, &inner));
        }
        for wanted in schema.get("required").and_then(Value::as_array).unwrap_or(&Vec::new()) {
            let Some(wanted) = wanted.as_str() else { continue };
            if !table.contains_key(wanted) {
                let meaning = known
                    .get(wanted)
                    .and_then(|s| s.get("description"))
                    .and_then(Value::as_str)
                    .map(|d| d.replace('\n', " "));
                let message = format!("the key `{wanted}` is missing");
                match meaning {
                    Some(d) => self.wrong_with_help(path, message, format!("`{wanted}`: {d}")),
                    None => {
                        self.wrong(path, message);
                    }
                }
            }
        }
        Value::Object(out)
    }

    fn unknown(&mut self, path: &str, name: &str, known: &Map<String, Value>) {
        let near = nearest(&name.replace('_', "-"), known.keys().map(String::as_str));
        let all = known.keys().map(String::as_str).collect::<Vec<_>>().join(", ");
        let help = match near {
            Some(near) => format!("did you mean `{near}`? known here: {all}"),
            None if all.is_empty() => "nothing may stand here".to_string(),
            None => format!("known here: {all}"),
        };
        self.wrong_with_help(path, "no such key".to_string(), help);
    }

    fn value(&mut self, schema: &SchemaObject, value: &Spanned<DeValue<'_>>, path: &str) -> Value {
        let alternatives = schema::alternatives(schema, self.root);
        if let Some(words) = schema::words(&alternatives) {
            return self.word(&words, value.get_ref(), path);
        }
        let kind = kind(value.get_ref());
        // Words that may stand instead of something else.
        let (worded, others): (Vec<_>, Vec<_>) = alternatives
            .into_iter()
            .partition(|a| schema::words(std::slice::from_ref(a)).is_some());
        let words = schema::words(&worded).unwrap_or_default();
        if let Some(word) = value.get_ref().as_str().filter(|w| words.iter().any(|k| k == w)) {
            return Value::String(word.to_string());
        }
        let found = self.found.len();
        let value = self.other(&others, value, kind, path);
        if let (Some(wrong), false) = (self.found.get_mut(found), words.is_empty())
            && wrong.help.is_none()
        {
            let or = words.join("` or `");
            let wanted = others.iter().map(describe).collect::<Vec<_>>().join(" or ");
            wrong.help = Some(format!("{wanted}, or `{or}`"));
        }
        value
    }

    /// A value that is none of a choice's words.
    fn other(
        &mut self,
        alternatives: &[SchemaObject],
        value: &Spanned<DeValue<'_>>,
        kind: &str,
        path: &str,
    ) -> Value {
        let fitting: Vec<_> = alternatives.iter().filter(|a| schema::admits(a, kind)).collect();
        match (value.get_ref(), fitting.as_slice()) {
            (_, []) => {
                let mut wanted: Vec<String> = alternatives.iter().map(describe).collect();
                wanted.dedup();
                let message = format!("is {}; {} is wanted", article(kind), wanted.join(" or "));
                let tables = kind == "object" && alternatives.iter().any(|a| self.lists_tables(a));
                let kinds: Vec<(&str, &str)> =
                    alternatives.iter().filter_map(|a| schema::tag(a)).collect();
                match kinds.first() {
                    _ if tables => {
                        self.wrong_with_help(path, message, format!("write `[[{path}]]`"))
                    }
                    Some((key, _)) => {
                        let all: Vec<String> =
                            kinds.iter().map(|(key, word)| format!("{key} = \"{word}\"")).collect();
                        let help =
                            format!("give its `{key}` first: {{ {} }}", all.join(" } or { "));
                        self.wrong_with_help(path, message, help);
                    }
                    None => {
                        self.wrong(path, message);
                    }
                }
                Value::Null
            }
            (DeValue::Table(table), many) => self.choose_table(many, table, path),
            (DeValue::Array(list), [first, ..]) => self.array(first, list, path),
            (_, [first, ..]) => self.scalar(first, value.get_ref(), path),
        }
    }

    /// Whether a schema is that of a list of tables.
    fn lists_tables(&self, schema: &SchemaObject) -> bool {
        let Some(items) = schema.get("items") else { return false };
        let items = schema::alternatives(&schema::resolved(items, self.root), self.root);
        schema::admits(schema, "array") && items.iter().any(|one| schema::admits(one, "object"))
    }

    fn choose_table(&mut self, many: &[&SchemaObject], table: &DeTable<'_>, path: &str) -> Value {
        if let [only] = many {
            return self.table(only, table, path);
        }
        let tags: Vec<(&str, &str)> = many.iter().filter_map(|a| schema::tag(a)).collect();
        let Some((key, _)) = tags.first().copied() else {
            return self.table(many[0], table, path);
        };
        let words: Vec<String> = tags.iter().map(|(_, w)| (*w).to_string()).collect();
        let inner = join(path, key);
        let Some((at, given)) = table.get_key_value(key) else {
            self.wrong_with_help(
                path,
                format!("the key `{key}` is missing"),
                format!("`{key}` is one of: {}", words.join(", ")),
            );
            return Value::Null;
        };
        self.document.places.insert(inner.clone(), place(at.span(), given));
        let word = self.word(&words, given.get_ref(), &inner);
        match many.iter().find(|a| schema::tag(a).is_some_and(|(_, w)| word == *w)) {
            Some(chosen) => self.table(chosen, table, path),
            None => Value::Null,
        }
    }

    fn word(&mut self, words: &[String], value: &DeValue<'_>, path: &str) -> Value {
        let all = words.join(", ");
        let Some(given) = value.as_str() else {
            return self.wrong(
                path,
                format!("is {}; one of these words is wanted: {all}", article(kind(value))),
            );
        };
        if words.iter().any(|w| w == given) {
            return Value::String(given.to_string());
        }
        let near = nearest(given, words.iter().map(String::as_str));
        let help = match near {
            Some(near) => format!("did you mean `{near}`? known: {all}"),
            None => format!("known: {all}"),
        };
        self.wrong_with_help(path, format!("`{given}` is not known here"), help);
        Value::Null
    }

    fn array(&mut self, schema: &SchemaObject, list: &toml::de::DeArray<'_>, path: &str) -> Value {
        let count = list.len() as u64;
        let bound = |k: &str| schema.get(k).and_then(Value::as_u64);
        match (bound("minItems"), bound("maxItems")) {
            (Some(low), Some(high)) if low == high && count != low => {
                return self.wrong(path, format!("has {count} values; {low} are wanted"));
            }
            (Some(low), _) if count < low => {
                return self.wrong(path, format!("has {count} values; at least {low} are wanted"));
            }
            (_, Some(high)) if count > high => {
                return self.wrong(path, format!("has {count} values; at most {high} are allowed"));
            }
            _ => {}
        }
        let any = Value::Object(Map::new());
        let rule = schema.get("items").unwrap_or(&any);
        let rule = schema::resolved(rule, self.root);
        let mut out = Vec::with_capacity(list.len());
        for (i, item) in list.iter().enumerate() {
            let inner = format!("{path}[{}]", i + 1);
            self.document.places.insert(inner.clone(), item.span());
            out.push(self.value(&rule, item, &inner));
        }
        Value::Array(out)
    }

    fn scalar(&mut self, schema: &SchemaObject, value: &DeValue<'_>, path: &str) -> Value {
        let format = schema.get("format").and_then(Value::as_str).unwrap_or("");
        let quantity = matches!(format, "length" | "angle" | "feed");
        match value {
            DeValue::String(text) if quantity => {
                let unit = self.document.unit;
                let parsed = match format {
                    "length" => parse_length(text, unit),
                    "angle" => parse_angle(text),
                    _ => parse_feed(text, unit),
                };
                match parsed {
                    Ok(number) => number_value(number),
                    Err(message) => self.wrong(path, message),
                }
            }
            DeValue::String(text) => Value::String(text.to_string()),
            DeValue::Boolean(b) => Value::Bool(*b),
            DeValue::Integer(_) | DeValue::Float(_) => {
                let Some(number) = plain_number(value) else {
                    return self.wrong(path, "is too large a number".to_string());
                };
                self.number(schema, format, number, matches!(value, DeValue::Integer(_)), path)
            }
            other => self.wrong(path, format!("{} cannot stand here", article(kind(other)))),
        }
    }

    fn number(
        &mut self,
        schema: &SchemaObject,
        format: &str,
        number: f64,
        integer: bool,
        path: &str,
    ) -> Value {
        if !number.is_finite() {
            return self.wrong(path, format!("`{number}` is not a number that can be used"));
        }
        let unit = self.document.unit;
        match format {
            "length" if (number * unit.mm()).abs() > MAX_LENGTH => {
                return self.wrong(
                    path,
                    format!(
                        "`{number}` is longer than the {} m this program works to",
                        MAX_LENGTH / 1000.0
                    ),
                );
            }
            "length" => return number_value(number * unit.mm()),
            "feed" if number < 0.0 => {
                return self
                    .wrong(path, format!("`{number}` is negative; a feed is more than zero"));
            }
            "feed" => return number_value(number * unit.mm()),
            "angle" if number.abs() > 360.0 => {
                return self.wrong(path, format!("`{number}` is more than a full turn"));
            }
            "angle" => return number_value(number.to_radians()),
            _ => {}
        }
        let bound = |k: &str| schema.get(k).and_then(Value::as_f64);
        let problem = match (bound("minimum"), bound("exclusiveMinimum"), bound("maximum")) {
            (Some(low), _, _) if number < low => Some(format!("at least {low}")),
            (_, Some(low), _) if number <= low => Some(format!("more than {low}")),
            (_, _, Some(high)) if number > high => Some(format!("at most {high}")),
            _ => None,
        };
        if let Some(allowed) = problem {
            return self.wrong(path, format!("`{number}` is out of range; {allowed} is allowed"));
        }
        if integer {
            // Exact: the walk took it from an i64 that prints as this whole number.
            Number::from_i128(number as i128).map_or(Value::Null, Value::Number)
        } else {
            number_value(number)
        }
    }
}

/// The nearest of `words` to what was typed, if one is near.
pub(crate) fn nearest<'a>(typed: &str, words: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    words
        .map(|w| (strsim::damerau_levenshtein(&typed.to_lowercase(), &w.to_lowercase()), w))
        .min()
        .filter(|(d, w)| *d <= 2.max(w.chars().count() / 3))
        .map(|(_, w)| w)
}

/// Where a message about a key points: at its value, or at the name of a table or list.
fn place(key: std::ops::Range<usize>, value: &Spanned<DeValue<'_>>) -> std::ops::Range<usize> {
    match value.get_ref() {
        DeValue::Table(_) | DeValue::Array(_) => key,
        _ => value.span(),
    }
}

fn join(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_string() } else { format!("{path}.{key}") }
}

fn number_value(number: f64) -> Value {
    Number::from_f64(number).map_or(Value::Null, Value::Number)
}

fn plain_number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(i) => i64::from_str_radix(i.as_str(), i.radix()).ok().map(|n| n as f64),
        DeValue::Float(f) => f.as_str().replace('_', "").parse().ok(),
        _ => None,
    }
}

fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "string",
        DeValue::Integer(_) => "integer",
        DeValue::Float(_) => "number",
        DeValue::Boolean(_) => "boolean",
        DeValue::Datetime(_) => "date",
        DeValue::Array(_) => "array",
        DeValue::Table(_) => "object",
    }
}

fn article(kind: &str) -> &'static str {
    match kind {
        "string" => "a text",
        "integer" => "a whole number",
        "number" => "a number",
        "boolean" => "true or false",
        "date" => "a date",
        "array" => "a list",
        _ => "a table",
    }
}

fn describe(schema: &SchemaObject) -> String {
    match schema.get("format").and_then(Value::as_str) {
        Some("length") => return "a length".to_string(),
        Some("angle") => return "an angle".to_string(),
        Some("feed") => return "a feed".to_string(),
        _ => {}
    }
    let mut kinds: Vec<&str> = match schema.get("type") {
        Some(Value::String(one)) => vec![one],
        Some(Value::Array(many)) => many.iter().filter_map(Value::as_str).collect(),
        _ => vec!["object"],
    };
    kinds.retain(|k| *k != "null");
    kinds.iter().map(|k| article(k)).collect::<Vec<_>>().join(" or ")
}
