//! Tests of pressed files: read back from their bytes, and measured.

mod check;
mod documents;
mod faces;
mod frame;
mod joins;
mod keys;
mod names;
mod numbers;
mod pdf;
mod proof;
mod svg;

use super::{Faces, Forms, Job};
use crate::catalogue::Messages;
use crate::drawing::Drawing;
use crate::manifest::{Kit, Paper, PaperSetup};
use crate::plan::tests::sample::{Drawn, Sample, home};
use crate::plan::tests::shapes::Mark;
use crate::plan::{Layout, layouts};
use crate::units::{Length, Margins};
use kurbo::{Point, Rect, Vec2};

/// A kit with its drawing and the layout for its one paper.
pub(super) struct Pressable {
    pub(super) kit: Kit,
    pub(super) drawing: Drawing,
    pub(super) layout: Layout,
}

impl Pressable {
    pub(super) fn of(sample: &Sample) -> Self {
        let (kit, drawing) = (sample.kit(), sample.drawing(Vec2::ZERO));
        let layout = layouts(&kit, &drawing).0.remove(0);
        Self { kit, drawing, layout }
    }

    /// What a press makes of it.
    pub(super) fn pressed<T>(&self, press: impl Fn(&Job, &Layout) -> T) -> T {
        let (forms, messages) = (Forms::of(&self.drawing), Messages::builtin("en").unwrap());
        let faces = Faces::built_in();
        let job = Job {
            kit: &self.kit,
            drawing: &self.drawing,
            ground: &self.drawing,
            forms: &forms,
            messages: &messages,
            faces: &faces,
            others: &[],
            logo: None,
        };
        press(&job, &self.layout)
    }
}

fn drawn(mark: Mark, layer: usize) -> Drawn {
    Drawn { mark, clip: None, layer }
}

/// A dashed line across three sheets, a solid one of a size on the last of them, and a clipped block on the first.
pub(super) fn three_sheets() -> Sample {
    let line = |from: (f64, f64), to: (f64, f64), dashes| Mark::Bar(from.into(), to.into(), 0.5, dashes);
    let corners = [(0.0, 0.0), (30.0, 0.0), (30.0, 30.0), (0.0, 30.0)].map(Point::from).to_vec();
    let clipped = Drawn { mark: Mark::Block(corners), clip: Some(Rect::new(5.0, 5.0, 20.0, 12.5)), layer: 0 };
    let dashes = line((0.0, 60.0), (399.0, 60.0), Some([7.0, 3.0, 2.0]));
    let solid = line((390.0, 20.0), (390.0, 100.0), None);
    Sample { drawn: vec![drawn(dashes, 0), drawn(solid, 2), clipped], sizes: 2, setup: home(150.0, 200.0, [5.0; 4], 2.0) }
}

/// Wide paper by its name, with 5 mm of margin.
fn wide(id: &str) -> PaperSetup {
    PaperSetup {
        paper: Paper::known(id).unwrap(),
        margins: Margins::even(Length::mm(5.0)),
        border: Length::ZERO,
        glue_edge: Length::mm(3.0),
        pin: None,
        longest: crate::manifest::LONGEST_FILE,
    }
}
