//! Damage: bits flipped, bytes cut out, parts swapped or doubled, numbers made extreme; from a seed, the same every time.

/// Numbers that programs stumble over.
const NUMBERS: [&str; 12] = [
    "0",
    "-1",
    "NaN",
    "2147483648",
    "9223372036854775808",
    "1e308",
    "1e",
    "0.0000000001",
    "-0",
    "99999999999999999999",
    ".",
    "0x7fffffff",
];
/// Bytes that mean something somewhere.
const SIGNS: [&[u8]; 16] = [
    b"\0",
    b"\xff",
    b"<",
    b">",
    b"&",
    b"\"",
    b"'",
    b"[",
    b"{",
    b"*",
    b"\\",
    b"\n",
    b"\t",
    b"\xe2\x80\xae",
    b"\xef\xbb\xbf",
    b"%",
];

/// A generator of damage.
pub struct Damage {
    state: u64,
}

impl Damage {
    /// Seeded by a name.
    pub fn of(name: &str) -> Self {
        // FNV-1a, 64 bit (Fowler, Noll, Vo: offset basis and prime).
        let state =
            name.bytes().fold(0xcbf2_9ce4_8422_2325, |hash: u64, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3));
        Self { state }
    }

    /// A number below a bound, by SplitMix64 (Steele, Lea, Flood, 2014).
    fn below(&mut self, bound: usize) -> usize {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((mixed ^ (mixed >> 31)) % bound.max(1) as u64) as usize
    }

    /// One of some seeds, damaged in one to four ways.
    pub fn done_to(&mut self, seeds: &[Vec<u8>]) -> Vec<u8> {
        let mut bytes = seeds[self.below(seeds.len())].clone();
        for _ in 0..=self.below(4) {
            let other = self.below(seeds.len());
            self.once(&mut bytes, &seeds[other]);
        }
        bytes
    }

    fn once(&mut self, bytes: &mut Vec<u8>, other: &[u8]) {
        if bytes.is_empty() {
            return bytes.push(self.below(256) as u8);
        }
        match self.below(9) {
            0 => {
                let at = self.place(bytes);
                bytes[at] ^= 1 << self.below(8);
            }
            1 => {
                let at = self.place(bytes);
                bytes[at] = self.below(256) as u8;
            }
            2 => bytes.truncate(self.below(bytes.len())),
            3 => {
                let (from, to) = self.span(bytes);
                drop(bytes.drain(from..to));
            }
            4 => {
                let (from, to) = self.span(bytes);
                let part = bytes[from..to].to_vec();
                let at = self.place(bytes);
                drop(bytes.splice(at..at, part));
            }
            5 => {
                let (from, to) = self.span(other);
                let at = self.place(bytes);
                drop(bytes.splice(at..at, other[from..to].iter().copied()));
            }
            6 => {
                let (at, sign) = (self.place(bytes), SIGNS[self.below(SIGNS.len())]);
                drop(bytes.splice(at..at, sign.iter().copied()));
            }
            7 => self.number(bytes),
            _ => {
                let (from, to) = self.span(bytes);
                let times = self.below(60);
                let part = bytes[from..to.min(from + 200)].repeat(times);
                drop(bytes.splice(from..from, part));
            }
        }
    }

    /// A place in a file: every other time near its beginning, where most formats say what is to come.
    fn place(&mut self, bytes: &[u8]) -> usize {
        let far = if self.below(2) == 0 { bytes.len().min(1_000) } else { bytes.len() };
        self.below(far)
    }

    fn span(&mut self, bytes: &[u8]) -> (usize, usize) {
        let from = self.place(bytes);
        let longest = if self.below(4) == 0 { bytes.len() } else { 64 };
        (from, (from + 1 + self.below(longest)).min(bytes.len()))
    }

    /// Puts an extreme number in the place of one that is there.
    fn number(&mut self, bytes: &mut Vec<u8>) {
        let start = self.place(bytes);
        let is_part = |byte: &u8| byte.is_ascii_digit() || *byte == b'.';
        let Some(from) = bytes[start..].iter().position(u8::is_ascii_digit).map(|at| at + start) else { return };
        let to = bytes[from..].iter().position(|byte| !is_part(byte)).map_or(bytes.len(), |at| at + from);
        let number = NUMBERS[self.below(NUMBERS.len())];
        drop(bytes.splice(from..to, number.bytes()));
    }
}
