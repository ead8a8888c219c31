//! The JSON of a voiced chart: written and read back.

mod bounded;
mod read;
mod text;
mod types;
mod write;

pub use read::{ChartFromJson, NotVoiced, read_voiced};
pub(in crate::formats) use text::{line, schema_text};
pub use types::VoicedChart;
pub(in crate::formats) use types::VoicingJson;
pub(in crate::formats) use write::voicing_json;
pub use write::{json, schema};
