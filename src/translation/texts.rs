//! What there is to translate in a kit: its texts in reading order, each with its place and what a translator should know.

use crate::catalogue::Messages;
use crate::diagnostic::Place;
use crate::guide::own_texts;
use crate::manifest::{ClothPiece, DrawnWords, Kit, Measure};
use crate::markdown;
use std::collections::BTreeMap;

/// What stands before the keys of kitwright's own texts in a kit's catalogue, so that no text of a kit is taken for one.
pub const OURS: &str = "kitwright/";
/// The context of the words in the drawing.
pub const DRAWING: &str = "drawing";

/// Letters of the title; as many as the manifest allows, since sheets and guide have room for no more.
const TITLE: usize = 60;
/// Letters of the copyright line.
const COPYRIGHT: usize = 160;

/// One text to translate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KitText {
    /// To which part of the kit it belongs, as in `guide.introduction`; with the text the key of its translation.
    pub context: String,
    /// The words in the source language.
    pub text: String,
    /// The words for other numbers than one, if the text counts something.
    pub plural: Option<String>,
    /// Where it appears; more than once if the kit says it more than once.
    pub places: Vec<Place>,
    /// What a translator should know.
    pub note: Option<String>,
    /// What the words may be made of.
    pub kind: Kind,
    /// How much room there is, if that is little.
    pub room: Option<Room>,
    /// Flags for the programs of translators.
    pub flags: Vec<String>,
}

/// What a text may be made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Plain words on one line.
    Line,
    /// One paragraph of Markdown.
    Markdown,
    /// Words with placeholders, as in `{n} sheets`.
    Pattern,
}

/// How much room a text has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Room {
    /// So many letters.
    Letters(usize),
    /// So many whole millimetres on paper, which is about so many letters.
    Width {
        /// From 0.
        mm: u32,
        /// As many as fit if they are as wide as those of the text.
        letters: usize,
    },
}

impl Room {
    /// The most letters that a translation may have.
    pub const fn letters(self) -> usize {
        match self {
            Self::Letters(most) | Self::Width { letters: most, .. } => most,
        }
    }

    /// In words.
    fn told(self) -> String {
        match self {
            Self::Letters(most) => say!("at-most-letters", most),
            Self::Width { mm, letters } => say!("at-most-mm", mm, letters),
        }
    }
}

impl KitText {
    fn new(context: &str, text: &str, place: Place, kind: Kind) -> Self {
        let (context, text) = (context.to_owned(), text.to_owned());
        Self { context, text, plural: None, places: vec![place], note: None, kind, room: None, flags: Vec::new() }
    }

    fn noted(mut self, note: &str, room: Option<Room>) -> Self {
        self.note = Some(note.to_owned());
        self.room = room;
        self
    }

    /// The comments of its entry: what it is, how long it may be, and what its signs mean.
    pub fn notes(&self) -> Vec<String> {
        let room = self.room.map(Room::told);
        let marks = ["**", "*", "[", "`", "!["].into_iter().any(|mark| self.text.contains(mark));
        let markup = (self.kind == Kind::Markdown && marks).then(|| words!("markdown-signs").to_owned());
        self.note.clone().into_iter().chain(room).chain(markup).collect()
    }

    /// The references of its entry: file and line.
    pub fn references(&self) -> Vec<String> {
        let of = |place: &Place| match (place.line, &place.element) {
            (Some(line), Some(element)) => format!("{}:{line} ({element})", place.file),
            (None, Some(element)) => format!("{} ({element})", place.file),
            (Some(line), None) => format!("{}:{line}", place.file),
            (None, None) => place.file.clone(),
        };
        // A blank would end the reference in the eyes of some programs.
        self.places.iter().map(|place| of(place).replace(' ', "\u{a0}")).collect()
    }
}

/// All texts of a kit for one language: those of the publisher, then, for a language that kitwright does not know, its own.
pub fn kit_texts(kit: &Kit, language: &str) -> Vec<KitText> {
    let mut list = Vec::new();
    titles(kit, &mut list);
    guide(kit, &mut list);
    list.extend(kit.drawing.words.iter().map(|words| drawn(kit, words)));
    if Messages::builtin(language).is_none() {
        list.extend(ours());
    }
    merged(list)
}

fn titles(kit: &Kit, list: &mut Vec<KitText>) {
    let line = |context, text: &str, key| KitText::new(context, text, kit.places.of_path(key), Kind::Line);
    let title = line("kit.title", &kit.title, "title");
    list.push(title.noted(words!("title-of-kit"), Some(Room::Letters(TITLE))));
    let copyright = line("kit.copyright", &kit.copyright, "copyright");
    list.push(copyright.noted(words!("copyright-line-keep-names"), Some(Room::Letters(COPYRIGHT))));
}

/// The guide from top to bottom; the words of the tables stand before the first chapter.
fn guide(kit: &Kit, list: &mut Vec<KitText>) {
    let mut tables = Some(tables(kit));
    let titles = &mut kit.guide.chapters.iter();
    for text in own_texts(kit) {
        if let Some(chapter) = titles.as_slice().first().filter(|chapter| chapter.context == text.context) {
            list.extend(tables.take().into_iter().flatten());
            let place = text.file.map_or_else(|| kit.places.of_path(&text.key), |file| Place::at(file, 1, 1));
            list.push(
                KitText::new(&chapter.context, &chapter.title, place, Kind::Line).noted(words!("title-of-chapter"), None),
            );
            titles.next();
        }
        let words = markdown::units(text.text).into_iter();
        list.extend(words.map(|unit| KitText::new(&text.context, &unit.text, text.place(kit, unit.line), Kind::Markdown)));
    }
    list.extend(tables.into_iter().flatten());
}

