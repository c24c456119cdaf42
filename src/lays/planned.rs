//! The lays of all cloths, sizes and widths: searched for on all cores, told in the order of the manifest.

use super::book::{ClothLays, LayBook, LayFigures, PieceShape, PlacedPiece, SeamLengths, SizeLays, VERSION, WidthLay};
use super::buy::bought;
use super::cut::{Cut, usable};
use super::neighbours::{Found, levelled};
use super::packing::{self, Bound, Job, Lay, Place, Refused};
use super::polygon;
use super::sought::sizes;
use crate::diagnostic::{Diagnostic, Place as Told};
use crate::manifest::{Cloth, Kit};
use crate::units::Length;
use rayon::prelude::*;

/// Where every search begins; our own choice, of no meaning.
const SEED: u64 = 1;
/// Places that a search looks at for each piece; our own choice, so that a kit of 24 lays takes moments and not minutes.
const EFFORT: u64 = 5_000;
/// Most places that a search looks at, however many pieces there are.
const MOST_EFFORT: u64 = 300_000;
/// How far off the bound the rounding up of places and lengths to hundredths of a millimetre may leave a lay.
const ROUNDING: Length = Length::mm(0.02);
/// What keeps a lay from being shorter, as it is told: the area of all pieces, or what finds no room beside others.
const AREA: &str = "area";
const BESIDE: &str = "beside";

/// One lay to be found.
struct Task<'a> {
    cloth: &'a Cloth,
    cut: &'a Cut,
    size: String,
    width: Length,
    /// Where the manifest tells of the cloth.
    place: Told,
}

/// The lays of a kit. `cuts` are what [`super::recognised`] gave, `seams` what [`super::measured`] gave, `kept` are lays of an
/// earlier edition: those whose pieces are the same stay as they are.
///
/// Fails with `piece-crossing` if an outline touches itself, and with `bug-lay` if a lay does not stand its proof.
pub fn planned(kit: &Kit, cuts: &[Vec<Cut>], seams: Vec<SeamLengths>, kept: Option<&LayBook>) -> Result<LayBook, Diagnostic> {
    let tasks: Vec<Task> = kit.cloths.iter().zip(cuts).flat_map(|(cloth, cuts)| tasks(kit, cloth, cuts)).collect();
    // Gathered first: of several faults the first of the manifest is told, not that of the fastest core.
    let found: Vec<Result<Found, Diagnostic>> = tasks.par_iter().map(|task| task.found(kept)).collect();
    let mut found = found.into_iter().collect::<Result<Vec<_>, _>>()?;
    let mut rest = found.as_mut_slice();
    for cloth in &kit.cloths {
        let (own, others) = rest.split_at_mut((cloth.widths.len() * sizes(kit).len()).min(rest.len()));
        levelled(own, cloth.widths.len());
        rest = others;
    }
    let mut lays = tasks.iter().zip(&found).map(|(task, found)| task.told(found));
    let of_cloth = |(cloth, cuts): (&Cloth, &Vec<Cut>)| {
        let named = sizes(kit).into_iter().map(|size| size_name(kit, size));
        let of_size = |(size, cut)| size_lays(cloth, size, cut, lays.by_ref().take(cloth.widths.len()).collect());
        cloth_lays(cloth, named.zip(cuts).map(of_size).collect())
    };
    let cloths = kit.cloths.iter().zip(cuts).map(of_cloth).collect();
    Ok(LayBook { version: VERSION, kit: kit.name.clone(), edition: kit.edition.to_string(), cloths, seams })
}

fn tasks<'a>(kit: &Kit, cloth: &'a Cloth, cuts: &'a [Cut]) -> Vec<Task<'a>> {
    let mut tasks = Vec::new();
    for (cut, size) in cuts.iter().zip(sizes(kit)) {
        let task = |width: &Length| Task {
            cloth,
            cut,
            size: size_name(kit, size),
            width: *width,
            place: kit.places.of_path(&cloth.entry),
        };
        tasks.extend(cloth.widths.iter().map(task));
    }
    tasks
}

fn size_name(kit: &Kit, size: Option<usize>) -> String {
    size.and_then(|size| kit.sizes.get(size)).map(|size| size.name.clone()).unwrap_or_default()
}

fn cloth_lays(cloth: &Cloth, sizes: Vec<SizeLays>) -> ClothLays {
    ClothLays {
        cloth: cloth.name.clone(),
        lay: cloth.spread,
        nap: cloth.nap,
        gap_mm: cloth.gap.to_mm(),
        selvedge_mm: cloth.selvedge.to_mm(),
        shrinkage_percent: cloth.shrinkage,
        round_up_mm: cloth.round_up.to_mm(),
        grams_per_square_metre: cloth.weight,
        sizes,
    }
}

fn size_lays(cloth: &Cloth, size: String, cut: &Cut, widths: Vec<WidthLay>) -> SizeLays {
    let area = cut.area();
    let grams = cloth.weight.map(|weight| thousandths(area / 1e6 * weight));
    SizeLays { size, area_mm2: area.round(), grams, pieces: shapes(cut), widths }
}

