//! Finds the places of values in a YAML text, so that plain structs need not carry positions.
//!
//! Only findings need positions. A text with findings is read once more into a tree that holds nothing but places;
//! every path of keys is then a short walk in that tree.
use serde_saphyr::granit_parser::{Event, Parser, ScalarStyle, StrInput};

/// One step on the way from the top of a file to a value.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// Into the value of a key.
    Key(String),
    /// Into an entry of a list, from 0. A lone word counts as a list of one.
    Index(usize),
}

impl From<&str> for Step {
    fn from(key: &str) -> Self {
        Self::Key(key.to_owned())
    }
}

impl From<&String> for Step {
    fn from(key: &String) -> Self {
        Self::Key(key.clone())
    }
}

impl From<usize> for Step {
    fn from(index: usize) -> Self {
        Self::Index(index)
    }
}

/// Line and column, both from 1; the column counts characters.
type Place = (usize, usize);

/// Deepest nesting that is followed; the strict reader refuses far less.
const DEEPEST: usize = 64;

/// The places of every value of one text.
#[derive(Debug)]
pub struct Places(Node);

#[derive(Debug)]
struct Node {
    /// Where to point for this value: at the word itself, or at the key of a list or group of keys.
    at: Place,
    inside: Inside,
}

#[derive(Debug)]
enum Inside {
    Word,
    /// Nothing, `~` or `null`.
    Nothing,
    List(Vec<Node>),
    Keys(Vec<(String, Node)>),
}

impl Places {
    /// The places in a text, as far as it can be parsed.
    #[must_use]
    pub fn of(text: &str) -> Self {
        let mut reader = Reader(Parser::new_from_str(text));
        let top = reader
            .next()
            .and_then(|(node, at)| reader.node(&node, at, 0));
        Self(top.unwrap_or(Node {
            at: (1, 1),
            inside: Inside::Word,
        }))
    }

    /// Line and column of the value that `steps` lead to, or of the last step that exists.
    #[must_use]
    pub fn find(&self, steps: &[Step]) -> (usize, usize) {
        let mut here = &self.0;
        for step in steps {
            let next = match (&here.inside, step) {
                (Inside::Keys(keys), Step::Key(wanted)) => {
                    keys.iter().find(|(key, _)| key == wanted).map(|(_, n)| n)
                }
                (Inside::List(list), Step::Index(wanted)) => list.get(*wanted),
                // Anything else leads nowhere; a lone word that counts as a list of one is its own place.
                _ => None,
            };
            match next {
                Some(next) => here = next,
                None => break,
            }
        }
        here.at
    }

    /// Whether the first of `steps` leads anywhere.
    #[must_use]
    pub fn begins(&self, steps: &[Step]) -> bool {
        match (&self.0.inside, steps.first()) {
            (Inside::Keys(keys), Some(Step::Key(wanted))) => {
                keys.iter().any(|(key, _)| key == wanted)
            }
            (Inside::List(list), Some(Step::Index(wanted))) => *wanted < list.len(),
            _ => false,
        }
    }
}

impl Places {
    /// The ways to the keys that have no value.
    #[must_use]
    pub fn empty_keys(&self) -> Vec<Vec<Step>> {
        let mut found = Vec::new();
        self.0.empty_keys(&mut Vec::new(), &mut found);
        found
    }
}

impl Node {
    fn empty_keys(&self, way: &mut Vec<Step>, found: &mut Vec<Vec<Step>>) {
        match &self.inside {
            Inside::Word | Inside::Nothing => {}
            Inside::List(list) => {
                for (index, node) in list.iter().enumerate() {
                    way.push(index.into());
                    node.empty_keys(way, found);
                    way.pop();
                }
            }
            Inside::Keys(keys) => {
                for (key, node) in keys {
                    way.push(key.into());
                    if matches!(node.inside, Inside::Nothing) {
                        found.push(way.clone());
                    }
                    node.empty_keys(way, found);
                    way.pop();
                }
            }
        }
    }
}

fn is_nothing(word: &str) -> bool {
    matches!(word, "" | "~" | "null" | "Null" | "NULL")
}

/// The place of one value; see [`Places::find`].
#[must_use]
pub fn locate(text: &str, steps: &[Step]) -> (usize, usize) {
    Places::of(text).find(steps)
}

enum Piece {
    Word(String),
    Nothing,
    List,
    Keys,
    End,
}

struct Reader<'a>(Parser<'a, StrInput<'a>>);

