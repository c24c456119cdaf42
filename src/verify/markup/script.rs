//! The one script that a page may run: written into it, named by its hash in the page's own policy, and without a word by which
//! it could reach out or write markup.

use super::tags::{Tag, tags};
use base64::{Engine, engine::general_purpose::STANDARD};
use sha2::{Digest, Sha256};
use std::ops::Range;

/// What no such script holds, in small letters: ways to the network, to other code, to other pages, and to new markup.
const WORDS: [&str; 24] = [
    "fetch",
    "xmlhttprequest",
    "websocket",
    "webtransport",
    "rtcpeer",
    "eventsource",
    "beacon",
    "import",
    "worker",
    "eval",
    "function(",
    "settimeout",
    "setinterval",
    "javascript:",
    "://",
    "src",
    "href",
    "location",
    "open(",
    "submit",
    "innerhtml",
    "outerhtml",
    "adjacent",
    "document.write",
];

/// What the form for testers does with such words, and no more: it hands what was typed to the browser as a file to be saved.
const HARMLESS: [&str; 4] = [
    "link.href = url.createobjecturl(new blob([",
    "settimeout(() => url.revokeobjecturl(link.href), 60_000);",
    "addeventlistener(\"submit\", (event) => {",
    "event.preventdefault();",
];

/// Bytes of the script, from its start tag to its end tag; `None` if there is none, more than one, or one that may not run.
pub(super) fn allowed(text: &str) -> Option<Range<usize>> {
    let lower = text.to_ascii_lowercase();
    let mut starts = lower.match_indices("<script");
    let (start, _) = starts.next().filter(|_| starts.next().is_none())?;
    // No attribute: nothing says what else it is, or where else it comes from.
    let body = start + lower.get(start..).filter(|rest| rest.starts_with("<script>")).map(|_| "<script>".len())?;
    let end = body + lower.get(body..)?.find("</script>")?;
    let code = text.get(body..end)?;
    let words = HARMLESS.iter().fold(lower.get(body..end)?.to_owned(), |words, phrase| words.replace(phrase, " "));
    let named = named(text, start)? == format!("'sha256-{}'", STANDARD.encode(Sha256::digest(code.as_bytes())));
    let quiet = !WORDS.iter().any(|word| words.contains(word)) && !code.contains(['<', '\\', '`']);
    (named && quiet).then_some(start..end + "</script>".len())
}

/// What the page's policy lets run (Content Security Policy Level 3), if it stands before the script and closes all else.
fn named(text: &str, before: usize) -> Option<String> {
    let is_policy = |tag: &Tag<'_>| {
        let says = |key: &str, value: &str| {
            tag.attributes.iter().any(|(name, is)| name.eq_ignore_ascii_case(key) && is.eq_ignore_ascii_case(value))
        };
        tag.name.eq_ignore_ascii_case("meta") && says("http-equiv", "content-security-policy")
    };
    let mut policies = tags(text).filter(is_policy);
    let policy = policies.next().filter(|tag| tag.at < before && policies.next().is_none())?;
    let (_, content) = policy.attributes.iter().find(|(name, _)| name.eq_ignore_ascii_case("content"))?;
    let directives: Vec<(&str, &str)> =
        content.split(';').map(|part| part.trim().split_once(' ').unwrap_or((part.trim(), ""))).collect();
    let of = |name: &str| -> Vec<&str> {
        directives.iter().filter(|(key, _)| key.eq_ignore_ascii_case(name)).map(|(_, value)| value.trim()).collect()
    };
    let scripts = directives.iter().filter(|(key, _)| key.to_ascii_lowercase().starts_with("script-src")).count();
    let closed = of("default-src") == ["'none'"] && scripts == 1;
    of("script-src").first().filter(|_| closed).map(|value| (*value).to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The example of Content Security Policy Level 3, 8.3 ("Usage of 'unsafe-hashes'" and the one on hashes before it), and its hash.
    const CODE: &str = "alert('Hello, world.');";
    const HASH: &str = "sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng=";

    fn page(policy: &str, script: &str) -> String {
        format!(
            "<html><head><meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\"></head><body><p>é</p>{script}</body></html>"
        )
    }

    fn good() -> String {
        page(&format!("default-src 'none'; img-src data:; script-src '{HASH}'"), &format!("<script>{CODE}</script>"))
    }

    #[test]
    fn the_script_of_the_policy_may_run() {
        let page = good();
        assert_eq!(page.get(allowed(&page).unwrap()), Some(format!("<script>{CODE}</script>").as_str()));
    }

    #[test]
    fn any_other_may_not() {
        let script = format!("<script>{CODE}</script>");
        let policy = format!("default-src 'none'; script-src '{HASH}'");
        let hash = |code: &str| format!("'sha256-{}'", STANDARD.encode(Sha256::digest(code.as_bytes())));
        let bad = [
            String::new(),
            page(&policy, ""),
            page(&policy, &script.replace("Hello", "Hallo")),
            page(&policy, &script.repeat(2)),
            page(&policy, &script.replace("<script>", "<script >")),
            page(&policy, &script.replace("<script>", "<script src=x.js>")),
            page(&policy, &format!("<script>{CODE}")),
            page(&policy, &script).replace("default-src 'none'", "default-src *"),
            page(&policy, &script).replace("script-src '", "script-src 'unsafe-inline' '"),
            page(&format!("{policy}; script-src-elem *"), &script),
            page("default-src 'none'", &script),
            page(&policy, &script).replace("Content-Security-Policy", "refresh"),
            format!("{script}{}", page(&policy, "")),
            good().replace("<meta", "<!-- <meta").replace("</head>", "--></head>"),
            page(&format!("default-src 'none'; script-src {}", hash("fetch(1)")), "<script>fetch(1)</script>"),
            page(&format!("default-src 'none'; script-src {}", hash("i.src=1")), "<script>i.src=1</script>"),
            page(&format!("default-src 'none'; script-src {}", hash("\\u0066etch(1)")), "<script>\\u0066etch(1)</script>"),
        ];
        for page in bad {
            assert_eq!(allowed(&page), None, "{page}");
        }
    }
}
