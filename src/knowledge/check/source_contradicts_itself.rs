//! One source that says two things about one case.
use super::prelude::*;
use crate::knowledge::form::active::ToleranceRow;
use crate::knowledge::form::common::Number;

pub const CHECK: Check = Check {
    code: "source-contradicts-itself",
    severity: Error,
    title: "One source says two different things about one case",
    explanation: "Two rows on the same grass and stage, or the same weed and timing, rest on the same source, name the same \
        condition and give different ratings. One of them is a slip. Keep the one that stands in the source, or write \
        down in `condition` what makes the difference (dose, season, cultivar).",
    bad: &[Piece {
        file: "actives/demosulf.yaml",
        yaml: "turf:\n  - {turf: demo-cool-grass, stage: established, rating: tolerant, source: guide-b}\n  - {turf: demo-cool-grass, stage: established, rating: sensitive, source: guide-b}",
    }],
    good: &[Piece {
        file: "actives/demosulf.yaml",
        yaml: "turf:\n  - {turf: demo-cool-grass, stage: established, rating: tolerant, condition: half dose, source: guide-b}\n  - {turf: demo-cool-grass, stage: established, rating: sensitive, condition: full dose, source: guide-b}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for one in rated(book.known) {
        for (index, row) in one.turf.iter().enumerate() {
            // What is cheap to compare comes first: a list may hold thousands of equal rows.
            let twin = one.turf[..index].iter().position(|r| {
                r.rating != row.rating
                    && r.confidence.is_some() == row.confidence.is_some()
                    && (&r.turf, &r.stage, &r.source, &r.condition)
                        == (&row.turf, &row.stage, &row.source, &row.condition)
                    && limits(r) == limits(row)
            });
            let about = format!("{} on {} ({})", one.id, row.turf, row.stage);
            tell(&one, "turf", index, twin, &about, found);
        }
        for (index, row) in one.controls.iter().enumerate() {
            let twin = one.controls[..index].iter().position(|r| {
                r.rating != row.rating
                    && r.confidence.is_some() == row.confidence.is_some()
                    && (&r.weed, r.timing, &r.source, &r.condition)
                        == (&row.weed, row.timing, &row.source, &row.condition)
            });
            tell(
                &one,
                "controls",
                index,
                twin,
                &format!("{} against {}", one.id, row.weed),
                found,
            );
        }
    }
}

fn tell(
    one: &Rated<'_>,
    list: &str,
    index: usize,
    twin: Option<usize>,
    about: &str,
    found: &mut Findings,
) {
    if let Some(twin) = twin {
        let at = |index: usize| one.at.clone().to(list).to(index).to("rating");
        found
            .add(at(index), format!("{about}: the same source gives another rating under the same condition"))
            .help("keep the one that stands in the source, or name the condition that makes the difference")
            .also("the other rating stands here", at(twin));
    }
}

/// The months and temperatures in which alone a row holds.
fn limits(row: &ToleranceRow) -> (&[u8], Option<Number>, Option<Number>) {
    (&row.months, row.above_f, row.below_f)
}
