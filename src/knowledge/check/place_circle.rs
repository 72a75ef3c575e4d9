//! Places that lie within each other.
use super::prelude::*;

pub const CHECK: Check = Check {
    code: "place-circle",
    severity: Error,
    title: "A place lies within itself",
    explanation: "`within` names the place around this one, whose rules hold here too. Followed upwards it must come to an end; here it \
        leads back to where it began.",
    bad: &[Piece {
        file: "places/demoland.yaml",
        yaml: "within: demoland",
    }],
    good: &[Piece {
        file: "places/demoland.yaml",
        yaml: "authority: the Demoland lawn office",
    }],
    run,
    needs_all: false,
};

fn run(book: &Book<'_>, found: &mut Findings) {
    for (id, place) in &book.known.places {
        let mut next = place.within.as_ref();
        for _ in 0..=book.known.places.len() {
            match next {
                Some(up) if up == id => {
                    found
                        .add(
                            At::file(format!("places/{id}.yaml")).to("within"),
                            format!("{id} lies within itself"),
                        )
                        .help("name the place around it, or take `within` away");
                    break;
                }
                Some(up) => next = book.known.places.get(up).and_then(|p| p.within.as_ref()),
                None => break,
            }
        }
    }
}
