//! Commands: arguments in, an exit code out; one file a command.

// The one place that may look at the environment and speak to the terminal.
#![allow(clippy::disallowed_methods, clippy::print_stderr)]

mod args;
mod bug;
mod build;
mod bundle;
mod cache;
mod catalogue;
mod chapters;
mod check;
mod compare;
mod corrections;
mod depfile;
mod drawn;
mod earlier;
mod exit;
mod explain;
mod feedback;
mod fonts;
mod guide;
mod held;
mod kept;
mod key;
mod kit;
mod laid;
mod languages;
mod lays;
mod make;
mod many;
mod new;
mod order;
mod outputs;
mod picture;
mod pictures;
mod plan;
mod proof;
mod release;
mod request;
mod review;
mod schemas;
mod screen;
mod serve;
mod sheet;
mod size_files;
mod store;
mod texts;
mod verify;
mod watch;

pub use exit::Exit;
pub use schemas::schemas;

use crate::diagnostic::{Diagnostic, Findings};
use args::{Args, Command};
use clap::Parser;
use screen::Screen;
use std::ffi::OsString;
use std::io::Write;
use std::process::ExitCode;

/// Runs the program. Data goes to stdout, everything else to stderr; a panic ends with [`Exit::Bug`], never half way.
pub fn run(args: impl IntoIterator<Item = OsString> + std::panic::UnwindSafe) -> ExitCode {
    bug::keep();
    let exit = std::panic::catch_unwind(|| match Args::try_parse_from(args) {
        Ok(args) => dispatch(args),
        Err(refusal) => {
            // Help and version come this way too; a closed pipe is no reason to complain.
            let _ = refusal.print();
            if refusal.use_stderr() { Exit::BadInput } else { Exit::Fine }
        }
    });
    exit.unwrap_or_else(|_| {
        // With nobody to read it, a second panic would help nobody.
        let _ = writeln!(std::io::stderr(), "{}\n{}", bug::last(), words!("is-a-bug"));
        Exit::Bug
    })
    .into()
}

/// Whether a command line would be understood, without running it; the reason is the text that a user would see.
pub fn understood(args: impl IntoIterator<Item = OsString>) -> Result<(), String> {
    match Args::try_parse_from(args) {
        Err(refusal) if refusal.use_stderr() => Err(refusal.to_string()),
        // Help and version count as refusals to clap, and are just what was asked for.
        _ => Ok(()),
    }
}

fn dispatch(args: Args) -> Exit {
    let screen = Screen::of(&args.common);
    let result = match args.command {
        Command::New(wish) => new::run(&wish, &screen),
        Command::Check(wish) => check::run(&wish, &screen),
        Command::Plan(wish) => plan::run(&wish, &screen),
        Command::Build(wish) => build::run(&wish, &screen),
        Command::Sheet(wish) => sheet::run(&wish, &screen),
        Command::Picture(wish) => picture::run(&wish, &screen),
        Command::Lays(wish) => lays::run(&wish, &screen),
        Command::Guide(wish) => guide::run(&wish, &screen),
        Command::Proof(wish) => proof::run(&wish, &screen),
        Command::Catalogue(wish) => catalogue::run(&wish, &screen),
        Command::Verify(wish) => verify::run(&wish, &screen),
        Command::Review(wish) => review::run(&wish, &screen),
        Command::Release(wish) => release::run(&wish, &screen),
        Command::Compare(wish) => compare::run(&wish, &screen),
        Command::Key(wish) => key::run(&wish, &screen),
        Command::Explain(wish) => explain::run(&wish, &screen),
        Command::Feedback(wish) => feedback::run(&wish, &screen),
    };
    let mut findings: Findings = result.unwrap_or_else(|finding: Diagnostic| {
        let findings = finding.into();
        check::refuse(&screen, &findings);
        findings
    });
    findings.extend(screen.lost());
    Exit::of(&findings, args.common.deny_warnings)
}
