//! Words of the trade that a guide explains.

use crate::catalogue::Messages;
use serde::Serialize;

/// Keys of the words and of what they mean, in the order in which a sewer meets them.
const TERMS: [(&str, &str); 12] = [
    ("guide.term.grainline", "guide.term.grainline.text"),
    ("guide.term.selvedge", "guide.term.selvedge.text"),
    ("guide.term.fold", "guide.term.fold.text"),
    ("guide.term.cutting-line", "guide.term.cutting-line.text"),
    ("guide.term.allowance", "guide.term.allowance.text"),
    ("guide.term.notch", "guide.term.notch.text"),
    ("guide.term.sides", "guide.term.sides.text"),
    ("guide.term.together", "guide.term.together.text"),
    ("guide.term.interfacing", "guide.term.interfacing.text"),
    ("guide.term.facing", "guide.term.facing.text"),
    ("guide.term.topstitch", "guide.term.topstitch.text"),
    ("guide.term.neaten", "guide.term.neaten.text"),
];

/// A word and its meaning.
#[derive(Debug, Serialize)]
pub struct Term {
    word: String,
    meaning: String,
}

/// All words in one language.
pub fn terms(messages: &Messages) -> Vec<Term> {
    let term = |(word, meaning): &(&str, &str)| Term { word: messages.text(word, &[]), meaning: messages.text(meaning, &[]) };
    TERMS.iter().map(term).collect()
}
