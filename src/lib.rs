//! Compline turns a lead sheet into a left hand for the piano.

pub mod chord;
pub mod hand;
pub mod harmony;
pub mod pitch;
pub mod voicing;
