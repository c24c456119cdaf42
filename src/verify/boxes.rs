//! The boxes of a page, read from its dictionary in millimetres, and whether they are the promised paper.

use super::promises::Paper;
use super::verdict::{Check, Figure, Verdict};
use crate::diagnostic::Diagnostic;
use crate::units::Length;
use hayro_interpret::hayro_syntax::object::{Array, Dict, Object};
use kurbo::Rect;

/// How far a page may be from its paper: twice the error budget, once for each side.
const TOLERANCE: Length = Length::mm(0.02);
/// Millimetres in a PDF unit (ISO 32000-1, 8.3.2.3: 1/72 in, times the page's `UserUnit`).
const MM: f64 = 25.4 / 72.0;
/// How far up the tree of pages a box may be inherited from.
const MAX_DEPTH: usize = 64;

/// Boxes and turn of a page; all boxes in mm, y up, as the file has them.
#[derive(Debug)]
pub(super) struct Boxes {
    /// Millimetres in one unit of the page's own space.
    pub unit: f64,
    /// The paper; `None` if the page does not say.
    pub media: Option<Rect>,
    /// What viewers show, if said.
    crop: Option<Rect>,
    /// The sheet after trimming, if said.
    trim: Option<Rect>,
    /// Quarter turns and the like, in degrees.
    rotate: f64,
}

impl Boxes {
    /// Reads the boxes of a page's dictionary and of those that it inherits from.
    pub fn read(page: &Dict<'_>) -> Self {
        // Only pages beyond 200 in need more than one (ISO 32000-1, annex C), but any page may use it.
        let unit = MM * page.get::<f64>(b"UserUnit").filter(|unit| unit.is_finite() && *unit > 0.0).unwrap_or(1.0);
        let inherited = |key| climb(page, |dict| rect(dict, key, unit));
        let rotate = climb(page, |dict| dict.get::<f64>(b"Rotate")).unwrap_or(0.0);
        let (media, crop) = (inherited("MediaBox"), inherited("CropBox"));
        Self { unit, media, crop, trim: rect(page, "TrimBox", unit), rotate }
    }

    /// What is printed: the crop box within the media box.
    pub fn shown(&self) -> Rect {
        let media = self.media.unwrap_or(Rect::ZERO);
        self.crop.map_or(media, |crop| crop.intersect(media))
    }

    /// Compares the boxes of page `number` with the paper.
    pub fn check(&self, paper: &Paper, number: usize, verdict: &mut Verdict) {
        let Some(media) = self.media else {
            return self.fault(paper, error!("page-box/no-size", number), verdict);
        };
        for (what, promised, measured) in
            [("page width", paper.width_mm, media.width()), ("page height", paper.height_mm, media.height())]
        {
            verdict.measure(figure(paper, number, what, promised, measured), code!("page-box"), words!("build-again"));
        }
        // Print shops cut at the trim box; without it they would have to guess.
        if !alike(self.trim, media) {
            self.fault(paper, error!("page-box/trim", number), verdict);
        }
        if self.crop.is_some() && !alike(self.crop, media) {
            self.fault(paper, error!("page-box/crop", number), verdict);
        }
        if self.rotate.rem_euclid(360.0) != 0.0 {
            self.fault(paper, error!("page-box/turned", number, degrees = self.rotate), verdict);
        }
    }

    fn fault(&self, paper: &Paper, finding: Diagnostic, verdict: &mut Verdict) {
        verdict.judge(Check::PageBox, Err(finding.at(verdict.place(&paper.file))));
    }
}

fn figure(paper: &Paper, page: usize, what: &str, promised: f64, measured: f64) -> Figure {
    let (promised, measured) = (Length::mm(promised), Length::mm(measured));
    let fine = measured.within(promised, TOLERANCE);
    let (check, file, what) = (Check::PageBox, paper.file.clone(), what.to_owned());
    Figure { check, file, page: Some(page), what, promised, measured, tolerance: TOLERANCE, fine }
}

fn alike(inner: Option<Rect>, media: Rect) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= TOLERANCE.to_mm();
    inner.is_some_and(|r| near(r.x0, media.x0) && near(r.y0, media.y0) && near(r.x1, media.x1) && near(r.y1, media.y1))
}

/// The first answer of a page or one of its parents (ISO 32000-1, 7.7.3.4).
fn climb<T>(page: &Dict<'_>, ask: impl Fn(&Dict<'_>) -> Option<T>) -> Option<T> {
    let parents = std::iter::successors(Some(page.clone()), |dict| dict.get::<Dict<'_>>(b"Parent"));
    parents.take(MAX_DEPTH).find_map(|dict| ask(&dict))
}

/// Read here and not by hayro, which gives A4 to a page without a size and rounds to single precision.
fn rect(dict: &Dict<'_>, key: &str, unit: f64) -> Option<Rect> {
    let Some(Object::Array(array)) = dict.get::<Object<'_>>(key.as_bytes()) else { return None };
    let mut numbers = Array::iter::<f64>(&array).map(|number| number * unit);
    let rect = Rect::new(numbers.next()?, numbers.next()?, numbers.next()?, numbers.next()?).abs();
    rect.is_finite().then_some(rect)
}
