//! How short a lay could be if it did not matter where across the cloth pieces lie.
//!
//! Pieces slide along the cloth, and at each place along it all that lie there may take no more than its width. What cannot be done like that
//! cannot be laid. The literature knows this relaxation of strip packing for rectangles (Martello, Monaci and Vigo, 2003), and from
//! scheduling what a task takes wherever it ends up (its compulsory part; Lahrichi, 1982); both are cited from memory.

use super::sections::Windows;
use super::shape::Shape;
use crate::units::Length;

/// Only so many of the largest pieces are looked at: what cannot be done with some cannot be done with all.
const MOST_PIECES: usize = 40;

/// Places along the cloth at which sections are added up.
const PLACES: usize = 512;

/// How many times the sections of a piece may be added up before a length is given up, neither refuted nor not.
const BUDGET: u32 = 300;

/// Where a piece begins is not asked more finely than this, in millimetres.
const FINE: f64 = 0.25;

/// How near a bound comes to the longest length that could be refuted, in millimetres.
const NEAR: f64 = 0.5;

/// Pieces that slide along cloth of a width.
pub(super) struct Slide<'a> {
    /// The largest first.
    pieces: Vec<Piece<'a>>,
    gap: f64,
    /// What all pieces with half the gap all round may take together.
    room: f64,
}

struct Piece<'a> {
    windows: Windows<'a>,
    area: f64,
    /// Whether both ways round must be looked at.
    turns: bool,
    /// Whether it is like the piece before; of such pieces the first is the one that begins first.
    alike: bool,
}

/// Where a piece may begin, and which ways round.
#[derive(Clone, Copy)]
struct Span {
    from: f64,
    to: f64,
    straight: bool,
    turned: bool,
}

impl<'a> Slide<'a> {
    /// The shapes on that width with that gap.
    pub fn new(shapes: &'a [Shape], width: f64, gap: f64) -> Self {
        let mut order: Vec<&Shape> = shapes.iter().collect();
        order.sort_by(|a, b| b.area.total_cmp(&a.area));
        let mut pieces: Vec<Piece> = Vec::new();
        for shape in order.into_iter().take(MOST_PIECES) {
            let (sections, turns) = (&shape.sections, shape.may_turn && !shape.sections.symmetric());
            let alike = pieces.last().is_some_and(|last| last.turns == turns && last.windows.sections == sections);
            pieces.push(Piece { windows: Windows::new(sections), area: shape.area, turns, alike });
        }
        // A lay mirrored along the cloth is one too if all may be turned: then one piece need not be, if it is told from all others.
        let mirrored = shapes.iter().all(|shape| shape.may_turn) && !pieces.get(1).is_some_and(|second| second.alike);
        if let Some(first) = pieces.first_mut().filter(|_| mirrored) {
            first.turns = false;
        }
        Self { pieces, gap, room: width + gap }
    }

    /// The longest length below `high` that is found to be too short, in whole hundredths of a millimetre, or else `low`.
    pub fn above(&self, low: Length, high: Length) -> Length {
        let [mut least, mut most] = [low, high].map(Length::to_mm);
        while most - least > NEAR {
            let middle = (least + most) / 2.0;
            *(if self.refuted(middle) { &mut least } else { &mut most }) = middle;
        }
        low.max(Length::mm((least * 100.0).floor() / 100.0))
    }

    /// Whether the pieces are proven not to fit on a length.
    pub fn refuted(&self, length: f64) -> bool {
        let span =
            |piece: &Piece| Span { from: 0.0, to: length - piece.windows.sections.length, straight: true, turned: piece.turns };
        Attempt { slide: self, length, left: BUDGET }.refuted(self.pieces.iter().map(span).collect())
    }
}

/// The attempt to refute one length.
struct Attempt<'a> {
    slide: &'a Slide<'a>,
    length: f64,
    /// What is left of the budget.
    left: u32,
}

