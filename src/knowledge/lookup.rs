//! From a name that somebody typed to the id that the book uses.
use super::Knowledge;
use crate::words::{nearest, plain};
use std::fmt;

/// A kind of entry that people name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A weed.
    Weed,
    /// A lawn grass.
    Turf,
    /// An active ingredient.
    Active,
    /// A place.
    Place,
    /// A stage of the grass.
    Stage,
    /// A situation of the site or the job.
    Situation,
    /// A trait.
    Trait,
    /// A source.
    Source,
    /// A site-of-action group.
    Group,
}

impl Kind {
    /// The word for it in a sentence.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Weed => "weed",
            Self::Turf => "grass",
            Self::Active => "active",
            Self::Place => "place",
            Self::Stage => "stage of the grass",
            Self::Situation => "situation",
            Self::Trait => "trait",
            Self::Source => "source",
            Self::Group => "site-of-action group",
        }
    }

    /// What to type after `ligule knowledge list` to see all of them.
    #[must_use]
    pub fn list_word(self) -> &'static str {
        match self {
            Self::Weed => "weed",
            Self::Turf => "turf",
            Self::Active => "active",
            Self::Place => "place",
            Self::Stage => "stage",
            Self::Situation => "situation",
            Self::Trait => "trait",
            Self::Source => "source",
            Self::Group => "group",
        }
    }
}

/// A name that leads to no entry, or to more than one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownName {
    /// Kind that was asked for.
    pub kind: Kind,
    /// What was typed.
    pub typed: String,
    /// The entry that was probably meant.
    pub suggestion: Option<String>,
    /// Ids of the entries that all carry the name; nothing where none does.
    pub shared: Vec<String>,
}

impl fmt::Display for UnknownName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some((last, others)) = self.shared.split_last() {
            let others: Vec<String> = others.iter().map(|id| format!("`{id}`")).collect();
            return write!(
                f,
                "`{}` is a name of more than one {}; write the id of the one that is meant: {} or `{last}`",
                self.typed,
                self.kind.word(),
                others.join(", ")
            );
        }
        write!(
            f,
            "the book has no {} called `{}`",
            self.kind.word(),
            self.typed
        )?;
        if let Some(near) = &self.suggestion {
            write!(f, "; did you mean `{near}`?")?;
        }
        write!(
            f,
            " (`ligule knowledge list {}` lists them all)",
            self.kind.list_word()
        )
    }
}

impl std::error::Error for UnknownName {}

impl Knowledge {
    /// The id of the entry of `kind` that `typed` names: by id, name, alias or synonym, whatever the case and hyphens.
    ///
    /// # Errors
    /// No entry has that name; the error carries the nearest one. Or several have it and it is the first name of none: then
    /// taking one of them would be a guess about which plant is treated.
    pub fn find(&self, kind: Kind, typed: &str) -> Result<String, UnknownName> {
        let names = self.names(kind);
        let wanted = plain(typed);
        if kind == Kind::Group && self.ids(kind).contains(&wanted) {
            return Ok(wanted);
        }
        // Ids win over names, so that no alias can ever hide an entry; then the first name of an entry, which is its own.
        let id = names
            .iter()
            .find(|(id, name)| id == name && plain(name) == wanted);
        if let Some((id, _)) = id {
            return Ok((*id).to_owned());
        }
        let mut called: Vec<&str> = names
            .iter()
            .filter(|(_, name)| plain(name) == wanted)
            .map(|(id, _)| *id)
            .collect();
        called.dedup();
        // `names` gives the id of an entry before its names.
        let is_own = |id: &&&str| {
            let first = names.iter().filter(|(of, _)| of == *id).nth(1);
            first.is_some_and(|(_, name)| plain(name) == wanted)
        };
        let own: Vec<&&str> = called.iter().filter(is_own).collect();
        match (called.as_slice(), own.as_slice()) {
            ([id], _) => return Ok((*id).to_owned()),
            (_, [id]) => return Ok((**id).to_owned()),
            ([], _) => {}
            (shared, _) => {
                return Err(UnknownName {
                    kind,
                    typed: typed.to_owned(),
                    suggestion: None,
                    shared: shared.iter().map(|id| (*id).to_owned()).collect(),
                });
            }
        }
        let near = nearest(typed, names.iter().map(|(_, name)| *name));
        let suggestion = near.and_then(|near| {
            names
                .iter()
                .find(|(_, name)| *name == near)
                .map(|(id, _)| (*id).to_owned())
        });
        Err(UnknownName {
            kind,
            typed: typed.to_owned(),
            suggestion,
            shared: Vec::new(),
        })
    }

