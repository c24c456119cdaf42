//! The projection file: the whole drawing on one page, in thick lines on light and on dark ground, for people who project it onto cloth.

use super::pdf::{self, Extras, Page, View};
use super::scene::{Anchor, Scene, Type};
use super::{Forms, Job, Pressed};
use crate::diagnostic::Diagnostic;
use crate::drawing::{Drawing, Item, PathShape, Piece, Shape};
use crate::manifest::{Colour, Format, LONGEST_FILE, Paper, PaperSetup, Press};
use crate::plan::{Facts, Layout, Plate, PlateForm, Sheet, SizeSheets};
use crate::units::{self, Length, Margins, Size};
use kurbo::{Cap, Rect};

/// Free space around everything, in mm.
const AIR: f64 = 20.0;
/// The thinnest line, in mm: about two dots of a projector that fills a cutting table (common practice, no published source).
const THICK: f64 = 1.5;
/// How much longer dashes become, so that thick lines keep their patterns.
const DASHES: f64 = 3.0;
/// Squares beside each other in each of the two blocks, and above each other.
const SQUARES: (u32, u32) = (6, 2);
/// Sides of the squares in mm: 5 cm and 2 in.
const SIDES: [f64; 2] = [50.0, 50.8];
/// Where the squares begin below the head of the page, in mm.
const SQUARES_FROM: f64 = AIR + 24.0;
/// A fill that is lighter than this shows the ground, 0 to 255.
const LIGHT: f64 = 127.0;

/// A page's ground and what is drawn on it. The light lines are no pure white, which dazzles on dark cloth.
const GROUNDS: [(&str, Option<Colour>, Colour); 2] = [
    ("projection.light", None, Colour::BLACK),
    ("projection.dark", Some(Colour::BLACK), Colour { red: 255, green: 240, blue: 150 }),
];

/// One page for each ground, with the whole drawing on it; none for a drawing without ink.
pub fn projection_layout(job: &Job) -> Option<Layout> {
    let ink = job.ground.pieces.iter().map(|piece| piece.bounds).reduce(|a, b| a.union(b))?;
    let across = SIDES.iter().map(|side| side * f64::from(SQUARES.0)).sum::<f64>() + AIR;
    let band = SQUARES_FROM + SIDES[1] * f64::from(SQUARES.1) + AIR;
    let sheet_size = Size::mm((ink.width().max(across) + 2.0 * AIR).ceil(), (ink.height() + band + AIR).ceil());
    let placed = |x: f64, y: f64| {
        let at = units::Point::new(Length::mm(x), Length::mm(y));
        units::Rect::new(at, Size::mm(ink.width(), ink.height()))
    };
    let (tile, area) = (placed(AIR, band), placed(ink.x0, ink.y0));
    let sheets = GROUNDS.iter().map(|(key, ..)| sheet(job, job.messages.text(key, &[]), area)).collect();
    let size = |name: String| SizeSheets { name, sheets: (0..GROUNDS.len()).collect() };
    let mut sizes: Vec<SizeSheets> = job.kit.sizes.iter().map(|own| size(own.name.clone())).collect();
    if sizes.is_empty() {
        sizes.push(size(String::new()));
    }
    let (setup, facts) = (setup(job, sheet_size), Facts::default());
    let (origin, printable) = (area.min, units::Rect::new(units::Point::default(), sheet_size));
    Some(Layout { setup, sheet_size, printable, tile, origin, rows: 1, columns: 1, sheets, joins: Vec::new(), sizes, facts })
}

/// A page that shows all pieces; the drawing has no plate here.
fn sheet(job: &Job, label: String, area: units::Rect) -> Sheet {
    let (pieces, sizes) = ((0..job.drawing.pieces.len()).collect(), (0..job.kit.sizes.len()).collect());
    let plate = Plate { area: units::Rect::default(), form: PlateForm::Small, over_ink: false, largest_free: area.size() };
    Sheet { row: 0, column: 0, label, area, pieces, sizes, plate }
}

/// The page as a paper of its own.
fn setup(job: &Job, size: Size) -> PaperSetup {
    let title = job.messages.text("projection.title", &[]);
    let paper = Paper { id: "projection".into(), title, format: Format::Sheet(size), press: Press::Wide };
    let margins = Margins::even(Length::ZERO);
    PaperSetup { paper, margins, border: Length::ZERO, glue_edge: Length::ZERO, pin: None, longest: LONGEST_FILE }
}

/// The PDF of such a layout.
pub fn projection_pdf(job: &Job, layout: &Layout) -> Result<Pressed, Diagnostic> {
    let mut layers = job.layer_names();
    // Nothing is framed here: the last layer holds the squares, and one may switch them off.
    if let Some(last) = layers.last_mut() {
        (last.name, last.switchable) = (job.messages.text("layer.squares", &[]), true);
    }
    let title = job.messages.text("pdf.title.projection", &[("title", &job.kit.title)]);
    let drawings = GROUNDS.map(|(_, ground, ink)| thick(job.drawing, ink, ground.unwrap_or(Colour::WHITE)));
    let count = job.drawing.pieces.len();
    let pages: Vec<Page> = (0..GROUNDS.len()).filter_map(|index| page(job, layout, index, count)).collect();
    let forms = Forms::of(&side_by_side(&drawings));
    let bytes = pdf::write(&job.about(title), &layers, &side_by_side(&drawings), &forms, job.faces, &pages)?;
    let promises = pages.into_iter().enumerate();
    let promises = promises.flat_map(|(index, page)| page.marks.promises.into_iter().map(move |mark| (index + 1, mark)));
    Ok(Pressed { bytes, promises: promises.collect() })
}

