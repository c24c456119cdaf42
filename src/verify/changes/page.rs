//! Changes as one page for people: each changed sheet as it was, as it is, and both over each other.

use super::{Changes, GuideChange, PaperChange, SheetChange};
use kurbo::{BezPath, PathEl, Point, Rect, Shape};
use serde::Serialize;
use tera::{Context, Tera, TeraResult};

const PAGE: &str = include_str!("../../../templates/changes/page.html");
const STYLES: [&str; 2] =
    [include_str!("../../../templates/report/report.css"), include_str!("../../../templates/changes/changes.css")];
/// Thickness of a line, in parts of a picture's longer side.
const PEN: f64 = 0.004;
/// Side of the part that is shown magnified, in mm.
const CLOSE: f64 = 30.0;

/// The page: HTML that loads nothing and runs nothing.
///
/// Fails only if the template is broken, which a test rules out.
pub fn page(changes: &Changes) -> TeraResult<String> {
    let mut tera = Tera::new();
    tera.add_raw_template("page.html", PAGE)?;
    let mut context = Context::from_serialize(&Page::of(changes))?;
    context.insert("style", &STYLES.concat());
    tera.render("page.html", &context)
}

#[derive(Serialize)]
struct Page {
    headline: String,
    same: bool,
    papers: Vec<PaperView>,
    /// Files of which no sheet differs.
    as_before: Vec<String>,
    others: Vec<String>,
    guides: Vec<GuideView>,
}

#[derive(Serialize)]
struct PaperView {
    title: String,
    file: String,
    verdict: String,
    rows: Vec<Row>,
    /// Path data of what is in both editions, in the earlier one, in the newer one.
    both: String,
    old: String,
    new: String,
    sheets: Vec<SheetView>,
}

#[derive(Serialize)]
struct Row {
    label: String,
    page: usize,
    how: String,
}

#[derive(Serialize)]
struct SheetView {
    label: String,
    pictures: Vec<Picture>,
}

#[derive(Serialize)]
struct Picture {
    caption: String,
    says: String,
    view: String,
    pen: f64,
    frame: Option<String>,
    old: bool,
    new: bool,
}

#[derive(Serialize)]
struct GuideView {
    language: String,
    added: Vec<String>,
    removed: Vec<String>,
}

impl Page {
    fn of(changes: &Changes) -> Self {
        Self {
            headline: changes.headline(),
            same: changes.is_none(),
            papers: papers(&changes.papers.both),
            as_before: changes.papers.both.iter().filter(|paper| !paper.differs()).map(|paper| paper.file.clone()).collect(),
            others: changes.others(),
            guides: changes.guides.both.iter().map(GuideView::of).collect(),
        }
    }
}

/// All papers that differ; one that has several files, in other languages or pens, shows pictures once.
fn papers(papers: &[PaperChange]) -> Vec<PaperView> {
    let alike = |one: &PaperChange, two: &PaperChange| one.paper == two.paper && one.told() == two.told();
    let first = |index: usize, paper: &PaperChange| !papers.iter().take(index).any(|before| alike(before, paper));
    let differing = papers.iter().enumerate().filter(|(_, paper)| paper.differs());
    differing.map(|(index, paper)| PaperView::of(paper, first(index, paper))).collect()
}

impl PaperView {
    fn of(paper: &PaperChange, pictured: bool) -> Self {
        let told = || paper.sheets.iter().filter(|sheet| sheet.by_ink() || sheet.new || sheet.by_words());
        let shown: Vec<&SheetChange> = told().filter(|sheet| pictured && sheet.by_ink()).collect();
        let near = |path: &&BezPath| shown.iter().any(|sheet| path.bounding_box().overlaps(sheet.area));
        let data = |paths: &[BezPath]| paths.iter().filter(near).map(data).collect::<String>();
        Self {
            title: paper.title.clone(),
            file: paper.file.clone(),
            verdict: paper.verdict(),
            rows: told().map(Row::of).collect(),
            both: data(&paper.lines.both),
            old: data(&paper.lines.old),
            new: data(&paper.lines.new),
            sheets: shown.iter().map(|sheet| SheetView::of(sheet)).collect(),
        }
    }
}

impl Row {
    fn of(sheet: &SheetChange) -> Self {
        Self { label: sheet.label.clone(), page: sheet.page, how: sheet.how() }
    }
}

impl SheetView {
    fn of(sheet: &SheetChange) -> Self {
        let whole = |caption: &str, old, new| picture(caption, sheet, sheet.area, (old, new));
        let mut pictures =
            vec![whole("before", true, false), whole("now", false, true), whole("one over the other", true, true)];
        pictures.extend(sheet.at.map(|at| {
            let part = Rect::from_center_size(at, (CLOSE, CLOSE));
            picture("a part of it, magnified; broken lines are those of before", sheet, part, (true, true))
        }));
        Self { label: sheet.label.clone(), pictures }
    }
}

fn picture(caption: &str, sheet: &SheetChange, part: Rect, (old, new): (bool, bool)) -> Picture {
    let side = part.width().max(part.height());
    let (x, y, width, height) = (part.x0, part.y0, part.width(), part.height());
    Picture {
        caption: caption.to_owned(),
        says: format!("Sheet {}: {caption}", sheet.label),
        view: format!("{x:.2} {y:.2} {width:.2} {height:.2}"),
        pen: (side * PEN * 1000.0).round() / 1000.0,
        frame: (part != sheet.area).then(|| data(&sheet.area.to_path(0.1))),
        old,
        new,
    }
}

/// Path data to a hundredth of a millimetre: what a screen shows is coarser.
fn data(path: &BezPath) -> String {
    let round = |point: Point| Point::new((point.x * 100.0).round() / 100.0, (point.y * 100.0).round() / 100.0);
    let rounded = path.elements().iter().map(|element| match *element {
        PathEl::MoveTo(a) => PathEl::MoveTo(round(a)),
        PathEl::LineTo(a) => PathEl::LineTo(round(a)),
        PathEl::QuadTo(a, b) => PathEl::QuadTo(round(a), round(b)),
        PathEl::CurveTo(a, b, c) => PathEl::CurveTo(round(a), round(b), round(c)),
        PathEl::ClosePath => PathEl::ClosePath,
    });
    rounded.collect::<BezPath>().to_svg()
}

impl GuideView {
    fn of(guide: &GuideChange) -> Self {
        Self { language: guide.language.clone(), added: guide.added.clone(), removed: guide.removed.clone() }
    }
}
