//! The drawing's elements as they stand in the user's file: tags, names, places and parents, for everything that the SVG
//! library forgets.

use super::entities::Entities;
use quick_xml::events::attributes::Attributes;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::Range;

/// One element. Elements are numbered in the order in which they open, so that a parent comes before its children.
#[derive(Debug)]
pub struct Element<'a> {
    /// Name of the tag; the usual `svg:` in front is left out, other prefixes are kept.
    pub tag: &'a str,
    /// Everything between `<` and `>`.
    pub head: &'a str,
    /// Byte offset of its `<`.
    pub start: usize,
    /// Byte offset of its `</`, if it has an end tag.
    pub tail: Option<usize>,
    /// The element around it.
    pub parent: Option<usize>,
    /// The element before it in the same parent.
    pub previous: Option<usize>,
    /// One more than the number of its last descendant.
    pub end: usize,
    /// Its id, if no element before it has the same.
    pub id: Option<Cow<'a, str>>,
    /// Where an id stands that cannot be kept (empty or used before), quotes not included.
    pub bad_id: Option<Range<usize>>,
    /// Name that its editor shows, if it wrote one besides the id.
    pub label: Option<Cow<'a, str>>,
    /// Whether `display` takes it out of the drawing with all that is in it.
    pub gone: bool,
    /// What its own `visibility` says, if anything.
    pub visible: Option<bool>,
    /// How many points it draws itself, letters by a guess.
    pub points: u64,
}

/// One element's use of another.
#[derive(Debug)]
pub struct Link<'a> {
    /// The element that uses.
    pub from: usize,
    /// Id of the one that is used; of one outside the drawing its address.
    pub to: Cow<'a, str>,
    /// Whether it lies outside the drawing.
    pub outside: bool,
    /// Attribute or property that names it.
    pub key: &'a str,
    /// Byte offset of the value.
    pub at: usize,
    /// Whether there is another paint if the used one is missing.
    pub has_fallback: bool,
}

/// All elements of a drawing.
#[derive(Debug, Default)]
pub struct Outline<'a> {
    /// In the order in which they open; the first is the root.
    pub elements: Vec<Element<'a>>,
    /// Elements by id.
    pub by_id: BTreeMap<Cow<'a, str>, usize>,
    /// What the DOCTYPE declares.
    pub entities: Entities,
    /// Texts of `style` elements.
    pub sheets: Vec<Cow<'a, str>>,
    /// Which elements use which, without what style sheets add.
    pub links: Vec<Link<'a>>,
}

impl Element<'_> {
    /// The name that the user sees in the editor: its label, else the id as it was before it was made safe.
    pub fn visible_name(&self) -> Option<Cow<'_, str>> {
        let id = || self.id.as_deref().map(unescaped);
        self.label.as_deref().map(Cow::Borrowed).or_else(id)
    }

    /// Whether the user may mean this element by a name: its visible name or its id.
    pub fn is_called(&self, name: &str) -> bool {
        self.label.as_deref() == Some(name) || self.id.as_deref().is_some_and(|id| id == name || unescaped(id) == name)
    }

    /// Whether it may hold other elements that are painted where it stands.
    pub fn is_container(&self) -> bool {
        matches!(self.tag, "g" | "svg" | "a" | "switch")
    }

    /// Whether nothing inside it is painted where it stands.
    pub fn is_store(&self) -> bool {
        let stored = ["defs", "symbol", "clipPath", "mask", "pattern", "marker", "linearGradient", "radialGradient", "filter"];
        stored.contains(&self.tag)
            || matches!(self.tag, "metadata" | "title" | "desc" | "style" | "script")
            || self.is_foreign()
    }

    /// Whether it belongs to another language than SVG.
    pub fn is_foreign(&self) -> bool {
        self.tag.contains(':')
    }

    /// Whether it paints something itself.
    pub fn is_graphic(&self) -> bool {
        self.is_shape() || matches!(self.tag, "image" | "text" | "use")
    }

    /// Whether it is a basic shape or path.
    pub fn is_shape(&self) -> bool {
        matches!(self.tag, "path" | "rect" | "circle" | "ellipse" | "line" | "polyline" | "polygon")
    }

    /// Names and raw values of its attributes.
    pub fn attributes(&self) -> impl Iterator<Item = (&str, &str)> {
        let name = self.head.find(|c: char| c.is_whitespace()).unwrap_or(self.head.len());
        let mut list = Attributes::new(self.head, name);
        list.with_checks(false);
        list.flatten().filter_map(|attribute| match attribute.value {
            Cow::Borrowed(value) => Some((attribute.key.0, value)),
            Cow::Owned(_) => None,
        })
    }
}

impl<'a> Outline<'a> {
    /// An attribute's value with its entities put in.
    pub fn attribute(&self, element: usize, key: &str) -> Option<Cow<'_, str>> {
        let (_, raw) = self.elements.get(element)?.attributes().find(|(name, _)| *name == key)?;
        self.entities.value(raw).ok()
    }

    /// What `href` or `xlink:href` names; the plain one rules (SVG 2, "Deprecated XLink URL reference attributes").
    pub fn href(&self, element: usize) -> Option<Cow<'_, str>> {
        self.attribute(element, "href").or_else(|| self.attribute(element, "xlink:href"))
    }

    /// An element and everything around it, from the inside out.
    pub fn ancestors(&self, element: usize) -> impl Iterator<Item = usize> {
        std::iter::successors(Some(element), |inner| self.elements.get(*inner)?.parent)
    }

    /// An element and everything in it.
    pub fn inside(&self, element: usize) -> Range<usize> {
        element..self.elements.get(element).map_or(element, |e| e.end)
    }

    /// A name for findings: what the user sees, else the tag.
    pub fn name_of(&self, element: usize) -> String {
        let element = self.elements.get(element);
        element.map_or_else(String::new, |e| e.visible_name().map_or_else(|| format!("<{}>", e.tag), Cow::into_owned))
    }
}

/// An id as it was before an editor made it safe: `size_x20_36` was `size 36`. The form is common practice, no published
/// source; only printable characters are put back.
pub fn unescaped(id: &str) -> Cow<'_, str> {
    if !id.contains("_x") {
        return Cow::Borrowed(id);
    }
    let mut name = String::new();
    let mut rest = id;
    while let Some((before, after)) = rest.split_once("_x") {
        name.push_str(before);
        let found = after.split_once('_').and_then(|(digits, tail)| Some((hexadecimal(digits)?, tail)));
        match found {
            Some((sign, tail)) => (name.push(sign), rest = tail).1,
            None => (name.push_str("_x"), rest = after).1,
        }
    }
    Cow::Owned(name + rest)
}

fn hexadecimal(digits: &str) -> Option<char> {
    let plain = (2..=6).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_hexdigit());
    char::from_u32(u32::from_str_radix(digits, 16).ok().filter(|_| plain)?).filter(|c| !c.is_control())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escaped_ids_read_as_their_names() {
        let cases = [
            ("size_x20_36", "size 36"),
            ("a_x2013_b", "a–b"),
            ("_x33_6", "36"),
            ("x_xy_z", "x_xy_z"),
            ("_x", "_x"),
            ("b_x0007_", "b_x0007_"),
        ];
        for (id, name) in cases {
            assert_eq!(unescaped(id), name);
        }
    }
}
