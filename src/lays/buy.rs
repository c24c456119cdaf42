//! From the length of a lay to what is bought: shrinkage added, rounded up to the step of shops.

use crate::manifest::Cloth;
use crate::units::Length;

/// An eighth of a yard (1 yd = 914.4 mm, international yard and pound agreement of 1959).
const EIGHTH: Length = Length::mm(914.4 / 8.0);
/// What a length may be over a step without costing the next, in mm: the error budget.
const SLACK: f64 = 0.01;

/// What is bought of a cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bought {
    /// The length before it is rounded, shrinkage added.
    pub needed: Length,
    /// Rounded up to the step of the cloth.
    pub length: Length,
    /// Rounded up to eighths of a yard.
    pub eighths: u32,
}

/// What is bought for a lay of some length.
pub fn bought(cloth: &Cloth, lay: Length) -> Bought {
    // Cloth that shrinks by 5 % keeps 95 % of what was bought.
    let needed = lay * (1.0 / (1.0 - cloth.shrinkage / 100.0));
    let steps = |step: Length| steps(needed, step);
    // Casting a float saturates, so that no length can go wrong here.
    Bought { needed, length: cloth.round_up * steps(cloth.round_up), eighths: steps(EIGHTH) as u32 }
}

/// How many steps hold a length, one at least.
pub(super) fn steps(length: Length, step: Length) -> f64 {
    ((length.to_mm() - SLACK) / step.to_mm()).ceil().max(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::manifest::Spread;

    #[test]
    fn lengths_are_rounded_up_and_shrinkage_is_added_first() {
        let cloth = |shrinkage: f64| Cloth {
            name: "a".into(),
            what: None,
            widths: Vec::new(),
            selvedge: Length::ZERO,
            nap: false,
            spread: Spread::Open,
            gap: Length::ZERO,
            shrinkage,
            round_up: Length::mm(100.0),
            weight: None,
            pieces: Vec::new(),
            entry: String::new(),
        };
        let bought = |shrinkage: f64, mm: f64| {
            let bought = bought(&cloth(shrinkage), Length::mm(mm));
            (bought.length.to_mm(), bought.eighths)
        };
        // 950 mm keep 95 % of a metre; 914.4 mm are a yard.
        assert_eq!(bought(5.0, 950.0), (1000.0, 9));
        assert_eq!(bought(0.0, 900.001), (900.0, 8));
        assert_eq!(bought(0.0, 900.02), (1000.0, 8));
        assert_eq!(bought(0.0, 914.4), (1000.0, 8));
        assert_eq!(bought(0.0, 914.5), (1000.0, 9));
    }
}
