//! The margins and tiles that a wanted share of home printers reaches: the largest there are, on one paper or on several.

use super::search::Search;
use super::{Printers, Share};
use crate::manifest::{Format, Paper};
use crate::units::{Length, Margins, Point, Rect, Size};

/// A tile that prints whole on each of several papers.
#[derive(Clone, Debug, PartialEq)]
pub struct SharedTile {
    /// Its width and height, the same on every paper.
    pub size: Size,
    /// Where it lies on each upright sheet, in the order of the papers asked for.
    pub places: Vec<Rect>,
    /// The margins that it leaves on each sheet, in the same order.
    pub margins: Vec<Margins>,
    /// Descriptions that print it whole on all of the papers, of those that know them all.
    pub share: Share,
}

impl Printers {
    /// The four margins that leave the largest area which at least that share of home printers prints whole.
    ///
    /// `share` is a part of 1: 0.99 asks for 99 in 100. None for a paper without data, and for a share that is not above
    /// 0 and at most 1.
    pub fn margins_for(&self, paper: &str, share: f64) -> Option<Margins> {
        self.shared_tile(&[paper], share)?.margins.first().copied()
    }

    /// The area inside [`Printers::margins_for`], as a place on the upright sheet.
    pub fn largest_tile(&self, paper: &str, share: f64) -> Option<Rect> {
        self.shared_tile(&[paper], share)?.places.first().copied()
    }

    /// The largest tile that at least that share of home printers prints whole on every one of the papers.
    ///
    /// Its place may be off the middle of a sheet, where that makes it larger, and differs from paper to paper; on a
    /// sheet with room to spare it lies as near the middle as those printers allow. Of tiles of one area, the widest. The
    /// share is taken of the home printers that know all the papers. None as in [`Printers::margins_for`], and if no
    /// paper is given.
    pub fn shared_tile(&self, papers: &[&str], share: f64) -> Option<SharedTile> {
        let sheets: Vec<[i32; 2]> = papers.iter().map(|paper| sheet_hundredths(paper)).collect::<Option<_>>()?;
        let (size, places) = Search::new(&self.kinds, papers, &sheets, share)?.largest()?;
        let margins: Vec<Margins> = sheets.iter().zip(&places).map(|(&sheet, &at)| left_over(sheet, at, size)).collect();
        let asked: Vec<(&str, Margins)> = papers.iter().copied().zip(margins.iter().copied()).collect();
        let size = Size::new(length(size[0]), length(size[1]));
        let places = places.iter().map(|at| Rect::new(Point::new(length(at[0]), length(at[1])), size)).collect();
        Some(SharedTile { size, places, share: self.share_together(&asked)?, margins })
    }
}

/// The upright size of a cut paper.
pub(super) fn sheet_size(paper: &str) -> Option<Size> {
    match Paper::known(paper)?.format {
        Format::Sheet(size) => Some(size),
        Format::Roll(_) => None,
    }
}

fn sheet_hundredths(paper: &str) -> Option<[i32; 2]> {
    let size = sheet_size(paper)?;
    Some([size.width, size.height].map(|side| (side.to_mm() * 100.0).round() as i32))
}

fn length(hundredths: i32) -> Length {
    Length::mm(f64::from(hundredths) / 100.0)
}

// Taken in whole hundredths, so that a declared 17.02 mm comes back as 17.02 mm and not as a sum near it.
fn left_over([width, height]: [i32; 2], [x, y]: [i32; 2], tile: [i32; 2]) -> Margins {
    let [right, bottom] = [width - x - tile[0], height - y - tile[1]].map(length);
    Margins { top: length(y), right, bottom, left: length(x) }
}
