//! The JSON Schema of manifests: for editors, and for the check of keys and kinds of values.

use super::raw::RawManifest;
use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde_json::{Map, Value};

/// The JSON Schema (draft 2020-12) of manifests and shared files.
///
/// No top level key is required, since any of them may stand in the other file.
pub fn schema() -> Value {
    let mut schema = of::<RawManifest>();
    if let Some(object) = schema.as_object_mut() {
        object.remove("required");
    }
    schema
}

/// The same of any file that is written by hand.
pub(super) fn of<T: JsonSchema>() -> Value {
    let mut schema = SchemaSettings::draft2020_12().into_generator().into_root_schema_for::<T>().to_value();
    without_null(&mut schema);
    schema
}

/// Takes `null` out of all types: an optional key is left out, not left empty.
fn without_null(schema: &mut Value) {
    match schema {
        Value::Array(values) => values.iter_mut().for_each(without_null),
        Value::Object(object) => {
            object.values_mut().for_each(without_null);
            narrow_type(object);
            narrow_choice(object);
            // Defaults are told in the descriptions; those that schemars adds here are empty ones.
            object.retain(|key, value| !(key == "default" && (value.is_null() || value.is_array())));
        }
        _ => {}
    }
}

fn narrow_type(object: &mut Map<String, Value>) {
    let Some(Value::Array(kinds)) = object.get_mut("type") else { return };
    kinds.retain(|kind| kind != "null");
    if let [kind] = kinds.as_slice() {
        let kind = kind.clone();
        object.insert("type".into(), kind);
    }
}

fn narrow_choice(object: &mut Map<String, Value>) {
    let Some(Value::Array(branches)) = object.get_mut("anyOf") else { return };
    branches.retain(|branch| branch.get("type").is_none_or(|kind| kind != "null"));
    if let [Value::Object(only)] = branches.as_slice() {
        let only = only.clone();
        object.remove("anyOf");
        // What the field says of itself counts more than what its type says.
        for (key, value) in only {
            object.entry(key).or_insert(value);
        }
    }
}
