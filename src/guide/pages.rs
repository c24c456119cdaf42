//! Page numbers as a print dialog takes them.

/// Page numbers, from 1, as ranges ready to paste into a print dialog: `2-5,8,11-12`; order and repeats do not matter.
///
/// Two pages in a row are a range too. There is no blank between the parts, because some dialogs take none.
pub fn page_ranges(pages: &[usize]) -> String {
    let mut sorted = pages.to_vec();
    sorted.sort_unstable();
    sorted.dedup();
    let runs = sorted.chunk_by(|page, next| page + 1 == *next);
    let parts = runs.filter_map(|run| match (run.first()?, run.last()?) {
        (first, last) if first == last => Some(first.to_string()),
        (first, last) => Some(format!("{first}-{last}")),
    });
    parts.collect::<Vec<_>>().join(",")
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::collections::BTreeSet;

    // The form is that of IPP's `page-ranges` as written for `lp -o page-ranges=…` (CUPS, command-line printing).
    #[test]
    fn neighbours_are_drawn_together() {
        assert_eq!(page_ranges(&[]), "");
        assert_eq!(page_ranges(&[7]), "7");
        assert_eq!(page_ranges(&[2, 3]), "2-3");
        assert_eq!(page_ranges(&[2, 3, 4, 5, 8, 11, 12]), "2-5,8,11-12");
        assert_eq!(page_ranges(&[12, 2, 11, 3, 3, 2]), "2-3,11-12");
    }

    /// Reads ranges back, as a print dialog would.
    fn read(ranges: &str) -> BTreeSet<usize> {
        let parts = ranges.split(',').filter(|part| !part.is_empty());
        let bounds = parts.map(|part| part.split_once('-').unwrap_or((part, part)));
        bounds.flat_map(|(first, last)| first.parse().unwrap()..=last.parse().unwrap()).collect()
    }

    proptest! {
        #[test]
        fn ranges_name_the_same_pages(pages in prop::collection::vec(1_usize..60, 0..60)) {
            let ranges = page_ranges(&pages);
            prop_assert_eq!(read(&ranges), pages.into_iter().collect::<BTreeSet<_>>());
            // Nothing could be drawn together any more: between two parts at least one page is left out.
            let ends: Vec<_> = ranges.split(',').filter_map(|part| part.split('-').next_back()?.parse::<usize>().ok()).collect();
            let starts: Vec<_> = ranges.split(',').filter_map(|part| part.split('-').next()?.parse::<usize>().ok()).collect();
            prop_assert!(ends.iter().zip(starts.iter().skip(1)).all(|(end, start)| end + 1 < *start));
        }
    }
}
