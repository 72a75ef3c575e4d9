//! The lawn as the visit describes it, with every name brought to the book's own.
use super::TreatmentError;
use super::fact::{Named, one_line};
use crate::amounts::leftover::down;
use crate::choose::{Applicator, Request};
use crate::knowledge::{Kind, Knowledge};
use crate::lawn::ground;
use crate::visit::{Lawn, Visit};
use jiff::civil::Date;
use serde::Serialize;

/// The lawn, as printed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LawnLine {
    /// What the user calls it.
    pub name: Option<String>,
    /// The sum of the named areas, or the area as the user wrote it.
    pub area: Option<String>,
    /// The grasses.
    pub grasses: Vec<Named>,
    /// Stage of the grass.
    pub stage: Named,
    /// The place whose law counts.
    pub place: Option<Named>,
    /// Region for the chance of meeting a plant, as typed.
    pub region: Option<String>,
    /// What is near.
    pub near: Vec<Named>,
    /// Who applies.
    pub applicator: Option<Applicator>,
    /// Air temperature as typed.
    pub air_temperature: Option<String>,
}

/// Longest piece of a user's own text that is printed, in characters.
const LONGEST: usize = 120;
/// The answer that nothing is near, so that the question is not put again.
const NOTHING: &str = "none";

/// The request to the choice that the lawn gives; weeds are added later.
///
/// # Errors
/// Names that the book does not have, no grass, a temperature that is none.
pub fn request(book: &Knowledge, lawn: &Lawn, date: Date) -> Result<Request, TreatmentError> {
    let find = |place: &str, kind: Kind, typed: &str| {
        book.find(kind, typed)
            .map_err(|unknown| TreatmentError::Name {
                place: format!("lawn: {place}"),
                unknown,
            })
    };
    let mut turf: Vec<String> = Vec::new();
    for typed in lawn.grass.iter() {
        let id = find("grass", Kind::Turf, typed)?;
        if !turf.contains(&id) {
            turf.push(id);
        }
    }
    if turf.is_empty() {
        return Err(TreatmentError::NoGrass);
    }
    let mut near: Vec<String> = Vec::new();
    for typed in lawn.near.iter().filter(|n| n.trim() != NOTHING) {
        let id = find("near", Kind::Situation, typed)?;
        if !near.contains(&id) {
            near.push(id);
        }
    }
    let mut request = Request::new(&[], "");
    if let Some(stage) = &lawn.stage {
        request.stage.clone_from(stage);
    }
    let air = lawn
        .air_temperature
        .as_deref()
        .map(air_range_f)
        .transpose()?;
    let request = Request {
        turf,
        stage: find("stage", Kind::Stage, &request.stage)?,
        month: u8::try_from(date.month()).ok(),
        air_temp_f: air.map(|(low, _)| low),
        air_temp_high_f: air.map(|(_, high)| high),
        near_told: !lawn.near.is_empty(),
        near,
        weeks_since_seeding: lawn.seeded_weeks_ago,
        weeks_since_sodding: lawn.sodded_weeks_ago,
        mowings: lawn.mowings,
        seeding_in_weeks: lawn.seeding_in_weeks,
        soil: lawn.soil,
        cultivar: lawn.cultivar.clone(),
        lawn_use: lawn.lawn_use.clone(),
        place: lawn
            .place
            .as_deref()
            .map(|typed| find("place", Kind::Place, typed))
            .transpose()?,
        applicator: lawn.applicator,
        ..Request::default()
    };
    match request.contradiction(book) {
        Some(fault) => Err(TreatmentError::Contradiction { fault }),
        None => Ok(request),
    }
}

/// Adds the plants of a visit, of which `weeds` gives the ids as far as they are known.
///
/// # Errors
/// Facts that cannot both be true.
pub fn add_plants<'a>(
    book: &Knowledge,
    request: &mut Request,
    visit: &Visit,
    weeds: impl Iterator<Item = Option<&'a str>>,
) -> Result<(), TreatmentError> {
    for (plant, weed) in visit.plants.iter().zip(weeds) {
        let Some(weed) = weed else { continue };
        if let Some(cover) = plant.cover_percent {
            *request.cover_percent.entry(weed.to_owned()).or_default() += cover;
        }
        if let Some(stage) = plant.stage {
            request.weed_stages.insert(weed.to_owned(), stage);
        }
        if !request.weeds.iter().any(|w| w == weed) {
            request.weeds.push(weed.to_owned());
        }
    }
    match request.contradiction(book) {
        Some(fault) => Err(TreatmentError::Contradiction { fault }),
        None => Ok(()),
    }
}

