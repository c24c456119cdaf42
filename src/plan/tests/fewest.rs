//! The number of sheets against a slow count over all placements: every start in both directions, paper both ways.

use super::sample::{Drawn, Sample, cases, home, small_sample};
use super::shapes::Mark;
use crate::manifest::Format;
use crate::plan::ink::Ink;
use kurbo::{Point, Rect, Size, Vec2};
use proptest::prelude::*;
use std::collections::BTreeSet;

/// The least side of a tile that manifests take, in mm.
const LEAST_TILE: f64 = 20.0;

/// The tile of the sample's paper upright and on its side, where both margins of a pair are the larger one.
fn tiles(sample: &Sample) -> Vec<Size> {
    let Format::Sheet(paper) = sample.setup.paper.format else { panic!("samples are cut paper") };
    let (m, border) = (sample.setup.margins, 2.0 * sample.setup.border.to_mm());
    let (width, height) = (paper.width.to_mm() - border, paper.height.to_mm() - border);
    let (top, right, bottom, left) = (m.top.to_mm(), m.right.to_mm(), m.bottom.to_mm(), m.left.to_mm());
    let upright = Size::new(width - left - right, height - top - bottom);
    let lying = Size::new(height - 2.0 * top.max(bottom), width - 2.0 * left.max(right));
    let roomy = |tile: &Size| tile.width.min(tile.height) > LEAST_TILE - 1e-9;
    [upright, lying].into_iter().filter(roomy).collect()
}

fn bounds(drawn: &Drawn) -> Rect {
    drawn.clip.map_or(drawn.mark.bounds(), |clip| drawn.mark.bounds().intersect(clip))
}

/// Tiles of an endless grid that hold ink.
fn used(drawn: &[Drawn], origin: Point, tile: Size) -> usize {
    let cells = drawn.iter().flat_map(|drawn| {
        let (reach, index) = (bounds(drawn), |at: f64, from: f64, step: f64| ((at - from) / step).floor() as i32);
        let columns = index(reach.x0, origin.x, tile.width)..=index(reach.x1, origin.x, tile.width);
        let rows = index(reach.y0, origin.y, tile.height)..=index(reach.y1, origin.y, tile.height);
        let places = rows.flat_map(move |row| columns.clone().map(move |column| (row, column)));
        places.filter(move |&(row, column)| {
            let corner = origin + Vec2::new(f64::from(column) * tile.width, f64::from(row) * tile.height);
            drawn.surely_on(Rect::from_origin_size(corner, tile))
        })
    });
    cells.collect::<BTreeSet<(i32, i32)>>().len()
}

/// The fewest sheets over all placements a millimetre apart, the first on a whole hundredth of a millimetre.
fn fewest(sample: &Sample) -> usize {
    // Of a mark that leans, a clip may leave less than the box of both: where tiles may begin, the true box decides.
    let ink = Ink::of(&sample.drawing(Vec2::ZERO)).bounds().unwrap().to_kurbo_mm();
    // Ink that just fits a tile may begin on it at any fraction.
    let starts = |from: f64, to: f64, tile: f64| {
        let first = (from * 100.0 + 1e-4).floor() / 100.0;
        let fitting = (to - from < tile + 1e-6).then_some(from);
        (0..tile.ceil() as u32).map(move |step| first - f64::from(step)).chain(fitting)
    };
    let counts = tiles(sample).into_iter().flat_map(|tile| {
        let across = starts(ink.x0, ink.x1, tile.width);
        let places = starts(ink.y0, ink.y1, tile.height).flat_map(move |y| across.clone().map(move |x| Point::new(x, y)));
        places.map(move |origin| used(&sample.drawn, origin, tile))
    });
    counts.min().unwrap()
}

proptest! {
    #![proptest_config(cases(150))]

    #[test]
    fn no_placement_takes_fewer_sheets(sample in small_sample()) {
        prop_assert_eq!(sample.layout().sheets.len(), fewest(&sample));
    }
}

/// Blocks on whole millimetres, on paper of whole millimetres without margins.
fn whole_blocks() -> impl Strategy<Value = (Vec<[i32; 4]>, (i32, i32))> {
    (prop::collection::vec([0..180, 0..180, 1..60, 1..60], 1..6), (30..90, 30..90))
}

