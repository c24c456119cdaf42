//! Texts as lists of which two editions may have others: words of a sheet, paragraphs of a guide.

use std::collections::BTreeMap;

/// Stands for whatever number the edition has.
const EDITION: &str = "\u{25ca}";

/// The texts of an edition, the number of the edition taken out of them, since it differs anyway.
pub(super) struct Texts<'a> {
    edition: &'a str,
    texts: Vec<String>,
}

impl<'a> Texts<'a> {
    /// Of an edition.
    pub fn of(edition: &'a str, texts: impl Iterator<Item = String>) -> Self {
        let without = |text: String| if edition.is_empty() { text } else { text.replace(edition, EDITION) };
        Self { edition, texts: texts.map(without).collect() }
    }

    /// Those that other texts have not, or less often.
    pub fn more_than(&self, others: &Self) -> Vec<String> {
        // What was said of a certain edition may be said still.
        let said: Vec<String> = others.texts.iter().map(|text| text.replace(EDITION, others.edition)).collect();
        let more = more(&self.texts, &others.texts).into_iter().map(|text| text.replace(EDITION, self.edition));
        more.filter(|text| !said.contains(text)).collect()
    }
}

fn more(all: &[String], others: &[String]) -> Vec<String> {
    let mut left: BTreeMap<&str, usize> = BTreeMap::new();
    others.iter().for_each(|text| *left.entry(text.as_str()).or_default() += 1);
    let unmatched = |text: &&String| match left.get_mut(text.as_str()) {
        Some(count) if *count > 0 => {
            *count -= 1;
            false
        }
        _ => true,
    };
    all.iter().filter(unmatched).cloned().collect()
}
