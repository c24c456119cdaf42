//! The structure tree: what a screen reader is told of each page (ISO 32000-1, 14.7 and 14.8; ISO 14289-1).
//!
//! The part of the drawing on a page is a figure with its description; on a page without one the marks are. Passages of words
//! keep their kind. Everything else is an artifact: frame, rules and small print would only be noise when read out.

use super::links::Linked;
use super::page::Page;
use crate::drawing::Letter;
use crate::press::scene::{Part, Passage};
use lopdf::{Dictionary, Document, Object, ObjectId, dictionary, text_string};
use printpdf::{DictItem, Op};
use std::collections::BTreeMap;

/// Wraps operators as the page's figure, which always has the first number.
pub(super) fn figure(ops: Vec<Op>) -> Vec<Op> {
    [begin("Figure", 0)].into_iter().chain(ops).chain([Op::EndMarkedContent]).collect()
}

/// Wraps operators as something not to be read out.
pub(super) fn artifact(ops: Vec<Op>) -> Vec<Op> {
    [Op::BeginMarkedContent { tag: "Artifact".into() }].into_iter().chain(ops).chain([Op::EndMarkedContent]).collect()
}

/// Tags operators that paint letters of the drawing, so that readers of the file can tell them from the pattern's own lines.
///
/// Tags stand around layers, never within them: Ghostscript ends a layer at the first end of anything within it.
pub(super) fn lettered(letter: Option<Letter>, ops: Vec<Op>) -> Vec<Op> {
    let tag = match letter {
        None => return ops,
        Some(Letter::Words) => "Span",
        Some(Letter::SizeName) => "Lbl",
    };
    let open = Op::BeginMarkedContent { tag: tag.into() };
    [open].into_iter().chain(ops).chain([Op::EndMarkedContent]).collect()
}

/// Opens a passage, by its number on the page, or an artifact.
pub(super) fn open(passage: Option<(usize, &Passage)>) -> Op {
    match passage {
        Some((index, passage)) => begin(kind(passage.part), index + 1),
        None => Op::BeginMarkedContent { tag: "Artifact".into() },
    }
}

fn begin(tag: &str, number: usize) -> Op {
    let properties = BTreeMap::from([("MCID".to_owned(), DictItem::Int(number as i64))]);
    Op::BeginMarkedContentWithProperties { tag: tag.into(), properties: DictItem::Dict { map: properties } }
}

fn kind(part: Part) -> &'static str {
    match part {
        Part::Title => "H1",
        Part::Heading => "H2",
        Part::Paragraph => "P",
        Part::Cell { head: true, .. } => "TH",
        Part::Cell { head: false, .. } => "TD",
    }
}

/// Builds the tree for all pages and hangs it into the catalog.
pub(super) fn build(doc: &mut Document, pages: &[Page], linked: &[Linked]) -> lopdf::Result<()> {
    let (root, whole) = (doc.new_object_id(), doc.new_object_id());
    let ids: Vec<ObjectId> = doc.page_iter().collect();
    let mut tree = Tree { doc, parents: BTreeMap::new(), whole };
    let mut sections = Vec::new();
    for (index, (page, id)) in pages.iter().zip(ids).enumerate() {
        sections.push(tree.page(index, page, id, linked)?);
    }
    let numbers = tree.parents.into_iter().flat_map(|(key, value)| [Object::Integer(key), value]).collect::<Vec<_>>();
    let next = (pages.len() + linked.len()) as i64;
    let parents = doc.add_object(dictionary! { "Nums" => numbers });
    let element = dictionary! { "Type" => "StructElem", "S" => "Document", "P" => root, "K" => sections };
    doc.set_object(whole, element);
    let top = dictionary! {
        "Type" => "StructTreeRoot", "K" => whole, "ParentTree" => parents, "ParentTreeNextKey" => next,
    };
    doc.set_object(root, top);
    let catalog = doc.catalog_mut()?;
    catalog.set("StructTreeRoot", root);
    catalog.set("MarkInfo", dictionary! { "Marked" => true });
    Ok(())
}

struct Tree<'a> {
    doc: &'a mut Document,
    /// For pages the elements of their marked content, for links their element; by key.
    parents: BTreeMap<i64, Object>,
    whole: ObjectId,
}

