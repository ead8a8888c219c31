//! Every technique at work.

mod examples;
mod published;
mod stage;
