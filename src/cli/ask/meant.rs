//! Which choices of a list are meant by what was typed.
use super::Choice;
use ligule::words::plain;

/// The values meant by numbers and words parted by commas, or by numbers alone parted by blanks or "or".
pub(super) fn values(line: &str, choices: &[Choice]) -> Result<Vec<String>, String> {
    // A name may itself hold a comma, so the whole line is tried first.
    if let Some(value) = value(line, choices) {
        return Ok(vec![value]);
    }
    let mut all = Vec::new();
    for part in line.split(',').map(str::trim).filter(|p| !p.is_empty()) {
        if let Some(value) = value(part, choices) {
            all.push(value);
            continue;
        }
        for number in numbers(part).ok_or_else(|| part.to_owned())? {
            all.push(value(number, choices).ok_or_else(|| number.to_owned())?);
        }
    }
    Ok(all)
}

/// The numbers of `2 or 8` and `2 8`; nothing where anything else stands between them.
fn numbers(part: &str) -> Option<Vec<&str>> {
    let words = part.split_whitespace();
    let all: Vec<&str> = words.filter(|w| !w.eq_ignore_ascii_case("or")).collect();
    let plain = all.iter().all(|w| w.chars().all(|c| c.is_ascii_digit()));
    (plain && !all.is_empty()).then_some(all)
}

/// The value of a number in the list, of a name, or of the part of a label before its comma where only one begins so.
fn value(part: &str, choices: &[Choice]) -> Option<String> {
    if let Ok(number) = part.parse::<usize>() {
        return choices.get(number.checked_sub(1)?).map(|c| c.value.clone());
    }
    let wanted = plain(part);
    let whole = choices
        .iter()
        .find(|c| plain(&c.value) == wanted || plain(&c.label) == wanted);
    if let Some(choice) = whole {
        return Some(choice.value.clone());
    }
    let begins = |c: &&Choice| {
        c.label
            .split_once(',')
            .is_some_and(|(b, _)| plain(b) == wanted)
    };
    let mut found = choices.iter().filter(begins);
    match (found.next(), found.next()) {
        (Some(only), None) if !wanted.is_empty() => Some(only.value.clone()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_label_may_be_said_up_to_its_comma() {
        let choice = |value: &str, label: &str| Choice {
            value: value.into(),
            label: label.into(),
            help: None,
        };
        let choices = [
            choice("lanceolate", "lance, long and tapering"),
            choice("oblong", "oblong, with even sides"),
            choice("short-hairs", "hairy, short"),
            choice("long-hairs", "hairy, long"),
            choice("round", "round"),
            choice("disc", "round, and flat"),
        ];
        let one = |value: &str| Ok(vec![value.to_owned()]);
        assert_eq!(
            values("lance, long and tapering", &choices),
            one("lanceolate")
        );
        assert_eq!(values("Lance", &choices), one("lanceolate"));
        assert_eq!(values("round", &choices), one("round"));
        assert_eq!(
            values("lance, oblong", &choices),
            Ok(vec!["lanceolate".to_owned(), "oblong".to_owned()])
        );
        assert_eq!(values("hairy", &choices), Err("hairy".to_owned()));
        assert_eq!(
            values("lance, tapering", &choices),
            Err("tapering".to_owned())
        );
    }
}
