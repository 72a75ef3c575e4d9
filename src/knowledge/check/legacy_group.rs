//! Former group numbers and letters.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "legacy-group",
    severity: Error,
    title: "A group has a former number, or another former letter than the classification",
    explanation: "The classification was renumbered, and letters gave way to numbers. Old labels and leaflets still print the \
        former ones. An active or group that carries a number which is not used any more would rotate against nothing. \
        Use the present number; the former one belongs in a `note`, or in a group's entry with `on_turf: none` that explains it. \
        Every present number of the classification has an entry in groups.yaml.",
    bad: &[
        Piece {
            file: "classification.yaml",
            yaml: "numbers:\n  - {number: 2, former_letter: B, source: guide-a}\n  - {number: 3, former_letter: K1, source: guide-a}\n  - {number: 4, former_letter: O, source: guide-a}\n  - {number: 99, now: [4], source: guide-a}\nmembers: []",
        },
        Piece {
            file: "groups.yaml",
            yaml: "- {number: 99, site_of_action: copies a growth hormone, symptoms: stems twist, on_turf: used, source: guide-a, resistance_risk: {is: moderate, source: memory}}",
        },
    ],
    good: &[Piece {
        file: "classification.yaml",
        yaml: "numbers:\n  - {number: 2, former_letter: B, source: guide-a}\n  - {number: 3, former_letter: K1, source: guide-a}\n  - {number: 4, former_letter: O, source: guide-a}\n  - {number: 99, now: [4], source: guide-a}\nmembers: []",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    let Some(classes) = &book.known.classification else {
        return;
    };
    let class = |number: u16| classes.numbers.iter().position(|c| c.number == number);
    let there = |index: usize| At::file("classification.yaml").to("numbers").to(index);
    let mut number = |number: u16, at: At, what: &str| match class(number) {
        None => {
            found
                .add(
                    at,
                    format!(
                        "{what} has the number {number}, which the classification does not have"
                    ),
                )
                .help("mend the number, or add it to classification.yaml with its source");
        }
        Some(index) if !classes.numbers[index].now.is_empty() => {
            let now: Vec<String> = classes.numbers[index]
                .now
                .iter()
                .map(u16::to_string)
                .collect();
            found
                .add(
                    at,
                    format!(
                        "{what} has the former number {number}; what it held is now {}",
                        now.join(" or ")
                    ),
                )
                .help("use the present number and keep the former one in a note")
                .also("the classification", there(index));
        }
        Some(_) => {}
    };
    for (id, active) in &book.known.actives {
        number(
            active.group.is,
            At::file(format!("actives/{id}.yaml")).to("group").to("is"),
            id,
        );
    }
    // A former number may keep an entry that explains it, as long as it counts as not used on lawns.
    for (index, group) in book
        .known
        .groups
        .iter()
        .enumerate()
        .filter(|(_, g)| g.on_turf != "none")
    {
        let at = || At::file("groups.yaml").to(index);
        number(group.number, at().to("number"), "this group");
    }
    let has_entry = |number| book.known.groups.iter().any(|g| g.number == number);
    for (index, class) in classes.numbers.iter().enumerate() {
        if class.now.is_empty() && !has_entry(class.number) {
            found
                .add(
                    there(index).to("number"),
                    format!(
                        "the classification has the number {}, which no group has",
                        class.number
                    ),
                )
                .help("mend the number, or add the group to groups.yaml");
        }
    }
    for (index, group) in book.known.groups.iter().enumerate() {
        let Some(class) = class(group.number) else {
            continue;
        };
        let (ours, theirs) = (&group.former_letter, &classes.numbers[class].former_letter);
        if let (Some(ours), Some(theirs)) = (ours, theirs)
            && ours != theirs
        {
            found
                .add(
                    At::file("groups.yaml").to(index).to("former_letter"),
                    format!(
                        "group {} has the former letter {ours}, the classification has {theirs}",
                        group.number
                    ),
                )
                .help("mend the one that is wrong")
                .also("the classification", there(class));
        }
    }
}
