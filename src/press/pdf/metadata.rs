//! What a file tells about itself, twice and alike: in its information dictionary and in XMP (ISO 16684-1).

use super::About;
use lopdf::{Dictionary, Object, Stream, dictionary, text_string};
use xmp_writer::{DateTime, LangId, Timezone, XmpWriter};

/// The program, as files name it.
const PROGRAM: &str = "kitwright";

/// The information dictionary; the date is the edition's, so that the bytes are the same on any day.
pub(super) fn information(about: &About) -> Dictionary {
    let date = format!("D:{:04}{:02}{:02}000000Z", about.date.year(), about.date.month(), about.date.day());
    dictionary! {
        "Title" => text_string(&about.title), "Author" => text_string(&about.author), "Subject" => text_string(&about.subject),
        "Creator" => text_string(PROGRAM), "Producer" => text_string(PROGRAM),
        "CreationDate" => Object::string_literal(date.clone()), "ModDate" => Object::string_literal(date),
    }
}

/// The XMP packet as a stream, left unpacked so that any program finds it.
pub(super) fn xmp(about: &About) -> Stream {
    stream(packet(about).finish(None))
}

/// The properties that every file has.
pub(super) fn packet(about: &About) -> XmpWriter<'static> {
    let (title, author, subject) = (plain(&about.title), plain(&about.author), plain(&about.subject));
    let (language, rights, date) = (plain(&about.language), plain(&about.rights), date(about.date));
    let mut xmp = XmpWriter::new();
    xmp.format("application/pdf");
    xmp.title([(None, title.as_str())]);
    xmp.creator([author.as_str()]);
    xmp.description([(None, subject.as_str())]);
    xmp.language([LangId(&language)]);
    xmp.rights([(None, rights.as_str())]);
    xmp.creator_tool(PROGRAM);
    xmp.create_date(date).modify_date(date).metadata_date(date);
    xmp.producer(PROGRAM);
    xmp
}

/// A packet as a stream.
pub(super) fn stream(packet: String) -> Stream {
    let dict = dictionary! { "Type" => "Metadata", "Subtype" => "XML" };
    Stream::new(dict, packet.into_bytes()).with_compression(false)
}

/// XML knows no control characters but these (XML 1.0, 2.2).
fn plain(text: &str) -> String {
    text.chars().filter(|c| !c.is_control() || matches!(c, '\t' | '\n' | '\r')).collect()
}

fn date(day: jiff::civil::Date) -> DateTime {
    let part = |number: i8| u8::try_from(number).ok();
    DateTime {
        year: u16::try_from(day.year()).unwrap_or_default(),
        month: part(day.month()),
        day: part(day.day()),
        hour: Some(0),
        minute: Some(0),
        second: Some(0),
        timezone: Some(Timezone::Utc),
    }
}
