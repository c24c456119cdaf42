//! What a plan adds to its tiles, on sheets so few and ink so plain that every place is known beforehand.

use super::sample::{Drawn, Sample, home};
use super::shapes::Mark;
use crate::drawing::{Drawing, Fill, Shape};
use crate::manifest::{Blank, Kit, Pin, Press, Sharing};
use crate::plan::{Layout, Plate, PlateForm, bare_sheets, blank_layouts, covered_layouts, layouts};
use crate::units::{Length, Point};
use kurbo::Vec2;

fn block(x: f64, y: f64, width: f64, height: f64) -> Drawn {
    let corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)].map(kurbo::Point::from);
    Drawn { mark: Mark::Block(corners.to_vec()), clip: None, layer: 0 }
}

/// Paper without margins, so that the tile is the sheet.
fn sample(width: f64, height: f64, drawn: Vec<Drawn>) -> Sample {
    Sample { drawn, sizes: 0, setup: home(width, height, [0.0; 4], 0.0) }
}

/// The same, with tile A1 held at the drawing's corner.
fn held(width: f64, height: f64, drawn: Vec<Drawn>) -> Sample {
    let mut sample = sample(width, height, drawn);
    sample.setup.pin = Some(Pin { origin: Point::default(), lying: false, fixed: false });
    sample
}

fn blank(width: f64, height: f64, rows: usize, columns: usize) -> Layout {
    let sample = sample(width, height, Vec::new());
    blank_layouts(&sample.kit(), &sample.drawing(Vec2::ZERO), Blank { rows, columns }).remove(0)
}

fn mm(at: Point) -> (f64, f64) {
    (at.x.to_mm(), at.y.to_mm())
}

/// The layout with the codes of what is said about it.
fn told(kit: &Kit, drawing: &Drawing) -> (Vec<Layout>, Vec<&'static str>) {
    let (layouts, findings) = layouts(kit, drawing);
    (layouts, findings.iter().map(|finding| finding.code).collect())
}

#[test]
fn blank_sheets_are_all_tiles_of_the_grid() {
    let layout = blank(90.0, 110.0, 2, 3);
    let sheets: Vec<_> = layout.sheets.iter().map(|sheet| (sheet.label.as_str(), mm(sheet.area.min))).collect();
    let expected = [
        ("A1", (0.0, 0.0)),
        ("A2", (90.0, 0.0)),
        ("A3", (180.0, 0.0)),
        ("B1", (0.0, 110.0)),
        ("B2", (90.0, 110.0)),
        ("B3", (180.0, 110.0)),
    ];
    assert_eq!(sheets, expected);
    assert_eq!((layout.facts.centred_sheets, layout.facts.budget.joins, layout.facts.blocks.len()), (6, 3, 1));
    assert_eq!(layout.sizes[0].sheets, [0, 1, 2, 3, 4, 5]);
    // One length across all columns and one down all rows: so many tiles, less the one that the second cross lies in.
    let checks: Vec<_> =
        layout.facts.long_checks.iter().map(|check| (check.first, check.second, check.length().to_mm())).collect();
    assert_eq!(checks, [(0, 2, 180.0), (0, 3, 110.0)]);
    let (level, upright) = (layout.facts.long_checks[0], layout.facts.long_checks[1]);
    assert!(level.from.y == level.to.y && upright.from.x == upright.to.x && level.from != upright.from);
    // Each cross lies with its words on the sheet that it is for.
    for (sheet, cross) in [level, upright].iter().flat_map(|check| [(check.first, check.from), (check.second, check.to)]) {
        let at = cross.to_kurbo_mm();
        assert!(super::area(&layout, sheet).inflate(-4.0, -4.0).contains(at), "{at} on sheet {sheet}");
    }
    assert!(blank(90.0, 110.0, 1, 1).facts.long_checks.is_empty());
}

#[test]
fn an_edge_has_a_mark_in_its_middle_or_two_in_its_halves() {
    // Marks keep 10 mm from the ends of a join, and where 120 mm are left there are two.
    for (width, height, along) in [(90.0, 110.0, vec![55.0]), (90.0, 140.0, vec![70.0]), (90.0, 141.0, vec![37.5, 103.5])] {
        let layout = blank(width, height, 1, 2);
        let marks: Vec<_> = layout.joins[0].marks.iter().map(|mark| mm(mark.at)).collect();
        assert_eq!(marks.len(), along.len(), "{height}");
        for ((x, y), along) in marks.into_iter().zip(along) {
            assert!((x - width).abs() < 1e-9 && (y - along).abs() <= 0.51, "{height}: a mark at {y} for {along}");
        }
        let turned = blank(height, width, 2, 1);
        let places = |layout: &Layout| layout.joins[0].marks.iter().map(|mark| mm(mark.at)).collect::<Vec<_>>();
        assert_eq!(places(&turned), places(&layout).into_iter().map(|(x, y)| (y, x)).collect::<Vec<_>>());
    }
}

