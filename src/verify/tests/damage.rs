//! Packages with one byte changed at a time: never a panic, and never a clean verdict.

use super::super::archive::{self, Files};
use super::super::{Verdict, entries, package};
use super::sample::{HOME, Sample, zip};
use rayon::prelude::*;

/// A small generator with a fixed seed (xorshift, G. Marsaglia 2003), so that every run damages alike.
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % limit as u64).unwrap()
    }

    fn damage(&mut self, bytes: &mut [u8]) {
        let at = self.below(bytes.len());
        bytes[at] ^= u8::try_from(1 + self.below(255)).unwrap();
    }
}

#[test]
fn a_damaged_file_of_a_package_is_always_found() {
    let (good, mut dice) = (Sample::good().entries(), Dice(0x5eed));
    let damaged = (0..2000).map(|round| {
        let mut files = good.clone();
        // Most damage goes into the PDF: its reader has the most to trip over.
        let name = if round % 4 == 3 { files.keys().nth(dice.below(files.len())).unwrap().clone() } else { HOME.into() };
        dice.damage(files.get_mut(&name).unwrap());
        files.into_iter().collect()
    });
    let rounds: Vec<Vec<(String, Vec<u8>)>> = damaged.collect();
    let missed = rounds.into_par_iter().positions(|files| entries("p.zip", files, None).is_fine());
    assert_eq!(missed.collect::<Vec<usize>>(), Vec::<usize>::new());
}

/// Every file of a package by name and bytes, as far as it can be read.
fn contents(bytes: &[u8]) -> Option<Files> {
    archive::unpack(bytes, &mut Verdict::new("p.zip"))
}

#[test]
fn two_thousand_changed_bytes_are_named_or_harmless() {
    let (good, mut dice) = (zip(&Sample::good().entries()), Dice(0xb17e));
    let whole = contents(&good);
    let changes: Vec<(usize, u8)> =
        (0..2000).map(|_| (dice.below(good.len()), u8::try_from(1 + dice.below(255)).unwrap())).collect();
    let silent = changes.into_par_iter().filter(|(at, by)| {
        let mut bytes = good.clone();
        bytes[*at] ^= by;
        let verdict = package("p.zip", &bytes, None);
        // Silence is right only if all files come out as they were: a time stamp, a flag that no reader looks at.
        verdict.findings.is_empty() && contents(&bytes) != whole
    });
    assert_eq!(silent.collect::<Vec<_>>(), []);
}
