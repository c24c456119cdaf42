//! Work on many elements at once, on threads of its own: the shared ones may all be waiting for a drawing to be read.

use std::sync::atomic::{AtomicUsize, Ordering};

/// Fewest elements that are worth a thread.
const FEWEST: usize = 256;
/// Elements that a thread takes at a time: so few that none is left with all the long ones.
const TAKEN: usize = 32;

/// What comes of each of many things and its index, in their order.
pub fn map<T: Sync, R: Send>(all: &[T], one: impl Fn(usize, &T) -> R + Sync) -> Vec<R> {
    let part = |(part, some): (usize, &[T])| -> (usize, Vec<R>) {
        (part, some.iter().enumerate().map(|(index, it)| one(part * TAKEN + index, it)).collect())
    };
    let threads = rayon::current_num_threads().min(all.len() / FEWEST);
    if threads < 2 {
        return all.chunks(TAKEN).enumerate().flat_map(|some| part(some).1).collect();
    }
    let (next, parts) = (AtomicUsize::new(0), all.chunks(TAKEN).collect::<Vec<_>>());
    let take = || {
        let taken = std::iter::repeat_with(|| next.fetch_add(1, Ordering::Relaxed));
        taken.map_while(|index| Some(part((index, *parts.get(index)?)))).collect::<Vec<_>>()
    };
    let mut done = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..threads).map(|_| scope.spawn(take)).collect();
        let joined =
            threads.into_iter().flat_map(|thread| thread.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        joined.collect::<Vec<_>>()
    });
    done.sort_unstable_by_key(|(part, _)| *part);
    done.into_iter().flat_map(|(_, results)| results).collect()
}

#[cfg(test)]
mod tests {
    #[test]
    fn what_comes_of_many_is_in_their_order() {
        for count in [0, 1, 511, 512, 513, 10_000] {
            let all: Vec<usize> = (0..count).map(|number| number * 7).collect();
            assert_eq!(super::map(&all, |index, number| number - index), (0..count).map(|n| n * 6).collect::<Vec<_>>());
        }
    }
}
