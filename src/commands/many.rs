//! `build` with several kits: side by side, each on its own; what failed is told, and the rest is there.

use super::args;
use super::build::unchanged;
use super::cache::Cache;
use super::check::refuse;
use super::depfile::{self, Rule};
use super::order::{Built, Means, Order, package_of};
use super::outputs::{BuildsRecord, KitBuildRecord, VERSION};
use super::screen::{Screen, records};
use super::texts::{is_kit, read_texts};
use crate::diagnostic::{Diagnostic, Findings, counted};
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use std::thread;

/// Makes a package of each kit; gives the findings of all.
pub(super) fn run(given: &[PathBuf], wish: &args::Build, screen: &Screen) -> Result<Findings, Diagnostic> {
    // Whatever cannot even be looked at is told of as a kit.
    let meant = |path: &&PathBuf| catch_unwind(|| is_kit(path)).unwrap_or(true);
    let (kits, others): (Vec<&PathBuf>, Vec<&PathBuf>) = given.iter().partition(meant);
    let passed_over: Vec<String> = others.iter().map(|path| path.display().to_string()).collect();
    if !passed_over.is_empty() {
        screen.say(&say!("passed-over", names = passed_over.join(", ")));
    }
    let refusals = against(&kits, wish);
    if refusals.has_errors() {
        refuse(screen, &refusals);
        return Ok(refusals);
    }
    let means = Means::of(wish)?;
    let done = Mutex::new(0);
    let outcomes = side_by_side(&kits, |kit| {
        let outcome = Outcome::of(kit, wish, &means, screen);
        // Held while it is told, so that the numbers come in order.
        let mut count = done.lock().unwrap_or_else(PoisonError::into_inner);
        *count += 1;
        screen.progress(&say!("kits-done", count, all = kits.len(), kit = outcome.kit));
        outcome
    });
    Ok(told(outcomes, passed_over, wish, screen))
}

/// What came of a kit.
struct Outcome {
    kit: String,
    built: Option<Built>,
    findings: Findings,
}

impl Outcome {
    fn of(kit: &Path, wish: &args::Build, means: &Means, screen: &Screen) -> Self {
        let (built, findings) = guarded(|| {
            let cache = Cache::of(kit, wish);
            if let Some((built, findings)) = unchanged(cache.as_ref(), screen) {
                return (Some(built), findings);
            }
            let (order, mut findings) = Order::of(kit, wish);
            let Some(order) = order.filter(|_| !screen.stopped_by(&findings)) else { return (None, findings) };
            let built = findings.take(order.built(means, &screen.without_progress()));
            cache.zip(built.as_ref()).and_then(|(cache, built)| cache.keep(&order, built, &findings));
            (built, findings)
        });
        Self { kit: kit.display().to_string(), built, findings }
    }

    fn record(self) -> KitBuildRecord {
        let (package, bytes, files) = match self.built {
            Some(Built { package, bytes, files, .. }) => (Some(package), Some(bytes), files),
            None => (None, None, Vec::new()),
        };
        KitBuildRecord { kit: self.kit, package, bytes, files, findings: records(&self.findings) }
    }
}

/// A bug that one kit brings to light does not take the others down.
fn guarded<T>(work: impl FnOnce() -> (Option<T>, Findings)) -> (Option<T>, Findings) {
    catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| (None, error!("bug-kit").into()))
}

/// Does the work for each item, as many at a time as there are cores; what comes of them is in the order of the items.
///
/// Not on rayon's threads: one that waits for the papers of its kit would begin with another kit meanwhile, and so on, until
/// all of them are in memory.
fn side_by_side<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let one = || {
        let index = next.fetch_add(1, Ordering::Relaxed);
        items.get(index).map(|item| (index, work(item)))
    };
    let some = || std::iter::from_fn(one).collect::<Vec<_>>();
    let mut done = thread::scope(|scope| {
        let hands: Vec<_> = (1..rayon::current_num_threads().min(items.len())).map(|_| scope.spawn(some)).collect();
        let mut done = some();
        done.extend(hands.into_iter().flat_map(|hand| hand.join().unwrap_or_else(|panic| resume_unwind(panic))));
        done
    });
    done.sort_by_key(|(index, _)| *index);
    done.into_iter().map(|(_, result)| result).collect()
}

