//! Names for files, editions, dates and colours.

use crate::diagnostic::Diagnostic;
use crate::manifest::Colour;
use crate::manifest::names::is_device;

/// Longest name for files, in characters, so that `NAME-EDITION-guide-LANGUAGE.html` stays far below what file systems take.
const MAX_NAME: usize = 60;
/// Longest edition, in characters.
const MAX_EDITION: usize = 30;

/// A text for people, without the white space around it.
pub fn text(text: &str) -> Result<String, Diagnostic> {
    Ok(text.trim().to_owned())
}

/// A name that can be part of a file name on every system.
pub fn name(text: &str) -> Result<String, Diagnostic> {
    // Lower case only, since some systems take `Tote` and `tote` for one file and some for two.
    let part = |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit());
    let problem = if is_device(text) {
        words!("is-kept-by-windows")
    } else if text.chars().count() > MAX_NAME {
        words!("is-longer-than-60")
    } else if !text.split('-').all(part) {
        words!("cannot-be-part")
    } else {
        return Ok(text.to_owned());
    };
    Err(error!("name-form", text, problem, suggestion = suggestion(text)))
}

/// The nearest name of the right form.
fn suggestion(text: &str) -> String {
    let kept: String = text.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { ' ' }).collect();
    let joined: String = kept.split_whitespace().collect::<Vec<_>>().join("-").chars().take(MAX_NAME).collect();
    let joined = joined.trim_matches('-').to_owned();
    match joined.as_str() {
        device if is_device(device) => format!("my-{device}"),
        "" => "ropewalk-tote".into(),
        same if same == text => "ropewalk-tote".into(),
        _ => joined,
    }
}

/// A semantic version, as in `1.0.0`.
pub fn edition(text: &str) -> Result<semver::Version, Diagnostic> {
    let text = text.trim();
    // Lower case only, as for names: the files of `1.0.0-RC` and `1.0.0-rc` would be one on some systems.
    let lower = text.to_ascii_lowercase();
    if let Some(version) = semver::Version::parse(text).ok().filter(|_| text.len() <= MAX_EDITION && text == lower) {
        return Ok(version);
    }
    let bare = lower.trim_start_matches('v');
    // YAML reads `1.0` as a number, so it is the most common slip; a `v` in front comes second.
    let padded = [bare.to_owned(), format!("{bare}.0"), format!("{bare}.0.0")];
    let meant = padded.iter().find(|form| form.len() <= MAX_EDITION && semver::Version::parse(form).is_ok());
    let finding = error!("edition-form", text);
    Err(match meant {
        Some(meant) => finding.hint(say!("edition-form/meant", meant)),
        None => finding.hint(words!("edition-form/three")),
    })
}

/// A day, as in `2026-11-20`.
pub fn date(text: &str) -> Result<jiff::civil::Date, Diagnostic> {
    let text = text.trim();
    // The library also takes times and dates without hyphens; what it writes back must be what was read.
    let day = text.parse::<jiff::civil::Date>().ok().filter(|day| day.to_string() == text);
    match day {
        // The dates of zip entries reach from 1980 to 2107 (PKWARE APPNOTE: MS-DOS date; the range is from memory).
        Some(day) if (1980..=2107).contains(&day.year()) => Ok(day),
        Some(_) => Err(error!("date-form/range", text)),
        None => Err(error!("date-form", text)),
    }
}

/// A colour, as in `#1a2b3c` or `#123`.
pub fn colour(text: &str) -> Result<Colour, Diagnostic> {
    let digits: Vec<u8> = text.trim().strip_prefix('#').map(hex_digits).unwrap_or_default();
    match *digits.as_slice() {
        [r, g, b] => Ok(Colour { red: r * 17, green: g * 17, blue: b * 17 }),
        [r, s, g, h, b, c] => Ok(Colour { red: r * 16 + s, green: g * 16 + h, blue: b * 16 + c }),
        _ => Err(error!("colour-form", text)),
    }
}

/// The values of hexadecimal digits; none if any other character is among them.
fn hex_digits(text: &str) -> Vec<u8> {
    let digits = text.chars().map(|c| c.to_digit(16).and_then(|digit| u8::try_from(digit).ok()));
    digits.collect::<Option<Vec<u8>>>().unwrap_or_default()
}