/// All pieces of all drawings as one list, so that one file can show each on its page.
fn side_by_side(drawings: &[Drawing; 2]) -> Drawing {
    let [first, second] = drawings;
    Drawing { pieces: first.pieces.iter().chain(&second.pieces).cloned().collect(), ..first.clone() }
}

fn page(job: &Job, layout: &Layout, index: usize, count: usize) -> Option<Page> {
    let (_, ground, ink) = *GROUNDS.get(index)?;
    let sheet = layout.sheets.get(index)?;
    let whole = Rect::new(0.0, 0.0, layout.sheet_size.width.to_mm(), layout.sheet_size.height.to_mm());
    let shift = layout.tile.to_kurbo_mm().origin() - layout.origin.to_kurbo_mm();
    let drawing = Some(View { pieces: (index * count..(index + 1) * count).collect(), shift, clip: whole });
    let alt = job.messages.text("projection.alt", &[]);
    let extras = Extras { title: sheet.label.clone(), row: None, alt, ground };
    Some(Page { size: layout.sheet_size, label: sheet.label.clone(), drawing, marks: head(job, whole.width(), ink), extras })
}

/// Title and edition, and beneath them the squares to adjust the projector by.
fn head(job: &Job, width: f64, ink: Colour) -> Scene {
    let mut scene = Scene::default();
    let edition = job.messages.text("sheet.edition", &[("edition", &job.kit.edition.to_string())]);
    let title = format!("{} · {edition}", job.kit.title);
    let style = Type::bold(12.0).within(width - 2.0 * AIR);
    scene.words(&title, (AIR, AIR + 10.0), style, Anchor::Start, ink);
    let mut left = AIR;
    for (side, key) in SIDES.into_iter().zip(["projection.squares.cm", "projection.squares.in"]) {
        let says = job.messages.text(key, &[]);
        scene.words(&says, (left, SQUARES_FROM - 3.0), Type::regular(9.0), Anchor::Start, ink);
        squares(&mut scene, (left, SQUARES_FROM), side, ink);
        left += side * f64::from(SQUARES.0) + AIR;
    }
    scene
}

/// A block of squares; its whole width and height are promised.
fn squares(scene: &mut Scene, (x, y): (f64, f64), side: f64, ink: Colour) {
    let (right, foot) = (x + side * f64::from(SQUARES.0), y + side * f64::from(SQUARES.1));
    for column in 0..=SQUARES.0 {
        let x = x + side * f64::from(column);
        scene.line((x, y), (x, foot), THICK, ink);
    }
    for row in 0..=SQUARES.1 {
        let y = y + side * f64::from(row);
        scene.line((x, y), (right, y), THICK, ink);
    }
    let length = |mm: f64| (mm * 10.0).round() / 10.0;
    scene.promise(format!("squares {} mm across", length(right - x)), (x, y), (right, y));
    scene.promise(format!("squares {} mm down", length(foot - y)), (x, y), (x, foot));
}

/// The same drawing in one colour on a ground, no line of it thin; where lines run stays as it is.
fn thick(drawing: &Drawing, ink: Colour, ground: Colour) -> Drawing {
    let piece = |piece: &Piece| Piece {
        items: piece.items.iter().map(|item| thick_item(item, ink, ground)).collect(),
        bounds: piece.bounds.inflate(THICK, THICK),
        ..piece.clone()
    };
    Drawing { pieces: drawing.pieces.iter().map(piece).collect(), ..drawing.clone() }
}

fn thick_item(item: &Item, ink: Colour, ground: Colour) -> Item {
    // A picture stays what it is.
    let Shape::Path(path) = &item.shape else { return item.clone() };
    let shown = |colour: Colour| if brightness(colour) > LIGHT { ground } else { ink };
    let fill = path.fill.map(|fill| crate::drawing::Fill { colour: shown(fill.colour), opacity: 1.0, ..fill });
    let stroke = path.stroke.as_ref().map(|stroke| {
        let mut style = stroke.style.clone().with_caps(Cap::Butt);
        style.width = style.width.max(THICK);
        style.dash_pattern.iter_mut().for_each(|dash| *dash *= DASHES);
        style.dash_offset *= DASHES;
        // Only what is as good as white is no line: pale ones are just what must not get lost.
        let white = [stroke.colour.red, stroke.colour.green, stroke.colour.blue].iter().all(|&part| part > 250);
        crate::drawing::Stroke { colour: if white { ground } else { ink }, opacity: 1.0, style }
    });
    Item { shape: Shape::Path(PathShape { fill, stroke, ..path.clone() }), ..item.clone() }
}

/// How light a colour looks, 0 to 255 (ISO 32000-1, 10.3.2).
fn brightness(colour: Colour) -> f64 {
    0.30 * f64::from(colour.red) + 0.59 * f64::from(colour.green) + 0.11 * f64::from(colour.blue)
}
