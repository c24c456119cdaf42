//! Cloths: how they lie in the shop, and which pieces are cut from them.

use super::{Check, lengths};
use crate::diagnostic::Diagnostic;
use crate::manifest::cloth::{Cloth, ClothPiece};
use crate::manifest::guide::GuideTexts;
use crate::manifest::raw::RawManifest;
use crate::manifest::raw_cloth::{RawCloth, RawClothPiece};
use crate::manifest::words::{Label, LengthText};
use crate::manifest::yaml::{item_path, key_path};
use crate::units::Length;
use std::collections::BTreeSet;

/// Widths that cloth is usually sold in (common practice, no published source).
const WIDTHS: [Length; 3] = [Length::mm(1100.0), Length::mm(1400.0), Length::mm(1500.0)];
/// Selvedges, the gap between pieces and the step of shops, unless the manifest says otherwise (common practice, no published source).
const SELVEDGE: Length = Length::mm(10.0);
const GAP: Length = Length::mm(3.0);
const ROUND_UP: Length = Length::mm(100.0);
/// The narrowest and widest cloth that a manifest may tell, and the widest gap; our own limits, wider than any loom and scissors.
const NARROW: Length = Length::mm(50.0);
const WIDE: Length = Length::mm(6000.0);
const MOST_GAP: Length = Length::mm(100.0);
/// Most that a cloth may shrink, in per cent, and weigh, in grams a square metre; our own limits.
const MOST_SHRINKAGE: f64 = 30.0;
const MOST_WEIGHT: f64 = 5000.0;
/// Most pieces that are cut from a cloth in one size; our own limit.
const MOST_PIECES: u32 = 200;

/// Reads the key `cloths`; `guide` has the cutting list.
pub fn read(check: &mut Check<'_>, raw: &RawManifest, guide: &GuideTexts) -> Vec<Cloth> {
    let cloths = check.each("cloths", &raw.cloths, |check, path, raw| cloth(check, path, raw, guide));
    let mut names = BTreeSet::new();
    for (index, cloth) in &cloths {
        if !names.insert(cloth.name.as_str()) {
            check.refuse(&key_path(&item_path("cloths", *index), "name"), error!("cloth-twice", name = cloth.name));
        }
    }
    cloths.into_iter().map(|(_, cloth)| cloth).collect()
}

fn cloth(check: &mut Check<'_>, path: &str, raw: &RawCloth, guide: &GuideTexts) -> Option<Cloth> {
    let at = |key: &str| key_path(path, key);
    let within = |check: &mut Check<'_>, key: &str, text: &Option<LengthText>, usual: Length, most: Length| match text {
        Some(text) => check.take(&at(key), lengths::between(&text.0, Length::ZERO, most)),
        None => Some(usual),
    };
    let widths = widths(check, &at("widths"), raw.widths.as_deref());
    let selvedge = within(check, "selvedge", &raw.selvedge, SELVEDGE, Length::mm(200.0));
    let gap = within(check, "gap", &raw.gap, GAP, MOST_GAP);
    let round_up = match &raw.round_up {
        Some(text) => check.take(&at("round-up"), lengths::between(&text.0, Length::mm(1.0), Length::mm(1000.0))),
        None => Some(ROUND_UP),
    };
    let shrinkage = match &raw.shrinkage {
        Some(text) => check.take(&at("shrinkage"), shrinkage(&text.0)),
        None => Some(0.0),
    };
    let weight = match &raw.weight {
        Some(text) => check.take(&at("weight"), weight(&text.0)).map(Some),
        None => Some(None),
    };
    let name = label(&raw.name);
    let pieces = pieces(check, path, raw, &name, guide);
    Some(Cloth {
        widths: widths?,
        selvedge: selvedge?,
        nap: raw.nap.unwrap_or_default(),
        spread: raw.lay.unwrap_or_default(),
        gap: gap?,
        shrinkage: shrinkage?,
        round_up: round_up?,
        weight: weight?,
        pieces: pieces?,
        what: raw.what.as_ref().map(|what| what.0.trim().to_owned()),
        name,
        entry: path.to_owned(),
    })
}

/// From narrow to wide, each once.
fn widths(check: &mut Check<'_>, path: &str, raw: Option<&[LengthText]>) -> Option<Vec<Length>> {
    let Some(raw) = raw else { return Some(WIDTHS.to_vec()) };
    let read = raw.iter().enumerate().map(|(i, text)| check.take(&item_path(path, i), lengths::between(&text.0, NARROW, WIDE)));
    let read: Vec<Option<Length>> = read.collect();
    let mut widths = read.into_iter().collect::<Option<Vec<Length>>>()?;
    widths.sort_by(|a, b| a.to_mm().total_cmp(&b.to_mm()));
    widths.dedup();
    Some(widths)
}

/// Per cent, as in `5 %`.
fn shrinkage(text: &str) -> Result<f64, Diagnostic> {
    let fits = percent(text).filter(|percent| (0.0..=MOST_SHRINKAGE).contains(percent));
    fits.ok_or_else(|| error!("cloth-shrinkage", text = text.trim(), most = MOST_SHRINKAGE))
}