impl Reader<'_> {
    /// The next event that starts or ends a value, and where it stands. `None` at a fault or at the end.
    fn next(&mut self) -> Option<(Piece, Place)> {
        loop {
            let (event, span) = self.0.next_event()?.ok()?;
            let place = (span.start.line(), span.start.col() + 1);
            let piece = match event {
                Event::Scalar(text, ScalarStyle::Plain, ..) if is_nothing(&text) => Piece::Nothing,
                Event::Scalar(text, ..) => Piece::Word(text.into_owned()),
                Event::Alias(_) | Event::UnresolvedAlias(_) => Piece::Word(String::new()),
                Event::SequenceStart(..) => Piece::List,
                Event::MappingStart(..) => Piece::Keys,
                Event::SequenceEnd | Event::MappingEnd | Event::StreamEnd => Piece::End,
                _ => continue,
            };
            return Some((piece, place));
        }
    }

    /// The value that begins with `piece`. A text that breaks off in the middle gives what came before.
    fn node(&mut self, piece: &Piece, at: Place, depth: usize) -> Option<Node> {
        let inside = match piece {
            Piece::End => return None,
            Piece::Word(_) => Inside::Word,
            Piece::Nothing => Inside::Nothing,
            _ if depth >= DEEPEST => {
                self.skip();
                Inside::Word
            }
            Piece::List => {
                let mut list = Vec::new();
                while let Some((piece, place)) = self.next() {
                    match self.node(&piece, place, depth + 1) {
                        Some(entry) => list.push(entry),
                        None => break,
                    }
                }
                Inside::List(list)
            }
            Piece::Keys => Inside::Keys(self.keys(depth)),
        };
        Some(Node { at, inside })
    }

    fn keys(&mut self, depth: usize) -> Vec<(String, Node)> {
        let mut keys = Vec::new();
        while let Some((key, place)) = self.next() {
            let name = match key {
                Piece::End => break,
                Piece::Word(name) => name,
                Piece::Nothing => String::new(),
                Piece::List | Piece::Keys => {
                    self.skip();
                    String::new()
                }
            };
            let value = self.next();
            let word = matches!(value, Some((Piece::Word(_), _)));
            let node = value.and_then(|(piece, at)| self.node(&piece, at, depth + 1));
            let Some(mut node) = node else {
                // The text breaks off after a key: the key itself is still a place to point at.
                let inside = Inside::Word;
                keys.push((name, Node { at: place, inside }));
                break;
            };
            // The value of a block starts at its first key; its own key is the better place to show.
            if !word {
                node.at = place;
            }
            keys.push((name, node));
        }
        keys
    }

    /// Reads past a list or group of keys that has just begun.
    fn skip(&mut self) {
        let mut open = 1_usize;
        while open > 0 {
            match self.next() {
                Some((Piece::List | Piece::Keys, _)) => open += 1,
                Some((Piece::End, _)) => open -= 1,
                Some((Piece::Word(_) | Piece::Nothing, _)) => {}
                None => return,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "names: [\u{e9}toile, star]\ntraits:\n  stem:\n    is: [round, square]\n    source: memory\nrows:\n  - {weed: a, rating: good}\n  - weed: b\n    rating: fair\n";

    fn at(steps: &[Step]) -> (usize, usize) {
        locate(TEXT, steps)
    }

    #[test]
    fn values_are_found_in_flow_and_block_style() {
        assert_eq!(at(&["names".into(), 1.into()]), (1, 17));
        assert_eq!(
            at(&["traits".into(), "stem".into(), "is".into(), 1.into()]),
            (4, 17)
        );
        assert_eq!(at(&["traits".into(), "stem".into()]), (3, 3));
        assert_eq!(
            at(&["traits".into(), "stem".into(), "source".into(), 0.into()]),
            (5, 13)
        );
        assert_eq!(at(&["rows".into(), 0.into(), "rating".into()]), (7, 23));
        assert_eq!(at(&["rows".into(), 1.into(), "weed".into()]), (8, 11));
    }

    #[test]
    fn a_path_that_leads_nowhere_gives_the_last_place_on_the_way() {
        assert_eq!(at(&["rows".into(), 1.into(), "note".into()]), (8, 5));
        assert_eq!(at(&["nothing".into()]), (1, 1));
        assert_eq!(locate("a: [1", &["a".into(), 7.into()]).0, 1);
        assert_eq!(locate("", &["a".into()]), (1, 1));
    }

    #[test]
    fn deep_nesting_is_not_followed_to_the_bottom() {
        let text = format!("a: {}", "[".repeat(100_000));
        assert_eq!(locate(&text, &["a".into()]).0, 1);
    }
}
