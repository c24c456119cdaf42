//! How much cloth to buy, in a table for each cloth, and pictures of how the pieces lie on it.

use super::lengths::{cm_inches, metres_yards};
use super::own::Own;
use crate::catalogue::{KitWords, Messages};
use crate::lays::{ClothLays, LayBook, LayFigures, SizeLays, WidthLay};
use crate::manifest::{Kit, Spread};
use crate::press::{LayPicture, lay_file, lay_picture};
use crate::units::Length;
use serde::Serialize;

/// A cloth in a guide; texts that end in `_html` are HTML.
#[derive(Debug, Serialize)]
pub struct ClothView {
    name_html: String,
    what_html: Option<String>,
    /// Widths, as heads of the table.
    widths: Vec<String>,
    rows: Vec<BuyLine>,
    /// How the lengths were found.
    rule: String,
    /// What all pieces weigh, if the publisher tells of the cloth.
    weight: Option<String>,
    /// How the cloth lies, a sentence each.
    about: Vec<String>,
    /// What each number in the pictures stands for.
    pieces_html: Vec<String>,
    plans: Vec<SizePlans>,
}

/// What is bought for a size.
#[derive(Debug, Serialize)]
struct BuyLine {
    size: String,
    lengths: Vec<String>,
}

/// The lays of a size.
#[derive(Debug, Serialize)]
struct SizePlans {
    /// Its heading; empty in a kit of one size.
    title: String,
    pictures: Vec<Plan>,
}

#[derive(Debug, Serialize)]
struct Plan {
    /// Trusted markup; none where the cloth is too narrow.
    svg: Option<String>,
    caption: String,
}

/// All cloths of a kit in one language.
pub fn cloths(kit: &Kit, book: Option<&LayBook>, own: &Own<'_>, messages: &Messages) -> Vec<ClothView> {
    let lays = book.map(|book| book.cloths.as_slice()).unwrap_or_default();
    let view = |(index, cloth): (usize, &ClothLays)| ClothView::new(index, cloth, kit, own, messages);
    lays.iter().enumerate().map(view).collect()
}

/// A picture of each lay as a file, with a word for its name, in the language of the messages.
pub fn lay_pictures(book: &LayBook, messages: &Messages, words: &KitWords) -> Vec<(String, String)> {
    let mut files = Vec::new();
    for (number, cloth) in (1..).zip(&book.cloths) {
        for (index, size) in cloth.sizes.iter().enumerate() {
            let names: Vec<String> = size.pieces.iter().map(|it| words.say(PIECES, &it.piece).or(&it.piece)).collect();
            for width in &cloth.sizes.get(index).map(|size| size.widths.clone()).unwrap_or_default() {
                let drawn = Drawn { cloth, size, width, names: &names, id: "lay".into(), messages };
                let what = format!("{number}-{}-{:.0}", plain_name(size, index), width.width_mm / 10.0);
                files.extend(drawn.with(lay_file).map(|svg| (what, svg)));
            }
        }
    }
    files
}

/// By what names of pieces and cloths are known to translators.
const PIECES: &str = "guide.cutting-list";
const CLOTHS: &str = "guide.fabric-table";

/// A size as it can stand in a file name: by its name if that has nothing but letters and digits, else by number.
fn plain_name(size: &SizeLays, index: usize) -> String {
    let plain = !size.size.is_empty() && size.size.chars().all(|sign| sign.is_ascii_alphanumeric());
    if plain { size.size.to_lowercase() } else { format!("no-{}", index + 1) }
}

impl ClothView {
    fn new(index: usize, cloth: &ClothLays, kit: &Kit, own: &Own<'_>, messages: &Messages) -> Self {
        let told = kit.cloths.iter().find(|told| told.name == cloth.cloth);
        let widths = cloth.sizes.first().map(|size| size.widths.as_slice()).unwrap_or_default();
        let wide =
            |width: &WidthLay| messages.text("guide.lays.wide", &[("width", &cm_inches(Length::mm(width.width_mm), messages))]);
        let pieces = cloth.sizes.first().map(|size| size.pieces.as_slice()).unwrap_or_default();
        Self {
            name_html: own.line(CLOTHS, &cloth.cloth),
            what_html: told.and_then(|told| told.what.as_ref()).map(|what| own.line(CLOTHS, what)),
            widths: widths.iter().map(wide).collect(),
            rows: cloth.sizes.iter().map(|size| BuyLine::new(size, messages)).collect(),
            rule: rule(cloth, messages),
            weight: weight(cloth, messages),
            about: about(cloth, messages),
            pieces_html: pieces.iter().map(|piece| own.line(PIECES, &piece.piece)).collect(),
            plans: cloth.sizes.iter().enumerate().map(|it| SizePlans::new((index, cloth), it, own, messages)).collect(),
        }
    }
}

/// How lengths come about: from lays, with shrinkage, rounded up.
fn rule(cloth: &ClothLays, messages: &Messages) -> String {
    let step = cm_inches_of_step(cloth, messages);
    if cloth.shrinkage_percent == 0.0 {
        return messages.text("guide.lays.rule", &[("step", &step)]);
    }
    let percent = cloth.shrinkage_percent.to_string().replace('.', &messages.text("format.decimal", &[]));
    messages.text("guide.lays.rule.shrinkage", &[("step", &step), ("percent", &percent)])
}

