//! Small fonts made here: every table that is read and few bytes beside, so that damage mostly hits something.
//!
//! Tables as the OpenType specification 1.9 has them; the outlines of `CFF ` as Adobe's technical notes 5176 and 5177 have them.

/// Units in the em.
const EM: u16 = 1000;

/// One of the tables of a font.
type Table = (&'static [u8; 4], Vec<u8>);

fn words(words: &[u16]) -> Vec<u8> {
    words.iter().flat_map(|word| word.to_be_bytes()).collect()
}

fn long(number: usize) -> [u8; 4] {
    u32::try_from(number).expect("a small number").to_be_bytes()
}

/// A file of tables: their list, then the tables, each at a multiple of four.
pub fn file(kind: &[u8; 4], mut tables: Vec<Table>) -> Vec<u8> {
    tables.sort();
    let count = u16::try_from(tables.len()).expect("few tables");
    let power = count.ilog2() as u16;
    let mut head = [kind.to_vec(), words(&[count, 16 << power, power, 16 * count - (16 << power)])].concat();
    let mut body = Vec::new();
    for (name, bytes) in &tables {
        let at = 12 + 16 * tables.len() + body.len();
        // No reader of ours looks at checksums.
        head.extend([**name, [0; 4], long(at), long(bytes.len())].concat());
        body.extend(bytes);
        body.resize(body.len().next_multiple_of(4), 0);
    }
    [head, body].concat()
}

/// A font once more as the only one of a collection: a head of 16 bytes before it, and all offsets moved by as much.
pub fn collection(font: &[u8]) -> Vec<u8> {
    let mut moved = font.to_vec();
    for table in 0..usize::from(u16::from_be_bytes([font[4], font[5]])) {
        let offset = &mut moved[12 + 16 * table + 8..][..4];
        let old = u32::from_be_bytes(offset.try_into().expect("four bytes"));
        offset.copy_from_slice(&(old + 16).to_be_bytes());
    }
    [b"ttcf".as_slice(), &[0, 1, 0, 0, 0, 0, 0, 1, 0, 0, 0, 16], &moved].concat()
}

/// The tables that both kinds of outline need.
fn common(glyphs: usize) -> Vec<Table> {
    let count = u16::try_from(glyphs).expect("few glyphs");
    let head =
        [&[0, 1, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0x5f, 0x0f, 0x3c, 0xf5, 0, 0], words(&[EM]).as_slice(), &[0; 16]].concat();
    let head = [head, words(&[0, 0, 600, 700, 0, 8, 2, 0, 0])].concat();
    let hhea = words(&[1, 0, 800, 0xff38, 0, 600, 0, 0, 600, 1, 0, 0, 0, 0, 0, 0, 0, count]);
    let hmtx = words(&[600, 0]).repeat(glyphs);
    let os2 = [words(&[4, 500, 700, 5, 0]), vec![0; 48], b"MADE".to_vec(), words(&[0x20, 0x20, 0xff]), vec![0; 28]].concat();
    let post = [vec![0, 3, 0, 0], vec![0; 28]].concat();
    vec![
        (b"head", head),
        (b"hhea", hhea),
        (b"hmtx", hmtx),
        (b"OS/2", os2),
        (b"post", post),
        (b"name", name()),
        (b"cmap", cmap()),
        (b"GSUB", ligature()),
    ]
}

/// Family, style, full and PostScript name, for Windows in English.
fn name() -> Vec<u8> {
    let names = [(1, "Made"), (2, "Bold"), (4, "Made Bold"), (6, "Made-Bold")];
    let (mut records, mut texts) = (words(&[0, names.len() as u16, 6 + 12 * names.len() as u16]), Vec::new());
    for (id, text) in names {
        let text: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
        records.extend(words(&[3, 1, 0x409, id, text.len() as u16, texts.len() as u16]));
        texts.extend(text);
    }
    [records, texts].concat()
}

/// All of ASCII by a list of glyphs, and `Ä` by a distance (format 4).
fn cmap() -> Vec<u8> {
    let list: Vec<u16> = (0x20..0x7f).map(|code| if code == 0x20 { 1 } else { 2 + code % 3 }).collect();
    let segments = [words(&[0x7e, 0xc4, 0xffff, 0]), words(&[0x20, 0xc4, 0xffff]), words(&[0, 4_u16.wrapping_sub(0xc4), 1])];
    let body = [segments.concat(), words(&[6, 0, 0]), words(&list)].concat();
    let length = 14 + body.len() as u16;
    [words(&[0, 1, 3, 1, 0, 12, 4, length, 0, 6, 4, 1, 2]), body].concat()
}

/// Triangle and bow beside each other become the glyph that is put together (lookup type 4).
fn ligature() -> Vec<u8> {
    let scripts = [words(&[1]), b"DFLT".to_vec(), words(&[8, 4, 0, 0, 0xffff, 1, 0])].concat();
    let features = [words(&[1]), b"liga".to_vec(), words(&[8, 0, 1, 0])].concat();
    let lookups = words(&[1, 4, 4, 0, 1, 8, 1, 8, 1, 14, 1, 1, 2, 1, 4, 4, 2, 3]);
    let starts = [10, 10 + scripts.len() as u16, 10 + (scripts.len() + features.len()) as u16];
    [words(&[1, 0]), words(&starts), scripts, features, lookups].concat()
}

/// A font with TrueType outlines: box, blank, triangle, bow, and the glyph of the argument.
pub fn truetype(last: &[u8]) -> Vec<u8> {
    let box_ = outline(&[(1, 0, 0), (1, 500, 0), (1, 0, 500), (1, -500, 0)]);
    let triangle = outline(&[(1, 0, 0), (1, 600, 0), (1, -300, 700)]);
    let bow = outline(&[(1, 0, 0), (1, 550, 0), (0, 0, 400), (1, -275, 300), (0, -275, 0)]);
    glyphs(&[&box_, &[], &triangle, &bow, last])
}

/// A font with these TrueType glyphs.
pub fn glyphs(glyphs: &[&[u8]]) -> Vec<u8> {
    let (mut glyf, mut loca) = (Vec::new(), vec![0; 4]);
    for glyph in glyphs {
        glyf.extend(*glyph);
        glyf.resize(glyf.len().next_multiple_of(4), 0);
        loca.extend(long(glyf.len()));
    }
    let maxp = words(&[1, 0, glyphs.len() as u16, 20, 4, 20, 4, 2, 0, 0, 0, 0, 0, 0, 8, 1]);
    let mut tables = common(glyphs.len());
    tables.iter_mut().filter(|(name, _)| *name == b"head").for_each(|(_, head)| head[51] = 1);
    tables.extend([(b"glyf", glyf), (b"loca", loca), (b"maxp", maxp)]);
    file(&[0, 1, 0, 0], tables)
}

/// A glyph of one contour: for each point whether it is on the curve, and its way from the one before.
fn outline(points: &[(u8, i16, i16)]) -> Vec<u8> {
    let head = words(&[1, 0, 0, 600, 700, points.len() as u16 - 1, 0]);
    let flags = points.iter().map(|(on, ..)| *on).collect();
    let across = points.iter().flat_map(|(_, x, _)| x.to_be_bytes()).collect();
    let down = points.iter().flat_map(|(.., y)| y.to_be_bytes()).collect();
    [head, flags, across, down].concat()
}

/// A glyph put together from others, each at half its size.
pub fn composite(parts: &[u16]) -> Vec<u8> {
    let part = |(index, glyph): (usize, &u16)| {
        let more = if index + 1 < parts.len() { 0x20 } else { 0 };
        // Arguments are words and a distance; a scale follows.
        words(&[0x0b | more, *glyph, 20, 30, 0x2000])
    };
    [words(&[0xffff, 0, 0, 600, 700]), parts.iter().enumerate().flat_map(part).collect()].concat()
}

/// A font with CFF outlines: two blanks, triangle, bow; the last glyph and the subroutines are those of the arguments.
pub fn compact(last: &[u8], local: &[&[u8]], global: &[&[u8]]) -> Vec<u8> {
    let triangle = program(&[&number(0), &number(0), &[21], &number(600), &number(0), &number(-300), &number(700), &[5, 14]]);
    let stems: [&[u8]; 6] = [&number(10), &number(20), &[18], &number(10), &number(20), &[19, 0xc0]];
    let bow = [program(&stems), program(&[&number(0), &[22], &number(-107), &[10], &number(-107), &[29, 14]])].concat();
    let strings = index(&[&[14], &[14], &triangle, &bow, last]);
    let (names, texts, global) = (index(&[b"Made-Bold"]), index(&[]), index(global));
    // The glyphs' names: A, B and two of a list that every reader has.
    let charset = [vec![0], words(&[1, 34, 35, 36])].concat();
    // Six bytes, behind which the subroutines begin.
    let private = [whole(6), vec![19]].concat();
    let top = |charset: usize, strings: usize, own: usize| {
        index(&[&[whole(charset), vec![15], whole(strings), vec![17], whole(private.len()), whole(own), vec![18]].concat()])
    };
    let before = 4 + names.len() + top(0, 0, 0).len() + texts.len() + global.len();
    let top = top(before, before + charset.len(), before + charset.len() + strings.len());
    let cff = [vec![1, 0, 4, 4], names, top, texts, global, charset, strings, private, index(local)].concat();
    let mut tables = common(5);
    tables.extend([(b"CFF ", cff), (b"maxp", [vec![0, 0, 0x50, 0], words(&[5])].concat())]);
    file(b"OTTO", tables)
}

/// A number of a charstring.
pub fn number(number: i16) -> [u8; 3] {
    let [high, low] = number.to_be_bytes();
    [28, high, low]
}

/// A number of a dictionary, always of five bytes, so that what follows can be placed before it is known.
fn whole(number: usize) -> Vec<u8> {
    [[29].as_slice(), &long(number)].concat()
}

/// A list of strings (an INDEX).
fn index(strings: &[&[u8]]) -> Vec<u8> {
    let count = words(&[u16::try_from(strings.len()).expect("few strings")]);
    if strings.is_empty() {
        return count;
    }
    let ends = strings.iter().scan(1, |end, string| {
        *end += string.len();
        Some(*end)
    });
    let offsets = [1].into_iter().chain(ends).flat_map(long).collect();
    [count, vec![4], offsets, strings.concat()].concat()
}

/// A font with CFF outlines, of the ordinary kind: a bow by a curve of its own, and a way back for all.
pub fn ordinary_compact() -> Vec<u8> {
    let curve = program(&[&number(550), &number(0), &number(0), &number(400), &number(-275), &number(300), &[8, 11]]);
    let back = program(&[&number(-275), &number(-700), &[5, 11]]);
    compact(&program(&[&number(0), &[22], &number(-107), &[10], &number(-107), &[29, 14]]), &[&curve], &[&back])
}

/// Numbers and operators in a row.
pub fn program(parts: &[&[u8]]) -> Vec<u8> {
    parts.concat()
}
