//! The committed schemas are those of the program, and field tables name every field.

use super::{same_or_update, text};
use serde_json::Value;

#[test]
fn committed_schemas_are_the_program_s_own() {
    let schemas = kitwright::commands::schemas();
    let names = schemas.iter().map(|(name, _)| *name).collect::<Vec<_>>();
    let catalogues = ["catalogue-update", "catalogue-status", "catalogue-merge", "catalogue-file"];
    assert_eq!(
        names,
        [
            &["check", "plan", "build", "builds", "sheet", "picture", "lays", "guide", "proof"][..],
            &catalogues,
            &["verify", "review", "release", "compare", "explain", "feedback"]
        ]
        .concat()
    );
    for (name, schema) in schemas {
        let now = serde_json::to_string_pretty(&schema).expect("JSON") + "\n";
        same_or_update(&format!("docs/schema/{name}.schema.json"), &now);
    }
}

#[test]
fn every_field_is_in_the_tables() {
    let told = text("docs/commands.md");
    for (name, schema) in kitwright::commands::schemas() {
        for field in fields(&schema) {
            assert!(told.contains(&format!("`{field}`")), "docs/commands.md does not tell the field `{field}` of `{name}`");
        }
    }
}

fn fields(schema: &Value) -> Vec<String> {
    let own = schema["properties"].as_object().into_iter().flat_map(|map| map.keys().cloned());
    let shared = schema["$defs"].as_object().into_iter().flat_map(|map| map.values().flat_map(fields));
    own.chain(shared).collect()
}
