//! Our own frame in a drawing: left out, and asked where its tiles lie, so that blank sheets that were filled in stay in place.

use super::model::{Drawing, Held, Layer, Role};
use super::outline::Element;
use super::shape::Shapes;
use crate::manifest::Kit;
use crate::units::Size;
use kurbo::Shape as _;

/// Id and visible name of the frame's layer: one of them survives whatever vector program saves the file.
pub const FRAME_ID: &str = "kitwright-frame";
/// What every frame of ours carries besides, in vector programs that keep what they do not know.
const FRAME_KEY: (&str, &str) = ("data-kitwright", "frame");
/// How the id of the outline of all tiles begins.
const GRID: &str = "kitwright-grid";

/// Id of the outline of all tiles: it tells the paper, how it lies, rows and columns.
pub fn grid_id(paper: &str, lying: bool, rows: usize, columns: usize) -> String {
    format!("{GRID}-{}-{rows}-{columns}-{paper}", if lying { "lying" } else { "upright" })
}

/// Whether an element is the layer with our frame.
pub fn is_frame(element: &Element) -> bool {
    element.is_container() && (element.is_called(FRAME_ID) || element.attributes().any(|pair| pair == FRAME_KEY))
}

/// The grid that a drawing was made on; none if it has no frame of ours, or one that was changed past recognition.
pub fn held(shapes: &Shapes) -> Option<Held> {
    let outline = shapes.outline;
    let found = outline.elements.iter().enumerate().find_map(|(number, element)| {
        let name = element.id.as_deref().filter(|id| id.starts_with(GRID));
        let name = name.or_else(|| element.label.as_deref().filter(|label| label.starts_with(GRID)))?;
        Some((number, name))
    });
    let (number, name) = found?;
    // A group around a single path carries the path's name in some programs.
    let shape = outline.inside(number).find(|inner| outline.elements.get(*inner).is_some_and(Element::is_shape))?;
    let area = shapes.on_paper(shape).ok()?.bounding_box();
    let told = name.strip_prefix(GRID)?.strip_prefix('-')?;
    let mut parts = told.splitn(4, '-');
    let lying = parts.next()? == "lying";
    let (rows, columns) = (parts.next()?.parse().ok()?, parts.next()?.parse().ok()?);
    (area.area() > 0.0).then(|| Held { paper: parts.next().unwrap_or_default().to_owned(), rows, columns, lying, area })
}

impl Drawing {
    /// The drawing of a blank kit: its layers, with nothing on them.
    pub fn blank(kit: &Kit) -> Self {
        let base = kit.base_layers.iter().flatten().map(|name| Layer { name: name.clone(), role: Role::Base });
        let sizes = kit.sizes.iter().enumerate();
        let sizes = sizes.map(|(index, size)| Layer { name: size.layer.clone(), role: Role::Size(index) });
        let controls = kit.controls.iter().map(|_| None).collect();
        let (pieces, lettering, traced) = (Vec::new(), Vec::new(), Vec::new());
        Self { size: Size::mm(0.0, 0.0), layers: base.chain(sizes).collect(), pieces, controls, held: None, lettering, traced }
    }
}

#[cfg(test)]
mod tests {
    use crate::drawing::trial::plain;
    use kurbo::Rect;

    fn frame(group: &str, outline: &str) -> String {
        format!(
            "<g {group}><path {outline} transform=\"translate(5 7)\" d=\"M0 0H60V20H0Z\" stroke=\"red\"/></g>\
             <g id=\"mine\"><path d=\"M1 1h9\" stroke=\"red\"/></g>"
        )
    }

    #[test]
    fn a_frame_of_ours_is_left_out_by_whichever_mark_of_it_is_left() {
        let marks = ["data-kitwright=\"frame\"", "id=\"kitwright-frame\"", "id=\"x\" data-name=\"kitwright-frame\""];
        for mark in marks {
            let (drawing, findings) = plain(&frame(mark, ""));
            assert!(findings.is_empty(), "{mark}: {findings:?}");
            let layers: Vec<String> = drawing.unwrap().layers.into_iter().map(|layer| layer.name).collect();
            assert_eq!(layers, ["mine"], "{mark}");
        }
        let (drawing, _) = plain(&frame("id=\"kitwright\"", ""));
        assert_eq!(drawing.unwrap().layers.len(), 2);
    }

    #[test]
    fn the_grid_is_found_where_it_lies_now() {
        let find = |outline: &str| plain(&frame("id=\"kitwright-frame\"", outline)).0.unwrap().held;
        let held = find("id=\"kitwright-grid-lying-1-3-us-letter\"").unwrap();
        assert_eq!((held.paper.as_str(), held.rows, held.columns, held.lying), ("us-letter", 1, 3, true));
        assert_eq!(held.area, Rect::new(5.0, 7.0, 65.0, 27.0));
        for damaged in ["", "id=\"kitwright-grid\"", "id=\"kitwright-grid-upright-x-3-a4\"", "id=\"kitwright-grid-upright-1\""]
        {
            assert_eq!(find(damaged), None, "{damaged}");
        }
    }
}
