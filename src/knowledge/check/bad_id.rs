//! Ids that are no plain ids.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "bad-id",
    severity: Warning,
    title: "An id is not written as ids are",
    explanation: "Ids stand in file names, on command lines and in other files. They are small letters, digits and hyphens (`ground-penny`); \
        ids of actives may hold a comma or a dot as their names do, ids of traits have underscores, states may be words with spaces. \
        Capitals, umlauts, spaces at the ends and blanks lead to names that nobody can type.",
    bad: &[Piece {
        file: "stages.yaml",
        yaml: "- {id: \"New Sod \", name: new sod, help: Laid lately.}",
    }],
    good: &[Piece {
        file: "stages.yaml",
        yaml: "- {id: new-sod, name: new sod, help: Laid lately.}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    let known = book.known;
    let mut hold = |id: &str, more: &str, at: At| {
        let inside =
            |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-' || more.contains(c);
        let ends =
            |c: Option<char>| c.is_some_and(|c| c.is_ascii_lowercase() || c.is_ascii_digit());
        if !(id.chars().all(inside) && ends(id.chars().next()) && ends(id.chars().next_back())) {
            found
                .add(at, format!("`{id}` is not written as an id"))
                .help("use small letters, digits and hyphens");
        }
    };
    for (folder, ids) in [
        ("weeds", known.weeds.keys().collect::<Vec<_>>()),
        ("turf", known.turf.keys().collect()),
        ("actives", known.actives.keys().collect()),
        ("places", known.places.keys().collect()),
    ] {
        for id in ids {
            hold(id, ",.", At::file(format!("{folder}/{id}.yaml")));
        }
    }
    for (index, one) in known.traits.iter().enumerate() {
        let at = || At::file("traits.yaml").to(index);
        hold(&one.id, "_", at().to("id"));
        for (place, state) in one.states.iter().enumerate() {
            hold(&state.id, " _/,.+'()", at().to("states").to(place).to("id"));
        }
    }
    for (index, stage) in known.stages.iter().enumerate() {
        hold(&stage.id, "", At::file("stages.yaml").to(index).to("id"));
    }
    for (index, one) in known.situations.iter().enumerate() {
        hold(&one.id, "", At::file("situations.yaml").to(index).to("id"));
    }
    for (index, one) in known.cautions.iter().enumerate() {
        hold(&one.id, "", At::file("cautions.yaml").to(index).to("id"));
    }
    for id in known.sources.keys() {
        hold(id, "_.", At::file("sources").to(id));
    }
}
