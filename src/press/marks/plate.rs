//! The plate: label, kit, edition, count, sizes, rule, small map, copyright and logo in one quiet block.

use super::map::{small_map, small_map_links};
use super::pens::{BODY, LABEL, SMALL_PRINT, TITLE};
use super::rule::rule;
use crate::manifest::{Colour, Press};
use crate::plan::{Layout, PlateForm};
use crate::press::Job;
use crate::press::scene::{Anchor, Scene, Type, rect};

/// Air inside a plate, in mm.
const AIR: f64 = 2.0;

/// Room for the logo, width and height in mm.
pub const LOGO: (f64, f64) = (24.0, 6.2);

/// The plate of a sheet, in the sheet's mm.
pub fn plate(job: &Job, layout: &Layout, sheet: usize) -> Scene {
    let mut scene = Scene::default();
    let Some(this) = layout.sheets.get(sheet) else { return scene };
    let area = this.plate.area.to_kurbo_mm();
    if this.plate.over_ink {
        scene.fill(area, Colour::WHITE);
    }
    let room = area.inflate(-AIR, -AIR);
    let block = Block { job, layout, sheet, x: room.x0, y: room.y0, width: room.width(), label: &this.label };
    match this.plate.form {
        PlateForm::Full => block.whole(&mut scene, (10, 4), (24.0, 12.5)),
        PlateForm::Half => block.whole(&mut scene, (5, 2), (11.0, 10.0)),
        PlateForm::Small => block.small(&mut scene, (5, 2)),
        PlateForm::Narrow => block.small(&mut scene, (4, 1)),
    }
    scene
}

/// A plate being set: where, how wide, and of what.
struct Block<'a> {
    job: &'a Job<'a>,
    layout: &'a Layout,
    sheet: usize,
    x: f64,
    y: f64,
    width: f64,
    label: &'a str,
}

impl Block<'_> {
    fn whole(&self, scene: &mut Scene, lengths: (u32, u32), map: (f64, f64)) {
        let colour = self.job.kit.mark_colour;
        let right = self.x + self.width;
        let after_label = self.label(scene, LABEL, 9.0);
        self.title(scene, after_label, right - map.0 - 2.0);
        if self.layout.sheets.len() > 1 {
            let place = rect(right - map.0, self.y, map.0, map.1);
            small_map(scene, self.layout, self.sheet, place, colour);
            scene.links.extend(small_map_links(self.job, self.layout, self.sheet, place));
            let named = self.job.messages.text("sheet.label", &[("label", self.label)]);
            scene.words(&named, (self.x + 0.3, self.y + 12.6), Type::regular(SMALL_PRINT), Anchor::Start, colour);
        }
        self.rule(scene, 20.5, lengths);
        let logo = rect(right - LOGO.0, self.y + 27.8, LOGO.0, LOGO.1);
        let logo_width = if self.width > 80.0 { self.job.logo(scene, logo) } else { 0.0 };
        let room = self.width - logo_width - 3.0;
        // A tester's copy says so where nobody trims it away.
        let (words, style) = match self.job.copy() {
            Some(copy) => (copy, Type::bold(SMALL_PRINT)),
            None => (self.job.kit.copyright.clone(), Type::regular(SMALL_PRINT)),
        };
        scene.words(&words, (self.x, self.y + 32.5), style.within(room), Anchor::Start, colour);
    }

    fn small(&self, scene: &mut Scene, lengths: (u32, u32)) {
        let after_label = self.label(scene, LABEL * 0.6, 4.6);
        let (title, count, copy) = (&self.job.kit.title, self.count(), self.job.copy());
        let parts: Vec<&str> = [Some(title), Some(&count), copy.as_ref()].into_iter().flatten().map(String::as_str).collect();
        let words = self.job.messages.line(&parts);
        let style = Type::regular(BODY).within(self.x + self.width - after_label);
        scene.words(&words, (after_label, self.y + 4.0), style, Anchor::Start, self.job.kit.mark_colour);
        self.rule(scene, 10.6, lengths);
    }

    /// Sets the label and gives the place where other words may begin; a wide sheet in one piece needs no label.
    fn label(&self, scene: &mut Scene, size: f64, below: f64) -> f64 {
        if self.layout.sheets.len() == 1 && self.layout.setup.paper.press == Press::Wide {
            return self.x;
        }
        let style = Type::bold(size).within(30.0);
        scene.words(self.label, (self.x, self.y + below), style, Anchor::Start, self.job.kit.mark_colour);
        self.x + self.job.faces.width(self.label, style) + 3.0
    }

    fn title(&self, scene: &mut Scene, left: f64, right: f64) {
        let messages = self.job.messages;
        let edition = messages.text("sheet.edition", &[("edition", &self.job.kit.edition.to_string())]);
        let lines = [
            (self.job.kit.title.clone(), Type::bold(TITLE), 2.6),
            (messages.line(&[&edition, &self.count()]), Type::regular(BODY), 6.2),
            (self.job.sizes_line(self.layout, self.sheet), Type::regular(BODY), 9.6),
        ];
        for (text, style, below) in lines {
            scene.words(&text, (left, self.y + below), style.within(right - left), Anchor::Start, self.job.kit.mark_colour);
        }
    }

    fn count(&self) -> String {
        let (n, total) = ((self.sheet + 1).to_string(), self.layout.sheets.len().to_string());
        self.job.messages.text("sheet.count", &[("n", &n), ("total", &total)])
    }

    fn rule(&self, scene: &mut Scene, below: f64, lengths: (u32, u32)) {
        let units = (self.job.messages.text("sheet.unit.cm", &[]), self.job.messages.text("sheet.unit.in", &[]));
        rule(scene, (self.x + 0.8, self.y + below), lengths, (&units.0, &units.1), self.job.kit.mark_colour);
    }
}
