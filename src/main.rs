//! The `kitwright` program: hands its arguments to the library and leaves with the exit code that comes back.

use std::process::ExitCode;

fn main() -> ExitCode {
    kitwright::commands::run(std::env::args_os())
}
