//! The sheets that some sizes need, on the grid and with the labels of the whole layout.

use super::layout::{Facts, Join, Layout, LongCheck, Sheet, SizeSheets};

impl Layout {
    /// The layout for some sizes alone (indices into the kit's, in whose new order they are then); a one-size kit has none and
    /// keeps all sheets. `kept` are the pieces that those sizes' drawing still has, by their earlier indices.
    pub fn for_sizes(&self, sizes: &[usize], kept: &[usize]) -> Self {
        if sizes.is_empty() {
            return self.clone();
        }
        let own = self.for_sheets(&self.sheets_for(sizes));
        Self {
            sheets: own.sheets.iter().map(|sheet| among(sheet, sizes, kept)).collect(),
            sizes: sizes.iter().filter_map(|size| own.sizes.get(*size)).cloned().collect(),
            ..own
        }
    }

    /// The layout with some of its sheets alone, by their indices, rising.
    pub fn for_sheets(&self, sheets: &[usize]) -> Self {
        let new = |old: usize| sheets.iter().position(|sheet| *sheet == old);
        let join = |join: &Join| Some(Join { first: new(join.first)?, second: new(join.second)?, ..join.clone() });
        let of_size = |size: &SizeSheets| SizeSheets {
            name: size.name.clone(),
            sheets: size.sheets.iter().filter_map(|sheet| new(*sheet)).collect(),
        };
        Self {
            sheets: sheets.iter().filter_map(|sheet| self.sheets.get(*sheet)).cloned().collect(),
            joins: self.joins.iter().filter_map(join).collect(),
            sizes: self.sizes.iter().map(of_size).collect(),
            facts: self.facts.on(sheets),
            ..self.clone()
        }
    }
}

impl Facts {
    /// What is known of some sheets alone, by their earlier indices.
    fn on(&self, sheets: &[usize]) -> Self {
        let new = |old: usize| sheets.iter().position(|sheet| *sheet == old);
        let check = |check: &LongCheck| Some(LongCheck { first: new(check.first)?, second: new(check.second)?, ..*check });
        Self {
            slivers: self.slivers.iter().filter_map(|sheet| new(*sheet)).collect(),
            long_checks: self.long_checks.iter().filter_map(check).collect(),
            coverage: sheets.iter().filter_map(|sheet| self.coverage.get(*sheet)).copied().collect(),
            legends: sheets.iter().filter_map(|sheet| self.legends.get(*sheet)).copied().collect(),
            ..self.clone()
        }
    }
}

/// A sheet with its pieces and sizes by their new numbers.
fn among(sheet: &Sheet, sizes: &[usize], kept: &[usize]) -> Sheet {
    let place = |list: &[usize], old: &usize| list.iter().position(|it| it == old);
    Sheet {
        pieces: sheet.pieces.iter().filter_map(|piece| place(kept, piece)).collect(),
        sizes: sheet.sizes.iter().filter_map(|size| place(sizes, size)).collect(),
        ..sheet.clone()
    }
}