#[test]
fn a_mark_gives_way_to_ink_no_further_than_it_must() {
    // A band of 20 mm across the join; a mark reaches 5.5 mm along it, and stands at steps of half a millimetre.
    let drawn = vec![block(0.0, 0.0, 5.0, 5.0), block(60.0, 45.0, 60.0, 20.0), block(175.0, 105.0, 5.0, 5.0)];
    let layout = held(90.0, 110.0, drawn).layout();
    let mark = layout.joins[0].marks[0];
    let away = (mm(mark.at).1 - 55.0).abs();
    assert!(!mark.over_ink && mark.scale == 1.0 && (15.5..=16.0).contains(&away), "{mark:?}");
    // Between bands 8 mm apart only a smaller one has room.
    let bands = [0.0, 28.0, 56.0, 84.0].map(|y| block(60.0, y, 60.0, 20.0));
    let layout = held(90.0, 110.0, [bands.to_vec(), vec![block(0.0, 0.0, 5.0, 110.0)]].concat()).layout();
    let mark = layout.joins[0].marks[0];
    assert!(!mark.over_ink && mark.scale < 1.0, "{mark:?}");
}

#[test]
fn sheets_with_next_to_no_ink_and_placements_that_cost_sheets_are_told() {
    for (width, codes) in [(90.15, vec!["sheet-sliver", "placement-stale"]), (90.25, vec!["placement-stale"])] {
        let sample = held(90.0, 110.0, vec![block(0.0, 0.0, width, 40.0)]);
        let (layouts, found) = told(&sample.kit(), &sample.drawing(Vec2::ZERO));
        assert_eq!((layouts[0].sheets.len(), found), (2, codes), "{width}");
        // On its side, 110 mm wide, the paper takes all of it.
        assert_eq!((layouts[0].facts.unpinned_sheets, layouts[0].facts.slivers.len()), (Some(1), usize::from(width < 90.2)));
    }
    let fits = held(90.0, 110.0, vec![block(0.0, 0.0, 89.0, 40.0)]);
    assert_eq!(told(&fits.kit(), &fits.drawing(Vec2::ZERO)).1, Vec::<&str>::new());
}

#[test]
fn a_held_grid_moves_by_whole_tiles_unless_its_first_tile_is_fixed() {
    let begins = |x: f64, y: f64, fixed: bool| {
        let mut sample = held(90.0, 110.0, vec![block(x, y, 40.0, 40.0)]);
        sample.setup.pin = Some(Pin { origin: Point::new(Length::mm(10.0), Length::mm(20.0)), lying: false, fixed });
        let layout = sample.layout();
        (mm(layout.origin), layout.sheets[0].label.clone(), layout.rows, layout.columns)
    };
    assert_eq!(begins(15.0, 25.0, false), ((10.0, 20.0), "A1".into(), 1, 1));
    assert_eq!(begins(205.0, 135.0, false), ((190.0, 130.0), "A1".into(), 1, 1));
    assert_eq!(begins(205.0, 135.0, true), ((10.0, 20.0), "B3".into(), 2, 3));
    // To the left and above there is no tile yet, fixed or not.
    for fixed in [false, true] {
        assert_eq!(begins(-75.0, -85.0, fixed), ((-80.0, -90.0), "A1".into(), 1, 1));
    }
}

#[test]
fn sheets_without_ink_of_another_drawing_are_named() {
    let other = sample(90.0, 110.0, vec![block(95.0, 5.0, 30.0, 30.0)]).drawing(Vec2::ZERO);
    assert_eq!(bare_sheets(&blank(90.0, 110.0, 1, 3), &other), [0, 2]);
}

