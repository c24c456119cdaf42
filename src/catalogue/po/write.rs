//! Writes PO files: the same entries always give the same bytes.

use super::Entry;
use std::fmt::Write;

/// The text of a PO file: entries in their order with a blank line between them. Nothing is wrapped but at line breaks of the
/// texts themselves, so that a change of one word changes one line.
pub fn written(entries: &[Entry]) -> String {
    let texts: Vec<String> = entries.iter().map(entry).collect();
    texts.join("\n")
}

fn entry(entry: &Entry) -> String {
    let mut text = String::new();
    let mut lines = |sign: &str, lines: &[String]| {
        lines.iter().for_each(|line| _ = writeln!(text, "{}", format!("{sign} {line}").trim_end()));
    };
    lines("#", &entry.comments);
    lines("#.", &entry.notes);
    lines("#:", &entry.references);
    if !entry.flags.is_empty() {
        lines("#,", &[entry.flags.join(", ")]);
    }
    let (mark, old) = if entry.obsolete { ("#~ ", "#~| ") } else { ("", "#| ") };
    let previous = &entry.previous;
    let earlier = [("msgctxt", &previous.context), ("msgid", &previous.id), ("msgid_plural", &previous.id_plural)];
    earlier.into_iter().for_each(|(keyword, value)| value.iter().for_each(|value| text += &field(old, keyword, value)));
    entry.context.iter().for_each(|context| text += &field(mark, "msgctxt", context));
    text += &field(mark, "msgid", &entry.id);
    entry.id_plural.iter().for_each(|plural| text += &field(mark, "msgid_plural", plural));
    for (form, string) in entry.strings.iter().enumerate() {
        let keyword = if entry.id_plural.is_some() { format!("msgstr[{form}]") } else { "msgstr".into() };
        text += &field(mark, &keyword, string);
    }
    text
}

/// One keyword with its text; a text of several lines begins on a line of its own, as gettext's tools write it.
fn field(mark: &str, keyword: &str, text: &str) -> String {
    let parts: Vec<&str> = text.split_inclusive('\n').collect();
    match parts.as_slice() {
        [] => format!("{mark}{keyword} \"\"\n"),
        [one] => format!("{mark}{keyword} \"{}\"\n", escaped(one)),
        many => {
            let lines = many.iter().map(|part| format!("{mark}\"{}\"\n", escaped(part)));
            format!("{mark}{keyword} \"\"\n{}", lines.collect::<String>())
        }
    }
}

fn escaped(text: &str) -> String {
    let escape = |letter: char| match letter {
        '\n' => "\\n".into(),
        '\t' => "\\t".into(),
        '\r' => "\\r".into(),
        '"' => "\\\"".into(),
        '\\' => "\\\\".into(),
        other => other.to_string(),
    };
    text.chars().map(escape).collect()
}
