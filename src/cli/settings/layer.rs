//! What one place says about the settings: the command line, a settings file, a folder in it. One
//! layer is laid over another, and what nobody says is the program's own.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use super::in_force::{InForce, SettingsDraft, UpsideDown};

/// A value that a setting was given.
#[derive(Clone)]
pub struct GivenValue {
    /// The value in words: equal words are equal values.
    words: String,
    put: Arc<dyn Fn(&mut SettingsDraft) + Send + Sync>,
}

impl GivenValue {
    /// A value, in words, and what is done with it.
    pub fn new<T>(words: impl fmt::Display, value: T, put: fn(&mut SettingsDraft, T)) -> Self
    where
        T: Clone + Send + Sync + 'static,
    {
        Self {
            words: words.to_string(),
            put: Arc::new(move |draft| put(draft, value.clone())),
        }
    }
}

impl fmt::Debug for GivenValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.words)
    }
}

impl PartialEq for GivenValue {
    fn eq(&self, other: &Self) -> bool {
        self.words == other.words
    }
}

/// What one place says, by the names of the settings: `low`, `surcharges.plain`, `rules.muddy`.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SettingsLayer(BTreeMap<String, GivenValue>);

impl SettingsLayer {
    /// Sets a setting, whatever it was before.
    pub fn set(&mut self, name: impl Into<String>, value: GivenValue) {
        self.0.insert(name.into(), value);
    }

    /// This layer laid over another: what this one says wins.
    #[must_use]
    pub fn over(&self, below: &Self) -> Self {
        let mut layer = below.clone();
        layer.0.extend(self.0.clone());
        layer
    }

    /// The settings, what is left unsaid being the usual.
    ///
    /// # Errors
    ///
    /// A range that stands on its head.
    pub fn in_force(&self) -> Result<InForce, UpsideDown> {
        let mut draft = SettingsDraft::default();
        for value in self.0.values() {
            (value.put)(&mut draft);
        }
        draft.finish()
    }

    /// The settings that this layer sets although another says something else there, by name.
    pub fn against(&self, other: &Self) -> Vec<String> {
        let against = self.0.iter().filter(|(name, value)| {
            let their = other.0.get(*name);
            their.is_some_and(|their| their != *value)
        });
        against.map(|(name, _)| name.clone()).collect()
    }
}
