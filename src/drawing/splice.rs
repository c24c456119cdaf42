//! The drawing's text made ready for the SVG library: every element named, the outermost one sized so that its pixel is a
//! millimetre, units that the library lacks rewritten. Positions in the new text can be traced back.

use super::cores;
use super::geometry::Geometry;
use super::outline::{Element, Outline};
use super::prepass::Prepass;
use super::scale::Scale;
use super::source::Source;
use super::uses::Reach;
use kurbo::{BezPath, Rect, Shape as _};
use std::ops::Range;

/// The text that the SVG library reads.
#[derive(Debug)]
pub struct Spliced {
    /// All of it.
    pub text: String,
    /// Sign at the head of every id that was put in.
    mark: char,
    /// For each edit: where it ends in the new text, and the same spot in the user's text.
    edits: Vec<(usize, usize)>,
}

/// Longest path, in bytes, that is left as it is; the library would spend long on the lines of longer ones.
const SHORT: usize = 120;

/// Makes the text for the SVG library.
pub fn splice(source: &Source, prepass: &Prepass, scale: &Scale, geometry: &Geometry, reach: &Reach) -> Spliced {
    let mark = ('\u{e000}'..='\u{f8ff}').find(|mark| !source.text.contains(*mark)).unwrap_or('\u{e000}');
    let mut edits = ids(&prepass.outline, mark);
    edits.extend(prepass.quarters.iter().map(|(range, number)| (range.clone(), format!("{}cm", number / 40.0))));
    edits.extend(prepass.asides.iter().map(|range| (range.clone(), String::new())));
    edits.extend(root(source, &prepass.outline, scale));
    let shapes = |number: usize, element: &Element| {
        geometry.of(number).map(|path| shape(source, number, element, path, reach)).unwrap_or_default()
    };
    edits.extend(cores::map(&prepass.outline.elements, shapes).into_iter().flatten());
    edits.sort_by_key(|(range, _)| (range.start, range.end));
    let mut spliced = Spliced { text: String::with_capacity(source.text.len() + edits.len() * 16), mark, edits: Vec::new() };
    // Edits never overlap: each is a whole value, a whole name, or nothing at a place between.
    let mut done = 0;
    for (range, text) in edits {
        spliced.text.push_str(source.text.get(done..range.start).unwrap_or_default());
        spliced.text.push_str(&text);
        spliced.edits.push((spliced.text.len(), range.end));
        done = range.end;
    }
    spliced.text.push_str(source.text.get(done..).unwrap_or_default());
    spliced
}

/// Ids for all elements that have none of their own.
fn ids(outline: &Outline, mark: char) -> Vec<(Range<usize>, String)> {
    let edit = |(number, element): (usize, &Element)| match (&element.bad_id, &element.id) {
        (Some(range), _) => Some((range.clone(), format!("{mark}{number}"))),
        (None, Some(_)) => None,
        (None, None) => {
            let name = element.head.find(|c: char| c.is_whitespace() || c == '/').unwrap_or(element.head.len());
            let at = element.start + 1 + name;
            Some((at..at, format!(" id=\"{mark}{number}\"")))
        }
    };
    outline.elements.iter().enumerate().filter_map(edit).collect()
}

/// What to write for a shape, so that the library has it exactly where its name will be lost, and quickly where not.
fn shape(source: &Source, number: usize, element: &Element, path: &BezPath, reach: &Reach) -> Vec<(Range<usize>, String)> {
    let data = element.attributes().find(|(key, _)| *key == "d").filter(|_| element.tag == "path");
    let data =
        data.and_then(|(_, value)| Some((source.offset_of(value)?, value))).map(|(at, value)| (at..at + value.len(), value));
    match data {
        // The library only needs to know where it lies: its geometry is taken from us.
        Some((range, value)) if value.len() > SHORT && !reach.is_shared(number) && !reach.markers => {
            let Rect { x0, y0, x1, y1 } = path.bounding_box();
            vec![(range, format!("M{x0} {y0}H{x1}V{y1}H{x0}"))]
        }
        Some((range, value)) if value.contains(['a', 'A']) => vec![(range, path.to_svg())],
        None if super::geometry::is_round(element) && reach.is_shared(number) => renamed(element, path),
        _ => Vec::new(),
    }
}

