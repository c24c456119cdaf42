//! The table of what printers reach: made from its data, and checked against figures and searches that share no code with it.

// A test that cannot go on must stop loudly, and helpers stand outside the `#[test]` functions that the lints spare.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, clippy::string_slice)]
#![allow(clippy::disallowed_methods)]

mod brute;
mod data;
mod figures;
mod table;
