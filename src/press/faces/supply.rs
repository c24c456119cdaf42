//! Fonts from outside: read, tried out and looked over before a press relies on them; and what no font has.

use super::font::Font;
use super::rights::Rights;
use super::{Faces, runs, shape};
use crate::diagnostic::{Diagnostic, Place};
use kurbo::{BezPath, Point};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::panic::{AssertUnwindSafe, catch_unwind};
use subsetter::GlyphRemapper;
use unicode_script::{Script, UnicodeScript};

/// Reads a font and tries it out on all words that it may have to set, so that a damaged file is refused here and not
/// half way through a page; a font whose licence bits forbid embedding is refused too.
pub fn supplied(file: &str, bytes: Vec<u8>, texts: &[String]) -> Result<Font, Diagnostic> {
    let read = AssertUnwindSafe(|| {
        let font = Font::read(file, Cow::Owned(bytes))?;
        if let Some(why) = font.rights.refusal() {
            return Err(error!("font-licence", file, why).at(Place::file(file)));
        }
        try_out(&font, texts).ok_or_else(|| damaged(file))?;
        Ok(font)
    });
    // The libraries that read fonts guard themselves well; where one fails all the same, the font is to blame.
    catch_unwind(read).unwrap_or_else(|_| Err(damaged(file)))
}

/// Whether a font has any of these characters that no font of its weight, beside the built-in ones, has yet.
pub fn adds_to(faces: &Faces, file: &str, bytes: &[u8], wanted: &[char]) -> bool {
    let adds = || {
        let font = Font::read(file, Cow::Owned(bytes.to_vec())).ok()?;
        Some(wanted.iter().any(|c| font.has(*c) && !faces.has_in(*c, font.bold)))
    };
    catch_unwind(AssertUnwindSafe(adds)).ok().flatten().unwrap_or(false)
}

pub(super) fn damaged(file: &str) -> Diagnostic {
    error!("font-bad/damaged", file).at(Place::file(file))
}

/// Does with a font what a press does; `None` if its glyphs cannot be drawn or cut out.
fn try_out(font: &Font, texts: &[String]) -> Option<()> {
    let (mut remapper, mut glyphs) = (GlyphRemapper::new(), Vec::new());
    for run in texts.iter().flat_map(|text| runs::runs(text, &|c, _| usize::from(!font.has(c)))) {
        if run.font == 0 {
            shape::shape(font, &run, &mut 0.0, &mut glyphs);
        }
    }
    for id in glyphs.iter().map(|glyph| glyph.id).collect::<BTreeSet<u16>>() {
        font.outline(id, Point::ORIGIN, 1.0, &mut BezPath::new()).ok()?;
        remapper.remap(id);
    }
    let fit = glyphs.iter().all(|glyph| glyph.x.is_finite() && glyph.y.is_finite());
    let cut = font.rights == Rights::Whole || subsetter::subset(font.bytes(), 0, &remapper).is_ok();
    (fit && cut).then_some(())
}

/// Characters that no font has, each with the first text that needs it.
pub fn lacking<'t>(faces: &Faces, texts: &'t [String]) -> BTreeMap<char, &'t str> {
    let mut seen = BTreeSet::new();
    let mut lacking = BTreeMap::new();
    for text in texts {
        for c in text.chars().filter(|c| seen.insert(*c) && !faces.has(*c)) {
            lacking.insert(c, text.as_str());
        }
    }
    lacking
}

/// One finding for each script of which characters are missing.
pub fn missing(lacking: &BTreeMap<char, &str>) -> Vec<Diagnostic> {
    let mut scripts: BTreeMap<&str, Vec<(char, &str)>> = BTreeMap::new();
    for (c, text) in lacking {
        scripts.entry(group(*c)).or_default().push((*c, text));
    }
    scripts.into_iter().filter_map(|(script, lacking)| finding(script, &lacking)).collect()
}

fn finding(script: &str, lacking: &[(char, &str)]) -> Option<Diagnostic> {
    let (c, text) = lacking.first()?;
    let more = match lacking.len() - 1 {
        0 => String::new(),
        n => say!("and-more-like", n),
    };
    let short: String = text.chars().take(60).collect();
    let words = if short.len() < text.len() { short + "…" } else { short };
    let finding = error!("glyph-missing/sheets", letter = c, codepoint = format_args!("{:04X}", u32::from(*c)), more, words);
    let known = super::known_fonts(script);
    Some(if known.is_empty() { finding } else { finding.hint(say!("free-fonts", known = known.join(", "))) })
}

/// The script of a character, by the name that findings and the list of known fonts use.
pub fn group(c: char) -> &'static str {
    match c.script() {
        Script::Han | Script::Hiragana | Script::Katakana => "Japanese",
        Script::Common if ('\u{3000}'..='\u{30ff}').contains(&c) || ('\u{ff00}'..='\u{ffef}').contains(&c) => "Japanese",
        // Signs that several scripts share are asked for by the one that they were made for.
        Script::Common | Script::Inherited if ('\u{600}'..='\u{6ff}').contains(&c) => "Arabic",
        script => script.full_name(),
    }
}
