//! Links and bookmarks: from the map to the sheets, and from the viewer's list to every page.

use super::page::Page;
use lopdf::{Document, Object, ObjectId, dictionary, text_string};

/// A link that was written.
#[derive(Clone, Copy, Debug)]
pub(super) struct Linked {
    /// Index of its page.
    pub page: usize,
    /// Its annotation.
    pub annotation: ObjectId,
    /// Its key in the tree of parents, after those of the pages.
    pub key: usize,
}

/// Writes the links of all pages; one whose page is not in the file is left out.
pub(super) fn link(doc: &mut Document, pages: &[Page]) -> lopdf::Result<Vec<Linked>> {
    let ids: Vec<ObjectId> = doc.page_iter().collect();
    let mut linked = Vec::new();
    for ((index, page), &id) in pages.iter().enumerate().zip(&ids) {
        let mut own: Vec<Object> = Vec::new();
        for link in &page.marks.links {
            let Some(&target) = pages.iter().position(|page| page.label == link.to).and_then(|to| ids.get(to)) else {
                continue;
            };
            let area = page.units_of(link.area).map(|value| Object::Real(value as f32)).to_vec();
            let key = pages.len() + linked.len();
            // Printable, never hidden, without a border: as PDF/A wants annotations (ISO 19005-2, 6.3.2).
            let annotation = doc.add_object(dictionary! {
                "Type" => "Annot", "Subtype" => "Link", "Rect" => area, "F" => 4, "Border" => vec![0.into(), 0.into(), 0.into()],
                "Dest" => whole_page(target), "Contents" => text_string(&link.says), "StructParent" => key as i64, "P" => id,
            });
            own.push(annotation.into());
            linked.push(Linked { page: index, annotation, key });
        }
        if !own.is_empty() {
            let dict = doc.get_object_mut(id)?.as_dict_mut()?;
            dict.set("Annots", own);
            dict.set("Tabs", "S");
        }
    }
    Ok(linked)
}

/// A view of a whole page.
fn whole_page(page: ObjectId) -> Vec<Object> {
    vec![page.into(), "Fit".into()]
}

/// A bookmark and those beneath it.
struct Bookmark<'a> {
    title: &'a str,
    page: ObjectId,
    within: Vec<Bookmark<'a>>,
}

/// Writes the list of bookmarks, a page each, those of one row beneath their row; gives whether there is a list.
pub(super) fn bookmark(doc: &mut Document, pages: &[Page]) -> lopdf::Result<bool> {
    let ids: Vec<ObjectId> = doc.page_iter().collect();
    let mut list: Vec<Bookmark> = Vec::new();
    for (page, id) in pages.iter().zip(ids) {
        let own = Bookmark { title: &page.extras.title, page: id, within: Vec::new() };
        match (&page.extras.row, list.last_mut()) {
            (Some(row), Some(last)) if !last.within.is_empty() && last.title == row => last.within.push(own),
            (Some(row), _) => list.push(Bookmark { title: row, page: id, within: vec![own] }),
            (None, _) => list.push(own),
        }
    }
    if pages.len() < 2 {
        return Ok(false);
    }
    let root = doc.new_object_id();
    let (ends, count) = write(doc, root, &list);
    let mut outlines = dictionary! { "Type" => "Outlines", "Count" => count };
    if let Some((first, last)) = ends {
        outlines.set("First", first);
        outlines.set("Last", last);
    }
    doc.set_object(root, outlines);
    doc.catalog_mut()?.set("Outlines", root);
    Ok(true)
}

/// Writes bookmarks beside each other; gives the first and the last of them, and how many show when all are open.
fn write(doc: &mut Document, parent: ObjectId, list: &[Bookmark]) -> (Option<(ObjectId, ObjectId)>, i64) {
    let ids: Vec<ObjectId> = list.iter().map(|_| doc.new_object_id()).collect();
    let mut shown = list.len() as i64;
    for (index, (mark, &id)) in list.iter().zip(&ids).enumerate() {
        let mut item = dictionary! { "Title" => text_string(mark.title), "Parent" => parent, "Dest" => whole_page(mark.page) };
        let neighbours = [("Prev", index.checked_sub(1)), ("Next", Some(index + 1))];
        for (key, other) in neighbours {
            if let Some(&other) = other.and_then(|other| ids.get(other)) {
                item.set(key, other);
            }
        }
        if let (Some((first, last)), count) = write(doc, id, &mark.within) {
            item.set("First", first);
            item.set("Last", last);
            item.set("Count", count);
            shown += count;
        }
        doc.set_object(id, item);
    }
    (ids.first().copied().zip(ids.last().copied()), shown)
}
