//! How large a drawing may be, so that a file made to hurt ends in a finding and not in a full memory.

/// The most that is read of a drawing; what stands here is far above what anyone draws.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Bytes of the file.
    pub bytes: usize,
    /// Levels of elements in each other. The SVG library allows 1,024.
    pub depth: usize,
    /// Elements in the file.
    pub elements: usize,
    /// Attributes of one element: each is held against all others, since none may stand twice.
    pub attributes: usize,
    /// Values that cannot be read.
    pub faults: usize,
    /// Letters of one text, in bytes.
    pub letters: u64,
    /// Points of all paths, once every `use` is written out.
    pub points: u64,
    /// Rules of style sheets times elements: each rule is held against each element.
    pub styled: usize,
    /// Bytes of style sheets times their signs, which is how long they take to be read.
    pub sheets: usize,
    /// Paper under all ink, in square metres.
    pub area: f64,
    /// Longer side of that, in mm.
    pub reach: f64,
    /// All lines together, in km.
    pub length: f64,
    /// Dashes and gaps of all lines.
    pub dashes: f64,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            bytes: 200_000_000,
            depth: 256,
            elements: 2_000_000,
            attributes: 256,
            faults: 10_000,
            letters: 10_000,
            points: 20_000_000,
            styled: 20_000_000,
            sheets: 2_000_000_000,
            area: 40.0,
            reach: 20_000.0,
            length: 5.0,
            dashes: 1e6,
        }
    }
}

impl Limits {
    /// So many times the usual limits.
    pub fn times(times: u32) -> Self {
        let (usual, many, times) = (Self::default(), f64::from(times), times as usize);
        Self {
            bytes: usual.bytes.saturating_mul(times),
            depth: usual.depth.saturating_mul(times),
            elements: usual.elements.saturating_mul(times),
            attributes: usual.attributes.saturating_mul(times),
            faults: usual.faults.saturating_mul(times),
            letters: usual.letters.saturating_mul(times as u64),
            points: usual.points.saturating_mul(times as u64),
            styled: usual.styled.saturating_mul(times),
            sheets: usual.sheets.saturating_mul(times),
            area: usual.area * many,
            reach: usual.reach * many,
            length: usual.length * many,
            dashes: usual.dashes * many,
        }
    }
}
