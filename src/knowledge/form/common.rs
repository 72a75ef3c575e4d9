//! The small pieces that every knowledge file is built from.
use serde::de::{self, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};
use std::fmt;

/// Largest size of a number: far above every figure of the trade, far below the limits of exact whole numbers.
const LARGEST: f64 = 1e12;

/// A finite number written plainly (`5`, `0.25`, `-2`): no quotes, no `07`, no `1e400`, no `.nan`.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize)]
#[serde(transparent)]
pub struct Number(pub f64);

impl<'de> Deserialize<'de> for Number {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Plain;
        impl Visitor<'_> for Plain {
            type Value = Number;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a plain number such as 5 or 0.25, without quotes")
            }
            #[expect(
                clippy::cast_precision_loss,
                reason = "knowledge numbers are far below 2^53"
            )]
            fn visit_i64<E: de::Error>(self, v: i64) -> Result<Number, E> {
                self.visit_f64(v as f64)
            }
            #[expect(
                clippy::cast_precision_loss,
                reason = "knowledge numbers are far below 2^53"
            )]
            fn visit_u64<E: de::Error>(self, v: u64) -> Result<Number, E> {
                self.visit_f64(v as f64)
            }
            fn visit_f64<E: de::Error>(self, v: f64) -> Result<Number, E> {
                if v.abs() <= LARGEST {
                    Ok(Number(v))
                } else {
                    Err(E::custom("this number is not finite, or far too large"))
                }
            }
        }
        // Asking the reader what it sees, instead of asking for a float, is what refuses `"5"` and `07`.
        deserializer.deserialize_any(Plain)
    }
}

/// A whole number from zero up, written plainly. Asked what it sees, the reader does not take `"5"` or `07` for one.
struct Whole<T>(T);

impl<'de, T: TryFrom<u64>> Deserialize<'de> for Whole<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Plain<T>(std::marker::PhantomData<T>);
        impl<T: TryFrom<u64>> Visitor<'_> for Plain<T> {
            type Value = Whole<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a plain whole number such as 5, without quotes")
            }
            fn visit_u64<E: de::Error>(self, v: u64) -> Result<Whole<T>, E> {
                T::try_from(v)
                    .map(Whole)
                    .map_err(|_| E::invalid_value(de::Unexpected::Unsigned(v), &self))
            }
            fn visit_i64<E: de::Error>(self, v: i64) -> Result<Whole<T>, E> {
                match u64::try_from(v) {
                    Ok(v) => self.visit_u64(v),
                    Err(_) => Err(E::invalid_value(de::Unexpected::Signed(v), &self)),
                }
            }
        }
        deserializer.deserialize_any(Plain(std::marker::PhantomData))
    }
}

/// Reads a field that is a whole number.
///
/// # Errors
/// It is none, or is too large.
pub fn whole<'de, D: Deserializer<'de>, T: TryFrom<u64>>(deserializer: D) -> Result<T, D::Error> {
    Whole::deserialize(deserializer).map(|whole| whole.0)
}

/// Reads a field that is a list of whole numbers.
///
/// # Errors
/// One of them is none, or is too large.
pub fn whole_list<'de, D: Deserializer<'de>, T: TryFrom<u64>>(
    deserializer: D,
) -> Result<Vec<T>, D::Error> {
    let all: Vec<Whole<T>> = Vec::deserialize(deserializer)?;
    Ok(all.into_iter().map(|whole| whole.0).collect())
}

/// Reads a field that is `true` or `false`. Asked what it sees, the reader does not take `"true"` for a truth value.
///
/// # Errors
/// It is neither.
pub fn truth<'de, D: Deserializer<'de>>(deserializer: D) -> Result<bool, D::Error> {
    struct Plain;
    impl Visitor<'_> for Plain {
        type Value = bool;
        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("the boolean true or false")
        }
        fn visit_bool<E: de::Error>(self, v: bool) -> Result<bool, E> {
            Ok(v)
        }
    }
    deserializer.deserialize_any(Plain)
}

/// One word or a list of words: `source: memory` and `source: [a, b]` are the same kind of thing.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Many(pub Vec<String>);

impl Many {
    /// Whether there are none; written as a method of its own for `skip_serializing_if`.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl std::ops::Deref for Many {
    type Target = [String];
    fn deref(&self) -> &[String] {
        &self.0
    }
}

impl Serialize for Many {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.0.as_slice() {
            [one] => one.serialize(serializer),
            all => all.serialize(serializer),
        }
    }
}

impl<'de> Deserialize<'de> for Many {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct OneOrMany;
        impl<'de> Visitor<'de> for OneOrMany {
            type Value = Many;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a word or a list of words (a number or true/false needs quotes)")
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<Many, E> {
                Ok(Many(vec![v.to_owned()]))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Many, A::Error> {
                let mut all = Vec::with_capacity(seq.size_hint().unwrap_or(0));
                while let Some(one) = seq.next_element::<String>()? {
                    all.push(one);
                }
                Ok(Many(all))
            }
        }
        deserializer.deserialize_any(OneOrMany)
    }
}

/// Ids of the sources that a value rests on. `memory` and `practice` are sources like any other, and
/// `sources.yaml` says of each which kind of evidence it is.
pub type Sources = Many;

/// A range from the first to the second number, both included.
pub type Range = [Number; 2];

/// Words that state a fact, with what they rest on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Words {
    /// The fact: one state or several.
    pub is: Many,
    /// What it rests on.
    pub source: Sources,
    /// A limit or explanation of the fact.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// A number or a range of numbers, with what it rests on. The unit is part of the field's name.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Figure {
    /// From and to; equal for a single figure.
    pub range: Range,
    /// What it rests on.
    pub source: Sources,
    /// A limit or explanation of the figure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// Months of the year, 1 to 12, with what they rest on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Months {
    /// Month numbers.
    #[serde(deserialize_with = "whole_list")]
    pub months: Vec<u8>,
    /// What they rest on.
    pub source: Sources,
    /// A limit or explanation.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// A sentence of knowledge for people, with what it rests on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Remark {
    /// A stable name, where something refers to the sentence.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// What the sentence is about, in a word or two (`mowing`, `wind`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<String>,
    /// The sentence.
    pub text: String,
    /// What it rests on.
    pub source: Sources,
    /// A limit, an exception, a disagreement between sources.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}
