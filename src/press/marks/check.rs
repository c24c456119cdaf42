//! The check page: squares, a bank card's outline and rules that run off the paper, so that a buyer can prove the scale.

use super::legend::legend;
use super::map::large_map;
use super::pens::{BODY, FIRM, HAIR, SMALL_PRINT, THIN, TITLE};
use super::rule::{Edge, edge_rule, rule};
use super::tongues::tongues;
use crate::catalogue::Direction;
use crate::manifest::Colour;
use crate::plan::Layout;
use crate::press::Job;
use crate::press::paper_title;
use crate::press::scene::{Anchor, Part, Scene, Type, rect};
use kurbo::Rect;

/// Bank card: ISO/IEC 7810, ID-1, nominal 85.60 × 53.98 mm, corner radius 3.18 mm (2.88 to 3.48 are allowed).
const CARD: (f64, f64, f64) = (85.6, 53.98, 3.18);
/// Left and right margin of the page's text, in mm: more than any known home printer needs.
const SIDE: f64 = 24.0;
/// How far the edge rules run in, in mm, and on paper so narrow that they would meet the long rule.
const REACH: (u32, u32) = (20, 15);
/// Where words and squares beside the large square begin, in mm.
const BESIDE: f64 = SIDE + 108.0;
/// Paper lower than this has no room above the square, in mm.
const LOW: f64 = 185.0;
/// Paper narrower than this gets the squares and rules alone, in mm.
const ROOMY_FROM: f64 = 190.0;
/// What stays free at the foot, in mm: as much as home printers need (print margins of `home`).
const FOOT: f64 = 16.0;
/// The lowest place that a map is drawn in, in mm.
const MAP_FROM: f64 = 18.0;
/// Widths of the sample lines, in mm (series of ISO 128-2).
const WIDTHS: [f64; 5] = [0.18, 0.25, 0.35, 0.5, 0.7];
/// Grey of the second row of samples.
const GREY: Colour = Colour { red: 128, green: 128, blue: 128 };

/// The check page of a home layout.
pub fn check_page(job: &Job, layout: &Layout) -> Scene {
    let (width, height) = (layout.sheet_size.width.to_mm(), layout.sheet_size.height.to_mm());
    let mut page = CheckPage { job, layout, scene: Scene::default(), width, height };
    page.edge_rules();
    // Small paper on its side has no room above the square: the words stand beside it.
    let beside = height < LOW;
    let (left, room) = if beside { (BESIDE, width - SIDE - BESIDE) } else { (SIDE, width - 2.0 * SIDE) };
    let ends = page.heading(left, room);
    let top = if beside { SIDE } else { ends };
    page.square((SIDE, top));
    page.scale_rule(top + 113.0);
    if width >= ROOMY_FROM && !beside {
        page.rest(top);
    }
    page.scene
}

struct CheckPage<'a> {
    job: &'a Job<'a>,
    layout: &'a Layout,
    scene: Scene,
    width: f64,
    height: f64,
}

