//! Guides: each is in its language, names kit and edition, leads nowhere but to what is there, and tells the same sheets,
//! pages and map as the PDFs have.

use super::archive::Files;
use super::markup::{self, Tag, tags};
use super::promises::{Paper, Press, Promises, SizePages};
use super::verdict::{Check, Verdict};
use crate::diagnostic::{Diagnostic, counted, or_list};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// How far a cell of the map may stand off its place in the grid, in mm; maps are drawn to a hundredth or better.
const MAP_SLACK: f64 = 0.05;

/// Judges the guides of all languages; those that are missing are told elsewhere.
pub(super) fn check(promises: &Promises, files: &Files, verdict: &mut Verdict) {
    for language in &promises.languages {
        let file = promises.guide(language);
        let Some(bytes) = files.get(&file) else { continue };
        let text = String::from_utf8_lossy(bytes);
        let guide = Guide { language, text: &text, tags: tags(&text).collect() };
        let faults = guide.faults(promises, files);
        verdict.judge(Check::Guides, Ok(()));
        for finding in faults {
            verdict.judge(Check::Guides, Err(finding.at(verdict.place(&file))));
        }
        if let Some(count) = guide.untranslated() {
            verdict.judge(
                Check::Guides,
                Err(warning!("guide-incomplete", texts = counted(count, words!("text"))).at(verdict.place(&file))),
            );
        }
    }
}

/// A guide's text with its start tags.
struct Guide<'a> {
    language: &'a str,
    text: &'a str,
    tags: Vec<Tag<'a>>,
}

impl<'a> Guide<'a> {
    fn faults(&self, promises: &Promises, files: &Files) -> Vec<Diagnostic> {
        let mut faults = self.naming(promises);
        faults.extend(self.dead_links(files));
        let own = promises.papers.iter().filter(|paper| self.shows(paper, promises));
        faults.extend(own.flat_map(|paper| self.sheets(paper)));
        faults
    }

    /// Home papers with all sizes, in the guide's language if their words are translated.
    fn shows(&self, paper: &Paper, promises: &Promises) -> bool {
        let spoken = promises.papers.iter().any(|other| {
            other.paper == paper.paper && other.press == Press::Home && other.language.as_deref() == Some(self.language)
        });
        let own = if spoken { Some(self.language) } else { None };
        paper.press == Press::Home && !paper.one_of_many_sizes && !paper.is_partial() && paper.language.as_deref() == own
    }

    fn naming(&self, promises: &Promises) -> Vec<Diagnostic> {
        let root = self.tags.iter().find(|tag| tag.is("html"));
        let spoken = root.and_then(|tag| tag.value("lang")).unwrap_or_default();
        let mut faults = Vec::new();
        if !spoken.eq_ignore_ascii_case(self.language) {
            faults.push(error!("guide-off/language", spoken, language = self.language));
        }
        if !alone(self.text, &promises.edition) {
            faults.push(error!("guide-off/edition", edition = promises.edition));
        }
        faults
    }

    /// Links inside the page, and to files beside it, that lead nowhere.
    fn dead_links(&self, files: &Files) -> Vec<Diagnostic> {
        let ids: BTreeSet<&str> = self.tags.iter().filter_map(|tag| tag.value("id")).collect();
        let links = self.tags.iter().filter(|tag| tag.is("a") || tag.is("use")).filter_map(|tag| tag.value("href"));
        let dead = links.filter(|link| match link.strip_prefix('#') {
            Some(id) => !ids.contains(id),
            None => !markup::plain(link).contains(':') && !files.contains_key(*link),
        });
        dead.collect::<BTreeSet<_>>().into_iter().map(|link| error!("link-dead", link)).collect()
    }

    fn sheets(&self, paper: &Paper) -> Vec<Diagnostic> {
        let name = paper.paper.as_str();
        let own = self.of_paper(name);
        let mut faults = Vec::new();
        if !maps(paper, &own) {
            faults.push(error!("guide-off/map", paper = name));
        }
        let rows: Vec<&Tag<'_>> =
            own.iter().copied().filter(|tag| tag.is("tr") && tag.value("data-sheets").is_some()).collect();
        let every =
            SizePages { size: String::new(), layer: None, pages: paper.sheets.iter().map(|sheet| sheet.page).collect() };
        // Where there are several sizes, a last row tells the pages of all of them together.
        let sizes: Vec<&SizePages> = paper.sizes.iter().chain((paper.sizes.len() > 1).then_some(&every)).collect();
        if rows.len() != sizes.len() {
            faults.push(error!("guide-off/rows", paper = name, rows = rows.len(), wanted = sizes.len()));
        }
        let pairs = (1..).zip(rows.into_iter().zip(sizes));
        let off = pairs.filter(|(_, (row, size))| !self.lists(row, size, paper));
        faults.extend(off.map(|(number, _)| error!("guide-off/row", number, paper = name)));
        faults
    }

