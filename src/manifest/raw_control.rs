//! A control measurement as it is written in the manifest, before any check of meaning.

use super::kit::{Extent, Way};
use super::words::{Label, LengthText, NameOr};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserializer, Error, MapAccess, SeqAccess, Visitor};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;

/// A promised length: of an element or a part of its edge, between two points, or the same as another.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(rename = "Control", deny_unknown_fields)]
pub struct RawControl {
    /// As the publisher calls it.
    #[schemars(length(max = 60))]
    pub name: Label,
    /// Element of the drawing, by visible name or id; `<size>` in it stands for the name of each size.
    pub element: Option<Label>,
    /// What of the element is measured. Default: its length.
    pub measure: Option<Extent>,
    /// Two places on the element's line, between which it is measured: names of notches, or points.
    pub between: Option<[RawNotch; 2]>,
    /// Which way round a closed line is measured between two places. Default: `short`.
    pub way: Option<Way>,
    /// First point, from the drawing's top left: right, down.
    pub from: Option<[LengthText; 2]>,
    /// Second point.
    pub to: Option<[LengthText; 2]>,
    /// What the element's length equals: an element, a part of its edge, or several of them together.
    pub equals: Option<Sides>,
    /// How much longer the element is than what it equals; shorter with a minus. Default: `0 mm`.
    pub plus: Option<LengthText>,
    /// How far the two may differ. Default: `0.5 mm`.
    pub within: Option<LengthText>,
    /// The promised length.
    pub length: Option<LengthText>,
    /// The promised length of each size, by the size's name.
    #[schemars(extend("maxProperties" = 60))]
    pub lengths: Option<BTreeMap<String, LengthText>>,
    /// The size whose element is meant, or `all` for each of them. Default: one element, wherever it is.
    pub size: Option<Label>,
    /// How far the drawing may be off. Default: `0.05 mm`.
    pub tolerance: Option<LengthText>,
}

/// A place on a line: the name of a notch, or a point from the drawing's top left: right, down.
pub type RawNotch = NameOr<[LengthText; 2]>;

/// An element, or a part of its edge.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(rename = "Side", deny_unknown_fields)]
pub struct RawSide {
    /// Element of the drawing, by visible name or id.
    pub element: Label,
    /// What of the element is measured. Default: its length.
    pub measure: Option<Extent>,
    /// Two places on the element's line, between which it is measured: names of notches, or points.
    pub between: Option<[RawNotch; 2]>,
    /// Which way round a closed line is measured between two places. Default: `short`.
    pub way: Option<Way>,
}

/// One side of a pair: an element's name, a mapping, or a list of those, which count together.
#[derive(Clone, Debug)]
pub struct Sides(pub Vec<NameOr<RawSide>>);

impl JsonSchema for Sides {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Sides".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let (name, side) = (Label::json_schema(generator), generator.subschema_for::<RawSide>());
        let one = NameOr::<RawSide>::json_schema(generator);
        json_schema!({"anyOf": [name, side, {"type": "array", "minItems": 1, "maxItems": 12, "items": one}]})
    }
}

impl<'de> Deserialize<'de> for Sides {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(SidesVisitor)
    }
}

struct SidesVisitor;

impl<'de> Visitor<'de> for SidesVisitor {
    type Value = Sides;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a name, a mapping, or a list of them")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Sides, E> {
        Ok(Sides(vec![NameOr::Name(text.to_owned())]))
    }

    fn visit_bool<E: Error>(self, value: bool) -> Result<Sides, E> {
        self.visit_str(&value.to_string())
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<Sides, E> {
        self.visit_str(&value.to_string())
    }

    fn visit_u64<E: Error>(self, value: u64) -> Result<Sides, E> {
        self.visit_str(&value.to_string())
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Sides, E> {
        self.visit_str(&value.to_string())
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Sides, A::Error> {
        RawSide::deserialize(MapAccessDeserializer::new(map)).map(|side| Sides(vec![NameOr::Told(side)]))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Sides, A::Error> {
        let mut sides = Vec::new();
        while let Some(side) = list.next_element()? {
            sides.push(side);
        }
        Ok(Sides(sides))
    }
}
