//! Work on many elements at once, on threads of its own: the shared ones may all be waiting for a drawing to be read.

/// Fewest elements that are worth a thread.
const FEWEST: usize = 256;

/// What comes of each of many things and its index, in their order.
pub fn map<T: Sync, R: Send>(all: &[T], one: impl Fn(usize, &T) -> R + Sync) -> Vec<R> {
    let size = all.len().div_ceil(rayon::current_num_threads()).max(FEWEST);
    let (one, size) = (&one, size);
    let part = |part: usize, some: &[T]| -> Vec<R> {
        some.iter().enumerate().map(|(index, it)| one(part * size + index, it)).collect()
    };
    if all.len() <= size {
        return part(0, all);
    }
    std::thread::scope(|scope| {
        let parts: Vec<_> =
            all.chunks(size).enumerate().map(|(number, some)| scope.spawn(move || part(number, some))).collect();
        parts.into_iter().flat_map(|part| part.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))).collect()
    })
}

#[cfg(test)]
mod tests {
    #[test]
    fn what_comes_of_many_is_in_their_order() {
        for count in [0, 1, 256, 257, 1000] {
            let all: Vec<usize> = (0..count).map(|number| number * 7).collect();
            assert_eq!(super::map(&all, |index, number| number - index), (0..count).map(|n| n * 6).collect::<Vec<_>>());
        }
    }
}
