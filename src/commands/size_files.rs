//! Home files for one size each: a layout of their own, for buyers who want one file for their size.

use super::kit::Loaded;
use super::make::{Made, Task, Tongue, done};
use super::screen::Screen;
use crate::diagnostic::{Diagnostic, or_list};
use crate::guide::FileKind;
use crate::manifest::{Kit, PaperSetup, Press};
use crate::package::Names;
use crate::plan::{self, Layout};
use crate::press::{self, Forms, Job};
use rayon::prelude::*;

/// The files of all sizes for the home papers that are being built; none unless the manifest asks for them.
pub(super) fn size_files(loaded: &Loaded, tongue: &Tongue, screen: &Screen) -> Result<Vec<Made>, Diagnostic> {
    let wanted = loaded.kit.size_files && loaded.kit.blank.is_none();
    let sizes = if wanted { loaded.kit.sizes.len() } else { 0 };
    let made = (0..sizes).into_par_iter().map(|size| files(loaded, size, tongue, screen));
    Ok(made.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect())
}

/// What the file of a single size, called by its name, is made from.
pub(super) fn alone(loaded: Loaded, name: &str) -> Result<Loaded, Diagnostic> {
    if !loaded.kit.size_files || loaded.kit.blank.is_some() {
        return Err(error!("argument-bad/no-size-files"));
    }
    let Some(size) = loaded.kit.sizes.iter().position(|size| size.name == name) else {
        let names = loaded.kit.sizes.iter().map(|size| size.name.as_str());
        return Err(error!("argument-bad/size-file", name, choices = or_list(names)));
    };
    let (kit, drawing) = (kit_of(&loaded, size), loaded.drawing.for_size(size));
    let overlaid = loaded.overlaid.as_ref().map(|overlaid| overlaid.for_size(size));
    let (layouts, _) = plan::layouts(&kit, overlaid.as_ref().unwrap_or(&drawing));
    Ok(Loaded { kit, drawing, overlaid, layouts, ..loaded })
}

fn files(loaded: &Loaded, size: usize, tongue: &Tongue, screen: &Screen) -> Result<Vec<Made>, Diagnostic> {
    let Tongue { messages, others, .. } = tongue;
    let (drawing, ground) = (&tongue.drawing.for_size(size), &loaded.ground().for_size(size));
    let kit = kit_of(loaded, size);
    let (layouts, _) = loaded.store.layouts(&kit, ground, false);
    let (kit, forms, faces, logo) = (&kit.on_paper(), &Forms::none(), &loaded.faces, loaded.logo.as_ref());
    let job = Job { kit, drawing, ground, forms, messages, others, faces, logo };
    let tasks = layouts.into_iter().map(|layout| file(kit, &loaded.kit, size, layout)).collect();
    done(&job, tasks, &loaded.store, screen)
}

/// The kit cut down to one size and its home papers; the search is free, whatever holds the grid of the large file.
fn kit_of(loaded: &Loaded, size: usize) -> Kit {
    let built = |setup: &&PaperSetup| loaded.layouts.iter().any(|layout| layout.setup.paper.id == setup.paper.id);
    let home = loaded.kit.papers.iter().filter(built).filter(|setup| setup.paper.press == Press::Home);
    let papers = home.map(|setup| PaperSetup { pin: None, ..setup.clone() }).collect();
    let sizes = loaded.kit.sizes.get(size).into_iter().cloned().collect();
    Kit { sizes, papers, size_files: false, ..loaded.kit.clone() }
}

fn file(kit: &Kit, whole: &Kit, size: usize, layout: Layout) -> Task {
    let paper = layout.setup.paper.id.clone();
    let name = Names::of(kit).home_size(&paper, whole, size);
    let title = kit.sizes.first().map(|size| size.name.clone()).unwrap_or_default();
    let kind = FileKind::HomeSize { paper, size: title, sheets: layout.sheets.len() };
    Task { layout, name, kind, press: |job, layout| press::home_pdf(job, layout).map(Some) }
}
