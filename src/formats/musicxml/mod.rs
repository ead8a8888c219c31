//! MusicXML 4.0: scores for notation programs, written and read.
//!
//! The format is that of the *MusicXML 4.0* schema (W3C Music Notation Community Group, 2021), read at
//! its source.

mod combine;
mod compressed;
mod kind;
mod measure;
mod pieces;
mod read;
mod read_harmony;
mod read_note;
mod read_signs;
mod score_file;
mod tree;
mod write;
mod write_harmony;
mod write_notes;
mod write_signs;
mod xml;

pub use read::read;
pub use write::musicxml;
