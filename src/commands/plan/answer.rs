//! Answers to what a buyer asks: which pages for these sizes, and does a printer with these margins print it whole?

use crate::diagnostic::{Diagnostic, Findings, nearest, or_list};
use crate::guide::page_ranges;
use crate::manifest::{Kit, Press};
use crate::plan::Layout;
use crate::printers::Side;
use crate::units::{Length, LengthError, Margins};

/// What was asked beside the plan itself.
#[derive(Clone, Debug, Default)]
pub(super) struct Question {
    /// Indices of the sizes to print.
    pub(super) sizes: Vec<usize>,
    /// What a printer does not reach.
    pub(super) margins: Option<Margins>,
}

/// The answers for one layout.
#[derive(Clone, Debug, Default)]
pub(super) struct Answer {
    /// Sheets for the asked sizes and their pages, if sizes were asked.
    pub(super) sizes: Option<(usize, String)>,
    /// Sides of the page that would be cut, and by how much, if margins were asked and this is a home layout.
    pub(super) cut: Option<Vec<(Side, Length)>>,
}

impl Question {
    /// Reads sizes by name and margins as one or four lengths: top, right, bottom, left.
    pub(super) fn read(sizes: &[String], margins: &[String], kit: &Kit, findings: &mut Findings) -> Self {
        let known: Vec<&str> = kit.sizes.iter().map(|size| size.name.as_str()).collect();
        let index = |name: &String| known.iter().position(|known| known == name).ok_or_else(|| unknown(name, &known));
        let sizes = sizes.iter().filter_map(|name| findings.take(index(name))).collect();
        let lengths: Vec<Length> = margins.iter().filter_map(|text| findings.take(length(text))).collect();
        let margins = match (margins.len(), lengths.as_slice()) {
            (1, &[all]) => Some(Margins::even(all)),
            (4, &[top, right, bottom, left]) => Some(Margins { top, right, bottom, left }),
            (0, _) => None,
            _ => {
                findings.push(error!("argument-bad/margins"));
                None
            }
        };
        Self { sizes, margins }
    }

    /// The answers for a layout.
    pub(super) fn answer(&self, layout: &Layout) -> Answer {
        let home = layout.setup.paper.press == Press::Home;
        let sizes = (!self.sizes.is_empty()).then(|| {
            let sheets = layout.sheets_for(&self.sizes);
            let pages: Vec<usize> = sheets.iter().map(|&sheet| layout.page_of(sheet)).collect();
            (sheets.len(), page_ranges(&pages))
        });
        Answer { sizes, cut: self.margins.filter(|_| home).map(|margins| layout.cut_by(margins)) }
    }
}

fn unknown(name: &str, known: &[&str]) -> Diagnostic {
    let guess = nearest(name, known.iter().copied()).map(|near| say!("did-you-mean", near));
    error!("argument-bad/size", name).hint(guess.unwrap_or_else(|| say!("choose", choices = or_list(known))))
}

fn length(text: &str) -> Result<Length, Diagnostic> {
    text.parse().map_err(|error: LengthError| error!("argument-bad/length", error))
}
