//! The grid of tiles: how it lies on the drawing and how each tile lies on its sheet.
//!
//! Paper may lie upright or on its side, whichever takes fewer sheets; the drawing itself is never turned.

use super::ink::Ink;
use super::search::{Placement, Search};
use super::{NOISE_MM, mm};
use crate::manifest::{Format, Kit, PaperSetup, Pin, Press, Sharing};
use crate::units::{Length, Margins, Point, Rect, Size};
use rayon::prelude::*;

/// Free length at the ends of a roll together, so that no line touches the frame.
const ROLL_AIR: Length = Length::mm(20.0);

/// The least of it.
const LEAST_AIR: Length = Length::mm(2.0);

/// The least side of a tile, as for manifests: paper on its side may keep less of it than upright paper.
const LEAST_TILE: Length = Length::mm(20.0 - NOISE_MM);

/// A placed grid.
#[derive(Clone, Copy, Debug)]
pub(super) struct Grid {
    /// Size of every sheet.
    pub(super) sheet_size: Size,
    /// What the printer reaches, on the sheet.
    pub(super) printable: Rect,
    /// The tile on the sheet.
    pub(super) tile: Rect,
    /// Whether the paper lies on its side.
    pub(super) lying: bool,
    /// Top left of tile A1 in the drawing.
    pub(super) origin: Point,
    /// Rows of tiles.
    pub(super) rows: usize,
    /// Columns of tiles.
    pub(super) columns: usize,
}

impl Grid {
    /// A tile's rectangle in the drawing.
    pub(super) fn area(&self, row: usize, column: usize) -> Rect {
        let (across, down) = (self.tile.width() * column as f64, self.tile.height() * row as f64);
        Rect::new(Point::new(self.origin.x + across, self.origin.y + down), self.tile.size())
    }
}

/// Whose tile a paper takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Tiles {
    /// The largest that the paper itself has.
    Own,
    /// One that all home papers have, upright and on their sides.
    Shared(Size, Size),
}

impl Tiles {
    /// The choice of a kit for one of its papers; wide papers never share.
    pub(super) fn of(kit: &Kit, setup: &PaperSetup) -> Self {
        let home = |setup: &&PaperSetup| setup.paper.press == Press::Home;
        if kit.sharing == Sharing::Own || !home(&setup) {
            return Self::Own;
        }
        let smallest = |lying: bool| {
            let frames = kit.papers.iter().filter(home).flat_map(|setup| frames(setup, Self::Own, Rect::default()));
            let sizes = frames.filter(|frame| frame.lying == lying).map(|frame| frame.tile.size());
            sizes.reduce(|a, b| Size::new(a.width.min(b.width), a.height.min(b.height))).unwrap_or_default()
        };
        Self::Shared(smallest(false), smallest(true))
    }
}

/// What grids are placed on.
#[derive(Clone, Copy)]
pub(super) struct Ground<'a> {
    pub(super) ink: &'a Ink,
    /// The box around all ink.
    pub(super) bounds: Rect,
    /// Flags, a size each: the pieces that its buyers need.
    pub(super) groups: &'a [Vec<bool>],
}

/// What the search found for tiles of one size.
#[derive(Clone, Debug)]
pub(super) struct Found {
    tile: Size,
    /// The best placements; none where other tiles take fewer sheets.
    places: Vec<Placement>,
}

/// What the search finds for the tiles that all home papers share, once for all of them; nothing if there are no two such papers.
pub(super) fn shared(kit: &Kit, ground: Ground) -> Vec<Found> {
    let free = kit.papers.iter().filter(|setup| setup.pin.is_none() && Tiles::of(kit, setup) != Tiles::Own);
    let setups: Vec<&PaperSetup> = free.collect();
    let first = setups.first().filter(|_| setups.len() > 1);
    first.map(|setup| found(&frames(setup, Tiles::of(kit, setup), ground.bounds), ground)).unwrap_or_default()
}

/// The grids that take the fewest sheets, best first by [`Cost`](super::search::Cost); among papers that lie differently the least
/// paper wins, then upright. `known` is what was found already.
pub(super) fn place(setup: &PaperSetup, tiles: Tiles, ground: Ground, known: &[Found]) -> Vec<Grid> {
    let frames = frames(setup, tiles, ground.bounds);
    let noise = Length::mm(NOISE_MM);
    let near = |a: Size, b: Size| a.width.within(b.width, noise) && a.height.within(b.height, noise);
    let same = |(frame, found): (&Frame, &Found)| near(frame.tile.size(), found.tile);
    let is_known = frames.len() == known.len() && frames.iter().zip(known).all(same);
    let sought = (!is_known).then(|| found(&frames, ground));
    let ways = frames.iter().zip(sought.as_deref().unwrap_or(known)).filter_map(|(frame, Found { places, .. })| {
        let (cost, area) = (places.first()?.cost, frame.sheet_size.width.to_mm() * frame.sheet_size.height.to_mm());
        Some(((area, cost), places.iter().map(|place| frame.grid(place.origin, ground.bounds)).collect()))
    });
    ways.reduce(|a, b| if b.0 < a.0 { b } else { a }).map(|way| way.1).unwrap_or_default()
}

