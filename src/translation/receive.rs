//! Takes a catalogue back from a translator: what they wrote goes in, what the kit had is never lost.

use super::header::Header;
use super::state::{State, status};
use super::texts::KitText;
use crate::catalogue::po::Entry;
use crate::diagnostic::{Diagnostic, Place};
use std::collections::BTreeMap;

/// A kit's catalogue with the work of a translator in it.
#[derive(Clone, Debug)]
pub struct Received {
    /// The catalogue.
    pub entries: Vec<Entry>,
    /// Translations that are new.
    pub new: usize,
    /// Translations that took the place of another.
    pub replaced: usize,
    /// Those that were left out, with the reason.
    pub refused: Vec<Diagnostic>,
}

/// Puts a returned catalogue into the one of the kit, which must be up to date.
///
/// Fails with `po-other-kit`, `po-other-language` or `po-other-edition` if it was made for something else.
#[allow(clippy::result_large_err, reason = "a finding is the error of every step; one a run makes no difference")]
pub fn receive(
    wanted: &[KitText],
    kit: &[Entry],
    returned: &[Entry],
    header: &Header,
    file: &str,
) -> Result<Received, Diagnostic> {
    belongs(&Header::read(returned), header, file)?;
    let judged = status(wanted, returned, &header.language);
    let theirs: BTreeMap<_, _> = judged
        .iter()
        .filter_map(|status| Some(((status.text.context.as_str(), status.text.text.as_str()), (status.entry?, &status.state))))
        .collect();
    let mut received = Received { entries: kit.to_vec(), new: 0, replaced: 0, refused: Vec::new() };
    for entry in received.entries.iter_mut().filter(|entry| !entry.obsolete && !entry.is_header()) {
        let key = (entry.context.as_deref().unwrap_or_default(), entry.id.as_str());
        let Some((translated, state)) = theirs.get(&key) else { continue };
        if let Some(why) = refusal(state) {
            let name = entry.context.as_deref().unwrap_or_default();
            received.refused.push(
                warning!("translation-refused", name, why).at(Place { file: file.to_owned(), ..translated.place.clone() }),
            );
        } else if **state != State::Missing && entry.strings != translated.strings {
            let had = entry.strings.iter().any(|string| !string.is_empty()) && !entry.is_fuzzy();
            *(if had { &mut received.replaced } else { &mut received.new }) += 1;
            take(entry, translated);
        } else if **state != State::Missing {
            take(entry, translated);
        }
    }
    Ok(received)
}

/// The translation with the translator's marks; comments of both are kept.
fn take(entry: &mut Entry, translated: &Entry) {
    entry.strings.clone_from(&translated.strings);
    let fuzzy = translated.is_fuzzy();
    entry.flags.retain(|flag| flag != "fuzzy");
    if fuzzy {
        entry.flags.insert(0, "fuzzy".into());
    }
    entry.previous = if fuzzy { translated.previous.clone() } else { Default::default() };
    let new = translated.comments.iter().filter(|comment| !entry.comments.contains(comment)).cloned().collect::<Vec<_>>();
    entry.comments.extend(new);
}

/// Why a translation is not taken.
fn refusal(state: &State) -> Option<String> {
    match state {
        State::Placeholder(name) => Some(say!("text-has-no-placeholder", name)),
        State::Markup(why) => Some(why.clone()),
        State::Done | State::Missing | State::Stale | State::TooLong(..) => None,
    }
}

/// Whether a returned file is for this kit, edition and language.
#[allow(clippy::result_large_err, reason = "a finding is the error of every step; one a run makes no difference")]
fn belongs(theirs: &Header, ours: &Header, file: &str) -> Result<(), Diagnostic> {
    let finding = if theirs.kit.is_empty() {
        error!("po-other-kit/unsaid", kit = ours.kit, edition = ours.edition)
    } else if theirs.kit != ours.kit {
        error!("po-other-kit", theirs = theirs.kit, ours = ours.kit)
    } else if theirs.language != ours.language {
        error!("po-other-language", theirs = theirs.language, ours = ours.language)
    } else if theirs.edition != ours.edition {
        error!("po-other-edition", theirs = theirs.edition, ours = ours.edition)
    } else {
        return Ok(());
    };
    Err(finding.at(Place::file(file)))
}
