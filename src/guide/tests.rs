//! Tests of whole guides, made from kits and layouts that stand here.

use super::*;
use crate::catalogue::KitWords;
use crate::manifest::{Chapter, Colour, DrawingSource, GuideTexts, Paper, PaperSetup, Places, SizeLayer};
use crate::plan::{Plate, PlateForm, Sheet, SizeSheets};
use crate::units::{Length, Margins, Point, Rect, Size};

/// A kit of the invented publisher Ploverfield Paper.
pub(super) fn kit(sizes: &[&str], guide: GuideTexts) -> Kit {
    Kit {
        name: "tansy-apron".into(),
        title: "Tansy apron".into(),
        publisher: "Ploverfield Paper".into(),
        edition: semver::Version::new(1, 2, 0),
        date: jiff::civil::date(2026, 11, 20),
        copyright: "© 2026 Ploverfield Paper".into(),
        logo: None,
        mark_colour: Colour::BLACK,
        source_language: "en".into(),
        languages: vec!["en".into()],
        drawing: DrawingSource { file: "apron.svg".into(), ..DrawingSource::default() },
        blank: None,
        sizes: sizes
            .iter()
            .map(|name| SizeLayer { name: (*name).into(), layer: format!("size {name}"), shown: true })
            .collect(),
        base_layers: None,
        never_printed: Vec::new(),
        papers: Vec::new(),
        sharing: crate::manifest::Sharing::Own,
        joins: crate::manifest::Joins::Butt,
        join_error: Length::mm(0.3),
        size_files: false,
        projection: false,
        untranslated: crate::manifest::Untranslated::Mark,
        inking: crate::manifest::Inking::default(),
        controls: Vec::new(),
        cloths: Vec::new(),
        seams: Vec::new(),
        fonts: Vec::new(),
        brand_font: None,
        guide,
        corrections: None,
        review: None,
        places: Places::of("kit.yaml"),
    }
}

/// Maps and no other pictures.
pub(super) fn maps(maps: &[String]) -> Pictures<'_> {
    Pictures { maps, ..Pictures::default() }
}

/// A layout of rows by columns, the top right corner left out; each size needs the sheets of its list.
pub(super) fn layout(paper: &str, rows: usize, columns: usize, sizes: &[(&str, &[usize])]) -> Layout {
    let paper = Paper::known(paper).unwrap();
    let sheet_size = match paper.format {
        crate::manifest::Format::Sheet(size) => size,
        crate::manifest::Format::Roll(width) => Size::new(width, Length::mm(1400.0)),
    };
    let plate = Plate { area: Rect::default(), form: PlateForm::Full, over_ink: false, largest_free: Size::default() };
    let places = (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column)));
    let used = places.filter(|place| rows * columns == 1 || *place != (0, columns - 1));
    let sheets = used.map(|(row, column)| {
        let label = format!("{}{}", char::from(b'A' + u8::try_from(row).unwrap()), column + 1);
        Sheet { row, column, label, area: Rect::default(), pieces: vec![], sizes: vec![], plate }
    });
    Layout {
        setup: PaperSetup {
            paper,
            margins: Margins::even(Length::mm(5.0)),
            border: Length::mm(3.0),
            glue_edge: Length::mm(3.0),
            pin: None,
            longest: crate::manifest::LONGEST_FILE,
        },
        sheet_size,
        printable: Rect::default(),
        tile: Rect::default(),
        origin: Point::default(),
        rows,
        columns,
        sheets: sheets.collect(),
        joins: Vec::new(),
        sizes: sizes.iter().map(|(name, sheets)| SizeSheets { name: (*name).into(), sheets: sheets.to_vec() }).collect(),
        facts: crate::plan::Facts::default(),
    }
}

