//! Holds a manifest's tree against its JSON Schema: unknown and missing keys, kinds of values, lengths of lists, bad texts.

use super::places::Places;
use super::words::PROSE;
use super::yaml::{Key, Node, Value, item_path, key_path};
use crate::catalogue::loose;
use crate::diagnostic::{Diagnostic, Findings, Place, counted, nearest, or_list};
use serde_json::Value as Json;
use std::collections::BTreeSet;

/// More findings than anyone reads; a file with that many is no manifest.
const MAX_FINDINGS: usize = 100;

/// One walk through a manifest.
pub struct Shape<'a> {
    schema: &'a Json,
    places: &'a Places,
    findings: &'a mut Findings,
    faults: BTreeSet<String>,
    told: usize,
}

impl<'a> Shape<'a> {
    /// Checks a whole document; gives the paths whose values cannot be used.
    pub fn check(root: &Node, schema: &'a Json, places: &'a Places, findings: &'a mut Findings) -> BTreeSet<String> {
        let mut shape = Self { schema, places, findings, faults: BTreeSet::new(), told: 0 };
        shape.node("", root, schema);
        shape.faults
    }

    fn node(&mut self, path: &str, node: &Node, schema: &'a Json) {
        if self.told > MAX_FINDINGS {
            return;
        }
        let schema = self.resolved(schema);
        if let Some(branches) = schema.get("anyOf").or_else(|| schema.get("oneOf")).and_then(Json::as_array) {
            return self.branches(path, node, branches);
        }
        match &node.value {
            Value::Refused => drop(self.faults.insert(path.to_owned())),
            Value::Scalar(text) if accepts(schema, "string") => self.text(path, text, schema),
            Value::Scalar(text) if accepts(schema, "number") => self.number(path, text, schema),
            Value::Scalar(text) if accepts(schema, "integer") => self.whole(path, text, schema),
            Value::Scalar(text) if accepts(schema, "boolean") => self.truth(path, text),
            Value::List(items) if accepts(schema, "array") => self.list(path, items, schema),
            Value::Map(entries) if accepts(schema, "object") => self.map(path, entries, schema),
            _ => self.wrong_kind(path, node, &kinds_of(schema)),
        }
    }

    /// Follows a reference into the definitions.
    fn resolved(&self, schema: &'a Json) -> &'a Json {
        let target = schema.get("$ref").and_then(Json::as_str).and_then(|to| to.strip_prefix('#'));
        target.and_then(|pointer| self.schema.pointer(pointer)).unwrap_or(schema)
    }

    /// Several kinds are allowed, or one of several words.
    fn branches(&mut self, path: &str, node: &Node, branches: &'a [Json]) {
        let words: Vec<&str> = branches.iter().filter_map(|branch| branch.get("const")?.as_str()).collect();
        // Words come as branches too: the schema has a description for each of them.
        let fitting = branches.iter().find(|branch| fits(node, self.resolved(branch)));
        match (&node.value, fitting) {
            (Value::Scalar(text), _) if !words.is_empty() => self.word(path, text, &words),
            (_, Some(branch)) if words.is_empty() => self.node(path, node, branch),
            _ => {
                let kinds: Vec<&str> = branches.iter().flat_map(|branch| kinds_of(self.resolved(branch))).collect();
                self.wrong_kind(path, node, kinds.get(..if words.is_empty() { kinds.len() } else { 1 }).unwrap_or_default());
            }
        }
    }

    fn word(&mut self, path: &str, text: &str, words: &[&str]) {
        if words.contains(&text) {
            return;
        }
        self.fault(path, error!("value-unknown", name = called(path), text, choices = or_list(words)));
    }

    fn text(&mut self, path: &str, text: &str, schema: &Json) {
        let prose = schema.get("format").is_some_and(|format| format == PROSE);
        let text = text.trim();
        if text.is_empty() {
            // Refused for all texts alike: a key without a text is better left out.
            self.fault(path, error!("text-empty", name = called(path)));
        } else if let Some(control) = text.chars().find(|&c| is_control(c, prose)) {
            self.control(path, control);
        } else if let Some((_, sign)) = loose(text) {
            self.fault(path, error!("text-control/steering", name = called(path), codepoint = codepoint(sign)));
        } else {
            self.long(path, text, schema);
        }
    }

    fn long(&mut self, path: &str, text: &str, schema: &Json) {
        let (is, most) = (text.chars().count() as u64, schema.get("maxLength").and_then(Json::as_u64).unwrap_or(u64::MAX));
        if is > most {
            self.fault(path, error!("text-long", name = called(path), is, most));
        }
    }

    fn control(&mut self, path: &str, control: char) {
        let what =
            if control == '\n' { words!("line-break").into() } else { say!("control-character", control = codepoint(control)) };
        self.fault(path, error!("text-control", name = called(path), what));
    }

    fn number(&mut self, path: &str, text: &str, schema: &Json) {
        let Some(number) = text.parse::<f64>().ok().filter(|number| number.is_finite()) else {
            return self.fault(path, error!("value-type/number", name = called(path), text));
        };
        let limit = |key: &str, default: f64| schema.get(key).and_then(Json::as_f64).unwrap_or(default);
        let (least, most) = (limit("minimum", f64::MIN), limit("maximum", f64::MAX));
        if !(least..=most).contains(&number) {
            self.fault(path, error!("value-range", name = called(path), number, least, most));
        }
    }

    /// A whole number, in plain digits.
    fn whole(&mut self, path: &str, text: &str, schema: &Json) {
        if !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit()) {
            return self.number(path, text, schema);
        }
        self.fault(
            path,
            error!("value-type/other", name = called(path), needs = kind_name("integer"), text).hint(kind_hint(&["integer"])),
        );
    }

