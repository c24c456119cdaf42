//! What a file for print shops declares: what its greys mean, that nothing was trapped, and which rules it keeps to.
//!
//! PDF/X-4 (ISO 15930-7, from memory) and PDF/A-2b (ISO 19005-2).

use super::{About, metadata, profile};
use lopdf::{Dictionary, Document, Object, Stream, dictionary, text_string};
use sha2::{Digest, Sha256};
use xmp_writer::RenditionClass;

/// What the file is meant for, in words for people at the machine.
const CONDITION: &str = "Black ink on white paper";

/// Adds output intents and viewer preferences, completes the information dictionary, and gives the XMP packet.
pub(super) fn declare(doc: &mut Document, information: &mut Dictionary, about: &About) -> lopdf::Result<Stream> {
    information.set("Trapped", "False");
    let profile = doc.add_object(Stream::new(dictionary! { "N" => 1 }, profile::grey()));
    // Both rules want an intent of their own; PDF/A wants all intents to share one profile (ISO 19005-2, 6.2.3).
    let intent = |kind: &str| {
        let name = || Object::string_literal("Custom");
        Object::from(dictionary! {
            "Type" => "OutputIntent", "S" => kind, "OutputConditionIdentifier" => name(), "OutputCondition" => text_string(CONDITION),
            "Info" => text_string(CONDITION), "DestOutputProfile" => profile,
        })
    };
    let intents = vec![intent("GTS_PDFX"), intent("GTS_PDFA1")];
    let catalog = doc.catalog_mut()?;
    catalog.set("OutputIntents", intents);
    // PDF 1.6 knows these two alone.
    catalog.set("ViewerPreferences", dictionary! { "PrintScaling" => "None", "DisplayDocTitle" => true });
    xmp(doc, about)
}

/// The packet: what every file tells, the two sets of rules, and an identity drawn from the file itself.
fn xmp(doc: &mut Document, about: &About) -> lopdf::Result<Stream> {
    let mut bytes = Vec::new();
    // The document model's own marks of identity are counted through the whole process: they tell one thread from another.
    doc.trailer.remove(b"ID");
    doc.trailer.remove(b"Info");
    doc.prune_objects();
    doc.save_to(&mut bytes)?;
    let identity = uuid(&bytes);
    let mut xmp = metadata::packet(about);
    xmp.trapped(false);
    xmp.document_id(&identity).rendition_class(RenditionClass::Default).version_id("1");
    xmp.pdfa_part(2).pdfa_conformance("B");
    xmp.pdfx_version("PDF/X-4");
    let mut schemas = xmp.extension_schemas();
    // PDF/A wants a description of every property that is younger than itself (ISO 19005-2, 6.6.2.3).
    schemas.pdf().properties().describe_trapped();
    let mut schema = schemas.add_schema();
    schema.namespace(xmp_writer::Namespace::PdfXId);
    let mut properties = schema.properties();
    let mut version = properties.add_property();
    version.category(true).name("GTS_PDFXVersion").value_type("Text").description("Which part of PDF/X the file keeps to");
    drop(version);
    drop(properties);
    drop(schema);
    drop(schemas);
    Ok(metadata::stream(xmp.finish(None)))
}

/// A name of 128 bits, in the form of RFC 9562, version 8: drawn from content, not from chance.
fn uuid(bytes: &[u8]) -> String {
    let mut name: Vec<u8> = Sha256::digest(bytes).iter().take(16).copied().collect();
    for (place, keep, set) in [(6, 0x0f, 0x80), (8, 0x3f, 0x80)] {
        name.iter_mut().skip(place).take(1).for_each(|byte| *byte = *byte & keep | set);
    }
    let digits: String = name.iter().map(|byte| format!("{byte:02x}")).collect();
    let part = |from: usize, to: usize| digits.get(from..to).unwrap_or_default();
    format!("uuid:{}-{}-{}-{}-{}", part(0, 8), part(8, 12), part(12, 16), part(16, 20), part(20, 32))
}
