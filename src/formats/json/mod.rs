//! The JSON of a voiced chart: written and read back.

mod bounded;
mod fragment;
mod not_voiced;
mod read;
mod read_page;
mod settings;
mod text;
mod types;
mod write;

pub use not_voiced::NotVoiced;
pub use read::{ChartFromJson, read_voiced};
pub use settings::other_settings;
pub(in crate::formats) use text::{line, schema_text};
pub use types::VoicedChart;
pub(in crate::formats) use types::VoicingJson;
pub(in crate::formats) use write::voicing_json;
pub use write::{json, schema};
