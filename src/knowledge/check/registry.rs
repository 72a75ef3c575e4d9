//! All checks, in the order in which they run and are listed.
use super::{
    Check, acknowledged, asked_in_circle, bad_id, bad_limit, bad_month, bad_range, blank_text,
    contents, control_conflict, disputed, dose_clash, dose_outside, duplicate_id, empty_key,
    forbids_nothing, group_clash, inseparable, law_as_permission, legacy_group, limit_on_mixture,
    look_alike_form, missing_part, mix_contradiction, mix_side, mixture_forbidden, mixture_form,
    mixture_lenient, months_clash, never_asked, never_offered, no_authority, no_evidence, no_group,
    place_circle, plant_code, published_unread, reader, row_twice, second_alone, second_vote,
    shared_name, source_contradicts_itself, source_not_findable, state_unused, text_too_long,
    timing_clash, tolerance_conflict, touches_nothing, trade_mark, trait_form, trait_unused,
    trait_value, unclassified, unknown_id, unknown_word, unlikely_figure, unreachable_weed,
    unused_source, without_remedy,
};
use crate::words::nearest;

/// Every check, and every fault that the reader tells.
pub const CHECKS: &[&Check] = &[
    // Files and their writing.
    &reader::UNREADABLE_FILE,
    &reader::FILE_TOO_LARGE,
    &reader::UNKNOWN_FILE,
    &reader::BAD_YAML,
    &reader::DUPLICATE_KEY,
    &reader::UNKNOWN_KEY,
    &reader::UNKNOWN_VALUE,
    &reader::MISSING_KEY,
    &reader::EMPTY_VALUE,
    &empty_key::CHECK,
    &reader::WRONG_KIND,
    &reader::NO_ALIASES,
    &reader::TOO_DEEP,
    &unknown_word::CHECK,
    &blank_text::CHECK,
    &text_too_long::CHECK,
    &trade_mark::CHECK,
    // Names and ids.
    &unknown_id::CHECK,
    &duplicate_id::CHECK,
    &bad_id::CHECK,
    &shared_name::CHECK,
    &plant_code::CHECK,
    &contents::lost::CHECK,
    &contents::unlisted::CHECK,
    &missing_part::CHECK,
    // Evidence.
    &no_evidence::CHECK,
    &published_unread::CHECK,
    &source_not_findable::CHECK,
    &unused_source::CHECK,
    &second_vote::CHECK,
    &second_alone::CHECK,
    &disputed::CHECK,
    // Traits and plants.
    &trait_form::CHECK,
    &trait_value::CHECK,
    &trait_unused::CHECK,
    &state_unused::CHECK,
    &asked_in_circle::CHECK,
    &never_asked::CHECK,
    &unreachable_weed::CHECK,
    &inseparable::CHECK,
    &look_alike_form::CHECK,
    // Months and figures.
    &bad_month::CHECK,
    &months_clash::CHECK,
    &bad_range::CHECK,
    &unlikely_figure::CHECK,
    &dose_clash::CHECK,
    &dose_outside::CHECK,
    &bad_limit::CHECK,
    // What actives do.
    &source_contradicts_itself::CHECK,
    &row_twice::CHECK,
    &tolerance_conflict::CHECK,
    &control_conflict::CHECK,
    &timing_clash::CHECK,
    &never_offered::CHECK,
    &without_remedy::CHECK,
    // Groups.
    &no_group::CHECK,
    &group_clash::CHECK,
    &legacy_group::CHECK,
    &unclassified::CHECK,
    // The tank.
    &mixture_form::CHECK,
    &limit_on_mixture::CHECK,
    &mixture_lenient::CHECK,
    &mixture_forbidden::CHECK,
    &mix_side::CHECK,
    &mix_contradiction::CHECK,
    // Cautions and law.
    &forbids_nothing::CHECK,
    &touches_nothing::CHECK,
    &no_authority::CHECK,
    &place_circle::CHECK,
    &law_as_permission::CHECK,
    // Acknowledgements.
    &acknowledged::BAD,
    &acknowledged::STALE,
];

/// The check with this code.
#[must_use]
pub fn find(code: &str) -> Option<&'static Check> {
    CHECKS.iter().copied().find(|c| c.code == code)
}

/// The code that was probably meant.
#[must_use]
pub fn near(code: &str) -> Option<&'static str> {
    nearest(code, CHECKS.iter().map(|c| c.code))
}
