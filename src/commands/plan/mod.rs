//! `plan`: what would be printed, as tables and small maps, as a record, or as a picture.

mod answer;
mod record;
mod text;

use super::args;
use super::check::refuse;
use super::kit::{Loaded, load_covered};
use super::screen::Screen;
use crate::diagnostic::{Diagnostic, Findings, Place, or_list};
use crate::files;
use crate::plan::Layout;
use crate::press::{MAP_MARK, map_file};
use answer::{Answer, Question};
use std::path::Path;

/// Largest file that is looked at before it is replaced by a new map.
const MAP_BYTES: u64 = 100_000_000;

/// Plans a kit, answers the questions about the plan and shows it.
pub(super) fn run(wish: &args::Plan, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (loaded, mut findings) = load_covered(&wish.kit, wish.fonts.as_deref());
    let asked = loaded.map(|loaded| (Question::read(&wish.sizes, &wish.margins, &loaded.kit, &mut findings), loaded));
    let Some((question, mut loaded)) = asked.filter(|_| !findings.has_errors()) else {
        refuse(screen, &findings);
        return Ok(findings);
    };
    if let Some(path) = &wish.map {
        write_map(path, &loaded, wish.paper.first())?;
    }
    if !wish.paper.is_empty() {
        loaded.layouts.retain(|layout| wish.paper.contains(&layout.setup.paper.id));
    }
    let answers: Vec<Answer> = loaded.layouts.iter().map(|layout| question.answer(layout)).collect();
    if screen.for_machines() {
        screen.record(&record::record(&loaded, &answers, &findings));
    } else {
        screen.findings(&findings);
        screen.data(&text::text(&loaded, &answers));
    }
    Ok(findings)
}

/// Draws the map of one paper, the first of the manifest unless another is asked for; only a map of ours is replaced.
fn write_map(path: &Path, loaded: &Loaded, paper: Option<&String>) -> Result<(), Diagnostic> {
    let wanted = |layout: &&Layout| paper.is_none_or(|paper| *paper == layout.setup.paper.id);
    let layout = loaded.layouts.iter().find(wanted).ok_or_else(|| {
        let papers = loaded.layouts.iter().map(|layout| layout.setup.paper.id.as_str());
        error!("argument-bad/paper", choices = or_list(papers))
    })?;
    if path.exists() {
        let ours = files::read(path, MAP_BYTES, code!("cannot-write"))?
            .windows(MAP_MARK.len())
            .any(|part| part == MAP_MARK.as_bytes());
        if !ours {
            let shown = path.display().to_string();
            return Err(error!("cannot-write/no-map", shown).at(Place::file(shown)));
        }
    }
    let messages = loaded.source()?.clone();
    files::replace(path, map_file(layout, &loaded.drawing, &messages).as_bytes())
}
