//! Start tags of HTML or SVG text with their attributes, read as forgivingly as a browser does (HTML Standard, 13.2.5).

/// A start tag.
pub struct Tag<'t> {
    /// Byte of its `<`.
    pub at: usize,
    /// Name as written.
    pub name: &'t str,
    /// Names and values as written, without quotes; a value that is missing is empty.
    pub attributes: Vec<(&'t str, &'t str)>,
}

impl<'t> Tag<'t> {
    /// Whether it opens an element of that name.
    pub fn is(&self, name: &str) -> bool {
        self.name.eq_ignore_ascii_case(name)
    }

    /// The value of an attribute as written.
    pub fn value(&self, key: &str) -> Option<&'t str> {
        self.attributes.iter().find(|(name, _)| name.eq_ignore_ascii_case(key)).map(|(_, value)| *value)
    }
}

/// White space within a tag.
const SPACE: [char; 5] = [' ', '\t', '\n', '\r', '\x0c'];

/// All start tags outside comments, in order.
pub fn tags(text: &str) -> impl Iterator<Item = Tag<'_>> {
    let mut rest = text;
    std::iter::from_fn(move || {
        loop {
            let (_, after) = rest.split_once('<')?;
            let at = text.len() - after.len() - 1;
            // An end tag, a doctype or a stray `<` holds nothing that could load or run.
            if let Some(comment) = after.strip_prefix("!--") {
                rest = past_comment(comment);
            } else if after.starts_with(|c: char| c.is_ascii_alphabetic()) {
                let (tag, left) = tag(at, after);
                rest = left;
                return Some(tag);
            } else {
                rest = after;
            }
        }
    })
}

/// What follows a comment; `<!-->` and `<!--->` are whole comments.
fn past_comment(comment: &str) -> &str {
    // Of two ends the nearer one counts: the one that leaves more text.
    let short = comment.strip_prefix('>').or_else(|| comment.strip_prefix("->"));
    let ends = ["-->", "--!>"].iter().filter_map(|end| comment.split_once(end).map(|(_, rest)| rest));
    short.or_else(|| ends.max_by_key(|rest| rest.len())).unwrap_or_default()
}

/// The tag whose name begins here, and what follows it.
fn tag(at: usize, text: &str) -> (Tag<'_>, &str) {
    // A slash parts attributes as white space does: `<img/src=x>` has one.
    let (name, mut rest) = cut(text, |c| SPACE.contains(&c) || c == '/' || c == '>');
    let mut attributes = Vec::new();
    loop {
        rest = rest.trim_start_matches(|c| SPACE.contains(&c) || c == '/');
        if rest.is_empty() || rest.starts_with('>') {
            return (Tag { at, name, attributes }, rest.strip_prefix('>').unwrap_or(rest));
        }
        let (attribute, left) = attribute(rest);
        attributes.push(attribute);
        rest = left;
    }
}

/// Name and value of the attribute that begins here, and what follows it.
fn attribute(text: &str) -> ((&str, &str), &str) {
    // A name may begin with `=`; after that, `=` ends it.
    let first = text.chars().next().map_or(0, char::len_utf8);
    let ends = |c: char| SPACE.contains(&c) || matches!(c, '/' | '>' | '=');
    let length = text.get(first..).and_then(|rest| rest.find(ends)).map_or(text.len(), |end| first + end);
    let (name, rest) = text.split_at_checked(length).unwrap_or((text, ""));
    let Some(value) = rest.trim_start_matches(SPACE).strip_prefix('=') else { return ((name, ""), rest) };
    let value = value.trim_start_matches(SPACE);
    for quote in ['"', '\''] {
        if let Some(inner) = value.strip_prefix(quote) {
            let (value, rest) = inner.split_once(quote).unwrap_or((inner, ""));
            return ((name, value), rest);
        }
    }
    let (value, rest) = cut(value, |c| SPACE.contains(&c) || c == '>');
    ((name, value), rest)
}

/// Text up to the first character that ends it, and the rest from there.
fn cut(text: &str, ends: impl Fn(char) -> bool) -> (&str, &str) {
    let end = text.find(ends).unwrap_or(text.len());
    text.split_at_checked(end).unwrap_or((text, ""))
}
