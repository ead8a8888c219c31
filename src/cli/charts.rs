//! The charts that a command works on, each with the settings in force for it.

use std::sync::Arc;

use anyhow::Result;

use super::input::Source;
use super::settings::{Finder, InForce};
use super::terminal::Terminal;

/// Charts with their settings.
pub struct Charts {
    /// Where each is read from.
    pub sources: Vec<Source>,
    /// The settings of each, in the same order and as many.
    settings: Vec<Arc<InForce>>,
}

impl Charts {
    /// These charts, with the settings that are found for each.
    ///
    /// # Errors
    ///
    /// As [`Finder::of`].
    pub fn of(sources: Vec<Source>, mut finder: Finder, terminal: &mut Terminal) -> Result<Self> {
        let settings = finder.all(&sources, terminal)?;
        Ok(Self { sources, settings })
    }

    /// Every chart with its settings.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = (&Source, &InForce)> {
        let settings = self.settings.iter().map(Arc::as_ref);
        self.sources.iter().zip(settings)
    }
}
