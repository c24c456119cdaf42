//! The sections of a guide: which there are, in which order, under which heading.

use super::own::Own;
use super::view::Source;
use crate::manifest::{Chapter, Kit, Press};
use serde::Serialize;
use std::collections::BTreeSet;

/// One numbered section.
#[derive(Debug, Serialize)]
pub struct Section {
    /// From 1, as shown in the contents and at the heading.
    pub number: usize,
    /// What its links point to.
    pub id: String,
    /// Which template it is made with.
    pub part: Part,
    /// Heading; HTML.
    pub title: String,
    /// The publisher's text, for sections that are nothing else; HTML.
    pub text: String,
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
    /// Measures by size.
    Measures,
    /// Fabric and notions.
    Materials,
    /// Pieces to cut.
    Cutting,
    /// How they lie on cloth.
    Lays,
    /// The publisher's own text.
    Own,
    /// Cautions.
    Safety,
    /// Words of the trade.
    Glossary,
    /// Publisher, edition, date, rights.
    About,
}

/// Our own sections, each with its heading and id, in the order of a reader's work; the publisher's chapters go in between.
const BEFORE: [(Part, &str, &str); 11] = [
    (Part::Package, "package", "guide.package.title"),
    (Part::Check, "check", "guide.check.title"),
    (Part::Print, "print", "guide.print.title"),
    (Part::Sizes, "sizes", "guide.sizes.title"),
    (Part::Map, "map", "guide.map.title"),
    (Part::Join, "join", "guide.join.title"),
    (Part::CopyShop, "copy-shop", "guide.copy-shop.title"),
    (Part::Measures, "measures", "guide.measures.title"),
    (Part::Materials, "materials", "guide.materials.title"),
    (Part::Cutting, "cutting-list", "guide.cutting.title"),
    (Part::Lays, "lays", "guide.lays.title"),
];

/// What stands behind them; help comes after all that may go wrong, where a reader in need of it looks: near the end.
const AFTER: [(Part, &str, &str); 6] = [
    (Part::Safety, "safety", "guide.safety.title"),
    (Part::Glossary, "glossary", "guide.glossary.title"),
    (Part::Own, "licence", "guide.licence.title"),
    (Part::Own, "changes", "guide.changes.title"),
    (Part::Own, "help", "guide.help.title"),
    (Part::About, "about", "guide.about.title"),
];

/// What decides which sections there are.
#[derive(Clone, Copy, Debug)]
pub struct Reach {
    /// Whether there are sheets for home printers.
    pub home: bool,
    /// Whether any of them has more than one sheet.
    pub joined: bool,
    /// Whether there are wide files.
    pub wide: bool,
}

/// Ids of all sections that the guide of a kit may have, whichever of its papers are built.
pub fn ids(kit: &Kit) -> BTreeSet<String> {
    let at = |press| kit.papers.iter().any(|setup| setup.paper.press == press);
    let reach = Reach { home: at(Press::Home), joined: at(Press::Home), wide: at(Press::Wide) };
    ids_with(kit, reach)
}

/// Ids of the sections that a guide has.
pub fn ids_with(kit: &Kit, reach: Reach) -> BTreeSet<String> {
    let ours = BEFORE.iter().chain(&AFTER).filter(|(part, id, _)| applies(*part, id, kit, reach));
    let ours = ours.map(|(_, id, _)| (*id).to_owned());
    ours.chain(kit.guide.chapters.iter().map(|chapter| chapter.id().to_owned())).collect()
}

/// Ids and heading keys of our own sections in which a reader does something: printing, joining, choosing cloth and cutting.
pub fn tasks(kit: &Kit) -> impl Iterator<Item = (&'static str, &'static str)> {
    let at = |press| kit.papers.iter().any(|setup| setup.paper.press == press);
    let reach = Reach { home: at(Press::Home), joined: at(Press::Home), wide: at(Press::Wide) };
    let done = |part: Part| !matches!(part, Part::Package | Part::Map | Part::CopyShop | Part::Measures);
    let ours = BEFORE.iter().filter(move |(part, id, _)| done(*part) && applies(*part, id, kit, reach));
    ours.map(|&(_, id, key)| (id, key))
}

/// The sections of this kit's guide.
pub fn sections(source: &Source, own: &Own<'_>, reach: Reach) -> Vec<Section> {
    let kit = source.kit;
    let ours = |&(part, id, key): &(Part, &str, &str)| {
        let title = crate::markdown::escaped(&source.messages.text(key, &[]));
        let text = single(id, kit).map(|text| own.text(&format!("guide.{id}"), text, None, 3)).unwrap_or_default();
        applies(part, id, kit, reach).then(|| Section { number: 0, id: id.into(), part, title, text })
    };
    let mut sections: Vec<_> = BEFORE.iter().filter_map(ours).collect();
    sections.extend(kit.guide.chapters.iter().map(|chapter| chapter_section(chapter, own)));
    sections.extend(AFTER.iter().filter_map(ours));
    (1..).zip(&mut sections).for_each(|(number, section)| section.number = number);
    sections
}

/// The publisher's text of a section that is nothing else.
fn single<'a>(id: &str, kit: &'a Kit) -> Option<&'a str> {
    match id {
        "licence" => kit.guide.licence.as_deref(),
        "changes" => kit.guide.changes.as_deref(),
        "help" => kit.guide.help.as_deref(),
        _ => None,
    }
}

/// Whether a kit has anything to fill a section with.
fn applies(part: Part, id: &str, kit: &Kit, reach: Reach) -> bool {
    let guide = &kit.guide;
    match part {
        Part::Check | Part::Print | Part::Sizes => reach.home,
        Part::Map | Part::Join => reach.joined,
        Part::CopyShop => reach.wide,
        Part::Measures => !guide.size_table.is_empty(),
        Part::Materials => {
            !guide.fabric_table.is_empty() || guide.fabric.is_some() || guide.notions.is_some() || laid(kit) || sewn(kit)
        }
        Part::Cutting => !guide.cutting_list.is_empty(),
        Part::Lays => laid(kit),
        Part::Own => single(id, kit).is_some() || (id == "changes" && kit.corrections.is_some()),
        Part::Package | Part::Safety | Part::Glossary | Part::About => true,
    }
}

/// Whether the kit tells of seams, and has lines to measure them by.
fn sewn(kit: &Kit) -> bool {
    !kit.seams.is_empty() && kit.blank.is_none()
}

/// Whether the kit tells of cloths, and has pieces to lay on them.
fn laid(kit: &Kit) -> bool {
    !kit.cloths.is_empty() && kit.blank.is_none()
}

fn chapter_section(chapter: &Chapter, own: &Own<'_>) -> Section {
    let text = own.text(&chapter.context, &chapter.text, chapter.file.as_deref(), 3);
    let title = own.line(&chapter.context, &chapter.title);
    Section { number: 0, id: chapter.id().into(), part: Part::Own, title, text }
}
