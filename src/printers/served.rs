//! A set of kinds of printers, small enough to copy and compare at once.

use std::ops::BitAnd;

/// Words of 64 kinds that a set has.
const WORDS: usize = 4;

/// The most kinds that a table may have; ours has fewer than 200.
pub(super) const KINDS: usize = 64 * WORDS;

/// Which kinds of printers are served, by their place in the question.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Served([u64; WORDS]);

impl Served {
    /// The kinds for which the answer is yes, in order; those past [`KINDS`] never are.
    pub fn of(answers: impl Iterator<Item = bool>) -> Self {
        let mut set = Self::default();
        for (kind, _) in answers.enumerate().filter(|&(_, yes)| yes) {
            if let Some(word) = set.0.get_mut(kind / 64) {
                *word |= 1 << (kind % 64);
            }
        }
        set
    }

    /// Whether every kind in this set is in the other one too.
    pub fn inside(self, other: Self) -> bool {
        self & other == self
    }

    /// The sum of the weights of the kinds in the set.
    pub fn weight(self, weights: &[usize]) -> usize {
        weights.chunks(64).zip(self.0).map(|(weights, word)| word_weight(weights, word)).sum()
    }
}

impl BitAnd for Served {
    type Output = Self;
    fn bitand(mut self, other: Self) -> Self {
        for (word, other) in self.0.iter_mut().zip(other.0) {
            *word &= other;
        }
        self
    }
}

fn word_weight(weights: &[usize], mut word: u64) -> usize {
    let mut sum = 0;
    while word != 0 {
        sum += weights.get(word.trailing_zeros() as usize).unwrap_or(&0);
        word &= word - 1;
    }
    sum
}
