//! Small tables whose answers can be counted by hand or by trying everything, and rules that hold for any margins.

use std::time::{Duration, Instant};

use proptest::prelude::*;

use super::*;
use crate::units::{Length, Margins, Rect, Size};

const HEADING: &str = "kind,paper,left_mm,bottom_mm,right_mm,top_mm,all,own,home\n";

/// Two kinds on A4: seven printers that need a deep foot, three that need a deep head.
const SMALL: &str = "kind,paper,left_mm,bottom_mm,right_mm,top_mm,all,own,home
1,a4,5.00,15.00,5.00,3.00,7,7,7
2,a4,5.00,4.00,5.00,20.00,3,0,1
2,letter,5.00,4.00,5.00,20.00,3,0,1
";

fn margins(top: f64, right: f64, bottom: f64, left: f64) -> Margins {
    Margins { top: Length::mm(top), right: Length::mm(right), bottom: Length::mm(bottom), left: Length::mm(left) }
}

fn small() -> Printers {
    Printers::parse(SMALL).unwrap()
}

#[test]
fn a_share_counts_each_view_by_itself() {
    let share = small().share("a4", margins(4.0, 5.0, 15.0, 5.0)).unwrap();
    assert_eq!(share.all, Ratio { reached: 7, of: 10 });
    assert_eq!(share.own, Ratio { reached: 7, of: 7 });
    assert_eq!(share.home, Ratio { reached: 7, of: 8 });
    assert_eq!(small().share("a5", Margins::default()), None);
}

#[test]
fn a_hundredth_of_a_millimetre_is_forgiven_and_two_are_not() {
    let reached = |top: f64| small().share("a4", margins(top, 5.0, 15.0, 5.0)).unwrap().all.reached;
    assert_eq!((reached(3.0), reached(2.99), reached(2.98)), (7, 7, 0));
}

#[test]
fn lengths_that_are_no_numbers_reach_nobody_and_endless_ones_everybody() {
    let reached = |side: f64| small().share("a4", Margins::even(Length::mm(side))).unwrap().all.reached;
    assert_eq!((reached(f64::NAN), reached(f64::INFINITY), reached(f64::NEG_INFINITY)), (0, 10, 0));
}

#[test]
fn several_papers_ask_only_printers_that_know_them_all() {
    let wide = Margins::even(Length::mm(30.0));
    let share = small().share_together(&[("a4", wide), ("letter", wide)]).unwrap();
    assert_eq!((share.all, share.own.of), (Ratio { reached: 3, of: 3 }, 0));
    assert_eq!(small().share_together(&[]), None);
}

#[test]
fn per_cent_are_rounded_down_so_that_a_hundred_means_all() {
    let ratio = Ratio { reached: 7788, of: 7790 };
    assert_eq!((ratio.percent_down(1), ratio.percent_down(0), ratio.is_all()), (99.9, 99.0, false));
    assert_eq!(Ratio { reached: 3, of: 3 }.percent_down(2), 100.0);
    assert_eq!((Ratio::default().percent_down(1), Ratio::default().fraction(), Ratio::default().is_all()), (0.0, 0.0, false));
}

#[test]
fn a_turned_sheet_must_print_whichever_way_it_is_turned() {
    // On the turned sheet the foot of the paper is at the left or at the right. 15 mm on both ends serve the seven printers
    // either way; 15 mm on one end and 3 mm on the other only one way.
    let turned = Size::mm(297.0, 210.0);
    let reached = |left: f64, right: f64| {
        let rect = Rect::mm(left, 5.0, 297.0 - left - right, 200.0);
        small().share_of_rect("a4", turned, rect).unwrap().all.reached
    };
    assert_eq!((reached(15.0, 15.0), reached(15.0, 3.0), reached(3.0, 15.0)), (7, 0, 0));
    assert_eq!(small().share_of_rect("a4", Size::mm(297.0, 420.0), Rect::mm(20.0, 20.0, 9.0, 9.0)), None);
}

