//! Tests of what guides take from the plan and from the files: order of joining, lengths, size files, wide files, logo.

use super::tests::{english, files, guide_of, kit, layout, map, maps, plain};
use super::*;
use crate::catalogue::KitWords;
use crate::manifest::GuideTexts;
use crate::plan::{Budget, LongCheck};
use crate::units::{Length, Point};

/// The page's text below the head, lines as blanks and U+00A0 as such.
fn text(guide: &str) -> String {
    plain(guide.split("</style>").last().unwrap()).replace('\u{a0}', " ")
}

/// A layout whose columns are joined in these blocks.
fn in_blocks(paper: &str, rows: usize, columns: usize, blocks: &[std::ops::Range<usize>]) -> Layout {
    let mut layout = layout(paper, rows, columns, &[]);
    layout.facts.blocks = blocks.to_vec();
    layout
}

fn one_size(layouts: &[Layout]) -> String {
    text(&guide_of(&kit(&[], GuideTexts::default()), layouts))
}

#[test]
fn the_order_of_joining_follows_the_plan() {
    let broad = || in_blocks("a4", 4, 8, &[0..4, 4..8]);
    let narrow = || in_blocks("letter", 4, 5, &[0..5]);
    let same = one_size(&[broad(), in_blocks("letter", 3, 8, &[0..4, 4..8])]);
    assert_eq!(same.matches("Columns 1 to 4").count(), 1, "said once for both papers");
    assert!(same.contains("Columns 5 to 8: do the same.") && same.contains("Then join these blocks"));
    assert!(!same.contains("Join the sheets of each row, from left to right."));
    let both = one_size(&[broad(), narrow()]);
    let places = ["A4 paper\n\nColumns 1 to 4", "US Letter paper\n\nJoin the sheets of each row"];
    assert!(places.iter().all(|place| both.contains(place)), "{both}");
    assert!(one_size(&[in_blocks("a4", 1, 4, &[0..4])]).contains("Join the sheets, from left to right."));
    assert!(one_size(&[in_blocks("a4", 3, 1, &[0..1])]).contains("Join the sheets, from the top down."));
    assert!(!guide_of(&kit(&[], GuideTexts::default()), &[layout("a4", 1, 1, &[])]).contains("id=\"join\""), "nothing to join");
}

#[test]
fn gaps_inside_a_block_are_told() {
    let gap = "Where a row has a gap";
    // The second of five columns is not needed for size 36; sheet indices run along the row.
    let with_gap = layout("a4", 1, 6, &[("36", &[0, 2, 3]), ("38", &[0, 1, 2, 3])]);
    assert!(text(&guide_of(&kit(&["36", "38"], GuideTexts::default()), std::slice::from_ref(&with_gap))).contains(gap));
    // Between two blocks a gap is nothing that the first steps meet.
    let mut between = layout("a4", 1, 6, &[("36", &[0, 1, 3, 4])]);
    between.facts.blocks = vec![0..3, 3..6];
    assert!(!text(&guide_of(&kit(&["36"], GuideTexts::default()), &[between])).contains(gap));
}

#[test]
fn far_crosses_and_what_may_be_off_are_told() {
    let mut layout = layout("a4", 4, 8, &[]);
    let (from, to) = (Point::new(Length::mm(8.0), Length::mm(8.0)), Point::new(Length::mm(1346.4), Length::mm(8.0)));
    layout.facts.long_checks = vec![LongCheck { first: 0, second: 6, from, to }];
    // Ten joins of 0.3 mm: 0.3 × √10 = 0.949, 0.3 × 10 = 3; 1338.4 / 25.4 = 52.693, and 11/16 = 0.6875.
    layout.facts.budget = Budget { joins: 10, expected: Length::mm(0.949), worst: Length::mm(3.0) };
    let words = one_size(&[layout]);
    assert!(words.contains("A4sheet A1sheet A71338.4 mm (52 11⁄16 in)"), "{words}");
    assert!(words.contains("If each join is within 0.3 mm") && words.contains("within 1 mm from corner to corner"));
    assert!(words.contains("off by more than 3 mm"));
}

#[test]
fn a_size_may_have_a_file_of_its_own() {
    let layouts = [layout("a4", 2, 4, &[("36", &[0, 1, 2]), ("38", &[0, 1])])];
    let mut files = files(&layouts);
    let kind = FileKind::HomeSize { paper: "a4".into(), size: "36".into(), sheets: 2 };
    files.push(PackedFile { name: "apron-home-a4-36.pdf".into(), kind, language: None });
    let kit = kit(&["36", "38"], GuideTexts::default());
    let words = text(&html(&kit, &layouts, &maps(&[map(&layouts[0])]), &files, &english(), &KitWords::as_written()).unwrap());
    assert!(words.contains("or the file of this size alone, 3 pages: apron-home-a4-36.pdf"), "the check page counts");
    assert_eq!(words.matches("or the file of this size alone").count(), 1, "size 38 has none");
    assert!(words.contains("Pattern for size 36 on A4 paper: the check page, then 2 sheets"));
    assert!(!text(&guide_of(&kit, &layouts)).contains("the file of your size alone"));
}

#[test]
fn one_size_is_never_called_yours() {
    let home = || layout("a4", 2, 3, &[("", &[0, 1, 2, 3, 4])]);
    assert!(!one_size(&[home()]).contains("your size"));
    assert!(!text(&guide_of(&kit(&["M"], GuideTexts::default()), &[home()])).contains("your size"));
    assert!(text(&guide_of(&kit(&["M", "L"], GuideTexts::default()), &[home()])).contains("your size"));
}

#[test]
fn the_wide_file_with_the_fewest_parts_comes_first() {
    let words = one_size(&[layout("a0", 1, 3, &[]), layout("roll-914", 1, 1, &[])]);
    let shop = words.split("Hand over this file:").nth(1).unwrap();
    assert!(shop.find("roll-914.pdf").unwrap() < shop.find("If the shop does not have that paper").unwrap());
    assert!(shop.contains("in one piece") && shop.contains("in 2 parts that you join"));
}

#[test]
fn a_logo_stands_for_the_name() {
    let logo = Logo { html: "<img alt=\"Ploverfield Paper\" src=\"data:image/png;base64,AA==\">".into() };
    let layouts = [layout("a4", 1, 1, &[])];
    let kit = kit(&[], GuideTexts::default());
    let made = html(
        &kit,
        &layouts,
        &Pictures { logo: Some(&logo), ..maps(&[map(&layouts[0])]) },
        &files(&layouts),
        &english(),
        &KitWords::as_written(),
    )
    .unwrap();
    assert!(made.contains(&logo.html) && !made.contains("class=\"publisher\""));
    assert!(guide_of(&kit, &layouts).contains("<p class=\"publisher\">Ploverfield Paper</p>"));
}
