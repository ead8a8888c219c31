//! From options and settings files to settings. Nothing later looks at what was typed.
//!
//! What one place says is a [`SettingsLayer`]: the command line ([`mod@arguments`]), a settings file and its
//! folders ([`mod@file`], whose keys are the rows of [`mod@values`]). [`Finder`] lays them over each
//! other for each chart.

mod arguments;
mod file;
mod found;
mod key;
mod layer;
mod tree;
mod values;

pub use arguments::limits;
pub use file::{NAME, folder_of};
pub use found::{Finder, InForce};
pub use key::{TargetKeys, in_key, target_key, target_keys};
pub use layer::{SettingsLayer, UpsideDown};
