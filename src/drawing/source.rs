//! The drawing's text with its lines, and the checks that it is text at all.

use super::limits::Limits;
use super::request::Request;
use crate::diagnostic::{Diagnostic, Place};

/// Text of a drawing, without its byte order mark.
#[derive(Debug)]
pub struct Source<'a> {
    /// The file, as findings name it.
    pub file: &'a str,
    /// All of it.
    pub text: &'a str,
    /// How much of it is read.
    pub limits: Limits,
    /// Byte offset at which each line starts.
    lines: Vec<usize>,
    /// Characters before each block of bytes, since some programs write all of a drawing on one line.
    blocks: Vec<usize>,
}

/// Bytes of a block.
const BLOCK: usize = 256;

impl<'a> Source<'a> {
    /// Takes a drawing's bytes, which must be UTF-8 (with or without a byte order mark).
    pub fn new(request: &'a Request, bytes: &'a [u8]) -> Result<Self, Diagnostic> {
        let (file, limits) = (request.file.as_str(), request.limits);
        let of = |text| Self { limits, ..Self::of(file, text) };
        if bytes.len() > limits.bytes {
            let (bytes, most) = (bytes.len() / 1_000_000, limits.bytes / 1_000_000);
            return Err(error!("drawing-too-large/bytes", bytes, most).at(Place::file(file)));
        }
        let body = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        foreign(body, file).map_or(Ok(()), |finding| Err(finding.at(Place::file(file))))?;
        match std::str::from_utf8(body) {
            Err(error) => {
                let good = body.get(..error.valid_up_to()).unwrap_or_default();
                let place = Self::of(file, std::str::from_utf8(good).unwrap_or_default()).place(good.len());
                Err(error!("drawing-encoding/bytes", file).at(place))
            }
            Ok(text) => match text.find('\0') {
                Some(at) => Err(error!("drawing-encoding/nul", file).at(Self::of(file, text).place(at))),
                None => Ok(of(text)),
            },
        }
    }

    /// Text that is known to be good, within the usual limits.
    pub fn of(file: &'a str, text: &'a str) -> Self {
        let breaks = text.match_indices('\n').map(|(at, _)| at + 1);
        let lines = std::iter::once(0).chain(breaks).collect();
        let counts = text.as_bytes().chunks(BLOCK).scan(0, |before, block| {
            let here = *before;
            *before += characters(block);
            Some(here)
        });
        Self { file, text, limits: Limits::default(), lines, blocks: counts.collect() }
    }

    /// Line and column of a byte offset.
    pub fn place(&self, offset: usize) -> Place {
        // Line starts rise, so the line is found by halving: a place is asked for every printed item.
        let line = self.lines.partition_point(|start| *start <= offset).max(1);
        let start = self.lines.get(line - 1).copied().unwrap_or(0);
        let column = self.characters(offset).saturating_sub(self.characters(start)) + 1;
        Place::at(self.file, small(line), small(column))
    }

    /// How many characters begin before a byte offset.
    fn characters(&self, offset: usize) -> usize {
        let offset = offset.min(self.text.len());
        let block = offset / BLOCK;
        let rest = self.text.as_bytes().get(block * BLOCK..offset).unwrap_or_default();
        // At the very end of the text there may be no block, and nothing left to count.
        self.blocks.get(block).map_or_else(|| characters(self.text.as_bytes()), |before| before + characters(rest))
    }

    /// Byte offset of a piece of the text itself.
    pub fn offset_of(&self, piece: &str) -> Option<usize> {
        let offset = (piece.as_ptr() as usize).checked_sub(self.text.as_ptr() as usize)?;
        (offset + piece.len() <= self.text.len()).then_some(offset)
    }

    /// Byte offset of a line and column, both from 1.
    pub fn offset(&self, line: u32, column: u32) -> usize {
        let start = self.lines.get((line as usize).saturating_sub(1)).copied().unwrap_or(self.text.len());
        let rest = self.text.get(start..).unwrap_or_default();
        let inside = rest.char_indices().nth((column as usize).saturating_sub(1)).map_or(rest.len(), |(at, _)| at);
        start + inside
    }
}

/// Characters that begin in these bytes: those of the form 10xxxxxx continue one.
fn characters(bytes: &[u8]) -> usize {
    bytes.iter().filter(|byte| **byte & 0xc0 != 0x80).count()
}

fn small(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

/// The finding for bytes that are plainly something else than UTF-8 text.
fn foreign(bytes: &[u8], file: &str) -> Option<Diagnostic> {
    match bytes {
        [0x1f, 0x8b, ..] => Some(error!("drawing-encoding/compressed", file)),
        // A byte order mark, or every other byte empty.
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] | [b'<', 0, ..] | [0, b'<', ..] => Some(error!("drawing-encoding/utf-16", file)),
        [b'%', b'P', b'D', b'F', ..] => Some(error!("drawing-encoding/pdf", file)),
        [0x89, b'P', b'N', b'G', ..] | [0xff, 0xd8, 0xff, ..] => Some(error!("drawing-encoding/pixels", file)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_and_a_byte_order_mark_does_not_count() {
        let request = Request::plain("a.svg");
        let source = Source::new(&request, "\u{feff}ä<b>\n  ü€<c>".as_bytes()).unwrap();
        assert_eq!(source.place(source.text.find("<b").unwrap()), Place::at("a.svg", 1, 2));
        assert_eq!(source.place(source.text.find("<c").unwrap()), Place::at("a.svg", 2, 5));
        assert_eq!(source.offset(2, 5), source.text.find("<c").unwrap());
        assert_eq!(source.place(10_000), Place::at("a.svg", 2, 8));
        let long = "ü<".repeat(2_000);
        let source = Source::of("a.svg", &long);
        for signs in [0, 1, 254, 255, 256, 257, 1_000, 3_999, 4_000] {
            let at = long.char_indices().nth(signs).map_or(long.len(), |(at, _)| at);
            assert_eq!(source.place(at), Place::at("a.svg", 1, signs as u32 + 1));
        }
    }

    #[test]
    fn other_encodings_are_named() {
        let utf16: Vec<u8> = "<svg/>".encode_utf16().flat_map(u16::to_le_bytes).collect();
        let cases: [(&[u8], &str, &str); 6] = [
            (&utf16, "UTF-16", "a.svg"),
            (b"\xff\xfe<\0", "UTF-16", "a.svg"),
            (b"<svg>\n caf\xe9</svg>", "not UTF-8", "a.svg:2:5"),
            (b"<svg>\0</svg>", "NUL", "a.svg:1:6"),
            (b"\x1f\x8b\x08", "svgz", "a.svg"),
            (b"%PDF-1.7", "PDF", "a.svg"),
        ];
        for (bytes, word, place) in cases {
            let finding = Source::new(&Request::plain("a.svg"), bytes).unwrap_err();
            assert_eq!(finding.code, "drawing-encoding");
            assert!(finding.message.contains(word), "{}", finding.message);
            assert_eq!(finding.place.unwrap().to_string(), place, "{word}");
        }
    }
}
