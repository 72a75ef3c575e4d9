//! From which cover of weeds on a treatment of the whole lawn is worth it.
use super::request::Request;
use crate::knowledge::Knowledge;
use crate::knowledge::form::source::Evidence;
use serde::Serialize;

/// What the book says of the cover.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Threshold {
    /// The use of the lawn that was said; none where all uses are told.
    pub lawn_use: Option<String>,
    /// Percent of the ground that the weeds cover together, where it was said.
    pub cover_percent: Option<f64>,
    /// Whether the cover lies below the figure, so that spots or hands are enough; none where it cannot be told.
    pub spots_only: Option<bool>,
    /// The same in a sentence.
    pub text: String,
    /// Kind of evidence.
    pub evidence: Evidence,
    /// Ids of sources.
    pub sources: Vec<String>,
}

/// The threshold for this lawn; none where the book has no figures.
pub(super) fn threshold(book: &Knowledge, request: &Request) -> Option<Threshold> {
    let figures = &book.care.as_ref()?.cover_percent;
    let said = request
        .weeds
        .iter()
        .all(|w| request.cover_percent.contains_key(w));
    let cover =
        (said && !request.weeds.is_empty()).then(|| request.cover_percent.values().sum::<f64>());
    let of_use = request
        .lawn_use
        .as_ref()
        .and_then(|u| figures.get_key_value(u));
    let Some((word, figure)) = of_use else {
        let (_, any) = figures.first_key_value()?;
        let mut by_cover: Vec<(f64, &String)> = figures
            .iter()
            .map(|(word, f)| (f.range[0].0, word))
            .collect();
        by_cover.sort_by(|a, b| a.0.total_cmp(&b.0));
        let all: Vec<String> = by_cover
            .iter()
            .map(|(percent, word)| format!("{percent} percent ({word})"))
            .collect();
        return Some(Threshold {
            lawn_use: None,
            cover_percent: cover,
            spots_only: None,
            text: format!(
                "below a cover of {} no treatment of the whole lawn is worth it: treat spots or pull instead",
                crate::words::or_list(&all)
            ),
            evidence: book.evidence(&any.source),
            sources: any.source.to_vec(),
        });
    };
    let least = figure.range[0].0;
    let spots_only = cover.map(|c| c < least);
    let text = match (cover, spots_only) {
        (Some(cover), Some(true)) => format!(
            "the weeds cover {cover} percent, less than {least} percent on a lawn of this use ({word}): treat spots or pull, not the whole lawn"
        ),
        (Some(cover), _) => format!(
            "the weeds cover {cover} percent; from {least} percent on a lawn of this use ({word}) is worth a treatment"
        ),
        (None, _) => format!(
            "below a cover of {least} percent no treatment of the whole lawn of this use ({word}) is worth it: treat spots or pull instead"
        ),
    };
    Some(Threshold {
        lawn_use: Some(word.clone()),
        cover_percent: cover,
        spots_only,
        text,
        evidence: book.evidence(&figure.source),
        sources: figure.source.to_vec(),
    })
}