#[test]
fn the_side_that_stops_most_home_printers_comes_first() {
    let binding = small().binding("a4", margins(10.0, 5.0, 10.0, 5.0));
    let told: Vec<_> = binding.iter().map(|b| (b.side, b.failing.all, b.failing.home)).collect();
    assert_eq!(told, [(Side::Bottom, 7, 7), (Side::Top, 3, 1)]);
    assert!(small().binding("a4", Margins::even(Length::mm(20.0))).is_empty());
    assert!(small().binding("a5", Margins::default()).is_empty());
}

#[test]
fn margins_for_a_share_leave_out_the_printers_that_cost_most() {
    // 7 of 8 home printers are 87.5 %.
    assert_eq!(small().margins_for("a4", 0.875), Some(margins(3.0, 5.0, 15.0, 5.0)));
    assert_eq!(small().margins_for("a4", 0.876), Some(margins(20.0, 5.0, 15.0, 5.0)));
    for share in [0.0, -1.0, 1.01, f64::NAN] {
        assert_eq!(small().margins_for("a4", share), None, "{share}");
    }
    for paper in ["a5", "a0", "roll-914", "legal", "no such paper"] {
        assert_eq!(small().margins_for(paper, 0.9), None, "{paper}");
    }
    assert_eq!(small().shared_tile(&[], 0.9), None);
}

#[test]
fn a_shared_tile_lies_on_each_sheet_as_its_printers_allow() {
    let table = format!("{HEADING}1,a4,5.00,15.00,5.00,3.00,2,2,2\n1,letter,6.00,18.00,4.00,3.00,2,2,2\n");
    let tile = Printers::parse(&table).unwrap().shared_tile(&["a4", "letter"], 1.0).unwrap();
    // A4 gives the width, 210 − 2 × 5, and Letter the height, 279.4 − 18 − 3; both have room to spare the other way.
    assert_eq!(tile.size, Size::mm(200.0, 258.4));
    assert_eq!(tile.margins, [margins(19.3, 5.0, 19.3, 5.0), margins(3.0, 7.95, 18.0, 7.95)]);
    assert_eq!(tile.places[1], Rect::mm(7.95, 3.0, 200.0, 258.4));
    assert!(tile.share.home.is_all());
}

#[test]
fn a_table_with_a_bad_line_is_refused() {
    for line in
        ["1,a4,5,5,5,5,1,1", "1,a4,5,5,5,x,1,1,1", "1,a4,5,5,5,-5,1,1,1", "1,a4,5,5,5,nan,1,1,1", "1,a4,5,5,5,5,1,1,1,1", ""]
    {
        assert_eq!(Printers::parse(&format!("{HEADING}{line}\n")), None, "{line}");
    }
    assert_eq!(Printers::parse(""), Some(Printers::default()));
}

#[test]
fn an_answer_about_one_paper_takes_less_than_a_millisecond_and_about_several_less_than_five() {
    let known = Printers::known();
    for percent in [1, 25, 50, 75, 90, 95, 99, 100] {
        let share = f64::from(percent) / 100.0;
        for (papers, limit) in [(&["a4"][..], 1), (&["tabloid"], 1), (&["a4", "letter"], 5), (&["a4", "letter", "legal"], 5)] {
            let best = best_time(|| known.shared_tile(papers, share));
            // The shares that people ask for are quick on several papers too.
            let limit = if percent >= 90 { 1 } else { limit };
            assert!(best < milliseconds(limit), "{papers:?} {percent} %: {best:?}");
        }
    }
    let even = Margins::even(Length::mm(5.0));
    assert!(best_time(|| known.binding("a4", even)) < milliseconds(1));
    assert!(best_time(|| known.share_together(&[("a4", even), ("letter", even)])) < milliseconds(1));
}

/// A limit for optimised code; unoptimised code, which measured about ten times slower, gets twenty times as long.
fn milliseconds(limit: u64) -> Duration {
    Duration::from_millis(if cfg!(debug_assertions) { 20 * limit } else { limit })
}

/// The shortest of some tries, since the machine may be busy with other things.
fn best_time<T>(ask: impl Fn() -> T) -> Duration {
    (0..5).map(|_| timed(&ask)).min().unwrap_or_default()
}

fn timed<T>(ask: impl Fn() -> T) -> Duration {
    let start = Instant::now();
    std::hint::black_box(ask());
    start.elapsed()
}

/// Margins in mm on one paper: left, bottom, right, top.
type Quad = [u32; 4];

