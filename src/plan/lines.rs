//! Lines across the drawing, between which a raster has its cells.

use super::NOISE_MM;
use std::ops::Range;

/// Sorted lines, in mm.
#[derive(Clone, Debug)]
pub(super) struct Lines(Vec<f64>);

impl Lines {
    /// Lines that are sorted already.
    pub(super) const fn of(at: Vec<f64>) -> Self {
        Self(at)
    }

    /// How many gaps lie between them.
    pub(super) fn gaps(&self) -> usize {
        self.0.len().saturating_sub(1)
    }

    /// One of them; 0 for one that is not there.
    #[inline]
    pub(super) fn line(&self, index: usize) -> f64 {
        self.0.get(index).copied().unwrap_or_default()
    }

    /// How many lines lie before a place, or on it.
    pub(super) fn up_to(&self, place: f64) -> usize {
        self.0.partition_point(|line| *line <= place)
    }

    /// A finger on the lines at a place.
    pub(super) fn finger(&self, place: f64) -> Finger<'_> {
        Finger { lines: self, past: self.up_to(place) }
    }
}

/// Finds place after place among lines by walking there from the last one: edges follow each other, so the way is short.
#[derive(Debug)]
pub(super) struct Finger<'a> {
    lines: &'a Lines,
    /// How many lines lie before the last place, or on it.
    past: usize,
}

impl Finger<'_> {
    /// How many lines lie before a place, or on it.
    #[inline]
    pub(super) fn up_to(&mut self, place: f64) -> usize {
        let at = &self.lines.0;
        while at.get(self.past).is_some_and(|line| *line <= place) {
            self.past += 1;
        }
        while self.past.checked_sub(1).and_then(|before| at.get(before)).is_some_and(|line| *line > place) {
            self.past -= 1;
        }
        self.past
    }

    /// The gap that a place lies in and well off the lines around it, so that noise decides nothing.
    #[inline]
    pub(super) fn inner(&mut self, place: f64) -> Option<usize> {
        let past = self.up_to(place);
        let gap = past.checked_sub(1)?;
        let (before, behind) = (self.lines.0.get(gap)?, self.lines.0.get(past)?);
        (place - before > NOISE_MM && behind - place > NOISE_MM).then_some(gap)
    }

    /// The first gap that what begins at a place reaches, and the gap behind the last that what ends at a place reaches.
    #[inline]
    pub(super) fn ends(&mut self, from: f64, to: f64) -> Range<usize> {
        self.up_to(from + NOISE_MM).saturating_sub(1)..self.up_to(to - NOISE_MM).min(self.lines.gaps())
    }

    /// The gaps between lines whose open inside a stretch reaches; a stretch of no length on a line reaches none.
    #[inline]
    pub(super) fn span(&mut self, from: f64, to: f64) -> Range<usize> {
        let Range { start: first, end: past } = self.ends(from, to);
        let at = &self.lines.0;
        let outside = from > to
            || at.first().is_none_or(|&line| to <= line + NOISE_MM)
            || at.last().is_none_or(|&line| from >= line - NOISE_MM);
        if outside || past <= first { 0..0 } else { first..past }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_found_among_uneven_lines_from_wherever_the_finger_was() {
        let at = vec![-3.0, -2.999, 0.0, 0.0, 7.5, 7.5, 7.6, 400.0];
        let lines = Lines::of(at.clone());
        let places = [-9.0, -3.0, -2.9995, -2.999, -1.0, 0.0, 7.49, 7.5, 7.55, 7.6, 399.0, 400.0, 9e9];
        for (from, place) in places.iter().flat_map(|from| places.map(|place| (*from, place))) {
            let count = at.iter().filter(|line| **line <= place).count();
            assert_eq!(lines.finger(from).up_to(place), count, "{place} from {from}");
        }
        assert_eq!((Lines::of(vec![]).finger(0.0).up_to(1.0), Lines::of(vec![2.0]).finger(9.0).up_to(2.0)), (0, 1));
    }

    #[test]
    fn a_span_is_open_at_lines() {
        let lines = Lines::of(vec![0.0, 1.0, 2.5, 4.0]);
        let span = |from, to| lines.finger(2.0).span(from, to);
        assert_eq!(span(1.0, 2.5), 1..2);
        assert_eq!(span(1.0, 2.6), 1..3);
        assert_eq!(span(0.9, 2.5), 0..2);
        assert_eq!(span(1.0, 1.0), 0..0);
        assert_eq!(span(1.2, 1.2), 1..2);
        assert_eq!(span(-3.0, 9.0), 0..3);
        assert_eq!(span(-3.0, 0.0), 0..0);
        assert_eq!(span(4.0, 9.0), 0..0);
    }
}
