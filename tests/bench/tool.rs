//! What the measuring script needs besides the program itself: made-up kits of any size, and a bare pass of an XML reader.

// A measurement that cannot go on must stop loudly, and this program reads and writes its files itself.
#![allow(clippy::disallowed_methods, clippy::expect_used, clippy::indexing_slicing, clippy::panic, clippy::print_stdout)]

mod events;
mod nest;

use nest::Nest;
use std::path::Path;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words.as_slice() {
        ["draw", folder, papers, figures @ ..] => draw(Path::new(folder), papers, figures),
        ["xml", file] => println!("{} events", events::events(&std::fs::read_to_string(file).expect("a drawing"))),
        _ => panic!("usage: tool draw FOLDER PAPERS PIECES SIZES SEGMENTS WIDTH HEIGHT | tool xml FILE"),
    }
}

/// Writes a kit into a folder.
fn draw(folder: &Path, papers: &str, figures: &[&str]) {
    let figures: Vec<usize> = figures.iter().map(|figure| figure.parse().expect("a whole number")).collect();
    let [pieces, sizes, segments, width, height] = figures[..] else { panic!("five figures are needed") };
    let nest = Nest { pieces, sizes, segments, page: (width as f64, height as f64), seed: 14 };
    std::fs::create_dir_all(folder).expect("a folder");
    std::fs::write(folder.join("nest.svg"), nest.svg()).expect("room for a drawing");
    std::fs::write(folder.join("kit.yaml"), nest.manifest(papers)).expect("room for a manifest");
}
