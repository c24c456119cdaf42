//! What printpdf cannot say: true-size printing, labels, links, layer switches, own resources of each page, a stable identity.

use super::page::Page;
use super::{About, LayerName, links, metadata, print, tags};
use lopdf::{Dictionary, Document, Object, ObjectId, dictionary, text_string};
use sha2::{Digest, Sha256};

/// Completes a document that printpdf has built, and gives its bytes.
///
/// A flat file is for print shops: it tells what its greys mean, and that it keeps to PDF/X-4 and PDF/A-2b.
pub(super) fn finish(
    mut doc: Document,
    about: &About,
    layers: &[LayerName],
    pages: &[Page],
    flat: bool,
) -> lopdf::Result<Vec<u8>> {
    // 1.7 (ISO 32000-1) has all that is used here: layers, PrintScaling, UserUnit. PDF/X-4 goes no further than 1.6.
    doc.version = if flat { "1.6" } else { "1.7" }.into();
    if !layers.is_empty() {
        name_layers(&mut doc, layers)?;
    }
    complete_pages(&mut doc, pages)?;
    let linked = links::link(&mut doc, pages)?;
    let listed = links::bookmark(&mut doc, pages)?;
    tags::build(&mut doc, pages, &linked)?;
    let mode = match layers.iter().any(|layer| layer.switchable) {
        true => "UseOC",
        false if listed => "UseOutlines",
        false => "UseNone",
    };
    complete_catalog(&mut doc, about, pages, mode)?;
    let mut information = metadata::information(about);
    let xmp = if flat { print::declare(&mut doc, &mut information, about)? } else { metadata::xmp(about) };
    let (info, xmp) = (doc.add_object(information), doc.add_object(xmp));
    doc.trailer.set("Info", info);
    doc.catalog_mut()?.set("Metadata", xmp);
    doc.prune_objects();
    doc.compress();
    identify(&mut doc)
}

/// Gives each layer its name and the file its list of layers, in the order of the kit.
fn name_layers(doc: &mut Document, layers: &[LayerName]) -> lopdf::Result<()> {
    let groups: Vec<ObjectId> = doc
        .catalog()?
        .get(b"OCProperties")?
        .as_dict()?
        .get(b"OCGs")?
        .as_array()?
        .iter()
        .filter_map(|o| o.as_reference().ok())
        .collect();
    for (&id, layer) in groups.iter().zip(layers) {
        doc.set_object(id, dictionary! { "Type" => "OCG", "Name" => text_string(&layer.name) });
    }
    let all: Vec<Object> = groups.iter().map(|&id| id.into()).collect();
    let locked: Vec<Object> =
        groups.iter().zip(layers).filter(|(_, layer)| !layer.switchable).map(|(&id, _)| id.into()).collect();
    let hidden: Vec<Object> = groups.iter().zip(layers).filter(|(_, layer)| !layer.shown).map(|(&id, _)| id.into()).collect();
    // No `AS`: states for print alone would not follow the switch, and PDF/A forbids them (ISO 19005-2, 6.9).
    let mut shown = dictionary! { "Name" => text_string("sizes"), "BaseState" => "ON" };
    if !hidden.is_empty() {
        shown.set("OFF", hidden);
    }
    shown.set("Order", all.clone());
    shown.set("Locked", locked);
    doc.catalog_mut()?.set("OCProperties", dictionary! { "OCGs" => all, "D" => shown });
    Ok(())
}

/// Leaves each page only the resources that it uses, so that one page taken from the file is a small one.
fn complete_pages(doc: &mut Document, pages: &[Page]) -> lopdf::Result<()> {
    let ids: Vec<ObjectId> = doc.page_iter().collect();
    for ((index, page), id) in pages.iter().enumerate().zip(ids) {
        let resources = doc.get_object(id)?.as_dict()?.get(b"Resources")?.as_reference()?;
        let beginnings = page.drawing.as_ref().map(|view| super::page::beginnings(&view.pieces)).unwrap_or_default();
        let marks = super::page::marks_id(index).0;
        let of_page = |key: &[u8]| key == marks.as_bytes() || beginnings.iter().any(|it| key.starts_with(it.as_bytes()));
        let every = referred(doc, resources, b"XObject")?;
        let used: Dictionary =
            every.iter().filter(|(key, _)| of_page(key)).map(|(key, value)| (key.clone(), value.clone())).collect();
        let dict = doc.get_object_mut(resources)?.as_dict_mut()?;
        dict.set("XObject", used);
        dict.remove(b"Shading");
        dict.remove(b"ExtGState");
        if page.user_unit() > 1.0 {
            doc.get_object_mut(id)?.as_dict_mut()?.set("UserUnit", page.user_unit() as f32);
        }
        doc.get_object_mut(id)?.as_dict_mut()?.remove(b"Annots");
    }
    Ok(())
}

fn referred(doc: &Document, dict: ObjectId, key: &[u8]) -> lopdf::Result<Dictionary> {
    let id = doc.get_object(dict)?.as_dict()?.get(key)?.as_reference()?;
    Ok(doc.get_object(id)?.as_dict()?.clone())
}

fn complete_catalog(doc: &mut Document, about: &About, pages: &[Page], mode: &str) -> lopdf::Result<()> {
    let labels = pages
        .iter()
        .enumerate()
        .flat_map(|(index, page)| [Object::Integer(index as i64), dictionary! { "P" => text_string(&page.label) }.into()]);
    let labels: Vec<Object> = labels.collect();
    let catalog = doc.catalog_mut()?;
    catalog.set("PageLabels", dictionary! { "Nums" => labels });
    catalog.set("Lang", text_string(&about.language));
    catalog.set("PageLayout", "SinglePage");
    catalog.set("PageMode", mode);
    let wishes = dictionary! {
        "PrintScaling" => "None", "PickTrayByPDFSize" => true, "Duplex" => "Simplex", "DisplayDocTitle" => true,
    };
    catalog.set("ViewerPreferences", wishes);
    Ok(())
}

/// Saves the document with an identity drawn from its own bytes.
fn identify(doc: &mut Document) -> lopdf::Result<Vec<u8>> {
    doc.trailer.remove(b"ID");
    let mut bytes = Vec::new();
    doc.save_to(&mut bytes)?;
    let identity = Sha256::digest(&bytes).iter().take(16).copied().collect::<Vec<u8>>();
    let part = Object::String(identity, lopdf::StringFormat::Hexadecimal);
    doc.trailer.set("ID", vec![part.clone(), part]);
    bytes.clear();
    doc.save_to(&mut bytes)?;
    Ok(bytes)
}