/// How many sheets the best grids take.
pub(super) fn fewest(setup: &PaperSetup, tiles: Tiles, ground: Ground) -> Option<usize> {
    let ground = Ground { groups: &[], ..ground };
    searches(&frames(setup, tiles, ground.bounds), ground).iter().map(|search| search.sheets as usize).min()
}

/// What the search finds for each way that paper may lie.
fn found(frames: &[Frame], ground: Ground) -> Vec<Found> {
    let searches = searches(frames, ground);
    let fewest = searches.iter().map(|search| search.sheets).min();
    let of_frame = |(frame, search): (&Frame, &Search)| {
        let places = if Some(search.sheets) == fewest { search.best() } else { Vec::new() };
        Found { tile: frame.tile.size(), places }
    };
    frames.iter().zip(&searches).map(of_frame).collect()
}

/// A search for each way that paper may lie.
fn searches<'a>(frames: &[Frame], Ground { ink, bounds, groups }: Ground<'a>) -> Vec<Search<'a>> {
    frames.par_iter().map(|frame| Search::of(ink, bounds, frame.tile.size(), groups)).collect()
}

/// The grid that the manifest holds in place, moved by whole tiles if the ink begins elsewhere by now.
pub(super) fn pinned(setup: &PaperSetup, tiles: Tiles, bounds: Rect, pin: Pin) -> Option<Grid> {
    let frame = frames(setup, tiles, bounds).into_iter().find(|frame| frame.lying == pin.lying)?;
    let noise = Length::mm(NOISE_MM);
    let tiles = |tiles: f64| if pin.fixed { tiles.min(0.0) } else { tiles };
    let start = |pin: Length, ink: Length, tile: Length| pin + tile * tiles(((ink - pin + noise) / tile).floor());
    let x = start(pin.origin.x, bounds.min.x, frame.tile.width());
    let y = start(pin.origin.y, bounds.min.y, frame.tile.height());
    Some(frame.grid(Point::new(x, y), bounds))
}

/// A grid of so many tiles whose first one begins at the drawing's top left.
pub(super) fn bare(setup: &PaperSetup, tiles: Tiles, rows: usize, columns: usize) -> Option<Grid> {
    let lying = setup.pin.is_some_and(|pin| pin.lying);
    let frame = frames(setup, tiles, Rect::default()).into_iter().find(|frame| frame.lying == lying)?;
    Some(Grid { rows, columns, ..frame.grid(Point::default(), Rect::default()) })
}

/// Upright paper with its grid centred on the ink: what one would draw by hand.
pub(super) fn centred(setup: &PaperSetup, tiles: Tiles, bounds: Rect) -> Option<Grid> {
    let frame = frames(setup, tiles, bounds).into_iter().find(|frame| !frame.lying)?;
    let spare = |ink: Length, tile: Length| tile * count(ink, tile) as f64 - ink;
    let (x, y) = (spare(bounds.width(), frame.tile.width()), spare(bounds.height(), frame.tile.height()));
    Some(frame.grid(Point::new(bounds.min.x - x / 2.0, bounds.min.y - y / 2.0), bounds))
}

/// A way that paper may lie, before the grid has its place.
#[derive(Clone, Copy, Debug)]
struct Frame {
    sheet_size: Size,
    printable: Rect,
    tile: Rect,
    lying: bool,
}

impl Frame {
    /// As many tiles from an origin as reach the end of the ink.
    fn grid(self, origin: Point, bounds: Rect) -> Grid {
        let Self { sheet_size, printable, tile, lying } = self;
        let rows = count(bounds.max.y - origin.y, tile.height());
        let columns = count(bounds.max.x - origin.x, tile.width());
        Grid { sheet_size, printable, tile, lying, origin, rows, columns }
    }
}

/// The ways a paper may lie: upright or on its side; a roll with its length either way. None that leaves hardly a tile.
fn frames(setup: &PaperSetup, tiles: Tiles, ink: Rect) -> Vec<Frame> {
    let (upright, lying) = (setup.margins, on_its_side(setup.margins));
    let (upright_size, lying_size) = match setup.paper.format {
        Format::Sheet(size) => (size, size.turned()),
        Format::Roll(width) => {
            let long = |ink: Length, a: Length, b: Length| roll_length(ink, a + b + setup.border * 2.0, setup.longest);
            let along = long(ink.height(), upright.top, upright.bottom);
            (Size::new(width, along), Size::new(long(ink.width(), lying.left, lying.right), width))
        }
    };
    let ways = [(upright_size, upright, false), (lying_size, lying, true)];
    ways.into_iter().filter_map(|(size, margins, lying)| frame(size, margins, setup.border, tiles, lying)).collect()
}

