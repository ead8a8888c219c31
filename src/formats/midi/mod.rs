//! Standard MIDI Files: an arrangement as it is played, and performances read back.
//!
//! The format is that of *Standard MIDI Files 1.0* (RP-001, MIDI Manufacturers Association), read in a
//! transcription.

mod file;
mod left_hand;
mod read;
mod struck;
mod write;

pub use left_hand::{PlayedHand, left_hand};
pub use read::read;
pub use write::midi;
