//! Reading a JSON Schema the way the walk needs it.

use schemars::JsonSchema;
use serde_json::{Map, Value};

/// The schema of `T`.
pub(super) fn of<T: JsonSchema>() -> Value {
    schemars::schema_for!(T).to_value()
}

/// A schema with its references followed and its siblings merged over the target.
pub(super) fn resolved(schema: &Value, root: &Value) -> Map<String, Value> {
    let mut own = schema.as_object().cloned().unwrap_or_default();
    let Some(Value::String(target)) = own.remove("$ref") else {
        return own;
    };
    let pointer = target.trim_start_matches('#');
    let under = root.pointer(pointer).map_or_else(Map::new, |t| resolved(t, root));
    merged(under, own)
}

/// The alternatives of a schema, `null` left out; one alternative is the schema itself. What
/// stands beside a choice holds for each of its alternatives.
pub(super) fn alternatives(schema: &Map<String, Value>, root: &Value) -> Vec<Map<String, Value>> {
    let Some(Value::Array(list)) = schema.get("oneOf").or_else(|| schema.get("anyOf")) else {
        return vec![schema.clone()];
    };
    let mut beside = schema.clone();
    beside.remove("oneOf");
    beside.remove("anyOf");
    list.iter()
        .map(|s| resolved(s, root))
        .filter(|s| s.get("type") != Some(&Value::String("null".into())))
        .flat_map(|s| alternatives(&s, root))
        .map(|one| merged(beside.clone(), one))
        .collect()
}

/// `over` laid over `under`: tables and lists are joined, the rest is replaced.
fn merged(mut under: Map<String, Value>, over: Map<String, Value>) -> Map<String, Value> {
    for (key, value) in over {
        match (under.get_mut(&key), value) {
            (Some(Value::Object(into)), Value::Object(from)) => into.extend(from),
            (Some(Value::Array(into)), Value::Array(from)) => into.extend(from),
            (_, value) => {
                under.insert(key, value);
            }
        }
    }
    under
}

/// The words a schema allows, if it is a choice of words.
pub(super) fn words(alternatives: &[Map<String, Value>]) -> Option<Vec<String>> {
    let mut all = Vec::new();
    for one in alternatives {
        match (one.get("const"), one.get("enum")) {
            (Some(Value::String(word)), _) => all.push(word.clone()),
            (_, Some(Value::Array(list))) => {
                all.extend(list.iter().filter_map(|w| w.as_str().map(String::from)));
            }
            _ => return None,
        }
    }
    (!all.is_empty()).then_some(all)
}

/// The key and word that tell the tables of a tagged choice apart.
pub(super) fn tag(alternative: &Map<String, Value>) -> Option<(&str, &str)> {
    let properties = alternative.get("properties")?.as_object()?;
    properties.iter().find_map(|(key, value)| {
        let word = value.get("const")?.as_str()?;
        Some((key.as_str(), word))
    })
}

/// Whether a schema admits a JSON type.
pub(super) fn admits(schema: &Map<String, Value>, kind: &str) -> bool {
    match schema.get("type") {
        Some(Value::String(one)) => one == kind || (kind == "integer" && one == "number"),
        Some(Value::Array(many)) => many
            .iter()
            .any(|t| t.as_str().is_some_and(|t| t == kind || (kind == "integer" && t == "number"))),
        _ => match kind {
            "string" => schema.contains_key("const") || schema.contains_key("enum"),
            "object" => schema.contains_key("properties"),
            _ => false,
        },
    }
}
