//! Zips written field by field, so that every field can lie (PKWARE, APPNOTE.TXT 6.3.10: sections 4.3.7, 4.3.12, 4.3.14 to 4.3.16).

use flate2::{Compress, Compression, Crc, FlushCompress};

/// One file of a zip, and what its two headers say of it.
#[derive(Clone)]
pub struct Entry {
    /// Its name in the list at the end.
    pub name: Vec<u8>,
    /// Its name before its bytes.
    pub local_name: Vec<u8>,
    /// 1 for encrypted.
    pub flags: u16,
    /// 0 for stored, 8 for deflated.
    pub method: u16,
    /// The method before its bytes.
    pub local_method: u16,
    /// Sum of the unpacked bytes.
    pub crc: u32,
    /// The bytes as they are stored.
    pub packed: Vec<u8>,
    /// How many are stored, in the list.
    pub packed_size: u32,
    /// How many come out.
    pub size: u32,
    /// How many come out, before its bytes.
    pub local_size: u32,
    /// Kind and permissions (POSIX), in the upper half.
    pub attributes: u32,
    /// An extra field of the list.
    pub extra: Vec<u8>,
    /// Where its header lies, if not where it was written.
    pub at: Option<u32>,
}

impl Entry {
    /// A plain file, stored.
    pub fn stored(name: &str, bytes: &[u8]) -> Self {
        let mut crc = Crc::new();
        crc.update(bytes);
        let (name, size) = (name.as_bytes().to_vec(), bytes.len() as u32);
        Self {
            local_name: name.clone(),
            name,
            flags: 0x800,
            method: 0,
            local_method: 0,
            crc: crc.sum(),
            packed: bytes.to_vec(),
            packed_size: size,
            size,
            local_size: size,
            attributes: 0o100_644 << 16,
            extra: Vec::new(),
            at: None,
        }
    }

    /// Zeros, deflated.
    pub fn zeros(name: &str, mebibytes: usize) -> Self {
        // After a full flush nothing refers to what came before: the same bytes can be said again (RFC 1951).
        let mut once = Vec::with_capacity(1 << 16);
        Compress::new(Compression::best(), false).compress_vec(&vec![0; 1 << 20], &mut once, FlushCompress::Full).unwrap();
        let packed = [once.repeat(mebibytes), vec![3, 0]].concat();
        let mut crc = Crc::new();
        (0..mebibytes).for_each(|_| crc.update(&[0; 1 << 20]));
        let size = u32::try_from(mebibytes << 20).unwrap_or(u32::MAX);
        let packed_size = packed.len() as u32;
        Self {
            method: 8,
            local_method: 8,
            packed,
            packed_size,
            size,
            local_size: size,
            crc: crc.sum(),
            ..Self::stored(name, b"")
        }
    }

    fn local(&self) -> Vec<u8> {
        let numbers = [self.crc, self.packed_size, self.local_size];
        let head = [shorts(&[0x4b50, 0x0403, 20, self.flags, self.local_method, 0, 0x21]), longs(&numbers)].concat();
        [head, shorts(&[self.local_name.len() as u16, 0]), self.local_name.clone(), self.packed.clone()].concat()
    }

    fn listed(&self, at: u32) -> Vec<u8> {
        let head = shorts(&[0x4b50, 0x0201, 0x0314, 20, self.flags, self.method, 0, 0x21]);
        let sizes = longs(&[self.crc, self.packed_size, self.size]);
        let lengths = shorts(&[self.name.len() as u16, self.extra.len() as u16, 0, 0, 0]);
        let place = longs(&[self.attributes, self.at.unwrap_or(at)]);
        [head, sizes, lengths, place, self.name.clone(), self.extra.clone()].concat()
    }
}

/// 16-bit numbers, the lower byte first.
pub fn shorts(numbers: &[u16]) -> Vec<u8> {
    numbers.iter().flat_map(|number| number.to_le_bytes()).collect()
}

/// 32-bit numbers.
pub fn longs(numbers: &[u32]) -> Vec<u8> {
    numbers.iter().flat_map(|number| number.to_le_bytes()).collect()
}

/// 64-bit numbers.
pub fn quads(numbers: &[u64]) -> Vec<u8> {
    numbers.iter().flat_map(|number| number.to_le_bytes()).collect()
}

/// All files, then their list; gives also how long each is.
pub fn body(entries: &[Entry]) -> (Vec<u8>, u32, u32) {
    let (mut bytes, mut list) = (Vec::new(), Vec::new());
    for entry in entries {
        list.extend(entry.listed(bytes.len() as u32));
        bytes.extend(entry.local());
    }
    let (start, length) = (bytes.len() as u32, list.len() as u32);
    bytes.extend(list);
    (bytes, start, length)
}

/// The end of a zip: how many files, how long their list is, where it starts.
pub fn end(count: u16, length: u32, start: u32) -> Vec<u8> {
    [shorts(&[0x4b50, 0x0605, 0, 0, count, count]), longs(&[length, start]), shorts(&[0])].concat()
}

/// A whole zip.
pub fn zip(entries: &[Entry]) -> Vec<u8> {
    let (bytes, start, length) = body(entries);
    [bytes, end(entries.len() as u16, length, start)].concat()
}

/// A zip whose end is told by the 64-bit records, with these numbers: files, length of their list, where it starts.
pub fn zip64(entries: &[Entry], numbers: [u64; 3]) -> Vec<u8> {
    let (bytes, ..) = body(entries);
    let [count, length, start] = numbers;
    let record =
        [longs(&[0x0606_4b50]), quads(&[44]), shorts(&[45, 45]), longs(&[0, 0]), quads(&[count, count, length, start])];
    let locator = [longs(&[0x0706_4b50, 0]), quads(&[bytes.len() as u64]), longs(&[1])].concat();
    [bytes, record.concat(), locator, end(0xffff, u32::MAX, u32::MAX)].concat()
}
