//! A quoted text of a PO file, with the escapes of C.

use crate::diagnostic::Diagnostic;

/// What is wrong in a quoted text.
#[derive(Debug, PartialEq, Eq)]
pub struct Fault {
    /// How many characters stand before it.
    pub at: usize,
    /// What to tell, still without its place.
    pub finding: Diagnostic,
}

/// Reads `"text"`, which must be the whole of the value.
pub fn read(value: &str) -> Result<String, Fault> {
    let mut letters = value.chars().enumerate();
    if letters.next().map(|(_, c)| c) != Some('"') {
        return Err(Fault { at: 0, finding: error!("po-syntax/no-quotes") });
    }
    let mut text = String::new();
    while let Some((at, letter)) = letters.next() {
        match letter {
            '"' => return end(letters.next()).map(|()| text),
            '\\' => text.push(escaped(at, letters.next())?),
            other => text.push(other),
        }
    }
    Err(Fault { at: 0, finding: error!("po-syntax/open-quote") })
}

/// Nothing may follow the closing quote.
fn end(next: Option<(usize, char)>) -> Result<(), Fault> {
    next.map_or(Ok(()), |(at, _)| Err(Fault { at, finding: error!("po-syntax/behind-quote") }))
}

/// The letter that a backslash and the next letter stand for.
fn escaped(at: usize, next: Option<(usize, char)>) -> Result<char, Fault> {
    match next.map(|(_, letter)| letter) {
        Some('n') => Ok('\n'),
        Some('t') => Ok('\t'),
        Some('r') => Ok('\r'),
        Some(same @ ('"' | '\\')) => Ok(same),
        Some(other) => Err(Fault { at, finding: error!("po-syntax/escape", letter = other) }),
        None => Err(Fault { at, finding: error!("po-syntax/backslash") }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escapes_are_those_of_c_strings() {
        // GNU gettext manual, "The Format of PO Files": C escapes; the five that gettext's own tools write.
        assert_eq!(read(r#""a\n\t\r\"\\ü""#).unwrap(), "a\n\t\r\"\\ü");
        assert_eq!(read(r#""""#).unwrap(), "");
    }

    #[test]
    fn faults_are_pointed_at() {
        for (value, at) in [("x", 0), ("", 0), (r#""ab"#, 0), (r#""äb\q""#, 3), (r#""ab\"#, 3), (r#""ä" x"#, 3)] {
            assert_eq!(read(value).unwrap_err().at, at, "{value}");
        }
    }
}
