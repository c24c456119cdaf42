//! The search's own random numbers, the same for a seed on every machine.

/// A generator of 64-bit numbers: SplitMix64 (Steele, Lea and Flood 2014, "Fast splittable pseudorandom number generators", figure 1).
#[derive(Clone, Debug)]
pub(super) struct Random(u64);

impl Random {
    /// A generator that begins at a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// From 0 up to, but not, 1.
    pub fn part(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Between two numbers; the first if they are no range.
    pub fn between(&mut self, from: f64, to: f64) -> f64 {
        from + self.part() * (to - from).max(0.0)
    }

    /// A whole number below another; 0 if that is 0.
    pub fn below(&mut self, end: usize) -> usize {
        (self.part() * end as f64) as usize
    }

    /// Puts a list into random order.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            list.swap(last, self.below(last + 1));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_numbers_of_a_seed_are_those_of_the_published_method() {
        // The first numbers for seed 1234567, as listed with the algorithm on Rosetta Code ("Pseudo-random numbers/Splitmix64"), from memory.
        let mut random = Random::new(1_234_567);
        assert_eq!(
            [random.next(), random.next(), random.next()],
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]
        );
    }

    #[test]
    fn numbers_stay_in_their_range_and_shuffling_loses_nothing() {
        let mut random = Random::new(7);
        assert!((0..1000).all(|_| random.below(3) < 3 && (2.0..5.0).contains(&random.between(2.0, 5.0))));
        assert_eq!((random.below(0), random.between(4.0, 3.0)), (0, 4.0));
        let mut list: Vec<_> = (0..50).collect();
        random.shuffle(&mut list);
        assert!(list != (0..50).collect::<Vec<_>>());
        list.sort_unstable();
        assert_eq!(list, (0..50).collect::<Vec<_>>());
    }
}
