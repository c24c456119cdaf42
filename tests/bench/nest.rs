//! Made-up graded nests of any size, as SVG and manifest text: the same figures always give the same bytes.

use kurbo::{BezPath, PathEl, Point, Vec2};
use std::f64::consts::TAU;
use std::fmt::Write;

/// Straight lines of a grainline with its two heads.
const GRAINLINE: usize = 5;
/// Notches of an outline, a straight line each.
const NOTCHES: usize = 2;
/// Curves around a letter.
const LETTER: usize = 4;
/// Fewest curves that still make an outline.
const LEAST: usize = 3;
/// How much narrower than the next larger one a size is.
const GRADE: f64 = 0.025;

/// The figures of a nest: pieces in rows and columns, each as one curved outline a size, with notches, grainline and letters.
#[derive(Clone, Copy, Debug)]
pub struct Nest {
    /// Pattern pieces, each in every size.
    pub pieces: usize,
    /// Sizes, from small to large.
    pub sizes: usize,
    /// Curves and straight lines of the whole drawing, exactly; a quarter of them is letters. Less than seven or so for each
    /// outline is refused.
    pub segments: usize,
    /// Width and height of the drawing, in mm; letters stay small however large it is.
    pub page: (f64, f64),
    /// Where the row of random numbers begins.
    pub seed: u64,
}

impl Nest {
    /// The drawing. Layers: `pattern` for every size, then `size 1` and so on.
    pub fn svg(&self) -> String {
        let (width, height) = self.page;
        let mut text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:inkscape=\"http://www.inkscape.org/namespaces/inkscape\" \
             width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\">\n"
        );
        let pieces = self.drafted();
        let letters = parts(self.letters(), self.pieces);
        layer(&mut text, "pattern", pieces.iter().zip(letters).map(|(piece, letters)| piece.base(letters)));
        let curves: Vec<usize> = parts(self.curves(), self.pieces * self.sizes).collect();
        for (size, curves) in curves.chunks(self.pieces).enumerate() {
            let scale = 1.0 - GRADE * (self.sizes - 1 - size) as f64;
            let cut = pieces.iter().zip(curves).map(|(piece, &count)| piece.cut(scale, count));
            layer(&mut text, &format!("size {}", size + 1), cut);
        }
        text.push_str("</svg>\n");
        text
    }

    /// A manifest for the drawing, to be saved beside it as `nest.svg`; `papers` as a manifest names them, such as `a4`.
    pub fn manifest(&self, papers: &str) -> String {
        let size = |size| format!("  - {{name: \"{size}\", layer: size {size}}}\n");
        let sizes: String = (1..=self.sizes).map(size).collect();
        format!(
            "name: made-up-nest\ntitle: Made-up nest\npublisher: Ploverfield Paper\nedition: 1.0.0\ndate: 2026-11-20\n\
             copyright: © 2026 Ploverfield Paper\nlanguages: [en]\ndrawing: {{file: nest.svg}}\nsizes:\n{sizes}\
             base-layers: [pattern]\npapers: [{papers}]\n"
        )
    }

    /// Letters of all pieces together.
    fn letters(&self) -> usize {
        self.segments / 4 / LETTER
    }

    /// What is left of the segments for the curves of all outlines together.
    fn curves(&self) -> usize {
        let outlines = self.pieces * self.sizes;
        let taken = outlines * NOTCHES + self.pieces * GRAINLINE + self.letters() * LETTER;
        let left = self.segments.saturating_sub(taken);
        assert!(left >= outlines * LEAST, "{} segments are too few for {outlines} outlines", self.segments);
        left
    }

    /// A piece for every cell of as square a grid as the page allows.
    fn drafted(&self) -> Vec<Piece> {
        let (width, height) = self.page;
        let columns = (self.pieces as f64 * width / height).sqrt().round().clamp(1.0, self.pieces as f64) as usize;
        let cell = Vec2::new(width / columns as f64, height / self.pieces.div_ceil(columns) as f64);
        let mut random = Random(self.seed);
        let middle = |at: usize| Point::new(cell.x * ((at % columns) as f64 + 0.5), cell.y * ((at / columns) as f64 + 0.5));
        (0..self.pieces).map(|at| Piece::drafted(middle(at), cell * 0.47, &mut random)).collect()
    }
}

