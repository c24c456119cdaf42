//! `review`: for each tester of a round a zip with their sizes on their paper, in their language; what all share is made once.

use super::args;
use super::build::{known, printed, refuse_strangers};
use super::check::refuse;
use super::compare::package_at;
use super::corrections::{opened, reprint};
use super::guide::page;
use super::key;
use super::kit::{Loaded, load};
use super::languages::Language;
use super::make::{Made, Tongue, in_language, planned};
use super::outputs::{BundleRecord, ReviewRecord, VERSION};
use super::pictures::GuidePictures;
use super::screen::{Screen, records};
use crate::diagnostic::{Diagnostic, Findings, counted};
use crate::feedback;
use crate::files;
use crate::guide::{self, FileKind, PackedFile};
use crate::manifest::{ReviewCopy, Since};
use crate::package::{self, Entry, Names, Signer};
use crate::review::{Roster, Tester};
use crate::verify::{Changes, PaperChange};
use rayon::prelude::*;
use std::path::{Path, PathBuf};

/// The roster, unless another file is named.
const ROSTER: &str = "testers.yaml";
/// Largest roster that is read.
const ROSTER_BYTES: u64 = 1_000_000;

/// Packs the bundles of a round; either all of them are written or none.
pub(super) fn run(wish: &args::Review, screen: &Screen) -> Result<Findings, Diagnostic> {
    let (loaded, mut findings) = load(&wish.kit, wish.fonts.as_deref());
    let testers = loaded.as_ref().and_then(|loaded| testers(wish, loaded, &mut findings));
    let Some((loaded, testers)) = loaded.zip(testers).filter(|_| !screen.stopped_by(&findings)) else {
        refuse(screen, &findings);
        return Ok(findings);
    };
    screen.findings(&findings);
    let signer = wish.sign.as_deref().map(key::signer).transpose()?;
    let folder = wish.out.clone().unwrap_or_else(|| loaded.folder.join("out"));
    let round = Round { loaded: &loaded, number: wish.round, folder: &folder, signer: signer.as_ref(), screen };
    let bundles: Vec<Bundle> = testers.par_iter().map(|tester| round.bundle(tester)).collect::<Result<_, _>>()?;
    files::create_folder(&folder)?;
    bundles.iter().try_for_each(|bundle| refuse_strangers(&bundle.path, &loaded.kit.name))?;
    files::replace_all(&bundles.iter().map(|bundle| (bundle.path.as_path(), bundle.bytes.as_slice())).collect::<Vec<_>>())?;
    tell(wish.round, &bundles, &findings, screen);
    Ok(findings)
}

/// The testers of the roster, or those of them that are wished.
fn testers(wish: &args::Review, loaded: &Loaded, findings: &mut Findings) -> Option<Vec<Tester>> {
    let path = wish.roster.clone().unwrap_or_else(|| loaded.folder.join(ROSTER));
    let text = findings.take(files::read_text(&path, ROSTER_BYTES, code!("roster-unreadable")))?;
    let (roster, more) = Roster::read(&path.display().to_string(), &text, &loaded.kit);
    findings.extend(more);
    let mut testers = roster?.testers;
    let ids: Vec<String> = testers.iter().map(|tester| tester.id.clone()).collect();
    known("tester", &wish.tester, &ids, findings);
    testers.retain(|tester| wish.tester.is_empty() || wish.tester.contains(&tester.id));
    Some(testers)
}

/// What the bundles of a round have in common.
struct Round<'a> {
    loaded: &'a Loaded,
    number: u32,
    folder: &'a Path,
    signer: Option<&'a Signer>,
    screen: &'a Screen,
}

/// A bundle, still to be written.
struct Bundle {
    tester: String,
    path: PathBuf,
    bytes: Vec<u8>,
    since: Option<Since>,
}

