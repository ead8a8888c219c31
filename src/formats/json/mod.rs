//! The JSON of a voiced chart: written and read back.

mod read;
mod write;

pub use read::{NotVoiced, Voiced, read_voiced};
pub use write::{VoicedChart, json, schema};
pub(in crate::formats) use write::{VoicingJson, line, voicing_json};
