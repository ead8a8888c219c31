//! Every technique at work.

mod examples;
mod melody;
mod properties;
mod published;
mod regions;
mod stage;
