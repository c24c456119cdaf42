//! Two editions of the package built by hand: what is told of their differences, against lengths as the sample writes them.

use super::super::{Changes, ChangesRecord, Opened, PaperChange, SheetChange};
use super::sample::{GUIDE, HOME, Sample, WIDE, guide};
use crate::units::Length;
use serde_json::json;

fn opened(sample: &Sample) -> Opened {
    Opened::files("sample", sample.entries().into_iter().collect()).unwrap()
}

fn changes(new: &Sample) -> Changes {
    Changes::between(&opened(&Sample::good()), &opened(new))
}

fn paper<'a>(changes: &'a Changes, file: &str) -> &'a PaperChange {
    changes.papers.both.iter().find(|paper| paper.file == file).unwrap()
}

/// The sample with its straight line, from (20, 30) to (140, 30), lower by 1 mm on the home sheets.
fn lower() -> Sample {
    Sample::good().swap(HOME, "40 60 m 280 60 l S", "40 62 m 280 62 l S")
}

#[track_caller]
fn is_near(found: Length, mm: f64) {
    // Half the pen of 0.2 mm is looked at beyond a sheet's edge.
    assert!(found.within(Length::mm(mm), Length::mm(0.11)), "{} instead of {mm}", found.to_mm());
}

#[test]
fn a_package_beside_itself_has_no_changes() {
    let changes = changes(&Sample::good());
    assert!(changes.is_none() && changes.files().is_empty() && changes.new_files.is_empty());
    assert!(changes.text().contains("nothing differs but the edition"), "{}", changes.text());
    let record = ChangesRecord::from(&changes);
    assert!(record.same && record.listed.is_empty() && record.papers.iter().all(|paper| paper.reprint.is_empty()));
    assert!(
        changes.papers.both.iter().all(|paper| paper.same_grid && paper.lines.old.is_empty() && paper.lines.new.is_empty())
    );
    let lines = |file| paper(&changes, file).lines.both.len();
    assert_eq!((lines(HOME), lines(WIDE)), (5, 5));
}

#[test]
fn a_line_that_moved_is_measured_on_each_sheet() {
    let changes = changes(&lower());
    assert!(!changes.is_none());
    assert_eq!(changes.files(), [HOME]);
    let home = paper(&changes, HOME);
    assert_eq!((home.changed(), home.reworded(), home.gone.len()), (vec!["A1".into(), "A2".into()], Vec::<String>::new(), 0));
    for sheet in &home.sheets {
        // Sheets meet at x = 80: the line shows 60 mm of itself on both.
        is_near(sheet.added, 60.0);
        is_near(sheet.removed, 60.0);
        assert!(sheet.farthest.within(Length::mm(1.0), Length::mm(0.001)), "{}", sheet.farthest.to_mm());
        assert_eq!((sheet.restyled, sheet.new, sheet.by_ink(), sheet.by_words()), (0, false, true, false));
        assert_eq!(sheet.sizes, ["one"]);
    }
    assert!(paper(&changes, WIDE).changed().is_empty());
    assert_eq!((home.lines.both.len(), home.lines.old.len(), home.lines.new.len()), (4, 1, 1));
    let text = changes.text();
    assert!(
        text.contains("A1  lines up to 1.00 mm from where they were; 60.1 mm of lines added, 60.1 mm removed; size one"),
        "{text}"
    );
    let record = serde_json::to_value(ChangesRecord::from(&changes)).unwrap();
    assert_eq!(record["papers"][0]["sheets"][0]["farthest_mm"], json!(1.0), "{record}");
    assert!(text.contains("reprint sheets A1 and A2"), "{text}");
    assert!(text.contains(&format!("in {HOME}")) && text.contains(&format!("anew: {WIDE}")), "{text}");
}

