//! A treatment note, read as the beginning of a record entry: what was planned is what was done, unless told otherwise.
use super::entry::{ActiveUsed, Application, Product};
use super::error::RecordError;
use super::rate::Rate;
use jiff::civil::Date;
use serde::Deserialize;

/// The parts of a note's JSON that a record needs. Anything else in it is passed over.
#[derive(Debug, Deserialize)]
struct Note {
    schema: String,
    date: Date,
    lawn: Lawn,
    #[serde(default)]
    plants: Vec<Plant>,
    chosen: Option<Chosen>,
    spray_day: Option<SprayDay>,
}

/// The sheet, where the note has amounts.
#[derive(Debug, Default, Deserialize)]
struct SprayDay {
    #[serde(default)]
    recorded: Vec<Recorded>,
}

#[derive(Debug, Deserialize)]
struct Recorded {
    name: String,
    total: String,
    rate: String,
    actives: Vec<RecordedActive>,
}

#[derive(Debug, Deserialize)]
struct RecordedActive {
    id: String,
    rate: Option<String>,
}

#[derive(Debug, Default, Deserialize)]
struct Lawn {
    name: Option<String>,
    area: Option<String>,
    #[serde(default)]
    grasses: Vec<Named>,
    place: Option<Named>,
    air_temperature: Option<String>,
}

#[derive(Debug, Deserialize)]
struct Named {
    id: String,
}

#[derive(Debug, Deserialize)]
struct Plant {
    weed: Option<String>,
}

#[derive(Debug, Deserialize)]
struct Chosen {
    actives: Vec<Named>,
}

/// The treatment that a note plans. Where the note has a sheet of the spray day, its amounts are taken for what was put on;
/// whoever put on something else says so.
///
/// # Errors
/// Text that is no note, or a note that says not to spray.
pub fn application(text: &str) -> Result<Application, RecordError> {
    let bad = |place: &str, why: String| RecordError::Import {
        place: place.to_owned(),
        why,
    };
    let note: Note = serde_json::from_str(text).map_err(|e| {
        bad(
            &format!("line {}, column {}", e.line(), e.column()),
            format!("this is no treatment note: {e}"),
        )
    })?;
    if !note.schema.starts_with("ligule/treatment/") {
        return Err(bad(
            "schema",
            format!(
                "`{}` is no treatment note (ligule/treatment/1)",
                note.schema
            ),
        ));
    }
    let chosen = note.chosen.ok_or_else(|| {
        bad(
            "chosen",
            "this note says not to spray, so there is nothing to record".to_owned(),
        )
    })?;
    let mut weeds: Vec<String> = Vec::new();
    for weed in note.plants.into_iter().filter_map(|p| p.weed) {
        if !weeds.contains(&weed) {
            weeds.push(weed);
        }
    }
    let some = |text: Option<String>| text.filter(|t| !t.trim().is_empty());
    let products = match note.spray_day {
        Some(sheet) if !sheet.recorded.is_empty() => products(sheet)?,
        _ => vec![Product {
            actives: chosen
                .actives
                .into_iter()
                .map(|a| ActiveUsed {
                    active: a.id,
                    rate: None,
                })
                .collect(),
            ..Product::default()
        }],
    };
    Ok(Application {
        date: note.date,
        start_time: None,
        end_time: None,
        lawn: some(note.lawn.name),
        place: note.lawn.place.map(|p| p.id),
        turf: note.lawn.grasses.into_iter().map(|g| g.id).collect(),
        weeds,
        area: some(note.lawn.area),
        products,
        items: some(note.lawn.air_temperature)
            .map(|t| ("air-temperature".to_owned(), t))
            .into_iter()
            .collect(),
        remarks: None,
    })
}

/// The products of the sheet, with their amounts.
fn products(sheet: SprayDay) -> Result<Vec<Product>, RecordError> {
    let some = |text: String| Some(text).filter(|t| !t.is_empty());
    sheet
        .recorded
        .into_iter()
        .map(|product| {
            let actives: Result<Vec<ActiveUsed>, RecordError> = product
                .actives
                .into_iter()
                .map(|a| {
                    let rate = a.rate.map(|r| r.parse::<Rate>()).transpose();
                    Ok(ActiveUsed {
                        rate: rate.map_err(|e| RecordError::Import {
                            place: format!("spray_day: {}", a.id),
                            why: e.to_string(),
                        })?,
                        active: a.id,
                    })
                })
                .collect();
            Ok(Product {
                name: some(product.name),
                total: some(product.total),
                rate: some(product.rate),
                actives: actives?,
                ..Product::default()
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_note_becomes_the_treatment_that_it_plans() {
        let note = r#"{"schema":"ligule/treatment/1","date":"2026-05-10","lawn":{"name":"front","area":"4000 sq ft",
            "grasses":[{"id":"tall-fescue","name":"tall fescue"}],"place":{"id":"us-tx","name":"Texas"},"stage":{"id":"established"}},
            "plants":[{"weed":"dandelion"},{"weed":null},{"weed":"dandelion"}],
            "chosen":{"actives":[{"id":"triclopyr","name":"triclopyr"}]},"cautions":[]}"#;
        let found = application(note).expect("a note");
        assert_eq!(found.lawn.as_deref(), Some("front"));
        assert_eq!(found.weeds, ["dandelion"]);
        assert_eq!(found.products[0].actives[0].active, "triclopyr");
        assert_eq!(found.place.as_deref(), Some("us-tx"));
    }

    #[test]
    fn a_note_that_says_no_and_other_files_are_told_apart() {
        let told = |text: &str| application(text).expect_err(text).to_string();
        assert!(
            told(r#"{"schema":"ligule/treatment/1","date":"2026-05-10","lawn":{},"chosen":null}"#)
                .contains("not to spray")
        );
        assert!(
            told(r#"{"schema":"ligule/choose/1","date":"2026-05-10","lawn":{},"chosen":null}"#)
                .contains("no treatment note")
        );
        assert!(told("{").contains("line 1"));
    }
}