impl Round<'_> {
    fn bundle(&self, tester: &Tester) -> Result<Bundle, Diagnostic> {
        let mut cut = self.cut(tester);
        let language = cut.languages.first().cloned().ok_or_else(|| error!("bug-languages"))?;
        let made = self.pressed(&cut, tester, &language)?;
        let since = self.since(tester, &cut, &made)?;
        cut.kit.review.iter_mut().for_each(|review| review.since.clone_from(&since));
        let entries = self.entries(&cut, made, tester, &language)?;
        let bytes = package::zip(entries, cut.kit.date)?;
        let path = self.folder.join(Names::of(&cut.kit).review(self.number, &tester.id));
        Ok(Bundle { tester: tester.id.clone(), path, bytes, since })
    }

    /// The kit as the tester sees it: the grid and labels of the whole, and of it the sheets that their sizes need.
    fn cut(&self, tester: &Tester) -> Loaded {
        let Loaded { kit, drawing, overlaid, worded, layouts, languages, .. } = self.loaded;
        let sizes: Vec<usize> =
            tester.sizes.iter().filter_map(|name| kit.sizes.iter().position(|size| size.name == *name)).collect();
        let own = worded.iter().find(|worded| worded.language == tester.language).map_or(drawing, |worded| &worded.drawing);
        let kept = self.loaded.ground().kept_for(&sizes);
        let layouts = layouts.iter().filter(|layout| layout.setup.paper.id == tester.paper);
        let review = ReviewCopy { round: self.number, tester: tester.id.clone(), since: None };
        let mut cut = kit.cut_to(&sizes, &tester.paper);
        (cut.languages, cut.review) = (vec![tester.language.clone()], Some(review));
        Loaded {
            kit: cut,
            drawing: own.for_sizes(&sizes),
            worded: Vec::new(),
            overlaid: overlaid.as_ref().map(|overlaid| overlaid.for_sizes(&sizes)),
            laid: self.loaded.laid.for_sizes(&sizes),
            layouts: layouts.map(|layout| layout.for_sizes(&sizes, &kept)).collect(),
            languages: languages.iter().filter(|language| language.tag() == tester.language).cloned().collect(),
            ..self.loaded.clone()
        }
    }

    /// The tester's sheets: in their language if the drawing has words in it, else as all buyers get them.
    fn pressed(&self, cut: &Loaded, tester: &Tester, language: &Language) -> Result<Vec<Made>, Diagnostic> {
        let own = self.loaded.worded.iter().any(|worded| worded.language == tester.language);
        let messages = if own { &language.messages } else { self.loaded.source()? };
        let tongue = Tongue { own: None, drawing: &cut.drawing, messages, others: vec![language.messages.clone()] };
        in_language(cut, &tongue, self.screen)
    }

    /// What has changed since the tester's last round, if its bundle lies where this one goes.
    fn since(&self, tester: &Tester, cut: &Loaded, made: &[Made]) -> Result<Option<Since>, Diagnostic> {
        let Some((round, path)) = self.earlier(&tester.id) else { return Ok(None) };
        let changes = Changes::between(&package_at(&path)?, &opened(cut, made)?);
        let own = |paper: &&PaperChange| made.first().is_some_and(|made| made.entry.name == paper.file);
        Ok(changes.papers.both.iter().find(own).map(|paper| Since { round, reprint: reprint(paper) }))
    }

    /// The last bundle of the tester before this round.
    fn earlier(&self, tester: &str) -> Option<(u32, PathBuf)> {
        let files = std::fs::read_dir(self.folder).ok()?.flatten();
        let rounds = files.filter_map(|file| {
            let round = Names::round_of(&self.loaded.kit, tester, file.file_name().to_str()?)?;
            Some((round, file.path()))
        });
        rounds.filter(|(round, _)| *round < self.number).max()
    }

    /// What the tester fills in.
    fn form(&self, cut: &Loaded, tester: &Tester, language: &Language) -> Result<Entry, Diagnostic> {
        let layout = cut.layouts.first().ok_or_else(|| error!("bug-languages"))?;
        let since = cut.kit.review.as_ref().and_then(|review| review.since.as_ref());
        let changed = since.map(|since| since.reprint.sheets.as_slice()).unwrap_or_default();
        let asked = feedback::ask(&cut.kit, layout, (tester, self.number), changed, (&language.messages, &language.words));
        Ok(Entry::new(Names::of(&cut.kit).form(), feedback::form(&asked)?))
    }

    /// All files of the bundle.
    fn entries(
        &self,
        cut: &Loaded,
        mut made: Vec<Made>,
        tester: &Tester,
        language: &Language,
    ) -> Result<Vec<Entry>, Diagnostic> {
        let (kit, tags) = (&cut.kit, &cut.kit.languages);
        let Language { messages, words } = language;
        let mut planned = planned(cut, tags, &[messages], &made)?;
        let form = self.form(cut, tester, language)?;
        planned.files.push(PackedFile { name: form.name.clone(), kind: FileKind::Feedback, language: None });
        if self.signer.is_some() {
            planned.files.push(PackedFile { name: Names::SIGNATURE.into(), kind: FileKind::Signature, language: None });
        }
        let promises = package::promises(kit, tags, &cut.drawing, &printed(&mut made, cut)?);
        let pictures = GuidePictures::of(cut)?;
        let read_me = package::readme(kit, &cut.layouts, &guide::files_in(&planned.files, language.tag()), messages, words);
        let mut entries: Vec<Entry> = made.into_iter().map(|made| made.entry).collect();
        entries.extend([form, Entry::new(Names::PROMISES, promises)]);
        entries.push(Entry::new(Names::read_me(kit, language.tag()), read_me));
        entries.push(Entry::new(Names::of(kit).guide(language.tag()), page(kit, &planned, &pictures, language)?));
        Ok(package::sealed(entries, kit, self.signer))
    }
}

fn tell(round: u32, bundles: &[Bundle], findings: &Findings, screen: &Screen) {
    let record = |bundle: &Bundle| BundleRecord {
        tester: bundle.tester.clone(),
        file: bundle.path.display().to_string(),
        bytes: bundle.bytes.len(),
        since: bundle.since.as_ref().map(|since| since.round),
        reprint: bundle.since.as_ref().map(|since| since.reprint.sheets.clone()).unwrap_or_default(),
    };
    let bundles: Vec<BundleRecord> = bundles.iter().map(record).collect();
    if screen.for_machines() {
        screen.record(&ReviewRecord { version: VERSION, round, bundles, findings: records(findings) });
        return;
    }
    bundles.iter().for_each(|bundle| screen.data(&format!("{}\n", bundle.file)));
    for bundle in bundles.iter().filter(|bundle| !bundle.reprint.is_empty()) {
        let (tester, since) = (&bundle.tester, bundle.since.unwrap_or_default());
        screen.say(&say!("review-reprint", tester, since, sheets = bundle.reprint.join(", ")));
    }
    screen.say(&say!("review-packed", round, bundles = counted(bundles.len(), "bundle")));
}