/// The lawn to print. `request` is what [`request`] made of it.
#[must_use]
pub fn line(book: &Knowledge, lawn: &Lawn, request: &Request) -> LawnLine {
    let typed = |text: &Option<String>| {
        text.as_deref()
            .map(|t| one_line(t, LONGEST))
            .filter(|t| !t.is_empty())
    };
    LawnLine {
        name: typed(&lawn.name),
        area: areas(lawn).or_else(|| typed(&lawn.area)),
        grasses: request
            .turf
            .iter()
            .map(|id| Named::or_id(id, book.turf.get(id).and_then(|t| t.names.first())))
            .collect(),
        stage: Named::or_id(
            &request.stage,
            book.stages
                .iter()
                .find(|s| s.id == request.stage)
                .map(|s| &s.name),
        ),
        place: request
            .place
            .as_ref()
            .map(|id| Named::or_id(id, book.places.get(id).map(|p| &p.name))),
        region: typed(&lawn.region),
        near: request
            .near
            .iter()
            .map(|id| {
                Named::or_id(
                    id,
                    book.situations
                        .iter()
                        .find(|s| &s.id == id)
                        .map(|s| &s.name),
                )
            })
            .collect(),
        applicator: request.applicator,
        air_temperature: typed(&lawn.air_temperature),
    }
}

/// Lowest and highest degrees Fahrenheit of `60F to 84F`, `60F..84F` or a single temperature.
///
/// # Errors
/// No number with its unit, or a temperature that no lawn has seen.
pub fn air_range_f(typed: &str) -> Result<(f64, f64), TreatmentError> {
    let parts = typed.split_once("..").or_else(|| typed.split_once(" to "));
    match parts {
        Some((low, high)) => Ok((air_temperature_f(low)?, air_temperature_f(high)?)),
        None => air_temperature_f(typed).map(|one| (one, one)),
    }
}

/// The named areas together; amounts are reckoned for them, so they are what the note must say.
fn areas(lawn: &Lawn) -> Option<String> {
    // A fault in the areas is told where amounts are reckoned.
    let ground = ground::of(&lawn.areas, None, &lawn.treat).ok()??;
    Some(down(&ground.area).short())
}

/// Degrees Fahrenheit of `72F`, `72 °F` or `22C`.
///
/// # Errors
/// No number with its unit, or a temperature that no lawn has seen.
pub fn air_temperature_f(typed: &str) -> Result<f64, TreatmentError> {
    let wrong = || TreatmentError::Temperature {
        typed: one_line(typed, LONGEST),
    };
    let text = typed.trim().to_uppercase();
    let (number, celsius) = match (text.strip_suffix('F'), text.strip_suffix('C')) {
        (Some(number), _) => (number, false),
        (None, Some(number)) => (number, true),
        (None, None) => return Err(wrong()),
    };
    let number = number.trim().trim_end_matches('°').trim();
    let digits = number.trim_start_matches('-');
    if digits.is_empty() || !digits.chars().all(|c| c.is_ascii_digit() || c == '.') {
        return Err(wrong());
    }
    let degrees: f64 = number.parse().map_err(|_| wrong())?;
    let fahrenheit = if celsius {
        degrees.mul_add(1.8, 32.0)
    } else {
        degrees
    };
    if (-40.0..=130.0).contains(&fahrenheit) {
        Ok(fahrenheit)
    } else {
        Err(wrong())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn temperatures_carry_their_unit() {
        // Fixed points of both scales: water freezes at 32 F, boils at 212 F; -40 is the same on both (NIST SP 811, B.8).
        assert_eq!(air_temperature_f("0C"), Ok(32.0));
        assert_eq!(air_temperature_f("-40 °C"), Ok(-40.0));
        assert_eq!(air_temperature_f(" 84f "), Ok(84.0));
        assert_eq!(air_range_f("10C..20C"), Ok((50.0, 68.0)));
        assert_eq!(air_range_f("60F to 84F"), Ok((60.0, 84.0)));
        assert!(air_range_f("60F to").is_err() && air_range_f("..").is_err());
        for bad in [
            "84", "hot", "", "F", "--4F", "1e9F", "212F", "nanF", "8 4F", "-F", ".F",
        ] {
            assert!(air_temperature_f(bad).is_err(), "{bad}");
        }
    }
}
