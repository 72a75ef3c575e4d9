//! Work on many texts, shared by all cores: reading is most of the time of a check.
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
    let threads = std::thread::available_parallelism()
        .map_or(1, NonZero::get)
        .min(8);
    if threads == 1 || bytes < WORTH_A_THREAD {
        return texts.iter().map(|text| make(text)).collect();
    }
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            match texts.get(index) {
                Some(file) => done.push((index, make(file))),
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
