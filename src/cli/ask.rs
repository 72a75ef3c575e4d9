//! Questions in plain lines: they work at a terminal, over a pipe, over ssh and with a screen reader.
mod meant;

use anyhow::Result;
use ligule::identify::NextQuestion;
use ligule::words::{nearest, plain};
use meant::values;
use std::fmt::Write as _;
use std::io::{BufRead, Write};

/// What came back to a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reply {
    /// Words that were typed or the values of the numbers that were typed.
    Words(Vec<String>),
    /// Not sure.
    Unsure,
    /// Take the last answer back.
    Back,
    /// Enough.
    Done,
    /// The input ended.
    End,
}

/// One choice in a list.
pub struct Choice {
    /// What is handed on.
    pub value: String,
    /// What is read.
    pub label: String,
    /// More about it, shown on `?`.
    pub help: Option<String>,
}

/// Where questions go and answers come from.
pub struct Ask<'a> {
    input: &'a mut dyn BufRead,
    output: &'a mut dyn Write,
}

impl<'a> Ask<'a> {
    pub fn new(input: &'a mut dyn BufRead, output: &'a mut dyn Write) -> Self {
        Self { input, output }
    }

    /// Prints.
    pub fn say(&mut self, text: &str) -> Result<()> {
        self.output.write_all(super::style::out(text).as_bytes())?;
        self.output.flush()?;
        Ok(())
    }

    /// One line, trimmed; `None` at the end of input. A byte that is no text spoils its own word and nothing else.
    pub fn line(&mut self, prompt: &str) -> Result<Option<String>> {
        self.say(prompt)?;
        let mut line = Vec::new();
        if self.input.read_until(b'\n', &mut line)? == 0 {
            self.say("\n")?;
            return Ok(None);
        }
        Ok(Some(String::from_utf8_lossy(&line).trim().to_owned()))
    }

    /// Yes or no; `default` on an empty line and at the end of input.
    pub fn yes(&mut self, question: &str, default: bool) -> Result<bool> {
        let hint = if default { "Y/n" } else { "y/N" };
        loop {
            let Some(line) = self.line(&format!("{question} [{hint}] "))? else {
                return Ok(default);
            };
            match line.to_lowercase().as_str() {
                "" => return Ok(default),
                "y" | "yes" => return Ok(true),
                "n" | "no" => return Ok(false),
                _ => self.say("Please answer y or n.\n")?,
            }
        }
    }

    /// A question of the key.
    pub fn pick(&mut self, title: &str, put: &NextQuestion, why: &str) -> Result<Reply> {
        if let Some(unit) = &put.unit {
            return self.measure(title, &put.help, unit, why);
        }
        let choices: Vec<Choice> = put
            .answers
            .iter()
            .map(|a| Choice {
                value: a.value.clone(),
                label: a.label.clone(),
                help: a.help.clone(),
            })
            .collect();
        self.choose(title, &put.help, &choices, Some(why))
    }

    /// A question with a list of answers. Several numbers or words, parted by commas, mean any of them.
    pub fn choose(
        &mut self,
        title: &str,
        help: &str,
        choices: &[Choice],
        why: Option<&str>,
    ) -> Result<Reply> {
        let mut text = format!("\n{title}\n");
        for (index, choice) in choices.iter().enumerate() {
            let _ = writeln!(text, "  {:>2}  {}", index + 1, choice.label);
        }
        self.say(&text)?;
        let unsure = "not sure";
        loop {
            let prompt = if why.is_some() {
                "number, n not sure, ? help, why, back, done: "
            } else {
                "number or name, n not sure, ? help, back: "
            };
            let Some(line) = self.line(prompt)? else {
                return Ok(Reply::End);
            };
            match plain(&line).as_str() {
                "" if line == "?" => self.explain(help, choices)?,
                "" => self.say("Type a number from the list, or n for not sure.\n")?,
                "n" | "not-sure" | "unsure" | "unknown" => return Ok(Reply::Unsure),
                "help" => self.explain(help, choices)?,
                "why" => self.say(&format!(
                    "{}\n",
                    why.unwrap_or("The tool needs it to choose what is safe.")
                ))?,
                "back" | "b" => return Ok(Reply::Back),
                "done" | "quit" | "q" => return Ok(Reply::Done),
                _ => match values(&line, choices) {
                    Ok(values) => return Ok(Reply::Words(values)),
                    Err(wrong) => {
                        let labels = choices
                            .iter()
                            .flat_map(|c| [c.value.as_str(), c.label.as_str()]);
                        let near = nearest(&wrong, labels.chain([unsure]));
                        let meant = near.map_or(String::new(), |n| format!(" Did you mean `{n}`?"));
                        self.say(&format!("`{wrong}` is not in the list.{meant}\n"))?;
                    }
                },
            }
        }
    }

