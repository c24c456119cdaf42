//! The data beside this file, read line by line; README.md says what it is.

use std::io::Read;

use flate2::read::GzDecoder;

/// Packages whose descriptions are of inkjets and small lasers, machines mostly bought for a home or a small desk.
const HOME: [&str; 9] = [
    "hplip-data",
    "libgutenprint-common",
    "printer-driver-brlaser",
    "printer-driver-c2esp",
    "printer-driver-escpr",
    "printer-driver-foo2zjs-common",
    "printer-driver-hpcups",
    "printer-driver-m2300w",
    "printer-driver-splix",
];

/// 6.35 mm sides and 12.70 mm ends: what drivers say when they do not know.
pub const STAND_IN: [i32; 4] = [635, 1270, 635, 1270];

/// One description on one paper.
pub struct Row {
    /// The description's id.
    pub description: String,
    /// `A4`, `A4.borderless`, `A4.none` …
    pub paper: String,
    /// Left, bottom, right and top, in 0.01 mm.
    pub margins: [i32; 4],
    /// Whether it is of a home printer.
    pub home: bool,
}

/// All rows of the data.
pub fn rows() -> Vec<Row> {
    let mut text = String::new();
    GzDecoder::new(&include_bytes!("margins.csv.gz")[..]).read_to_string(&mut text).unwrap();
    let mut lines = text.lines();
    let heading = "source_package,source_version,description_id,paper,left_mm,bottom_mm,right_mm,top_mm";
    assert_eq!(lines.next(), Some(heading));
    lines.map(row).collect()
}

/// The rows of a bare paper.
pub fn rows_of(paper: &str) -> Vec<Row> {
    rows().into_iter().filter(|row| row.paper == paper).collect()
}

fn row(line: &str) -> Row {
    let fields: Vec<&str> = line.split(',').collect();
    let &[package, _version, description, paper, ref margins @ ..] = fields.as_slice() else { panic!("{line}") };
    let margins: Vec<i32> = margins.iter().map(|mm| hundredths(mm)).collect();
    Row {
        description: description.into(),
        paper: paper.into(),
        margins: margins.try_into().unwrap(),
        home: HOME.contains(&package),
    }
}

// The point is taken out of the text, so that no float comes in between.
fn hundredths(mm: &str) -> i32 {
    let (whole, decimals) = mm.split_once('.').unwrap();
    assert_eq!(decimals.len(), 2, "{mm}");
    format!("{whole}{decimals}").parse().unwrap()
}

#[test]
fn the_data_is_as_large_as_its_read_me_says() {
    let rows = rows();
    let descriptions: std::collections::BTreeSet<&str> = rows.iter().map(|row| row.description.as_str()).collect();
    assert_eq!((rows.len(), descriptions.len()), (39_734, 7_831));
    let count = |paper: &str| rows.iter().filter(|row| row.paper == paper).count();
    assert_eq!((count("A4"), count("A4.borderless"), count("A4.none")), (7_790, 1_654, 15));
}
