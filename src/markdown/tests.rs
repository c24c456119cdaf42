//! Tests of texts as publishers and translators write them, and as nobody should. Rules of Markdown: CommonMark 0.31.2, section
//! by section; tables: GitHub Flavored Markdown 0.29, 4.10.

use super::*;
use crate::catalogue::Said;
use crate::diagnostic::Place;
use std::collections::BTreeSet;
use std::time::{Duration, Instant};

fn ids() -> BTreeSet<String> {
    ["map", "chapter-1"].map(String::from).into()
}

/// HTML with what a language says.
fn said(text: &str, say: &dyn Fn(&str) -> Said) -> String {
    let picture = |path: &str, words: &str| Some(format!("<img src=\"{path}\" alt=\"{}\">", escaped(words)));
    let rendering = Rendering {
        say,
        picture: &picture,
        ids: &ids(),
        heading: 3,
        foreign: " lang=\"en\" dir=\"ltr\"",
        mark: "<small>not yet</small>",
    };
    html(text, &rendering)
}

fn written(text: &str) -> String {
    said(text, &|_| Said::AsWritten)
}

fn told(text: &str) -> Vec<String> {
    let checking = Checking { ids: &ids(), place: &|line| Place::at("x.md", line, 1) };
    check(text, &checking).iter().map(|f| format!("{} {}", f.code, f.place.as_ref().unwrap().line.unwrap())).collect()
}

fn texts(text: &str) -> Vec<String> {
    units(text).into_iter().map(|unit| unit.text).collect()
}

#[test]
fn units_are_the_words_of_blocks() {
    let text = "Pin *all*\nedges.\n\n## Sew\n\n1. Fold,\n   then iron.\n2. Turn\n\n   - inside\n   - out\n\n> Take\n> care: `a\n> b`.\n\n\
                | Size | Width |\n|---|--:|\n| 34 | 9 \\| 10 |\n\n![the *strap*](strap.svg)\n\nSee ![it](a.png) here\\\nand there.\n";
    let expected = [
        ("Pin *all* edges.", 1),
        ("Sew", 4),
        ("Fold, then iron.", 6),
        ("Turn", 8),
        ("inside", 10),
        ("out", 11),
        ("Take care: `a b`.", 13),
        ("Size", 17),
        ("Width", 17),
        ("34", 19),
        ("9 \\| 10", 19),
        ("the *strap*", 21),
        ("See ![it](a.png) here\\\nand there.", 23),
    ];
    let found = units(text);
    let found: Vec<_> = found.iter().map(|unit| (unit.text.as_str(), unit.line)).collect();
    assert_eq!(found, expected);
    let shown = pictures(text);
    assert_eq!(shown, [("strap.svg", 21), ("a.png", 23)].map(|(path, line)| PictureLink { path: path.into(), line }));
}

#[test]
fn units_are_complete_in_themselves() {
    assert_eq!(texts("\\* not a list, \\\\ nor & &amp; &copy;"), ["\\* not a list, \\\\ nor & &amp; &copy;"]);
    assert_eq!(texts("See [the map][m] and [m].\n\n[m]: #map \"x\"\n"), ["See [the map](<#map>) and [m](<#map>)."]);
    assert_eq!(texts("## 1. Cut #\n\nSetext\n------\n"), ["1. Cut", "Setext"]);
    assert_eq!(texts("> - a\n>   b\n>\n> - *c\n>   d*\n"), ["a b", "*c d*"]);
    assert_eq!(texts("```\ncode\n```\n\n    more\n\n---\n"), [""; 0]);
    assert_eq!(texts("|a|\n|-|\n|`x\\|y`|\n"), ["a", "`x|y`"]);
    assert_eq!(texts("one\r\ntwo  \r\nthree\r\n"), ["one two\\\nthree"]);
    assert_eq!(texts(" \n\n"), [""; 0]);
}

