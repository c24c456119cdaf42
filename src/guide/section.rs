//! The sections of a guide: which there are, in which order, under which heading.

use super::prose::{Block, blocks};
use super::view::Source;
use crate::manifest::{Chapter, Press};
use serde::Serialize;

/// One numbered section.
#[derive(Debug, Serialize)]
pub struct Section {
    /// From 1, as shown in the contents and at the heading.
    pub number: usize,
    /// What its links point to.
    pub id: String,
    /// Which template it is made with.
    pub part: Part,
    /// Heading.
    pub title: String,
    /// The publisher's text, for sections that are nothing else.
    pub text: Vec<Block>,
}

/// The templates of sections.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// The files.
    Package,
    /// Is the printer true to size?
    Check,
    /// What to choose in the print dialog.
    Print,
    /// Pages for each size.
    Sizes,
    /// How the sheets lie.
    Map,
    /// How they become one.
    Join,
    /// Large paper instead.
    CopyShop,
    /// Fabric and notions.
    Materials,
    /// The publisher's own text.
    Own,
    /// Cautions.
    Safety,
    /// Publisher, edition, date, rights.
    About,
}

/// Our own sections, each with its heading and id, in the order of a reader's work; the publisher's chapters go in between.
const BEFORE: [(Part, &str, &str); 8] = [
    (Part::Package, "package", "guide.package.title"),
    (Part::Check, "check", "guide.check.title"),
    (Part::Print, "print", "guide.print.title"),
    (Part::Sizes, "sizes", "guide.sizes.title"),
    (Part::Map, "map", "guide.map.title"),
    (Part::Join, "join", "guide.join.title"),
    (Part::CopyShop, "copy-shop", "guide.copy-shop.title"),
    (Part::Materials, "materials", "guide.materials.title"),
];

/// The sections of this kit's guide.
pub fn sections(source: &Source) -> Vec<Section> {
    let heading = |key: &str| source.messages.text(key, &[]);
    let ours = |&(part, id, key): &(Part, &str, &str)| Section::new(part, id, heading(key), Vec::new());
    let mut sections: Vec<_> = BEFORE.iter().filter(|(part, ..)| applies(*part, source)).map(ours).collect();
    sections.extend(source.kit.guide.chapters.iter().enumerate().map(|(i, chapter)| own(i, chapter)));
    sections.push(Section::new(Part::Safety, "safety", heading("guide.safety.title"), Vec::new()));
    // Help comes after all that may go wrong, where a reader in need of it looks: near the end.
    let help = source.kit.guide.help.iter();
    sections.extend(help.map(|text| Section::new(Part::Own, "help", heading("guide.help.title"), blocks(text))));
    sections.push(Section::new(Part::About, "about", heading("guide.about.title"), Vec::new()));
    (1..).zip(&mut sections).for_each(|(number, section)| section.number = number);
    sections
}

/// Whether a kit has anything to fill a section with.
fn applies(part: Part, source: &Source) -> bool {
    let printed_at = |press| source.layouts.iter().any(|layout| layout.setup.paper.press == press);
    match part {
        Part::Check | Part::Print | Part::Sizes => printed_at(Press::Home),
        Part::Map | Part::Join => source.layouts.iter().any(|it| it.setup.paper.press == Press::Home && it.sheets.len() > 1),
        Part::CopyShop => printed_at(Press::Wide),
        Part::Materials => source.kit.guide.fabric.is_some() || source.kit.guide.notions.is_some(),
        Part::Package | Part::Own | Part::Safety | Part::About => true,
    }
}

/// A chapter of the publisher. Its id is a number, since titles may repeat or hold no letter that ids allow.
fn own(index: usize, chapter: &Chapter) -> Section {
    Section::new(Part::Own, &format!("chapter-{}", index + 1), chapter.title.clone(), blocks(&chapter.text))
}

impl Section {
    fn new(part: Part, id: &str, title: String, text: Vec<Block>) -> Self {
        Self { number: 0, id: id.into(), part, title, text }
    }
}
