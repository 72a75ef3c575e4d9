//! Who may be connected: so many at once, and when there is no seat left the one that waits longest without asking
//! anything gives way, so that idle connections never keep a phone out.
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use tokio::sync::Notify;

/// Connections at once. Far more than phones in a yard, far fewer than the files that a system lets a program open.
pub const MOST: usize = 384;

/// What a connection and the list of seats share.
#[derive(Default)]
pub struct Seat {
    /// Whether a page is being made for it.
    pub busy: AtomicBool,
    /// Told when it has to give way.
    pub go: Notify,
}

#[derive(Default)]
struct Taken {
    next: u64,
    by: BTreeMap<u64, Arc<Seat>>,
}

/// All seats.
#[derive(Clone, Default)]
pub struct Seats(Arc<Mutex<Taken>>);

/// A seat that is given back when it is dropped.
pub struct Held {
    seats: Seats,
    number: u64,
    /// The seat.
    pub seat: Arc<Seat>,
}

impl Seats {
    /// A seat for a new connection; nothing where everybody is being served right now.
    pub fn take(&self) -> Option<Held> {
        let mut taken = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if taken.by.len() >= MOST {
            let idle = taken
                .by
                .iter()
                .find(|(_, seat)| !seat.busy.load(Ordering::Acquire))
                .map(|(number, _)| *number)?;
            if let Some(seat) = taken.by.remove(&idle) {
                seat.go.notify_one();
            }
        }
        let number = taken.next;
        taken.next += 1;
        let seat = Arc::new(Seat::default());
        taken.by.insert(number, Arc::clone(&seat));
        Some(Held {
            seats: self.clone(),
            number,
            seat,
        })
    }
}

impl Drop for Held {
    fn drop(&mut self) {
        let mut taken = self.seats.0.lock().unwrap_or_else(PoisonError::into_inner);
        taken.by.remove(&self.number);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_idle_gives_way_and_the_busy_stay() {
        let seats = Seats::default();
        let mut held: Vec<Held> = (0..MOST).map(|_| seats.take().expect("room")).collect();
        for one in &held[1..] {
            one.seat.busy.store(true, Ordering::Release);
        }
        assert!(seats.take().is_some(), "the idle one gave way");
        assert!(seats.take().is_some(), "the new one is idle itself");
        held.truncate(1);
        assert_eq!(seats.0.lock().expect("whole").by.len(), 1 - 1);
    }
}
