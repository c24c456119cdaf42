//! How lines and fills are printed.

use super::Check;
use crate::diagnostic::{Diagnostic, counted};
use crate::inking::MOST_SIZES;
use crate::manifest::kit::{Inking, SizeLines, SizeNames};
use crate::manifest::raw::RawManifest;

/// Reads the three keys; names stand along lines that are distinct, unless the manifest says otherwise.
pub fn read(check: &mut Check<'_>, raw: &RawManifest, size_count: usize) -> Inking {
    let size_lines = check.optional("size-lines", &raw.size_lines, |lines| few_enough(*lines, size_count)).unwrap_or_default();
    let size_names = check.optional("size-names", &raw.size_names, |names| Ok(*names));
    let fills = check.optional("fills", &raw.fills, |fills| Ok(*fills)).unwrap_or_default();
    let usual = match size_lines {
        SizeLines::AsDrawn => SizeNames::AsDrawn,
        SizeLines::Distinct => SizeNames::AlongLines,
    };
    Inking { size_lines, size_names: size_names.unwrap_or(usual), fills }
}

fn few_enough(lines: SizeLines, size_count: usize) -> Result<SizeLines, Diagnostic> {
    if lines == SizeLines::Distinct && size_count > MOST_SIZES {
        let sizes = counted(size_count, "size");
        return Err(error!("size-lines-many", sizes, most = MOST_SIZES));
    }
    Ok(lines)
}
