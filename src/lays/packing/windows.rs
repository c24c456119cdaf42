//! Windows: the least that a piece takes or reaches, wherever in a window along it one looks, with something all round.

use super::sections::{Across, Sections};

/// How many shifts along the piece are looked at, on either side, for what is all round it.
const SHIFTS: usize = 8;

/// Values along a piece, ready to be asked for the least one in any window.
pub(super) struct Windows {
    /// How much the piece has all round.
    by: f64,
    /// How many sides of it add to a value: 2 to a section, 1 to how far it reaches.
    sides: f64,
    length: f64,
    /// How long cells are.
    cell: f64,
    /// How many cells there are before the piece begins.
    before: usize,
    /// The least value in each cell; then in each two neighbouring cells, each four, and so on.
    least: Vec<Vec<f64>>,
    /// The values at corners, by where they are.
    corners: Vec<(f64, f64)>,
}

impl Windows {
    /// One value of each section of a piece that has so much all round, which adds to it on so many sides.
    ///
    /// A piece with a disc of radius r at each point takes, at each place, what it takes at a distance d along it and √(r² - d²) more on
    /// each side: of sections that are not one piece at least that (the Brunn-Minkowski inequality, which is plain for lines).
    pub fn new(sections: &Sections, value: fn(&Across) -> f64, by: f64, sides: f64) -> Self {
        let cell = sections.length / sections.cells.len() as f64;
        let before = (by.max(0.0) / cell) as usize;
        let mut row = grown(&sections.cells.iter().map(value).collect::<Vec<_>>(), before, &|d| around(by, d * cell) * sides);
        let mut least: Vec<Vec<f64>> = Vec::new();
        while !row.is_empty() {
            let more = row.iter().zip(row.iter().skip(1 << least.len())).map(|(a, b)| a.min(*b)).collect();
            least.push(std::mem::replace(&mut row, more));
        }
        let corners = sections.corners.iter().map(|(at, across)| (*at, value(across))).collect();
        Self { by, sides, length: sections.length, cell, before, least, corners }
    }

    /// The least value in a window, none if it is not all within the piece and what that has all round; the piece begins at 0.
    pub fn least(&self, (from, to): (f64, f64)) -> Option<f64> {
        let inside = from >= -self.by && to <= self.length + self.by;
        inside.then(|| self.of_cells(from, to).into_iter().chain(self.of_corners(from, to)).reduce(f64::max))?
    }

    /// What the cells give: two ranges of the same power of two cover all of a window.
    fn of_cells(&self, from: f64, to: f64) -> Option<f64> {
        let cells = self.least.first()?.len();
        let [first, last] = [from, to].map(|at| at / self.cell + self.before as f64);
        if first < 0.0 || last > cells as f64 {
            return None;
        }
        let (first, last) = (first as usize, (last as usize).min(cells.saturating_sub(1)));
        let level = (last.saturating_sub(first) + 1).ilog2() as usize;
        let row = self.least.get(level)?;
        Some(row.get(first)?.min(*row.get((last + 1).saturating_sub(1 << level))?))
    }

    /// What the corners near all of a window give.
    fn of_corners(&self, from: f64, to: f64) -> Option<f64> {
        if to - from >= 2.0 * self.by {
            return None;
        }
        let first = self.corners.partition_point(|corner| corner.0 < to - self.by);
        let near = self.corners.iter().skip(first).take_while(|corner| corner.0 <= from + self.by);
        near.map(|&(at, value)| value + around(self.by, (to - at).max(at - from)) * self.sides).reduce(f64::max)
    }
}

/// How far a disc reaches across the cloth at a distance from its centre along it.
fn around(by: f64, distance: f64) -> f64 {
    if by > 0.0 { (by * by - distance * distance).max(0.0).sqrt() } else { by }
}

