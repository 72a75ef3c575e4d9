//! Where things lie in the handbook: folders, file names, links.
use crate::knowledge::{Kind, Knowledge};

/// The folder of a kind of page; none for kinds without pages.
#[must_use]
pub fn folder(kind: Kind) -> Option<&'static str> {
    Some(match kind {
        Kind::Weed => "weeds",
        Kind::Turf => "grasses",
        Kind::Active => "actives",
        Kind::Group => "groups",
        Kind::Place => "places",
        Kind::Trait => "marks",
        Kind::Source => "sources",
        Kind::Stage | Kind::Situation => return None,
    })
}

/// Longest file stem, so that every file system takes it.
const LONGEST: usize = 80;

/// An id as a file stem that no file system and no address can misread.
///
/// Small letters, digits, `-`, `_` and `,` stay; everything else becomes `~` and its code, so that two ids never share a file,
/// not even where capitals do not count.
#[must_use]
pub fn stem(id: &str) -> String {
    use std::fmt::Write as _;
    let mut out = String::new();
    for c in id.chars() {
        match c {
            'a'..='z' | '0'..='9' | '-' | '_' | ',' => out.push(c),
            _ => {
                let _ = write!(out, "~{:x}", u32::from(c));
            }
        }
    }
    if out.len() > LONGEST {
        // The beginning for people, a number made from the whole so that long ids stay apart.
        let sum = id.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |sum, byte| {
            (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
        });
        out.truncate(LONGEST - 17);
        let _ = write!(out, "~{sum:016x}");
    }
    out
}

/// Path of an entry's page from the top of the handbook.
#[must_use]
pub fn path(kind: Kind, id: &str) -> Option<String> {
    Some(format!("{}/{}.html", folder(kind)?, stem(id)))
}

/// Path of the drawing of a state from the top of the handbook.
#[must_use]
pub fn drawing(of: &str, state: &str) -> String {
    format!("drawings/{}--{}.svg", stem(of), stem(state))
}

/// The name to show of an entry.
#[must_use]
pub fn name(book: &Knowledge, kind: Kind, id: &str) -> String {
    let name = match kind {
        Kind::Weed => book.weeds.get(id).and_then(|w| w.names.first()).cloned(),
        Kind::Turf => book.turf.get(id).and_then(|t| t.names.first()).cloned(),
        Kind::Active => book.actives.get(id).map(|a| a.name.clone()),
        Kind::Place => book.places.get(id).map(|p| p.name.clone()),
        Kind::Group => Some(format!("group {id}")),
        Kind::Trait => book
            .traits
            .iter()
            .find(|t| t.id == id)
            .map(crate::treatment::tell::trait_label),
        Kind::Source => book.sources.get(id).map(|s| s.title.clone()),
        Kind::Stage => book
            .stages
            .iter()
            .find(|s| s.id == id)
            .map(|s| s.name.clone()),
        Kind::Situation => book
            .situations
            .iter()
            .find(|s| s.id == id)
            .map(|s| s.name.clone()),
    };
    name.unwrap_or_else(|| id.to_owned())
}

/// Whether the book has the entry.
#[must_use]
pub fn exists(book: &Knowledge, kind: Kind, id: &str) -> bool {
    match kind {
        Kind::Weed => book.weeds.contains_key(id),
        Kind::Turf => book.turf.contains_key(id),
        Kind::Active => book.actives.contains_key(id),
        Kind::Place => book.places.contains_key(id),
        Kind::Source => book.sources.contains_key(id),
        Kind::Group => book.groups.iter().any(|g| g.number.to_string() == id),
        Kind::Trait => book.traits.iter().any(|t| t.id == id),
        Kind::Stage => book.stages.iter().any(|s| s.id == id),
        Kind::Situation => book.situations.iter().any(|s| s.id == id),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_ids_share_a_file_and_none_leaves_the_folder() {
        let ids = ["a", "A", "a/b", "a~2fb", "../a", "2,4-d", "a b", ".", "ä"];
        let mut stems: Vec<String> = ids.iter().map(|id| stem(id).to_lowercase()).collect();
        stems.sort();
        stems.dedup();
        assert_eq!(stems.len(), ids.len());
        assert!(stems.iter().all(|s| !s.contains(['/', '.', '\\', ' '])));
        let long = "x".repeat(300);
        assert!(stem(&long).len() <= LONGEST);
        assert_ne!(stem(&long), stem(&format!("{long}y")));
    }
}
