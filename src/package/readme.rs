//! The read-me of a package: plain text, what is what and where to begin.

use super::{DeltaText, Names};
use crate::catalogue::{KitWords, Messages};
use crate::guide::{FileKind, PackedFile, describe, review};
use crate::manifest::Kit;
use crate::markdown;
use crate::plan::Layout;

/// Columns that a line of the text may have.
const WIDTH: usize = 78;

/// The text in one language, with lines broken for any viewer.
pub fn readme(kit: &Kit, layouts: &[Layout], files: &[PackedFile], messages: &Messages, words: &KitWords) -> String {
    let edition = kit.edition.to_string();
    let name = words.say("kit.title", &kit.title).or(&kit.title);
    let mut parts = vec![
        title(&messages.text("package.title", &[("title", &name), ("edition", &edition)]), '='),
        messages.text("package.publisher", &[("publisher", &kit.publisher), ("date", &messages.date(kit.date))]) + "\n",
        words.say("kit.copyright", &kit.copyright).or(&kit.copyright) + "\n",
    ];
    parts.extend(review(kit, messages).iter().map(|line| wrapped(line, "")));
    parts.extend([
        title(&messages.text("package.start.title", &[]), '-'),
        start(files, messages),
        title(&messages.text("package.files.title", &[]), '-'),
        list(files, layouts, messages),
    ]);
    parts.extend(copy_shop(layouts, files, messages));
    if let Some(help) = &kit.guide.help {
        let units = markdown::units(help).into_iter().map(|unit| words.say("guide.help", &unit.text).or(&unit.text));
        let units: String = units.map(|unit| wrapped(&markdown::plain(&unit), "")).collect::<Vec<_>>().join("\n");
        parts.extend([title(&messages.text("package.help.title", &[]), '-'), units]);
    }
    parts.extend([title(&messages.text("package.intact.title", &[]), '-'), intact(messages)]);
    parts.join("\n")
}

/// The text of a delta: for whom it is, what is in it, and what to throw away.
pub(super) fn delta(kit: &Kit, delta: &DeltaText, layouts: &[Layout], messages: &Messages, words: &KitWords) -> String {
    let (edition, since) = (kit.edition.to_string(), delta.since.to_string());
    let name = words.say("kit.title", &kit.title).or(&kit.title);
    let guides_alone = delta.files.iter().all(|file| matches!(file.kind, FileKind::Guide { .. }));
    let intro = if guides_alone { "delta.guide" } else { "delta.intro" };
    let outdated: String = delta.outdated.iter().map(|name| format!("{name}\n")).collect();
    let mut parts = vec![
        title(&messages.text("package.title", &[("title", &name), ("edition", &edition)]), '='),
        messages.text("package.publisher", &[("publisher", &kit.publisher), ("date", &messages.date(kit.date))]) + "\n",
        wrapped(&messages.text(intro, &[("since", &since)]), ""),
        title(&messages.text("package.files.title", &[]), '-'),
        list(delta.files, layouts, messages),
    ];
    if !outdated.is_empty() {
        parts.extend([title(&messages.text("delta.outdated", &[("since", &since)]), '-'), outdated]);
    }
    parts.extend([title(&messages.text("package.intact.title", &[]), '-'), intact(messages)]);
    parts.join("\n")
}

fn start(files: &[PackedFile], messages: &Messages) -> String {
    let guide = files.iter().find(|file| matches!(&file.kind, FileKind::Guide { language } if language == messages.language()));
    let guide = guide.map(|file| messages.text("package.start.guide", &[("file", &file.name)]));
    let steps = ["package.start.choose", "package.start.check", "package.start.size", "package.start.join"];
    let steps = guide.into_iter().chain(steps.map(|key| messages.text(key, &[])));
    steps.enumerate().map(|(index, step)| wrapped(&step, &format!("{}. ", index + 1))).collect()
}

fn list(files: &[PackedFile], layouts: &[Layout], messages: &Messages) -> String {
    let about = |file: &PackedFile| format!("{}\n{}", file.name, wrapped(&describe(&file.kind, layouts, messages), "    "));
    files.iter().map(about).collect()
}

fn copy_shop(layouts: &[Layout], files: &[PackedFile], messages: &Messages) -> Vec<String> {
    // The buyer takes the file with the fewest pieces, best a single one.
    let pieces = |file: &&PackedFile| match &file.kind {
        FileKind::WidePdf { paper } => {
            layouts.iter().find(|layout| layout.setup.paper.id == *paper).map(|layout| layout.sheets.len())
        }
        _ => None,
    };
    let wide = files.iter().filter(|file| pieces(file).is_some()).min_by_key(pieces);
    // A file made for print shops comes right behind its sibling with layers.
    let flat = |wide: &&PackedFile| match &wide.kind {
        FileKind::WidePdf { paper } => files.iter().find(|file| file.kind == FileKind::WideFlat { paper: paper.clone() }),
        _ => None,
    };
    let wide = wide.map(|wide| flat(&wide).unwrap_or(wide));
    let part = |file: &PackedFile| {
        let text = messages.text("package.copy-shop", &[("file", &file.name)]);
        vec![title(&messages.text("package.copy-shop.title", &[]), '-'), wrapped(&text, "")]
    };
    wide.map(part).unwrap_or_default()
}

/// Commands that the systems bring along, with the sums they must give.
fn intact(messages: &Messages) -> String {
    let (file, name) = (Names::SUMS, Names::SUMS);
    let lines = [
        messages.text("package.intact.linux", &[("command", &format!("sha256sum -c {name}"))]),
        messages.text("package.intact.macos", &[("command", &format!("shasum -a 256 -c {name}"))]),
        messages.text("package.intact.windows", &[("command", "certutil -hashfile FILE SHA256"), ("file", file)]),
    ];
    let lines: String = lines.iter().map(|line| format!("  {line}\n")).collect();
    wrapped(&messages.text("package.intact", &[]), "") + "\n" + &lines
}

fn title(text: &str, line: char) -> String {
    format!("{text}\n{}\n", line.to_string().repeat(text.chars().count()))
}

/// Paragraphs broken into lines: the first begins with `lead`, the rest are indented by its width.
pub(crate) fn wrapped(text: &str, lead: &str) -> String {
    let indent = " ".repeat(lead.chars().count());
    let mut lines = vec![lead.to_owned()];
    for paragraph in text.trim_end().lines() {
        for word in paragraph.split_ascii_whitespace() {
            let line = lines.last().cloned().unwrap_or_default();
            let bare = line.trim().is_empty() || line == lead;
            let joined = if bare { format!("{line}{word}") } else { format!("{line} {word}") };
            match joined.chars().count() <= WIDTH || bare {
                true => lines.last_mut().into_iter().for_each(|last| last.clone_from(&joined)),
                false => lines.push(format!("{indent}{word}")),
            }
        }
        lines.push(indent.clone());
    }
    lines.pop();
    lines.iter().map(|line| format!("{}\n", line.trim_end())).collect()
}
