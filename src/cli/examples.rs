//! Examples for the help of each command: they come first, because most people look for the line to type. Words in
//! capitals stand for names of the knowledge in use; no plant or active is named here.
use clap::Command;
use std::fmt::Write as _;

/// Command (words parted by spaces) and its examples, each with what it does.
pub const EXAMPLES: [(&str, &[(&str, &str)]); 20] = [
    (
        "",
        &[
            ("ligule treat", "the whole job, question by question"),
            ("ligule identify", "what is this plant?"),
            (
                "ligule choose --weed WEED --turf GRASS",
                "which class of treatment spares my grass?",
            ),
        ],
    ),
    (
        "treat",
        &[
            (
                "ligule treat",
                "answer questions, get the note in this folder",
            ),
            ("ligule treat --demo --out notes", "see an invented visit"),
            (
                "ligule treat --answers visit.yaml --out notes",
                "replay answers that were written down",
            ),
            (
                "ligule treat --resume",
                "go on after Ctrl-C or a dead battery",
            ),
        ],
    ),
    (
        "identify",
        &[
            ("ligule identify", "question by question"),
            (
                "ligule identify --trait TRAIT=STATE --trait ANOTHER=STATE --month 4",
                "from what you saw",
            ),
            (
                "ligule identify --trait TRAIT=STATE --turf GRASS",
                "ask first what decides the treatment",
            ),
            ("ligule identify --what turf", "which grass is my lawn?"),
        ],
    ),
    (
        "serve",
        &[
            (
                "ligule serve --lawn-dir my-lawn",
                "pages for a browser on this machine",
            ),
            (
                "ligule serve --lawn-dir my-lawn --listen",
                "also for a phone in your home network",
            ),
        ],
    ),
    (
        "choose",
        &[
            (
                "ligule choose --weed WEED --turf GRASS --month 5",
                "one weed",
            ),
            (
                "ligule choose --weed WEED=8 --weed ANOTHER=3 --turf GRASS",
                "several, with their shares of the ground",
            ),
            (
                "ligule choose --weed WEED --turf GRASS --explain",
                "down to the rows and sources",
            ),
            (
                "ligule choose --weed WEED --turf GRASS --without-chemicals",
                "the whole answer without chemicals",
            ),
        ],
    ),
    (
        "amounts",
        &[(
            "ligule amounts --answers visit.yaml",
            "from the lawn, sprayer and shelf of an answers file",
        )],
    ),
    (
        "measure",
        &[
            (
                "ligule measure area \"80 ft x 60 ft\" --without \"40 ft x 30 ft\"",
                "a lawn around a house",
            ),
            (
                "ligule measure convert \"2.5 pt/A\" --to \"fl oz/1000 sq ft\"",
                "a rate in another unit",
            ),
        ],
    ),
    (
        "key",
        &[
            (
                "ligule key --format html > key.html",
                "a key for the phone, without network",
            ),
            (
                "ligule key --month 5 --region midwest --turf GRASS > key.txt",
                "a short key to print",
            ),
            ("ligule key --measure", "how many steps it takes"),
        ],
    ),
    (
        "season",
        &[
            (
                "ligule season hours --help",
                "hours of a forecast that are fit for spraying",
            ),
            (
                "ligule season windows --help",
                "when weeds come up and treatments are due",
            ),
        ],
    ),
    (
        "rotate",
        &[
            ("ligule rotate plan --help", "which group next, over years"),
            ("ligule rotate suspect --help", "is it resistance?"),
        ],
    ),
    (
        "record",
        &[
            (
                "ligule record add --note treatment-note.json --active \"ACTIVE=0.5 lb/acre\"",
                "what was really applied (an invented rate)",
            ),
            ("ligule record list", "what was done"),
            ("ligule record limits", "what still holds"),
        ],
    ),
    (
        "record add",
        &[
            (
                "ligule record add --note treatment-note.json --active \"ACTIVE=0.5 lb/acre\"",
                "from a note (an invented rate)",
            ),
            ("ligule record add", "question by question"),
        ],
    ),
    (
        "season hours",
        &[(
            "ligule season hours --weather forecast.csv",
            "every hour, with its reason",
        )],
    ),
    (
        "knowledge",
        &[
            (
                "ligule knowledge show active ACTIVE",
                "everything the book says, with its evidence",
            ),
            (
                "ligule knowledge check my-knowledge",
                "mistakes in a folder, with file, line and remedy",
            ),
        ],
    ),
    (
        "knowledge check",
        &[("ligule knowledge check my-knowledge", "look for mistakes")],
    ),
    (
        "knowledge show",
        &[("ligule knowledge show weed WEED", "one entry")],
    ),
    (
        "knowledge list",
        &[("ligule knowledge list turf", "the ids of one kind")],
    ),
    ("config", &[("ligule config", "what is set, and where")]),
    (
        "completions",
        &[
            (
                "ligule completions bash > ~/.local/share/bash-completion/completions/ligule",
                "for bash",
            ),
            (
                "ligule completions fish > ~/.config/fish/completions/ligule.fish",
                "for fish",
            ),
        ],
    ),
    (
        "manual",
        &[
            ("ligule manual | man -l -", "read it"),
            ("ligule manual --out man", "a page for every command"),
        ],
    ),
];

/// Puts the examples before the help of each command.
pub fn put_first(program: Command) -> Command {
    EXAMPLES.iter().fold(program, |program, (path, lines)| {
        let words: Vec<&str> = path.split_whitespace().collect();
        at(program, &words, &text(lines))
    })
}

fn at(command: Command, path: &[&str], text: &str) -> Command {
    match path.split_first() {
        None => command.before_help(text.to_owned()),
        Some((first, rest)) if command.find_subcommand(first).is_some() => {
            command.mut_subcommand(*first, |below| at(below, rest, text))
        }
        Some(_) => command,
    }
}

fn text(lines: &[(&str, &str)]) -> String {
    let mut text = String::from("Examples:");
    for (line, why) in lines {
        let _ = write!(text, "\n  {line}\n      {why}");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn every_example_can_be_read_and_every_command_has_one() {
        let program = || crate::cli::Arguments::command();
        for (path, lines) in EXAMPLES {
            let found = path
                .split_whitespace()
                .try_fold(program(), |c, word| c.find_subcommand(word).cloned());
            assert!(found.is_some(), "no command `{path}`");
            for (line, _) in lines {
                let typed = line
                    .split([">", "|"].map(|c| c.chars().next().unwrap_or(' ')))
                    .next()
                    .unwrap_or("");
                let words = words(typed);
                if let Err(error) = program().try_get_matches_from(&words) {
                    assert!(
                        error.kind() == clap::error::ErrorKind::DisplayHelp,
                        "{line}: {error}"
                    );
                }
            }
        }
        for command in program()
            .get_subcommands()
            .filter(|c| c.get_name() != "help")
        {
            assert!(
                EXAMPLES.iter().any(|(path, _)| *path == command.get_name()),
                "{} has no example",
                command.get_name()
            );
        }
    }

    /// Words of a command line, those in quotes whole.
    fn words(line: &str) -> Vec<String> {
        let mut all = vec![String::new()];
        let mut quoted = false;
        for c in line.trim().chars() {
            match c {
                '"' => quoted = !quoted,
                ' ' if !quoted => all.push(String::new()),
                _ => {
                    if let Some(word) = all.last_mut() {
                        word.push(c);
                    }
                }
            }
        }
        all
    }
}
