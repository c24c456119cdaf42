//! Findings: one type for everything that any step has to tell the user, gathered and shown all at once.

#[macro_use]
mod macros;
mod render;
mod report;
mod sentences;

pub use render::{Style, render};
pub use report::FindingRecord;
pub use sentences::{Section, Told, filled, sections, words};

use std::fmt;

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Nothing is built until this is mended.
    Error,
    /// The kit is built, but someone should look.
    Warning,
}

/// Where in the user's own files a finding points.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// The file as the user knows it, relative to the kit where possible.
    pub file: String,
    /// Line, from 1.
    pub line: Option<u32>,
    /// Column in characters, from 1.
    pub column: Option<u32>,
    /// Element of a drawing, by its visible name or id.
    pub element: Option<String>,
}

impl Place {
    /// A whole file.
    pub fn file(file: impl Into<String>) -> Self {
        Self { file: file.into(), ..Self::default() }
    }

    /// A line and column of a file, both from 1.
    pub fn at(file: impl Into<String>, line: u32, column: u32) -> Self {
        Self { line: Some(line), column: Some(column), ..Self::file(file) }
    }

    /// The same place, naming an element.
    pub fn element(mut self, name: impl Into<String>) -> Self {
        self.element = Some(shortened(name.into(), LONGEST_NAME));
        self
    }
}

/// `file:line:column (element)`, as far as known.
impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        for number in [self.line, self.column].into_iter().flatten() {
            write!(f, ":{number}")?;
        }
        self.element.as_ref().map_or(Ok(()), |name| write!(f, " (element `{name}`)"))
    }
}

/// The stable name of a kind of finding; only `code!` and its like make one, so that a test finds them all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Code(&'static str);

impl Code {
    /// The code of a key: what stands before a `/`.
    pub fn of(key: &'static str) -> Self {
        Self(key.split('/').next().unwrap_or(key))
    }

    /// The name itself.
    pub fn name(self) -> &'static str {
        self.0
    }
}

/// One finding: what is wrong, where, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// Error or warning.
    pub severity: Severity,
    /// Stable name of the kind of finding, as in `layer-missing`.
    pub code: &'static str,
    /// What is wrong: lower case, no full stop, names in backticks.
    pub message: String,
    /// Where, if anywhere.
    pub place: Option<Place>,
    /// What to do, one sentence each.
    pub hints: Vec<String>,
}

impl Diagnostic {
    /// A finding in the words of a key, which also say what to do; made by `error!` and `warning!`.
    pub fn told(severity: Severity, code: Code, key: &'static str, holes: &[(&str, &dyn fmt::Display)]) -> Self {
        let hints = sentences::fixes(key, holes).into_iter().map(|hint| shortened(hint, LONGEST)).collect();
        Self { severity, code: code.0, message: shortened(filled(key, holes), LONGEST), place: None, hints }
    }

    /// The same finding at a place.
    pub fn at(mut self, place: Place) -> Self {
        self.place = Some(place);
        self
    }

    /// The same finding with one more sentence of advice.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }
}

/// Findings of each severity that are kept: a file made to hurt can have millions, and nobody reads a thousand.
const MOST: usize = 1000;
/// Letters of one sentence and of an element's name that are kept: a file can bring names of any length.
const LONGEST: usize = 3000;
const LONGEST_NAME: usize = 200;

/// All findings of a run, in the order they were made; of each severity the first thousand.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Findings {
    list: Vec<Diagnostic>,
    errors: usize,
}

impl Findings {
    /// None yet.
    pub const fn new() -> Self {
        Self { list: Vec::new(), errors: 0 }
    }

    /// Adds one.
    pub fn push(&mut self, finding: Diagnostic) {
        let error = finding.severity == Severity::Error;
        if self.count(finding.severity) < MOST {
            self.errors += usize::from(error);
            self.list.push(finding);
        }
    }

    /// Adds all of another list.
    pub fn extend(&mut self, others: impl IntoIterator<Item = Diagnostic>) {
        others.into_iter().for_each(|other| self.push(other));
    }

    /// Adds the finding of a failed step and gives the value of one that did not fail.
    pub fn take<T>(&mut self, result: Result<T, Diagnostic>) -> Option<T> {
        result.map_err(|finding| self.push(finding)).ok()
    }

    /// How many there are of a severity.
    pub fn count(&self, severity: Severity) -> usize {
        match severity {
            Severity::Error => self.errors,
            Severity::Warning => self.list.len() - self.errors,
        }
    }

    /// Whether any of them stops the build.
    pub fn has_errors(&self) -> bool {
        self.count(Severity::Error) > 0
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// One after the other.
    pub fn iter(&self) -> std::slice::Iter<'_, Diagnostic> {
        self.list.iter()
    }
}

impl IntoIterator for Findings {
    type Item = Diagnostic;
    type IntoIter = std::vec::IntoIter<Diagnostic>;
    fn into_iter(self) -> Self::IntoIter {
        self.list.into_iter()
    }
}

impl From<Diagnostic> for Findings {
    fn from(finding: Diagnostic) -> Self {
        let mut findings = Self::new();
        findings.push(finding);
        findings
    }
}

/// A text with its end left out if it is too long.
fn shortened(mut text: String, most: usize) -> String {
    if let Some((end, _)) = text.char_indices().nth(most) {
        text.truncate(end);
        text.push('…');
    }
    text
}

/// Joins names for a message: `` `a`, `b` or `c` ``.
pub fn or_list<S: AsRef<str>>(names: impl IntoIterator<Item = S>) -> String {
    let mut quoted: Vec<String> = names.into_iter().map(|name| format!("`{}`", name.as_ref())).collect();
    match quoted.pop() {
        None => String::new(),
        Some(last) if quoted.is_empty() => last,
        Some(last) => format!("{} or {last}", quoted.join(", ")),
    }
}

/// `a, b and c`.
pub fn and_list<S: AsRef<str>>(names: &[S]) -> String {
    let names: Vec<&str> = names.iter().map(AsRef::as_ref).collect();
    match names.as_slice() {
        [most @ .., last] if !most.is_empty() => format!("{} and {last}", most.join(", ")),
        all => all.concat(),
    }
}

/// A count with its noun: `1 sheet`, `3 sheets`.
pub fn counted(count: usize, noun: &str) -> String {
    format!("{count} {noun}{}", if count == 1 { "" } else { "s" })
}

/// What to write instead: the known name that is most like what was written, or any that there is.
pub fn offered<'a>(written: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> String {
    match nearest(written, known.clone()) {
        Some(near) => say!("write-near", near),
        None => say!("choose", choices = or_list(known)),
    }
}

/// The known name that is most like what was written, if any is like it at all.
pub fn nearest<'a>(written: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let written = written.to_lowercase();
    let likeness = |name: &'a str| (strsim::jaro_winkler(&written, &name.to_lowercase()), name);
    let (likeness, best) = known.into_iter().map(likeness).max_by(|a, b| a.0.total_cmp(&b.0))?;
    (likeness >= 0.75).then_some(best)
}
