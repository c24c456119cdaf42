//! The kinds of text that a manifest holds, each with its JSON Schema.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::value::{MapAccessDeserializer, SeqAccessDeserializer};
use serde::de::{Deserializer, MapAccess, SeqAccess, Visitor};
use serde::{Deserialize, de};
use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;

/// JSON Schema `format` of texts that may have many lines.
pub const PROSE: &str = "prose";

/// Defines a text type with its schema, written in place wherever it is used.
macro_rules! text_type {
    ($(#[$doc:meta])* $name:ident: $schema:tt) => {
        $(#[$doc])*
        #[derive(Clone, Debug, Default, PartialEq, Eq, Deserialize)]
        pub struct $name(pub String);

        impl JsonSchema for $name {
            fn inline_schema() -> bool {
                true
            }

            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!($schema)
            }
        }
    };
}

text_type! {
    /// A text of one line.
    Line: {"type": "string", "minLength": 1}
}
text_type! {
    /// A name of a size, layer or element; one that looks like a number needs no quotes and is kept as written.
    Label: {"type": ["string", "number"], "minLength": 1}
}
text_type! {
    /// A text of any number of lines.
    Prose: {"type": "string", "minLength": 1, "format": "prose"}
}
text_type! {
    /// A length with its unit.
    LengthText: {
        "type": "string",
        "minLength": 1,
        "pattern": r"^[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+) *([mM][mM]|[cC][mM]|[mM]|[iI][nN]|[pP][tT]|[pP][cC]|[pP][xX]|[qQ])$",
        "examples": ["15 mm", "0.6 in", "12 pt"]
    }
}

/// Either the name of something known, or what tells it: a mapping or a list.
#[derive(Clone, Debug)]
pub enum NameOr<T> {
    /// A name.
    Name(String),
    /// A mapping or list.
    Told(T),
}

impl<T: JsonSchema> JsonSchema for NameOr<T> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        format!("NameOr{}", T::schema_name()).into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let name = Line::json_schema(generator);
        json_schema!({"anyOf": [name, generator.subschema_for::<T>()]})
    }
}

/// Not serde's `untagged`: that one reads a mapping ahead and so turns `10:30` or `1e3` within it into numbers.
impl<'de, T: Deserialize<'de>> Deserialize<'de> for NameOr<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(NameOrVisitor(PhantomData))
    }
}

struct NameOrVisitor<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for NameOrVisitor<T> {
    type Value = NameOr<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(words!("name-or-what-tells-it"))
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Self::Value, E> {
        Ok(NameOr::Name(text.to_owned()))
    }

    fn visit_bool<E: de::Error>(self, value: bool) -> Result<Self::Value, E> {
        Ok(NameOr::Name(value.to_string()))
    }

    fn visit_i64<E: de::Error>(self, value: i64) -> Result<Self::Value, E> {
        Ok(NameOr::Name(value.to_string()))
    }

    fn visit_u64<E: de::Error>(self, value: u64) -> Result<Self::Value, E> {
        Ok(NameOr::Name(value.to_string()))
    }

    fn visit_f64<E: de::Error>(self, value: f64) -> Result<Self::Value, E> {
        Ok(NameOr::Name(value.to_string()))
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Self::Value, A::Error> {
        T::deserialize(MapAccessDeserializer::new(map)).map(NameOr::Told)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<Self::Value, A::Error> {
        T::deserialize(SeqAccessDeserializer::new(list)).map(NameOr::Told)
    }
}
