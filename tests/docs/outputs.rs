//! Real results of the commands have the shape that the committed schemas tell.

use super::{kitwright, text};
use serde_json::Value;
use std::path::Path;

/// Runs a command with `--format json` and gives its record; `code` is the exit code that it should end with.
fn record(args: &[&str], code: i32) -> Value {
    let output = kitwright().args(args).args(["--format", "json"]).assert().code(code).get_output().clone();
    assert!(output.stderr.is_empty(), "{args:?} says {}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap_or_else(|error| panic!("{args:?}: {error}"))
}

fn schema(name: &str) -> Value {
    serde_json::from_str(&text(format!("docs/schema/{name}.schema.json"))).expect(name)
}

/// Faults of a value against the few words that our schemas use; an unknown word of a schema is a fault too.
fn faults(value: &Value, schema: &Value, whole: &Value, at: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (word, said) in schema.as_object().into_iter().flatten() {
        match word.as_str() {
            "$ref" => found.extend(faults(value, target(said, whole), whole, at)),
            "type" if !is_of(value, &kinds(said)) => {
                found.push(format!("{at} is {}, not {said}", kind(value)));
            }
            "required" => {
                let lacking =
                    said.as_array().into_iter().flatten().filter(|key| value.get(key.as_str().unwrap_or("")).is_none());
                found.extend(lacking.map(|key| format!("{at} lacks {key}")));
            }
            "properties" => found.extend(members(value, said, whole, at)),
            "items" => {
                let items = value.as_array().into_iter().flatten();
                found.extend(items.enumerate().flat_map(|(n, item)| faults(item, said, whole, &format!("{at}[{n}]"))));
            }
            "anyOf" | "oneOf" => {
                let ways = said.as_array().into_iter().flatten().map(|way| faults(value, way, whole, at));
                found.extend(ways.min_by_key(Vec::len).unwrap_or_default());
            }
            "minimum" if value.as_f64() < said.as_f64() && value.is_number() => found.push(format!("{at} is below {said}")),
            "const" if value != said => found.push(format!("{at} is not {said}")),
            // That a field is unknown is a fault here anyway.
            "const" | "additionalProperties" => {}
            "type" | "minimum" | "maximum" | "format" | "title" | "description" | "$schema" | "$defs" => {}
            other => found.push(format!("{at}: this test does not know `{other}`")),
        }
    }
    found
}

/// A field that the schema does not know is a fault here, since the schema is made from the same version.
fn members(value: &Value, told: &Value, whole: &Value, at: &str) -> Vec<String> {
    let fields = value.as_object().into_iter().flatten();
    let one = |(key, field): (&String, &Value)| match told.get(key) {
        Some(schema) => faults(field, schema, whole, &format!("{at}.{key}")),
        None => vec![format!("{at}.{key} is not in the schema")],
    };
    fields.flat_map(one).collect()
}

fn target<'a>(reference: &Value, whole: &'a Value) -> &'a Value {
    let path = reference.as_str().and_then(|text| text.strip_prefix('#')).expect("a reference into the schema");
    whole.pointer(path).expect("a known definition")
}

fn kinds(said: &Value) -> Vec<&str> {
    said.as_str().into_iter().chain(said.as_array().into_iter().flatten().filter_map(Value::as_str)).collect()
}

/// A whole number is a number too (JSON Schema, draft 2020-12, validation, 6.1.1).
fn is_of(value: &Value, kinds: &[&str]) -> bool {
    kinds.contains(&kind(value)) || (kind(value) == "integer" && kinds.contains(&"number"))
}

fn kind(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "boolean",
        Value::Number(number) if number.is_f64() => "number",
        Value::Number(_) => "integer",
        Value::String(_) => "string",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
    }
}

fn fits(value: &Value, name: &str) {
    let schema = schema(name);
    let faults = faults(value, &schema, &schema, name);
    assert!(faults.is_empty(), "{faults:#?}");
    assert_eq!(value["version"], 1, "docs/commands.md says version 1");
}

#[test]
fn check_and_plan_fit_their_schemas() {
    fits(&record(&["check", "kits/ropewalk-tote"], 0), "check");
    let refused = record(&["check", "tests/faulty/layer-missing"], 1);
    fits(&refused, "check");
    assert_eq!(refused["findings"][0]["code"], "layer-missing");
    fits(&record(&["check", "tests/faulty/no-manifest"], 2), "check");
    let plan = record(&["plan", "kits/ropewalk-tote"], 0);
    fits(&plan, "plan");
    assert_eq!(plan["layouts"].as_array().map(Vec::len), Some(3));
}

#[test]
fn refused_plans_and_builds_give_the_record_of_check() {
    for command in ["plan", "build"] {
        let refused = record(&[command, "tests/faulty/bare-length"], 1);
        fits(&refused, "check");
        assert_eq!(refused["fine"], false);
    }
}

