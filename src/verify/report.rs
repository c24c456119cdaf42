//! The verdict as one page for people: what was measured, what is off, and pictures of where.

use super::verdict::{Check, Figure, Picture, Tally, Verdict, exact};
use crate::diagnostic::{Diagnostic, Severity, counted};
use crate::units::Length;
use kurbo::{BezPath, Rect};
use serde::Serialize;
use std::collections::BTreeMap;
use tera::{Context, Tera, TeraResult};

const PAGE: &str = include_str!("../../templates/report/report.html");
const STYLE: &str = include_str!("../../templates/report/report.css");
/// Thickness of a found line, of a promised one and its dashes, in parts of a picture's side.
const PENS: [f64; 3] = [0.012, 0.006, 0.03];

/// The page of a verdict: HTML that loads nothing and runs nothing.
///
/// Fails only if the template is broken, which a test rules out.
pub fn report(verdict: &Verdict) -> TeraResult<String> {
    let mut tera = Tera::new();
    tera.add_raw_template("report.html", PAGE)?;
    let mut context = Context::from_serialize(&Page::of(verdict))?;
    context.insert("style", STYLE);
    tera.render("report.html", &context)
}

#[derive(Serialize)]
struct Page {
    package: String,
    fine: bool,
    headline: String,
    findings: Vec<Finding>,
    pictures: Vec<Shown>,
    checks: Vec<Row>,
    files: Vec<File>,
    left_out: Option<String>,
}

#[derive(Serialize)]
struct Finding {
    severity: &'static str,
    code: &'static str,
    message: String,
    place: Option<String>,
    hints: Vec<String>,
}

#[derive(Serialize)]
struct Shown {
    caption: String,
    side: String,
    view: String,
    wanted: String,
    found: String,
    thick: f64,
    thin: f64,
    dash: f64,
}

#[derive(Serialize)]
struct Row {
    title: &'static str,
    made: usize,
    failed: usize,
    largest: String,
}

#[derive(Serialize)]
struct File {
    name: String,
    count: String,
    bad: usize,
    figures: Vec<Measured>,
}

#[derive(Serialize)]
struct Measured {
    what: String,
    page: String,
    promised: String,
    measured: String,
    tolerance: String,
    fine: bool,
}

impl Page {
    fn of(verdict: &Verdict) -> Self {
        let row = |(&check, tally): (&Check, &Tally)| Row {
            title: check.title(),
            made: tally.made,
            failed: tally.failed,
            largest: verdict.largest(check).map(exact).unwrap_or_default(),
        };
        // The page's heading names the package already.
        let headline = verdict.headline();
        Self {
            package: verdict.package.clone(),
            fine: verdict.is_fine(),
            headline: headline.strip_prefix(&format!("{}: ", verdict.package)).unwrap_or(&headline).to_owned(),
            findings: verdict.findings.iter().map(Finding::of).collect(),
            pictures: verdict.pictures.iter().map(Shown::of).collect(),
            checks: verdict.tallies.iter().map(row).collect(),
            files: files(&verdict.figures),
            left_out: verdict.left_out(),
        }
    }
}

impl Finding {
    fn of(finding: &Diagnostic) -> Self {
        let severity = if finding.severity == Severity::Error { "error" } else { "warning" };
        let place = finding.place.as_ref().map(ToString::to_string);
        let hints = finding.hints.iter().map(|hint| coded(hint)).collect();
        Self { severity, code: finding.code, message: coded(&finding.message), place, hints }
    }
}

impl Shown {
    fn of(picture: &Picture) -> Self {
        let Rect { x0, y0, .. } = picture.window;
        let (width, height) = (picture.window.width(), picture.window.height());
        let [thick, thin, dash] = PENS.map(|part| part * width);
        let data = |paths: &[BezPath]| paths.iter().map(BezPath::to_svg).collect::<Vec<_>>().join(" ");
        Self {
            caption: picture.caption.replace('`', ""),
            side: exact(Length::mm(width)),
            view: format!("{x0:.4} {y0:.4} {width:.4} {height:.4}"),
            wanted: data(&picture.wanted),
            found: data(&picture.found),
            thick,
            thin,
            dash,
        }
    }
}

/// A sentence as HTML, with what stands between backticks set as code.
fn coded(text: &str) -> String {
    let parts = text.split('`').map(quick_xml::escape::escape).enumerate();
    parts.map(|(index, part)| if index % 2 == 1 { format!("<code>{part}</code>") } else { part.into_owned() }).collect()
}

fn files(figures: &[Figure]) -> Vec<File> {
    let mut files: BTreeMap<&str, Vec<&Figure>> = BTreeMap::new();
    for figure in figures {
        files.entry(&figure.file).or_default().push(figure);
    }
    let file = |(name, figures): (&str, Vec<&Figure>)| File {
        name: name.to_owned(),
        count: counted(figures.len(), "figure"),
        bad: figures.iter().filter(|figure| !figure.fine).count(),
        figures: figures.into_iter().map(Measured::of).collect(),
    };
    files.into_iter().map(file).collect()
}

impl Measured {
    fn of(figure: &Figure) -> Self {
        Self {
            what: figure.what.clone(),
            page: figure.page.map(|page| page.to_string()).unwrap_or_default(),
            promised: exact(figure.promised),
            measured: exact(figure.measured),
            tolerance: exact(figure.tolerance),
            fine: figure.fine,
        }
    }
}