/// The pieces as they are told; also what tells whether a kept lay is still about the same pieces.
fn shapes(cut: &Cut) -> Vec<PieceShape> {
    let shape = |piece: &super::cut::CutPiece| PieceShape {
        piece: piece.told.piece.clone(),
        cut: piece.told.count,
        mirrored: piece.told.mirrored,
        on_fold: piece.told.fold,
        area_mm2: polygon::area(&piece.figure.whole).abs().round(),
        outline_mm: thousandths(polygon::length(&piece.figure.whole)),
        corners_mm: piece.figure.whole.iter().map(|point| [thousandths(point.x), thousandths(point.y)]).collect(),
    };
    cut.pieces.iter().map(shape).collect()
}

/// Finer than any pair of scissors, and the same on every machine.
pub(super) fn thousandths(mm: f64) -> f64 {
    (mm * 1000.0).round() / 1000.0
}

impl Task<'_> {
    fn found(&self, kept: Option<&LayBook>) -> Result<Found, Diagnostic> {
        let (parts, width) = (self.cut.parts(self.cloth), usable(self.cloth, self.width));
        let evaluations = (EFFORT * parts.len() as u64).min(MOST_EFFORT);
        let job = Job { parts, width, gap: self.cloth.gap, evaluations, seed: SEED, start: None };
        if self.cut.widest().is_some_and(|(_, across)| across > width) {
            return Ok(Found { job, lay: None, kept: false });
        }
        let earlier = kept.and_then(|book| self.earlier(book)).map(|lay| as_lay(&job, lay));
        // As it was kept, to the last digit: the same kit gives the same bytes again.
        if let Some(lay) = earlier.filter(|lay| packing::proven(&job, lay).is_ok()) {
            return Ok(Found { job, lay: Some(lay), kept: true });
        }
        let lay = packing::lay(&job).map_err(|refused| self.refusal(&refused))?;
        Ok(Found { job, lay: Some(lay), kept: false })
    }

    fn told(&self, found: &Found) -> WidthLay {
        let usable = found.job.width;
        let lay = found.lay.as_ref().map(|lay| self.figures(lay, usable));
        WidthLay { width_mm: self.width.to_mm(), usable_mm: thousandths(usable.to_mm()), lay }
    }

    /// How the same pieces lay on the same cloth in an earlier edition. From changed ones nothing is kept: what still holds may be
    /// far from the best by now.
    fn earlier<'b>(&self, book: &'b LayBook) -> Option<&'b LayFigures> {
        let (cloth, size, width) = book.find(&self.cloth.name, &self.size, self.width.to_mm())?;
        let laid = cloth_lays(self.cloth, Vec::new());
        let same_cloth = (cloth.lay, cloth.nap, cloth.gap_mm) == (laid.lay, laid.nap, laid.gap_mm);
        let same_width = width.usable_mm == thousandths(usable(self.cloth, self.width).to_mm());
        width.lay.as_ref().filter(|_| same_cloth && same_width && size.pieces == shapes(self.cut))
    }

    fn figures(&self, lay: &Lay, width: Length) -> LayFigures {
        let bought = bought(self.cloth, lay.length);
        LayFigures {
            length_mm: thousandths(lay.length.to_mm()),
            buy_mm: thousandths(bought.length.to_mm()),
            buy_eighths_of_yard: bought.eighths,
            utilisation_percent: (lay.utilisation(width) * 1000.0).round() / 10.0,
            bound_mm: thousandths(lay.bound.to_mm()),
            bound_by: match lay.bound_by {
                Bound::Area => AREA.into(),
                Bound::Beside => BESIDE.into(),
                Bound::Longest(_) => "longest".into(),
            },
            shortest: lay.distance() <= ROUNDING,
            seed: SEED,
            evaluations: lay.evaluations,
            places: self
                .cut
                .copies
                .iter()
                .zip(&lay.places)
                .map(|(copied, place)| PlacedPiece {
                    piece: copied.piece,
                    mirrored: copied.mirrored,
                    on_fold: copied.on_fold,
                    single: copied.single,
                    turned: place.turned,
                    along_mm: place.x.to_mm(),
                    across_mm: place.y.to_mm(),
                })
                .collect(),
        }
    }

    /// The finding for what cannot be laid. Crossings and widths were looked at before, so that only outlines that touch themselves
    /// are left; all else is a fault of ours.
    fn refusal(&self, refused: &[Refused]) -> Diagnostic {
        let touching = refused.iter().find_map(|why| match why {
            Refused::Crossing { part, .. } | Refused::TooFewPoints { part } => self.cut.copies.get(*part),
            _ => None,
        });
        let piece = touching.and_then(|copied| self.cut.pieces.get(copied.piece)).map(|piece| &piece.told.piece);
        let (cloth, size) = (&self.cloth.name, &self.size);
        let finding = match piece {
            Some(piece) => error!("piece-crossing/touches", piece, size),
            None => error!("bug-lay", cloth, size, why = format!("{refused:?}")),
        };
        finding.at(self.place.clone())
    }
}

/// A lay as it was found, from what is told of it.
fn as_lay(job: &Job, told: &LayFigures) -> Lay {
    let mm = Length::mm;
    let place = |place: &PlacedPiece| Place { turned: place.turned, x: mm(place.along_mm), y: mm(place.across_mm) };
    Lay {
        length: mm(told.length_mm),
        places: told.places.iter().map(place).collect(),
        area: job.parts.iter().map(|part| polygon::area(&part.outline).abs()).sum(),
        bound: mm(told.bound_mm),
        bound_by: match told.bound_by.as_str() {
            AREA => Bound::Area,
            BESIDE => Bound::Beside,
            _ => Bound::Longest(0),
        },
        evaluations: told.evaluations,
    }
}