/// The length of a roll in whole millimetres, rounded up; if it may not be that long, that of as few equal parts as will do.
///
/// `taken` is what margins and borders need of every part. Air is given as far as it costs no further part.
fn roll_length(ink: Length, taken: Length, longest: Length) -> Length {
    let room = Length::mm(longest.to_mm().floor()) - taken;
    let parts = ((ink + LEAST_AIR) / room).ceil().max(1.0);
    let part = (ink + ROLL_AIR).min(room * parts) / parts;
    Length::mm(((part + taken).to_mm() - NOISE_MM).ceil())
}

/// What the printer reaches of a sheet, and the tile on it; a shared tile lies in the middle of the paper's own.
fn frame(sheet_size: Size, margins: Margins, border: Length, tiles: Tiles, lying: bool) -> Option<Frame> {
    let printable = Rect::new(mm(0.0, 0.0), sheet_size).inset(margins);
    let own = printable.inset(Margins::even(border));
    let roomy = own.width() >= LEAST_TILE && own.height() >= LEAST_TILE;
    let tile = match (tiles, lying) {
        (Tiles::Own, _) => own,
        (Tiles::Shared(size, _), false) | (Tiles::Shared(_, size), true) => {
            let spare = ((own.width() - size.width) / 2.0, (own.height() - size.height) / 2.0);
            Rect::new(Point::new(own.min.x + spare.0, own.min.y + spare.1), size)
        }
    };
    roomy.then_some(Frame { sheet_size, printable, tile, lying })
}

/// Margins of paper that lies on its side; which way it was turned is unknown, so that opposite sides take the larger one.
fn on_its_side(m: Margins) -> Margins {
    let (ends, sides) = (m.top.max(m.bottom), m.left.max(m.right));
    Margins { top: sides, right: ends, bottom: sides, left: ends }
}

/// How many tiles cover a length; noise must not cost a sheet.
fn count(length: Length, tile: Length) -> usize {
    ((length - Length::mm(NOISE_MM)) / tile).ceil().max(1.0) as usize
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::tests::sample::home;

    #[test]
    fn a_roll_is_cut_into_as_few_equal_parts_as_will_do() {
        // Ink, what margins take of every part, the longest part; then the length of each.
        for (ink, taken, longest, length) in [
            (1500.4, 10.0, 5080.0, 1531.0),
            (1500.0, 10.0, 5080.0, 1530.0),
            (5000.4, 10.0, 3000.0, 2521.0),
            (2900.4, 10.0, 1000.5, 984.0),
            // Air is left out where it would cost another part.
            (1977.4, 10.0, 1000.0, 1000.0),
            (1985.4, 10.0, 1000.0, 679.0),
            (950.0, 16.0, 3000.0, 986.0),
        ] {
            let found = roll_length(Length::mm(ink), Length::mm(taken), Length::mm(longest));
            assert!(found.within(Length::mm(length), Length::mm(1e-9)), "{ink} {taken} {longest}: {found}");
        }
    }

    #[test]
    fn paper_lies_both_ways_if_it_leaves_a_tile() {
        let ways = |setup: &PaperSetup| {
            let mm = |size: Size| (size.width.to_mm().round(), size.height.to_mm().round());
            let frames = frames(setup, Tiles::Own, Rect::mm(0.0, 0.0, 500.0, 800.0));
            frames.iter().map(|frame| (frame.lying, mm(frame.sheet_size), mm(frame.tile.size()))).collect::<Vec<_>>()
        };
        // Margins of 1, 2, 3 and 4 mm (top, right, bottom, left) and a border of 5 mm; on its side the larger of each pair counts twice.
        let card = home(100.0, 120.0, [1.0, 2.0, 3.0, 4.0], 5.0);
        assert_eq!(ways(&card), [(false, (100.0, 120.0), (84.0, 106.0)), (true, (120.0, 100.0), (104.0, 82.0))]);
        // The least side of a tile is 20 mm.
        assert_eq!(ways(&home(20.0, 90.0, [0.0; 4], 0.0)).len(), 2);
        assert_eq!(
            ways(&home(36.0, 90.0, [1.0, 2.0, 3.0, 4.0], 5.0)).into_iter().map(|way| way.0).collect::<Vec<_>>(),
            [false]
        );
        assert!(ways(&home(19.9, 90.0, [0.0; 4], 0.0)).is_empty());
        let mut roll = home(0.0, 0.0, [1.0, 2.0, 3.0, 4.0], 5.0);
        roll.paper.format = Format::Roll(Length::mm(600.0));
        // Ink, 20 mm of air, margins along the roll and twice the border.
        assert_eq!(ways(&roll), [(false, (600.0, 834.0), (584.0, 820.0)), (true, (536.0, 600.0), (520.0, 582.0))]);
    }
}
