//! A page of the handbook as plain data: what is said, in which order, and what each statement rests on.
//!
//! The same page becomes HTML (`render`) and plain text (`text`); neither adds or drops a statement.
use serde::Serialize;

/// One page.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Page {
    /// Path of the file in the handbook, `weeds/ground-ivy.html`.
    pub path: String,
    /// What leads back to the top: `../` or nothing.
    pub up: &'static str,
    /// What the page is about, in a word or two ("Weed").
    pub kind: String,
    /// Name.
    pub title: String,
    /// Scientific name or another second line.
    pub latin: Option<String>,
    /// What stands under the title.
    pub lead: Vec<Line>,
    /// Warnings that come before everything else.
    pub warnings: Vec<Line>,
    /// The parts.
    pub sections: Vec<Section>,
    /// Whether the page can lead to spraying: then the usual cautions are printed.
    pub sprays: bool,
    /// The usual cautions.
    pub cautions: Vec<Line>,
    /// Whether something on the page rests on memory, and on practice.
    pub memory: bool,
    /// See `memory`.
    pub practice: bool,
    /// Everything cited, in the order of the numbers.
    pub cited: Vec<Cited>,
}

/// A part of a page under a heading.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Section {
    /// Name of the part in links, unique on the page.
    pub anchor: String,
    /// Heading.
    pub heading: String,
    /// A sentence under the heading that says how to read the part.
    pub note: Option<String>,
    /// What stands in it.
    pub blocks: Vec<Block>,
}

/// A piece of a part.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Block {
    /// Sentences, one a line.
    Lines {
        /// The sentences.
        lines: Vec<Line>,
    },
    /// Names and values.
    Pairs {
        /// The pairs.
        pairs: Vec<Pair>,
    },
    /// A table whose first column names the row.
    Table {
        /// Headings of the columns.
        columns: Vec<String>,
        /// Rows of cells, each with the lines in it.
        rows: Vec<Vec<Vec<Line>>>,
    },
    /// Months of the year.
    Year {
        /// One strip each.
        strips: Vec<Strip>,
    },
    /// Line drawings.
    Plates {
        /// The drawings.
        plates: Vec<Plate>,
    },
    /// Links set in columns.
    Links {
        /// The links.
        lines: Vec<Line>,
    },
}

/// A name and its value.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pair {
    /// The name.
    pub label: Span,
    /// The value.
    pub line: Line,
}

/// Twelve months with what happens in them.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Strip {
    /// What happens.
    pub label: String,
    /// For each month whether it does.
    pub months: Vec<bool>,
    /// The months in words, with marks.
    pub line: Line,
}

/// A line drawing of a trait state.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plate {
    /// Path of the drawing, from the page.
    pub source: String,
    /// What it shows.
    pub alt: String,
    /// The trait.
    pub label: String,
    /// The state.
    pub caption: Span,
}

/// A statement with its marks.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Line {
    /// A word that says what it is about.
    pub about: Option<String>,
    /// Name of the line in links.
    pub anchor: Option<String>,
    /// The words.
    pub spans: Vec<Span>,
    /// What it rests on.
    pub marks: Vec<Mark>,
}

/// Words, perhaps a link.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Span {
    /// The words.
    pub text: String,
    /// Where they lead, from the page that they stand on.
    pub to: Option<String>,
    /// What these words alone rest on, in a list of several.
    pub mark: Option<Mark>,
}

/// A mark behind a statement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Mark {
    /// `m`, `mm`, `m?`, `p`, or the number of a source.
    pub text: String,
    /// The mark in words.
    pub words: String,
    /// Whether it is a number that leads to the list of sources.
    pub number: bool,
}

/// A source that the page cites.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cited {
    /// Its number; none for memory and practice.
    pub number: Option<usize>,
    /// Title with author and year, leading to its page.
    pub span: Span,
    /// How much of it was read, in a few words.
    pub read: Option<String>,
}

impl Span {
    /// Words without a link.
    #[must_use]
    pub fn plain(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            to: None,
            mark: None,
        }
    }
}

impl Line {
    /// Words that state no fact of the trade.
    #[must_use]
    pub fn plain(text: impl Into<String>) -> Self {
        Self::of(vec![Span::plain(text)])
    }

    /// Spans without marks.
    #[must_use]
    pub fn of(spans: Vec<Span>) -> Self {
        Self {
            spans,
            ..Self::default()
        }
    }

    /// The same, about something.
    #[must_use]
    pub fn about(mut self, about: Option<&str>) -> Self {
        self.about = about.map(|a| a.replace(['-', '_'], " "));
        self
    }

    /// The words alone.
    #[must_use]
    pub fn words(&self) -> String {
        self.spans.iter().map(|s| s.text.as_str()).collect()
    }
}

impl Section {
    /// A part, if anything stands in it.
    #[must_use]
    pub fn new(heading: &str, note: Option<&str>, blocks: Vec<Block>) -> Option<Self> {
        let blocks: Vec<Block> = blocks.into_iter().filter(|b| !b.is_empty()).collect();
        (!blocks.is_empty()).then(|| Self {
            anchor: crate::words::plain(heading),
            heading: heading.to_owned(),
            note: note.map(str::to_owned),
            blocks,
        })
    }
}

impl Block {
    /// Sentences.
    #[must_use]
    pub fn lines(lines: Vec<Line>) -> Self {
        Self::Lines { lines }
    }

    fn is_empty(&self) -> bool {
        match self {
            Self::Lines { lines } | Self::Links { lines } => lines.is_empty(),
            Self::Pairs { pairs } => pairs.is_empty(),
            Self::Table { rows, .. } => rows.is_empty(),
            Self::Year { strips } => strips.is_empty(),
            Self::Plates { plates } => plates.is_empty(),
        }
    }
}
