//! Pieces recognised in the drawing, and everything that stands in the way, each told once for all sizes that it is true of.

use super::cut::{Cut, usable};
use super::shape::{Fault, Line, figure};
use super::sought::{Wanted, sizes, wanted};
use super::told::in_sizes;
use crate::diagnostic::{Diagnostic, Findings, Place};
use crate::drawing::{Traced, Untraced, plain};
use crate::manifest::{Cloth, ClothPiece, Kit};
use crate::units::Length;

type Found = Result<Traced, Untraced>;

/// What is cut for a kit: for each cloth, for each size. `traced` are the lines that [`super::sought`] asked for.
///
/// There is nothing unless everything was recognised.
pub fn recognised(kit: &Kit, traced: &[Found]) -> (Vec<Vec<Cut>>, Findings) {
    let (mut faults, mut cuts) = (Faults::default(), Vec::new());
    let mut lines = wanted(kit).into_iter().zip(traced.chunks(3));
    for cloth in &kit.cloths {
        let of_size = |_| {
            let mut cut = Cut::default();
            for (wanted, lines) in lines.by_ref().take(cloth.pieces.len()) {
                let [outline, grain, fold] = lines else { continue };
                match figure(outline, grain, fold, wanted.piece.fold) {
                    Ok(figure) => cut.add(wanted.piece, figure, cloth.spread),
                    Err(found) => found.into_iter().for_each(|fault| faults.add(kit, &wanted, outline, fault)),
                }
            }
            cut
        };
        cuts.push(sizes(kit).into_iter().map(of_size).collect::<Vec<Cut>>());
    }
    let mut findings = faults.told(kit);
    if !findings.has_errors() {
        let narrow = kit.cloths.iter().zip(&cuts).flat_map(|(cloth, cuts)| too_narrow(kit, cloth, cuts));
        findings.extend(narrow.collect::<Vec<_>>());
    }
    (cuts, findings)
}

/// Faults by cloth and piece, each with the sizes that have it.
#[derive(Default)]
struct Faults(Vec<Told>);

struct Told {
    entry: String,
    piece: ClothPiece,
    fault: Fault,
    drawn: Option<Place>,
    sizes: Vec<Option<usize>>,
}

impl Faults {
    fn add(&mut self, kit: &Kit, wanted: &Wanted, outline: &Found, fault: Fault) {
        let drawn = outline.as_ref().ok().map(|traced| traced.place.clone());
        let Wanted { piece, size, .. } = *wanted;
        // The same line of a drawing may be wanted by two cloths; its fault is one.
        let same = |told: &&mut Told| {
            told.piece.piece == piece.piece
                && std::mem::discriminant(&told.fault) == std::mem::discriminant(&fault)
                && line(&told.fault) == line(&fault)
        };
        match self.0.iter_mut().find(same) {
            Some(told) if told.sizes.contains(&size) => {}
            Some(told) => told.sizes.push(size),
            None => {
                let entry = if kit.places.has(&piece.entry) { piece.entry.clone() } else { wanted.cloth.entry.clone() };
                self.0.push(Told { entry, piece: piece.clone(), fault, drawn, sizes: vec![size] });
            }
        }
    }

    fn told(self, kit: &Kit) -> Findings {
        let mut findings = Findings::new();
        findings.extend(self.0.iter().map(|told| told.finding(kit)));
        findings
    }
}

fn line(fault: &Fault) -> Option<Line> {
    if let Fault::Line(line, _) = fault { Some(*line) } else { None }
}

