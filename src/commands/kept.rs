//! Steps of a build that are remembered: sheets, plans, lays and packed files, each made from what is in its key and nothing else.

use super::store::Store;
use crate::diagnostic::{Diagnostic, FindingRecord, Findings};
use crate::drawing::Drawing;
use crate::files::Key;
use crate::manifest::Kit;
use crate::package::{self, Entry};
use crate::plan::{self, Layout};
use crate::press::{Pressed, ScaleMark};
use kurbo::Point;
use serde::Serialize;
use serde::de::DeserializeOwned;

/// A length that is promised on a page: the page, what it is, and both ends in mm.
type Mark = (usize, String, [f64; 4]);

impl Store {
    /// A pressed file that is kept.
    pub(super) fn pressed(&self, key: &Option<Key>) -> Option<Pressed> {
        let bytes = self.kept(key)?;
        let end = bytes.iter().position(|byte| *byte == b'\n')?;
        let (marks, file) = bytes.split_at_checked(end)?;
        let marks: Vec<Mark> = serde_json::from_slice(marks).ok()?;
        let promise =
            |(page, what, [x0, y0, x1, y1]): Mark| (page, ScaleMark { what, from: Point::new(x0, y0), to: Point::new(x1, y1) });
        Some(Pressed { bytes: file.get(1..)?.to_vec(), promises: marks.into_iter().map(promise).collect() })
    }

    /// Keeps a pressed file: what it promises in the first line, then its bytes.
    pub(super) fn keep_pressed(&self, key: &Option<Key>, Pressed { bytes, promises }: &Pressed) {
        let mark =
            |(page, ScaleMark { what, from, to }): &(usize, ScaleMark)| (*page, what.clone(), [from.x, from.y, to.x, to.y]);
        let marks: Vec<Mark> = promises.iter().map(mark).collect();
        if let Ok(marks) = serde_json::to_vec(&marks) {
            self.keep(key, &[&marks, b"\n".as_slice(), bytes].concat());
        }
    }

    /// The plan of a kit, with what its ink covers if that is wished, and what is to be said about it.
    pub(super) fn layouts(&self, kit: &Kit, ground: &Drawing, covered: bool) -> (Vec<Layout>, Findings) {
        // The plan tells where papers stand in the manifest, and of nothing else in it that does not go to paper.
        let kit = Kit { places: kit.places.clone(), ..kit.on_paper() };
        let places: Vec<_> = (0..kit.papers.len()).map(|index| kit.places.of_path(&format!("papers[{index}]"))).collect();
        let key = self.key("plan").map(|key| ground.keyed(key.value(&kit.on_paper()).value(&places).value(&covered)));
        let kept = self.json::<(Vec<Layout>, Vec<FindingRecord>)>(&key).and_then(|(layouts, told)| {
            let told: Option<Vec<Diagnostic>> = told.iter().map(FindingRecord::finding).collect();
            let mut findings = Findings::new();
            findings.extend(told?);
            Some((layouts, findings))
        });
        kept.unwrap_or_else(|| {
            let plan = if covered { plan::covered_layouts } else { plan::layouts };
            let (layouts, findings) = plan(&kit, ground);
            self.keep_json(&key, &(&layouts, findings.iter().map(FindingRecord::from).collect::<Vec<_>>()));
            (layouts, findings)
        })
    }

    /// An entry packed for the zip, or kept as it was packed before. What is only put into the zip is quicker done than looked up.
    pub(super) fn packed(&self, date: jiff::civil::Date, entry: &Entry) -> Result<Vec<u8>, Diagnostic> {
        let key = self.key("zip").filter(|_| package::is_packed(entry));
        let key = key.map(|key| key.value(&date).value(&entry.name).bytes(&entry.bytes));
        if let Some(kept) = self.kept(&key) {
            return Ok(kept);
        }
        let packed = package::zip_of(entry, date)?;
        self.keep(&key, &packed);
        Ok(packed)
    }

    /// A value that is kept as JSON.
    pub(super) fn json<T: DeserializeOwned>(&self, key: &Option<Key>) -> Option<T> {
        serde_json::from_slice(&self.kept(key)?).ok()
    }

    /// Keeps a value as JSON.
    pub(super) fn keep_json(&self, key: &Option<Key>, value: &impl Serialize) {
        if let Ok(bytes) = serde_json::to_vec(value) {
            self.keep(key, &bytes);
        }
    }
}
