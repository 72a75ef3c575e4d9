//! A visit to a lawn: everything that the user said, as it is kept in an answers file.
//!
//! The file is plain YAML that can be written by hand, replayed (`ligule treat --answers FILE`) and resumed: what is
//! missing is asked for.
use crate::amounts::tool::Tool;
use crate::choose::{Applicator, Soil, WeedStage};
use crate::knowledge::form::common::Many;
use crate::lawn::form::{Area, Sprayer, Spreader, Water};
use crate::lawn::product::Product;
use crate::lawn::{Several, Written};
use jiff::civil::Date;
use serde::de::{self, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::collections::BTreeMap;
use std::fmt;

/// The answers file.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Visit {
    /// Day of the visit, `2026-05-10`; the day of the run where it is missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub date: Option<Date>,
    /// The lawn.
    #[serde(default)]
    pub lawn: Lawn,
    /// The plants that were found.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub plants: Vec<Plant>,
    /// The option taken: the ids of its actives, or the single word `none` for no chemical. The first option where it is missing.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub choose: Many,
    /// Hourly forecast (CSV, columns named with their units), a path as typed: the note shows which hours are fit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub forecast: Option<String>,
    /// Weather of the season so far (CSV, daily or hourly), a path as typed: the note shows degree days and windows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weather: Option<String>,
    /// Anything to be printed on the note.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<String>,
}

/// The lawn and its surroundings. Names are ids, names or aliases of the book.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lawn {
    /// What the user calls it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The grass or grasses.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub grass: Many,
    /// Stage of the grass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stage: Option<String>,
    /// Area as the user writes it, printed as it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area: Option<String>,
    /// The place whose law counts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Region for the chance of meeting a plant.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub region: Option<String>,
    /// Where on the earth it lies, `39.9, -83.0` (latitude, longitude): for sunrise and sunset.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub position: Option<String>,
    /// Who applies.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub applicator: Option<Applicator>,
    /// What is near: situations of the site. `none` for nothing, so that it is not asked again.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub near: Many,
    /// The cultivar, where it is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cultivar: Option<String>,
    /// Weeks since the grass was seeded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seeded_weeks_ago: Option<f64>,
    /// Weeks since sod, sprigs or plugs were laid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sodded_weeks_ago: Option<f64>,
    /// How often new grass has been mown.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mowings: Option<u32>,
    /// Weeks until seed is to be sown or the lawn overseeded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seeding_in_weeks: Option<f64>,
    /// Moisture of the soil.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub soil: Option<Soil>,
    /// Use of the lawn: a key of the book's cover thresholds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lawn_use: Option<String>,
    /// Air temperature with its unit, `72F`, `22C` or `60F to 84F`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_temperature: Option<String>,
    /// Named parts of the lawn, with their shapes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub areas: Vec<Area>,
    /// Which of them are treated this time; all where none is named.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub treat: Many,
    /// The sprayer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sprayer: Option<Sprayer>,
    /// The spreader.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spreader: Option<Spreader>,
    /// Measuring tools in hand: `scale 0.1 g`, `syringe 0.5 mL`, `cup 1 fl oz`, `spoons`.
    #[serde(default, skip_serializing_if = "Several::is_empty")]
    pub measuring: Several<Written<Tool>>,
    /// The spray water, where it was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub water: Option<Water>,
    /// The products in hand, as their labels were copied.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub shelf: Vec<Product>,
}

/// One plant: named, or described by what was seen.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plant {
    /// The weed, where the user knows it or settled on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weed: Option<String>,
    /// The user says that it is none of the book's plants, whatever was seen; nothing is sprayed on it then.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub none_of_these: bool,
    /// Percent of the ground that it covers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cover_percent: Option<f64>,
    /// How far it has come.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stage: Option<WeedStage>,
    /// Trait to state; several states mean "either". Measures are numbers of the trait's unit, or as they were typed: `1/4 in`, `5 to 10`.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub observed: BTreeMap<String, Typed>,
    /// Traits that were asked about and could not be answered.
    #[serde(default, skip_serializing_if = "Many::is_empty")]
    pub unsure: Many,
}

