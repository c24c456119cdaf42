//! What the templates of the proof see: words and numbers, ready to be shown.

use super::changes::{ChangesView, changes};
use super::concern::concerns;
use super::findings::{FindingView, Group, groups, views};
use super::measures::{ControlView, TallyView, controls, tallies};
use super::paper::PaperView;
use crate::catalogue::Messages;
use crate::diagnostic::{Findings, Severity};
use crate::drawing::Drawing;
use crate::manifest::Kit;
use crate::plan::Layout;
use crate::press::ProofPictures;
use crate::verify::{Changes, Verdict};
use serde::Serialize;

/// Everything that a proof is made from.
pub struct Source<'a> {
    /// The kit.
    pub kit: &'a Kit,
    /// Its drawing, with control measurements taken.
    pub drawing: &'a Drawing,
    /// One a paper.
    pub layouts: &'a [Layout],
    /// All pages of these layouts.
    pub pictures: &'a ProofPictures,
    /// What was found before the package was made.
    pub findings: &'a Findings,
    /// The finished package, measured.
    pub verdict: &'a Verdict,
    /// What has changed since an earlier edition, if its package is there.
    pub changes: Option<&'a Changes>,
    /// The files of the package.
    pub files: &'a [ProofFile],
}

/// A file of the package.
#[derive(Clone, Debug, Serialize)]
pub struct ProofFile {
    /// Its name in the package.
    pub name: String,
    /// Its size.
    pub bytes: usize,
    /// Id of the paper that it is for, if it is for one.
    pub paper: Option<String>,
    /// Whether its pages are those of the paper's layout.
    pub main: bool,
}

/// One proof.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Page {
    /// None if no kit could be read.
    pub(super) kit: Option<KitView>,
    /// Whether the pictures are older than the findings.
    pub(super) outdated: bool,
    pub(super) errors: usize,
    pub(super) warnings: usize,
    /// How many checks of the finished package were made.
    pub(super) checks: usize,
    pub(super) groups: Vec<Group>,
    /// Trusted markup.
    pub(super) store: String,
    pub(super) sizes: Vec<String>,
    pub(super) papers: Vec<PaperView>,
    pub(super) changes: Option<ChangesView>,
    pub(super) controls: Vec<ControlView>,
    pub(super) tallies: Vec<TallyView>,
    pub(super) files: Vec<FileView>,
    pub(super) package: String,
}

/// What stands at the head.
#[derive(Clone, Debug, Serialize)]
pub(super) struct KitView {
    name: String,
    title: String,
    publisher: String,
    edition: String,
    date: String,
    /// As `2026-11-20`, for machines.
    iso_date: String,
    languages: Vec<String>,
}

/// A file in the list.
#[derive(Clone, Debug, Serialize)]
pub(super) struct FileView {
    name: String,
    size: String,
}

impl Page {
    /// The proof of a kit whose package was made.
    pub fn new(source: &Source) -> Self {
        let all: Vec<_> = source.findings.iter().chain(source.verdict.findings.iter()).collect();
        let concerns: Vec<_> = all.iter().map(|finding| concerns(finding, source)).collect();
        let views = views(&all, &concerns, source.layouts);
        let papers = source.layouts.iter().enumerate();
        let papers = papers.map(|(index, layout)| PaperView::new(source, index, layout, &concerns, &views)).collect();
        let count = |severity| all.iter().filter(|finding| finding.severity == severity).count();
        Self {
            kit: Some(KitView::new(source.kit)),
            outdated: false,
            errors: count(Severity::Error),
            warnings: count(Severity::Warning),
            checks: source.verdict.tallies.values().map(|tally| tally.made).sum(),
            groups: groups(views),
            store: source.pictures.store.clone(),
            sizes: source.kit.sizes.iter().map(|size| size.name.clone()).collect(),
            papers,
            changes: changes(source),
            controls: controls(source),
            tallies: tallies(source.verdict),
            files: source.files.iter().map(FileView::new).collect(),
            package: source.verdict.package.clone(),
        }
    }

    /// The same with other findings, which concern no sheet that is shown.
    pub(super) fn refused(mut self, findings: &Findings) -> Self {
        let all: Vec<_> = findings.iter().collect();
        let views: Vec<FindingView> = views(&all, &[], &[]);
        self.errors = findings.count(Severity::Error);
        self.warnings = findings.count(Severity::Warning);
        self.groups = groups(views);
        self.papers.iter_mut().for_each(PaperView::forget_findings);
        self
    }
}

impl KitView {
    fn new(kit: &Kit) -> Self {
        // The page is written in English, whatever the kit's languages are.
        let date = Messages::builtin("en").map_or_else(|| kit.date.to_string(), |english| english.date(kit.date));
        Self {
            name: kit.name.clone(),
            title: kit.title.clone(),
            publisher: kit.publisher.clone(),
            edition: kit.edition.to_string(),
            date,
            iso_date: kit.date.to_string(),
            languages: kit.languages.clone(),
        }
    }
}

impl FileView {
    fn new(file: &ProofFile) -> Self {
        Self { name: file.name.clone(), size: format!("{} KB", file.bytes.div_ceil(1000)) }
    }
}