impl Attempt<'_> {
    /// Whether the pieces cannot begin where they may: at once, or in either half of where one of them may.
    fn refuted(&mut self, mut spans: Vec<Span>) -> bool {
        if self.contradicted(&mut spans) {
            return true;
        }
        let Some((index, halves)) = self.widest(&spans).filter(|_| self.left > 0) else { return false };
        halves.into_iter().all(|half| {
            let with = spans.iter().enumerate().map(|(other, span)| if other == index { half } else { *span });
            self.refuted(with.collect())
        })
    }

    /// Whether the pieces take too much somewhere, wherever in their spans they begin; if not, spans are narrowed to what is possible.
    fn contradicted(&mut self, spans: &mut [Span]) -> bool {
        let mut narrowed = true;
        while narrowed && self.left > 0 {
            if !self.ordered(spans) {
                return true;
            }
            let pieces = self.slide.pieces.iter();
            let mut rows: Vec<Row> = pieces.zip(&*spans).map(|(piece, span)| self.row(piece, *span)).collect();
            let mut sum = vec![0.0; PLACES];
            rows.iter().for_each(|row| row.add(1.0, &mut sum));
            narrowed = false;
            for ((piece, span), row) in self.slide.pieces.iter().zip(&mut *spans).zip(&mut rows) {
                row.add(-1.0, &mut sum);
                let halves = piece.halves(*span).map_or(vec![*span], Vec::from);
                let rows = halves.iter().map(|half| (*half, self.row(piece, *half)));
                let mut fitting: Vec<_> = rows.filter(|(_, row)| row.fits(&sum, self.slide.room)).collect();
                let Some((half, taken)) = fitting.pop() else { return true };
                self.left = self.left.saturating_sub(2);
                if fitting.is_empty() && halves.len() > 1 {
                    (*span, *row, narrowed) = (half, taken, true);
                }
                row.add(1.0, &mut sum);
            }
        }
        false
    }

    /// What a piece takes at least at each place, wherever in its span it begins.
    fn row(&self, piece: &Piece, span: Span) -> Row {
        let half = self.slide.gap / 2.0;
        let at = |along: f64| (along / self.length * PLACES as f64).max(0.0) as usize;
        let (first, last) = (at(span.to - half), at(span.from + piece.windows.sections.length + half).min(PLACES - 1));
        let place = |index: usize| self.length * (index as f64 + 0.5) / PLACES as f64;
        let window = |index: usize| (place(index) - span.to, place(index) - span.from);
        Row { first, taken: (first..=last).map(|index| piece.taken(window(index), span, self.slide.gap)).collect() }
    }

    /// Narrows spans to where of like pieces none begins before the one before it; false if there is no such place.
    fn ordered(&self, spans: &mut [Span]) -> bool {
        let mut before = 0.0;
        for (piece, span) in self.slide.pieces.iter().zip(&mut *spans) {
            span.from = if piece.alike { span.from.max(before) } else { span.from };
            before = span.from;
        }
        let mut after = f64::INFINITY;
        for (piece, span) in self.slide.pieces.iter().zip(&mut *spans).rev() {
            span.to = span.to.min(after);
            after = if piece.alike { span.to } else { f64::INFINITY };
        }
        spans.iter().all(|span| span.from <= span.to)
    }

    /// The piece of which most is open, large ones counting more, and the halves of its span.
    fn widest(&self, spans: &[Span]) -> Option<(usize, [Span; 2])> {
        let open = self.slide.pieces.iter().zip(spans).enumerate();
        let halved =
            open.filter_map(|(index, (piece, span))| Some((piece.area * (span.to - span.from), index, piece.halves(*span)?)));
        halved.reduce(|a, b| if b.0 > a.0 { b } else { a }).map(|(_, index, halves)| (index, halves))
    }
}

/// What a piece takes of the width, from the first of the places along the cloth that it cannot but lie at.
struct Row {
    first: usize,
    taken: Vec<f64>,
}

impl Row {
    fn add(&self, sign: f64, sum: &mut [f64]) {
        sum.iter_mut().skip(self.first).zip(&self.taken).for_each(|(sum, taken)| *sum += sign * taken);
    }

    /// Whether there is room beside what others take.
    fn fits(&self, others: &[f64], room: f64) -> bool {
        others.iter().skip(self.first).zip(&self.taken).all(|(others, taken)| others + taken <= room)
    }
}

impl Piece<'_> {
    /// The least that it takes in a window, counted from where it begins, either way round that is open.
    fn taken(&self, (from, to): (f64, f64), span: Span, gap: f64) -> f64 {
        let straight = if span.straight { self.windows.taken((from, to), gap) } else { f64::INFINITY };
        let around = (self.windows.sections.length - to, self.windows.sections.length - from);
        straight.min(if span.turned { self.windows.taken(around, gap) } else { f64::INFINITY })
    }

    /// A span in two: first where it begins, then which way round it lies, then where more finely; none if all is told.
    fn halves(&self, span: Span) -> Option<[Span; 2]> {
        let open = span.to - span.from;
        if span.straight && span.turned && open < self.windows.sections.length / 4.0 {
            return Some([Span { turned: false, ..span }, Span { straight: false, ..span }]);
        }
        let middle = (span.from + span.to) / 2.0;
        (open > FINE).then_some([Span { to: middle, ..span }, Span { from: middle, ..span }])
    }
}
