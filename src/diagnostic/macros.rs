//! The macros by which all other code speaks: a key of `templates/messages` and what fills its holes.
//!
//! Holes are `name` or `name = value`, as for `format!`. A test holds every use against the sentences.

/// A finding that stops the work: `error!("paper-twice", paper = told.paper)`. What stands before a `/` in the key is the code;
/// with `error!(as code, "key", …)` the code is one that was handed on.
macro_rules! error {
    (as $code:expr, $key:literal $($holes:tt)*) => {
        $crate::diagnostic::Diagnostic::told($crate::diagnostic::Severity::Error, $code, $key, holes!($($holes)*))
    };
    ($key:literal $($holes:tt)*) => { error!(as code!($key), $key $($holes)*) };
}

/// The same for a finding that lets the work go on.
macro_rules! warning {
    ($key:literal $($holes:tt)*) => {
        $crate::diagnostic::Diagnostic::told($crate::diagnostic::Severity::Warning, code!($key), $key, holes!($($holes)*))
    };
}

/// A code to be handed on.
macro_rules! code {
    ($code:literal) => {
        $crate::diagnostic::Code::of($code)
    };
}

/// A single sentence or part of one, filled.
macro_rules! say {
    ($key:literal $($holes:tt)*) => { $crate::diagnostic::filled($key, holes!($($holes)*)) };
}

/// A sentence or part of one that has no holes.
macro_rules! words {
    ($key:literal) => {
        $crate::diagnostic::words($key)
    };
}

/// What fills the holes, each with its name.
macro_rules! holes {
    ($(, $name:ident $(= $value:expr)?)* $(,)?) => { &[$((stringify!($name), hole!($name $(, $value)?))),*] };
}

macro_rules! hole {
    ($name:ident) => {
        &$name as &dyn std::fmt::Display
    };
    ($name:ident, $value:expr) => {
        &$value as &dyn std::fmt::Display
    };
}
