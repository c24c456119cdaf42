//! Small drawings for the tests of this folder.

use super::{Drawing, FontFile, Request, Resources, read};
use crate::diagnostic::Findings;
use crate::manifest::SizeLayer;

/// A kit folder with these pictures and fonts.
#[derive(Default)]
pub struct Folder {
    /// Names and bytes of pictures.
    pub pictures: Vec<(&'static str, Vec<u8>)>,
    /// Font files.
    pub fonts: Vec<FontFile>,
}

impl Resources for Folder {
    fn image(&self, href: &str) -> Result<Vec<u8>, String> {
        let found = self.pictures.iter().find(|(name, _)| *name == href);
        found.map(|(_, bytes)| bytes.clone()).ok_or_else(|| words!("no-such-file").into())
    }

    fn fonts(&self) -> &[FontFile] {
        &self.fonts
    }
}

/// A drawing of 100 by 100 mm, one unit a millimetre, with this on its second line and after.
pub fn drawing(body: &str) -> String {
    let spaces = "xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" \
        xmlns:inkscape=\"http://www.inkscape.org/namespaces/inkscape\" xmlns:serif=\"http://www.serif.com/\"";
    format!("<svg {spaces} width=\"100mm\" height=\"100mm\" viewBox=\"0 0 100 100\">\n{body}\n</svg>")
}

/// Reads such a drawing without lists.
pub fn plain(body: &str) -> (Option<Drawing>, Findings) {
    read(drawing(body).as_bytes(), &Request::plain("a.svg"), &())
}

/// Reads such a drawing with one size `36` on the layer `size 36`, and a layer that is never printed.
pub fn sized(body: &str) -> (Option<Drawing>, Findings) {
    let size = SizeLayer { name: "36".into(), layer: "size 36".into(), shown: true };
    let request = Request { sizes: vec![size], never_printed: vec!["draft".into()], ..Request::plain("a.svg") };
    read(drawing(body).as_bytes(), &request, &())
}

/// Code, line and column of every finding; 0 where there is none.
pub fn told(findings: &Findings) -> Vec<(&'static str, u32, u32)> {
    let row = |finding: &crate::diagnostic::Diagnostic| {
        let place = finding.place.clone().unwrap_or_default();
        (finding.code, place.line.unwrap_or(0), place.column.unwrap_or(0))
    };
    findings.iter().map(row).collect()
}
