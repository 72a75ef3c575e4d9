//! Finds the place of a value in a YAML text, so that plain structs need not carry positions.
//!
//! Only faults need positions; looking one up reads the text again, which is cheap for a rare event
//! and keeps the structs of the knowledge free of anything but knowledge.
use serde_saphyr::granit_parser::{Event, Parser, StrInput};

/// One step on the way from the top of a file to a value.
#[derive(Debug, Clone, PartialEq, Eq)]
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

/// Line and column (from 1) of the value that `steps` lead to, or of the last step that exists.
///
/// The column counts characters. A text that cannot be parsed gives the first character.
#[must_use]
pub fn locate(text: &str, steps: &[Step]) -> (usize, usize) {
    let mut walk = Walk {
        parser: Parser::new_from_str(text),
        best: (1, 1),
    };
    walk.down(steps);
    walk.best
}

struct Walk<'a> {
    parser: Parser<'a, StrInput<'a>>,
    best: (usize, usize),
}

enum Node {
    Scalar(String),
    Sequence,
    Mapping,
    End,
}

impl Walk<'_> {
    /// The next event that starts or ends a node, and where it stands.
    fn next(&mut self) -> Option<(Node, (usize, usize))> {
        loop {
            let (event, span) = self.parser.next_event()?.ok()?;
            let place = (span.start.line(), span.start.col() + 1);
            let node = match event {
                Event::Scalar(text, ..) => Node::Scalar(text.into_owned()),
                Event::Alias(_) | Event::UnresolvedAlias(_) => Node::Scalar(String::new()),
                Event::SequenceStart(..) => Node::Sequence,
                Event::MappingStart(..) => Node::Mapping,
                Event::SequenceEnd | Event::MappingEnd | Event::StreamEnd => Node::End,
                _ => continue,
            };
            return Some((node, place));
        }
    }

    /// Reads past the rest of a node that has just begun.
    fn skip(&mut self, node: &Node) -> Option<()> {
        let mut open = usize::from(matches!(node, Node::Sequence | Node::Mapping));
        while open > 0 {
            match self.next()?.0 {
                Node::Sequence | Node::Mapping => open += 1,
                Node::End => open -= 1,
                Node::Scalar(_) => {}
            }
        }
        Some(())
    }

    /// Goes on with the value that comes next.
    fn down(&mut self, steps: &[Step]) -> Option<()> {
        let (node, place) = self.next()?;
        // The value of a block mapping starts at its first key; its own key is the better place to show.
        if matches!(node, Node::Scalar(_)) || self.best == (1, 1) {
            self.best = place;
        }
        self.enter(&node, steps)
    }

    /// Goes on inside a node whose first event has been read already.
    fn enter(&mut self, node: &Node, steps: &[Step]) -> Option<()> {
        let Some((step, rest)) = steps.split_first() else {
            return Some(());
        };
        match (node, step) {
            (Node::Mapping, Step::Key(wanted)) => loop {
                let (key, place) = self.next()?;
                match &key {
                    Node::Scalar(text) if text == wanted => {
                        self.best = place;
                        return self.down(rest);
                    }
                    Node::End => return None,
                    _ => self.skip(&key)?,
                }
                let (value, _) = self.next()?;
                self.skip(&value)?;
            },
            (Node::Sequence, Step::Index(wanted)) => {
                for _ in 0..*wanted {
                    let (entry, _) = self.next()?;
                    if matches!(entry, Node::End) {
                        return None;
                    }
                    self.skip(&entry)?;
                }
                let (entry, place) = self.next()?;
                if matches!(entry, Node::End) {
                    return None;
                }
                self.best = place;
                self.enter(&entry, rest)
            }
            (Node::Scalar(_), Step::Index(0)) if rest.is_empty() => Some(()),
            _ => None,
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
}