fn cm_inches_of_step(cloth: &ClothLays, messages: &Messages) -> String {
    let cm = (cloth.round_up_mm.round() / 10.0).to_string().replace('.', &messages.text("format.decimal", &[]));
    messages.text("format.cm-yd", &[("cm", &cm), ("yards", "⅛")])
}

/// What all pieces weigh, to ten grams: in the first size and in the last one.
fn weight(cloth: &ClothLays, messages: &Messages) -> Option<String> {
    let (first, last) = (cloth.sizes.first()?, cloth.sizes.last()?);
    let tens = |size: &SizeLays| Some(format!("{:.0}", (size.grams? / 10.0).round().max(1.0) * 10.0));
    let (least, most) = (tens(first)?, tens(last)?);
    if cloth.sizes.len() < 2 {
        return Some(messages.text("guide.lays.weight", &[("grams", &least)]));
    }
    let sizes = [("least", &*least), ("most", &*most), ("first", &*first.size), ("last", &*last.size)];
    Some(messages.text("guide.lays.weight.range", &sizes))
}

/// How the cloth lies, and what the pictures show.
fn about(cloth: &ClothLays, messages: &Messages) -> Vec<String> {
    let lays = || cloth.sizes.iter().flat_map(|size| &size.widths).filter_map(|width| width.lay.as_ref());
    let places = || lays().flat_map(|lay| &lay.places);
    let pieces = || cloth.sizes.iter().flat_map(|size| &size.pieces);
    let keys = [
        ("guide.lays.open", cloth.lay == Spread::Open),
        ("guide.lays.folded", cloth.lay == Spread::Folded),
        ("guide.lays.whole", cloth.lay == Spread::Open && pieces().any(|piece| piece.on_fold)),
        ("guide.lays.nap", cloth.nap),
        ("guide.lays.mirrored", places().any(|place| place.mirrored)),
        ("guide.lays.single", places().any(|place| place.single)),
    ];
    keys.into_iter().filter(|(_, is)| *is).map(|(key, _)| messages.text(key, &[])).collect()
}

impl BuyLine {
    fn new(size: &SizeLays, messages: &Messages) -> Self {
        let length = |width: &WidthLay| match &width.lay {
            Some(lay) => metres_yards(Length::mm(lay.buy_mm), lay.buy_eighths_of_yard, messages),
            None => messages.text("guide.lays.narrow", &[]),
        };
        let name = if size.size.is_empty() { messages.text("guide.sizes.one", &[]) } else { size.size.clone() };
        Self { size: name, lengths: size.widths.iter().map(length).collect() }
    }
}

impl SizePlans {
    fn new(
        (number, cloth): (usize, &ClothLays),
        (index, size): (usize, &SizeLays),
        own: &Own<'_>,
        messages: &Messages,
    ) -> Self {
        let names: Vec<String> = size.pieces.iter().map(|piece| own.plain(PIECES, &piece.piece)).collect();
        let plan = |(place, width): (usize, &WidthLay)| {
            let id = format!("{}-{}-{}", number + 1, index + 1, place + 1);
            let drawn = Drawn { cloth, size, width, names: &names, id, messages };
            Plan { svg: drawn.with(lay_picture), caption: drawn.caption() }
        };
        let title = |name: &str| messages.text("guide.lays.size", &[("size", name)]);
        Self {
            title: if size.size.is_empty() { String::new() } else { title(&size.size) },
            pictures: size.widths.iter().enumerate().map(plan).collect(),
        }
    }
}

/// A lay on its way into a picture.
struct Drawn<'a> {
    cloth: &'a ClothLays,
    size: &'a SizeLays,
    width: &'a WidthLay,
    names: &'a [String],
    id: String,
    messages: &'a Messages,
}

impl Drawn<'_> {
    fn with(&self, draw: impl Fn(&LayPicture) -> Option<String>) -> Option<String> {
        let lay = self.width.lay.as_ref()?;
        let (across, length) = (self.across(), self.length(lay));
        let key = if self.size.size.is_empty() { "guide.lays.picture" } else { "guide.lays.picture.size" };
        let title = self.messages.text(key, &[("width", &across), ("length", &length), ("size", &self.size.size)]);
        let Self { cloth, size, width, names, id, .. } = self;
        let direction = self.messages.direction().html();
        draw(&LayPicture { cloth, size, width, names, id, title: &title, length: &length, across: &across, direction })
    }

    fn across(&self) -> String {
        cm_inches(Length::mm(self.width.width_mm), self.messages)
    }

    fn length(&self, lay: &LayFigures) -> String {
        cm_inches(Length::mm(lay.length_mm), self.messages)
    }

    /// What stands below the picture: width and length, how much of the cloth is used, how far from the best there is.
    fn caption(&self) -> String {
        let (across, messages) = (self.across(), self.messages);
        let Some(lay) = &self.width.lay else { return messages.text("guide.lays.too-narrow", &[("width", &across)]) };
        let head = messages.text("guide.lays.caption", &[("width", &across), ("length", &self.length(lay))]);
        let used = messages.text("guide.lays.used", &[("percent", &format!("{:.0}", lay.utilisation_percent))]);
        let bound = cm_inches(Length::mm(lay.bound_mm), messages);
        let best = match lay.shortest {
            true => messages.text("guide.lays.shortest", &[]),
            false => messages.text("guide.lays.bound", &[("length", &bound)]),
        };
        [head, used, best].join(" ")
    }
}
