//! Work shared by all cores: reading texts and running checks is nearly all of the time of a check.
use super::folder::TextFile;
use std::num::NonZero;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Below this many bytes a second thread costs more than it saves.
const WORTH_A_THREAD: usize = 100_000;

/// `make` of each text, in the order of the texts.
pub fn in_parallel<'a, T: Send>(
    texts: &[&'a TextFile],
    make: impl Fn(&'a TextFile) -> T + Sync,
) -> Vec<T> {
    let bytes: usize = texts
        .iter()
        .filter_map(|t| t.text.as_ref().ok())
        .map(String::len)
        .sum();
    each(texts, bytes >= WORTH_A_THREAD, |text| make(text))
}

/// `make` of each item, in the order of the items; by one core alone where the work is not `worth_threads`.
pub fn each<I: Sync, T: Send>(
    items: &[I],
    worth_threads: bool,
    make: impl Fn(&I) -> T + Sync,
) -> Vec<T> {
    let threads = std::thread::available_parallelism()
        .map_or(1, NonZero::get)
        .min(8);
    if threads == 1 || !worth_threads {
        return items.iter().map(make).collect();
    }
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            match items.get(index) {
                Some(item) => done.push((index, make(item))),
                None => return done,
            }
        }
    };
    let mut done: Vec<(usize, T)> = std::thread::scope(|scope| {
        let helpers: Vec<_> = (1..threads).map(|_| scope.spawn(work)).collect();
        let mut done = work();
        for helper in helpers {
            match helper.join() {
                Ok(more) => done.extend(more),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        done
    });
    done.sort_by_key(|(index, _)| *index);
    done.into_iter().map(|(_, made)| made).collect()
}
