//! Writes statements with their marks, and keeps the list of what was cited.
use super::page::{Cited, Line, Mark, Pair, Span};
use super::place;
use crate::knowledge::fact::{plain_range, with_note};
use crate::knowledge::form::common::{Figure, Remark, Sources, Words};
use crate::knowledge::form::source::{Evidence, Source};
use crate::knowledge::verdict::Standing;
use crate::knowledge::{Kind, Knowledge};
use crate::words::and_list;

/// Writes one page.
pub struct Pen<'a> {
    /// The book.
    pub book: &'a Knowledge,
    /// From the page to the top of the handbook.
    pub up: &'static str,
    numbered: Vec<&'a str>,
    unread: Vec<&'a str>,
    memory: bool,
    practice: bool,
}

impl<'a> Pen<'a> {
    /// A pen for a page in one of the folders (`up` is `../`) or at the top (`up` is empty).
    #[must_use]
    pub fn new(book: &'a Knowledge, up: &'static str) -> Self {
        Self {
            book,
            up,
            numbered: Vec::new(),
            unread: Vec::new(),
            memory: false,
            practice: false,
        }
    }

    /// The name of an entry, leading to its page where it has one.
    #[must_use]
    pub fn link(&self, kind: Kind, id: &str) -> Span {
        self.link_as(kind, id, place::name(self.book, kind, id))
    }

    /// Words that lead to the page of an entry.
    #[must_use]
    pub fn link_as(&self, kind: Kind, id: &str, text: impl Into<String>) -> Span {
        let to = place::path(kind, id)
            .filter(|_| place::exists(self.book, kind, id))
            .map(|path| format!("{}{path}", self.up));
        Span {
            text: text.into(),
            to,
            mark: None,
        }
    }

