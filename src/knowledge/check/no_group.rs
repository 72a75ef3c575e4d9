//! Actives and rules that name a group which the book does not have.
use super::prelude::*;
use std::collections::BTreeSet;

pub const CHECK: Check = Check {
    code: "no-group",
    severity: Error,
    title: "A site-of-action number is in no entry of groups.yaml",
    explanation: "The group says how an active works, and which actives must not follow each other year after year. A number \
        that `groups.yaml` does not list leaves the active in no group, so rotation and resistance could not see it. Use \
        the present number; 0 is for actives whose site is unknown.",
    bad: &[Piece {
        file: "actives/fabricam.yaml",
        yaml: "group: {is: 44, source: memory}",
    }],
    good: &[Piece {
        file: "actives/fabricam.yaml",
        yaml: "group: {is: 4, source: memory}",
    }],
    run,
    needs_all: true,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    let listed: BTreeSet<u64> = book
        .known
        .groups
        .iter()
        .map(|g| u64::from(g.number))
        .collect();
    for leaf in book.leaves {
        let refers = matches!(&*leaf.key, "groups" | "group")
            || (&*leaf.key == "is"
                && &*leaf.parent == "group"
                && leaf.file.starts_with("actives/"));
        if let (true, Some(number)) = (refers, leaf.value.as_u64())
            && !listed.contains(&number)
        {
            let near = listed.iter().min_by_key(|n| n.abs_diff(number));
            let help = near.map_or_else(
                || "list the group in groups.yaml".to_owned(),
                |near| format!("use the present number, or list the group in groups.yaml; the nearest listed is {near}"),
            );
            found
                .add(
                    leaf.at(),
                    format!("no site-of-action group has the number {number}"),
                )
                .help(help);
        }
    }
}
