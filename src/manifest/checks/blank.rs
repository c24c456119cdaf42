//! A blank kit: rows and columns of empty sheets in place of a drawing.

use super::Check;
use crate::manifest::raw::{RawBlank, RawManifest, RawPaper};
use crate::manifest::words::NameOr;
use crate::manifest::yaml::item_path;
use crate::manifest::{Blank, Format, Paper};

/// Reads the grid, if there is to be one; a drawing beside it is one too many.
pub fn read(check: &mut Check<'_>, raw: &RawManifest) -> Option<Blank> {
    let grid = check.optional("blank", &raw.blank, |blank| Ok(blank.clone()))?;
    if raw.drawing.value().is_some() {
        check.refuse("blank", error!("blank-drawing"));
    }
    rolls(check, raw);
    let RawBlank { rows, columns } = grid;
    Some(Blank { rows: rows as usize, columns: columns as usize })
}

/// A roll is as long as its drawing, so without one it has no sheets.
fn rolls(check: &mut Check<'_>, raw: &RawManifest) {
    for (index, paper) in raw.papers.value().into_iter().flatten().enumerate() {
        let roll = match paper {
            Some(NameOr::Name(name)) => is_roll(name),
            Some(NameOr::Told(RawPaper { paper, width, height, .. })) => {
                is_roll(&paper.0) || (width.is_some() && height.is_none())
            }
            None => false,
        };
        if roll {
            check.refuse(&item_path("papers", index), error!("blank-roll"));
        }
    }
}

fn is_roll(name: &str) -> bool {
    Paper::known(name.trim()).is_some_and(|paper| matches!(paper.format, Format::Roll(_)))
}