#[test]
fn a_text_becomes_html() {
    let text = "A **b** `c<d>` & e.\n\n## Two\n\n### Three\n\n3. x\n4. y\n\n| a | b |\n|:-:|--:|\n| 1 | <2 |\n\n[m](#map) <a@b.example>\n\n***\n";
    let expected = "<p>A <strong>b</strong> <code>c&lt;d&gt;</code> &amp; e.</p>\n<h3>Two</h3>\n<h4>Three</h4>\n\
        <ol start=\"3\">\n<li>x</li>\n<li>y</li>\n</ol>\n<table class=\"own\">\n<thead>\n\
        <tr><th scope=\"col\" class=\"middle\">a</th><th scope=\"col\" class=\"end\">b</th></tr>\n</thead>\n<tbody>\n\
        <tr><td class=\"middle\">1</td><td class=\"end\">&lt;2</td></tr>\n</tbody>\n</table>\n\
        <p><a href=\"#map\">m</a> <a href=\"mailto:a@b.example\">a@b.example</a></p>\n<hr>\n";
    assert_eq!(written(text), expected);
    assert_eq!(
        written("![a \"b\"](x.svg)"),
        "<figure class=\"picture\"><img src=\"x.svg\" alt=\"a &quot;b&quot;\"></figure>\n"
    );
    assert_eq!(written("see ![a](x.svg)"), "<p>see <img src=\"x.svg\" alt=\"a\"></p>\n");
    assert_eq!(written("[gone](#nowhere) stays"), "<p>gone stays</p>\n");
    assert_eq!(plain("# A\n\n- *b* [c](#map)\n- d\n\n> e\n"), "A\n- b c\n- d\ne");
}

#[test]
fn a_translation_takes_the_place_of_words_alone() {
    let say = |unit: &str| match unit {
        "Pin *all* edges." => Said::Translated("Tout *épingler*.".into()),
        "1. Cut" => Said::Translated("1. Couper #".into()),
        "the strap" => Said::Translated("la *bride*".into()),
        "a" => Said::Translated("- b".into()),
        "x" => Said::Translated("<script>1</script>".into()),
        _ => Said::Untranslated,
    };
    let text = "Pin *all*\nedges.\n\n## 1. Cut\n\n![the strap](s.svg)\n\n- a\n- x\n\nNew.\n";
    let expected = "<p>Tout <em>épingler</em>.</p>\n<h3>1. Couper #</h3>\n\
        <figure class=\"picture\"><img src=\"s.svg\" alt=\"la bride\"></figure>\n\
        <ul>\n<li><span class=\"untranslated\" lang=\"en\" dir=\"ltr\">a</span> <small>not yet</small></li>\n\
        <li><span class=\"untranslated\" lang=\"en\" dir=\"ltr\">x</span> <small>not yet</small></li>\n</ul>\n\
        <p class=\"untranslated\" lang=\"en\" dir=\"ltr\">New. <small>not yet</small></p>\n";
    assert_eq!(said(text, &say), expected);
    // What translators see can be put back unchanged.
    let whole = "Pin *all*\nedges, [see][m].\n\n> - a `b\n>   c`\n\n## 1. Cut\n\n| a |\n|---|\n| x \\| y |\n\none\\\ntwo\n\n[m]: #map\n";
    let collapsed = written(whole).replace("all</em>\n", "all</em> ");
    assert_eq!(said(whole, &|unit| Said::Translated(unit.into())), collapsed);
}

