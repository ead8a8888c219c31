//! The JSON of a voiced chart: written and read back.

mod read;
mod types;
mod write;

pub use read::{NotVoiced, Voiced, read_voiced};
pub use types::VoicedChart;
pub(in crate::formats) use types::VoicingJson;
pub use write::{json, schema};
pub(in crate::formats) use write::{line, voicing_json};
