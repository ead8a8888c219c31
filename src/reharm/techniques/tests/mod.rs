//! Every technique at work.

mod dominants;
mod everywhere;
mod examples;
mod melody;
mod minor;
mod names;
mod properties;
mod published;
mod regions;
mod said_plainly;
mod sense;
mod stage;