/// A piece: an oval with waves, so that it bulges and caves in as pattern pieces do.
struct Piece {
    middle: Point,
    /// Half of the width and height that the largest size may have, in mm.
    half: Vec2,
    /// How high each wave is, how many times it goes round, and where it begins.
    waves: [(f64, f64, f64); 3],
    /// Where the notches stand, as angles.
    notches: [f64; NOTCHES],
    /// Widths of letters, as parts of their heights; used over and over.
    letters: [f64; 7],
}

impl Piece {
    fn drafted(middle: Point, half: Vec2, random: &mut Random) -> Self {
        let waves = [2.0, 3.0, 5.0].map(|turns| (random.between(0.01, 0.06), turns, random.between(0.0, TAU)));
        let notches = std::array::from_fn(|_| random.between(0.0, TAU));
        Self { middle, half, waves, notches, letters: std::array::from_fn(|_| random.between(0.3, 1.0)) }
    }

    /// A place on the outline, seen from the middle, and how fast it moves with the angle.
    fn at(&self, angle: f64, scale: f64) -> (Vec2, Vec2) {
        let whole: f64 = 1.0 + self.waves.iter().map(|wave| wave.0).sum::<f64>();
        let sum = |of: fn(f64, f64, f64) -> f64| -> f64 {
            self.waves.iter().map(|&(high, turns, from)| of(high, turns, turns * angle + from)).sum()
        };
        let radius = 1.0 + sum(|high, _, phase| high * phase.cos());
        let change = sum(|high, turns, phase| -high * turns * phase.sin());
        let (sin, cos) = angle.sin_cos();
        let stretched = |v: Vec2| Vec2::new(v.x * self.half.x, v.y * self.half.y) * (scale / whole);
        let speed = Vec2::new(change * cos - radius * sin, change * sin + radius * cos);
        (stretched(Vec2::new(cos, sin) * radius), stretched(speed))
    }

    /// The closed outline of a size.
    fn outline(&self, scale: f64, curves: usize) -> BezPath {
        let step = TAU / curves as f64;
        let mut path = BezPath::new();
        path.move_to(self.middle + self.at(0.0, scale).0);
        for curve in 0..curves {
            let ((from, out), (to, back)) = (self.at(step * curve as f64, scale), self.at(step * (curve + 1) as f64, scale));
            // A third of the speed over the step: the cubic that leaves and arrives as the outline does.
            let middle = self.middle;
            path.curve_to(middle + from + out * (step / 3.0), middle + to - back * (step / 3.0), middle + to);
        }
        path.close_path();
        path
    }

    /// Outline and notches of a size.
    fn cut(&self, scale: f64, curves: usize) -> String {
        let mut notches = BezPath::new();
        for angle in self.notches {
            let from = self.at(angle, scale).0;
            notches.move_to(self.middle + from);
            notches.line_to(self.middle + from - from * (4.0 / from.hypot()).min(0.2));
        }
        format!("<path d=\"{}\"/>\n<path d=\"{}\"/>\n", data(&self.outline(scale, curves)), data(&notches))
    }

