//! What a verification found: findings, measured figures, and how many checks of each kind were made.

use crate::diagnostic::{Code, Diagnostic, Findings, Place, Severity, counted};
use crate::units::Length;
use kurbo::{BezPath, Rect};
use std::collections::BTreeMap;

/// A kind of check, in the order of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Check {
    /// The zip can be read safely: names, sizes, nothing hidden.
    Package,
    /// Every file has its right checksum.
    Checksum,
    /// The checksums are signed with the publisher's key.
    Signature,
    /// What is promised makes sense, and the promised files, pages and sheets exist.
    Promises,
    /// PDFs can be read whole, embed their fonts, do nothing by themselves and ask for printing at 100 %.
    Pdf,
    /// Pages are as large as the paper.
    PageBox,
    /// Sheets carry their label and edition.
    Label,
    /// Printed scale marks have the promised length.
    ScaleMark,
    /// Control measurements of the drawing have the promised length.
    Control,
    /// Files of other languages have the same pages, sheets and lines as those of the source language.
    Languages,
    /// The sheets of every paper, put together, show the same drawing.
    Sheets,
    /// The marks of two neighbours meet on their join and name each other.
    Joins,
    /// The pages listed for each size are those that hold its lines.
    Sizes,
    /// Guides and read-mes agree with the rest of the package, and their links lead somewhere.
    Guides,
    /// HTML and SVG run nothing and load nothing.
    Markup,
}

impl Check {
    /// Stable name for machines.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Package => "package",
            Self::Checksum => "checksum",
            Self::Signature => "signature",
            Self::Promises => "promises",
            Self::Pdf => "pdf",
            Self::PageBox => "page-box",
            Self::Label => "label",
            Self::ScaleMark => "scale-mark",
            Self::Control => "control",
            Self::Languages => "languages",
            Self::Sheets => "sheets",
            Self::Joins => "joins",
            Self::Sizes => "sizes",
            Self::Guides => "guides",
            Self::Markup => "markup",
        }
    }

    /// Name for people.
    pub fn title(self) -> &'static str {
        match self {
            Self::Package => words!("files-of-package"),
            Self::Checksum => words!("checksums"),
            Self::Signature => words!("signature"),
            Self::Promises => words!("promised-files-pages"),
            Self::Pdf => words!("pdfs-safe-and-whole"),
            Self::PageBox => words!("page-sizes"),
            Self::Label => words!("labels-and-editions"),
            Self::ScaleMark => words!("scale-marks"),
            Self::Control => words!("control-measurements"),
            Self::Languages => words!("same-lines-in-all"),
            Self::Sheets => words!("same-drawing-on-all"),
            Self::Joins => words!("marks-meet-on-joins"),
            Self::Sizes => words!("pages-of-each-size"),
            Self::Guides => words!("guides-agree-with-sheets"),
            Self::Markup => words!("web-pages-and-svgs"),
        }
    }
}

/// How many checks of a kind were made and how many failed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Checks made.
    pub made: usize,
    /// Of these, checks that gave a finding.
    pub failed: usize,
}

/// One length that was promised and measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// The kind of check that measured it.
    pub check: Check,
    /// File in the package.
    pub file: String,
    /// Page, from 1; `None` if the ends lie on different pages.
    pub page: Option<usize>,
    /// What was measured, as in `rule 100 mm`.
    pub what: String,
    /// The length it should have.
    pub promised: Length,
    /// The length that was found.
    pub measured: Length,
    /// How far off it may be.
    pub tolerance: Length,
    /// Whether it is within the tolerance.
    pub fine: bool,
}

impl Figure {
    /// How far the measured length is from the promised one, without sign.
    pub fn deviation(&self) -> Length {
        (self.measured - self.promised).abs()
    }
}

/// A part of the drawing where something is off, for people to look at.
#[derive(Clone, Debug)]
pub struct Picture {
    /// What is off.
    pub caption: String,
    /// The part of the drawing that is shown, in its mm.
    pub window: Rect,
    /// Where lines should run.
    pub wanted: Vec<BezPath>,
    /// Where they were found.
    pub found: Vec<BezPath>,
}

/// The outcome of a verification.
#[derive(Clone, Debug)]
pub struct Verdict {
    /// The package as findings call it.
    pub package: String,
    /// Everything that is wrong, in the order it was found.
    pub findings: Findings,
    /// Everything that was measured.
    pub figures: Vec<Figure>,
    /// Where it is off, for a limited number of findings.
    pub pictures: Vec<Picture>,
    /// How many checks of each kind were made.
    pub tallies: BTreeMap<Check, Tally>,
    /// Names of control measurements that no file shows, since they lie on layers which are not printed.
    pub unprinted: Vec<String>,
}

