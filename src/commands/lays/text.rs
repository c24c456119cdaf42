//! The lays for people: a table for each cloth, a line for each size and width.

use super::record::printed;
use crate::commands::kit::Loaded;
use crate::lays::packing::CLOSE;
use crate::lays::{ClothLays, LayBook, LayFigures, SeamLength, SeamLengths, SizeLays, WidthLay};
use crate::manifest::Spread;
use crate::units::Length;

/// All tables.
pub(super) fn text(loaded: &Loaded, book: &LayBook) -> String {
    let head = format!("{} {}\n", loaded.kit.title, loaded.kit.edition);
    let cloths = book.cloths.iter().map(cloth).fold(head, |text, cloth| text + "\n" + &cloth);
    [cloths, seams(&book.seams), paper(loaded)].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("\n")
}

fn cloth(cloth: &ClothLays) -> String {
    let spread = match cloth.lay {
        Spread::Open => words!("lay-open"),
        Spread::Folded => words!("lay-folded"),
    };
    let nap = if cloth.nap { words!("lay-nap") } else { words!("lay-no-nap") };
    let rule = say!("lay-rule", shrinkage = cloth.shrinkage_percent, step = cloth.round_up_mm / 10.0);
    let head = format!("{}: {spread}, {nap}\n{rule}\n", cloth.cloth);
    let columns = format!(
        "  {:<6}  {:>7}  {:>9}  {:>9}  {:>6}  {:>7}\n",
        words!("size"),
        words!("width"),
        words!("length"),
        words!("at-least"),
        words!("used"),
        words!("buy")
    );
    let lines = cloth.sizes.iter().flat_map(|size| size.widths.iter().map(move |width| line(size, width)));
    let pieces = cloth.sizes.iter().filter_map(|size| size_line(size, cloth.sizes.len()));
    head + &columns + &lines.collect::<String>() + &pieces.collect::<String>()
}

fn line(size: &SizeLays, width: &WidthLay) -> String {
    let name = if size.size.is_empty() { "all" } else { &size.size };
    let head = format!("  {name:<6}  {:>4.0} cm", width.width_mm / 10.0);
    let Some(lay) = &width.lay else { return head + "  " + words!("too-narrow") + "\n" };
    let LayFigures { length_mm, bound_mm, utilisation_percent, buy_mm, .. } = lay;
    let mark = if lay.shortest {
        words!("cannot-be-shorter").to_owned()
    } else if Length::mm(length_mm - bound_mm) <= CLOSE {
        words!("nearly-shortest").to_owned()
    } else {
        say!("lay-over", over = format_args!("{:.0}", length_mm - bound_mm))
    };
    format!("{head}  {length_mm:>6.0} mm  {bound_mm:>6.0} mm  {utilisation_percent:>4.1} %  {:>5} m  {mark}\n", buy_mm / 1000.0)
}

/// Area and weight of all pieces of a size.
fn size_line(size: &SizeLays, sizes: usize) -> Option<String> {
    let area = format!("{:.2}", size.area_mm2 / 1e6);
    let name = if sizes > 1 { &size.size } else { "all" };
    Some(
        match size.grams {
            Some(grams) => say!("lay-area-weight", name, area, grams = format_args!("{grams:.0}")),
            None => say!("lay-area", name, area),
        } + "\n",
    )
}

/// A line for each seam and size; nothing without seams.
fn seams(seams: &[SeamLengths]) -> String {
    let line = |seam: &str, size: &SeamLength| {
        let name = if size.size.is_empty() { "all" } else { &size.size };
        format!("  {seam:<20}  {name:<6}  {:>8.1} mm  {:>6.1} cm\n", size.along_mm, size.length_mm / 10.0)
    };
    let lines = seams.iter().flat_map(|seam| seam.sizes.iter().map(move |size| line(&seam.seam, size)));
    let lines = lines.collect::<String>();
    if lines.is_empty() { lines } else { words!("seam-lengths").to_owned() + "\n" + &lines }
}

/// Sheets and paper of each size.
fn paper(loaded: &Loaded) -> String {
    let papers = printed(loaded);
    let line = |paper: &str, size: &str, sheets: usize, area: f64| {
        let size = if size.is_empty() { "all" } else { size };
        format!("  {paper:<8}  {size:<6}  {sheets:>4}  {area:>6.2} m²\n")
    };
    let lines = papers
        .iter()
        .flat_map(|paper| paper.sizes.iter().map(|size| line(&paper.paper, &size.size, size.sheet_count, size.paper_m2)));
    let head = format!("  {:<8}  {:<6}  {:>4}  {}\n", words!("paper"), words!("size"), words!("sheets"), words!("area"));
    words!("paper-by-size").to_owned() + "\n" + &head + &lines.collect::<String>()
}
