//! Exit codes, so that scripts can tell what happened.

use crate::diagnostic::{Findings, Severity};

/// How the program ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// 0: done, nothing stands in the way.
    Fine,
    /// 1: there are findings; nothing was written, or a package does not keep its promises.
    Findings,
    /// 2: the arguments or the kit could not be read at all.
    BadInput,
    /// 3: the output could not be written, or not be served.
    CannotWrite,
    /// 4: kitwright itself is wrong.
    Bug,
}

/// Kinds of findings that mean that there was nothing to work on.
const BAD_INPUT: [&str; 5] = ["manifest-missing", "manifest-unreadable", "package-missing", "argument-bad", "package-twice"];

impl Exit {
    /// The exit code that findings ask for; the gravest wins.
    pub fn of(findings: &Findings, deny_warnings: bool) -> Self {
        let any = |wanted: &dyn Fn(&str) -> bool| findings.iter().any(|f| f.severity == Severity::Error && wanted(f.code));
        if any(&|code| code.starts_with("bug-")) {
            Self::Bug
        } else if any(&|code| ["cannot-write", "cannot-serve"].contains(&code)) {
            Self::CannotWrite
        } else if any(&|code| BAD_INPUT.contains(&code)) {
            Self::BadInput
        } else if findings.has_errors() || (deny_warnings && !findings.is_empty()) {
            Self::Findings
        } else {
            Self::Fine
        }
    }
}

impl From<Exit> for u8 {
    fn from(exit: Exit) -> Self {
        match exit {
            Exit::Fine => 0,
            Exit::Findings => 1,
            Exit::BadInput => 2,
            Exit::CannotWrite => 3,
            Exit::Bug => 4,
        }
    }
}

impl From<Exit> for std::process::ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(u8::from(exit))
    }
}