/// A round shape as the path that it is: clones lose their ids, so that only their path data can be exact.
fn renamed(element: &Element, path: &BezPath) -> Vec<(Range<usize>, String)> {
    let name = |at: usize| at..at + element.head.find(|c: char| c.is_whitespace() || c == '/').unwrap_or(element.head.len());
    let opened = (name(element.start + 1), "path".to_owned());
    let after = name(element.start + 1).end;
    let closed = element.tail.map(|tail| (name(tail + 2), "path".to_owned()));
    [Some(opened), Some((after..after, format!(" d=\"{}\"", path.to_svg()))), closed].into_iter().flatten().collect()
}

/// The outermost size in mm without a unit, and a viewBox in any case.
fn root(source: &Source, outline: &Outline, scale: &Scale) -> Vec<(Range<usize>, String)> {
    let Some(root) = outline.elements.first() else { return Vec::new() };
    let view = scale.view;
    let wanted = [
        ("width", scale.size.width.to_mm().to_string()),
        ("height", scale.size.height.to_mm().to_string()),
        ("viewBox", format!("{} {} {} {}", view.x0, view.y0, view.width(), view.height())),
    ];
    let edit = |(key, value): (&str, String)| match root.attributes().find(|(name, _)| *name == key) {
        Some((_, old)) => source.offset_of(old).map(|at| (at..at + old.len(), value)),
        None => {
            let at = root.start + 1 + root.head.find(|c: char| c.is_whitespace() || c == '/').unwrap_or(root.head.len());
            Some((at..at, format!(" {key}=\"{value}\"")))
        }
    };
    wanted.into_iter().filter_map(edit).collect()
}

impl Spliced {
    /// The number of the element that the SVG library calls by this id.
    pub fn element(&self, outline: &Outline, id: &str) -> Option<usize> {
        let injected = || id.strip_prefix(self.mark)?.parse().ok().filter(|number| *number < outline.elements.len());
        outline.by_id.get(id).copied().or_else(injected)
    }

    /// Byte offset in the user's text of a row and column (both from 1, in characters) of this text.
    pub fn origin(&self, row: u32, column: u32) -> usize {
        let here = Source::of("", &self.text).offset(row, column);
        let before = self.edits.partition_point(|(end, _)| *end <= here);
        let (end, origin) = before.checked_sub(1).and_then(|last| self.edits.get(last)).copied().unwrap_or((0, 0));
        origin + (here - end)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Findings;
    use crate::drawing::request::Request;

    #[test]
    fn every_element_gets_a_name_of_its_own_and_positions_lead_back() {
        let text = "<svg width='10mm' height='5mm'>\n<g id='a'/><g id='a'/><rect width='4Q'/></svg>";
        let source = Source::of("a.svg", text);
        let mut findings = Findings::new();
        let prepass = crate::drawing::prepass::prepass(&source, &mut findings).unwrap();
        let scale = crate::drawing::scale::scale(&source, &prepass.outline, &Request::plain("a.svg"), &mut findings).unwrap();
        let spliced = splice(&source, &prepass, &scale, &Geometry::default(), &Reach::default());
        assert!(spliced.text.contains("<g id='a'/><g id='\u{e000}2'/>"), "{}", spliced.text);
        assert!(spliced.text.contains("width='0.1cm'"));
        assert_eq!(spliced.element(&prepass.outline, "a"), Some(1));
        assert_eq!(spliced.element(&prepass.outline, "\u{e000}3"), Some(3));
        assert_eq!(spliced.element(&prepass.outline, "\u{e000}99"), None);
        let second_line: Vec<char> = spliced.text.lines().nth(1).unwrap().chars().collect();
        let column = second_line
            .iter()
            .collect::<String>()
            .find("<rect")
            .map(|at| spliced.text.lines().nth(1).unwrap()[..at].chars().count() + 1);
        let origin = spliced.origin(2, column.unwrap() as u32);
        assert!(text[origin..].starts_with("<rect"));
    }
}
