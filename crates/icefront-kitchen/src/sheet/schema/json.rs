//! The schema as JSON Schema, so that an editor completes and checks sheets and dryer files.

use serde_json::{Map, Value as Json, json};

use super::dryer::DRYER;
use super::load::LOAD;
use super::{Key, Table, Value};
use crate::quantity::{Kind, Limit};

/// The file that a new sheet names in its first line; it stands beside the sheet.
pub const LOAD_FILE: &str = "load-sheet.schema.json";

/// The same of dryer files.
pub const DRYER_FILE: &str = "dryer.schema.json";

/// JSON Schema of load sheets.
pub fn load() -> String {
    document("icefront load sheet", &LOAD)
}

/// JSON Schema of dryer files.
pub fn dryer() -> String {
    document("icefront dryer file", &DRYER)
}

fn document(title: &str, root: &Table) -> String {
    let mut whole = json!({"$schema": "http://json-schema.org/draft-07/schema#", "title": title});
    if let (Json::Object(whole), Json::Object(root)) = (&mut whole, of_table(root)) {
        whole.extend(root);
    }
    format!("{whole:#}\n")
}

fn of_table(table: &Table) -> Json {
    let name = |key: &&Key| key.name.to_string();
    // a key with several rows: which one holds is for the choice to say
    let rows = |name: &str| table.keys.iter().filter(|key| key.name == name).count();
    let property = |key: &Key| if rows(key.name) == 1 { of_key(key) } else { json!({}) };
    let mut schema = json!({
        "type": "object",
        "properties": table.keys.iter().map(|key| (key.name.to_string(), property(key))).collect::<Map<_, _>>(),
        "additionalProperties": table.any.map_or(Json::Bool(false), of_key),
        "required": table.keys.iter().filter(|key| key.required && key.with.is_empty()).map(|k| name(&k)).collect::<Vec<_>>(),
    });
    if !table.choice.is_empty() {
        let choices = table.words(table.choice).iter().map(|(word, _)| {
            let with: Map<_, _> = table
                .names()
                .into_iter()
                .filter_map(|name| {
                    let row = table.row(name, Some(word))?;
                    let schema = if !row.goes_with(word) { Json::Bool(false) } else { of_key(row) };
                    (!row.goes_with(word) || rows(name) > 1).then(|| (name.to_string(), schema))
                })
                .collect();
            let needed = table.keys.iter().filter(|k| k.required && !k.with.is_empty() && k.goes_with(word));
            json!({
                "if": {"properties": {table.choice: {"const": word}}, "required": [table.choice]},
                "then": {"properties": with, "required": needed.map(|k| name(&k)).collect::<Vec<_>>()},
            })
        });
        schema["allOf"] = choices.collect();
    }
    schema
}

fn of_key(key: &Key) -> Json {
    let mut schema = of_value(key.value);
    let (kind, allowed) = key.value.columns();
    let said = match key.value {
        Value::Text(_)
        | Value::Food
        | Value::Quantity(_)
        | Value::QuantityOr(..)
        | Value::Amount
        | Value::Numbers(_) => {
            format!("{kind}: {allowed}")
        }
        _ => String::new(),
    };
    let otherwise = if key.otherwise.is_empty() { String::new() } else { format!("without it: {}", key.otherwise) };
    let words: Vec<&str> = [key.about, &said, &otherwise].into_iter().filter(|part| !part.is_empty()).collect();
    if !words.is_empty() {
        schema["description"] = words.join("; ").into();
    }
    if !key.example.is_empty() {
        let example = serde_json::from_str(&key.written(key.example)).unwrap_or(Json::Null);
        let is_default = !key.required && key.otherwise.is_empty();
        schema[if is_default { "default" } else { "examples" }] =
            if is_default { example } else { Json::Array(vec![example]) };
    }
    schema
}

fn of_value(value: Value) -> Json {
    match value {
        Value::Version => json!({"const": 1}),
        Value::Text(_) | Value::Food | Value::Amount => json!({"type": "string"}),
        Value::Words(words) => json!({"enum": words.iter().map(|(word, _)| *word).collect::<Vec<_>>()}),
        Value::Flag => json!({"type": "boolean"}),
        Value::Whole(low, high) => json!({"type": "integer", "minimum": low, "maximum": high}),
        Value::Quantity(Limit { kind: Kind::Number | Kind::Share, low, high, .. }) => {
            json!({"type": ["number", "string"], "minimum": low, "maximum": high})
        }
        Value::Quantity(_) => json!({"type": "string", "pattern": "[0-9]"}),
        Value::QuantityOr(limit, inner) => {
            json!({"anyOf": [of_value(Value::Quantity(limit)), of_value(Value::List(inner))]})
        }
        Value::Numbers(limit) => {
            json!({"type": "array", "items": {"type": "number", "minimum": limit.low, "maximum": limit.high}})
        }
        Value::Table(inner) => of_table(inner),
        Value::List(inner) => json!({"type": "array", "items": of_table(inner)}),
    }
}
