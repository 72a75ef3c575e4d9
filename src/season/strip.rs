//! Hours as a strip of letters for a terminal: one line a day, readable without colour.
use super::hours::{Fitness, Hours};
use std::fmt::Write as _;

/// The letter of a verdict. Dense for good, empty for bad, so that the strip reads as a picture as well.
#[must_use]
pub fn letter(fitness: Fitness) -> char {
    match fitness {
        Fitness::Best => '#',
        Fitness::Fit => '+',
        Fitness::Care => '!',
        Fitness::NotKnown => '?',
        Fitness::Stop => '.',
    }
}

/// The strip with its scale and its key. An hour that the forecast leaves out is a blank.
#[must_use]
pub fn text(hours: &Hours) -> String {
    let mut out = String::from("            0     6     12    18    \n");
    let mut line: Option<(jiff::civil::Date, [char; 24])> = None;
    let mut put = |line: &Option<(jiff::civil::Date, [char; 24])>| {
        if let Some((date, marks)) = line {
            let marks: String = marks.iter().collect();
            let _ = writeln!(out, "{date}  {}", marks.trim_end());
        }
    };
    for hour in &hours.hours {
        let date = hour.at.date();
        if line.is_none_or(|(d, _)| d != date) {
            put(&line);
            line = Some((date, [' '; 24]));
        }
        if let Some((_, marks)) = &mut line
            && let Some(mark) = usize::try_from(hour.at.hour())
                .ok()
                .and_then(|h| marks.get_mut(h))
        {
            *mark = letter(hour.fitness);
        }
    }
    put(&line);
    out.push_str("# best   + fit   ! with care   ? not known   . do not treat\n");
    out
}
