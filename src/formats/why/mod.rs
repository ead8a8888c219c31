//! Why each slot sounds as it does, as text and as JSON.

mod json;
mod text;

pub use json::{WhyReport, why_json, why_schema};
pub use text::why_text;