impl Tree<'_> {
    /// The section of a page: its words in reading order, then its figure, then its links.
    fn page(&mut self, index: usize, page: &Page, id: ObjectId, linked: &[Linked]) -> lopdf::Result<Object> {
        let section = self.doc.new_object_id();
        let (passages, mut kids) = self.passages(page, id, section);
        let figure = self.figure(page, id, section);
        kids.push(figure.into());
        for link in linked.iter().filter(|link| link.page == index) {
            let place = dictionary! { "Type" => "OBJR", "Obj" => link.annotation, "Pg" => id };
            let element = self.element("Link", section, id, vec![place.into()], Dictionary::new());
            self.parents.insert(link.key as i64, element.into());
            kids.push(element.into());
        }
        let title = dictionary! { "T" => text_string(&page.extras.title) };
        let whole = self.whole;
        self.fill(section, "Sect", whole, id, kids, title);
        let marked = [figure].into_iter().chain(passages).map(Object::from).collect::<Vec<_>>();
        self.parents.insert(index as i64, marked.into());
        self.doc.get_object_mut(id)?.as_dict_mut()?.set("StructParents", index as i64);
        Ok(section.into())
    }

    fn figure(&mut self, page: &Page, id: ObjectId, section: ObjectId) -> ObjectId {
        let bounds = page.figure_units().map(|value| Object::Real(value as f32)).to_vec();
        let more = dictionary! {
            "Alt" => text_string(&page.extras.alt),
            "A" => dictionary! { "O" => "Layout", "BBox" => bounds, "Placement" => "Block" },
        };
        self.element("Figure", section, id, vec![0.into()], more)
    }

    /// The elements of all passages in turn, and the kids that the section gets: cells stand in rows of a table.
    fn passages(&mut self, page: &Page, id: ObjectId, section: ObjectId) -> (Vec<ObjectId>, Vec<Object>) {
        let (mut elements, mut kids, mut rows): (Vec<ObjectId>, Vec<Object>, Vec<Row>) = (Vec::new(), Vec::new(), Vec::new());
        for (index, passage) in page.marks.passages.iter().enumerate() {
            let content = vec![Object::Integer(index as i64 + 1)];
            let Part::Cell { opens_row, head } = passage.part else {
                kids.extend(self.table(id, section, std::mem::take(&mut rows)));
                let element = self.element(kind(passage.part), section, id, content, Dictionary::new());
                elements.push(element);
                kids.push(element.into());
                continue;
            };
            if opens_row || rows.is_empty() {
                rows.push(Row { id: self.doc.new_object_id(), cells: Vec::new() });
            }
            let Some(row) = rows.last_mut() else { continue };
            let scope = dictionary! { "A" => dictionary! { "O" => "Table", "Scope" => "Column" } };
            let parent = row.id;
            let cell = self.element(kind(passage.part), parent, id, content, if head { scope } else { Dictionary::new() });
            row.cells.push(cell.into());
            elements.push(cell);
        }
        kids.extend(self.table(id, section, rows));
        (elements, kids)
    }

    /// The table of some rows, if there are any.
    fn table(&mut self, page: ObjectId, section: ObjectId, rows: Vec<Row>) -> Option<Object> {
        if rows.is_empty() {
            return None;
        }
        let table = self.doc.new_object_id();
        let kids = rows.iter().map(|row| Object::from(row.id)).collect();
        for row in rows {
            self.fill(row.id, "TR", table, page, row.cells, Dictionary::new());
        }
        self.fill(table, "Table", section, page, kids, Dictionary::new());
        Some(table.into())
    }

    fn element(&mut self, kind: &str, parent: ObjectId, page: ObjectId, kids: Vec<Object>, more: Dictionary) -> ObjectId {
        let id = self.doc.new_object_id();
        self.fill(id, kind, parent, page, kids, more);
        id
    }

    fn fill(&mut self, id: ObjectId, kind: &str, parent: ObjectId, page: ObjectId, kids: Vec<Object>, more: Dictionary) {
        let mut element = dictionary! { "Type" => "StructElem", "S" => kind, "P" => parent, "Pg" => page, "K" => kids };
        element.extend(&more);
        self.doc.set_object(id, element);
    }
}

/// A row of a table in the making.
struct Row {
    id: ObjectId,
    cells: Vec<Object>,
}