/// What stands against the arguments as a whole.
fn against(kits: &[&PathBuf], wish: &args::Build) -> Findings {
    let mut findings = Findings::new();
    if kits.is_empty() {
        findings.push(error!("manifest-missing/none"));
    }
    if wish.since.is_some() {
        findings.push(error!("argument-bad/since"));
    }
    let mut first: BTreeMap<PathBuf, &Path> = BTreeMap::new();
    for kit in kits {
        // A kit without a name yet cannot be built either, which is told later.
        let Some(texts) = guarded(|| read_texts(&args::KitFolder::of(kit, wish.room))).0 else { continue };
        let package = package_of(&texts.kit, &texts.folder, wish);
        if let Some(other) = first.insert(real(&package), kit) {
            let (other, kit) = (other.display(), kit.display());
            findings.push(error!("package-twice", package = package.display(), other, kit));
        }
    }
    findings
}

/// A path by which two that lead to one place are known; what is not there yet is left as it is.
fn real(path: &Path) -> PathBuf {
    match (path.canonicalize(), path.parent(), path.file_name()) {
        (Ok(real), ..) => real,
        (_, Some(folder), Some(name)) => real(folder).join(name),
        _ => path.to_path_buf(),
    }
}

/// Tells of all kits, one after the other, then of all together; gives the findings of all.
fn told(mut outcomes: Vec<Outcome>, passed_over: Vec<String>, wish: &args::Build, screen: &Screen) -> Findings {
    for outcome in &outcomes {
        screen.findings_of(&outcome.kit, &outcome.findings);
        if let (Some(built), false) = (&outcome.built, screen.for_machines()) {
            screen.data(&format!("{}\n", built.package));
        }
    }
    summary(&outcomes, screen);
    let mut own = Findings::new();
    own.take(depfile(&mut outcomes, wish, screen));
    screen.findings(&own);
    let mut all = own.clone();
    all.extend(outcomes.iter().flat_map(|outcome| outcome.findings.clone()));
    if screen.for_machines() {
        let builds = outcomes.into_iter().map(Outcome::record).collect();
        screen.record(&BuildsRecord { version: VERSION, builds, passed_over, findings: records(&own) });
    }
    all
}

fn summary(outcomes: &[Outcome], screen: &Screen) {
    let (built, failed): (Vec<&Outcome>, Vec<&Outcome>) = outcomes.iter().partition(|outcome| outcome.built.is_some());
    let warned = built.iter().filter(|outcome| !outcome.findings.is_empty()).count();
    screen.say(&say!("kits-built", built = built.len(), all = counted(outcomes.len(), "kit"), warned));
    if !failed.is_empty() {
        let names: Vec<&str> = failed.iter().map(|outcome| outcome.kit.as_str()).collect();
        screen.say(&say!("kits-failed", count = names.len(), names = names.join(", ")));
    }
}

/// Writes the dependency file, unless a kit failed: it would make the others look as if they were all.
fn depfile(outcomes: &mut [Outcome], wish: &args::Build, screen: &Screen) -> Result<(), Diagnostic> {
    let Some(file) = &wish.depfile else { return Ok(()) };
    if outcomes.iter().any(|outcome| outcome.built.is_none()) {
        screen.say(&say!("no-depfile", file = file.display()));
        return Ok(());
    }
    let rules: Vec<Rule> = outcomes.iter_mut().filter_map(|outcome| outcome.built.as_mut()?.rule.take()).collect();
    depfile::write(file, &rules)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_keep_the_order_of_their_items() {
        let items: Vec<u64> = (0..50).collect();
        let slow_first = |item: &u64| {
            thread::sleep(std::time::Duration::from_millis((50 - item) / 10));
            item * 2
        };
        assert_eq!(side_by_side(&items, slow_first), items.iter().map(|item| item * 2).collect::<Vec<_>>());
        assert!(side_by_side(&[], slow_first).is_empty());
    }

    #[test]
    fn a_bug_in_one_kit_is_its_own_finding() {
        let results = side_by_side(&[1, 2, 3], |item| {
            guarded(|| if *item == 2 { panic!("a bug") } else { (Some(*item), Findings::new()) })
        });
        assert_eq!(results.iter().map(|(made, _)| *made).collect::<Vec<_>>(), [Some(1), None, Some(3)]);
        assert_eq!(results[1].1.iter().map(|finding| finding.code).collect::<Vec<_>>(), ["bug-kit"]);
    }
}
