//! Entities that a drawing's DOCTYPE declares: common editors write a few for namespaces; bombs are refused.

use crate::diagnostic::Diagnostic;
use std::borrow::Cow;
use std::collections::BTreeMap;

/// Most bytes that all entities of a drawing may grow to, taken together.
const MOST: usize = 1024 * 1024;

/// Declared entities with their full text, and how much of the allowance is used.
#[derive(Debug, Default)]
pub struct Entities {
    texts: BTreeMap<String, String>,
    used: usize,
}

impl Entities {
    /// Reads the declarations of a DOCTYPE, given what stands between `<!DOCTYPE` and `>`.
    pub fn declare(&mut self, doctype: &str) -> Result<(), Diagnostic> {
        let mut rest = doctype.split_once('[').map_or("", |(_, inside)| inside);
        while let Some(at) = rest.find("<!") {
            rest = rest.get(at..).unwrap_or_default();
            // Declarations inside comments do not count.
            rest = if let Some(comment) = rest.strip_prefix("<!--") {
                comment.split_once("-->").map_or("", |(_, after)| after)
            } else if let Some(entity) = rest.strip_prefix("<!ENTITY") {
                self.declare_one(entity)?
            } else {
                rest.get(2..).unwrap_or_default()
            };
        }
        Ok(())
    }

    fn declare_one<'a>(&mut self, declaration: &'a str) -> Result<&'a str, Diagnostic> {
        let declaration = declaration.trim_start();
        let name_end = declaration.find(|c: char| c.is_whitespace()).unwrap_or(declaration.len());
        let (name, value) = declaration.split_at(name_end);
        let value = value.trim_start();
        let quote = value.chars().next().filter(|c| matches!(c, '"' | '\''));
        let Some((text, rest)) = quote.and_then(|quote| value.get(1..)?.split_once(quote)) else {
            return Err(error!("xml-entity/outside", name));
        };
        // Elements from an entity would stand nowhere in the file, so that no finding could point at them.
        if text.contains('<') {
            return Err(error!("xml-entity/elements", name));
        }
        let full = self.expand(text)?;
        self.texts.entry(name.to_owned()).or_insert(full);
        Ok(rest)
    }

    /// The full text of a declaration, as far as it names entities declared before it.
    fn expand(&mut self, text: &str) -> Result<String, Diagnostic> {
        let mut full = String::new();
        let mut rest = text;
        while let Some((before, after)) = rest.split_once('&') {
            full.push_str(before);
            let (name, after) = after.split_once(';').ok_or_else(|| error!("xml-entity/open"))?;
            match (self.texts.get(name), character(name).filter(|_| name.starts_with('#'))) {
                (Some(inner), _) => full.push_str(inner),
                (None, Some(sign)) => full.push(sign),
                (None, None) => full.push_str(&format!("&{name};")),
            }
            // Charged step by step, so that a bomb is stopped before it has grown.
            self.charge(full.len())?;
            rest = after;
        }
        full.push_str(rest);
        Ok(full)
    }

    /// Uses up a part of the allowance.
    fn charge(&mut self, bytes: usize) -> Result<(), Diagnostic> {
        self.used = self.used.saturating_add(bytes);
        let fits = self.used <= MOST;
        fits.then_some(()).ok_or_else(|| error!("xml-entity/large"))
    }

    /// Counts a reference in the drawing's text and checks that it is declared.
    pub fn count(&mut self, name: &str) -> Result<(), Diagnostic> {
        let size = self.resolve(name)?.map_or(0, |text| text.len() + 1);
        self.charge(size)
    }

    /// The text of a reference; `None` for a character or a predefined one.
    fn resolve(&self, name: &str) -> Result<Option<&str>, Diagnostic> {
        if name.starts_with('#') || matches!(name, "lt" | "gt" | "amp" | "apos" | "quot") {
            return Ok(None);
        }
        let text = self.texts.get(name).map(String::as_str);
        text.map(Some).ok_or_else(|| error!("xml-entity/unknown", name))
    }

    /// Counts all references of an attribute's value and gives the value with them put in.
    pub fn normalise<'a>(&mut self, raw: &'a str) -> Result<Cow<'a, str>, Diagnostic> {
        for reference in raw.split('&').skip(1) {
            let name = reference.split_once(';').map(|(name, _)| name);
            self.count(name.ok_or_else(|| error!("xml-entity/ampersand"))?)?;
        }
        self.value(raw)
    }

    /// An attribute's value with all references put in; free of charge, for values that were counted before.
    pub fn value<'a>(&self, raw: &'a str) -> Result<Cow<'a, str>, Diagnostic> {
        if !raw.contains('&') {
            return Ok(Cow::Borrowed(raw));
        }
        let mut full = String::with_capacity(raw.len());
        let mut rest = raw;
        while let Some((before, after)) = rest.split_once('&') {
            full.push_str(before);
            let (name, after) = after.split_once(';').ok_or_else(|| error!("xml-entity/ampersand"))?;
            match self.resolve(name)? {
                Some(text) => full.push_str(text),
                None => full.push(character(name).ok_or_else(|| error!("xml-entity/character", name))?),
            }
            rest = after;
        }
        full.push_str(rest);
        Ok(Cow::Owned(full))
    }
}

/// The character that a predefined or numeric reference stands for.
fn character(name: &str) -> Option<char> {
    match name {
        "lt" => Some('<'),
        "gt" => Some('>'),
        "amp" => Some('&'),
        "apos" => Some('\''),
        "quot" => Some('"'),
        _ => {
            let digits = name.strip_prefix('#')?;
            let hex = digits.strip_prefix('x').map(|hex| u32::from_str_radix(hex, 16));
            char::from_u32(hex.unwrap_or_else(|| digits.parse()).ok()?)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn namespace_entities_as_editors_write_them_are_read() {
        let mut entities = Entities::default();
        let doctype = r#" svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd" [
            <!ENTITY ns_svg "http://www.w3.org/2000/svg"> <!-- <!ENTITY no "x"> --> <!ENTITY two '&ns_svg;#'> ]"#;
        entities.declare(doctype).unwrap();
        assert_eq!(entities.normalise("a&two;&lt;&#x41;").unwrap(), "ahttp://www.w3.org/2000/svg#<A");
        assert!(entities.normalise("&no;").is_err());
    }

    #[test]
    fn bombs_and_outside_entities_are_refused() {
        let mut laughs = String::from(" svg [ <!ENTITY a0 \"aaaaaaaaaa\">");
        for level in 1..12 {
            let inner = format!("&a{};", level - 1).repeat(10);
            laughs.push_str(&format!("<!ENTITY a{level} \"{inner}\">"));
        }
        assert!(Entities::default().declare(&laughs).unwrap_err().message.contains("1 MB"));
        for outside in ["svg [<!ENTITY x SYSTEM \"file:///etc/passwd\">]", "svg [<!ENTITY % x 'y'>]"] {
            assert!(Entities::default().declare(outside).unwrap_err().message.contains("outside"), "{outside}");
        }
        let mut quadratic = Entities::default();
        quadratic.declare(&format!("svg [<!ENTITY a \"{}\">]", "a".repeat(1000))).unwrap();
        assert!(quadratic.normalise(&"&a;".repeat(2000)).is_err());
    }
}