impl Verdict {
    pub(super) fn new(package: &str) -> Self {
        let (figures, pictures, tallies, unprinted) = (Vec::new(), Vec::new(), BTreeMap::new(), Vec::new());
        Self { package: package.into(), findings: Findings::new(), figures, pictures, tallies, unprinted }
    }

    /// Whether nothing stands against the package; warnings may.
    pub fn is_fine(&self) -> bool {
        !self.findings.has_errors()
    }

    /// Where a file of the package is, for findings.
    pub(super) fn place(&self, file: &str) -> Place {
        Place::file(format!("{}/{file}", self.package))
    }

    /// Counts a check and keeps its finding, if it failed.
    pub(super) fn judge(&mut self, check: Check, result: Result<(), Diagnostic>) {
        self.take(check, result);
    }

    /// Like `judge`, and gives the value of a check that did not fail.
    pub(super) fn take<T>(&mut self, check: Check, result: Result<T, Diagnostic>) -> Option<T> {
        let tally = self.tallies.entry(check).or_default();
        tally.made += 1;
        tally.failed += usize::from(result.is_err());
        self.findings.take(result)
    }

    /// Counts a measurement and keeps its figure; `code` names the finding if it is too far off, `hint` says what to do then.
    pub(super) fn measure(&mut self, figure: Figure, code: Code, hint: &str) {
        let page = figure.page.map_or(String::new(), |page| say!("on-page", page));
        let finding = || {
            let (what, off) = (&figure.what, exact(figure.deviation()));
            let (measured, promised, tolerance) = (exact(figure.measured), exact(figure.promised), exact(figure.tolerance));
            let finding = error!(as code, "measures", what, page, measured, promised, off, tolerance);
            finding.at(self.place(&figure.file)).hint(hint)
        };
        let result = if figure.fine { Ok(()) } else { Err(finding()) };
        self.judge(figure.check, result);
        self.figures.push(figure);
    }

    /// The largest deviation measured by a kind of check, if it measured anything.
    pub fn largest(&self, check: Check) -> Option<Length> {
        self.figures.iter().filter(|figure| figure.check == check).map(Figure::deviation).reduce(Length::max)
    }

    /// A short verdict, then a table of the kinds of checks; findings are for the caller to print.
    pub fn text(&self) -> String {
        let mut text = format!("{}\n\n", self.headline());
        text.push_str(&row(words!("check"), words!("made"), words!("failed"), words!("largest-deviation")));
        for (&check, tally) in &self.tallies {
            // Kinds that only say yes or no leave the last column empty.
            let largest = self.largest(check).map_or(String::new(), exact);
            text.push_str(&row(check.title(), &tally.made.to_string(), &tally.failed.to_string(), &largest));
        }
        if let Some(left_out) = self.left_out() {
            text.push_str(&format!("\n{left_out}\n"));
        }
        text
    }

    /// What could not be measured, and why.
    pub(super) fn left_out(&self) -> Option<String> {
        let lengths = counted(self.unprinted.len(), "control measurement");
        (!self.unprinted.is_empty()).then(|| say!("not-measured-here", lengths))
    }

    pub(super) fn headline(&self) -> String {
        let made = counted(self.tallies.values().map(|tally| tally.made).sum(), "check");
        let errors = counted(self.findings.count(Severity::Error), "error");
        match (self.is_fine(), self.findings.count(Severity::Warning)) {
            (true, 0) => say!("fine", package = self.package, made),
            (true, n) => say!("fine-warnings", package = self.package, made, warnings = counted(n, "warning")),
            (false, 0) => say!("not-fine", package = self.package, errors, made),
            (false, n) => say!("not-fine-warnings", package = self.package, errors, warnings = counted(n, "warning"), made),
        }
    }
}

fn row(check: &str, made: &str, failed: &str, largest: &str) -> String {
    let line = format!("  {check:<34}{made:>6}{failed:>8}  {largest}");
    format!("{}\n", line.trim_end())
}

/// Millimetres to a ten-thousandth: hundredths, as lengths show themselves, would hide what is measured here.
pub(super) fn exact(length: Length) -> String {
    let rounded = (length.to_mm() * 1e4).round() / 1e4;
    // Adding nothing turns minus nought into nought.
    format!("{} mm", rounded + 0.0)
}