    fn truth(&mut self, path: &str, text: &str) {
        let hint = match text.to_lowercase().as_str() {
            // What the YAML 1.2 core schema (section 10.3.2) takes for true and false.
            _ if ["true", "True", "TRUE", "false", "False", "FALSE"].contains(&text) => return,
            "yes" | "y" | "on" | "1" => words!("write-true"),
            "no" | "n" | "off" | "0" => words!("write-false"),
            _ => kind_hint(&["boolean"]),
        };
        self.fault(path, error!("value-type/other", name = called(path), needs = kind_name("boolean"), text).hint(hint));
    }

    fn list(&mut self, path: &str, items: &[Node], schema: &'a Json) {
        // Past its limit a list is not looked into: forty good entries and ten thousand bad ones are one finding.
        let limit = |key: &str| schema.get(key).and_then(Json::as_u64).and_then(|n| usize::try_from(n).ok());
        let (least, most) = (limit("minItems").unwrap_or(0), limit("maxItems").unwrap_or(usize::MAX));
        if !(least..=most).contains(&items.len()) {
            return self.wrong_length(path, items.len(), least, most);
        }
        if let Some(schema) = schema.get("items") {
            items.iter().enumerate().for_each(|(i, item)| self.node(&item_path(path, i), item, schema));
        }
    }

    fn wrong_length(&mut self, path: &str, is: usize, least: usize, most: usize) {
        let hint = match (least, most) {
            (least, most) if least == most => say!("list-length/exactly", entries = entries(least)),
            (least, _) if is < least => say!("list-length/least", entries = entries(least)),
            _ => say!("list-length/most", most),
        };
        self.fault(path, error!("list-length", name = called(path), is = entries(is)).hint(hint));
    }

    fn map(&mut self, path: &str, entries: &[(Key, Node)], schema: &'a Json) {
        let known = schema.get("properties").and_then(Json::as_object);
        let free = schema.get("additionalProperties").filter(|rest| rest.is_object());
        let most = schema.get("maxProperties").and_then(Json::as_u64).and_then(|n| usize::try_from(n).ok());
        if let Some(most) = most.filter(|most| entries.len() > *most) {
            return self.wrong_length(path, entries.len(), 0, most);
        }
        for (key, node) in entries {
            match known.and_then(|known| known.get(&key.text)).or(free) {
                Some(schema) => self.node(&key_path(path, &key.text), node, schema),
                None => self.unknown_key(key, known.into_iter().flat_map(|known| known.keys())),
            }
        }
        // The top level requires nothing by its schema; what both files lack together is found when they are one.
        let required = schema.get("required").and_then(Json::as_array).into_iter().flatten().filter_map(Json::as_str);
        for key in required.filter(|key| !entries.iter().any(|(k, _)| k.text == *key)) {
            self.fault(path, error!("key-missing/here", name = called(path), key));
        }
    }