/// Values of cells with those `before` the piece and behind it; each is the best that some shift along the piece gives.
fn grown(cells: &[f64], before: usize, around: &dyn Fn(f64) -> f64) -> Vec<f64> {
    let shifts = (0..=2 * SHIFTS).map(|step| step * before / SHIFTS);
    let shifts: Vec<(usize, f64)> = shifts.map(|shift| (shift, around(shift.abs_diff(before) as f64))).collect();
    let value = |at: usize, (shift, more): &(usize, f64)| Some(cells.get((at + shift).checked_sub(2 * before)?)? + more);
    let best = |at| shifts.iter().filter_map(|shift| value(at, shift)).reduce(f64::max);
    (0..cells.len() + 2 * before).filter_map(best).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Point;

    /// A triangle that stands on a bar with a bay: 30 mm wide but for the bay's 10 mm, then up to 20 mm less.
    fn piece() -> Sections {
        let points = [(0, 0), (40, 0), (40, 10), (50, 10), (50, 0), (100, 0), (150, 20), (100, 30), (0, 30)];
        Sections::new(&points.map(|(x, y)| Point::new(f64::from(x) + 7.0, f64::from(y) - 3.0)))
    }

    fn windows(by: f64) -> Windows {
        Windows::new(&piece(), |across| across.section, by, 2.0)
    }

    #[test]
    fn the_least_section_in_a_window_is_found() {
        let piece = windows(0.0);
        for (window, wanted) in
            [((0.0, 39.0), 30.0), ((10.0, 60.0), 20.0), ((41.0, 48.0), 20.0), ((120.0, 120.0), 18.0), ((60.0, 140.0), 6.0)]
        {
            let least = piece.least(window).unwrap();
            assert!(least <= wanted + 1e-9 && least > wanted - 0.2, "{window:?}: {least} instead of {wanted}");
        }
        assert!([(-0.1, 20.0), (20.0, 150.1)].iter().all(|&window| piece.least(window).is_none()));
    }

    #[test]
    fn what_is_all_round_is_added_across_and_is_round_at_corners() {
        let piece = windows(1.5);
        let round = |distance: f64| 2.0 * (2.25 - distance * distance).sqrt();
        for (window, wanted) in [
            ((1.0, 20.0), 33.0),
            ((-0.9, -0.9), 30.0 + round(0.9)),
            ((-1.4, -1.0), 30.0 + round(1.4)),
            ((45.0, 45.0), 23.0),
            ((40.5, 40.5), 30.0 + round(0.5)),
            ((151.2, 151.2), round(1.2)),
        ] {
            let least = piece.least(window).unwrap();
            // On slopes it is more than what lies right across.
            assert!(least >= wanted - 0.3 && least < wanted + 0.6, "{window:?}: {least} instead of {wanted}");
        }
        assert_eq!([piece.least((-1.6, 20.0)), piece.least((140.0, 151.6))], [None, None]);
    }

    #[test]
    fn what_is_all_round_a_piece_is_never_taken_for_more_than_it_is() {
        let (piece, by) = (windows(4.0), 4.0);
        // The exact value, from the top and the bottom of the outline: that in the bay's reach is left out.
        let top = |x: f64| if x <= 100.0 { 30.0 } else { 30.0 - (x - 100.0) / 5.0 };
        let bottom = |x: f64| if x <= 100.0 { 0.0 } else { (x - 100.0) / 2.5 };
        for x in (-39..360).chain(550..1540).map(|x| f64::from(x) / 10.0) {
            let near = (-4000..=4000).map(|d| f64::from(d) / 1000.0).filter(|d| (0.0..=150.0).contains(&(x + d)));
            let exact = near.map(|d| (top(x + d) + around(by, d), around(by, d) - bottom(x + d)));
            let (up, down) = exact.fold((f64::MIN, f64::MIN), |most, next| (most.0.max(next.0), most.1.max(next.1)));
            let least = piece.least((x, x)).unwrap_or(0.0);
            assert!(least <= up + down + 1e-3 && least >= up + down - 1.2, "{x}: {least} instead of {}", up + down);
        }
    }
}
