//! The questions of the key one after another, until nothing helps any more or the user has had enough.
use super::ask::{Ask, Reply};
use anyhow::Result;
use ligule::identify::{Identification, Key, NextQuestion, Settled, percent};
use ligule::key::Answer;
use ligule::words::{or_list, plain};

/// Asks question by question. `keep` is called before every question, so that no answer is lost.
pub fn interview_lines(
    key: &mut Key<'_>,
    ask: &mut Ask<'_>,
    keep: &mut dyn FnMut(&Key<'_>) -> Result<()>,
) -> Result<Reply> {
    let mut run = Run::default();
    loop {
        keep(key)?;
        let state = key.state();
        if key.answers.given() > 0 {
            run.tell(&state, ask)?;
        }
        if run.settled_anew(&state) {
            match run.go_on(&state, key, ask)? {
                GoOn::Yes => {}
                GoOn::No => return Ok(Reply::Done),
                GoOn::Back | GoOn::Again => continue,
            }
        }
        let Some((of, put, why)) = run.question(state.next, key) else {
            return Ok(Reply::Done);
        };
        let number = run.asked.len() + 1;
        let before = run.anew.as_ref().map_or_else(String::new, |anew| {
            format!(" (you had said: {})", said(key, of, &put, &anew.answer))
        });
        let title = format!("Question {number}: {}{before}", put.question);
        match ask.pick(&title, &put, &why)? {
            Reply::Words(words) => {
                let words: Vec<&str> = words.iter().map(String::as_str).collect();
                match key.answer(&put.trait_id, &words) {
                    Ok(()) => run.answered(of),
                    Err(error) => ask.say(&format!("{error}\n"))?,
                }
            }
            Reply::Unsure => {
                key.unsure(&put.trait_id)?;
                run.answered(of);
            }
            Reply::Back => run.back(key, ask)?,
            reply @ (Reply::Done | Reply::End) => return Ok(reply),
        }
    }
}

/// What came back when enough is known to stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum GoOn {
    /// More questions.
    Yes,
    /// Stop here.
    No,
    /// Take the last answer back.
    Back,
    /// Look again at the answer that is most in doubt.
    Again,
}

/// What was asked and told so far.
#[derive(Default)]
struct Run {
    /// Traits that were answered, in order.
    asked: Vec<usize>,
    /// Warnings that were told, without their figures.
    told: Vec<String>,
    /// What was settled when the user was last asked whether to go on.
    settled: Option<Settled>,
    /// An answer that was taken back to be given anew.
    anew: Option<Anew>,
}

/// An answer that is in doubt. Until another one is given it can be had back.
struct Anew {
    of: usize,
    answer: Answer,
    /// Its place among what was asked; none where it was given before the questions began.
    place: Option<usize>,
}

impl Run {
    /// Tells what is likely so far. What can hurt and what does not fit is told at once, and once.
    fn tell(&mut self, state: &Identification, ask: &mut Ask<'_>) -> Result<()> {
        ask.say(&so_far(state))?;
        for warning in &state.warnings {
            let plain = without_figures(warning);
            if !self.told.contains(&plain) {
                ask.say(&format!("! {warning}\n"))?;
                self.told.push(plain);
            }
        }
        Ok(())
    }

    /// Whether something is settled that was not when the user was last asked.
    fn settled_anew(&mut self, state: &Identification) -> bool {
        // A chance that moved settles nothing anew.
        let now = (state.settled.name || state.settled.treatment).then(|| Settled {
            why: without_figures(&state.settled.why),
            ..state.settled.clone()
        });
        let anew = now.is_some() && now != self.settled && self.anew.is_none();
        self.settled = now;
        anew
    }

    /// Says what is settled and asks whether to go on.
    fn go_on(
        &mut self,
        state: &Identification,
        key: &mut Key<'_>,
        ask: &mut Ask<'_>,
    ) -> Result<GoOn> {
        ask.say(&format!(
            "\n{}.\n",
            ligule::words::capital(&state.settled.why)
        ))?;
        let again = state.look_again.as_ref();
        if let Some(again) = again {
            ask.say(&format!("{}\n", again.text))?;
        }
        if state.next.is_none() {
            return Ok(GoOn::No);
        }
        loop {
            let chosen = whether_on(ask, again.is_some())?;
            match (chosen, again) {
                (GoOn::Back, _) if self.asked.is_empty() => {
                    ask.say("Nothing was asked yet; nothing to take back.\n")?;
                    continue;
                }
                (GoOn::Back, _) => self.back(key, ask)?,
                (GoOn::Again, Some(again)) => self.again(&again.trait_id, key, ask)?,
                _ => {}
            }
            return Ok(chosen);
        }
    }