/// The sheets of blocks whose corners are moved first.
fn sheets_of(blocks: &[[i32; 4]], paper: (i32, i32), turn: impl Fn(Point) -> Point) -> usize {
    let block = |&[x, y, w, h]: &[i32; 4]| {
        let corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(|(x, y)| turn(Point::new(x.into(), y.into())));
        Drawn { mark: Mark::Block(corners.to_vec()), clip: None, layer: 0 }
    };
    let setup = home(paper.0.into(), paper.1.into(), [0.0; 4], 0.0);
    Sample { drawn: blocks.iter().map(block).collect(), sizes: 0, setup }.layout().sheets.len()
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn a_turned_drawing_takes_as_many_sheets((blocks, paper) in whole_blocks()) {
        let upright = sheets_of(&blocks, paper, |p| p);
        prop_assert_eq!(upright, sheets_of(&blocks, paper, |p| Point::new(-p.x, -p.y)));
        // Without margins paper on its side is the same paper turned.
        prop_assert_eq!(upright, sheets_of(&blocks, paper, |p| Point::new(-p.y, p.x)));
        prop_assert_eq!(upright, sheets_of(&blocks, paper, |p| Point::new(p.y, -p.x)));
    }
}

fn lone(mark: Mark, clip: Option<Rect>, setup: crate::manifest::PaperSetup) -> Sample {
    Sample { drawn: vec![Drawn { mark, clip, layer: 0 }], sizes: 0, setup }
}

fn rectangle(x: f64, y: f64, width: f64, height: f64) -> Mark {
    Mark::Block([(x, y), (x + width, y), (x + width, y + height), (x, y + height)].map(Point::from).to_vec())
}

#[test]
fn ink_that_fills_tiles_exactly_takes_no_sheet_more() {
    // Three by two tiles of 33.3 by 41.7 mm, at a place whose sums are not exact in binary.
    let sample = lone(rectangle(0.1, 0.7, 3.0 * 33.3, 2.0 * 41.7), None, home(33.3, 41.7, [0.0; 4], 0.0));
    let layout = sample.layout();
    assert_eq!((layout.rows, layout.columns, layout.sheets.len()), (2, 3, 6));
}

#[test]
fn margins_that_leave_no_tile_on_its_side_leave_the_paper_upright() {
    // 100 mm at the foot leave 25 of 130 mm; on its side, 100 mm at both ends leave less than nothing.
    let sample = lone(rectangle(0.0, 0.0, 150.0, 20.0), None, home(100.0, 130.0, [5.0, 5.0, 100.0, 5.0], 0.0));
    let layout = sample.layout();
    assert_eq!((layout.sheet_size.width.to_mm(), layout.sheets.len()), (100.0, 2));
}

#[test]
fn a_sliver_that_a_clip_leaves_of_a_fill_counts() {
    // 0.3 mm of a large fill reach into a second row whatever the placement: 40.3 mm do not fit 40 mm.
    let clip = Some(Rect::new(0.0, 0.0, 100.0, 40.3));
    let sample = lone(rectangle(-50.0, 0.0, 200.0, 200.0), clip, home(40.0, 40.0, [0.0; 4], 0.0));
    let layout = sample.layout();
    assert_eq!((layout.sheets.len(), fewest(&sample)), (6, 6));
}

#[test]
fn a_held_placement_without_room_for_a_tile_is_refused_by_name() {
    // 100 mm at the foot: on its side the paper of 100 by 130 mm would lose them at both ends.
    let mut setup = home(100.0, 130.0, [5.0, 5.0, 100.0, 5.0], 0.0);
    setup.pin = Some(crate::manifest::Pin { origin: crate::units::Point::default(), lying: true, fixed: false });
    let sample = lone(rectangle(0.0, 0.0, 50.0, 20.0), None, setup);
    let (layouts, findings) = crate::plan::layouts(&sample.kit(), &sample.drawing(Vec2::ZERO));
    assert!(layouts.is_empty());
    assert_eq!(findings.iter().map(|finding| finding.code).collect::<Vec<_>>(), ["placement-no-tile"]);
}

#[test]
fn a_round_clip_leaves_the_corners_of_its_box_dry() {
    let sample = lone(rectangle(0.0, 0.0, 200.0, 200.0), None, home(25.0, 25.0, [0.0; 4], 0.0));
    let mut drawing = sample.drawing(Vec2::ZERO);
    let path = kurbo::Shape::to_path(&kurbo::Circle::new((100.0, 100.0), 100.0), 1e-4);
    drawing.pieces[0].items[0].clips = vec![std::sync::Arc::new(crate::drawing::Clip { path, even_odd: false })];
    let (layouts, _) = crate::plan::layouts(&sample.kit(), &drawing);
    // 8 by 8 tiles; of those at the corners the nearest point is 106 mm from the middle of the disc of 100 mm.
    assert_eq!((sample.layout().sheets.len(), layouts[0].sheets.len()), (64, 60));
}