    /// What one of the book's taxa is called in a sentence.
    #[must_use]
    pub fn taxon_word(&self) -> &str {
        self.book.as_ref().map_or("plant", |b| &b.taxon_word)
    }

    /// What several of the book's taxa are called in a sentence.
    #[must_use]
    pub fn taxon_words(&self) -> String {
        let given = self.book.as_ref().and_then(|b| b.taxon_words.clone());
        given.unwrap_or_else(|| format!("{}s", self.taxon_word()))
    }

    /// The regions that weeds are said to be seen in, in order.
    #[must_use]
    pub fn regions(&self) -> Vec<&str> {
        let mut regions: Vec<&str> = self
            .weeds
            .values()
            .filter_map(|w| w.seen.regions.as_ref())
            .flat_map(|r| r.is.iter().map(String::as_str))
            .collect();
        regions.sort_unstable();
        regions.dedup();
        regions
    }

    /// A place and the places around it, innermost first; nothing for a place that the book does not have.
    #[must_use]
    pub fn around(&self, place: &str) -> Vec<&str> {
        let mut found: Vec<&str> = Vec::new();
        let mut next = Some(place);
        while let Some((id, place)) = next.and_then(|id| self.places.get_key_value(id)) {
            if found.contains(&id.as_str()) {
                break;
            }
            found.push(id);
            next = place.within.as_deref();
        }
        found
    }

    /// Every id of a kind, in order.
    #[must_use]
    pub fn ids(&self, kind: Kind) -> Vec<String> {
        match kind {
            Kind::Weed => self.weeds.keys().cloned().collect(),
            Kind::Turf => self.turf.keys().cloned().collect(),
            Kind::Active => self.actives.keys().cloned().collect(),
            Kind::Place => self.places.keys().cloned().collect(),
            Kind::Source => self.sources.keys().cloned().collect(),
            Kind::Stage => self.stages.iter().map(|s| s.id.clone()).collect(),
            Kind::Situation => self.situations.iter().map(|s| s.id.clone()).collect(),
            Kind::Trait => self.traits.iter().map(|t| t.id.clone()).collect(),
            Kind::Group => self.groups.iter().map(|g| g.number.to_string()).collect(),
        }
    }

    /// Pairs of id and a name that leads to it; the id itself comes first.
    fn names(&self, kind: Kind) -> Vec<(&str, &str)> {
        fn pairs<'a>(
            id: &'a str,
            names: impl Iterator<Item = &'a String>,
        ) -> Vec<(&'a str, &'a str)> {
            std::iter::once((id, id))
                .chain(names.map(move |name| (id, name.as_str())))
                .collect()
        }
        match kind {
            Kind::Weed => self
                .weeds
                .iter()
                .flat_map(|(id, w)| {
                    pairs(
                        id,
                        w.names
                            .iter()
                            .chain([&w.scientific_name])
                            .chain(w.synonyms.iter()),
                    )
                })
                .collect(),
            Kind::Turf => self
                .turf
                .iter()
                .flat_map(|(id, t)| pairs(id, t.names.iter().chain([&t.scientific_name])))
                .collect(),
            Kind::Active => self
                .actives
                .iter()
                .flat_map(|(id, a)| pairs(id, std::iter::once(&a.name).chain(a.aliases.iter())))
                .collect(),
            Kind::Place => self
                .places
                .iter()
                .flat_map(|(id, p)| pairs(id, std::iter::once(&p.name)))
                .collect(),
            Kind::Stage => self
                .stages
                .iter()
                .flat_map(|s| pairs(&s.id, std::iter::once(&s.name).chain(s.aliases.iter())))
                .collect(),
            Kind::Situation => self
                .situations
                .iter()
                .flat_map(|s| pairs(&s.id, std::iter::once(&s.name).chain(s.aliases.iter())))
                .collect(),
            Kind::Trait => self
                .traits
                .iter()
                .map(|t| (t.id.as_str(), t.id.as_str()))
                .collect(),
            Kind::Source => self
                .sources
                .keys()
                .map(|id| (id.as_str(), id.as_str()))
                .collect(),
            // Groups have numbers, no names; `find` looks them up by number.
            Kind::Group => Vec::new(),
        }
    }
}
