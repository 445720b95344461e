//! Work in several threads.

use std::sync::atomic::{AtomicUsize, Ordering};

/// What `work` makes of each item, in their order, in as many threads as the machine has cores.
/// Items for which `stop` came first are left out.
pub(crate) fn in_threads<T: Sync, R: Send>(
    items: &[T],
    stop: &(dyn Fn() -> bool + Sync),
    work: impl Fn(&T) -> R + Sync,
) -> Vec<R> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from).min(items.len());
    let next = AtomicUsize::new(0);
    let some = || {
        let places = std::iter::from_fn(|| {
            let place = next.fetch_add(1, Ordering::Relaxed);
            Some((place, items.get(place)?))
        });
        let places = places.take_while(|_| !stop());
        places.map(|(place, item)| (place, work(item))).collect::<Vec<_>>()
    };
    let mut found = std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(some)).collect();
        let mut found = some();
        for other in others {
            match other.join() {
                Ok(more) => found.extend(more),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        found
    });
    found.sort_by_key(|(place, _)| *place);
    found.into_iter().map(|(_, found)| found).collect()
}