/// A map as simple as can be: one square a sheet.
pub(super) fn map(layout: &Layout) -> String {
    let square = |sheet: &Sheet| {
        let (x, y) = (sheet.column * 20, sheet.row * 28);
        format!(
            r##"<rect x="{x}" y="{y}" width="20" height="28" fill="none" stroke="#000" stroke-width=".3"/><text x="{}" y="{}" font-size="7" text-anchor="middle">{}</text>"##,
            x + 10,
            y + 17,
            sheet.label
        )
    };
    let squares: String = layout.sheets.iter().map(square).collect();
    let (width, height) = (layout.columns * 20, layout.rows * 28);
    format!(
        r#"<svg viewBox="-1 -1 {} {}" role="img"><title>Map for {}</title>{squares}</svg>"#,
        width + 2,
        height + 2,
        layout.setup.paper.title
    )
}

/// The files of a package with these layouts.
pub(super) fn files(layouts: &[Layout]) -> Vec<PackedFile> {
    let file = |name: &str, kind| PackedFile { name: name.into(), kind, language: None };
    let mut files = vec![
        file("README.txt", FileKind::ReadMe { language: "en".into() }),
        file("SHA256SUMS", FileKind::Checksums),
        file("promises.json", FileKind::Promises),
        file("tansy-apron-1.2.0-guide-en.html", FileKind::Guide { language: "en".into() }),
    ];
    for layout in layouts {
        let paper = layout.setup.paper.id.clone();
        if layout.setup.paper.press == Press::Home {
            files.push(file(&format!("tansy-apron-1.2.0-home-{paper}.pdf"), FileKind::Home { paper }));
        } else {
            files.push(file(&format!("tansy-apron-1.2.0-wide-{paper}.pdf"), FileKind::WidePdf { paper: paper.clone() }));
            files.push(file(&format!("tansy-apron-1.2.0-wide-{paper}.svg"), FileKind::WideSvg { paper }));
        }
    }
    files
}

/// The publisher's own texts, long enough to fill a page.
fn texts() -> GuideTexts {
    GuideTexts {
        introduction: Some("A work apron with crossed straps that stays where it is put, with one deep pocket in two parts. Made for gardens, kitchens and\nworkshops, in an afternoon.".into()),
        fabric: Some("Linen, canvas or denim of 200 to 300 g/m², 140 cm (55 in) wide: 1.6 m for sizes 36 to 44, 1.9 m from 46 on. Wash it before you cut.".into()),
        notions: Some("- thread to match\n- 20 cm of firm tape for the towel loop\n- a scrap of light interfacing".into()),
        help: Some("Write to help@ploverfield.example, with a photo of the check page if anything does not fit.".into()),
        chapters: vec![
            Chapter { title: "Cut".into(), context: "guide.chapter-1".into(), file: None, text: "Lay the body on the fold, grainline along the selvedge.\n\nCut the straps twice, the pocket once.".into() },
            Chapter { title: "Sew".into(), context: "guide.chapter-2".into(), file: None, text: "- Turn the top of the pocket under by 25 mm and stitch.\n- Place the pocket on the marks and stitch it on three sides.\n- Join the straps to the body, right sides together.\n- Turn the facing to the wrong side, press and topstitch.".into() },
        ],
        ..GuideTexts::default()
    }
}

pub(super) fn english() -> Messages {
    Messages::builtin("en").unwrap()
}

/// A graded kit on two home papers and one wide one.
fn graded() -> (Kit, Vec<Layout>) {
    let names = ["36", "38", "40", "42", "44", "46", "48", "50"];
    let lists: Vec<Vec<usize>> =
        (0..8).map(|size| (0..29).filter(|sheet| (sheet * 7 + size) % 5 > size % 3).collect()).collect();
    let sizes: Vec<(&str, &[usize])> = names.iter().copied().zip(lists.iter().map(Vec::as_slice)).collect();
    let layouts = vec![layout("a4", 5, 6, &sizes), layout("letter", 5, 6, &sizes), layout("a0", 1, 1, &[("36", &[0])])];
    (kit(&names, texts()), layouts)
}

pub(super) fn guide_of(kit: &Kit, layouts: &[Layout]) -> String {
    let homes = layouts.iter().filter(|layout| layout.setup.paper.press == Press::Home);
    html(kit, layouts, &maps(&homes.map(map).collect::<Vec<_>>()), &files(layouts), &english(), &KitWords::as_written())
        .unwrap()
}

