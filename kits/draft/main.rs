//! Drafts the demo kits: `cargo run --example draft` rewrites their drawings, `-- --check` only compares them.

// A drafting program of our own, with no input but its own figures: it may stop at a slip, and it writes the drawings itself.
#![allow(clippy::expect_used, clippy::indexing_slicing, clippy::disallowed_methods, clippy::print_stderr)]

mod apron;
mod curve;
mod logo;
mod marks;
#[cfg(test)]
mod promises;
mod svg;
mod tote;

use std::path::Path;
use std::process::ExitCode;

/// A file that this program writes, relative to the kits' folder, and what makes its text.
type Product = (&'static str, fn() -> String);

/// All of them.
const FILES: [Product; 3] =
    [("ploverfield-logo.svg", logo::svg), ("ropewalk-tote/tote.svg", tote::svg), ("tansy-apron/apron.svg", apron::svg)];

fn main() -> ExitCode {
    let check = match std::env::args().nth(1).as_deref() {
        None => false,
        Some("--check") => true,
        Some(_) => {
            eprintln!("usage: cargo run --example draft [-- --check]");
            return ExitCode::from(2);
        }
    };
    let kits = Path::new(env!("CARGO_MANIFEST_DIR")).join("kits");
    // Every file is looked at before the verdict, so that one run shows all that differ.
    let bad = FILES.iter().filter(|(name, make)| !settle(&kits.join(name), &make(), check)).count();
    ExitCode::from(u8::from(bad > 0))
}

/// Writes one file, or only compares it; tells on stderr and gives `false` if it could not be written or differs.
fn settle(path: &Path, text: &str, check: bool) -> bool {
    // A missing file differs too, so comparing needs no word of its own for it.
    if !check {
        return std::fs::write(path, text).map_err(|error| eprintln!("cannot write {}: {error}", path.display())).is_ok();
    }
    let same = std::fs::read_to_string(path).is_ok_and(|found| found == text);
    if !same {
        eprintln!("{} differs from its draft", path.display());
    }
    same
}
