//! All words that a press may set for a kit, so that fonts can be tried out before the first page is made.

use crate::catalogue::Messages;
use crate::manifest::{Kit, Paper};

/// Keys of the catalogue that reach paper, by their beginnings; the rest is for the guide and the read-me.
const ON_PAPER: [&str; 6] = ["sheet.", "check.", "format.", "list.", "projection.", "paper."];
/// Those that reach paper in every language of the kit, not only in the source language.
const IN_EVERY_LANGUAGE: [&str; 2] = ["language.name", "package.start.check"];

/// What a paper is called in a language: names of standards are the same in all, rolls are not.
pub fn paper_title(paper: &Paper, messages: &Messages) -> String {
    paper.roll_width().map_or_else(|| paper.title.clone(), |width| messages.text("paper.roll", &[("width", width)]))
}

/// The publisher's own words, then the catalogue's; `languages` begins with the source language.
pub fn texts(kit: &Kit, languages: &[Messages]) -> Vec<String> {
    let own = [kit.title.clone(), kit.copyright.clone(), kit.publisher.clone(), kit.edition.to_string()];
    let sizes = kit.sizes.iter().map(|size| size.name.clone());
    let papers = kit.papers.iter().map(|setup| setup.paper.title.clone());
    // Labels, page numbers, lengths: what no catalogue holds.
    let signs = ["ABCDEFGHIJKLMNOPQRSTUVWXYZ 0123456789 – · × ¼ ½ ¾".to_owned()];
    let said = languages.iter().enumerate().flat_map(|(index, messages)| {
        let beginnings: &[&str] = if index == 0 { &ON_PAPER } else { &IN_EVERY_LANGUAGE };
        beginnings.iter().flat_map(|beginning| messages.beginning(beginning)).map(str::to_owned).collect::<Vec<_>>()
    });
    own.into_iter().chain(sizes).chain(papers).chain(signs).chain(said).collect()
}
