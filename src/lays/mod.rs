//! Lay plans: how much cloth a size needs at a cloth width.

pub mod packing;
