//! Sizes as findings tell of them.

use crate::manifest::Kit;

/// ` in size 34`, ` in 3 sizes, the first of them 34`, or nothing.
pub(super) fn in_sizes(kit: &Kit, sizes: &[Option<usize>]) -> String {
    let name = |size: &Option<usize>| size.and_then(|size| kit.sizes.get(size)).map(|size| size.name.as_str());
    match (sizes.iter().find_map(name), sizes.len()) {
        (None, _) => String::new(),
        (Some(size), 1) => say!("in-size", size),
        (Some(size), _) if sizes.len() == kit.sizes.len() => say!("in-all-sizes", size),
        (Some(size), count) => say!("in-some-sizes", count, size),
    }
}
