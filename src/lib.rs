//! Compline turns a lead sheet into a left hand for the piano.

pub mod chart;
pub mod chord;
pub mod pitch;
