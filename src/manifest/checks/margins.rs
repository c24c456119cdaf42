//! What printers cannot reach: built-in sets, a publisher's own, shares of home printers, and margins spelled out.

use super::reach::{Reach, share};
use super::{Check, lengths};
use crate::diagnostic::{nearest, or_list};
use crate::manifest::Press;
use crate::manifest::raw::{RawManifest, RawMargins};
use crate::manifest::section::Section;
use crate::manifest::words::NameOr;
use crate::manifest::yaml::key_path;
use crate::units::{Length, Margins};
use std::collections::BTreeMap;

/// What wide machines commonly leave free on every side (from memory; common practice, no published source).
const WIDE: Margins = Margins::even(Length::mm(5.0));
/// Border of home sheets; our own choice, for want of a published value.
const HOME_BORDER: Length = Length::mm(3.0);

/// Margins by name; `None` for a set whose own lengths were refused.
pub struct MarginSets {
    sets: BTreeMap<String, Option<Reach>>,
    home: Option<Reach>,
    home_border: Option<Length>,
}

impl MarginSets {
    /// Reads the sets, the margins and the border of home papers. A set of one's own may take a built-in name.
    pub fn read(check: &mut Check<'_>, raw: &RawManifest) -> Self {
        let mut sets = BTreeMap::from([("home".into(), Some(Reach::Home)), ("wide".into(), Some(Reach::Fixed(WIDE)))]);
        let own = check.optional("margin-sets", &raw.margin_sets, |own| Ok(own.clone())).unwrap_or_default();
        for (name, margins) in &own {
            sets.insert(name.clone(), spelled_out(check, &key_path("margin-sets", name), margins));
        }
        let mut all = Self { sets, home: None, home_border: None };
        all.home = match &raw.margins {
            Section::Read(margins) => all.resolve(check, "margins", margins),
            _ => all.set("home"),
        };
        // Only to notice a value that was refused before.
        check.optional("margins", &raw.margins, |_| Ok(()));
        // A refused border must not fall back to the default: the tile would be another than the publisher meant.
        all.home_border = match &raw.border {
            Section::Read(text) => border(check, "border", &text.0),
            section => check.optional("border", section, |_| Ok(())).map_or(Some(HOME_BORDER), |()| None),
        };
        all
    }

    /// Margins by name, by a share of home printers, or spelled out.
    pub fn resolve(&self, check: &mut Check<'_>, path: &str, margins: &NameOr<RawMargins>) -> Option<Reach> {
        let name = match margins {
            NameOr::Told(margins) => return spelled_out(check, path, margins),
            NameOr::Name(name) => name.trim(),
        };
        if let Some(margins) = self.sets.get(name) {
            return *margins;
        }
        if let Some(share) = share(name) {
            return check.take(path, share);
        }
        let known = self.sets.keys().map(String::as_str);
        let hint = nearest(name, known.clone())
            .map_or_else(|| say!("margin-set-unknown/these", choices = or_list(known)), |near| say!("did-you-mean", near));
        check.refuse(path, error!("margin-set-unknown", name).hint(hint));
        None
    }

    /// Margins of a paper that states none.
    pub fn default_of(&self, press: Press) -> Option<Reach> {
        match press {
            Press::Home => self.home,
            Press::Wide => self.set("wide"),
        }
    }

    /// Border of a paper that states none.
    pub const fn default_border(&self, press: Press) -> Option<Length> {
        match press {
            Press::Home => self.home_border,
            Press::Wide => Some(Length::ZERO),
        }
    }

    /// Border of a paper that states none, where it comes in lapped parts.
    pub fn glue_edge(&self) -> Length {
        self.home_border.unwrap_or_default()
    }

    fn set(&self, name: &str) -> Option<Reach> {
        self.sets.get(name).copied().flatten()
    }
}

/// A border.
pub fn border(check: &mut Check<'_>, path: &str, text: &str) -> Option<Length> {
    check.take(path, lengths::not_negative(text, code!("border-negative"), words!("sheets-overlap")))
}

fn spelled_out(check: &mut Check<'_>, path: &str, raw: &RawMargins) -> Option<Reach> {
    let mut side = |name: &str, text: &str| {
        check.take(&key_path(path, name), lengths::not_negative(text, code!("margin-negative"), words!("beyond-paper")))
    };
    let (top, right) = (side("top", &raw.top.0), side("right", &raw.right.0));
    let (bottom, left) = (side("bottom", &raw.bottom.0), side("left", &raw.left.0));
    Some(Reach::Fixed(Margins { top: top?, right: right?, bottom: bottom?, left: left? }))
}
