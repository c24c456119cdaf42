//! One top level key of a manifest: left out, not readable, or read.

use schemars::{JsonSchema, Schema, SchemaGenerator};
use std::borrow::Cow;

/// What became of one top level key.
#[derive(Clone, Debug, Default)]
pub enum Section<T> {
    /// The key was left out.
    #[default]
    Absent,
    /// The key is there, but its value was refused already.
    Broken,
    /// The value, of the right shape but not checked further.
    Read(T),
}

/// A list whose entries were read one by one; `None` for an entry that was refused already.
pub type List<T> = Section<Vec<Option<T>>>;

impl<T> Section<T> {
    /// This section, or the other one if the key was left out here.
    pub fn or(self, other: Self) -> Self {
        if matches!(self, Self::Absent) { other } else { self }
    }

    /// The same section with its value changed.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Section<U> {
        match self {
            Self::Absent => Section::Absent,
            Self::Broken => Section::Broken,
            Self::Read(value) => Section::Read(change(value)),
        }
    }

    /// The value, if there is a readable one.
    pub const fn value(&self) -> Option<&T> {
        if let Self::Read(value) = self { Some(value) } else { None }
    }
}

/// For editors a section is simply its value.
impl<T: JsonSchema> JsonSchema for Section<T> {
    fn inline_schema() -> bool {
        T::inline_schema()
    }

    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }

    fn schema_id() -> Cow<'static, str> {
        T::schema_id()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
}
