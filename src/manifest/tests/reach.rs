//! Margins by a share of home printers, held against the counts of the printers' table.

use super::*;
use crate::manifest::Paper;
use crate::printers::Printers;
use crate::units::{Length, Margins};

/// Every home paper that is known, and one of a publisher's own.
const HOME_PAPERS: &str = "[a5, a4, letter, legal, a3, tabloid, {paper: big, width: 500 mm, height: 700 mm, press: home}]";

/// Top, right, bottom, left, in mm.
fn sides(margins: Margins) -> [f64; 4] {
    [margins.top, margins.right, margins.bottom, margins.left].map(Length::to_mm)
}

/// Margins of all home papers at what stands behind `margins: `, by id.
fn at(margins: &str) -> Vec<(String, Margins)> {
    let kit = good(&format!("{}margins: {margins}\n", instead("[a4]", HOME_PAPERS)));
    kit.papers.into_iter().map(|setup| (setup.paper.id, setup.margins)).collect()
}

#[test]
fn home_is_what_99_per_cent_of_home_printers_reach_on_each_paper() {
    // The rows of 99 % in docs/printers.md, rounded up to 0.1 mm; A5 and papers of one's own take those of A4.
    for (id, margins) in at("home") {
        let deep_head = ["a3", "tabloid"].contains(&id.as_str());
        let expected = if deep_head { [16.0, 6.4, 16.0, 6.4] } else { [5.7, 6.4, 17.1, 6.4] };
        assert_eq!(sides(margins), expected, "{id}");
    }
    assert_eq!(at("home"), at("99 %"));
    assert_eq!(
        at("home"),
        good(&instead("[a4]", HOME_PAPERS)).papers.into_iter().map(|s| (s.paper.id, s.margins)).collect::<Vec<_>>()
    );
}

#[test]
fn a_share_serves_that_many_home_printers_and_gives_away_less_than_a_tenth() {
    let known = Printers::known();
    for percent in [50.0, 75.0, 90.0, 95.0, 97.5, 99.0, 99.5, 100.0] {
        for (id, margins) in at(&format!("{percent} %")) {
            let like = if known.papers().contains(id.as_str()) { id.as_str() } else { "a4" };
            // Counting printers is another way through the table than the search for the margins.
            assert!(known.share(like, margins).unwrap().home.fraction() >= percent / 100.0, "{id} {percent} %");
            let exact = known.margins_for(like, percent / 100.0).unwrap();
            for (told, exact) in sides(margins).into_iter().zip(sides(exact)) {
                assert!((-1e-9..0.1).contains(&(told - exact)), "{id} {percent} %: {told} for {exact}");
                assert!(((told * 10.0).round() - told * 10.0).abs() < 1e-9, "{id} {percent} %: {told} is whole tenths");
            }
        }
    }
}

#[test]
fn a_share_is_written_with_or_without_a_space_and_for_one_paper_too() {
    assert_eq!(at("95%"), at("\"95  %\""));
    let kit = good(&instead("[a4]", "[{paper: a4, margins: 100%}, a3, a0]"));
    // All home printers: a head of 14.48 mm, in docs/printers.md.
    assert_eq!(sides(kit.papers[0].margins), [14.5, 6.4, 17.1, 6.4]);
    assert_eq!(sides(kit.papers[1].margins), [16.0, 6.4, 16.0, 6.4]);
}

#[test]
fn a_share_for_all_leaves_wide_papers_alone_and_home_still_means_a4_there() {
    let kit = good(&format!("{}margins: 90 %\n", instead("[a4]", "[a4, a0, {paper: roll-914, margins: home}]")));
    assert_eq!(sides(kit.papers[1].margins), [5.0; 4]);
    assert_eq!(sides(kit.papers[2].margins), [5.7, 6.4, 17.1, 6.4]);
}

#[test]
fn every_known_paper_has_margins() {
    for id in Paper::known_ids() {
        good(&instead("[a4]", &format!("[{id}]")));
    }
}