#[test]
fn another_pen_is_another_line_that_did_not_move() {
    let changes = changes(&Sample::good().swap(HOME, "0.4 w 40 60", "0.8 w 40 60"));
    let sheet = &paper(&changes, HOME).sheets[0];
    assert_eq!((sheet.added, sheet.removed, sheet.farthest), (Length::ZERO, Length::ZERO, Length::ZERO));
    assert!(sheet.restyled > 0 && sheet.by_ink());
    let text = changes.text();
    assert!(text.contains("in another pen") && !text.contains("lines added"), "{text}");
}

#[test]
fn sheets_that_lie_elsewhere_are_all_printed_anew() {
    let changes = changes(&Sample::good().promise("/papers/0/origin_mm", json!([0.5, 0])));
    let home = paper(&changes, HOME);
    assert!(!home.same_grid);
    assert_eq!(home.changed(), ["A1", "A2"]);
    assert!(changes.text().contains("print all of them anew"), "{}", changes.text());
}

#[test]
fn sheets_come_and_go_by_their_labels() {
    let changes = changes(&Sample::good().promise("/papers/0/sheets/1/label", json!("B7")));
    let home = paper(&changes, HOME);
    assert_eq!((home.changed(), home.gone.clone()), (vec!["B7".into()], vec!["A2".into()]));
    let text = changes.text();
    assert!(text.contains("reprint sheet B7; throw away A2") && text.contains("B7  new sheet"), "{text}");
}

#[test]
fn measurements_sizes_papers_and_languages_are_listed() {
    let new = Sample::good()
        .promise("/controls/0/promised_mm", json!(121.5))
        .promise("/controls/1/name", json!("arch height"))
        .promise("/sizes", json!(["two", "three"]))
        .promise("/languages", json!(["en", "de"]))
        .promise("/papers/1/paper", json!("huge"));
    let changes = changes(&new);
    let control = &changes.controls.both[0];
    assert_eq!((control.name.as_str(), control.was, control.is), ("body length", Length::mm(120.0), Length::mm(121.5)));
    assert_eq!((changes.controls.both.len(), &changes.new_files), (1, &vec![WIDE.to_owned()]));
    let record = ChangesRecord::from(&changes);
    let listed: Vec<_> = record.listed.iter().map(|it| (it.what.as_str(), it.added.join(" "), it.removed.join(" "))).collect();
    let expected = [
        ("paper", "huge", "big"),
        ("size", "two three", "one"),
        ("language", "de", ""),
        ("measurement", "arch height", "bow height"),
    ];
    assert_eq!(listed, expected.map(|(what, added, removed)| (what, added.to_owned(), removed.to_owned())));
    let text = changes.text();
    for line in
        ["new sizes: two and three", "size that are gone: one", "promised otherwise: body length, 121.5 mm instead of 120 mm"]
    {
        assert!(text.contains(line), "{line}: {text}");
    }
}

#[test]
fn guides_are_compared_as_a_reader_sees_them() {
    let more = "<p>Sew <b>all</b> of it.</p><style>p { color: red }</style><p>Cut 1 &amp; 2.</p>";
    let new = Sample::good().file(GUIDE, guide(more).as_bytes());
    let there = changes(&new);
    assert_eq!(there.guides.both[0].added, ["Sew all of it.", "Cut 1 & 2."]);
    assert!(there.guides.both[0].removed.is_empty() && !there.is_none());
    assert!(there.text().contains("+ Sew all of it.") && there.text().contains("guide in en: 2 texts added, 0 texts removed"));
    let back = Changes::between(&opened(&new), &opened(&Sample::good()));
    assert_eq!((back.guides.both[0].added.len(), back.guides.both[0].removed.len()), (0, 2));
}

#[test]
fn more_than_five_texts_are_told_to_go_on() {
    let told = |count: usize| {
        let more: String = (0..count).map(|n| format!("<p>Text {n}</p>")).collect();
        changes(&Sample::good().file(GUIDE, guide(&more).as_bytes())).text()
    };
    assert!(told(5).contains("+ Text 4") && !told(5).contains('…'));
    assert!(!told(6).contains("+ Text 5") && told(6).contains("+ …"));
}

