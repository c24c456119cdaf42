//! The library's answers beside the published figures of the data.
//!
//! Source of every figure: the summary that the extraction program printed with the data (see README.md). That program is
//! in another language and shares no code with the library.

use kitwright::manifest::{Format, Paper};
use kitwright::printers::{Printers, Ratio, Share, Side};
use kitwright::units::{Length, Margins, Rect, Size};

/// All, own, home.
fn views(share: Share) -> [Ratio; 3] {
    [share.all, share.own, share.home]
}

fn shown(share: Share) -> [String; 3] {
    views(share).map(|ratio| format!("{:.2}", 100.0 * ratio.fraction()))
}

fn sheet(paper: &str) -> Size {
    match Paper::known(paper).unwrap().format {
        Format::Sheet(size) => size,
        Format::Roll(_) => panic!("{paper} is cut paper"),
    }
}

fn centred(paper: &str, width: f64, height: f64) -> Margins {
    let (sheet, size) = (sheet(paper), Size::mm(width, height));
    let (side, end) = ((sheet.width - size.width) / 2.0, (sheet.height - size.height) / 2.0);
    Margins { top: end, right: side, bottom: end, left: side }
}

fn mm(margins: Margins) -> [String; 4] {
    [margins.left, margins.right, margins.bottom, margins.top].map(|side| format!("{:.2}", side.to_mm()))
}

#[test]
fn as_many_descriptions_know_each_paper() {
    let counts = [
        ("a4", [7790, 5775, 1724]),
        ("letter", [7603, 5588, 1540]),
        ("a3", [5021, 3074, 260]),
        ("tabloid", [4802, 2921, 117]),
        ("legal", [7504, 5495, 1461]),
    ];
    for (paper, expected) in counts {
        let share = Printers::known().share(paper, Margins::default()).unwrap();
        assert_eq!(views(share).map(|ratio| ratio.of), expected, "{paper}");
    }
}

/// Paper, view (0 all, 1 own, 2 home), side, and the margin that 50, 90, 95, 99 and 100 % of the descriptions reach, in mm.
const PERCENTILES: [(&str, usize, Side, [f64; 5]); 18] = [
    ("a4", 0, Side::Left, [4.23, 6.35, 6.35, 6.35, 17.99]),
    ("a4", 0, Side::Bottom, [4.23, 12.70, 12.70, 14.48, 27.16]),
    ("a4", 0, Side::Top, [4.23, 12.70, 12.70, 12.70, 27.16]),
    ("a4", 1, Side::Left, [4.23, 6.35, 6.35, 6.35, 17.99]),
    ("a4", 1, Side::Bottom, [4.23, 5.08, 12.70, 16.93, 27.16]),
    ("a4", 1, Side::Right, [4.23, 6.35, 6.35, 6.35, 17.99]),
    ("a4", 1, Side::Top, [4.23, 5.08, 5.08, 5.64, 27.16]),
    ("a4", 2, Side::Left, [3.17, 6.35, 6.35, 6.35, 6.35]),
    ("a4", 2, Side::Bottom, [3.17, 12.70, 14.11, 17.02, 17.02]),
    ("a4", 2, Side::Top, [3.17, 5.08, 5.29, 5.64, 14.48]),
    ("letter", 2, Side::Left, [3.17, 6.35, 6.35, 6.35, 12.70]),
    ("letter", 2, Side::Bottom, [4.00, 12.70, 14.11, 17.02, 17.02]),
    ("letter", 2, Side::Top, [3.17, 5.08, 5.29, 5.64, 12.70]),
    ("a3", 1, Side::Bottom, [4.23, 5.08, 5.29, 14.11, 27.16]),
    ("a3", 2, Side::Top, [4.23, 5.29, 5.29, 16.00, 20.02]),
    ("tabloid", 0, Side::Right, [5.35, 6.35, 6.35, 6.35, 17.99]),
    ("legal", 1, Side::Right, [4.23, 6.35, 6.35, 6.35, 8.47]),
    ("legal", 2, Side::Bottom, [4.00, 12.70, 14.48, 17.02, 17.02]),
];

#[test]
fn the_percentiles_of_each_side_are_those_of_the_summary() {
    for (paper, view, side, expected) in PERCENTILES {
        for (percent, margin) in [50, 90, 95, 99, 100].into_iter().zip(expected) {
            let ratio = |margin: f64| views(Printers::known().share(paper, only(side, margin)).unwrap())[view];
            let want = (ratio(0.0).of * percent).div_ceil(100);
            assert!(ratio(margin).reached >= want, "{paper} {side:?} {percent} % within {margin} mm");
            // 0.02 mm less is the next smaller margin that the slack of 0.01 mm does not level.
            assert!(ratio(margin - 0.02).reached < want, "{paper} {side:?} {percent} % not within less than {margin} mm");
        }
    }
}

/// Margins that only one side can fail.
fn only(side: Side, margin: f64) -> Margins {
    let mut margins = Margins::even(Length::mm(1000.0));
    *match side {
        Side::Top => &mut margins.top,
        Side::Right => &mut margins.right,
        Side::Bottom => &mut margins.bottom,
        Side::Left => &mut margins.left,
    } = Length::mm(margin);
    margins
}