impl CheckPage<'_> {
    fn say(&self, key: &str, values: &[(&str, &str)]) -> String {
        self.job.messages.text(key, values)
    }

    fn reach(&self) -> u32 {
        if self.width < 160.0 { REACH.1 } else { REACH.0 }
    }

    fn ink(&self) -> Colour {
        self.job.kit.mark_colour
    }

    /// Everything that small paper has no room for; on paper that lies on its side the table stands beside the squares.
    fn rest(&mut self, top: f64) {
        let lying = self.width > self.height;
        let column = if lying { BESIDE } else { self.width - SIDE - 50.8 };
        self.inch_square((column, top));
        legend(&mut self.scene, self.job, rect(column, top + 58.0, 50.8, 42.0));
        let next = self.reach_note(top + 125.0);
        let right = self.width - SIDE;
        let (left, y) = if lying { (column + 57.0, top + 2.5) } else { (SIDE, next + 4.0) };
        let ends = self.table((left, y), right - left);
        let (below, right) = if lying { (next, column - 6.0) } else { (ends, right) };
        let foot =
            tongues(&mut self.scene, self.job, Rect::new(SIDE, ends.max(next) - 0.5, self.width - SIDE, self.height - FOOT));
        let below = if lying { below } else { below.max(foot + 5.0) };
        self.map(rect(SIDE, below, right - SIDE, self.height - FOOT - below));
    }

    /// The map of the sheets, with links to them, in what is left of the page.
    fn map(&mut self, place: Rect) {
        if place.height() < MAP_FROM || self.layout.sheets.len() < 2 {
            return;
        }
        self.subtitle("check.map.title", (place.x0, place.y0 + 2.5), place.width());
        large_map(&mut self.scene, self.job, self.layout, Rect { y0: place.y0 + 5.0, ..place });
    }

    /// A heading within the page, over a column of a width.
    fn subtitle(&mut self, key: &str, at: (f64, f64), width: f64) {
        let (text, from) = (self.say(key, &[]), self.scene.words.len());
        self.set(&text, at, Type::bold(TITLE), width);
        self.scene.passage(Part::Heading, from);
    }

    /// Title, kit and instruction, from the head of the page; gives the place below them.
    fn heading(&mut self, left: f64, room: f64) -> f64 {
        let kit = self.job.kit;
        let title = self.say("check.title", &[]);
        let from = self.scene.words.len();
        self.set(&title, (left, 27.0), Type::bold(7.0).within(room), room);
        self.scene.passage(Part::Title, from);
        let edition = self.say("sheet.edition", &[("edition", &kit.edition.to_string())]);
        let size = self.job.messages.size(self.layout.sheet_size);
        let paper =
            self.say("check.paper", &[("paper", &paper_title(&self.layout.setup.paper, self.job.messages)), ("size", &size)]);
        let copy = self.job.copy();
        let parts: Vec<&str> =
            [Some(&kit.title), Some(&edition), Some(&paper), copy.as_ref()].into_iter().flatten().map(String::as_str).collect();
        let line = self.job.messages.line(&parts);
        let below = self.paragraph(&line, (left, 33.0), Type::regular(BODY), room, Part::Paragraph);
        let intro = self.say("check.intro", &[]);
        self.paragraph(&intro, (left, below + 4.0), Type::regular(TITLE), room, Part::Paragraph) + 2.0
    }

    /// Lines of words; gives the place below the last one.
    fn paragraph(&mut self, text: &str, at: (f64, f64), style: Type, width: f64, part: Part) -> f64 {
        let (step, from) = (style.size * 1.4, self.scene.words.len());
        let lines = self.job.faces.wrapped(text, style, width);
        for (index, line) in lines.iter().enumerate() {
            // A blank at the end of a line keeps its words apart from the next one's when they are read out.
            let line = if index + 1 < lines.len() { format!("{line} ") } else { line.clone() };
            self.set(&line, (at.0, at.1 + index as f64 * step), style, width);
        }
        self.scene.passage(part, from);
        at.1 + lines.len() as f64 * step
    }

    /// A line of words from the side of a column where the language begins to be read.
    fn set(&mut self, text: &str, (x, y): (f64, f64), style: Type, width: f64) {
        let (x, anchor) = if self.reads_rtl() { (x + width, Anchor::End) } else { (x, Anchor::Start) };
        let ink = self.ink();
        self.scene.words(text, (x, y), style, anchor, ink);
    }

    fn reads_rtl(&self) -> bool {
        self.job.messages.direction() == Direction::RightToLeft
    }

    /// The 100 mm square with a bank card's outline in it.
    fn square(&mut self, (x, y): (f64, f64)) {
        let ink = self.ink();
        self.scene.outline(rect(x, y, 100.0, 100.0), THIN, ink);
        self.scene.promise("square 100 mm across", (x, y), (x + 100.0, y));
        self.scene.promise("square 100 mm down", (x, y), (x, y + 100.0));
        let size = self.say("check.square.mm", &[]);
        self.scene.words(&size, (x + 50.0, y + 6.0), Type::bold(TITLE), Anchor::Middle, ink);
        let card = rect(x + (100.0 - CARD.0) / 2.0, y + 30.0, CARD.0, CARD.1);
        self.scene.outline(card.to_rounded_rect(CARD.2), THIN, ink);
        self.card_words(card);
    }

    fn card_words(&mut self, card: Rect) {
        let (ink, middle) = (self.ink(), card.center());
        let (text, standard) = (self.say("check.card", &[]), self.say("check.card.standard", &[]));
        for (index, line) in self.job.faces.wrapped(&text, Type::regular(TITLE), card.width() - 16.0).iter().enumerate() {
            let at = (middle.x, middle.y - 3.0 + index as f64 * 4.5);
            self.scene.words(line, at, Type::regular(TITLE), Anchor::Middle, ink);
        }
        self.scene.words(&standard, (middle.x, card.y1 - 5.0), Type::regular(SMALL_PRINT), Anchor::Middle, ink);
    }

    fn inch_square(&mut self, (x, y): (f64, f64)) {
        let ink = self.ink();
        self.scene.outline(rect(x, y, 50.8, 50.8), THIN, ink);
        self.scene.promise("square 2 in across", (x, y), (x + 50.8, y));
        self.scene.promise("square 2 in down", (x, y), (x, y + 50.8));
        let size = self.say("check.square.in", &[]);
        self.scene.words(&size, (x + 25.4, y + 6.0), Type::bold(TITLE), Anchor::Middle, ink);
    }

    /// The long rule between the edge rules of left and right.
    fn scale_rule(&mut self, y: f64) {
        let (ink, sheet, reach) = (self.ink(), (self.width, self.height), self.reach());
        let units = (self.say("sheet.unit.cm", &[]), self.say("sheet.unit.in", &[]));
        rule(&mut self.scene, ((self.width - 101.6) / 2.0, y), (10, 4), (&units.0, &units.1), ink);
        edge_rule(&mut self.scene, Edge::Left, y, sheet, reach, ink);
        edge_rule(&mut self.scene, Edge::Right, y, sheet, reach, ink);
    }

    /// The rules that run off the head and the foot.
    fn edge_rules(&mut self) {
        let (ink, sheet, reach) = (self.ink(), (self.width, self.height), self.reach());
        let across = self.width - SIDE / 2.0;
        edge_rule(&mut self.scene, Edge::Top, across, sheet, reach, ink);
        edge_rule(&mut self.scene, Edge::Bottom, across, sheet, reach, ink);
    }

    /// What the edge rules are for on the left, the sample lines on the right; gives the place below.
    fn reach_note(&mut self, y: f64) -> f64 {
        let half = (self.width - 2.0 * SIDE - 8.0) / 2.0;
        let right = SIDE + half + 8.0;
        self.subtitle("check.reach.title", (SIDE, y), half);
        let text = self.say("check.reach", &[]);
        let below = self.paragraph(&text, (SIDE, y + 4.6), Type::regular(BODY), half, Part::Paragraph);
        self.subtitle("check.lines.title", (right, y), half);
        self.samples((right, y + 4.0), half);
        let text = self.say("check.lines", &[]);
        below.max(self.paragraph(&text, (right, y + 14.2), Type::regular(BODY), half, Part::Paragraph))
    }

    fn samples(&mut self, (x, y): (f64, f64), width: f64) {
        let (ink, step) = (self.ink(), width / WIDTHS.len() as f64);
        for (index, &line) in WIDTHS.iter().enumerate() {
            let left = x + step * index as f64;
            self.scene.line((left, y), (left + step - 3.0, y), line, ink);
            self.scene.line((left, y + 2.0), (left + step - 3.0, y + 2.0), line, GREY);
            let words = self.job.messages.length(crate::units::Length::mm(line));
            self.scene.words(&words, (left, y + 5.4), Type::regular(SMALL_PRINT), Anchor::Start, ink);
        }
    }

    /// You measure → likely cause → do this; gives the place below.
    fn table(&mut self, (left, y): (f64, f64), width: f64) -> f64 {
        let ink = self.ink();
        let mut columns = [(left, 0.2 * width), (left + 0.22 * width, 0.35 * width), (left + 0.6 * width, 0.4 * width)];
        if self.reads_rtl() {
            columns = columns.map(|(x, own)| (2.0 * left + width - x - own, own));
        }
        self.subtitle("check.table.title", (left, y), width);
        let heads = ["check.table.measured", "check.table.cause", "check.table.remedy"].map(|key| self.say(key, &[]));
        let mut below = self.row(&heads, &columns, y + 5.2, true);
        for row in self.rows() {
            self.scene.line((left, below - 2.9), (left + width, below - 2.9), HAIR, ink);
            below = self.row(&row, &columns, below + 0.5, false);
        }
        self.scene.line((left, below - 2.9), (left + width, below - 2.9), FIRM, ink);
        below
    }

    fn rows(&self) -> [[String; 3]; 5] {
        let say = |key: &str| self.say(key, &[]);
        [
            [say("check.row.right.measured"), say("check.row.right.cause"), say("check.row.right.remedy")],
            [say("check.row.shrunk.measured"), say("check.row.shrunk.cause"), say("check.row.shrunk.remedy")],
            [say("check.row.paper.measured"), say("check.row.paper.cause"), say("check.row.paper.remedy")],
            [say("check.row.program.measured"), say("check.row.program.cause"), say("check.row.program.remedy")],
            [say("check.row.uneven.measured"), say("check.row.uneven.cause"), say("check.row.uneven.remedy")],
        ]
    }

    fn row(&mut self, cells: &[String; 3], columns: &[(f64, f64); 3], y: f64, head: bool) -> f64 {
        let style = if head { Type::bold(BODY) } else { Type::regular(BODY) };
        let part = |column: usize| Part::Cell { opens_row: column == 0, head };
        let cells = cells.iter().zip(columns).enumerate();
        let ends = cells.map(|(column, (cell, &(x, width)))| self.paragraph(cell, (x, y), style, width, part(column)));
        ends.fold(y, f64::max) + 1.0
    }
}