/// The publisher's words in the tables.
fn tables(kit: &Kit) -> Vec<KitText> {
    let guide = &kit.guide;
    let cell = |context: &str, text: &str, path: String, note: &str| {
        KitText::new(context, text, kit.places.of_path(&path), Kind::Line).noted(note, None)
    };
    let measures = guide.size_table.iter().enumerate().filter_map(|(row, it)| match &it.measure {
        Measure::Own(name) => {
            Some(cell("guide.size-table", name, format!("guide.size-table[{row}].name"), words!("a-measure")))
        }
        Measure::Known(_) => None,
    });
    let fabrics = guide.fabric_table.iter().enumerate().flat_map(|(row, it)| {
        let path = |key: &str| format!("guide.fabric-table[{row}].{key}");
        let name = cell("guide.fabric-table", &it.name, path("name"), words!("name-of-cloth"));
        let what = it.what.iter().map(move |what| cell("guide.fabric-table", what, path("what"), words!("which-cloth-serves")));
        std::iter::once(name).chain(what).collect::<Vec<_>>()
    });
    // Under the same context: a cloth goes by one name in all tables.
    let cloths = kit.cloths.iter().flat_map(|it| {
        let path = |key: &str| format!("{}.{key}", it.entry);
        let name = cell("guide.fabric-table", &it.name, path("name"), words!("name-of-cloth"));
        let what = it.what.iter().map(move |what| cell("guide.fabric-table", what, path("what"), words!("which-cloth-serves")));
        std::iter::once(name).chain(what).collect::<Vec<_>>()
    });
    let pieces = guide.cutting_list.iter().enumerate().flat_map(|(row, it)| {
        let path = |key: &str| format!("guide.cutting-list[{row}].{key}");
        let piece = cell("guide.cutting-list", &it.piece, path("piece"), words!("name-of-piece"));
        let from = it.from.iter().map(|from| cell("guide.fabric-table", from, path("from"), words!("name-of-cloth")));
        let note = it.note.iter().map(|note| cell("guide.cutting-list", note, path("note"), words!("note-on-piece")));
        std::iter::once(piece).chain(from).chain(note).collect::<Vec<_>>()
    });
    // Pieces that only a cloth tells of.
    let told = |piece: &ClothPiece| guide.cutting_list.iter().any(|row| row.piece == piece.piece);
    let own = kit.cloths.iter().flat_map(|it| &it.pieces).filter(|piece| !told(piece));
    let own = own.map(|it| cell("guide.cutting-list", &it.piece, format!("{}.piece", it.entry), words!("name-of-piece")));
    let seams = kit.seams.iter().flat_map(|it| {
        let path = |key: &str| format!("{}.{key}", it.entry);
        let name = cell("guide.seams", &it.name, path("name"), words!("name-of-seam"));
        let what = it.what.iter().map(move |what| cell("guide.seams", what, path("what"), words!("which-binding-serves")));
        std::iter::once(name).chain(what).collect::<Vec<_>>()
    });
    measures.chain(fabrics).chain(cloths).chain(pieces).chain(own).chain(seams).collect()
}

/// Words in the drawing.
fn drawn(kit: &Kit, words: &DrawnWords) -> KitText {
    let place = Place { line: Some(words.line), ..Place::file(&kit.drawing.file) }.element(&words.element);
    let room = words.room_mm.map(|mm| Room::Width { mm: mm.max(0.0) as u32, letters: words.letters() });
    KitText::new(DRAWING, &words.text, place, Kind::Line).noted(words!("words-in-drawing"), room)
}

/// kitwright's own texts, for a language that it does not know.
fn ours() -> Vec<KitText> {
    let entries = Messages::source_entries().into_iter().filter(|entry| !entry.is_header());
    let text = |entry: crate::catalogue::po::Entry| KitText {
        context: format!("{OURS}{}", entry.context.unwrap_or_default()),
        text: entry.id,
        plural: entry.id_plural,
        places: vec![Place::file("kitwright")],
        note: (!entry.notes.is_empty()).then(|| entry.notes.join(" ")),
        kind: Kind::Pattern,
        room: None,
        flags: entry.flags,
    };
    entries.map(text).collect()
}

/// One of each: what a part of the kit says twice is translated once.
fn merged(list: Vec<KitText>) -> Vec<KitText> {
    let mut known: BTreeMap<(String, String), usize> = BTreeMap::new();
    let mut merged: Vec<KitText> = Vec::new();
    for text in list.into_iter().filter(|text| !text.text.trim().is_empty()) {
        let key = (text.context.clone(), text.text.clone());
        match known.get(&key).and_then(|&index| merged.get_mut(index)) {
            Some(first) => {
                first.room = first.room.into_iter().chain(text.room).min_by_key(|room| room.letters());
                let new: Vec<Place> = text.places.into_iter().filter(|place| !first.places.contains(place)).collect();
                first.places.extend(new);
            }
            None => {
                known.insert(key, merged.len());
                merged.push(text);
            }
        }
    }
    merged
}
