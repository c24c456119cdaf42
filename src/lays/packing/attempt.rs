//! The attempt to refute one length: where pieces may begin is narrowed and halved until they take too much wherever they do (branch and
//! bound).

use super::load::{Load, Row};
use super::slide::{Piece, Side, Slide, Span};

/// Places all along the cloth at which sections are added up.
const PLACES: usize = 64;

/// And places by the ends of what each piece cannot but lie at, in half gaps outwards: just within, and on the way to, its own end.
const ENDS: [f64; 5] = [0.99, 0.75, 0.5, 0.25, -0.01];

/// One length that pieces are tried on.
pub(super) struct Attempt<'a> {
    pub slide: &'a Slide<'a>,
    pub length: f64,
    /// What is left of the budget.
    pub left: u32,
    /// Whether it is asked on which side of the first piece others lie.
    pub divided: bool,
}

impl Attempt<'_> {
    /// Whether the pieces cannot begin where they may: at once, or in either half of where one of them may.
    pub fn refuted(&mut self, mut spans: Vec<Span>) -> bool {
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
        while self.left > 0 {
            match self.ordered(spans).then(|| self.narrowed(spans)).flatten() {
                None => return true,
                Some(false) => return false,
                Some(true) => {}
            }
        }
        false
    }

    /// Narrows spans to the one half that has room, and tells whether there was such a span; none if neither half of one has room.
    fn narrowed(&mut self, spans: &mut [Span]) -> Option<bool> {
        let places = self.places(spans);
        let pieces = self.slide.pieces.iter().enumerate();
        let mut rows: Vec<Row> = pieces.clone().zip(&*spans).map(|(piece, span)| self.row(piece, *span, &places)).collect();
        let mut load = Load::new(places.len(), self.slide.room);
        rows.iter().for_each(|row| load.put(row));
        let mut narrowed = false;
        for ((piece, span), row) in pieces.zip(spans).zip(&mut rows) {
            load.take(row);
            let halves = piece.1.halves(*span).map_or(vec![*span], Vec::from);
            let with_rows = halves.iter().map(|half| (*half, self.row(piece, *half, &places)));
            let mut fitting: Vec<_> = with_rows.filter(|(_, row)| load.fits(row)).collect();
            self.left = self.left.saturating_sub(2);
            let (half, taken) = fitting.pop()?;
            if fitting.is_empty() && halves.len() > 1 {
                (*span, *row, narrowed) = (half, taken, true);
            }
            load.put(row);
        }
        Some(narrowed)
    }

    /// The places along the cloth that are looked at: any would do, and where a piece begins to take something most is found.
    fn places(&self, spans: &[Span]) -> Vec<f64> {
        let even = (0..PLACES).map(|index| self.length * (index as f64 + 0.5) / PLACES as f64);
        let ends = self.slide.pieces.iter().zip(spans).flat_map(|(piece, span)| {
            let out = ENDS.map(|out| out * self.slide.gap / 2.0);
            out.map(|out| span.to - out).into_iter().chain(out.map(|out| span.from + piece.length() + out))
        });
        let mut places: Vec<f64> = even.chain(ends).filter(|place| (0.0..=self.length).contains(place)).collect();
        places.sort_by(f64::total_cmp);
        places
    }

    /// What a piece takes at least at each place, wherever in its span it begins.
    fn row(&self, (index, piece): (usize, &Piece), span: Span, places: &[f64]) -> Row {
        let half = self.slide.gap.max(0.0) / 2.0;
        let first = places.partition_point(|place| *place < span.to - half);
        let behind = places.partition_point(|place| *place <= span.from + piece.length() + half);
        let taken = piece.taken(span, places.get(first..behind).unwrap_or_default(), self.slide.gap);
        let side = match span.side {
            Side::Any | Side::Open => None,
            Side::Above => Some(0),
            Side::Below => Some(1),
        };
        Row { first, taken, side, reach: if index == 0 { self.slide.reach(span, places) } else { None } }
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

    /// The piece of which most is open, and the halves of its span; large pieces count more, unless it is their sides that decide.
    fn widest(&self, spans: &[Span]) -> Option<(usize, [Span; 2])> {
        let open = self.slide.pieces.iter().zip(spans).enumerate();
        let weight = |piece: &Piece| if self.divided { 1.0 } else { piece.area };
        let halved =
            open.filter_map(|(index, (piece, span))| Some((piece.open(span) * weight(piece), index, piece.halves(*span)?)));
        halved.reduce(|a, b| if b.0 > a.0 { b } else { a }).map(|(_, index, halves)| (index, halves))
    }
}
