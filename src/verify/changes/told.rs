//! Changes in words: for the terminal, and for the page of pictures.

use super::{Changes, PaperChange, SheetChange};
use crate::diagnostic::{and_list, counted};

/// How many texts of a guide are shown whole.
const SHOWN: usize = 5;

impl Changes {
    /// What kinds of things only one of the packages has: kind, names in the newer one alone, names in the earlier one alone.
    pub(super) fn listed(&self) -> [(&'static str, &Vec<String>, &Vec<String>); 4] {
        [
            ("paper", &self.papers.come, &self.papers.gone),
            ("size", &self.sizes.come, &self.sizes.gone),
            ("language", &self.guides.come, &self.guides.gone),
            ("measurement", &self.controls.come, &self.controls.gone),
        ]
    }

    /// The headline.
    pub(super) fn headline(&self) -> String {
        let ((_, old), (title, new)) = (&self.old, &self.new);
        say!("changes-of", title, old, new)
    }

    /// What differs besides the sheets, a line each.
    pub(super) fn others(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for (what, come, gone) in self.listed() {
            let names = |names: &[String]| and_list(names);
            lines.extend(
                (!come.is_empty()).then(|| say!("changes-come", what = counted_kind(come.len(), what), names = names(come))),
            );
            lines.extend(
                (!gone.is_empty()).then(|| say!("changes-gone", what = counted_kind(gone.len(), what), names = names(gone))),
            );
        }
        lines.extend(
            self.controls
                .both
                .iter()
                .map(|control| say!("changes-control", name = control.name, was = control.was, is = control.is)),
        );
        lines
    }

    /// All of it, for people.
    pub fn text(&self) -> String {
        let mut lines = vec![self.headline()];
        if self.is_none() {
            lines.push(words!("changes-none").to_owned());
        }
        let (differing, same): (Vec<_>, Vec<_>) = self.papers.both.iter().partition(|paper| paper.differs());
        // Files in several languages change alike: they are told together.
        let mut told: Vec<(Vec<String>, Vec<&String>)> = Vec::new();
        for paper in differing {
            let how = paper.told();
            match told.iter_mut().find(|(lines, _)| *lines == how) {
                Some((_, files)) => files.push(&paper.file),
                None => told.push((how, vec![&paper.file])),
            }
        }
        for (how, files) in told {
            lines.extend(how);
            lines.push(format!("  {}", say!("changes-in", files = and_list(&files))));
        }
        let same: Vec<&String> = same.into_iter().map(|paper| &paper.file).collect();
        lines.extend((!same.is_empty() && !self.is_none()).then(|| say!("changes-as-before", files = and_list(&same))));
        lines.extend(self.others());
        for guide in &self.guides.both {
            let (added, removed) = (counted(guide.added.len(), words!("text")), counted(guide.removed.len(), words!("text")));
            lines.push(say!("changes-guide", language = guide.language, added, removed));
            lines.extend(signed(&guide.added, '+'));
            lines.extend(signed(&guide.removed, '-'));
        }
        lines.join("\n") + "\n"
    }
}

fn counted_kind(count: usize, what: &str) -> String {
    counted(count, what).split_once(' ').map_or_else(String::new, |(_, noun)| noun.to_owned())
}

fn signed(texts: &[String], sign: char) -> Vec<String> {
    let mut lines: Vec<String> = texts.iter().take(SHOWN).map(|text| format!("  {sign} {text}")).collect();
    lines.extend((texts.len() > SHOWN).then(|| format!("  {sign} …")));
    lines
}

impl PaperChange {
    /// Whether there is anything to tell.
    pub(super) fn differs(&self) -> bool {
        !self.same_grid
            || !self.gone.is_empty()
            || self.sheets.iter().any(|sheet| sheet.new || sheet.by_ink() || sheet.by_words())
    }

    /// What to do, then how each sheet differs.
    pub(super) fn told(&self) -> Vec<String> {
        let told = self.sheets.iter().filter(|sheet| sheet.by_ink() || sheet.new || sheet.by_words());
        let sheets = told.map(|sheet| format!("  {}  {}", sheet.label, sheet.how()));
        [say!("changes-paper", title = self.title, what = self.verdict())].into_iter().chain(sheets).collect()
    }

    /// What to do, in one sentence.
    pub(super) fn verdict(&self) -> String {
        let changed = self.changed();
        let gone = if self.gone.is_empty() { String::new() } else { say!("changes-throw", sheets = and_list(&self.gone)) };
        let what = match changed.len() {
            _ if !self.same_grid => words!("changes-all-anew").to_owned(),
            0 => words!("changes-no-sheet").to_owned(),
            count => say!("changes-reprint", sheets = counted_kind(count, "sheet"), names = and_list(&changed)),
        };
        let reworded = self.reworded();
        let words = if reworded.is_empty() || !self.same_grid {
            String::new()
        } else {
            say!("changes-words-only", names = and_list(&reworded))
        };
        format!("{what}{words}{gone}")
    }
}

impl SheetChange {
    /// How it differs, in one line.
    pub(super) fn how(&self) -> String {
        let mut parts = Vec::new();
        if self.new {
            parts.push(words!("changes-new-sheet").to_owned());
        }
        let length = |length: crate::units::Length| format!("{:.1} mm", length.to_mm());
        if self.farthest.to_mm() > 0.0 {
            parts.push(say!("changes-moved", farthest = format_args!("{:.2} mm", self.farthest.to_mm())));
        }
        if self.added.to_mm() > 0.0 || self.removed.to_mm() > 0.0 {
            parts.push(say!("changes-lines", added = length(self.added), removed = length(self.removed)));
        }
        if self.restyled > 0 {
            parts.push(say!("changes-pens", lines = counted(self.restyled, words!("line"))));
        }
        if self.by_ink() && !self.sizes.is_empty() {
            parts.push(say!("changes-sizes", sizes = counted_kind(self.sizes.len(), "size"), names = and_list(&self.sizes)));
        }
        if self.by_words() && !self.new {
            let quoted = |texts: &[String], sign: char| texts.iter().map(|text| format!("{sign}“{text}”")).collect::<Vec<_>>();
            let mut all = quoted(&self.words_added, '+');
            all.extend(quoted(&self.words_removed, '-'));
            parts.push(say!("changes-words", words = all.join(" ")));
        }
        parts.join("; ")
    }
}
