//! How long seams are, and what is sewn along them: lines of the drawing, measured in f64.

use super::book::{SeamLength, SeamLengths};
use super::buy::steps;
use super::planned::thousandths;
use super::sought::{sizes, wanted};
use super::told::in_sizes;
use crate::diagnostic::{Diagnostic, Findings};
use crate::drawing::{Sought, Traced, Untraced};
use crate::manifest::{Kit, Seam};
use crate::units::Length;
use kurbo::Shape;

/// How exactly curves are measured, in mm: a tenth of the error budget.
const EXACT: f64 = 0.001;

type Found = Result<Traced, Untraced>;

/// The lines that seams run along: seam by seam, size by size.
pub(super) fn sought(kit: &Kit) -> impl Iterator<Item = Sought> + '_ {
    kit.seams.iter().flat_map(|seam| sizes(kit).into_iter().flat_map(|size| of_size(kit, seam, size)))
}

fn of_size<'a>(kit: &'a Kit, seam: &'a Seam, size: Option<usize>) -> impl Iterator<Item = Sought> + 'a {
    let name = size.and_then(|size| kit.sizes.get(size)).map(|size| size.name.as_str());
    seam.lines(name).map(move |line| Sought { exactly: Some(line), size, ..Sought::default() })
}

/// The lengths of all seams. `traced` are the lines that [`super::sought`] asked for, those of pieces first.
///
/// A line that cannot be measured is told as `seam-unfound`, once for all sizes.
pub fn measured(kit: &Kit, traced: &[Found]) -> (Vec<SeamLengths>, Findings) {
    let mut lines = traced.iter().skip(3 * wanted(kit).len());
    let mut findings = Findings::new();
    let seam = |seam: &Seam| {
        let mut faults = vec![(None, Vec::new()); seam.along.len()];
        let mut size = |size: Option<usize>| {
            let found: Vec<&Found> = lines.by_ref().take(seam.along.len()).collect();
            for (found, fault) in found.iter().zip(&mut faults) {
                if let Err(why) = found {
                    fault.0.get_or_insert(why);
                    fault.1.push(size);
                }
            }
            let name = size.and_then(|size| kit.sizes.get(size)).map(|size| size.name.clone()).unwrap_or_default();
            length(seam, name, found.into_iter().flatten())
        };
        let lengths = SeamLengths {
            seam: seam.name.clone(),
            share_percent: seam.share * 100.0,
            round_up_mm: seam.round_up.to_mm(),
            sizes: sizes(kit).into_iter().map(&mut size).collect(),
        };
        let told = faults.iter().enumerate().filter_map(|(line, (why, sizes))| Some((line, (*why)?, sizes)));
        findings.extend(told.map(|(line, why, sizes)| unfound(kit, seam, line, why, sizes)).collect::<Vec<_>>());
        lengths
    };
    let lengths = kit.seams.iter().map(seam).collect();
    (lengths, findings)
}

/// What the lines of a size come to.
fn length<'a>(seam: &Seam, size: String, lines: impl Iterator<Item = &'a Traced>) -> SeamLength {
    let along: f64 = lines.flat_map(|line| &line.paths).map(|path| path.perimeter(EXACT)).sum::<f64>() * f64::from(seam.times);
    let needed = Length::mm(along * seam.share) + seam.extra;
    let told = seam.round_up * steps(needed, seam.round_up);
    SeamLength { size, along_mm: thousandths(along), length_mm: thousandths(told.to_mm()) }
}

fn unfound(kit: &Kit, seam: &Seam, line: usize, why: &Untraced, sizes: &[Option<usize>]) -> Diagnostic {
    let first = sizes.first().copied().flatten().and_then(|size| kit.sizes.get(size)).map(|size| size.name.as_str());
    let line_name = seam.lines(first).nth(line).unwrap_or_default();
    let (name, sizes) = (&seam.name, in_sizes(kit, sizes));
    let finding = match why {
        Untraced::Missing(near) => {
            let finding = error!("seam-unfound", line = line_name, name, sizes);
            near.iter().fold(finding, |finding, near| finding.hint(say!("piece-unfound/near", near)))
        }
        Untraced::Several(line, count) => error!("seam-unfound/several", line, name, sizes, count),
        Untraced::Unfit(line, why) => error!("seam-unfound/unfit", line, name, sizes, why),
    };
    finding.at(kit.places.of_path(&format!("{}.along[{line}]", seam.entry)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seam(share: f64, extra: f64, times: u32) -> Seam {
        Seam {
            name: "Elastic".into(),
            what: None,
            along: vec!["waist".into()],
            times,
            share,
            extra: Length::mm(extra),
            round_up: Length::mm(10.0),
            entry: "seams[0]".into(),
        }
    }

    #[test]
    fn lengths_are_those_of_circles_and_lines_added_up_shared_and_rounded_up() {
        let circle = kurbo::Circle::new((0.0, 0.0), 100.0).to_path(1e-6);
        let line = kurbo::Line::new((0.0, 0.0), (30.0, 40.0)).to_path(1e-6);
        let traced = Traced { paths: vec![circle, line], place: crate::diagnostic::Place::file("a.svg") };
        let told = |seam: &Seam| {
            let told = length(seam, String::new(), [&traced].into_iter());
            (told.along_mm, told.length_mm)
        };
        // Once round a circle of radius 100 mm is 628.319 mm; 30 and 40 are the legs of a triangle whose third side is 50.
        assert_eq!(told(&seam(1.0, 0.0, 1)), (678.319, 680.0));
        // 678.319 x 2 x 0.9 + 20 = 1240.97.
        assert_eq!(told(&seam(0.9, 20.0, 2)), (1356.637, 1250.0));
    }
}