    /// Tags from each element that is about a paper to the next one that is about another.
    fn of_paper(&self, name: &str) -> Vec<&Tag<'a>> {
        let mut within = false;
        let about = |tag: &&Tag<'a>| {
            within = tag.value("data-paper").map_or(within && !tag.is("section"), |paper| paper == name);
            within
        };
        self.tags.iter().filter(about).collect()
    }

    /// Whether a row names the sheets and pages of a size.
    fn lists(&self, row: &Tag<'_>, size: &SizePages, paper: &Paper) -> bool {
        let needed = paper.sheets.iter().filter(|sheet| size.pages.contains(&sheet.page));
        let labels: BTreeSet<&str> = needed.map(|sheet| sheet.label.as_str()).collect();
        let named: BTreeSet<&str> = row.value("data-sheets").unwrap_or_default().split_ascii_whitespace().collect();
        let rest = self.text.get(row.at..).unwrap_or_default();
        let cell = rest.split_once("class=\"pages\"").and_then(|(_, rest)| rest.split_once("</code>"));
        let pages = cell.map(|(cell, _)| pages(&plain(cell)));
        named == labels && pages == Some(size.pages.iter().copied().collect())
    }

    /// How many texts are marked as not translated.
    fn untranslated(&self) -> Option<usize> {
        let marked = |tag: &&Tag<'_>| tag.value("class").is_some_and(|names| names.split(' ').any(|it| it == "untranslated"));
        Some(self.tags.iter().filter(marked).count()).filter(|count| *count > 0)
    }
}

