//! Lists of JSON that are read no further than a chart may be long.

use std::fmt;
use std::marker::PhantomData;

use serde::Deserialize;
use serde::de::{Deserializer, Error, SeqAccess, Visitor};

use crate::chart::sizes::MOST_CHORDS;

/// A list of at most as many as a chart may have chords.
///
/// # Errors
///
/// There are more; an element isn't one.
pub(super) fn bounded<'de, D: Deserializer<'de>, T: Deserialize<'de>>(
    list: D,
) -> Result<Vec<T>, D::Error> {
    list.deserialize_seq(BoundedList(PhantomData))
}

struct BoundedList<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for BoundedList<T> {
    type Value = Vec<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a list")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut from: A) -> Result<Vec<T>, A::Error> {
        let mut list = Vec::new();
        while let Some(one) = from.next_element()? {
            if list.len() == MOST_CHORDS {
                let told = format!("more than {MOST_CHORDS} chords, which is the most a chart has");
                return Err(A::Error::custom(told));
            }
            list.push(one);
        }
        Ok(list)
    }
}