    /// The next question, its number among the traits, and why it is asked.
    fn question(
        &self,
        next: Option<NextQuestion>,
        key: &Key<'_>,
    ) -> Option<(usize, NextQuestion, String)> {
        if let Some(anew) = &self.anew {
            let why = "You wanted to look at this once more.".to_owned();
            return Some((anew.of, key.put_about(anew.of), why));
        }
        let put = next?;
        let of = key.book.trait_named(&put.trait_id).ok()?;
        let why = put.why.clone();
        Some((of, put, why))
    }

    fn answered(&mut self, of: usize) {
        self.anew = None;
        self.asked.push(of);
    }

    /// Takes the last step back: an answer, or that an answer was taken back.
    fn back(&mut self, key: &mut Key<'_>, ask: &mut Ask<'_>) -> Result<()> {
        if let Some(Anew { of, answer, place }) = self.anew.take() {
            key.answers.set(of, answer);
            if let Some(place) = place {
                self.asked.insert(place, of);
            }
            // Who goes back stands before the same choice as then.
            self.settled = None;
            return ask.say("Your answer stands again.\n");
        }
        match self.asked.pop() {
            Some(of) => {
                key.answers.take_back(of);
                ask.say("Taken back.\n")
            }
            None => ask.say("This is the first question; nothing to take back.\n"),
        }
    }

    /// Takes the answer to a trait back, to ask for it anew.
    fn again(&mut self, trait_id: &str, key: &mut Key<'_>, ask: &mut Ask<'_>) -> Result<()> {
        let of = key.book.trait_named(trait_id)?;
        let place = self.asked.iter().position(|asked| *asked == of);
        if let Some(place) = place {
            self.asked.remove(place);
        }
        self.anew = key
            .answers
            .take_back(of)
            .map(|answer| Anew { of, answer, place });
        ask.say("Taken back.\n")
    }
}

/// An answer in the words of its question.
fn said(key: &Key<'_>, of: usize, put: &NextQuestion, answer: &Answer) -> String {
    match answer {
        Answer::States(states) => {
            let one = &key.book.traits()[of];
            let label = |state: &String| {
                let found = put.answers.iter().find(|a| a.value == *state);
                found.map_or_else(|| state.clone(), |a| a.label.clone())
            };
            let labels: Vec<String> = states.iter().map(|&s| label(&one.states[s])).collect();
            or_list(&labels)
        }
        Answer::Number(x) => {
            let unit = put.unit.as_deref().unwrap_or_default();
            format!("{x} {unit}").trim_end().to_owned()
        }
        Answer::Unsure => "not sure".to_owned(),
    }
}

/// Whether to go on with questions; stops on an empty line and at the end of input. `again` says whether there is
/// an answer to look at again.
fn whether_on(ask: &mut Ask<'_>, again: bool) -> Result<GoOn> {
    let ways = if again { "back, again" } else { "back" };
    loop {
        let prompt = format!("Go on with questions? [y/N, {ways}] ");
        let Some(line) = ask.line(&prompt)? else {
            return Ok(GoOn::No);
        };
        match plain(&line).as_str() {
            "y" | "yes" => return Ok(GoOn::Yes),
            "n" | "no" | "done" | "quit" | "q" => return Ok(GoOn::No),
            "" if line.is_empty() => return Ok(GoOn::No),
            "back" | "b" => return Ok(GoOn::Back),
            "again" | "look-again" if again => return Ok(GoOn::Again),
            _ if again => ask.say(
                "Type y or n, back to take your last answer back, or again to look at that answer again.\n",
            )?,
            _ => ask.say("Type y or n, or back to take your last answer back.\n")?,
        }
    }
}

/// A sentence without its digits: a chance that moved makes no new warning.
fn without_figures(text: &str) -> String {
    text.chars().filter(|c| !c.is_ascii_digit()).collect()
}

fn so_far(state: &Identification) -> String {
    let mut names: Vec<String> = state
        .candidates
        .iter()
        .take(4)
        .filter(|c| c.probability >= 0.02)
        .map(|c| format!("{} {}", c.name, percent(c.probability)))
        .collect();
    names.push(format!("none of these {}", percent(state.none_of_these)));
    format!("So far: {}\n", names.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn state(treatment: bool, why: &str) -> Identification {
        Identification {
            schema: "ligule/identify/1",
            candidates: Vec::new(),
            none_of_these: 0.1,
            settled: Settled {
                name: false,
                treatment,
                why: why.to_owned(),
            },
            next: None,
            warnings: Vec::new(),
            look_again: None,
            pair: None,
        }
    }

    #[test]
    fn a_chance_that_moved_settles_nothing_anew() {
        let mut run = Run::default();
        assert!(!run.settled_anew(&state(false, "several fit")));
        assert!(run.settled_anew(&state(true, "leave it; a chance of 9 % is left")));
        assert!(!run.settled_anew(&state(true, "leave it; a chance of 12 % is left")));
        assert!(run.settled_anew(&state(true, "spray it; a chance of 12 % is left")));
    }
}
