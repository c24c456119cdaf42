//! The templates of the guide with the functions that they call.

use super::script;
use super::view::Page;
use crate::catalogue::Messages;
use std::sync::Arc;
use tera::{Context, Error, Kwargs, State, Tera, TeraResult};

/// All templates by name; the suffix `.html` turns escaping on.
const TEMPLATES: [(&str, &str); 17] = [
    ("page.html", include_str!("../../templates/guide/page.html")),
    ("package.html", include_str!("../../templates/guide/package.html")),
    ("check.html", include_str!("../../templates/guide/check.html")),
    ("print.html", include_str!("../../templates/guide/print.html")),
    ("sizes.html", include_str!("../../templates/guide/sizes.html")),
    ("legend.html", include_str!("../../templates/guide/legend.html")),
    ("map.html", include_str!("../../templates/guide/map.html")),
    ("join.html", include_str!("../../templates/guide/join.html")),
    ("copy-shop.html", include_str!("../../templates/guide/copy-shop.html")),
    ("picker.html", include_str!("../../templates/guide/picker.html")),
    ("measures.html", include_str!("../../templates/guide/measures.html")),
    ("materials.html", include_str!("../../templates/guide/materials.html")),
    ("cutting.html", include_str!("../../templates/guide/cutting.html")),
    ("lays.html", include_str!("../../templates/guide/lays.html")),
    ("safety.html", include_str!("../../templates/guide/safety.html")),
    ("glossary.html", include_str!("../../templates/guide/glossary.html")),
    ("about.html", include_str!("../../templates/guide/about.html")),
];

/// The style sheet, which the page carries in itself.
const STYLE: &str = concat!(include_str!("../../templates/palette.css"), include_str!("../../templates/guide/guide.css"));

/// The HTML of a page.
pub fn render(page: &Page, messages: &Messages) -> TeraResult<String> {
    let mut tera = Tera::new();
    speaking(&mut tera, messages);
    tera.add_raw_templates(TEMPLATES)?;
    let mut context = Context::from_serialize(page)?;
    context.insert("style", STYLE);
    context.insert("script", &script::script());
    context.insert("script_hash", &script::script_hash(script::script()));
    tera.render("page.html", &context)
}

/// Lets templates speak a language, by the functions `t` and `tn`.
pub fn speaking(tera: &mut Tera, messages: &Messages) {
    let shared = Arc::new(messages.clone());
    let plural = Arc::clone(&shared);
    tera.register_function("t", move |kwargs: Kwargs, _: &State| translate(&shared, &kwargs));
    tera.register_function("tn", move |kwargs: Kwargs, _: &State| translate_count(&plural, &kwargs));
}

/// `t(key="…", name=value …)`: the text of a key.
fn translate(messages: &Messages, kwargs: &Kwargs) -> TeraResult<String> {
    with_values(messages, kwargs, |key, values| Ok(messages.text(key, values)))
}

/// `tn(key="…", n=number, name=value …)`: the text of a key in the form for a number.
fn translate_count(messages: &Messages, kwargs: &Kwargs) -> TeraResult<String> {
    let n: usize = kwargs.must_get("n")?;
    with_values(messages, kwargs, |key, values| Ok(messages.count(key, n, values)))
}

/// Hands the key and the other arguments on, as text.
fn with_values(
    messages: &Messages,
    kwargs: &Kwargs,
    then: impl FnOnce(&str, &[(&str, &str)]) -> TeraResult<String>,
) -> TeraResult<String> {
    let key: &str = kwargs.must_get("key")?;
    if !messages.has(key) {
        return Err(Error::message(say!("no-text", key)));
    }
    let values: Vec<(String, String)> = kwargs.iter().map(|(name, value)| (name.to_string(), value.to_string())).collect();
    // `n` of a count is filled in by the catalogue itself; the order of the others is of no account.
    let values: Vec<(&str, &str)> = values.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    then(key, &values)
}