/// Whether the map has a cell for each sheet, in its place, and no more.
fn maps(paper: &Paper, tags: &[&Tag<'_>]) -> bool {
    let tile = paper.tile();
    let mut cells: BTreeMap<&str, [f64; 2]> = BTreeMap::new();
    for pair in tags.windows(2) {
        let [cell, area] = pair else { continue };
        let Some(label) = cell.value("data-sheet").filter(|_| area.is("rect")) else { continue };
        let number = |key: &str| area.value(key).and_then(|text| text.parse().ok()).unwrap_or(f64::NAN);
        cells.insert(label, [number("x"), number("y")]);
    }
    let stands = |sheet: &super::promises::Sheet| {
        let (x, y) = (tile.width() * f64::from(sheet.column), tile.height() * f64::from(sheet.row));
        cells.get(sheet.label.as_str()).is_some_and(|at| (at[0] - x).abs().max((at[1] - y).abs()) <= MAP_SLACK)
    };
    // A single sheet joins no other, so that a guide may do without its map.
    let alone = cells.is_empty() && paper.sheets.len() == 1;
    alone || (cells.len() == paper.sheets.len() && paper.sheets.iter().all(stands))
}

/// Page numbers of a list such as `2–4,7`.
fn pages(text: &str) -> BTreeSet<usize> {
    let range = |part: &str| -> Option<std::ops::RangeInclusive<usize>> {
        let (first, last) = part.split_once(['–', '-']).unwrap_or((part, part));
        let (first, last) = (first.trim().parse().ok()?, last.trim().parse().ok()?);
        (last < super::archive::MAX_ENTRIES * 10).then_some(first..=last)
    };
    text.split(',').filter_map(range).flatten().collect()
}

/// The text between tags, from behind the tag that is open.
fn plain(markup: &str) -> String {
    let (_, rest) = markup.split_once('>').unwrap_or_default();
    rest.split('<').map(|part| part.split_once('>').map_or(part, |(_, text)| text)).collect()
}

/// Whether an edition stands in a text, not as a part of a longer number.
fn alone(text: &str, edition: &str) -> bool {
    let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    text.match_indices(edition).any(|(at, found)| {
        let (before, after) = (text.get(..at).unwrap_or_default(), text.get(at + found.len()..).unwrap_or_default());
        !digit(before.chars().next_back()) && !digit(after.chars().next())
    })
}

/// What other files say of the kit: its edition stands in every read-me.
pub(super) fn read_mes(promises: &Promises, files: &Files, verdict: &mut Verdict) {
    let read_mes: Vec<(&String, &Arc<Vec<u8>>)> =
        files.iter().filter(|(name, _)| name.to_uppercase().contains("README") && name.ends_with(".txt")).collect();
    let silent = read_mes.iter().filter(|(_, bytes)| !alone(&String::from_utf8_lossy(bytes), &promises.edition));
    let silent: Vec<&str> = silent.map(|(name, _)| name.as_str()).collect();
    let result =
        match silent.first() {
            Some(first) => Err(error!("guide-off", choices = or_list(silent.iter().copied()), edition = promises.edition)
                .at(verdict.place(first))),
            None => Ok(()),
        };
    verdict.judge(Check::Guides, result);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_of_pages_are_read_as_they_are_printed() {
        for (text, all) in [
            ("2–4,7", vec![2, 3, 4, 7]),
            ("2-3, 5 – 6", vec![2, 3, 5, 6]),
            ("9", vec![9]),
            ("4–2", vec![]),
            ("one,3", vec![3]),
            ("", vec![]),
            // More pages than a package may have files are no list, and would take for ever.
            ("1–40000000000", vec![]),
        ] {
            assert_eq!(pages(text).into_iter().collect::<Vec<_>>(), all, "{text}");
        }
    }

    #[test]
    fn plain_text_is_what_stands_between_tags() {
        assert_eq!(plain(" id=\"x\">2<b>–</b>3 <i>or</i> 4"), "2–3 or 4");
        assert_eq!(plain("no end"), "");
    }

    #[test]
    fn an_edition_is_no_part_of_a_longer_number() {
        for (text, found) in [
            ("Edition 1.0.0.", true),
            ("1.0.0", true),
            ("v1.0.0!", true),
            ("11.0.0", false),
            ("1.0.01", false),
            ("11.0.0, then 1.0.0", true),
            ("1.0", false),
        ] {
            assert_eq!(alone(text, "1.0.0"), found, "{text}");
        }
    }

    /// Two rows of two sheets of 80 × 100 mm, of which the last is not used.
    fn paper() -> Paper {
        let sheet = |label: &str, row: u32, column: u32| serde_json::json!({"label": label, "page": 1, "row": row, "column": column, "area_mm": [0, 0, 80, 100]});
        serde_json::from_value(serde_json::json!({
            "paper": "card", "file": "x.pdf", "width_mm": 100, "height_mm": 120, "press": "home", "origin_mm": [0, 0],
            "tile_mm": [10, 10, 80, 100], "sheets": [sheet("A1", 0, 0), sheet("A2", 0, 1), sheet("B1", 1, 0)],
            "sizes": [], "scale_marks": []
        }))
        .unwrap()
    }

    #[test]
    fn a_map_has_each_sheet_in_its_place() {
        let shown = |paper: &Paper, cells: &[(&str, f64, f64)]| {
            let cell = |(label, x, y): &(&str, f64, f64)| format!("<g data-sheet=\"{label}\"><rect x=\"{x}\" y=\"{y}\"/></g>");
            let text: String = cells.iter().map(cell).collect();
            let all: Vec<Tag<'_>> = tags(&text).collect();
            maps(paper, &all.iter().collect::<Vec<_>>())
        };
        let good = [("A1", 0.0, 0.0), ("A2", 80.0, 0.0), ("B1", 0.0, 100.0)];
        assert!(shown(&paper(), &good));
        for (index, x, y) in [(0, 0.0, 0.04), (1, 79.96, 0.0), (2, -0.04, 100.0)] {
            let (mut near, mut far) = (good, good);
            (near[index].1, near[index].2) = (x, y);
            assert!(shown(&paper(), &near), "{near:?}");
            (far[index].1, far[index].2) =
                (good[index].1 + 2.0 * (x - good[index].1), good[index].2 + 2.0 * (y - good[index].2));
            assert!(!shown(&paper(), &far), "{far:?}");
        }
        assert!(!shown(&paper(), &good[..2]) && !shown(&paper(), &[good.as_slice(), &[("B2", 80.0, 100.0)]].concat()));
        assert!(!shown(&paper(), &[good[0], good[1], ("C1", 0.0, 100.0)]) && !shown(&paper(), &[]));
        // One sheet alone may do without.
        let mut alone = paper();
        alone.sheets.truncate(1);
        assert!(shown(&alone, &[]) && shown(&alone, &good[..1]) && !shown(&alone, &good[1..2]));
    }
}
