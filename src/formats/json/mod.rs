//! The JSON of a voiced chart: written and read back.

mod bounded;
mod fragment;
mod not_voiced;
mod other_settings;
mod read;
mod read_page;
mod text;
mod types;
mod write;

pub use not_voiced::NotVoiced;
pub use other_settings::other_settings;
pub use read::{ChartFromJson, read_voiced};
pub(in crate::formats) use text::{line, schema_text};
pub use types::VoicedChart;
pub(in crate::formats) use types::VoicingJson;
pub(in crate::formats) use write::voicing_json;
pub use write::{json, schema};