#[test]
fn papers_that_share_a_tile_take_the_smaller_of_each_side() {
    let one = sample(90.0, 110.0, vec![block(0.0, 0.0, 170.0, 60.0)]);
    let second = home(100.0, 95.0, [3.0; 4], 0.0);
    let mut wide = home(300.0, 310.0, [0.0; 4], 0.0);
    wide.paper.press = Press::Wide;
    let kit = |sharing| Kit { papers: vec![one.setup.clone(), second.clone(), wide.clone()], sharing, ..one.kit() };
    let tiles = |sharing| {
        let (layouts, _) = layouts(&kit(sharing), &one.drawing(Vec2::ZERO));
        layouts
            .iter()
            .map(|layout| (layout.tile.width().to_mm().round(), layout.tile.height().to_mm().round()))
            .collect::<Vec<_>>()
    };
    // Upright 90 × 110 and 94 × 89; on its side 110 × 90 and 89 × 94. Paper on its side takes 170 mm in two.
    assert_eq!(tiles(Sharing::Own)[2], (300.0, 310.0));
    let shared = tiles(Sharing::Shared);
    assert_eq!(shared[0], shared[1]);
    assert!(shared[0] == (90.0, 89.0) || shared[0] == (89.0, 90.0), "{shared:?}");
    assert_eq!(shared[2], (300.0, 310.0));
    let (layouts, _) = layouts(&kit(Sharing::Shared), &one.drawing(Vec2::ZERO));
    assert_eq!(layouts.iter().map(|layout| layout.facts.own_sheets).collect::<Vec<_>>(), [Some(2), Some(2), None]);
    // A shared tile lies in the middle of the paper's own.
    let (tile, printable) = (layouts[1].tile.to_kurbo_mm(), layouts[1].printable.to_kurbo_mm());
    assert!(tile.center().distance(printable.center()) < 1e-9);
}

#[test]
fn wide_sheets_have_a_legend_of_their_sizes_in_the_clear() {
    let legends = |sizes: usize, drawn: Vec<Drawn>| {
        let mut sample = Sample { sizes, ..sample(300.0, 310.0, drawn) };
        sample.setup.paper.press = Press::Wide;
        let layout = sample.layout();
        let areas = layout.facts.legends.iter().map(|legend| (legend.area.to_kurbo_mm(), legend.over_ink)).collect::<Vec<_>>();
        (areas, layout.sheets[0].plate.area.to_kurbo_mm())
    };
    assert!(legends(0, vec![block(0.0, 0.0, 290.0, 20.0)]).0.is_empty());
    // Up to ten lines below each other, more in two columns.
    for (sizes, rows) in [(3, 3.0), (10, 10.0), (11, 6.0), (12, 6.0)] {
        let (areas, plate) = legends(sizes, vec![block(0.0, 0.0, 290.0, 20.0)]);
        let (area, over_ink) = areas[0];
        assert!((area.width() - 54.0).abs() < 1e-9 && (area.height() - 10.0 - 4.8 * rows).abs() < 1e-9, "{sizes}: {area}");
        // As near to the bottom left corner as the plate lets it be: 4 mm from the edge, and 4 mm of air, to a cell of 1 mm.
        assert!(!over_ink && (8.0..=9.0).contains(&area.x0), "{area}");
        assert!((4.0..=5.0).contains(&(plate.y0 - area.y1)), "{area} above {plate}");
    }
    assert!(legends(3, vec![block(0.0, 0.0, 299.0, 309.0)]).0[0].1, "there is ink everywhere");
}

#[test]
fn a_plate_takes_the_largest_form_that_is_free_and_without_one_says_how_much_is() {
    // Ink leaves a free corner at the bottom left, of which 4 mm at the tile's edges do not count.
    let with_room = |width: f64, height: f64| {
        let drawn = vec![block(width, 150.0 - height, 150.0 - width, height), block(0.0, 0.0, 150.0, 150.0 - height)];
        held(150.0, 150.0, drawn).layout().sheets[0].plate
    };
    for (width, height, form) in [
        (121.0, 52.0, PlateForm::Full),
        (114.0, 44.0, PlateForm::Full),
        (111.0, 44.0, PlateForm::Half),
        (64.0, 44.0, PlateForm::Half),
        (64.0, 41.0, PlateForm::Small),
        (60.0, 24.0, PlateForm::Narrow),
    ] {
        let plate = with_room(width, height);
        assert_eq!((plate.form, plate.over_ink), (form, false), "{width} {height}");
    }
    for (width, height) in [(50.0, 20.0), (40.0, 90.0)] {
        let Plate { over_ink, largest_free, .. } = with_room(width, height);
        let free = (largest_free.width.to_mm(), largest_free.height.to_mm());
        let is_it = (free.0 - width + 4.0).abs() <= 1.0 && (free.1 - height + 4.0).abs() <= 1.0;
        assert!(over_ink && is_it, "{width} {height}: {free:?}");
    }
}

