//! The templates of the proof, its style sheet and its one script.

use super::view::Page;
use crate::guide::script_hash;
use sha2::{Digest, Sha256};
use tera::{Context, Tera, TeraResult};

/// All templates by name; the suffix `.html` turns escaping on.
const TEMPLATES: [(&str, &str); 7] = [
    ("page.html", include_str!("../../templates/proof/page.html")),
    ("findings.html", include_str!("../../templates/proof/findings.html")),
    ("finding.html", include_str!("../../templates/proof/finding.html")),
    ("paper.html", include_str!("../../templates/proof/paper.html")),
    ("changes.html", include_str!("../../templates/proof/changes.html")),
    ("measures.html", include_str!("../../templates/proof/measures.html")),
    ("viewer.html", include_str!("../../templates/proof/viewer.html")),
];

/// The style sheet: colours and letters are those of the guide.
const STYLE: &str = concat!(include_str!("../../templates/palette.css"), include_str!("../../templates/proof/style.css"));

/// The HTML of a page.
pub(super) fn render(page: &Page, live: bool) -> TeraResult<String> {
    let mut tera = Tera::new();
    tera.add_raw_templates(TEMPLATES)?;
    let mut context = Context::from_serialize(page)?;
    // Without white space around it: some checkers do not count that.
    let script = include_str!("../../templates/proof/script.js").trim();
    context.insert("style", STYLE);
    context.insert("script", script);
    context.insert("script_hash", &script_hash(script));
    context.insert("live", &live);
    context.insert("version", &page.version());
    tera.render("page.html", &context)
}

impl Page {
    /// What tells this page from one with other content.
    pub fn version(&self) -> String {
        let bytes = serde_json::to_vec(self).unwrap_or_default();
        Sha256::digest(&bytes).iter().take(8).map(|byte| format!("{byte:02x}")).collect()
    }
}
