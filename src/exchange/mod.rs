//! Readers of what other programs wrote, one file a format: text in, a chart out, or what is wrong
//! with the text. Nothing here touches files or streams.

mod voiced;

pub use voiced::{NotVoiced, Voiced, read_voiced};
