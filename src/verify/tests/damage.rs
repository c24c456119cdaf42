//! Packages with one byte changed at a time: never a panic, and never a clean verdict.

use super::super::{entries, package};
use super::sample::{HOME, Sample, zip};

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
    for round in 0..2000 {
        let mut files = good.clone();
        // Most damage goes into the PDF: its reader has the most to trip over.
        let name = if round % 4 == 3 { files.keys().nth(dice.below(files.len())).unwrap().clone() } else { HOME.into() };
        dice.damage(files.get_mut(&name).unwrap());
        let verdict = entries("p.zip", files.into_iter().collect());
        assert!(!verdict.is_fine(), "round {round}, {name}");
    }
}

#[test]
fn a_damaged_zip_never_brings_the_inspector_down() {
    let (good, mut dice) = (zip(&Sample::good().entries()), Dice(0x5eed5));
    for _ in 0..1000 {
        let mut bytes = good.clone();
        dice.damage(&mut bytes);
        package("p.zip", &bytes);
    }
}
