//! The delta: what buyers of an earlier edition need of a new one, and no more.

use super::{Entry, Names, readme};
use crate::catalogue::{KitWords, Messages};
use crate::guide::{FileKind, PackedFile};
use crate::manifest::Kit;

/// Files of a package that a delta holds: guides, corrected sheets, and all files whose drawing has changed, by their names.
///
/// Files with the same drawing as before are left out, though another edition's number is printed on them.
pub fn delta<'a>(packed: &'a [PackedFile], changed: &[String]) -> Vec<&'a PackedFile> {
    let wide_changed = |paper: &str| {
        let is_it = |file: &&PackedFile| matches!(&file.kind, FileKind::WidePdf { paper: own } if own == paper);
        packed.iter().find(is_it).is_some_and(|file| changed.contains(&file.name))
    };
    // Whoever has the corrected sheets needs the file with all of them no more.
    let corrected =
        |paper: &str| packed.iter().any(|file| matches!(&file.kind, FileKind::Corrections { paper: own, .. } if own == paper));
    let kept = |file: &&PackedFile| match &file.kind {
        FileKind::Guide { .. } | FileKind::Corrections { .. } => true,
        FileKind::Home { paper } => changed.contains(&file.name) && !corrected(paper),
        FileKind::HomeSize { .. } | FileKind::WidePdf { .. } | FileKind::WideFlat { .. } | FileKind::Projection => {
            changed.contains(&file.name)
        }
        FileKind::WideSvg { paper } | FileKind::BlankSvg { paper } => wide_changed(paper),
        FileKind::ReadMe { .. } | FileKind::Feedback | FileKind::Lays | FileKind::Promises => false,
        FileKind::Checksums | FileKind::Signature => false,
    };
    packed.iter().filter(kept).collect()
}

/// Files of the earlier edition that nobody should use any more: another one has come in their place, or none belongs there now.
/// `old` are the names of that edition's files, `all` those of the new one's.
pub fn outdated(kit: &Kit, since: &semver::Version, old: &[String], kept: &[PackedFile], all: &[Entry]) -> Vec<String> {
    let edition = |name: &str| name.replacen(&format!("{}-{since}-", kit.name), &format!("{}-{}-", kit.name, kit.edition), 1);
    let replaced = |name: &str| kept.iter().any(|file| file.name == name) || !all.iter().any(|entry| entry.name == name);
    // Records and read-mes have the same names in every edition.
    old.iter().filter(|name| edition(name) != **name && replaced(&edition(name))).cloned().collect()
}

/// What a delta is: the edition before, the files in it, and those of that edition which no longer hold.
#[derive(Clone, Copy, Debug)]
pub struct DeltaText<'a> {
    /// The edition that it begins from.
    pub since: &'a semver::Version,
    /// Its files in one language.
    pub files: &'a [PackedFile],
    /// Files of the earlier edition to throw away.
    pub outdated: &'a [String],
}

/// The files that say what a delta is: for programs, and for people in one language.
pub fn delta_texts(
    kit: &Kit,
    delta: &DeltaText,
    layouts: &[crate::plan::Layout],
    (messages, words): (&Messages, &KitWords),
) -> [Entry; 2] {
    let since = delta.since.to_string();
    let record = serde_json::json!({"format": 1, "kit": kit.name, "edition": kit.edition.to_string(), "since": since});
    let read_me = readme::delta(kit, delta, layouts, messages, words);
    [Entry::new(Names::DELTA, format!("{record:#}\n")), Entry::new(Names::read_me(kit, messages.language()), read_me)]
}