#[test]
fn shares_of_centred_rectangles_are_those_of_the_summary() {
    let rectangles = [
        ("a4", 204.0, 292.0, ["0.42", "0.57", "1.39"]),
        ("a4", 190.0, 277.0, ["69.64", "93.94", "83.00"]),
        ("a4", 197.0, 262.0, ["99.94", "99.91", "100.00"]),
        ("a4", 180.0, 267.0, ["99.05", "98.72", "96.52"]),
        ("a4", 174.0, 262.0, ["99.97", "99.97", "100.00"]),
        ("letter", 203.0, 245.0, ["99.86", "99.80", "99.74"]),
        ("letter", 198.0, 245.0, ["99.92", "99.89", "99.74"]),
        ("letter", 190.0, 254.0, ["98.22", "97.58", "92.60"]),
        ("a3", 270.0, 390.0, ["99.82", "99.71", "98.08"]),
        ("tabloid", 262.0, 400.0, ["99.90", "99.83", "97.44"]),
        ("legal", 198.0, 321.0, ["100.00", "100.00", "100.00"]),
    ];
    for (paper, width, height, expected) in rectangles {
        let margins = centred(paper, width, height);
        let rect = Rect::new(kitwright::units::Point::new(margins.left, margins.top), Size::mm(width, height));
        let share = Printers::known().share_of_rect(paper, sheet(paper), rect).unwrap();
        assert_eq!(shown(share), expected, "{paper} {width} × {height}");
        assert_eq!(Printers::known().share(paper, margins), Some(share), "{paper} {width} × {height}");
    }
}

#[test]
fn shares_on_a4_and_letter_at_once_are_those_of_the_summary() {
    let rectangles = [
        (174.0, 244.0, ["99.97", "99.96", "100.00"]),
        (174.0, 262.0, ["68.85", "93.74", "80.73"]),
        (180.0, 250.0, ["99.02", "98.67", "96.07"]),
        (190.0, 245.0, ["99.97", "99.96", "100.00"]),
        (190.0, 250.0, ["99.02", "98.67", "96.07"]),
        (190.0, 254.0, ["98.22", "97.58", "92.53"]),
        (195.0, 250.0, ["98.96", "98.58", "95.81"]),
        (197.0, 250.0, ["98.96", "98.58", "95.81"]),
        (197.0, 254.0, ["98.16", "97.49", "92.27"]),
    ];
    for (width, height, expected) in rectangles {
        let sheets = ["a4", "letter"].map(|paper| (paper, centred(paper, width, height)));
        let share = Printers::known().share_together(&sheets).unwrap();
        assert_eq!(views(share).map(|ratio| ratio.of), [7589, 5574, 1526]);
        assert_eq!(shown(share), expected, "{width} × {height}");
    }
}

#[test]
fn margins_for_a_share_are_those_of_the_summary() {
    // Paper, part of the home printers, sides, bottom and top, in mm.
    let rows = [
        ("a4", 0.90, ["6.35", "6.35", "12.70", "5.47"]),
        ("a4", 0.95, ["6.35", "6.35", "14.11", "5.64"]),
        ("a4", 0.99, ["6.35", "6.35", "17.02", "5.64"]),
        ("letter", 0.90, ["6.35", "6.35", "12.70", "5.47"]),
        ("letter", 0.95, ["6.35", "6.35", "14.48", "5.64"]),
        ("letter", 0.99, ["6.35", "6.35", "17.02", "5.64"]),
        ("a3", 0.95, ["6.35", "6.35", "14.11", "5.29"]),
        ("a3", 0.99, ["6.35", "6.35", "16.00", "16.00"]),
        ("tabloid", 0.99, ["6.35", "6.35", "16.00", "16.00"]),
        ("legal", 0.99, ["6.35", "6.35", "17.02", "5.64"]),
    ];
    for (paper, share, expected) in rows {
        let margins = Printers::known().margins_for(paper, share).unwrap();
        assert_eq!(mm(margins), expected, "{paper} {share}");
        assert!(Printers::known().share(paper, margins).unwrap().home.fraction() >= share);
    }
}

#[test]
fn the_tile_for_the_whole_world_is_that_of_the_summary() {
    // The summary went over widths at steps of 0.2 mm, and so found 197.2 mm where 197.3 = 210 − 2 × 6.35 is exact; it
    // rounds heights to 0.1 mm. Its feet: 14.5 and 17 mm up on Letter, 18.9 and 20.1 mm on A4.
    for (share, height, on_letter, on_a4) in [(0.95, 259.3, 14.5, 18.9), (0.99, 256.7, 17.0, 20.1)] {
        let tile = Printers::known().shared_tile(&["a4", "letter"], share).unwrap();
        let near = |length: Length, figure: f64, slack: f64| (length.to_mm() - figure).abs() <= slack + 1e-9;
        assert!(near(tile.size.width, 197.3, 0.0), "{tile:?}");
        assert!(near(tile.size.height, height, 0.05), "{tile:?}");
        assert!(near(tile.margins[0].bottom, on_a4, 0.05), "{tile:?}");
        assert!(near(tile.margins[1].bottom, on_letter, 0.05), "{tile:?}");
        assert!(tile.share.home.fraction() >= share);
        assert_eq!(tile.share.home.of, 1526);
    }
}

#[test]
fn two_descriptions_need_more_than_all_the_others_on_a4() {
    // Without them A4's largest margins are 8.47 mm at the sides, 17.02 mm at the foot and 14.48 mm at the head.
    let side = Length::mm(8.47);
    let margins = Margins { top: Length::mm(14.48), right: side, bottom: Length::mm(17.02), left: side };
    let share = Printers::known().share("a4", margins).unwrap();
    assert_eq!((share.all.of - share.all.reached, share.home.is_all()), (2, true));
    let binding = Printers::known().binding("a4", margins);
    assert!(binding.iter().all(|binding| (1..=2).contains(&binding.failing.all)), "{binding:?}");
    assert!(binding.iter().any(|binding| binding.side == Side::Bottom));
}
