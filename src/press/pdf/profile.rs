//! A colour profile of our own for prints in black: what the greys of a file mean (ICC.1:2010, which is ISO 15076-1).

/// The white that profiles count from, D50, as x, y and z in 1/65536 (ICC.1:2010, 7.2.16).
const D50: [i32; 3] = [0x0000_F6D6, 0x0001_0000, 0x0000_D32D];

/// The curve of IEC 61966-2-1 (sRGB) as a parametric curve of type 3: g, a, b, c, d.
const CURVE: [f64; 5] = [2.4, 1.0 / 1.055, 0.055 / 1.055, 1.0 / 12.92, 0.040_45];

/// The profile of a printer that prints one ink, its greys as bright as those on a screen.
pub(super) fn grey() -> Vec<u8> {
    let tags: [(&[u8; 4], Vec<u8>); 4] = [
        (b"desc", words("Greys in one ink, sRGB curve")),
        (b"cprt", words("No copyright, use freely")),
        (b"wtpt", white()),
        (b"kTRC", curve()),
    ];
    let mut table = u32::try_from(tags.len()).unwrap_or_default().to_be_bytes().to_vec();
    let mut data = Vec::new();
    let begins = HEADER + 4 + 12 * tags.len();
    for (name, bytes) in tags {
        table.extend_from_slice(name);
        table.extend(length(begins + data.len()));
        table.extend(length(bytes.len()));
        data.extend(bytes);
        // Each tag begins at a multiple of four (ICC.1:2010, 7.3.1).
        data.resize(data.len().next_multiple_of(4), 0);
    }
    let mut profile = header(begins + data.len());
    profile.extend(table);
    profile.extend(data);
    profile
}

/// Bytes of the header (ICC.1:2010, 7.2).
const HEADER: usize = 128;

fn header(size: usize) -> Vec<u8> {
    let mut header = length(size).to_vec();
    header.extend([0; 4]);
    header.extend(0x0430_0000_u32.to_be_bytes());
    header.extend(b"prtrGRAYXYZ ");
    // The day that this profile was designed: 1 January 2026.
    header.extend([2026_u16, 1, 1, 0, 0, 0].iter().flat_map(|part| part.to_be_bytes()));
    header.extend(b"acsp");
    // No platform, flags, maker, model or attributes; the intent is relative colorimetric (1).
    header.extend([0; 24]);
    header.extend(1_u32.to_be_bytes());
    header.extend(D50.iter().flat_map(|value| value.to_be_bytes()));
    header.resize(HEADER, 0);
    header
}

/// A text in English, as `multiLocalizedUnicodeType` (ICC.1:2010, 10.13).
fn words(text: &str) -> Vec<u8> {
    let letters: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
    let mut tag = b"mluc\0\0\0\0\0\0\0\x01\0\0\0\x0cenUS".to_vec();
    tag.extend(length(letters.len()));
    tag.extend(length(28));
    tag.extend(letters);
    tag
}

fn white() -> Vec<u8> {
    b"XYZ \0\0\0\0".iter().copied().chain(D50.iter().flat_map(|value| value.to_be_bytes())).collect()
}

/// `parametricCurveType`, function type 3 (ICC.1:2010, 10.15).
fn curve() -> Vec<u8> {
    let fixed = |value: f64| ((value * 65_536.0).round() as i32).to_be_bytes();
    b"para\0\0\0\0\0\x03\0\0".iter().copied().chain(CURVE.iter().flat_map(|&value| fixed(value))).collect()
}

fn length(value: usize) -> [u8; 4] {
    u32::try_from(value).unwrap_or(u32::MAX).to_be_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_profile_is_as_long_as_it_says_and_its_tags_lie_within() {
        let profile = grey();
        let number = |at: usize| u32::from_be_bytes(profile[at..at + 4].try_into().unwrap()) as usize;
        assert_eq!(number(0), profile.len());
        assert_eq!(profile[36..40], *b"acsp");
        assert!((0..number(HEADER)).all(|tag| {
            let at = HEADER + 4 + 12 * tag;
            number(at + 4) % 4 == 0 && number(at + 4) + number(at + 8) <= profile.len()
        }));
    }
}
