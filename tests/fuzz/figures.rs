// Shared by the fuzz target and by the test that replays its saved inputs: a text through every reader of figures.
use ligule::measure::area::{area, shape};
use ligule::measure::{Span, limit, span, strength, unit};

/// None panics, and what is read prints and reads back the same.
pub fn read(text: &str) {
    if let Ok(read) = span(text)
        && [&read.low, &read.high]
            .iter()
            .all(|one| one.value.to_string().len() <= 15 && one.value.is_short_decimal())
    {
        let again: Span = read.to_string().parse().expect("what is printed is read");
        assert_eq!(again.low.in_base(), read.low.in_base());
        assert_eq!(again.high.in_base(), read.high.in_base());
    }
    let _ = (unit(text), strength(text), limit(text));
    if let Ok(read) = shape(text) {
        let _ = area(&read);
    }
}
