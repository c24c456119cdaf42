//! Which properties use other elements, and whom a value means.

use super::outline::Link;
use std::borrow::Cow;

/// Properties that link to other elements.
const LINKING: [&str; 8] = ["clip-path", "mask", "filter", "fill", "stroke", "marker-start", "marker-mid", "marker-end"];

/// The same key, independent of the text it was read from.
pub fn known_key(key: &str) -> &'static str {
    let others = ["display", "visibility", "transform", "stroke-width", "font-size", "stroke-dasharray", "marker"];
    LINKING.iter().chain(&others).find(|known| **known == key).copied().unwrap_or("")
}

/// The use that a value makes of another element, if it makes one.
pub fn link<'a>(from: usize, key: &'a str, value: Cow<'a, str>, at: usize) -> Option<Link<'a>> {
    if matches!(key, "href" | "xlink:href") {
        let (to, outside) = match value {
            Cow::Borrowed(value) => aim(value).map(|(to, outside)| (Cow::Borrowed(to), outside))?,
            Cow::Owned(value) => aim(&value).map(|(to, outside)| (Cow::Owned(to.to_owned()), outside))?,
        };
        return Some(Link { from, to, outside, key, at, has_fallback: false });
    }
    if !LINKING.contains(&key) && key != "marker" || !value.contains("url(") {
        return None;
    }
    let (_, inside) = value.split_once("url(")?;
    let (name, rest) = inside.split_once(')')?;
    let (name, outside) = aim(name.trim().trim_matches(['"', '\'']))?;
    let paints = matches!(key, "fill" | "stroke");
    if outside && paints {
        // Told as no colour already.
        return None;
    }
    let has_fallback = paints && !rest.trim().is_empty();
    Some(Link { from, to: Cow::Owned(name.to_owned()), outside, key, at, has_fallback })
}

/// Whom an address means: an element of the drawing by its id, or something outside it.
fn aim(address: &str) -> Option<(&str, bool)> {
    let address = address.trim();
    let inside = address.strip_prefix('#').map(|id| (id, false));
    inside.or_else(|| (!address.is_empty()).then_some((address, true)))
}
