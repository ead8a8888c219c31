//! From options and settings files to settings. Nothing later looks at what was typed.
//!
//! Every setting is a row of [`mod@table`], or of a table in [`mod@tables`]. What one place says (the command
//! line, a settings file, a folder of it) is a [`SettingsLayer`]; [`Finder`] lays them over each other for
//! each chart.

pub mod file;
mod file_reader;
mod found;
mod in_force;
mod key;
mod layer;
mod limits;
mod nearest;
mod setting;
mod table;
mod tables;
mod tree;
mod values;

pub use file::NAME;
pub use found::{AskedSettings, Finder};
pub use in_force::{InForce, UpsideDown};
pub use key::{TargetKeys, in_key, other_mode, target_key, target_keys};
pub use layer::SettingsLayer;
pub use limits::limits;
pub use setting::{Kind, Setting, ValueOrigin};
pub use table::{CHECKING, PLAYING, all as all_settings};
pub use tables::{CHANGE_WEIGHTS, RULE_LEVELS, SURCHARGES, TABLES};
