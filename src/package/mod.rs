//! package