/// The number before a per cent sign.
pub(super) fn percent(text: &str) -> Option<f64> {
    text.trim().strip_suffix('%').and_then(|number| number.trim_end().parse().ok())
}

/// Grams a square metre, as in `240 g/m²`.
fn weight(text: &str) -> Result<f64, Diagnostic> {
    let number = ["g/m²", "g/m2"].iter().find_map(|unit| text.trim().strip_suffix(unit));
    let grams = number.and_then(|number| number.trim_end().parse::<f64>().ok());
    let fits = grams.filter(|grams| *grams >= 1.0 && *grams <= MOST_WEIGHT);
    fits.ok_or_else(|| error!("cloth-weight", text = text.trim(), most = MOST_WEIGHT))
}

/// What the cutting list cuts from a cloth, in its order, then what only the cloth itself tells of.
fn pieces(check: &mut Check<'_>, path: &str, raw: &RawCloth, cloth: &str, guide: &GuideTexts) -> Option<Vec<ClothPiece>> {
    let at = |index: usize| item_path(&key_path(path, "pieces"), index);
    let own = |piece: &str| raw.pieces.iter().position(|raw| label(&raw.piece) == piece);
    let rows = guide.cutting_list.iter().enumerate().filter(|(_, row)| row.from.as_deref() == Some(cloth));
    let mut pieces: Vec<ClothPiece> = Vec::new();
    for (index, row) in rows {
        let listed = ClothPiece {
            piece: row.piece.clone(),
            count: row.count,
            mirrored: row.mirrored,
            fold: row.fold,
            outline: None,
            grain: None,
            fold_line: None,
            entry: item_path("guide.cutting-list", index),
        };
        pieces.push(match own(&row.piece).and_then(|index| Some((index, raw.pieces.get(index)?))) {
            Some((index, told)) => refined(check, &at(index), told, listed),
            None => listed,
        });
    }
    for (index, told) in raw.pieces.iter().enumerate() {
        let piece = label(&told.piece);
        if own(&piece) != Some(index) {
            check.refuse(&key_path(&at(index), "piece"), error!("cloth-piece/twice", piece, cloth));
        } else if pieces.iter().all(|known| known.piece != piece) {
            pieces.push(alone(&at(index), told));
        }
    }
    if let Some(twice) = pieces.iter().enumerate().find(|(i, one)| pieces.iter().take(*i).any(|it| it.piece == one.piece)) {
        check.refuse(&twice.1.entry, error!("cloth-piece/twice", piece = twice.1.piece, cloth));
        return None;
    }
    let odd: Vec<&ClothPiece> = pieces.iter().filter(|piece| piece.mirrored && piece.count % 2 == 1).collect();
    // Those of the cutting list are told there.
    let listed = |piece: &ClothPiece| guide.cutting_list.iter().any(|row| row.piece == piece.piece);
    let own = odd.iter().filter(|piece| !listed(piece));
    own.for_each(|piece| check.refuse(&piece.entry, error!("cut-form", cut = piece.count)));
    let count = pieces.iter().map(|piece| piece.count).sum::<u32>();
    if count > MOST_PIECES {
        check.refuse(path, error!("cloth-crowded", count, name = cloth, most = MOST_PIECES));
    }
    if pieces.is_empty() {
        check.refuse(path, error!("cloth-empty", cloth));
    }
    (odd.is_empty() && !pieces.is_empty()).then_some(pieces)
}

/// What the cutting list says of a piece with what the cloth adds; the two must agree.
fn refined(check: &mut Check<'_>, path: &str, told: &RawClothPiece, listed: ClothPiece) -> ClothPiece {
    let differs = [
        ("cut", told.cut.is_some_and(|cut| cut != listed.count)),
        ("mirrored", told.mirrored.is_some_and(|mirrored| mirrored != listed.mirrored)),
        ("fold", told.fold.is_some_and(|fold| fold != listed.fold)),
    ];
    for (key, _) in differs.into_iter().filter(|(_, differs)| *differs) {
        check.refuse(&key_path(path, key), error!("cloth-piece/differs", piece = listed.piece, key));
    }
    ClothPiece { count: listed.count, mirrored: listed.mirrored, fold: listed.fold, ..alone(path, told) }
}

fn alone(path: &str, told: &RawClothPiece) -> ClothPiece {
    ClothPiece {
        piece: label(&told.piece),
        count: told.cut.unwrap_or(1),
        mirrored: told.mirrored.unwrap_or_default(),
        fold: told.fold.unwrap_or_default(),
        outline: told.outline.as_ref().map(label),
        grain: told.grain.as_ref().map(label),
        fold_line: told.fold_line.as_ref().map(label),
        entry: path.to_owned(),
    }
}

fn label(text: &Label) -> String {
    text.0.trim().to_owned()
}
