//! Which addresses a link may lead to.

use pulldown_cmark::LinkType;

/// What a link may begin with; everything else is refused, so that no disguise of anything else can matter.
const SAFE: [&str; 4] = ["https://", "http://", "mailto:", "#"];

/// The address of a link; an e-mail address in angle brackets stands without its scheme.
pub(super) fn address(kind: LinkType, address: &str) -> String {
    if kind == LinkType::Email { format!("mailto:{address}") } else { address.to_owned() }
}

/// Whether a reader may be given the address. The parser has resolved references of HTML and escapes before.
pub(super) fn is_safe(address: &str) -> bool {
    let lower = address.to_ascii_lowercase();
    SAFE.iter().any(|start| lower.starts_with(start) && lower.len() > start.len())
        && !address.chars().any(|c| c.is_control() || c.is_whitespace())
}
