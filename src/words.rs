//! Small helpers for names that people type and sentences that they read.

/// A name as it is compared: lower case, everything but letters, digits and commas between digits as single hyphens.
///
/// `Three ranked`, `three_ranked` and `"three-ranked"` are the same name.
#[must_use]
pub fn plain(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    for c in name.chars() {
        if c.is_alphanumeric() {
            out.extend(c.to_lowercase());
        } else if c == '\'' || c == '’' || c == '"' {
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    while out.ends_with('-') {
        out.pop();
    }
    out
}

/// The text with its first letter large.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// The candidate that a slip of the finger most likely meant, if any is near.
///
/// Near means at most a third of the letters differ (Damerau–Levenshtein), or one is the beginning of the other.
/// Ties go to the first in alphabetical order.
#[must_use]
pub fn nearest<'a>(typed: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let typed = plain(typed);
    if typed.is_empty() {
        return None;
    }
    let candidates: Vec<&str> = candidates.into_iter().collect();
    let whole = candidates
        .iter()
        .filter_map(|&candidate| {
            let name = plain(candidate);
            let distance = strsim::damerau_levenshtein(&typed, &name);
            let allowed = typed.chars().count().max(name.chars().count()) / 3;
            let begins = typed.len() >= 3
                && name.len() >= 3
                && (name.starts_with(&typed) || typed.starts_with(&name));
            (distance <= allowed.max(1) || begins).then_some((distance, candidate))
        })
        .min();
    // Who types one word of a name of several means that name, unless the whole of another is as near.
    let by_word = candidates
        .iter()
        .filter_map(|&candidate| {
            let near = |word: &str| {
                let distance = strsim::damerau_levenshtein(&typed, word);
                (distance <= typed.chars().count() / 5).then_some(distance)
            };
            let name = plain(candidate);
            let words = name.split('-');
            let least = words.filter(|w| w.len() >= 4).filter_map(near).min()?;
            Some((least, candidate))
        })
        .min();
    let nearer = match (whole, by_word) {
        (Some(whole), Some(by_word)) if by_word.0 < whole.0 => Some(by_word),
        (whole, by_word) => whole.or(by_word),
    };
    nearer.map(|(_, candidate)| candidate)
}

/// `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn and_list<S: AsRef<str>>(items: &[S]) -> String {
    join(items, "and")
}

/// `a`, `a or b`, `a, b or c`.
#[must_use]
pub fn or_list<S: AsRef<str>>(items: &[S]) -> String {
    join(items, "or")
}

fn join<S: AsRef<str>>(items: &[S], word: &str) -> String {
    match items {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [all @ .., last] => {
            let all: Vec<&str> = all.iter().map(AsRef::as_ref).collect();
            format!("{} {word} {}", all.join(", "), last.as_ref())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_of_one_name_are_equal() {
        for typed in [
            "Three-Ranked",
            "\"three ranked\"",
            "three_ranked",
            " three  ranked ",
        ] {
            assert_eq!(plain(typed), "three-ranked");
        }
        assert_eq!(plain("shepherd's purse"), "shepherds-purse");
        assert_eq!(plain("moist/wet"), "moist-wet");
    }

    #[test]
    fn a_slip_finds_its_name_and_nonsense_finds_none() {
        let names = ["dandelion", "dallisgrass", "dollarweed"];
        assert_eq!(nearest("dandilion", names), Some("dandelion"));
        assert_eq!(nearest("dallis", names), Some("dallisgrass"));
        assert_eq!(nearest("qwertyuiop", names), None);
        assert_eq!(nearest("", names), None);
    }

    #[test]
    fn lists_read_as_english() {
        assert_eq!(and_list(&["a"]), "a");
        assert_eq!(and_list(&["a", "b", "c"]), "a, b and c");
        assert_eq!(or_list::<&str>(&[]), "");
    }
}