impl Plant {
    /// Whether nothing was said of it.
    #[must_use]
    pub fn is_blank(&self) -> bool {
        *self == Self::default()
    }
}

impl Visit {
    /// The visit without the plants of which nothing was said. On the pages a plant keeps its number as long as the visit is
    /// open, so that a phone that answers about it is never led to another one; the blanks between are left out only here.
    #[must_use]
    pub fn without_blanks(&self) -> Self {
        let mut visit = self.clone();
        visit.plants.retain(|p| !p.is_blank());
        visit
    }
}

/// What was answered to a trait, in the words that were typed. A number may stand without quotes.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Typed(pub Vec<String>);

impl Serialize for Typed {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.0.as_slice() {
            [one] => match one.parse::<f64>() {
                Ok(number) if number.is_finite() => serializer.serialize_f64(number),
                _ => serializer.serialize_str(one),
            },
            all => all.serialize(serializer),
        }
    }
}

impl schemars::JsonSchema for Typed {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Typed".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        let word = schemars::json_schema!({"type": ["string", "number"]});
        schemars::json_schema!({"anyOf": [word, {"type": "array", "items": word}]})
    }
}

impl<'de> Deserialize<'de> for Typed {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Words;
        impl<'de> Visitor<'de> for Words {
            type Value = Typed;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a state, a list of states, or a number")
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<Typed, E> {
                Ok(Typed(vec![v.to_owned()]))
            }
            fn visit_i64<E: de::Error>(self, v: i64) -> Result<Typed, E> {
                Ok(Typed(vec![v.to_string()]))
            }
            fn visit_u64<E: de::Error>(self, v: u64) -> Result<Typed, E> {
                Ok(Typed(vec![v.to_string()]))
            }
            fn visit_f64<E: de::Error>(self, v: f64) -> Result<Typed, E> {
                Ok(Typed(vec![v.to_string()]))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Typed, A::Error> {
                let mut all = Vec::new();
                while let Some(OneTyped(one)) = seq.next_element()? {
                    all.push(one);
                }
                Ok(Typed(all))
            }
        }
        deserializer.deserialize_any(Words)
    }
}

/// One word or number of a list: a list in a list is a slip.
struct OneTyped(String);

impl<'de> Deserialize<'de> for OneTyped {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Word;
        impl Visitor<'_> for Word {
            type Value = OneTyped;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a state or a number")
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<OneTyped, E> {
                Ok(OneTyped(v.to_owned()))
            }
            fn visit_i64<E: de::Error>(self, v: i64) -> Result<OneTyped, E> {
                Ok(OneTyped(v.to_string()))
            }
            fn visit_u64<E: de::Error>(self, v: u64) -> Result<OneTyped, E> {
                Ok(OneTyped(v.to_string()))
            }
            fn visit_f64<E: de::Error>(self, v: f64) -> Result<OneTyped, E> {
                Ok(OneTyped(v.to_string()))
            }
        }
        deserializer.deserialize_any(Word)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shelf_written_out_is_the_shelf_read_back() {
        let text = include_str!("cli/demo-visit.yaml");
        let visit: Visit = crate::knowledge::read::read("visit.yaml", text).expect("a good file");
        assert_eq!(visit.lawn.shelf.len(), 1);
        let written = serde_yaml::to_string(&visit).expect("plain data");
        let again: Visit =
            crate::knowledge::read::read("visit.yaml", &written).expect("what we write we read");
        assert_eq!(again, visit, "{written}");
    }

    #[test]
    fn a_visit_written_out_is_the_visit_read_back() {
        let text = "date: 2026-05-10\nlawn:\n  grass: fescue\n  near: [water, trees]\nplants:\n  - observed: {leaf_width_mm: 6, stem_nodes_visible: \"no\", flower_colour: [white, pink]}\n    unsure: sap\n";
        let visit: Visit = crate::knowledge::read::read("visit.yaml", text).expect("a good file");
        assert_eq!(
            visit.plants[0].observed["leaf_width_mm"],
            Typed(vec!["6".into()])
        );
        let written = serde_yaml::to_string(&visit).expect("plain data");
        let again: Visit =
            crate::knowledge::read::read("visit.yaml", &written).expect("what we write we read");
        assert_eq!(again, visit, "{written}");
    }
}
