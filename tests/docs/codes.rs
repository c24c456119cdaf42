//! The sentences of `templates/messages` against the source that says them, and docs/messages.md made of them.

use super::{root, same_or_update, text};
use serde_yaml::{Mapping, Value};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// What an entry of a code may hold.
const FIELDS: [&str; 7] = ["means", "do", "why", "mend", "says", "fix", "variants"];

/// Every key that can be said, with the holes of its sentences; `None` for a code that only goes with the words of others.
type Keys = BTreeMap<String, Option<BTreeSet<String>>>;

#[test]
fn the_source_says_what_is_there_and_nothing_else() {
    let (keys, said) = (keys(), uses(&source()));
    assert!(said.len() > 400, "only {} uses were found", said.len());
    let mut used = BTreeSet::new();
    for said in &said {
        let holes = keys.get(&said.key).unwrap_or_else(|| panic!("templates/messages has no `{}`", said.key));
        match (holes, said.by.as_str()) {
            // A code that is handed on brings no words of its own.
            (None, "code") => {}
            (None, _) => panic!("`{}` has nothing to say", said.key),
            (Some(_), "code") => continue,
            (Some(holes), _) => assert_eq!(*holes, said.holes, "holes of `{}`, and what is given to fill them", said.key),
        }
        used.insert(said.key.as_str());
    }
    // A code whose variants say everything is used with them.
    let parted = |key: &str| used.iter().any(|used| used.strip_prefix(key).is_some_and(|rest| rest.starts_with('/')));
    let idle = keys.iter().filter(|(key, holes)| !used.contains(key.as_str()) && (holes.is_some() || !parted(key)));
    let idle: Vec<_> = idle.map(|(key, _)| key).collect();
    assert!(idle.is_empty(), "templates/messages has sentences that nobody says: {idle:?}");
}

#[test]
fn no_sentence_stays_in_the_source() {
    let source = source();
    for written in ["Diagnostic::told(", ".hint(\"", ".hint(format!", "message: \"", "message: format!"] {
        assert!(!source.contains(written), "`{written}…`: say it by a key of templates/messages");
    }
}

#[test]
fn every_code_is_explained_in_words_of_its_own() {
    let mut told = BTreeSet::new();
    for (code, entry) in files().iter().flat_map(|file| list(file, "codes")) {
        let strange: Vec<_> = names(&entry).into_iter().filter(|name| !FIELDS.contains(&name.as_str())).collect();
        assert!(strange.is_empty(), "`{code}` has {strange:?}");
        let text = |field: &str| entry.get(field).and_then(Value::as_str).unwrap_or_default().trim();
        for field in ["means", "do"] {
            assert!(!text(field).is_empty(), "`{code}` lacks `{field}`");
            assert!(!text(field).contains('|'), "`{field}` of `{code}` would break the table");
        }
        for field in ["why", "mend"] {
            assert!(text(field).ends_with('.'), "`{code}` needs `{field}`, in whole sentences");
            assert!(told.insert(text(field).to_owned()), "`{field}` of `{code}` is that of another code");
        }
    }
}

#[test]
fn the_table_of_codes_is_made_from_them() {
    let mut page = text("templates/messages/about.md");
    for section in kitwright::diagnostic::sections() {
        let rows = section.codes.iter().map(|code| format!("| `{}` | {} | {} |\n", code.code, code.means, code.action));
        let table = format!("| code | what is wrong | what to do |\n|---|---|---|\n{}", rows.collect::<String>());
        for part in [&format!("## {}\n", section.title), section.intro, &table, section.outro] {
            if !part.is_empty() {
                page.push_str(&format!("\n{}\n", part.trim_end()));
            }
        }
    }
    same_or_update("docs/messages.md", &page);
}

/// All codes, sorted.
pub fn codes() -> Vec<String> {
    let all: BTreeSet<String> = files().iter().flat_map(|file| list(file, "codes")).map(|(code, _)| code).collect();
    all.into_iter().collect()
}

fn files() -> Vec<Mapping> {
    let entries = std::fs::read_dir(root().join("templates/messages")).expect("messages");
    let paths = entries.map(|entry| entry.expect("entry").path()).filter(|path| path.extension().is_some_and(|e| e == "yaml"));
    paths.map(|path| serde_yaml::from_str(&text(&path)).unwrap_or_else(|why| panic!("{}: {why}", path.display()))).collect()
}

/// The entries of a list in a file, by name.
fn list(file: &Mapping, name: &str) -> Vec<(String, Value)> {
    let list = file.get(name).and_then(Value::as_mapping).cloned().unwrap_or_default();
    list.into_iter().map(|(name, value)| (name.as_str().expect("name").to_owned(), value)).collect()
}

