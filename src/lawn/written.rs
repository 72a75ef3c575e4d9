//! Figures of the lawn file: kept as they were typed, and read while the file is read, so that a slip is told with its
//! line and column.
use crate::measure::Fault;
use serde::de::{self, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

/// A figure as it was typed, and what it says.
#[derive(Debug, Clone)]
pub struct Written<T> {
    text: String,
    value: T,
}

impl<T> Written<T> {
    /// What it says.
    pub fn value(&self) -> &T {
        &self.value
    }

    /// As it was typed.
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl<T: FromStr<Err = Fault>> FromStr for Written<T> {
    type Err = Fault;

    fn from_str(text: &str) -> Result<Self, Fault> {
        Ok(Self {
            value: text.parse()?,
            text: text.to_owned(),
        })
    }
}

/// Two figures are the same when they were typed the same: what is written out is what was read.
impl<T> PartialEq for Written<T> {
    fn eq(&self, other: &Self) -> bool {
        self.text == other.text
    }
}

impl<T> Serialize for Written<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.text)
    }
}

impl<'de, T: FromStr<Err = Fault>> Deserialize<'de> for Written<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Figure<T>(PhantomData<T>);
        impl<T: FromStr<Err = Fault>> Figure<T> {
            fn read<E: de::Error>(text: &str) -> Result<Written<T>, E> {
                text.parse().map_err(E::custom)
            }
        }
        impl<T: FromStr<Err = Fault>> Visitor<'_> for Figure<T> {
            type Value = Written<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a figure with its unit, as one text")
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<Written<T>, E> {
                Self::read(v)
            }
            // A bare number says what it is only where no unit is wanted; elsewhere the reader asks for the unit.
            fn visit_i64<E: de::Error>(self, v: i64) -> Result<Written<T>, E> {
                Self::read(&v.to_string())
            }
            fn visit_u64<E: de::Error>(self, v: u64) -> Result<Written<T>, E> {
                Self::read(&v.to_string())
            }
            fn visit_f64<E: de::Error>(self, v: f64) -> Result<Written<T>, E> {
                Self::read(&v.to_string())
            }
        }
        // Asking the reader what it sees lets `price: 12.50` and `price: "12.50"` both be read.
        deserializer.deserialize_any(Figure(PhantomData))
    }
}

/// One or a list of the same kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Several<T>(pub Vec<T>);

impl<T> Default for Several<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> Several<T> {
    /// Whether there are none; written as a method of its own for `skip_serializing_if`.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl<T: Serialize> Serialize for Several<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.0.as_slice() {
            [one] => one.serialize(serializer),
            all => all.serialize(serializer),
        }
    }
}

impl<'de, T: FromStr<Err = Fault>> Deserialize<'de> for Several<Written<T>> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct OneOrMany<T>(PhantomData<T>);
        impl<'de, T: FromStr<Err = Fault>> Visitor<'de> for OneOrMany<T> {
            type Value = Several<Written<T>>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("one text or a list of texts")
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<Self::Value, E> {
                Ok(Several(vec![v.parse().map_err(E::custom)?]))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Self::Value, A::Error> {
                let mut all = Vec::new();
                while let Some(one) = seq.next_element()? {
                    all.push(one);
                }
                Ok(Several(all))
            }
        }
        deserializer.deserialize_any(OneOrMany(PhantomData))
    }
}