#[test]
fn translations_that_do_not_fit_are_told_why() {
    let fine = [
        ("a *b*", "*c* d"),
        ("1. Cut", "1. Couper"),
        ("![x](a.png) b", "c ![y](a.png)"),
        ("[m](#map)", "[n](#map)"),
        ("one\\\ntwo", "un\\\ndeux"),
    ];
    for (unit, words) in fine {
        assert_eq!(fits(unit, words), Ok(()), "{unit} -> {words}");
    }
    let bad = [
        ("a", ""),
        ("a", " \n"),
        ("a", "- b"),
        ("a", "# b"),
        ("a", "> b"),
        ("a", "1. b"),
        ("a", "b\n\nc"),
        ("a", "---"),
        ("a", "    code"),
        ("a", "<b>c</b>"),
        ("a", "b <img src=x onerror=y>"),
        ("a", "<div>"),
        ("a", "<!-- c -->"),
        ("a", "![b](x.png)"),
        ("![b](x.png) c", "d"),
        ("![b](x.png) c", "![b](y.png) c"),
        ("a", "[b](javascript:x)"),
        ("a", "[b](x.html)"),
        ("a", "[b](#map)"),
        ("a", "b\u{0}"),
        ("a", "b\u{1b}[0m"),
        ("a\\\nb", "c\\\n- d"),
    ];
    for (unit, words) in bad {
        assert!(fits(unit, words).is_err(), "{unit} -> {words}");
    }
    assert!(fits("a", &"[".repeat(2_000_000)).is_err());
}

#[test]
fn what_a_text_may_not_hold_is_told_with_its_line() {
    assert_eq!(
        told("fine *words* [a](https://x.example/?a=1&b=2) <mailto:a@b.example> [m](#map)\n\n## b\n### c\n## d\n"),
        [""; 0]
    );
    assert_eq!(told("a\n\n<div>\nb\n</div>\n\nc <b>d</b>\n"), ["markdown-html 3", "markdown-html 7"]);
    assert_eq!(told("a\n\n[b](#mop)\n"), ["link-broken 3"]);
    assert_eq!(told("![](a.png)\n\nx ![ ](b.png)\n"), ["alt-missing 1", "alt-missing 3"]);
    assert_eq!(told("# a\n\n### b\n\n#### c\n"), ["heading-level 1", "heading-level 3", "heading-level 5"]);
    assert_eq!(told("a\n\u{7}b\n"), ["text-control 2"]);
    assert_eq!(told(&"<b>\n\n".repeat(100)).len(), 20);
}

/// Ways to hide an address that runs a script (OWASP's list of filter evasions, as far as CommonMark has a form for each).
const DISGUISES: [&str; 22] = [
    "[a](javascript:alert(1))",
    "[a](JaVaScRiPt:alert(1))",
    "[a](<javascript:alert(1)>)",
    "[a](&#106;avascript:alert(1))",
    "[a](&#x6A;avascript&colon;alert(1))",
    "[a](java&Tab;script:alert(1))",
    "[a](java&NewLine;script:alert(1))",
    "[a](&#1;javascript:alert(1))",
    "[a](\\javascript:alert(1))",
    "[a](javascript\\:alert(1))",
    "[a](< javascript:alert(1)>)",
    "[a](<&#32;javascript:alert(1)>)",
    "<javascript:alert(1)>",
    "[a][b]\n\n[b]: javascript:alert(1)",
    "[a]\n\n[a]: <javascript:alert(1)> 'https://x.example'",
    "[a](vbscript:msgbox)",
    "[a](data:text/html;base64,PHNjcmlwdD4=)",
    "[a](//x.example/y)",
    "[a](file:///etc/passwd)",
    "[a](../secret.html)",
    "[a](https:x)",
    "[![p](p.png)](javascript:alert(1))",
];