#[test]
fn of_placements_with_as_few_sheets_the_one_that_cuts_least_is_taken() {
    // Two sheets side by side, and 10 mm to spare on either side of the join.
    let long = || block(0.0, 0.0, 160.0, 20.0);
    let join = |drawn: Vec<Drawn>| {
        let layout = sample(90.0, 110.0, drawn).layout();
        assert_eq!(layout.sheets.len(), 2);
        layout.sheets[1].area.min.x.to_mm()
    };
    // Nothing to avoid: the ink lies in the middle.
    assert!((join(vec![long()]) - 80.0).abs() <= 0.5, "{}", join(vec![long()]));
    // Letters of 6 mm in the middle, a notch beside them: the join passes between or beside.
    let letters = [77.0, 84.0].map(|x| block(x, 40.0, 6.0, 6.0));
    let beside = join([vec![long()], letters.to_vec()].concat());
    assert!((83.0..=84.0).contains(&beside) || beside <= 77.0 || beside >= 90.0, "{beside}");
    assert!((beside - 80.0).abs() <= 4.0, "no further off the middle than it must: {beside}");
    // The grid centred on the ink is told to compare with: three blocks far apart fit two tiles that begin with the first.
    let centred = |width: f64| held(90.0, 110.0, vec![block(0.0, 0.0, width, 20.0)]).layout().facts.centred_sheets;
    assert_eq!([centred(89.0), centred(91.0), centred(180.0), centred(181.0)], [1, 2, 2, 3]);
}

#[test]
fn a_drawn_layout_tells_what_joining_it_takes() {
    // Three sheets across and two down, each with a block in its middle: the first size on the left, the second on the right.
    let size =
        |layer: usize, column: f64, row: f64| Drawn { layer, ..block(90.0 * column + 40.0, 110.0 * row + 50.0, 10.0, 10.0) };
    let corner = |x: f64, y: f64| Drawn { layer: 1, ..block(x, y, 1.0, 1.0) };
    let drawn =
        vec![corner(0.0, 0.0), size(1, 0.0, 1.0), size(1, 1.0, 0.0), size(2, 1.0, 1.0), size(2, 2.0, 0.0), size(2, 2.0, 1.0)];
    let sample = Sample { sizes: 2, ..held(90.0, 110.0, drawn) };
    let layout = covered_layouts(&sample.kit(), &sample.drawing(Vec2::ZERO)).0.remove(0);
    assert_eq!((layout.rows, layout.columns, layout.sheets.len(), layout.joins.len()), (2, 3, 6, 7));
    assert_eq!((layout.facts.budget.joins, layout.facts.blocks.first()), (3, Some(&(0..3))));
    assert!((layout.facts.budget.worst.to_mm() - 0.9).abs() < 1e-9, "three joins of 0.3 mm");
    let lengths: Vec<f64> = layout.facts.long_checks.iter().map(|check| check.length().to_mm()).collect();
    assert_eq!(lengths, [180.0, 110.0]);
    assert_eq!(layout.sizes.iter().map(|size| size.sheets.clone()).collect::<Vec<_>>(), [vec![0, 1, 3], vec![2, 4, 5]]);
    let of_sheets: Vec<_> = layout.sheets.iter().map(|sheet| (sheet.pieces.clone(), sheet.sizes.clone())).collect();
    let expected = [(0, 0), (2, 0), (4, 1), (1, 0), (3, 1), (5, 1)].map(|(piece, size)| (vec![piece], vec![size]));
    assert_eq!(of_sheets, expected);
    // Of a sheet's 9900 mm² the blocks cover 1, or 100.
    assert_eq!(layout.facts.coverage.len(), 6);
    for (found, mm2) in layout.facts.coverage.iter().zip([1.0, 100.0, 100.0, 100.0, 100.0, 100.0]) {
        assert!((found * 9900.0 - mm2).abs() <= mm2 * 0.02, "{found}");
    }
}

#[test]
fn a_tile_in_a_hole_takes_no_sheet() {
    // A frame of 300 mm around a hole of 220 mm, both drawn the same way round (SVG 2, "fill-rule").
    let sheets = |even_odd: bool| {
        let sample = held(100.0, 100.0, vec![block(0.0, 0.0, 300.0, 300.0)]);
        let mut drawing = sample.drawing(Vec2::ZERO);
        if let Shape::Path(shape) = &mut drawing.pieces[0].items[0].shape {
            shape.path.extend(kurbo::BezPath::from_svg("M40 40H260V260H40Z").unwrap());
            shape.fill = shape.fill.map(|fill| Fill { even_odd, ..fill });
        }
        let layout = layouts(&sample.kit(), &drawing).0.remove(0);
        (layout.sheets.len(), layout.facts.unpinned_sheets)
    };
    assert_eq!((sheets(true), sheets(false)), ((8, Some(8)), (9, Some(9))));
}
