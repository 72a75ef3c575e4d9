//! The one-time word that a phone gives, and the sessions of those that gave it.
use super::site::{Chance, Options, Teller};
use std::collections::VecDeque;
use std::fmt::Write as _;
use std::sync::{Mutex, PoisonError};

/// Name of the session's cookie.
pub const COOKIE_NAME: &str = "ligule";
/// Phones that stay known; the one that came first is forgotten.
const MOST_SESSIONS: usize = 32;
/// Wrong words before a new word is made. With 80 to the 6th words, guessing is hopeless.
const MOST_WRONG: u32 = 5;
const SYLLABLES: usize = 6;
const FIRST: &[u8; 16] = b"bdfghjklmnprstvz";
const SECOND: &[u8; 5] = b"aeiou";

struct Open {
    word: String,
    wrong: u32,
    sessions: VecDeque<String>,
}

/// Words and sessions.
pub struct Door {
    open: Mutex<Open>,
    chance: Chance,
    tell: Teller,
}

impl Door {
    /// A door with a first word.
    pub fn new(options: &Options) -> Self {
        let chance = options.chance.clone();
        let word = word(&chance());
        Self {
            open: Mutex::new(Open {
                word,
                wrong: 0,
                sessions: VecDeque::new(),
            }),
            chance,
            tell: options.tell.clone(),
        }
    }

    /// The word that counts now.
    pub fn word(&self) -> String {
        self.lock().word.clone()
    }

    /// Whether a session is known.
    pub fn knows(&self, session: &str) -> bool {
        // Secrets of one length are compared whole, whatever the first difference.
        self.lock()
            .sessions
            .iter()
            .any(|known| same(known, session))
    }

    /// Takes a word. The right one opens a session and is used up; too many wrong ones use it up as well.
    pub fn enter(&self, typed: &str) -> Option<String> {
        let plain: String = typed
            .chars()
            .filter(char::is_ascii_alphabetic)
            .map(|c| c.to_ascii_lowercase())
            .collect();
        let mut open = self.lock();
        let wanted: String = open.word.chars().filter(|c| *c != '-').collect();
        if same(&plain, &wanted) {
            let mut session = String::new();
            for byte in (self.chance)().into_iter().chain((self.chance)()) {
                let _ = write!(session, "{byte:02x}");
            }
            if open.sessions.len() >= MOST_SESSIONS {
                open.sessions.pop_front();
            }
            open.sessions.push_back(session.clone());
            self.renew(&mut open, "A phone came in. Word for the next one");
            return Some(session);
        }
        open.wrong += 1;
        if open.wrong >= MOST_WRONG {
            self.renew(&mut open, "Too many wrong words were given. The new word");
        }
        None
    }

    fn renew(&self, open: &mut Open, why: &str) {
        open.word = word(&(self.chance)());
        open.wrong = 0;
        (self.tell)(&format!("{why}: {}", open.word));
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Open> {
        self.open.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn same(one: &str, other: &str) -> bool {
    one.len() == other.len()
        && one
            .bytes()
            .zip(other.bytes())
            .fold(0, |differs, (a, b)| differs | (a ^ b))
            == 0
}

/// A word that can be said over the fence: `tola-kemi-rasu`.
fn word(chance: &[u8; 16]) -> String {
    let mut word = String::new();
    for (place, pair) in chance.chunks(2).take(SYLLABLES).enumerate() {
        if place > 0 && place % 2 == 0 {
            word.push('-');
        }
        word.push(char::from(FIRST[usize::from(pair[0] % 16)]));
        word.push(char::from(SECOND[usize::from(pair[1] % 5)]));
    }
    word
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;
    use std::sync::atomic::{AtomicU8, Ordering};

    fn door() -> Door {
        let next = Arc::new(AtomicU8::new(1));
        Door::new(&Options {
            folder: std::path::PathBuf::new(),
            hosts: Vec::new(),
            word_needed: true,
            today: Arc::new(|| jiff::civil::date(2026, 5, 9)),
            chance: Arc::new(move || [next.fetch_add(1, Ordering::Relaxed).wrapping_mul(37); 16]),
            tell: Arc::new(|_| {}),
        })
    }

    #[test]
    fn a_word_opens_one_session_and_no_second_one() {
        let door = door();
        let word = door.word();
        let session = door.enter(&word.to_uppercase()).expect("the right word");
        assert_eq!(session.len(), 64);
        assert!(door.knows(&session) && !door.knows("") && !door.knows(&session[1..]));
        assert_eq!(door.enter(&word), None);
        assert_ne!(door.word(), word);
    }

    #[test]
    fn guessing_uses_the_word_up() {
        let door = door();
        let word = door.word();
        for _ in 0..MOST_WRONG {
            assert_eq!(door.enter("bababababa"), None);
        }
        assert_eq!(door.enter(&word), None);
    }
}
