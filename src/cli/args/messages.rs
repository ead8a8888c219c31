//! What is said beside the results, and how: the same for every command.

use clap::{Args, ValueEnum};

const MESSAGES: &str = "Messages";

/// Options that every command has.
#[derive(Debug, Default, Args)]
pub struct MessageArguments {
    /// Say nothing beside the results but errors
    #[arg(short, long, global = true, help_heading = MESSAGES, conflicts_with = "verbose")]
    pub quiet: bool,

    /// Say more: every warning of many charts, and each number that is worked out
    #[arg(short, long, global = true, help_heading = MESSAGES)]
    pub verbose: bool,

    /// Whether messages and findings are coloured
    #[arg(long, global = true, value_name = "WHEN", default_value = "auto", help_heading = MESSAGES)]
    pub color: ColorWhen,
}

/// When there is colour.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ColorWhen {
    /// On a terminal, unless NO_COLOR is set; elsewhere if CLICOLOR_FORCE is
    #[default]
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}
