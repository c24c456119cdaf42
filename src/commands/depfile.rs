//! The dependency file of a build: from which files each package was made, as make and Ninja read it.

use crate::diagnostic::{Diagnostic, Place};
use crate::files;
use std::collections::BTreeSet;
use std::fmt::Write;
use std::path::{MAIN_SEPARATOR, Path, PathBuf};

/// Signs that GNU make 4.3 or Ninja (1.10, 1.11 or 1.13) take for something else than a part of a name, escaped or not; all were
/// tried.
const UNSAFE: &str = "\"%&'*:;<=>?[\\]^`|~";
/// Largest file that is looked at before it is replaced.
const MOST_BYTES: u64 = 100_000_000;

/// What one package was made from; all names are escaped.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Rule {
    package: String,
    sources: Vec<String>,
}

impl Rule {
    /// The rule of a package. Names that make or Ninja would read as others are refused.
    pub(super) fn of(package: &Path, sources: &BTreeSet<PathBuf>) -> Result<Self, Diagnostic> {
        let refused: Vec<String> = sources.iter().map(PathBuf::as_path).chain([package]).filter_map(refused).collect();
        if let Some(first) = refused.first() {
            return Err(error!("depfile-name", names = refused.join(", ")).at(Place::file(first)));
        }
        Ok(Self { package: escaped(package), sources: sources.iter().map(|source| escaped(source)).collect() })
    }
}

/// Writes the rules into a file, unless a package has come to lie there by now.
pub(super) fn write(path: &Path, rules: &[Rule]) -> Result<(), Diagnostic> {
    refuse_strangers(path)?;
    files::replace(path, text(rules).as_bytes())
}

/// A file that is no dependency file of kitwright's is never replaced.
pub(super) fn refuse_strangers(path: &Path) -> Result<(), Diagnostic> {
    let ours = || files::read_text(path, MOST_BYTES, code!("cannot-write")).is_ok_and(|text| is_ours(&text));
    if !path.exists() || ours() {
        return Ok(());
    }
    let shown = path.display().to_string();
    Err(error!("cannot-write/no-depfile", shown).at(Place::file(shown)))
}

/// The rules, then each source by itself, so that make does not stop at one that has gone.
fn text(rules: &[Rule]) -> String {
    let mut text = String::new();
    for Rule { package, sources } in rules {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{package}: \\\n  {}\n", sources.join(" \\\n  "));
    }
    let all: BTreeSet<&String> = rules.iter().flat_map(|rule| &rule.sources).collect();
    all.into_iter().fold(text, |text, source| text + source + ":\n")
}

/// Ninja takes no comments in such a file, so that none can say who wrote it: it is ours if it is what we would write.
fn is_ours(written: &str) -> bool {
    let mut rules: Vec<Rule> = Vec::new();
    for line in written.lines() {
        if let Some(source) = line.strip_prefix("  ") {
            rules.last_mut().into_iter().for_each(|rule| rule.sources.push(source.trim_end_matches(" \\").to_owned()));
        } else if let Some(package) = line.strip_suffix(".zip: \\") {
            rules.push(Rule { package: format!("{package}.zip"), sources: Vec::new() });
        }
    }
    !rules.is_empty() && text(&rules) == written
}

/// The name as it is shown, if it cannot be written so that both read it alike.
fn refused(path: &Path) -> Option<String> {
    let bad = |name: &str| {
        name.contains(|sign: char| sign.is_control() || UNSAFE.contains(sign)) || name.ends_with([' ', ')']) || name.is_empty()
    };
    let fine = path.to_str().is_some_and(|_| !bad(&slashed(path)));
    (!fine).then(|| path.display().to_string())
}

fn escaped(path: &Path) -> String {
    slashed(path).replace('$', "$$").replace('#', "\\#").replace(' ', "\\ ")
}

/// A path with `/` between its parts on every system.
fn slashed(path: &Path) -> String {
    path.to_string_lossy().replace(MAIN_SEPARATOR, "/")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rule(package: &str, sources: &[&str]) -> Result<Rule, Diagnostic> {
        Rule::of(Path::new(package), &sources.iter().map(PathBuf::from).collect())
    }

    #[test]
    fn rules_are_written_and_known_again() {
        let one = rule("a b/out/a-1.0.0.zip", &["a b/kit.yaml", "a b/../#1 $.svg"]).unwrap();
        let two = rule("c/out/c-1.0.0.zip", &["a b/kit.yaml"]).unwrap();
        let written = text(&[one, two]);
        let wanted = "a\\ b/out/a-1.0.0.zip: \\\n  a\\ b/../\\#1\\ $$.svg \\\n  a\\ b/kit.yaml\n\n\
                      c/out/c-1.0.0.zip: \\\n  a\\ b/kit.yaml\n\n\
                      a\\ b/../\\#1\\ $$.svg:\na\\ b/kit.yaml:\n";
        assert_eq!(written, wanted);
        assert!(is_ours(&written));
    }

    #[test]
    fn other_files_are_not_taken_for_ours() {
        let ours = text(&[rule("a.zip", &["kit.yaml", "b.svg"]).unwrap()]);
        let others =
            ["", "\n", "a.zip: kit.yaml\n", "all: a.zip\n\ta.zip: \\\n", "a.o: \\\n  a.c\n\na.c:\n", "a.zip: \\\n  x\n"];
        let changed = [format!("# mine\n{ours}"), format!("{ours}more:\n"), ours.replace("b.svg", "c.svg \\\n  b.svg")];
        for other in others.map(str::to_owned).into_iter().chain(changed) {
            assert!(!is_ours(&other), "{other}");
        }
    }

    #[test]
    fn names_that_both_programs_read_alike_alone_are_taken() {
        for bad in [
            "a%b", "a:b", "a\\", "a\\ b", "a\nb", "a\tb", "a*", "a?", "a[1]", "~a", "a=b", "a;b", "a|b", "a&", "a ", "a(1)",
            "it's", "\"a\"",
        ] {
            let finding = rule("k.zip", &["kit.yaml", bad]).unwrap_err();
            assert_eq!(finding.code, "depfile-name", "{bad}");
            assert_eq!(finding.place.unwrap().file, bad);
        }
        for fine in ["a b", "#a", "$(a).svg", "Größe 40.svg", "日本/型紙.svg", "{a,b}!", "../a+b@c", "a (1).svg"] {
            assert!(rule("k.zip", &[fine]).is_ok(), "{fine}");
        }
        assert!(rule("a:b.zip", &["kit.yaml"]).is_err());
    }
}
