//! Lines across the drawing, between which a raster has its cells.

use super::NOISE_MM;
use std::ops::Range;

/// Sorted lines, in mm, with a table to find a place among them in a look or two.
#[derive(Clone, Debug)]
pub(super) struct Lines {
    at: Vec<f64>,
    /// For as many even stretches as there are lines how many lie before each.
    before: Vec<usize>,
}

impl Lines {
    /// Lines that are sorted already.
    pub(super) fn of(at: Vec<f64>) -> Self {
        let (from, length) = (at.first().copied().unwrap_or_default(), at.last().copied().unwrap_or_default());
        let step = (length - from) / at.len().max(1) as f64;
        let before = (0..at.len()).map(|index| at.partition_point(|&line| line < from + step * index as f64)).collect();
        Self { at, before }
    }

    /// How many gaps lie between them.
    pub(super) fn gaps(&self) -> usize {
        self.at.len().saturating_sub(1)
    }

    /// One of them; 0 for one that is not there.
    pub(super) fn line(&self, index: usize) -> f64 {
        self.at.get(index).copied().unwrap_or_default()
    }

    /// How many lines lie before a place, or on it.
    pub(super) fn up_to(&self, place: f64) -> usize {
        let (Some(&from), Some(&to)) = (self.at.first(), self.at.last()) else { return 0 };
        let stretch = ((place - from) / (to - from) * self.at.len() as f64).max(0.0) as usize;
        // A stretch too early is as good; the last digit may have put the place into the next one.
        let start = self.before.get(stretch.saturating_sub(1).min(self.at.len() - 1)).copied().unwrap_or_default();
        start + self.at.get(start..).unwrap_or_default().iter().take_while(|&&line| line <= place).count()
    }

    /// The gaps between lines whose open inside a stretch reaches; a stretch of no length on a line reaches none.
    pub(super) fn span(&self, from: f64, to: f64) -> Range<usize> {
        let first = self.up_to(from + NOISE_MM).saturating_sub(1);
        let past = self.up_to(to - NOISE_MM).min(self.gaps());
        let outside = from > to
            || self.at.first().is_none_or(|&line| to <= line + NOISE_MM)
            || self.at.last().is_none_or(|&line| from >= line - NOISE_MM);
        if outside || past <= first { 0..0 } else { first..past }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_found_among_uneven_lines() {
        let at = vec![-3.0, -2.999, 0.0, 0.0, 7.5, 7.5, 7.6, 400.0];
        let lines = Lines::of(at.clone());
        for place in [-9.0, -3.0, -2.9995, -2.999, -1.0, 0.0, 7.49, 7.5, 7.55, 7.6, 399.0, 400.0, 9e9] {
            assert_eq!(lines.up_to(place), at.iter().filter(|line| **line <= place).count(), "{place}");
        }
        assert_eq!((Lines::of(vec![]).up_to(1.0), Lines::of(vec![2.0]).up_to(2.0)), (0, 1));
    }

    #[test]
    fn a_span_is_open_at_lines() {
        let lines = Lines::of(vec![0.0, 1.0, 2.5, 4.0]);
        assert_eq!(lines.span(1.0, 2.5), 1..2);
        assert_eq!(lines.span(1.0, 2.6), 1..3);
        assert_eq!(lines.span(0.9, 2.5), 0..2);
        assert_eq!(lines.span(1.0, 1.0), 0..0);
        assert_eq!(lines.span(1.2, 1.2), 1..2);
        assert_eq!(lines.span(-3.0, 9.0), 0..3);
        assert_eq!(lines.span(-3.0, 0.0), 0..0);
        assert_eq!(lines.span(4.0, 9.0), 0..0);
    }
}