    /// A question that is answered with a number. What the words come to the key decides.
    fn measure(&mut self, title: &str, help: &str, unit: &str, why: &str) -> Result<Reply> {
        self.say(&format!("\n{title}\n"))?;
        let (named, number) = match unit {
            "" => ("number", "a number".to_owned()),
            "mm" => (
                "mm (or 1/4 in)",
                "a measure, such as 6 or 1/4 in".to_owned(),
            ),
            _ => (unit, format!("a number of {unit}")),
        };
        loop {
            let Some(line) =
                self.line(&format!("{named}, n not sure, ? help, why, back, done: "))?
            else {
                return Ok(Reply::End);
            };
            match plain(&line).as_str() {
                "" if line == "?" => self.say(&format!("{help}\n"))?,
                "" => self.say(&format!("Type {number}, or n for not sure.\n"))?,
                "n" | "not-sure" | "unsure" | "unknown" => return Ok(Reply::Unsure),
                "help" => self.say(&format!("{help}\n"))?,
                "why" => self.say(&format!("{why}\n"))?,
                "back" | "b" => return Ok(Reply::Back),
                "done" | "quit" | "q" => return Ok(Reply::Done),
                _ => return Ok(Reply::Words(vec![line])),
            }
        }
    }

    fn explain(&mut self, help: &str, choices: &[Choice]) -> Result<()> {
        let mut text = format!("{help}\n");
        for (index, choice) in choices.iter().enumerate() {
            if let Some(more) = &choice.help {
                let _ = writeln!(text, "  {:>2}  {}: {more}", index + 1, choice.label);
            }
        }
        text.push_str(
            "You may also give two answers with a comma (either of them), or type a value.\n",
        );
        self.say(&text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(typed: &str) -> (Reply, String) {
        let choices = vec![
            Choice {
                value: "round".into(),
                label: "round".into(),
                help: Some("like a wire".into()),
            },
            Choice {
                value: "square".into(),
                label: "square".into(),
                help: None,
            },
        ];
        let mut input = typed.as_bytes();
        let mut output = Vec::new();
        let reply = Ask::new(&mut input, &mut output)
            .choose(
                "What is the stem like?",
                "Roll it.",
                &choices,
                Some("It tells most."),
            )
            .expect("writing to memory");
        (reply, String::from_utf8(output).expect("text"))
    }

    #[test]
    fn numbers_words_and_both_are_answers() {
        assert_eq!(run("2\n").0, Reply::Words(vec!["square".into()]));
        assert_eq!(run("Round\n").0, Reply::Words(vec!["round".into()]));
        assert_eq!(
            run("1, square\n").0,
            Reply::Words(vec!["round".into(), "square".into()])
        );
    }

    #[test]
    fn either_can_be_said_with_or_a_blank_or_a_comma() {
        let both = Reply::Words(vec!["round".into(), "square".into()]);
        for typed in ["1 or 2\n", "1 2\n", "1  OR 2\n", "1,2\n", "round, 2\n"] {
            assert_eq!(run(typed).0, both, "{typed}");
        }
        for (typed, wrong) in [
            ("1 or 7\nn\n", "`7` is not"),
            ("1 x 2\nn\n", "`1 x 2` is not"),
            ("or\nn\n", "`or` is not"),
        ] {
            let (reply, shown) = run(typed);
            assert_eq!(reply, Reply::Unsure, "{typed}");
            assert!(shown.contains(wrong), "{shown}");
        }
    }

    #[test]
    fn a_byte_that_is_no_text_spoils_one_word_only() {
        let mut input: &[u8] = b"caf\xe9\nback\n";
        let mut output = Vec::new();
        let mut ask = Ask::new(&mut input, &mut output);
        let first = ask.line("").expect("it is read").expect("there is a line");
        assert_eq!(first, "caf\u{fffd}");
        assert_eq!(ask.line("").expect("it is read"), Some("back".to_owned()));
    }

    #[test]
    fn a_measure_is_handed_on_as_it_was_typed() {
        for (unit, typed, prompt) in [
            ("mm", "1 1/2 in\n", "mm (or 1/4 in), n not"),
            ("mm", "5 – 10 mm\n", "mm (or 1/4 in), n not"),
            ("flowers", "20\n", "flowers, n not"),
            ("", "1,5\n", "number, n not"),
        ] {
            let mut input = typed.as_bytes();
            let mut output = Vec::new();
            let reply = Ask::new(&mut input, &mut output)
                .measure("How wide?", "Measure.", unit, "It tells most.")
                .expect("writing to memory");
            assert_eq!(reply, Reply::Words(vec![typed.trim().into()]));
            assert!(String::from_utf8(output).expect("text").contains(prompt));
        }
    }

    #[test]
    fn help_why_slips_and_the_end_are_understood() {
        let (reply, shown) = run("?\nwhy\nsqare\n7\nn\n");
        assert_eq!(reply, Reply::Unsure);
        assert!(shown.contains("like a wire") && shown.contains("It tells most."));
        assert!(shown.contains("Did you mean `square`?"));
        assert!(shown.contains("`7` is not in the list."));
        assert_eq!(run("").0, Reply::End);
        assert_eq!(run("back\n").0, Reply::Back);
    }
}