#[test]
fn no_disguise_gets_a_script_into_a_page() {
    for disguise in DISGUISES {
        assert!(told(disguise).iter().any(|told| told.starts_with("link-unsafe")), "{disguise}: {:?}", told(disguise));
        let page = written(disguise);
        assert!(!page.contains("href"), "{disguise}: {page}");
        let unit = texts(disguise).join("");
        assert!(fits("a", &unit).is_err(), "{disguise} as a translation");
    }
    // HTML: CommonMark 4.6 has seven kinds of blocks, 6.6 tags, comments, instructions, declarations and CDATA within words.
    let pieces = [
        "<script>alert(1)</script>",
        "<img src=x onerror=alert(1)>",
        "<!--x-->",
        "<?x?>",
        "<!X y>",
        "<![CDATA[x]]>",
        "<a href='x'>",
    ];
    for piece in pieces {
        for text in
            [piece.to_owned(), format!("a {piece} b"), format!("- {piece}"), format!("> {piece}"), format!("|{piece}|\n|-|\n")]
        {
            assert!(told(&text).iter().any(|told| told.starts_with("markdown-html")), "{text}: {:?}", told(&text));
            let page = written(&text);
            let known = [
                "p",
                "/p",
                "ul",
                "/ul",
                "li",
                "/li",
                "blockquote",
                "/blockquote",
                "table class=\"own\"",
                "/table",
                "thead",
                "/thead",
                "tbody",
                "/tbody",
                "tr",
                "/tr",
                "th scope=\"col\"",
                "/th",
            ];
            let tags = page.split('<').skip(1).filter_map(|rest| rest.split('>').next());
            assert!(tags.clone().all(|tag| known.contains(&tag)), "{text}: {page}");
        }
    }
    // What browsers take for a tag though CommonMark does not stays text.
    assert_eq!(written("<svg/onload=alert(1)>"), "<p>&lt;svg/onload=alert(1)&gt;</p>\n");
    assert!(!written("![<script>](\"onerror=)").contains("<script>"));
}

#[test]
fn no_text_takes_more_than_moments() {
    let many = |piece: &str| piece.repeat(200_000 / piece.len());
    let quotes = (0..900).map(|n| ">".repeat(n) + "a\n").collect::<String>();
    let lists = (0..600).map(|n| " ".repeat(2 * n) + "- a\n").collect::<String>();
    let deep = [many("> "), many(">"), many("- "), many("1. "), many("* a\n  "), many("*a **b "), quotes, lists];
    let wide = [
        "[",
        "](",
        "![",
        "[a](",
        "`",
        "``` ",
        "*",
        "_a",
        "**a _",
        "<",
        "<a ",
        "&",
        "\\",
        "|",
        "|a\n",
        "[a]: b\n",
        "[a][b]",
        "a\n",
        "# ",
        "    a\n\n",
        "<!--",
        "<?",
        "<![CDATA[",
        "&#0;",
        "\r",
        "\u{0}",
        "é*",
        "a@b ",
        "http://",
    ];
    for text in deep
        .into_iter()
        .chain(wide.map(many))
        .chain([many("a"), format!("|{}\n|{}\n{}", many("a|"), "-|".repeat(90_000), many("|a\n"))])
    {
        let start = Instant::now();
        let (findings, page) = (told(&text), written(&text));
        let taken = start.elapsed();
        let shown: String = text.chars().take(12).collect();
        // Generous, as other tests run at the same time; a quadratic way would take hours.
        assert!(taken < Duration::from_secs(30), "{shown:?} took {taken:?}");
        assert!(!findings.is_empty() || !page.is_empty() || shown.starts_with("[a]: b") || text.trim().is_empty(), "{shown:?}");
        units(&text);
        plain(&text);
    }
    for large in ["ab ".repeat(333_334), "a".repeat(10_000_000)] {
        assert_eq!((told(&large), written(&large)), (vec!["markdown-large 1".to_owned()], String::new()));
    }
}

#[test]
fn nesting_has_a_limit_that_nobody_meets() {
    let quoted = |levels: usize| format!("{}a\n", "> ".repeat(levels));
    assert_eq!((told(&quoted(20)), told(&quoted(33))), (vec![], vec!["markdown-deep 1".to_owned()]));
    let list: String = (0..12).map(|level| "  ".repeat(level) + "- a\n").collect();
    assert_eq!(told(&list), [""; 0]);
    assert_eq!(
        told(&format!(
            "a\n\n{}\n\n{}\n\n---\n\n5.5.2026 ...........................................\n",
            "* ".repeat(60),
            "-".repeat(90)
        )),
        [""; 0]
    );
    assert_eq!(told(&format!("a\n\n{}b{}\n", "*".repeat(200), "*".repeat(200))), ["markdown-deep 3"]);
}
