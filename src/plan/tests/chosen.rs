//! What a layout tells of itself, and what is left of it for some sizes or sheets, on a row of three sheets written by hand.

use super::sample::home;
use crate::manifest::Press;
use crate::plan::layout::{Facts, Join, Layout, Legend, LongCheck, Plate, PlateForm, Sheet, SizeSheets};
use crate::printers::Side;
use crate::units::{Length, Margins, Point, Rect, Size};

/// Sheets A1 to A3 of 100 × 120 mm, each with a tile of 70 × 80 mm whose distances from the sides all differ: 10 mm from the left,
/// 15 from the top, 20 from the right and 25 from the foot.
fn row() -> Layout {
    let legend = |sheet: f64| Legend { area: Rect::mm(sheet, 0.0, 1.0, 1.0), over_ink: false };
    let check = |first, second| LongCheck { first, second, from: at(5.0, 7.0), to: at(105.0, 7.0) };
    Layout {
        setup: home(100.0, 120.0, [1.0; 4], 0.0),
        sheet_size: Size::mm(100.0, 120.0),
        printable: Rect::mm(1.0, 1.0, 98.0, 118.0),
        tile: Rect::mm(10.0, 15.0, 70.0, 80.0),
        origin: Point::default(),
        rows: 1,
        columns: 3,
        sheets: (0..3).map(sheet).collect(),
        joins: [(1, 0, 1), (2, 1, 2)].map(|(number, first, second)| join(number, first, second)).into(),
        sizes: [("s", vec![0, 1]), ("m", vec![1]), ("l", vec![1, 2])]
            .map(|(name, sheets)| SizeSheets { name: name.into(), sheets })
            .into(),
        facts: Facts {
            slivers: vec![0, 2],
            long_checks: vec![check(0, 1), check(1, 2)],
            coverage: vec![0.1, 0.5, 0.3],
            legends: [0.0, 1.0, 2.0].map(legend).into(),
            ..Facts::default()
        },
    }
}

fn at(x: f64, y: f64) -> Point {
    Point::new(Length::mm(x), Length::mm(y))
}

/// All pieces and sizes of the kit but the sheet's own number.
fn sheet(column: usize) -> Sheet {
    let others: Vec<usize> = (0..3).filter(|other| *other != column).collect();
    let plate = Plate { area: Rect::default(), form: PlateForm::Full, over_ink: false, largest_free: Size::default() };
    let area = Rect::mm(70.0 * column as f64, 0.0, 70.0, 80.0);
    Sheet { row: 0, column, label: format!("A{}", column + 1), area, pieces: others.clone(), sizes: others, plate }
}

fn join(number: usize, first: usize, second: usize) -> Join {
    Join { number, first, second, level: false, marks: Vec::new() }
}

fn labels(layout: &Layout) -> Vec<&str> {
    layout.sheets.iter().map(|sheet| sheet.label.as_str()).collect()
}

#[test]
fn some_sheets_keep_what_belongs_to_them_by_their_new_numbers() {
    let some = row().for_sheets(&[1, 2]);
    assert_eq!(labels(&some), ["A2", "A3"]);
    // The join and the long check that lead to A1 are gone with it.
    assert_eq!(some.joins, [join(2, 0, 1)]);
    assert_eq!(some.facts.long_checks.iter().map(|check| (check.first, check.second)).collect::<Vec<_>>(), [(0, 1)]);
    assert_eq!((some.facts.slivers, some.facts.coverage), (vec![1], vec![0.5, 0.3]));
    assert_eq!(
        some.facts.legends.iter().map(|legend| legend.area.min.x).collect::<Vec<_>>(),
        [Length::mm(1.0), Length::mm(2.0)]
    );
    assert_eq!(some.sizes.iter().map(|size| size.sheets.clone()).collect::<Vec<_>>(), [vec![0], vec![0], vec![0, 1]]);
    assert_eq!((some.columns, some.tile), (3, row().tile));
}

#[test]
fn some_sizes_keep_their_sheets_pieces_and_names() {
    assert_eq!(row().sheets_for(&[2, 1]), [1, 2]);
    let some = row().for_sizes(&[2, 1], &[0, 2]);
    assert_eq!(labels(&some), ["A2", "A3"]);
    assert_eq!(some.sizes.iter().map(|size| size.name.as_str()).collect::<Vec<_>>(), ["l", "m"]);
    // A2 has pieces and sizes 0 and 2, A3 has 0 and 1: of the kept pieces 0 and 2, and of the sizes 2 and 1.
    assert_eq!(some.sheets.iter().map(|sheet| sheet.pieces.clone()).collect::<Vec<_>>(), [vec![0, 1], vec![0]]);
    assert_eq!(some.sheets.iter().map(|sheet| sheet.sizes.clone()).collect::<Vec<_>>(), [vec![0], vec![1]]);
    assert_eq!(labels(&row().for_sizes(&[], &[])), ["A1", "A2", "A3"]);
}

#[test]
fn a_home_file_opens_with_the_check_page() {
    let mut layout = row();
    let large = layout.sizes[2].clone();
    assert_eq!((layout.page_of(0), layout.pages_of(&large)), (2, vec![3, 4]));
    layout.setup.paper.press = Press::Wide;
    assert_eq!((layout.page_of(0), layout.pages_of(&large)), (1, vec![2, 3]));
}

#[test]
fn a_printer_cuts_what_its_margins_take_of_the_tile() {
    let margins = |top, right, bottom, left| {
        let [top, right, bottom, left] = [top, right, bottom, left].map(Length::mm);
        Margins { top, right, bottom, left }
    };
    // A hundredth of a millimetre is none.
    assert_eq!(row().cut_by(margins(15.0, 20.009, 25.0, 10.0)), []);
    let cuts = row().cut_by(margins(16.0, 22.0, 28.0, 14.0));
    let expected = [(Side::Top, 1.0), (Side::Right, 2.0), (Side::Bottom, 3.0), (Side::Left, 4.0)];
    assert_eq!(cuts.len(), 4);
    for ((side, cut), (wanted, mm)) in cuts.into_iter().zip(expected) {
        assert!(side == wanted && cut.within(Length::mm(mm), Length::mm(1e-9)), "{wanted:?}: {cut}");
    }
}

#[test]
fn ink_is_told_by_its_mean_and_by_the_sheet_that_takes_most() {
    let (mean, most, sheet) = row().facts.ink().unwrap();
    assert!((mean - 0.3).abs() < 1e-12 && (most - 0.5).abs() < 1e-12 && sheet == 1, "{mean} {most} {sheet}");
    assert_eq!(Facts::default().ink(), None);
}

#[test]
fn a_long_check_is_as_long_as_its_crosses_are_apart() {
    let check = |from, to| LongCheck { first: 0, second: 1, from, to }.length().to_mm();
    assert!((check(at(5.0, 7.0), at(105.0, 7.0)) - 100.0).abs() < 1e-9);
    assert!((check(at(5.0, 7.0), at(5.0, 27.0)) - 20.0).abs() < 1e-9);
}
