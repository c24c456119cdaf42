//! Damaged files of every kind that kitwright opens: none may take it down, keep it busy or fill the memory.
//!
//! Each format begins with good files; a seeded generator damages them in one to four ways, always the same from run to run.
//! What once failed stays in `found` and is opened again for ever. Long runs: see DEVELOPERS.md.

// A test that cannot go on must stop loudly, and helpers stand outside the `#[test]` functions that the lints spare.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, clippy::disallowed_methods)]
#![allow(clippy::print_stdout, clippy::print_stderr)]

mod case;
mod damage;
mod fonts;
mod formats;
mod setting;
mod traps;

use damage::Damage;
use formats::{FORMATS, Format};
use std::path::Path;
use std::time::{Duration, Instant};

/// A number from the environment.
fn wished(variable: &str) -> Option<u64> {
    std::env::var(variable).ok().map(|text| text.parse().unwrap_or_else(|_| panic!("{variable}: no number: {text}")))
}

/// Damages the seeds of a format, and opens what comes out, until there were enough or the time is over.
fn run(format: &Format) {
    let seeds = (format.seeds)();
    assert!(!seeds.is_empty() && seeds.iter().all(|seed| !seed.is_empty()), "{}: no seeds", format.name);
    for seed in &seeds {
        case::open(format, seed).unwrap_or_else(|why| panic!("{}: a good file: {why}", format.name));
    }
    let wanted = wished("KITWRIGHT_FUZZ").unwrap_or(format.cases as u64);
    let (start, end) = (Instant::now(), Duration::from_secs(wished("KITWRIGHT_FUZZ_SECONDS").unwrap_or(3600)));
    let mut damage = Damage::of(format.name);
    let (mut failures, mut longest, mut count, mut told) = (Vec::new(), Duration::ZERO, 0, Duration::ZERO);
    while count < wanted && start.elapsed() < end {
        let bytes = damage.done_to(&seeds);
        match case::open_watched(format, count, &bytes) {
            Ok(took) => longest = longest.max(took),
            Err(why) => failures.push(format!("{why}: {}", case::kept(format.name, count, &bytes))),
        }
        count += 1;
        if start.elapsed() > told + Duration::from_secs(60) {
            told = start.elapsed();
            println!("{}: {count} of {wanted} so far, {} failed, {} s", format.name, failures.len(), told.as_secs());
        }
    }
    let (failed, took) = (failures.len(), start.elapsed());
    println!(
        "{}: {count} damaged files, {failed} failed, the slowest took {longest:.1?}, all {took:.1?}; {}",
        format.name,
        case::peak()
    );
    assert!(failures.is_empty(), "{}: {failed} of {count}: {:#?}", format.name, &failures[..failed.min(5)]);
}

/// Cuts the smallest seed of a format at every byte, as far as a short file goes.
fn cut(format: &Format) {
    let seeds = (format.seeds)();
    let smallest = seeds.iter().min_by_key(|seed| seed.len()).expect("a seed");
    let step = (3 * smallest.len() / format.cases).max(1);
    for end in (0..smallest.len()).step_by(step) {
        case::open(format, &smallest[..end]).unwrap_or_else(|why| panic!("{}: cut at {end}: {why}", format.name));
    }
}

/// What failed once is opened again for ever.
fn found(format: &Format) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/found");
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if name.starts_with(&format!("{}-", format.name)) {
            let bytes = std::fs::read(entry.path()).expect("a file that failed once");
            case::open(format, &bytes).unwrap_or_else(|why| panic!("{name}: {why}"));
        }
    }
}

macro_rules! formats {
    ($($name:ident),*) => {
        $(#[test]
        fn $name() {
            let format = FORMATS.iter().find(|format| format.name == stringify!($name)).expect("a format of that name");
            found(format);
            cut(format);
            run(format);
        })*

        #[test]
        fn every_format_is_tried() {
            assert_eq!(FORMATS.map(|format| format.name), [$(stringify!($name)),*]);
        }
    };
}

formats!(manifest, drawing, po, xliff, markdown, package, pages, feedback, roster, editions, ttf, otf, ttc, image, logo);