#[test]
fn build_and_verify_fit_their_schemas() {
    let folder = tempfile::tempdir().expect("folder");
    let out = folder.path().to_str().expect("UTF-8");
    let built = record(&["build", "kits/ropewalk-tote", "--paper", "a4", "--out", out], 0);
    fits(&built, "build");
    let package = built["package"].as_str().expect("path");
    assert!(package.ends_with("ropewalk-tote-1.0.0-only-a4.zip") && Path::new(package).is_file());
    let verdict = record(&["verify", package], 0);
    fits(&verdict, "verify");
    assert!(verdict["figures"].as_array().is_some_and(|figures| figures.len() > 10));
    std::fs::write(package, b"no zip at all").expect("write");
    let refused = record(&["verify", package], 1);
    fits(&refused, "verify");
    assert_eq!(refused["fine"], false);
}

#[test]
fn builds_of_several_kits_fit_their_schema() {
    let folder = tempfile::tempdir().expect("folder");
    let out = folder.path().to_str().expect("UTF-8");
    let args = ["build", "kits/ropewalk-tote", "tests/faulty/bare-length", "kits/draft", "--paper", "a4", "--out", out];
    let built = record(&args, 1);
    fits(&built, "builds");
    assert_eq!((&built["passed_over"][0], &built["builds"][1]["package"]), (&"kits/draft".into(), &Value::Null));
    // Arguments that contradict each other give the record of `check`.
    fits(&record(&["build", "kits/ropewalk-tote", "kits/ropewalk-tote"], 2), "check");
}

#[test]
fn single_sheets_fit_their_schema() {
    let folder = tempfile::tempdir().expect("folder");
    let out = folder.path().join("a1.pdf");
    let made = record(&["sheet", "kits/ropewalk-tote", "A1", "--paper", "a4", "--out", out.to_str().expect("UTF-8")], 0);
    fits(&made, "sheet");
    assert_eq!((made["label"].as_str(), made["page"].as_u64()), (Some("A1"), Some(2)));
}

#[test]
fn proofs_fit_their_schema() {
    let folder = tempfile::tempdir().expect("folder");
    let made = record(&["proof", "kits/ropewalk-tote", "--out", folder.path().to_str().expect("UTF-8")], 0);
    fits(&made, "proof");
    assert!(
        made["file"].as_str().is_some_and(|file| file.ends_with("ropewalk-tote-1.0.0-proof.html")) && made["address"].is_null()
    );
}

#[test]
fn feedback_fits_its_schema() {
    let folder = tempfile::tempdir().expect("folder");
    let (out, file) = (folder.path().to_str().expect("UTF-8"), folder.path().join("a.json"));
    let empty = "\"printer\": \"\", \"scale\": {\"unit\": \"mm\", \"across\": \"\", \"down\": \"\"}, \"size\": \"\", \"map\": [], \"sheets\": [], \
                 \"steps\": [], \"fit\": \"\", \"overall\": \"\", \"more\": \"\"";
    let head = "\"format\": 1, \"kit\": \"tote\", \"edition\": \"1.0.0\", \"round\": 1, \"tester\": \"7\", \"language\": \"en\", \"paper\": \"a4\"";
    let text = format!("{{{head}, {empty}}}");
    std::fs::write(&file, &text).expect("write");
    let made = record(&["feedback", file.to_str().expect("UTF-8"), "--out", out], 0);
    fits(&made, "feedback");
    assert_eq!(made["rounds"][0]["answered"][0], "7");
    // What a tester sends back has a schema, too.
    let schema = schema("feedback-file");
    let answer: Value = serde_json::from_str(&text).expect("JSON");
    let told = faults(&answer, &schema, &schema, "answer");
    assert!(told.is_empty(), "{told:#?}");
}

#[test]
fn pictures_are_as_large_as_asked_and_the_same_each_time() {
    let folder = tempfile::tempdir().expect("folder");
    let out = folder.path().to_str().expect("UTF-8");
    let draw = || record(&["picture", "kits/ropewalk-tote", "--size", "500", "--out", out], 0);
    let drawn = draw();
    fits(&drawn, "picture");
    let files: Vec<&str> = drawn["files"].as_array().expect("list").iter().filter_map(Value::as_str).collect();
    assert_eq!(files.len(), 2);
    let read = || files.iter().map(|file| std::fs::read(file).expect(file)).collect::<Vec<_>>();
    let once = read();
    for bytes in &once {
        // W3C PNG, 5.2 and 11.2.2: eight bytes of signature, then IHDR with width and height as big-endian numbers.
        assert!(bytes.starts_with(b"\x89PNG\r\n\x1a\n"));
        let side = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().expect("four bytes"));
        assert_eq!(side(16).max(side(20)), 500);
    }
    draw();
    assert!(read() == once);
}

/// The small validator above can fail.
#[test]
fn wrong_records_are_told() {
    let schema = schema("check");
    let faulty = |text: &str| faults(&serde_json::from_str(text).expect(text), &schema, &schema, "record").len();
    assert_eq!(faulty(r#"{"version": 1, "fine": true, "findings": []}"#), 0);
    assert_eq!(faulty(r#"{"version": 1, "fine": true}"#), 1);
    assert_eq!(faulty(r#"{"version": -1, "fine": 3, "findings": [], "more": 1}"#), 3);
    assert_eq!(faulty(r#"{"version": 1, "fine": false, "findings": [{}]}"#), 8);
}
