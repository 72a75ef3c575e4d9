//! A word on standard error when work takes longer than a moment, for a person who watches and for nobody else.
use std::io::{IsTerminal, Write};
use std::sync::mpsc::{Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

/// Work shorter than this is not spoken of.
const PATIENCE: Duration = Duration::from_secs(1);

/// Work that goes on until this is dropped.
pub struct Working {
    done: Option<Sender<()>>,
    teller: Option<JoinHandle<()>>,
}

impl Working {
    /// Begins; `what` is said in the form "making the key".
    pub fn on(what: &'static str) -> Self {
        if !std::io::stderr().is_terminal() {
            return Self {
                done: None,
                teller: None,
            };
        }
        Self::telling(what, PATIENCE, std::io::stderr())
    }

    fn telling(
        what: &'static str,
        patience: Duration,
        mut to: impl Write + Send + 'static,
    ) -> Self {
        let (done, waits) = channel::<()>();
        let teller = std::thread::spawn(move || {
            // Both a message and a dropped sender mean that the work is done.
            if waits.recv_timeout(patience) == Err(std::sync::mpsc::RecvTimeoutError::Timeout) {
                let line = format!("{what} ...");
                // Nobody is harmed if these words do not arrive.
                let _ = write!(to, "{line}").and_then(|()| to.flush());
                let _ = waits.recv();
                let _ = write!(to, "\r{:1$}\r", "", line.chars().count()).and_then(|()| to.flush());
            }
        });
        Self {
            done: Some(done),
            teller: Some(teller),
        }
    }
}

impl Drop for Working {
    fn drop(&mut self) {
        drop(self.done.take());
        if let Some(teller) = self.teller.take() {
            let _ = teller.join();
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests")]
    use super::*;
    use std::sync::{Arc, Mutex};

    #[derive(Clone, Default)]
    struct Screen(Arc<Mutex<Vec<u8>>>);

    impl Write for Screen {
        fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
            self.0.lock().unwrap().extend(bytes);
            Ok(bytes.len())
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn long_work_is_told_and_the_line_wiped() {
        let screen = Screen::default();
        let working = Working::telling("making the key", Duration::ZERO, screen.clone());
        while screen.0.lock().unwrap().is_empty() {
            std::thread::yield_now();
        }
        drop(working);
        let shown = String::from_utf8(screen.0.lock().unwrap().clone()).unwrap();
        assert_eq!(shown, format!("making the key ...\r{:18}\r", ""));
    }

    #[test]
    fn short_work_is_not_spoken_of() {
        let screen = Screen::default();
        drop(Working::telling(
            "making the key",
            Duration::from_mins(1),
            screen.clone(),
        ));
        assert!(screen.0.lock().unwrap().is_empty());
    }
}