    /// Grainline and letters, in the middle of even the smallest size.
    fn base(&self, letters: usize) -> String {
        let mut text = format!("<path d=\"{}\"/>\n<g fill=\"#000\" stroke=\"none\">\n", data(&self.grainline()));
        let block = self.half * 0.44;
        let columns = (letters as f64 * block.x / block.y).sqrt().ceil().max(1.0) as usize;
        let rows = letters.div_ceil(columns).max(1);
        // No wider than lettering is set, however much room there is.
        let pitch = Vec2::new((block.x / columns as f64).min(5.0), (block.y / rows as f64).min(7.0));
        let high = (pitch.x.min(pitch.y) * 0.35).min(2.0);
        for (letter, width) in (0..letters).zip(self.letters.iter().cycle()) {
            let place = Vec2::new(((letter % columns) as f64 + 0.5) * pitch.x, ((letter / columns) as f64 + 0.5) * pitch.y);
            let path = oval(self.middle - block / 2.0 + place, Vec2::new(high * width, high));
            let _ = writeln!(text, "<path d=\"{}\"/>", data(&path));
        }
        text.push_str("</g>\n");
        text
    }

    /// Upright, on the right of the letters.
    fn grainline(&self) -> BezPath {
        let (aside, high) = (Vec2::new(self.half.x * 0.27, 0.0), Vec2::new(0.0, self.half.y * 0.22));
        let head = (self.half.x * 0.04).min(7.0);
        let mut path = BezPath::new();
        path.move_to(self.middle + aside - high);
        path.line_to(self.middle + aside + high);
        for (tip, back) in [(self.middle + aside - high, head), (self.middle + aside + high, -head)] {
            path.move_to(tip + Vec2::new(-head / 2.0, back));
            path.line_to(tip);
            path.line_to(tip + Vec2::new(head / 2.0, back));
        }
        path
    }
}

/// A letter stands for any small filled shape: four curves from a corner on each side.
fn oval(middle: Point, half: Vec2) -> BezPath {
    let corners = [Vec2::new(half.x, 0.0), Vec2::new(0.0, half.y), Vec2::new(-half.x, 0.0), Vec2::new(0.0, -half.y)];
    let mut path = BezPath::new();
    path.move_to(middle + corners[0]);
    for (index, from) in corners.into_iter().enumerate() {
        let to = corners[(index + 1) % LETTER];
        // 0.55 of the way to the corner of the box: nearly round.
        path.curve_to(middle + from + to * 0.55, middle + to + from * 0.55, middle + to);
    }
    path.close_path();
    path
}

/// A layer of pieces, each given by its elements.
fn layer(text: &mut String, name: &str, pieces: impl Iterator<Item = String>) {
    let paint = "fill=\"none\" stroke=\"#000\" stroke-width=\"0.35\"";
    let _ = writeln!(text, "<g inkscape:groupmode=\"layer\" inkscape:label=\"{name}\" {paint}>");
    for (index, elements) in pieces.enumerate() {
        let _ = writeln!(text, "<g inkscape:label=\"piece {}\">\n{elements}</g>", index + 1);
    }
    text.push_str("</g>\n");
}

/// A number of things dealt out as evenly as whole numbers allow.
fn parts(things: usize, count: usize) -> impl Iterator<Item = usize> {
    (0..count).map(move |part| things * (part + 1) / count - things * part / count)
}

/// Path data to the thousandth of a millimetre, where one machine's sine no longer differs from another's.
fn data(path: &BezPath) -> String {
    let mut text = String::new();
    for element in path.elements() {
        let (letter, points): (char, &[Point]) = match element {
            PathEl::MoveTo(p) => ('M', &[*p]),
            PathEl::LineTo(p) => ('L', &[*p]),
            PathEl::QuadTo(a, p) => ('Q', &[*a, *p]),
            PathEl::CurveTo(a, b, p) => ('C', &[*a, *b, *p]),
            PathEl::ClosePath => ('Z', &[]),
        };
        text.push(letter);
        for p in points {
            let _ = write!(text, "{:.3},{:.3} ", p.x, p.y);
        }
    }
    text.trim_end().to_owned()
}

/// Random numbers from a seed (a linear congruential generator with Knuth's MMIX figures, from memory).
struct Random(u64);

impl Random {
    /// A number from one to another.
    fn between(&mut self, from: f64, to: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        // The low bits of such numbers repeat soon; the upper 32 do not.
        from + (to - from) * (self.0 >> 32) as f64 / f64::from(u32::MAX)
    }
}
