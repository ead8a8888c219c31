//! JSON as text, for every format that is JSON.

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde::Serialize;

/// A value as one line of JSON.
pub(in crate::formats) fn line(value: &impl Serialize) -> String {
    line_of(value, 0)
}

/// The same, of about so many bytes.
pub(super) fn line_of(value: &impl Serialize, bytes: usize) -> String {
    let mut text = Vec::with_capacity(bytes);
    // Strings, numbers and lists always have a JSON form, which is UTF-8.
    let written = serde_json::to_writer(&mut text, value);
    text.push(b'\n');
    let text = written.ok().and_then(|()| String::from_utf8(text).ok());
    text.unwrap_or_default()
}

/// The JSON Schema of a type, as indented text.
pub(in crate::formats) fn schema_text<T: JsonSchema>() -> String {
    // What is written, not what would be read.
    let written = SchemaSettings::default().for_serialize().into_generator();
    let schema = written.into_root_schema_for::<T>();
    let mut text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text.push('\n');
    text
}
