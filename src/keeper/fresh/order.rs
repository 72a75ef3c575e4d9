//! The keys of a struct in the order in which they are written in the source.
use serde::de::value::Error;
use serde::de::{Deserialize, Deserializer, Error as _, Visitor};
use serde::forward_to_deserialize_any;

/// Keys of a struct, as its reader asks for them: a derived reader names its keys before it sees any value.
#[must_use]
pub fn keys<'de, T: Deserialize<'de>>() -> &'static [&'static str] {
    let mut found: &'static [&'static str] = &[];
    // The answer is always an error; the keys are what was wanted.
    let _ = T::deserialize(Asked(&mut found));
    found
}

struct Asked<'a>(&'a mut &'static [&'static str]);

impl<'de> Deserializer<'de> for Asked<'_> {
    type Error = Error;

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        keys: &'static [&'static str],
        _: V,
    ) -> Result<V::Value, Error> {
        *self.0 = keys;
        Err(Error::custom("asked for keys only"))
    }

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Error> {
        Err(Error::custom("this is no struct"))
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 u8 u16 u32 u64 f32 f64 char str string bytes byte_buf option unit unit_struct newtype_struct
        seq tuple tuple_struct map enum identifier ignored_any
    }
}
