//! Every technique at work.

mod examples;
mod stage;
