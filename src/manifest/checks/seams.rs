//! Seams: which lines they run along, and how long they are against these.

use super::cloths::percent;
use super::{Check, lengths};
use crate::diagnostic::Diagnostic;
use crate::manifest::raw::RawManifest;
use crate::manifest::raw_seam::RawSeam;
use crate::manifest::seam::Seam;
use crate::manifest::words::LengthText;
use crate::manifest::yaml::{item_path, key_path};
use crate::units::Length;
use std::collections::BTreeSet;

/// To which step lengths are rounded up, unless the manifest says otherwise: as fine as a tape measure is read; our own choice.
const ROUND_UP: Length = Length::mm(10.0);
/// The shortest and longest against the lines, in per cent, and the most that is added; our own limits.
const SHARES: std::ops::RangeInclusive<f64> = 10.0..=1000.0;
const MOST_EXTRA: Length = Length::mm(10_000.0);
/// The finest and coarsest step of rounding; our own limits.
const STEPS: (Length, Length) = (Length::mm(1.0), Length::mm(1000.0));

/// Reads the key `seams`.
pub fn read(check: &mut Check<'_>, raw: &RawManifest) -> Vec<Seam> {
    let seams = check.each("seams", &raw.seams, seam);
    let mut names = BTreeSet::new();
    for (index, seam) in &seams {
        if !names.insert(seam.name.as_str()) {
            check.refuse(&key_path(&item_path("seams", *index), "name"), error!("seam-twice", name = seam.name));
        }
    }
    seams.into_iter().map(|(_, seam)| seam).collect()
}

fn seam(check: &mut Check<'_>, path: &str, raw: &RawSeam) -> Option<Seam> {
    let at = |key: &str| key_path(path, key);
    let within = |check: &mut Check<'_>, key: &str, text: &Option<LengthText>, usual, (least, most)| match text {
        Some(text) => check.take(&at(key), lengths::between(&text.0, least, most)),
        None => Some(usual),
    };
    let extra = within(check, "extra", &raw.extra, Length::ZERO, (Length::ZERO, MOST_EXTRA));
    let round_up = within(check, "round-up", &raw.round_up, ROUND_UP, STEPS);
    let share = match &raw.share {
        Some(text) => check.take(&at("share"), share(&text.0)),
        None => Some(1.0),
    };
    Some(Seam {
        name: raw.name.0.trim().to_owned(),
        what: raw.what.as_ref().map(|what| what.0.trim().to_owned()),
        along: raw.along.iter().map(|line| line.0.trim().to_owned()).collect(),
        times: raw.times.unwrap_or(1),
        share: share?,
        extra: extra?,
        round_up: round_up?,
        entry: path.to_owned(),
    })
}

/// A part of the lines' length, as in `90 %`.
fn share(text: &str) -> Result<f64, Diagnostic> {
    let fits = percent(text).filter(|percent| SHARES.contains(percent));
    let (least, most) = (SHARES.start(), SHARES.end());
    fits.map(|percent| percent / 100.0).ok_or_else(|| error!("seam-share", text = text.trim(), least, most))
}
