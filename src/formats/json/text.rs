//! JSON as text, for every format that is JSON.

use schemars::JsonSchema;
use serde::Serialize;

/// A value as one line of JSON.
pub(in crate::formats) fn line(value: &impl Serialize) -> String {
    // Strings, numbers and lists always have a JSON form.
    let mut text = serde_json::to_string(value).unwrap_or_default();
    text.push('\n');
    text
}

/// The JSON Schema of a type, as indented text.
pub(in crate::formats) fn schema_text<T: JsonSchema>() -> String {
    let mut text = serde_json::to_string_pretty(&schemars::schema_for!(T)).unwrap_or_default();
    text.push('\n');
    text
}