    /// A list of entries, each leading to its page: `a, b and c`.
    #[must_use]
    pub fn links<'i>(&self, kind: Kind, ids: impl IntoIterator<Item = &'i str>) -> Vec<Span> {
        let all: Vec<Span> = ids.into_iter().map(|id| self.link(kind, id)).collect();
        joined(all, ", ")
    }

    /// Marks of a statement that rests on these sources: the weakest evidence first, then the numbers of what was read.
    pub fn marks(&mut self, sources: &[String]) -> Vec<Mark> {
        let evidence = self.book.evidence(&Sources::from(sources));
        self.marks_as(
            match evidence {
                Evidence::Published => Standing::Published,
                Evidence::Practice => Standing::Practice,
                Evidence::Memory => Standing::SingleMemory,
            },
            sources,
        )
    }

    /// Marks of a verdict, which says itself how firmly it stands.
    pub fn marks_as(&mut self, standing: Standing, sources: &[String]) -> Vec<Mark> {
        let mut marks = Vec::new();
        if sources.is_empty() {
            return marks;
        }
        marks.extend(self.letter(standing));
        for id in sources {
            let Some((id, source)) = self.book.sources.get_key_value(id) else {
                continue;
            };
            if source.evidence == Evidence::Published {
                let number = self.number(id);
                marks.push(Mark {
                    text: number.to_string(),
                    words: format!("source {number}"),
                    number: true,
                });
            } else if !self.unread.contains(&id.as_str()) {
                self.unread.push(id);
            }
        }
        marks
    }

    /// The letter of a standing; none for what was read.
    pub fn letter(&mut self, standing: Standing) -> Option<Mark> {
        let letter = match standing {
            Standing::Published => return None,
            Standing::Practice => "p",
            Standing::AgreedMemory => "mm",
            Standing::SingleMemory => "m",
            Standing::Disputed => "m?",
        };
        self.memory |= standing.is_memory();
        self.practice |= standing == Standing::Practice;
        Some(Mark {
            text: letter.to_owned(),
            words: standing.words().to_owned(),
            number: false,
        })
    }

    fn number(&mut self, id: &'a str) -> usize {
        let place = self.numbered.iter().position(|s| *s == id);
        1 + place.unwrap_or_else(|| {
            self.numbered.push(id);
            self.numbered.len() - 1
        })
    }

    /// Spans that rest on sources.
    pub fn say(&mut self, mut spans: Vec<Span>, sources: &Sources) -> Line {
        let marks = self.marks(sources);
        for span in spans.iter_mut().filter(|span| span.to.is_none()) {
            span.text = self.numbers_for_ids(&span.text, sources);
        }
        Line {
            marks,
            ..Line::of(spans)
        }
    }

    /// Notes name sources by their ids; on a page sources have numbers. An id that could be a word of the language
    /// counts only where the statement cites it.
    fn numbers_for_ids(&mut self, text: &str, cited: &[String]) -> String {
        let book = self.book;
        let mut told = String::with_capacity(text.len());
        for word in text.split_inclusive(' ') {
            let id = word.trim_matches(|c: char| !c.is_alphanumeric());
            let is_no_word = id.contains(|c: char| c == '-' || c.is_ascii_digit());
            match book.sources.get_key_value(id) {
                Some((known, source))
                    if source.evidence == Evidence::Published
                        && (is_no_word || cited.contains(known)) =>
                {
                    told.push_str(&word.replace(id, &format!("source {}", self.number(known))));
                }
                _ => told.push_str(word),
            }
        }
        told
    }

    /// Words that rest on sources.
    pub fn words(&mut self, text: impl Into<String>, sources: &Sources) -> Line {
        self.say(vec![Span::plain(text)], sources)
    }

    /// A remark of the book.
    pub fn remark(&mut self, remark: &Remark) -> Line {
        let text = with_note(&remark.text, remark.note.as_deref());
        self.words(text, &remark.source)
            .about(remark.about.as_deref())
    }

    /// Remarks of the book.
    pub fn remarks(&mut self, remarks: &[Remark]) -> Vec<Line> {
        remarks.iter().map(|r| self.remark(r)).collect()
    }

    /// A pair of a name and words, where the book has them.
    pub fn pair(&mut self, label: &str, words: Option<&Words>) -> Option<Pair> {
        let words = words?;
        let text = with_note(&and_list(&words.is), words.note.as_deref());
        Some(Pair {
            label: Span::plain(label),
            line: self.words(text, &words.source),
        })
    }

    /// A pair of a name and a figure, where the book has it.
    pub fn figure(&mut self, label: &str, unit: &str, figure: Option<&Figure>) -> Option<Pair> {
        let figure = figure?;
        let [from, to] = figure.range;
        let text = format!("{} {unit}", plain_range(from.0, to.0));
        let text = with_note(text.trim(), figure.note.as_deref());
        Some(Pair {
            label: Span::plain(label),
            line: self.words(text, &figure.source),
        })
    }

    /// Whether memory and practice were marked.
    #[must_use]
    pub fn used(&self) -> (bool, bool) {
        (self.memory, self.practice)
    }

    /// Everything cited: numbers first, then what nobody read.
    #[must_use]
    pub fn cited(&self) -> Vec<Cited> {
        let read = self.numbered.iter().enumerate().map(|(place, id)| {
            let source = &self.book.sources[*id];
            Cited {
                number: Some(place + 1),
                span: self.link_as(Kind::Source, id, described(source)),
                read: source.read.as_deref().map(gist),
            }
        });
        let unread = self.unread.iter().map(|id| Cited {
            number: None,
            span: self.link_as(Kind::Source, id, described(&self.book.sources[*id])),
            read: None,
        });
        read.chain(unread).collect()
    }
}

/// `By. Title. Publication (year).`
#[must_use]
pub fn described(source: &Source) -> String {
    let mut parts: Vec<&str> = Vec::new();
    parts.extend(source.by.as_deref());
    parts.push(&source.title);
    parts.extend(source.publication.as_deref());
    let mut text = parts
        .iter()
        .map(|p| p.trim_end_matches('.'))
        .collect::<Vec<_>>()
        .join(". ");
    if let Some(year) = source.year.as_ref().filter(|y| !y.starts_with("not shown")) {
        text = format!("{text} ({year})");
    }
    text + "."
}

/// How much was read, in its first words.
fn gist(read: &str) -> String {
    let first = read.split([';', ',', '(']).next().unwrap_or_default();
    first.trim().to_owned()
}

/// Spans with something between them.
#[must_use]
pub fn joined(spans: Vec<Span>, between: &str) -> Vec<Span> {
    let mut out = Vec::new();
    for span in spans {
        if !out.is_empty() {
            out.push(Span::plain(between));
        }
        out.push(span);
    }
    out
}
