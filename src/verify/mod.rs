//! verify
