//! The program from outside: a folder of files in; standard output, findings, exit code and files out.

// A test that cannot go on must stop loudly, and these helpers stand outside the `#[test]` functions that the lints spare.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, clippy::disallowed_methods)]

mod blank;
mod build;
mod cache;
mod catalogue;
mod depfile;
mod drawing_words;
mod exits;
mod explain;
mod feedback;
mod first_kit;
mod hostile;
mod hostile_bytes;
mod house;
mod key;
mod kits;
mod lays;
mod many;
mod proof;
mod provoked;
mod records;
mod release;
mod rounds;
mod rounds_doc;
mod scene;
mod sheet;
mod steps;
mod words;