impl Told {
    /// The finding: what was not found stands in the manifest, what is badly drawn in the drawing.
    fn finding(&self, kit: &Kit) -> Diagnostic {
        let (piece, sizes) = (&self.piece.piece, in_sizes(kit, &self.sizes));
        let manifest = kit.places.of_path(&self.entry);
        let drawn = self.drawn.clone().unwrap_or_else(|| manifest.clone());
        match &self.fault {
            Fault::Line(line, why) => self.unfound(kit, *line, why, &sizes).at(manifest),
            Fault::Open(apart) => error!("piece-open", piece, sizes, apart = format_args!("{apart:.2}")).at(drawn),
            Fault::Flat => error!("piece-open/flat", piece, sizes).at(drawn),
            Fault::Crossing(at) => {
                error!("piece-crossing", piece, sizes, x = format_args!("{:.1}", at.x), y = format_args!("{:.1}", at.y))
                    .at(drawn)
            }
            Fault::Corners(count) => error!("piece-corners", piece, sizes, count).at(drawn),
            Fault::Bent => error!("piece-grain", piece, sizes).at(manifest),
            Fault::NoFold => error!("piece-fold", piece, sizes, name = self.name(kit, Line::Fold)).at(drawn),
            Fault::OverFold(over) => {
                let (name, over) = (self.name(kit, Line::Fold), format_args!("{over:.1}"));
                error!("piece-fold/over", piece, sizes, over, name).at(drawn)
            }
        }
    }

    fn unfound(&self, kit: &Kit, line: Line, why: &Untraced, sizes: &str) -> Diagnostic {
        let (what, key) = match line {
            Line::Outline => (words!("cutting-line"), "outline"),
            Line::Grain => (words!("grainline"), "grain"),
            Line::Fold => (words!("line-on-fold"), "fold-line"),
        };
        let (piece, name) = (&self.piece.piece, self.name(kit, line));
        match why {
            Untraced::Missing(near) => {
                let finding = error!("piece-unfound", what, piece, sizes);
                let finding = finding.hint(say!("piece-unfound/name-it", name, key));
                near.as_ref().map_or(finding.clone(), |near| finding.hint(say!("piece-unfound/near", near)))
            }
            Untraced::Several(name, count) => error!("piece-unfound/several", what, piece, sizes, name, count),
            Untraced::Unfit(name, why) => error!("piece-unfound/unfit", what, piece, sizes, name, why),
        }
    }

    /// The name that a line of the first size goes by, or should.
    fn name(&self, kit: &Kit, line: Line) -> String {
        let ClothPiece { piece, outline, grain, fold_line, .. } = &self.piece;
        let (own, kind) = match line {
            Line::Outline => (outline, "cut"),
            Line::Grain => (grain, "grain"),
            Line::Fold => (fold_line, "fold"),
        };
        let size = self.sizes.first().copied().flatten().and_then(|size| kit.sizes.get(size)).map(|size| size.name.clone());
        match (own, size) {
            (Some(own), size) => own.replace("<size>", &size.unwrap_or_default()),
            // Grainlines and folds are as a rule the same for all sizes.
            (None, Some(size)) if line == Line::Outline => plain(&format!("{kind} {piece} {size}")),
            (None, _) => plain(&format!("{kind} {piece}")),
        }
    }
}

/// Widths that are too narrow for a piece: worth a warning, as long as the widest of them will do.
fn too_narrow(kit: &Kit, cloth: &Cloth, cuts: &[Cut]) -> Vec<Diagnostic> {
    cloth.widths.iter().filter_map(|width| narrow(kit, cloth, cuts, *width)).collect()
}

fn narrow(kit: &Kit, cloth: &Cloth, cuts: &[Cut], width: Length) -> Option<Diagnostic> {
    let usable = usable(cloth, width);
    let widest = cuts.iter().zip(sizes(kit)).filter_map(|(cut, size)| Some((cut.widest()?, size)));
    let over: Vec<_> = widest.filter(|((_, across), _)| *across > usable).collect();
    let ((piece, across), _) = over.iter().max_by(|a, b| a.0.1.to_mm().total_cmp(&b.0.1.to_mm()))?;
    let sizes = in_sizes(kit, &over.iter().map(|(_, size)| *size).collect::<Vec<_>>());
    let (piece, name, cm) = (&piece.told.piece, &cloth.name, width.to_mm() / 10.0);
    let (across, usable) = (format!("{:.0}", across.to_mm().ceil()), format!("{:.0}", usable.to_mm().floor()));
    let finding = match cloth.widths.last() == Some(&width) {
        true => error!("cloth-narrow", name, cm, piece, sizes, across, usable),
        false => warning!("cloth-narrow/some", name, cm, piece, sizes, across, usable),
    };
    Some(finding.at(kit.places.of_path(&cloth.entry)))
}
