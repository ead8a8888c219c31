//! How an arrangement is performed beyond what is written.

use super::{Comping, Swing, comping};

/// What is added to the notes on the page when they sound.
#[derive(Debug, Clone, Copy)]
pub struct Performing {
    /// Whether a bass sounds.
    pub bass: Bass,
    /// How uneven the eighths are; even ones where it is `None`.
    pub swing: Option<Swing>,
    /// When the left hand strikes its chords.
    pub comping: &'static Comping,
    /// Only this time through, counted from 1: from where the first bar is played to where it comes again.
    /// The whole performance where it is `None`.
    pub pass: Option<usize>,
}

impl Default for Performing {
    fn default() -> Self {
        Self {
            bass: Bass::None,
            swing: None,
            comping: comping::held(),
            pass: None,
        }
    }
}

impl PartialEq for Performing {
    fn eq(&self, other: &Self) -> bool {
        let parts = |one: &Self| (one.bass, one.swing, one.comping.name, one.pass);
        parts(self) == parts(other)
    }
}

impl Eq for Performing {}

/// What the bass plays.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Bass {
    /// Nothing.
    #[default]
    None,
    /// The chord's bass note, else its root, under every chord.
    Roots,
}
