//! How short a lay could be if pieces only slid along the cloth, and one of them divided it.
//!
//! At each place along the cloth all that lie there may take no more than its width. Beside the largest piece, if it has no bays along the
//! cloth, each other such piece lies wholly above or wholly below it, and what lies above has only the room between it and one edge. What
//! cannot be done like that cannot be laid. The literature knows the first for rectangles (Martello, Monaci and Vigo, 2003), and from
//! scheduling what a task takes wherever it ends up (its compulsory part; Lahrichi, 1982); both are cited from memory.

use super::attempt::Attempt;
use super::load::Stack;
use super::sections::{Across, Sections};
use super::shape::Shape;
use super::windows::Windows;
use super::{CLOSE, Length};

/// Only so many of the largest pieces are looked at: what cannot be done with some cannot be done with all.
const MOST_PIECES: usize = 40;

/// How many times the sections of a piece may be added up before a length is given up, neither refuted nor not: for each by which a
/// bound comes nearer, and for the one by which a lay is told to be close to the shortest.
const SHORT: u32 = 300;
const LONG: u32 = 10_000;

/// How far a lay may be over its bound for the latter to be worth a try: a part of the lay's length.
const PROMISING: f64 = 0.02;

/// Where a piece begins is not asked more finely than this, in millimetres.
const FINE: f64 = 0.1;

/// How near a bound comes to the longest length that could be refuted, in millimetres.
const NEAR: f64 = 0.5;

/// How much less than as close as that a length is tried, so that rounding leaves it close; millimetres.
const ROUNDING: f64 = 0.01;

/// What sums may be off, in millimetres.
const TIE: f64 = 1e-6;

/// Pieces that slide along cloth of a width.
pub(super) struct Slide<'a> {
    /// The largest first.
    pub pieces: Vec<Piece<'a>>,
    pub gap: f64,
    /// What all pieces with half the gap all round may take together.
    pub room: f64,
    divider: Option<Divider>,
}

/// A piece that slides.
pub(super) struct Piece<'a> {
    sections: &'a Sections,
    pub area: f64,
    /// What it takes with half the gap all round, and by itself.
    grown: Windows,
    alone: Windows,
    /// Whether both ways round must be looked at.
    turns: bool,
    /// Whether it is like the piece before; of such pieces the first is the one that begins first.
    pub alike: bool,
}

/// How far the first piece reaches up and down, with half the gap and with the whole gap all round.
struct Divider {
    up: [Windows; 2],
    down: [Windows; 2],
    level: bool,
}

/// On which side of the first piece a piece lies where both are.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Side {
    /// That is not asked.
    Any,
    Open,
    Above,
    Below,
}

/// Where a piece may begin, which ways round, and on which side.
#[derive(Clone, Copy)]
pub(super) struct Span {
    pub from: f64,
    pub to: f64,
    straight: bool,
    turned: bool,
    pub side: Side,
}

impl<'a> Slide<'a> {
    /// The shapes on that width with that gap.
    pub fn new(shapes: &'a [Shape], width: f64, gap: f64) -> Self {
        let mut order: Vec<&Shape> = shapes.iter().collect();
        order.sort_by(|a, b| b.area.total_cmp(&a.area));
        let mut pieces: Vec<Piece> = Vec::new();
        for shape in order.iter().take(MOST_PIECES) {
            let before = pieces.last();
            pieces.push(Piece::new(shape, gap, before));
        }
        let apart = !pieces.get(1).is_some_and(|second| second.alike);
        let divider = order.first().filter(|first| apart && gap > 0.0 && first.sections.single);
        let divider = divider.map(|first| Divider::new(&first.sections, gap));
        // A lay mirrored along the cloth is one too if all may be turned: then one piece need not be, if it is told from all others.
        let mirrored = apart && shapes.iter().all(|shape| shape.may_turn);
        if let (Some(piece), Some(shape)) = (pieces.first_mut(), order.first()) {
            piece.turns = !mirrored && (piece.turns || divider.is_some() && shape.may_turn);
        }
        Self { pieces, gap, room: width + gap + TIE, divider }
    }

    /// The longest length below `high` that is found to be too short, in whole hundredths of a millimetre, or else `low`; on which sides of
    /// the largest piece others lie is not asked. If that is near, it is, for one more length that leaves a lay close to the shortest.
    pub fn above(&self, low: Length, high: Length) -> Length {
        let [mut least, mut most] = [low, high].map(Length::to_mm);
        while most - least > NEAR {
            let middle = (least + most) / 2.0;
            *(if self.refuted_undivided(middle) { &mut least } else { &mut most }) = middle;
        }
        let (high, close) = (high.to_mm(), (high - CLOSE).to_mm() + ROUNDING);
        let promising = (high * (1.0 - PROMISING)..close).contains(&least);
        if promising && self.refuted(close) {
            least = close;
        }
        low.max(Length::mm((least * 100.0).floor() / 100.0))
    }

    /// Whether the pieces are proven not to fit on a length.
    pub fn refuted(&self, length: f64) -> bool {
        Attempt { slide: self, length, left: LONG, divided: true }.refuted(self.spans(length, true))
    }