/// The page's text as it is copied: no tags, entities of our escaping undone.
pub(super) fn plain(html: &str) -> String {
    let outside = html.split('<').filter_map(|part| part.split_once('>').map(|(_, text)| text));
    let entities = [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#x27;", "'"), ("&#39;", "'"), ("&amp;", "&")];
    entities.iter().fold(outside.collect::<String>(), |text, (entity, letter)| text.replace(entity, letter))
}

#[test]
fn a_graded_kit_has_every_section_in_order() {
    let (kit, layouts) = graded();
    let guide = guide_of(&kit, &layouts);
    let ids: Vec<_> = guide.split("<section id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    let expected = [
        "package",
        "check",
        "print",
        "sizes",
        "map",
        "join",
        "copy-shop",
        "materials",
        "chapter-1",
        "chapter-2",
        "safety",
        "glossary",
        "help",
        "about",
    ];
    assert_eq!(ids, expected);
    for id in ids {
        assert!(guide.contains(&format!("<li><a href=\"#{id}\">")), "`{id}` is in the contents");
    }
    let text = plain(&guide);
    for words in
        ["Tansy apron", "Ploverfield Paper", "Edition 1.2.0", "20 November 2026", "© 2026 Ploverfield Paper", "8 sizes: 36, 38"]
    {
        assert!(text.contains(words), "{words}");
    }
    let body = plain(guide.split("</style>").last().unwrap().split("<script>").next().unwrap());
    assert!(!body.contains(['{', '}']), "a placeholder was left unfilled");
}

#[test]
fn pages_count_from_the_check_page() {
    let sizes: [(&str, &[usize]); 2] = [("36", &[0, 1, 2, 3, 6]), ("38", &[])];
    let guide = plain(&guide_of(&kit(&["36", "38"], GuideTexts::default()), &[layout("a4", 2, 4, &sizes)]));
    // Sheet 0 is page 2, because page 1 is the check page; all seven sheets are pages 2 to 8.
    assert!(guide.contains("3652-5,8"), "size 36, 5 sheets, its pages");
    assert!(guide.contains("all sizes72-8"), "all sizes, 7 sheets, all pages");
}

#[test]
fn sections_without_matter_are_left_out() {
    let home_only = guide_of(&kit(&[], GuideTexts::default()), &[layout("a4", 2, 2, &[("", &[0, 1, 2])])]);
    let wide_only = guide_of(&kit(&[], GuideTexts::default()), &[layout("roll-914", 1, 1, &[("", &[0])])]);
    for (guide, there, missing) in [
        (&home_only, vec!["sizes", "join"], vec!["copy-shop", "materials", "help"]),
        (&wide_only, vec!["copy-shop"], vec!["check", "map", "join"]),
    ] {
        assert!(there.iter().all(|id| guide.contains(&format!("id=\"{id}\""))));
        assert!(missing.iter().all(|id| !guide.contains(&format!("id=\"{id}\""))));
    }
    assert!(plain(&home_only).contains("one size32-4"), "one row: three sheets, pages 2 to 4");
}

#[test]
fn nothing_that_a_publisher_writes_becomes_markup() {
    let evil = "</title><script>alert(\"x\")</script><img src=x onerror='y'> & {{ t(key=1) }}";
    let text = || Some(format!("{evil}\n\n- {evil}"));
    let chapters = vec![Chapter {
        title: evil.into(),
        text: format!("{evil}\n\na {{{{ t(key=1) }}}} b"),
        file: None,
        context: "guide.chapter-1".into(),
    }];
    let guide =
        GuideTexts { introduction: text(), fabric: text(), notions: text(), help: text(), chapters, ..GuideTexts::default() };
    let mut kit = kit(&[evil], guide);
    (kit.title, kit.publisher, kit.copyright) = (evil.into(), evil.into(), evil.into());
    let made = guide_of(&kit, &[layout("a4", 2, 2, &[(evil, &[0])])]);
    assert!(
        !made.contains("<script") && !made.contains("<img") && made.matches("</title>").count() == 2,
        "own title and that of the map"
    );
    // Lines show it as written; in Markdown, where it would be refused, its tags are left out.
    assert!(plain(&made).matches(evil).count() >= 6, "{}", plain(&made).matches(evil).count());
    assert!(plain(&made).contains("a {{ t(key=1) }} b"), "no template is run");
}

#[test]
fn the_page_asks_nothing_of_the_network() {
    let (kit, layouts) = graded();
    let guide = guide_of(&kit, &layouts);
    // The script is judged by the inspector of packages; see `verify`.
    let (guide, script) = guide.split_once("<script>").unwrap();
    assert_eq!(script.split_once("</script>").unwrap().0, script::script());
    for word in ["http:", "https:", "//", "src=", "url(", "@import", "<script", "<link", "<iframe", " on"] {
        let found = guide.match_indices(word).map(|(at, _)| guide.get(at..at + 40).unwrap_or(word));
        // ` on` is looked for as an event handler: a word followed by an equals sign.
        let real: Vec<_> = found
            .filter(|text| {
                word != " on"
                    || text
                        .split(" on")
                        .nth(1)
                        .is_some_and(|rest| rest.chars().take_while(|c| !c.is_whitespace()).any(|c| c == '='))
            })
            .collect();
        assert!(real.is_empty(), "{word}: {real:?}");
    }
}

#[test]
fn the_same_kit_gives_the_same_bytes() {
    let (kit, layouts) = graded();
    assert_eq!(guide_of(&kit, &layouts), guide_of(&kit, &layouts));
}

#[test]
fn maps_must_fit_the_papers() {
    let fault = html(
        &kit(&[], GuideTexts::default()),
        &[layout("a4", 1, 1, &[])],
        &maps(&[]),
        &[],
        &english(),
        &KitWords::as_written(),
    )
    .unwrap_err();
    assert_eq!(fault.code, "guide-map");
}

/// A guide with a file for each size and with a logo.
fn with_size_files(kit: &Kit, layouts: &[Layout]) -> String {
    let homes = || layouts.iter().filter(|layout| layout.setup.paper.press == Press::Home);
    let mut files = files(layouts);
    for (layout, size) in homes().flat_map(|layout| layout.sizes.iter().map(move |size| (layout, size))) {
        let (paper, size, sheets) = (layout.setup.paper.id.clone(), size.name.clone(), size.sheets.len());
        let name = format!("tansy-apron-1.2.0-home-{paper}-size-{size}.pdf");
        files.push(PackedFile { name, kind: FileKind::HomeSize { paper, size, sheets }, language: None });
    }
    let bird = r#"<svg viewBox="0 0 40 10" role="img" aria-label="Ploverfield Paper"><path d="M0,9C9,-4 31,-4 40,9Z"/></svg>"#;
    let (homes, logo) = (homes().map(map).collect::<Vec<_>>(), Logo { html: bird.into() });
    html(kit, layouts, &Pictures { logo: Some(&logo), ..maps(&homes) }, &files, &english(), &KitWords::as_written()).unwrap()
}

/// Writes samples to the folder that `KITWRIGHT_GUIDE_SAMPLES` names, for browsers and validators to look at.
#[test]
fn samples_can_be_looked_at() {
    let (kit_graded, layouts) = graded();
    let one = layout("a4", 2, 3, &[("", &[0, 1, 2, 3, 4])]);
    let samples = [
        ("graded.html", guide_of(&kit_graded, &layouts)),
        ("size-files.html", with_size_files(&kit_graded, &layouts)),
        ("one-size.html", guide_of(&kit(&[], GuideTexts::default()), &[one])),
    ];
    assert!(samples.iter().all(|(_, guide)| guide.ends_with("</html>\n")));
    let Some(folder) = std::env::var_os("KITWRIGHT_GUIDE_SAMPLES") else { return };
    for (name, guide) in samples {
        std::fs::write(std::path::Path::new(&folder).join(name), guide).unwrap();
    }
}
