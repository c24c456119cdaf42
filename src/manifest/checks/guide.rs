//! The publisher's texts for the guide.

use crate::manifest::raw::RawGuide;
use crate::manifest::words::Prose;
use crate::manifest::{Chapter, GuideTexts};

/// The texts without the white space around them; that none is empty was seen to before.
pub fn texts(raw: &RawGuide) -> GuideTexts {
    let text = |text: &Option<Prose>| text.as_ref().map(|text| text.0.trim().to_owned());
    let chapters = raw.chapters.iter();
    GuideTexts {
        introduction: text(&raw.introduction),
        fabric: text(&raw.fabric),
        notions: text(&raw.notions),
        help: text(&raw.help),
        chapters: chapters.map(|c| Chapter { title: c.title.0.trim().into(), text: c.text.0.trim().into() }).collect(),
    }
}
