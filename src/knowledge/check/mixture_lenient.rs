//! Mixtures that would be safer on a grass than their parts.
use super::prelude::*;
use crate::knowledge::form::active::Tolerance;

pub const CHECK: Check = Check {
    code: "mixture-lenient",
    severity: Warning,
    title: "A mixture is called safer on a grass than one of its actives",
    explanation: "A grass that one active injures is not safe because another is in the tank, except where a safener is known. The row \
        of the mixture is more lenient than what is known of the active alone at that stage. The choice keeps to the more \
        cautious; look which of the two is mistaken.",
    bad: &[Piece {
        file: "mixtures.yaml",
        yaml: "- id: demosulf+inventol\n  actives: [demosulf, inventol]\n  turf:\n    - {turf: demo-warm-grass, stage: established, rating: tolerant, source: guide-a}",
    }],
    good: &[Piece {
        file: "mixtures.yaml",
        yaml: "- id: demosulf+inventol\n  actives: [demosulf, inventol]\n  turf:\n    - {turf: demo-warm-grass, stage: established, rating: sensitive, source: guide-a}",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (index, mixture) in book.known.mixtures.iter().enumerate() {
        for (number, row) in mixture.turf.iter().enumerate() {
            let worst = mixture
                .actives
                .iter()
                .filter_map(|id| {
                    let verdict =
                        book.known
                            .tolerance(book.known.actives.get(id)?, &row.turf, &row.stage)?;
                    Some((verdict.rating, id))
                })
                .max();
            if let Some((rating, id)) = worst
                && rating >= Tolerance::Sensitive
                && row.rating < Tolerance::Sensitive
                && row.confidence.is_none()
            {
                found
                    .add(
                        At::file("mixtures.yaml")
                            .to(index)
                            .to("turf")
                            .to(number)
                            .to("rating"),
                        format!(
                            "{} on {} ({}): {id} alone is not safe there",
                            mixture.id, row.turf, row.stage
                        ),
                    )
                    .about(format!("{} on {} {}", mixture.id, row.turf, row.stage))
                    .help("look both up; the more cautious counts")
                    .also(
                        format!("what is known of {id}"),
                        At::file(format!("actives/{id}.yaml")).to("turf"),
                    );
            }
        }
    }
}
