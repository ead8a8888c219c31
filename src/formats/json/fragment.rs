//! A part of the JSON that stands in many places: written once, and its text taken again. A tune has a few
//! dozen voicings over a few hundred slots.

use std::borrow::Cow;
use std::sync::Arc;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde_json::value::{RawValue, to_raw_value};

/// A part of the JSON: its value, or the text it is written as.
#[derive(Debug, Clone)]
pub(super) enum Fragment<T> {
    /// As it was read, or to be written.
    Value(T),
    /// As it is written.
    Text(Arc<RawValue>),
}

impl<T: Serialize> Fragment<T> {
    /// The text of a value; the value itself if it has none.
    pub(super) fn of(value: T) -> Self {
        match to_raw_value(&value) {
            Ok(text) => Self::Text(text.into()),
            Err(_) => Self::Value(value),
        }
    }
}

impl<T> Fragment<T> {
    /// The value, where it was read.
    pub(super) fn value(&self) -> Option<&T> {
        match self {
            Self::Value(value) => Some(value),
            Self::Text(_) => None,
        }
    }
}

impl<T: Default> Default for Fragment<T> {
    fn default() -> Self {
        Self::Value(T::default())
    }
}

impl<T: Serialize> Serialize for Fragment<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Value(value) => value.serialize(serializer),
            Self::Text(text) => text.serialize(serializer),
        }
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Fragment<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        T::deserialize(deserializer).map(Self::Value)
    }
}

impl<T: JsonSchema> JsonSchema for Fragment<T> {
    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }

    fn schema_id() -> Cow<'static, str> {
        T::schema_id()
    }

    fn inline_schema() -> bool {
        T::inline_schema()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
}

/// So many parts are remembered.
const MOST: usize = 100;

/// Parts that were written before, each with what it is known by.
#[derive(Debug)]
pub(super) struct Fragments<K, T>(Vec<(K, Fragment<T>)>);

impl<K, T> Default for Fragments<K, T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<K: PartialEq, T: Serialize + Clone> Fragments<K, T> {
    /// The part that is known by `key`, made unless it was written before. There are few in most charts, so
    /// they are looked through; no more are remembered than that takes no longer than to write them.
    pub(super) fn get(&mut self, key: K, make: impl FnOnce() -> T) -> Fragment<T> {
        let Self(known) = self;
        if let Some((_, before)) = known.iter().find(|(other, _)| *other == key) {
            return before.clone();
        }
        let fragment = Fragment::of(make());
        if known.len() < MOST {
            known.push((key, fragment.clone()));
        }
        fragment
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_is_made_once_and_written_alike() {
        let mut fragments = Fragments::default();
        let mut made = 0;
        let mut part = |key: &'static str| {
            fragments.get(key, || {
                made += 1;
                vec![key, "\"\u{e9}"]
            })
        };
        let written = [part("a"), part("b"), part("a")].map(|part| serde_json::to_string(&part));
        let written = written.map(Result::unwrap);
        assert_eq!(
            written,
            [r#"["a","\"é"]"#, r#"["b","\"é"]"#, r#"["a","\"é"]"#]
        );
        assert_eq!(made, 2);
    }

    #[test]
    fn what_is_read_is_a_value() {
        let read: Fragment<Vec<u8>> = serde_json::from_str("[1, 2]").unwrap();
        assert_eq!(read.value(), Some(&vec![1, 2]));
    }
}
