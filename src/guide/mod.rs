//! guide
