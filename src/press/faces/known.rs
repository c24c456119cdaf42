//! Free fonts that are known to have a script, so that they are found wherever a machine keeps its fonts.

/// Scripts, and the families that have them, the best first. All have no limits in their licence bits.
const KNOWN: [(&str, &[&str]); 6] = [
    ("Arabic", &["Noto Naskh Arabic", "Noto Sans Arabic"]),
    ("Hebrew", &["Noto Sans Hebrew"]),
    ("Devanagari", &["Noto Sans Devanagari"]),
    ("Thai", &["Noto Sans Thai"]),
    ("Georgian", &["Noto Sans Georgian"]),
    ("Japanese", &["BIZ UDPGothic", "Noto Sans JP", "Noto Sans CJK JP"]),
];

/// Families that have a script; none for one that is not known.
pub fn known_fonts(script: &str) -> &'static [&'static str] {
    KNOWN.iter().find(|(known, _)| *known == script).map_or(&[], |(_, families)| families)
}

/// Whether a file's name is one that a family goes by, in regular or bold: `NotoNaskhArabic-Bold.ttf`, `BIZUDPGothic_700Bold.ttf`.
pub fn is_file_of(family: &str, file: &str) -> bool {
    let plain = |text: &str| text.chars().filter(char::is_ascii_alphanumeric).collect::<String>().to_ascii_lowercase();
    let Some((stem, ending)) = file.rsplit_once('.') else { return false };
    let style = plain(stem);
    let style = style.strip_prefix(&plain(family)).map(|style| style.trim_start_matches(|c: char| c.is_ascii_digit()));
    let font = ["ttf", "otf", "ttc"].iter().any(|known| ending.eq_ignore_ascii_case(known));
    font && matches!(style, Some("regular" | "bold" | ""))
}

#[cfg(test)]
mod tests {
    use super::is_file_of;

    // Names as in the Debian package fonts-noto-core and the npm package @expo-google-fonts/biz-udpgothic.
    #[test]
    fn families_are_known_by_their_files() {
        for (family, file) in [
            ("Noto Naskh Arabic", "NotoNaskhArabic-Regular.ttf"),
            ("Noto Naskh Arabic", "NotoNaskhArabic-Bold.ttf"),
            ("BIZ UDPGothic", "BIZUDPGothic_400Regular.ttf"),
            ("BIZ UDPGothic", "BIZUDPGothic-Bold.ttf"),
            ("Noto Sans CJK JP", "NotoSansCJKjp-Regular.otf"),
        ] {
            assert!(is_file_of(family, file), "{file}");
        }
        for file in ["NotoNaskhArabicUI-Regular.ttf", "NotoNaskhArabic-Medium.ttf", "NotoNaskhArabic-Regular.txt", "x"] {
            assert!(!is_file_of("Noto Naskh Arabic", file), "{file}");
        }
    }
}
