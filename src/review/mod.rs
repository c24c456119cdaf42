//! Test rounds: who tests what, from a roster that the publisher writes.

mod roster;

pub use roster::{Roster, Tester, is_id};

#[cfg(test)]
mod roster_tests;
