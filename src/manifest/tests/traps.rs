//! The traps of YAML, and advice that fits the slip.

use super::*;

#[test]
fn texts_that_look_like_numbers_or_truths_are_kept_as_written() {
    // YAML 1.1 reads these as octal, float, base-60 number, false, true, float and octal (yaml.org/type).
    let names = ["08", "1e3", "10:30", "no", "on", "1.10", "0o17", ".5", "1_000"];
    for name in names {
        let kit = good(&with(&format!("sizes: [{{name: {name}, layer: {name}}}]\nnever-printed: [x{name}]\n")));
        assert_eq!((kit.sizes[0].name.as_str(), kit.sizes[0].layer.as_str()), (name, name));
    }
    assert_eq!(good(&with("source-language: no\nlanguages: [no]\n")).languages, ["no"]);
    assert_eq!(good(&instead("Ropewalk tote", "1.10")).title, "1.10");
}

#[test]
fn line_ends_and_byte_order_mark_change_nothing() {
    let faulty = with("guide:\n  help: |\n    one\n\n    two\n  hepl: x\n");
    let expected = told(&read(&faulty).1);
    assert_eq!(expected, ["key-unknown 15:3"]);
    for text in [faulty.replace('\n', "\r\n"), faulty.replace('\n', "\r"), format!("\u{feff}{faulty}")] {
        let (kit, findings) = read(&text);
        assert_eq!(told(&findings), expected);
        assert_eq!(kit.unwrap().guide.help.as_deref(), Some("one\n\ntwo"));
    }
}

#[test]
fn columns_count_characters() {
    let text = "title: {ü: 1, ß日本: 2}\n";
    let (_, findings) = parse("kit.yaml", text);
    assert_eq!(told(&findings), ["value-type 1:8"]);
    let text = with("guide: {help: \"日本ü\", x日: 2}\n");
    assert_eq!(told(&read(&text).1), ["key-unknown 10:22"]);
}

#[test]
fn hints_spell_the_fix() {
    let cases = [
        (with("titel: x\n"), "did you mean `title`?"),
        (with("zzzz: x\n"), "`base-layers`"),
        (with("border: 15\n"), "`15 mm`, `0.591 in`"),
        (with("border: 1,5 mm\n"), "`1.5 mm`"),
        (with("border: 15 furlong\n"), "`mm`, `cm`"),
        (instead("1.0.0", "1.0"), "write `1.0.0`"),
        (instead("1.0.0", "v2.1.3"), "write `2.1.3`"),
        (instead("ropewalk-tote", "Ropewalk Tote"), "as in `ropewalk-tote`"),
        (instead("[a4]", "[lettre]"), "did you mean `letter`?"),
        (with("languages: [pt_br]\n"), "write `pt-BR`"),
        (with("mark-colour: #000\n"), "in quotes"),
        (with("guide:\n\thelp: a\n"), "indent with spaces"),
        (with("guide: \"a\n"), "close every quote"),
        (with("margins: hom\n"), "did you mean `home`?"),
        (with("margins: zz\n"), "a share as in `95 %`"),
        (with("margins: 95\n"), "write `95 %`"),
        (with("margins: 0.995\n"), "write `99.5 %`"),
        (with("margins: 0.57\n"), "write `57 %`"),
        (with("margins: 97,5 %\n"), "write `97.5 %`"),
        (with("margins: 30 %\n"), "from `50 %` to `100 %`"),
        (with("size-files: yes\n"), "write `true`"),
        (with("size-files: No\n"), "write `false`"),
        (with("size-files: both\n"), "write `true` or `false`"),
        (with("size-files: 'true'\n"), "`true` and `false` stand without quotes"),
        (with("join-error: 9 mm\n"), "from `0 mm` to `5 mm`"),
    ];
    for (text, hint) in cases {
        let findings = read(&text).1;
        assert!(words(&findings).contains(hint), "{text}\n{}", words(&findings));
    }
}

#[test]
fn language_tags_take_their_usual_spelling() {
    // RFC 5646, section 2.1.1: language lower, script title, region upper case; examples of appendix A.
    let tags = [("EN", "en"), ("pt-br", "pt-BR"), ("ZH-hant-tw", "zh-Hant-TW"), ("es-419", "es-419"), ("sl-nedis", "sl-nedis")];
    for (written, usual) in tags {
        assert_eq!(good(&with(&format!("languages: [{written}]\n"))).languages, [usual]);
    }
    for tag in ["e", "english", "en-", "-en", "en--us", "x-private", "en-a-bcd", "日本"] {
        assert_eq!(told(&read(&with(&format!("languages: [\"{tag}\"]\n"))).1), ["language-form 10:13"], "{tag}");
    }
}