    /// An unknown key spoils nothing but itself, so it is no fault of the mapping around it.
    fn unknown_key<'k>(&mut self, key: &Key, known: impl Iterator<Item = &'k String> + Clone) {
        if key.text.is_empty() || key.text == "<<" || self.told > MAX_FINDINGS {
            return;
        }
        let hint = match nearest(&key.text, known.clone().map(String::as_str)) {
            Some(near) => say!("did-you-mean", near),
            None => say!("key-unknown/these", keys = and_list(known)),
        };
        let place = Place { line: Some(key.spot.line), column: Some(key.spot.column), ..self.places.of_path("") };
        self.tell(error!("key-unknown", text = key.text).at(place).hint(hint));
    }

    fn wrong_kind(&mut self, path: &str, node: &Node, kinds: &[&str]) {
        let name = called(path);
        let needs = kinds.iter().map(|kind| kind_name(kind)).collect::<Vec<_>>().join(" or ");
        let (finding, hint) = match &node.value {
            Value::Null { .. } => (error!("value-type/none", name, needs), null_hint(path)),
            Value::List(_) => (error!("value-type/is-list", name, needs), kind_hint(kinds)),
            Value::Map(_) => (error!("value-type/is-mapping", name, needs), kind_hint(kinds)),
            _ => (error!("value-type/is-text", name, needs), kind_hint(kinds)),
        };
        self.fault(path, finding.hint(hint));
    }

    fn fault(&mut self, path: &str, finding: Diagnostic) {
        self.tell(finding.at(self.places.of_path(path)));
        self.faults.insert(path.to_owned());
    }

    fn tell(&mut self, finding: Diagnostic) {
        self.told += 1;
        match self.told {
            1..=MAX_FINDINGS => self.findings.push(finding),
            n if n == MAX_FINDINGS + 1 => {
                // The rest was not looked at, so nothing of the document may be used.
                self.faults.insert(String::new());
                let place = self.places.of_path("");
                self.findings.push(error!("findings-many", most = MAX_FINDINGS).at(place));
            }
            _ => {}
        }
    }
}

/// What a user calls the value: its path in backticks, or the file as a whole.
fn called(path: &str) -> String {
    if path.is_empty() { words!("the-manifest").into() } else { format!("`{path}`") }
}

fn codepoint(c: char) -> String {
    format!("{:04X}", u32::from(c))
}

fn is_control(c: char, prose: bool) -> bool {
    let layout = prose && matches!(c, '\n' | '\t');
    (c.is_control() && !layout) || matches!(c, '\u{2028}' | '\u{2029}')
}

fn kinds_of(schema: &Json) -> Vec<&str> {
    match schema.get("type") {
        Some(Json::String(kind)) => vec![kind],
        // A text that may look like a number is still called a text.
        Some(Json::Array(kinds)) => kinds.iter().filter_map(Json::as_str).take(1).collect(),
        _ => Vec::new(),
    }
}

fn accepts(schema: &Json, kind: &str) -> bool {
    kinds_of(schema).contains(&kind)
}

fn fits(node: &Node, schema: &Json) -> bool {
    let kind = match node.value {
        Value::Scalar(_) => "string",
        Value::List(_) => "array",
        Value::Map(_) => "object",
        Value::Null { .. } => "null",
        Value::Refused => return true,
    };
    accepts(schema, kind)
}

fn kind_name(kind: &str) -> &str {
    match kind {
        "string" => words!("a-text"),
        "number" => words!("a-number"),
        "integer" => words!("whole-number"),
        "boolean" => words!("true-or-false"),
        "array" => words!("a-list"),
        "object" => words!("a-mapping"),
        other => other,
    }
}

fn kind_hint(kinds: &[&str]) -> &'static str {
    match kinds.first() {
        Some(&"array") => words!("write-list"),
        Some(&"object") => words!("write-key-value-lines"),
        Some(&"number") => words!("write-one-plain-number"),
        Some(&"integer") => words!("write-whole-number"),
        Some(&"boolean") => words!("write-true-or-false"),
        _ => words!("write-one-text-behind"),
    }
}

fn null_hint(path: &str) -> &'static str {
    match path {
        "mark-colour" => words!("put-colour-in-quotes"),
        _ => words!("write-a-value"),
    }
}

fn entries(count: usize) -> String {
    if count == 1 { counted(1, "entry") } else { say!("entries-many", count) }
}

fn and_list<'k>(names: impl Iterator<Item = &'k String>) -> String {
    let quoted: Vec<String> = names.map(|name| format!("`{name}`")).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => quoted.join(""),
    }
}