    /// Whether they are even if nothing is asked of sides.
    fn refuted_undivided(&self, length: f64) -> bool {
        Attempt { slide: self, length, left: SHORT, divided: false }.refuted(self.spans(length, false))
    }

    /// Where pieces may be at all; whether it is asked on which sides of the first one.
    fn spans(&self, length: f64, divided: bool) -> Vec<Span> {
        let divider = self.divider.as_ref().filter(|_| divided);
        let span = |(index, piece): (usize, &Piece)| {
            let side = if index > 0 && divider.is_some() && piece.sections.single { Side::Open } else { Side::Any };
            Span { from: 0.0, to: length - piece.length(), straight: true, turned: piece.turns, side }
        };
        let mut spans: Vec<Span> = self.pieces.iter().enumerate().map(span).collect();
        // What lies about a level piece can be mirrored across the cloth: then one other is above it.
        let first = spans.iter_mut().find(|span| span.side == Side::Open);
        if let Some(span) = first.filter(|_| divider.is_some_and(|divider| divider.level)) {
            span.side = Side::Above;
        }
        spans
    }

    /// How far the first piece reaches up and down at least at each place, wherever in its span it begins.
    pub fn reach(&self, span: Span, places: &[f64]) -> Option<[Stack; 2]> {
        let (Divider { up, down, .. }, piece) = (self.divider.as_ref()?, self.pieces.first()?);
        let reach = |straight: &Windows, turned: &Windows, less: f64| -> Vec<f64> {
            let least =
                |&place: &f64| piece.least([straight, turned], place, span).map_or(f64::NEG_INFINITY, |reach| reach - less);
            places.iter().map(least).collect()
        };
        let [half, whole] = [0.0, self.gap / 2.0];
        let stack = |[one, far]: &[Windows; 2], [other, other_far]: &[Windows; 2]| Stack {
            grown: reach(one, other, half),
            alone: reach(far, other_far, whole),
        };
        Some([stack(up, down), stack(down, up)])
    }
}

impl Divider {
    fn new(sections: &Sections, gap: f64) -> Self {
        let windows = |value: fn(&Across) -> f64| [gap / 2.0, gap].map(|by| Windows::new(sections, value, by, 1.0));
        Self { up: windows(|across| across.up), down: windows(|across| across.down), level: sections.level() }
    }
}

impl<'a> Piece<'a> {
    fn new(shape: &'a Shape, gap: f64, before: Option<&Piece>) -> Self {
        let (sections, turns) = (&shape.sections, shape.may_turn && !shape.sections.symmetric());
        let alike = before.is_some_and(|last| last.turns == turns && last.sections.alike(sections));
        let windows = |by| Windows::new(sections, |across| across.section, by, 2.0);
        Self { sections, area: shape.area, grown: windows(gap / 2.0), alone: windows(0.0), turns, alike }
    }

    /// How long it is.
    pub fn length(&self) -> f64 {
        self.sections.length
    }

    /// What it takes at least at some places, wherever in its span it begins.
    pub fn taken(&self, span: Span, places: &[f64], gap: f64) -> Stack {
        let taken = |windows: &Windows, more: f64| -> Vec<f64> {
            let least = |&place: &f64| self.least([windows, windows], place, span).map_or(0.0, |least| least + more);
            places.iter().map(least).collect()
        };
        Stack { grown: taken(&self.grown, 0.0), alone: taken(&self.alone, gap) }
    }

    /// The least value at a place, wherever in its span the piece begins, either way round that is open; each way has its own windows.
    fn least(&self, [straight, turned]: [&Windows; 2], place: f64, span: Span) -> Option<f64> {
        let (from, to) = (place - span.to, place - span.from);
        let around = (self.length() - to, self.length() - from);
        let ways = [(span.straight, straight, (from, to)), (span.turned, turned, around)];
        let mut open = ways.into_iter().filter(|way| way.0).map(|(_, windows, window)| windows.least(window));
        open.try_fold(f64::INFINITY, |least, value| Some(least.min(value?)))
    }

    /// A span in two: first on which side it lies, then where it begins, then which way round, then where more finely; none if all is told.
    pub fn halves(&self, span: Span) -> Option<[Span; 2]> {
        let open = span.to - span.from;
        if span.side == Side::Open {
            return Some([Side::Above, Side::Below].map(|side| Span { side, ..span }));
        }
        if span.straight && span.turned && open < self.length() / 4.0 {
            return Some([Span { turned: false, ..span }, Span { straight: false, ..span }]);
        }
        let middle = (span.from + span.to) / 2.0;
        (open > FINE).then_some([Span { to: middle, ..span }, Span { from: middle, ..span }])
    }

    /// How much of a span is open, in millimetres; which side it is on counts as much as one and a half times the piece.
    pub fn open(&self, span: &Span) -> f64 {
        let side = if span.side == Side::Open { self.length() * 1.5 } else { 0.0 };
        side.max(span.to - span.from)
    }
}
