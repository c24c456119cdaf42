//! The pictures of a guide that the publisher made.

use super::chapters;
use super::kit::{Loaded, logo};
use crate::diagnostic::{Diagnostic, Findings};
use crate::files::SourceFolder;
use crate::guide::{self, Illustration};
use crate::manifest::Kit;
use crate::markdown;
use crate::press::Artwork;
use std::collections::BTreeMap;

/// Pictures as markup for the page.
pub(super) struct GuidePictures {
    pub(super) logo: Option<guide::Logo>,
    /// Those that the texts show, by their path from the kit's folder.
    pub(super) shown: BTreeMap<String, Illustration>,
}

impl GuidePictures {
    /// Reads the pictures of a kit.
    pub(super) fn read(kit: &Kit, folder: &SourceFolder, findings: &mut Findings) -> Self {
        let shown = chapters::pictures(kit, folder, findings);
        let logo = logo(kit, folder, findings);
        let logo = findings.take(markup(kit, logo.as_ref())).flatten();
        Self { logo, shown }
    }

    /// Those of a kit that is loaded.
    pub(super) fn of(loaded: &Loaded) -> Result<Self, Diagnostic> {
        Ok(Self { logo: markup(&loaded.kit, loaded.logo.as_ref())?, shown: loaded.pictures.clone() })
    }

    /// Names of the files that the texts show, relative to the kit's folder.
    pub(super) fn names(kit: &Kit) -> Vec<String> {
        let texts = guide::own_texts(kit);
        let links =
            texts.iter().flat_map(|text| markdown::pictures(text.text).into_iter().map(move |link| text.picture(&link.path)));
        links.flatten().collect()
    }
}

fn markup(kit: &Kit, logo: Option<&Artwork>) -> Result<Option<guide::Logo>, Diagnostic> {
    let html = logo.map(|logo| logo.markup(&kit.publisher)).transpose()?;
    Ok(html.map(|html| guide::Logo { html }))
}
