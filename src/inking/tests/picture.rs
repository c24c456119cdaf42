//! The picture of the twenty lines in the manual is made from the lines themselves; `KITWRIGHT_UPDATE=1` draws it anew.

use crate::inking::{MOST_SIZES, pattern};

const PATH: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/images/size-lines.svg");

fn picture() -> String {
    let line = |size: usize| {
        let (stroke, column, row) = (pattern(size), size / 10, size % 10);
        let (x, y) = (12 + column * 80, 6 + row * 6);
        let dashes: Vec<String> = stroke.dash_pattern.iter().map(f64::to_string).collect();
        let dashes = if dashes.is_empty() { "none".to_owned() } else { dashes.join(" ") };
        format!(
            "<text stroke=\"none\" x=\"{}\" y=\"{}\">{}</text><path d=\"M{x} {y}h60\" stroke-width=\"{}\" stroke-dasharray=\"{dashes}\"/>\n",
            x - 3,
            y + 1,
            size + 1,
            stroke.width
        )
    };
    let lines: String = (0..MOST_SIZES).map(line).collect();
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"160mm\" height=\"66mm\" viewBox=\"0 0 160 66\" role=\"img\" aria-labelledby=\"t\">\n\
         <title id=\"t\">Twenty lines by dash and weight, numbered 1 to 20</title>\n<rect width=\"160\" height=\"66\" fill=\"#fff\"/>\n\
         <g stroke=\"#000\" font-family=\"sans-serif\" font-size=\"3\" text-anchor=\"end\">\n{lines}</g>\n</svg>\n"
    )
}

#[test]
fn the_manual_shows_the_lines_as_they_are() {
    let picture = picture();
    if std::env::var_os("KITWRIGHT_UPDATE").is_some_and(|value| value == "1") {
        std::fs::write(PATH, &picture).unwrap();
    }
    let committed = std::fs::read_to_string(PATH).unwrap_or_default().replace("\r\n", "\n");
    assert!(committed == picture, "run the tests with KITWRIGHT_UPDATE=1 and commit the new picture");
}