#[test]
fn words_are_compared_but_for_the_edition() {
    let newer = Sample::good().swap(HOME, "(1.2) Tj", "(2.1) Tj").swap(HOME, "(1.0.0) Tj", "(2.0.0) Tj");
    let changes = changes(&newer.promise("/edition", json!("2.0.0")));
    let home = paper(&changes, HOME);
    assert_eq!((home.changed().len(), home.reworded()), (0, vec!["A1".to_owned()]));
    let sheet: &SheetChange = &home.sheets[0];
    assert_eq!((&sheet.words_added, &sheet.words_removed), (&vec!["2.1".to_owned()], &vec!["1.2".to_owned()]));
    let text = changes.text();
    assert!(text.contains("  A1  words: +“2.1” -“1.2”\n"), "{text}");
    assert!(text.contains("no sheet needs to be printed anew; only words differ on A1"), "{text}");
}

/// The page of pictures without its style sheet.
fn page(new: &Sample) -> String {
    let page = super::super::changes_page(&changes(new)).unwrap();
    page.split_once("</style>").unwrap().1.to_owned()
}

#[test]
fn the_page_shows_changed_sheets_before_now_and_magnified() {
    let page = page(&lower());
    // Both sheets whole, each three times: the part of the drawing that their tiles cover.
    assert_eq!(page.matches("viewBox=\"0.00 0.00 80.00 100.00\" style=\"--pen:0.4\"").count(), 3, "{page}");
    assert_eq!(page.matches("viewBox=\"80.00 0.00 80.00 100.00\" style=\"--pen:0.4\"").count(), 3);
    // And 30 mm around where the line begins, in the frame of the sheet.
    assert_eq!(page.matches("viewBox=\"5.00 16.00 30.00 30.00\" style=\"--pen:0.12\"").count(), 1, "{page}");
    assert_eq!(page.matches("<path class=\"tile\" d=\"M0,0 L80,0 L80,100 L0,100 Z\"/>").count(), 1, "{page}");
    // Lines of both editions, of the earlier one and of the newer one, in millimetres of the drawing.
    assert!(page.contains("id=\"old-1\" d=\"M20,30 L140,30\"") && page.contains("id=\"new-1\" d=\"M20,31 L140,31\""), "{page}");
    assert!(page.contains("id=\"both-1\" d=\"M40,80 C40,53.33 80,53.33 80,80"), "{page}");
    let uses = |class: &str, what: &str| page.matches(&format!("<use class=\"{class}\" href=\"#{what}-1\"/>")).count();
    // Of the eight pictures all have the rest, two each one edition alone, and four both.
    assert_eq!([uses("both", "both"), uses("is", "old"), uses("was", "old"), uses("is", "new")], [8, 2, 4, 6]);
    assert!(page.contains("<th scope=\"row\">A2</th><td class=\"number\">3</td><td>lines up to 1.00 mm"), "{page}");
    assert!(page.contains(&format!("<h2 id=\"as-before\">As before</h2>\n<ul>\n<li>{WIDE}</li>")), "{page}");
}

#[test]
fn the_page_says_what_differs_besides_sheets() {
    assert!(page(&Sample::good()).contains("Nothing differs but the edition."));
    let body = guide("<p>Sew 1 &lt; 2.</p>");
    let new = Sample::good().promise("/sizes", json!(["one", "two"])).file(GUIDE, body.as_bytes());
    let page = page(&new);
    for part in ["<li><ins>Sew 1 &lt; 2.</ins></li>", "<li>new size: two</li>", "Guide in en"] {
        assert!(page.contains(part), "{part}: {page}");
    }
    assert!(!page.contains("<del>") && !page.contains("<svg") && !page.contains("Nothing differs"), "{page}");
}
