//! The exact search beside plain searches that try everything, over the raw data.

use std::collections::BTreeMap;

use kitwright::printers::Printers;
use kitwright::units::{Length, Margins};

use crate::data::{STAND_IN, rows, rows_of};

/// Distinct margins (left, bottom, right, top in 0.01 mm) of home printers, each with its number of rows.
fn home(paper: &str) -> Vec<([i32; 4], usize)> {
    let mut counts = BTreeMap::new();
    for row in rows_of(paper).into_iter().filter(|row| row.home) {
        *counts.entry(row.margins).or_default() += 1;
    }
    counts.into_iter().collect()
}

fn distinct(quads: &[([i32; 4], usize)], side: usize) -> Vec<i32> {
    let mut values: Vec<i32> = quads.iter().map(|(quad, _)| quad[side]).collect();
    values.sort_unstable();
    values.dedup();
    values
}

/// The largest area, in (0.01 mm)², inside margins that `percent` of the rows reach: every left, right and bottom there is
/// is tried, and the top that then serves enough.
fn largest_area(quads: &[([i32; 4], usize)], [width, height]: [i32; 2], percent: usize) -> i64 {
    let total: usize = quads.iter().map(|(_, count)| count).sum();
    let want = (total * percent).div_ceil(100);
    let mut best = 0;
    for left in distinct(quads, 0) {
        for right in distinct(quads, 2) {
            for bottom in distinct(quads, 1) {
                let mut tops: Vec<(i32, usize)> = quads
                    .iter()
                    .filter(|(q, _)| q[0] <= left && q[2] <= right && q[1] <= bottom)
                    .map(|(q, n)| (q[3], *n))
                    .collect();
                tops.sort_unstable();
                let mut served = 0;
                let top = tops.iter().find(|(_, count)| {
                    served += count;
                    served >= want
                });
                if let Some((top, _)) = top {
                    best = best.max(i64::from(width - left - right) * i64::from(height - bottom - top));
                }
            }
        }
    }
    best
}

#[test]
fn margins_for_a_share_leave_the_largest_area_there_is() {
    let papers =
        [("A4", "a4", [21_000, 29_700]), ("Letter", "letter", [21_590, 27_940]), ("Tabloid", "tabloid", [27_940, 43_180])];
    for (name, id, sheet) in papers {
        let quads = home(name);
        for percent in [1, 10, 33, 50, 75, 90, 95, 98, 99, 100] {
            let margins = Printers::known().margins_for(id, percent as f64 / 100.0).unwrap();
            let [left, bottom, right, top] =
                [margins.left, margins.bottom, margins.right, margins.top].map(|side| (side.to_mm() * 100.0).round() as i32);
            let area = i64::from(sheet[0] - left - right) * i64::from(sheet[1] - bottom - top);
            assert_eq!(area, largest_area(&quads, sheet, percent), "{id} {percent} %");
        }
    }
}

/// Margins of home printers on A4 and on Letter, with how many declare both.
fn home_pairs() -> Vec<([[i32; 4]; 2], usize)> {
    let mut descriptions = BTreeMap::<String, [Option<[i32; 4]>; 2]>::new();
    for row in rows().into_iter().filter(|row| row.home) {
        let Some(paper) = ["A4", "Letter"].iter().position(|name| *name == row.paper) else { continue };
        descriptions.entry(row.description).or_default()[paper] = Some(row.margins);
    }
    let mut pairs = BTreeMap::new();
    for known in descriptions.into_values() {
        if let [Some(a4), Some(letter)] = known {
            *pairs.entry([a4, letter]).or_default() += 1;
        }
    }
    pairs.into_iter().collect()
}

/// Largest area over every set of pairs that may be left out, given those still to be decided on, how many printers may
/// still be left out, and the largest margins of the pairs kept so far.
fn leaving_out(pairs: &[([[i32; 4]; 2], usize)], spare: usize, kept: [[i32; 4]; 2]) -> i64 {
    let Some(((pair, count), rest)) = pairs.split_first() else {
        let width = (21_000 - kept[0][0] - kept[0][2]).min(21_590 - kept[1][0] - kept[1][2]);
        let height = (29_700 - kept[0][1] - kept[0][3]).min(27_940 - kept[1][1] - kept[1][3]);
        return i64::from(width) * i64::from(height);
    };
    let grown = [0, 1].map(|paper| [0, 1, 2, 3].map(|side| kept[paper][side].max(pair[paper][side])));
    let with = leaving_out(rest, spare, grown);
    // One that asks for nothing more costs nothing to keep.
    if *count > spare || grown == kept { with } else { with.max(leaving_out(rest, spare - count, kept)) }
}

#[test]
fn the_shared_tile_is_the_largest_over_every_set_of_printers_that_may_be_left_out() {
    let mut pairs = home_pairs();
    let total: usize = pairs.iter().map(|(_, count)| count).sum();
    // Those that can never be left out come first and settle most of the margins.
    pairs.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    for permille in [980, 990, 995, 1000] {
        let spare = total - (total * permille).div_ceil(1000);
        let tile = Printers::known().shared_tile(&["a4", "letter"], permille as f64 / 1000.0).unwrap();
        let [width, height] = [tile.size.width, tile.size.height].map(|side| (side.to_mm() * 100.0).round() as i64);
        assert_eq!(width * height, leaving_out(&pairs, spare, [[0; 4]; 2]), "{permille} in 1000");
    }
}

#[test]
fn shares_count_the_raw_rows() {
    let rows = rows_of("A4");
    for step in 0..400_i32 {
        // Margins that wander through the whole range of the data, all four apart from each other.
        let [left, bottom, right, top] = [7 * step % 900, 11 * step % 2800, 13 * step % 900, 17 * step % 2800];
        let fits = |m: &[i32; 4]| m[0] <= left + 1 && m[1] <= bottom + 1 && m[2] <= right + 1 && m[3] <= top + 1;
        let whole: Vec<_> = rows.iter().filter(|row| fits(&row.margins)).collect();
        let mm = |hundredths: i32| Length::mm(f64::from(hundredths) / 100.0);
        let margins = Margins { top: mm(top), right: mm(right), bottom: mm(bottom), left: mm(left) };
        let share = Printers::known().share("a4", margins).unwrap();
        let own = whole.iter().filter(|row| row.margins != STAND_IN).count();
        let home = whole.iter().filter(|row| row.home).count();
        assert_eq!([share.all, share.own, share.home].map(|r| r.reached), [whole.len(), own, home], "{margins:?}");
    }
}