fn names(entry: &Value) -> Vec<String> {
    entry.as_mapping().into_iter().flatten().map(|(name, _)| name.as_str().expect("name").to_owned()).collect()
}

fn keys() -> Keys {
    let mut keys = Keys::new();
    let mut add = |key: String, entry: &Value| {
        let twin = keys.insert(key.clone(), sentences(entry).map(|text| holes(&text)));
        assert!(twin.is_none(), "`{key}` stands twice");
    };
    for file in files() {
        for (name, entry) in ["codes", "lines"].iter().flat_map(|part| list(&file, part)) {
            add(name.clone(), &entry);
            let variants = entry.get("variants").and_then(Value::as_mapping).into_iter().flatten();
            variants.for_each(|(variant, entry)| add(format!("{name}/{}", variant.as_str().expect("variant")), entry));
        }
    }
    keys
}

/// What an entry says, with what to do, in one text; `None` if it says nothing.
fn sentences(entry: &Value) -> Option<String> {
    let said = entry.as_str().or_else(|| entry.get("says")?.as_str())?;
    let fixes = entry.get("fix").map(|fix| serde_yaml::to_string(fix).expect("fix"));
    Some(format!("{said}\n{}", fixes.unwrap_or_default()))
}

fn holes(text: &str) -> BTreeSet<String> {
    let inside = text.split('{').skip(1).filter_map(|rest| Some(rest.split_once('}')?.0));
    inside
        .filter(|name| !name.is_empty() && name.chars().all(|c| c.is_ascii_lowercase() || c == '_'))
        .map(str::to_owned)
        .collect()
}

/// One place in the source where something is said.
struct Use {
    by: String,
    key: String,
    holes: BTreeSet<String>,
}

fn uses(source: &str) -> Vec<Use> {
    let mut uses = Vec::new();
    for by in ["error", "warning", "say", "words", "code"] {
        for (at, call) in source.match_indices(&format!("{by}!(")) {
            let before = source[..at].chars().next_back();
            if before.is_some_and(|c| c.is_ascii_alphanumeric() || c == '_') {
                continue;
            }
            let arguments = arguments(&source[at + call.len()..]);
            let mut arguments = arguments.iter().map(String::as_str).skip_while(|argument| argument.starts_with("as "));
            let key =
                arguments.next().and_then(|key| key.strip_prefix('"')?.strip_suffix('"')).unwrap_or_else(|| panic!("{call}"));
            let name = |argument: &str| argument.split(['=', ' ']).next().unwrap_or_default().to_owned();
            uses.push(Use { by: by.to_owned(), key: key.to_owned(), holes: arguments.map(name).collect() });
        }
    }
    uses
}

/// What stands between commas up to the closing bracket; strings and inner brackets are kept whole.
fn arguments(rest: &str) -> Vec<String> {
    let (mut depth, mut quoted, mut escaped) = (0, false, false);
    let mut list = vec![String::new()];
    for letter in rest.chars() {
        match letter {
            _ if escaped => escaped = false,
            '\\' if quoted => escaped = true,
            '"' => quoted = !quoted,
            _ if quoted => {}
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' if depth == 0 => break,
            ')' | ']' | '}' => depth -= 1,
            ',' if depth == 0 => {
                list.push(String::new());
                continue;
            }
            _ => {}
        }
        list.last_mut().expect("one").push(letter);
    }
    list.iter().map(|argument| argument.trim().to_owned()).filter(|argument| !argument.is_empty()).collect()
}

/// All source, without tests.
fn source() -> String {
    let mut files = Vec::new();
    collect(&root().join("src"), &mut files);
    files.sort();
    files.concat()
}

fn collect(folder: &Path, files: &mut Vec<String>) {
    for entry in std::fs::read_dir(folder).expect("source") {
        let path = entry.expect("entry").path();
        let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        // What does the saying is left out.
        if name == "tests" || name.ends_with("tests.rs") || ["macros.rs", "sentences.rs"].contains(&name) {
            continue;
        }
        if path.is_dir() {
            collect(&path, files);
        } else if name.ends_with(".rs") {
            let text = text(&path);
            let lines = without_tests(&text).lines().filter(|line| !line.trim_start().starts_with("//"));
            files.push(lines.collect::<Vec<_>>().join("\n"));
        }
    }
}

/// Tests that a file holds itself stand at its end; `mod tests;` is only a name.
fn without_tests(text: &str) -> &str {
    let starts = text.match_indices("#[cfg(test)]\nmod ").map(|(at, _)| at);
    let block = |at: &usize| text.get(*at..).and_then(|rest| rest.lines().nth(1)).is_some_and(|line| line.ends_with('{'));
    text.get(..starts.into_iter().find(block).unwrap_or(text.len())).unwrap_or_default()
}
