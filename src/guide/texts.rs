//! The publisher's texts of a kit, each with its context and place, and the pictures that they show.

use crate::diagnostic::Place;
use crate::manifest::Kit;

/// One text in Markdown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnText<'a> {
    /// By what its words are known to translators, as in `guide.introduction`.
    pub context: String,
    /// The text.
    pub text: &'a str,
    /// The file that it stands in, relative to the kit's folder; `None` for the manifest.
    pub file: Option<&'a str>,
    /// Path of its value in the manifest.
    pub key: String,
}

impl OwnText<'_> {
    /// Where a line of the text, from 1, stands in the user's files.
    pub fn place(&self, kit: &Kit, line: u32) -> Place {
        let Some(file) = self.file else {
            let place = kit.places.of_path(&self.key);
            // The place is that of the first letter, in a block the line below the key.
            return Place { line: place.line.map(|first| first.saturating_add(line).saturating_sub(1)), column: None, ..place };
        };
        Place { line: Some(line), ..Place::file(file) }
    }

    /// The path of a picture from the kit's folder; `None` if it leads out of the kit, or is no path.
    pub fn picture(&self, address: &str) -> Option<String> {
        picture_path(self.file, address)
    }
}

/// All texts that a kit has, in the order of reading; the words of tables and titles are not among them.
pub fn own_texts(kit: &Kit) -> Vec<OwnText<'_>> {
    let guide = &kit.guide;
    let before = [("introduction", &guide.introduction), ("fabric", &guide.fabric), ("notions", &guide.notions)];
    let after = [("licence", &guide.licence), ("changes", &guide.changes), ("help", &guide.help)];
    let chapters = guide.chapters.iter().enumerate().map(|(index, chapter)| OwnText {
        context: chapter.context.clone(),
        text: &chapter.text,
        file: chapter.file.as_deref(),
        key: format!("guide.chapters[{index}].text"),
    });
    let first = before.into_iter().filter_map(|(name, text)| in_manifest(name, text.as_deref()));
    let last = after.into_iter().filter_map(|(name, text)| in_manifest(name, text.as_deref()));
    first.chain(chapters).chain(last).collect()
}

fn in_manifest<'a>(name: &str, text: Option<&'a str>) -> Option<OwnText<'a>> {
    let context = format!("guide.{name}");
    Some(OwnText { key: context.clone(), context, text: text?, file: None })
}

/// The path of a picture from the kit's folder, by its address in a file (or in the manifest); at most one folder above it.
pub fn picture_path(file: Option<&str>, address: &str) -> Option<String> {
    let address = decoded(address)?;
    let odd = |c: char| c.is_control() || matches!(c, ':' | '\\' | '?' | '#');
    if address.starts_with('/') || address.contains(odd) {
        return None;
    }
    let folder = file.and_then(|file| file.rsplit_once('/')).map_or("", |(folder, _)| folder);
    let mut parts: Vec<&str> = Vec::new();
    for part in folder.split('/').chain(address.split('/')) {
        match part {
            "" | "." => {}
            ".." if parts.last().is_some_and(|last| *last != "..") => drop(parts.pop()),
            part => parts.push(part),
        }
    }
    let ups = parts.iter().filter(|part| **part == "..").count();
    (ups <= 1 && parts.last().is_some_and(|last| *last != "..")).then(|| parts.join("/"))
}

/// An address with its `%20` and the like resolved (RFC 3986, section 2.1).
fn decoded(address: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(address.len());
    let mut parts = address.split('%');
    bytes.extend(parts.next().unwrap_or_default().bytes());
    for part in parts {
        let (digits, rest) = part.split_at_checked(2)?;
        bytes.push(u8::from_str_radix(digits, 16).ok()?);
        bytes.extend(rest.bytes());
    }
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pictures_are_sought_from_the_file_that_shows_them() {
        let path = |address: &str| picture_path(Some("guide/sewing.md"), address);
        assert_eq!(path("pictures/a%20b.svg").as_deref(), Some("guide/pictures/a b.svg"));
        assert_eq!(path("../apron.svg").as_deref(), Some("apron.svg"));
        assert_eq!(path("./../../brand/x.png").as_deref(), Some("../brand/x.png"));
        assert_eq!(picture_path(None, "a.png").as_deref(), Some("a.png"));
        for bad in [
            "../../../x.png",
            "/etc/passwd",
            "https://x.example/a.png",
            "data:image/png;base64,AA",
            "C:\\a.png",
            "..",
            "a%2",
            "a%00b",
            "a%zz",
            "",
        ] {
            assert_eq!(picture_path(None, bad), None, "{bad}");
        }
    }
}
