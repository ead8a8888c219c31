//! The home key of a tune, as the JSON of several commands has it.

use schemars::JsonSchema;
use serde::Serialize;

use crate::pitch::Key;

/// The home key.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Home")]
pub(super) struct HomeJson {
    key: String,
    /// `given` by the chart, or `found` in its chords.
    how: &'static str,
}

impl HomeJson {
    /// The home key that was found or taken, where the chart gives this one.
    pub fn of(home: Option<Key>, given: Option<Key>) -> Option<Self> {
        let how = if given.is_some() { "given" } else { "found" };
        let key = home?.to_string();
        Some(Self { key, how })
    }
}
