//! What every chord is in its key, as text and as JSON.

mod json;
mod text;

pub use json::{HarmonyReport, harmony_json, harmony_schema};
pub use text::harmony_text;
