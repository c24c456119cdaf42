//! The proof: one self-contained HTML page on which a publisher sees a kit before it goes out; plain facts in, a page out.
//!
//! The words of the page are kitwright's own and stand in `templates/proof`; it asks nothing of the network.

mod changes;
mod concern;
mod findings;
mod measures;
mod paper;
mod templates;
#[cfg(test)]
mod tests;
mod view;

pub use view::{Page, ProofFile, Source};

use crate::diagnostic::{Diagnostic, Findings};

impl Page {
    /// The page as HTML; `live` if a server tells it when to refresh. Fails with `bug-template` if a template is faulty.
    pub fn html(&self, live: bool) -> Result<String, Diagnostic> {
        templates::render(self, live).map_err(|error| error!("bug-template/proof", error))
    }

    /// The same pictures with the findings of a kit that has just become unreadable.
    pub fn outdated(&self, findings: &Findings) -> Self {
        Self { outdated: true, ..self.clone() }.refused(findings)
    }

    /// The page of a kit that was never readable.
    pub fn unreadable(findings: &Findings) -> Self {
        Self::default().refused(findings)
    }
}
