//! Folds the data into `src/printers/reach.csv`; with KITWRIGHT_UPDATE=1 the file is written anew.

use std::cmp::Reverse;
use std::collections::BTreeMap;
use std::fmt::Write;

use kitwright::printers::Printers;

use crate::data::{STAND_IN, rows};

/// Bare papers of the data and their ids. A borderless mode is another way to print, and a description without any
/// margins says nothing about its printer, so `A4.borderless` and `A4.none` stay out.
const PAPERS: [(&str, &str); 5] =
    [("A3", "a3"), ("A4", "a4"), ("Legal", "legal"), ("Letter", "letter"), ("Tabloid", "tabloid")];

/// Margins by paper id.
type Declared = BTreeMap<&'static str, [i32; 4]>;

/// Descriptions that declare the same on every paper, with how many there are and how many of them are home printers'.
fn kinds() -> BTreeMap<Declared, (usize, usize)> {
    let mut descriptions = BTreeMap::<String, (Declared, bool)>::new();
    for row in rows() {
        let Some((_, id)) = PAPERS.iter().find(|(name, _)| *name == row.paper) else { continue };
        let (declared, home) = descriptions.entry(row.description).or_default();
        assert!(declared.insert(id, row.margins).is_none(), "a paper stands once in a description");
        *home = row.home;
    }
    let mut kinds = BTreeMap::<Declared, (usize, usize)>::new();
    for (declared, home) in descriptions.into_values() {
        let (all, homes) = kinds.entry(declared).or_default();
        *all += 1;
        *homes += usize::from(home);
    }
    kinds
}

/// The table as text: the most common kind first, equals in the order of their margins.
fn table() -> String {
    let mut kinds: Vec<_> = kinds().into_iter().collect();
    kinds.sort_by_key(|(_, (all, _))| Reverse(*all));
    let mut text = String::from("kind,paper,left_mm,bottom_mm,right_mm,top_mm,all,own,home\n");
    for (number, (declared, (all, home))) in (1..).zip(&kinds) {
        for (paper, margins) in declared {
            let own = if *margins == STAND_IN { 0 } else { *all };
            let mm = margins.map(|m| format!("{}.{:02}", m / 100, m % 100)).join(",");
            writeln!(text, "{number},{paper},{mm},{all},{own},{home}").unwrap();
        }
    }
    text
}

#[test]
fn the_committed_table_is_the_data_folded() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/src/printers/reach.csv");
    let made = table();
    if std::env::var_os("KITWRIGHT_UPDATE").is_some() {
        std::fs::write(path, &made).unwrap();
    }
    let committed = std::fs::read_to_string(path).unwrap();
    assert!(committed == made, "reach.csv is not what the data gives; KITWRIGHT_UPDATE=1 writes it anew");
}

#[test]
fn every_line_of_the_table_is_read() {
    let read = Printers::parse(&table()).unwrap();
    assert!(*Printers::known() == read, "the table in the library is not the one that the data gives");
    assert!(read.papers().into_iter().eq(PAPERS.map(|(_, id)| id)));
}