/// Up to six kinds on A4 and Letter, each with its number of home printers.
fn any_kinds() -> impl Strategy<Value = Vec<([Quad; 2], usize)>> {
    let quad = || prop::array::uniform4(0_u32..30);
    prop::collection::vec(((quad(), quad()).prop_map(|(a, b)| [a, b]), 1_usize..6), 1..7)
}

fn table_of(kinds: &[([Quad; 2], usize)]) -> Printers {
    let mut table = String::from(HEADING);
    for (number, (quads, count)) in kinds.iter().enumerate() {
        for (paper, [left, bottom, right, top]) in ["a4", "letter"].iter().zip(quads) {
            table += &format!("{number},{paper},{left},{bottom},{right},{top},{count},{count},{count}\n");
        }
    }
    Printers::parse(&table).unwrap()
}

/// The largest area in mm² that any choice of kinds with enough printers leaves on the first `papers` papers.
fn brute(kinds: &[([Quad; 2], usize)], papers: usize, want: usize) -> f64 {
    let sheets = [[210.0, 297.0], [215.9, 279.4]];
    let mut best = 0.0_f64;
    for choice in 0_u32..1 << kinds.len() {
        let chosen: Vec<_> = kinds.iter().enumerate().filter(|(i, _)| choice >> i & 1 == 1).map(|(_, kind)| kind).collect();
        if chosen.iter().map(|(_, count)| count).sum::<usize>() < want {
            continue;
        }
        let most = |paper: usize, side: usize| f64::from(chosen.iter().map(|(quads, _)| quads[paper][side]).max().unwrap_or(0));
        let size = [(0, 2), (1, 3)].map(|(near, far)| {
            let left = |paper: usize| sheets[paper][usize::from(near == 1)] - most(paper, near) - most(paper, far);
            (0..papers).map(left).fold(f64::INFINITY, f64::min)
        });
        best = best.max(size[0] * size[1]);
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn the_search_finds_what_trying_everything_finds(kinds in any_kinds(), percent in 1_usize..=100) {
        let known = table_of(&kinds);
        let total: usize = kinds.iter().map(|(_, count)| count).sum();
        let want = (total * percent).div_ceil(100);
        for papers in [&["a4"][..], &["a4", "letter"]] {
            let tile = known.shared_tile(papers, percent as f64 / 100.0).unwrap();
            let area = tile.size.width.to_mm() * tile.size.height.to_mm();
            prop_assert!((area - brute(&kinds, papers.len(), want)).abs() < 1e-6, "{tile:?}");
            prop_assert!(tile.share.home.reached >= want, "{tile:?}");
        }
    }

    #[test]
    fn larger_margins_never_lower_a_share(sides in prop::array::uniform4(0.0..30.0), more in prop::array::uniform4(0.0..5.0)) {
        let [top, right, bottom, left] = sides;
        let given = margins(top, right, bottom, left);
        let wider = margins(top + more[0], right + more[1], bottom + more[2], left + more[3]);
        for paper in Printers::known().papers() {
            let (before, after) = (Printers::known().share(paper, given).unwrap(), Printers::known().share(paper, wider).unwrap());
            prop_assert!(before.all.reached <= after.all.reached);
            prop_assert!(before.own.reached <= after.own.reached);
            prop_assert!(before.home.reached <= after.home.reached);
        }
    }

    #[test]
    fn a_share_is_whole_just_when_no_side_binds(sides in prop::array::uniform4(0.0..30.0)) {
        let given = margins(sides[0], sides[1], sides[2], sides[3]);
        for paper in Printers::known().papers() {
            let whole = Printers::known().share(paper, given).unwrap().all.is_all();
            prop_assert_eq!(whole, Printers::known().binding(paper, given).is_empty());
        }
    }

    #[test]
    fn a_larger_share_never_gets_a_larger_tile(a in 0.01..1.0, b in 0.01..1.0) {
        let area = |share: f64| {
            let size = Printers::known().largest_tile("a4", share).unwrap().size();
            size.width.to_mm() * size.height.to_mm()
        };
        prop_assert!(area(f64::min(a, b)) + 1e-6 >= area(f64::max(a, b)));
    }
}
