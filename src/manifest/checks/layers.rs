//! Sizes and layers: every layer has one job only.

use super::Check;
use crate::manifest::SizeLayer;
use crate::manifest::raw::{RawManifest, RawSize};
use crate::manifest::section::{List, Section};
use crate::manifest::words::Label;
use crate::manifest::yaml::item_path;
use std::collections::BTreeMap;

/// All that a manifest says of layers.
pub struct Layers {
    /// Sizes in order.
    pub sizes: Vec<SizeLayer>,
    /// Layers printed for every size, if the manifest names them.
    pub base: Option<Vec<String>>,
    /// Layers that never reach paper.
    pub never: Vec<String>,
}

/// Which path named a layer first.
type Seen = BTreeMap<String, String>;

/// Reads sizes and layer lists.
pub fn read(check: &mut Check<'_>, raw: &RawManifest) -> Layers {
    let mut seen = Seen::new();
    let sizes = sizes(check, &raw.sizes, &mut seen);
    let base = layer_list(check, "base-layers", &raw.base_layers, &mut seen);
    let never = layer_list(check, "never-printed", &raw.never_printed, &mut seen);
    let base = (!matches!(raw.base_layers, Section::Absent)).then_some(base);
    Layers { sizes, base, never }
}

fn sizes(check: &mut Check<'_>, list: &List<RawSize>, seen: &mut Seen) -> Vec<SizeLayer> {
    let sizes = check.each("sizes", list, |_, _, size| {
        Some((size.name.0.trim().to_owned(), size.layer.0.clone(), size.shown.unwrap_or(true)))
    });
    // Layer names keep their white space: they must equal what the drawing says.
    let mut names = BTreeMap::new();
    for (index, (name, layer, _)) in &sizes {
        let path = item_path("sizes", *index);
        if names.insert(name, index).is_some() {
            check.refuse(&format!("{path}.name"), error!("size-twice", name));
        }
        once(check, format!("{path}.layer"), layer, seen);
    }
    if !sizes.is_empty() && sizes.iter().all(|(_, (_, _, shown))| !shown) {
        check.refuse("sizes", error!("sizes-hidden"));
    }
    sizes.into_iter().map(|(_, (name, layer, shown))| SizeLayer { name, layer, shown }).collect()
}

fn layer_list(check: &mut Check<'_>, key: &str, list: &List<Label>, seen: &mut Seen) -> Vec<String> {
    let layers = check.each(key, list, |_, _, layer| Some(layer.0.clone()));
    layers.iter().for_each(|(index, layer)| once(check, item_path(key, *index), layer, seen));
    layers.into_iter().map(|(_, layer)| layer).collect()
}

/// Refuses a layer that has a job already.
fn once(check: &mut Check<'_>, path: String, layer: &str, seen: &mut Seen) {
    if let Some(first) = seen.get(layer) {
        check.refuse(&path, error!("layer-twice", layer, first));
    } else {
        seen.insert(layer.to_owned(), path);
    }
}
