//! What voicings would be taken for and what to touch, as the JSON has it.

use schemars::JsonSchema;
use serde::Serialize;

use crate::explain::grounding::because;
use crate::pitch::{Degree, Name};
use crate::voicing::{Grounding, Grounds};

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "HeardAs")]
pub(in crate::formats) struct HeardAsJson {
    /// The symbol.
    symbol: String,
    /// Its root.
    #[schemars(with = "String")]
    root: Name,
    /// `whole`: a triad, sixth or seventh chord with all its tones. `rooted`: its root sounds.
    /// `rootless`: it doesn't.
    how: String,
    /// What the notes are in it, lowest note first.
    #[schemars(with = "Vec<String>")]
    degrees: Vec<Degree>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Touch")]
pub(in crate::formats) struct TouchJson {
    /// The name of the note, in any octave.
    #[schemars(with = "String")]
    name: Name,
    /// Its degree in the chord.
    #[schemars(with = "String")]
    degree: Degree,
    /// `silent-root`; `root-above`: the root sounds, but not as the lowest note; `bass`: the symbol puts
    /// it in the bass; `silent`: a silent third or seventh; `changes`: a third or seventh that the chord
    /// before did not have as one.
    reason: &'static str,
    /// The reason in words.
    because: &'static str,
}

impl HeardAsJson {
    pub(in crate::formats) fn all(grounding: &Grounding) -> Vec<Self> {
        let heard = grounding.heard_as.iter();
        heard
            .map(|heard| Self {
                symbol: heard.symbol.clone(),
                root: heard.root,
                how: heard.how.to_string(),
                degrees: heard.degrees.clone(),
            })
            .collect()
    }
}

impl TouchJson {
    pub(in crate::formats) fn all(grounding: &Grounding) -> Vec<Self> {
        let touch = grounding.touch.iter();
        touch
            .map(|touch| Self {
                name: touch.name,
                degree: touch.degree,
                reason: word(touch.reason),
                because: because(touch.reason),
            })
            .collect()
    }
}

const fn word(reason: Grounds) -> &'static str {
    match reason {
        Grounds::SilentRoot => "silent-root",
        Grounds::RootAbove => "root-above",
        Grounds::Bass => "bass",
        Grounds::Silent => "silent",
        Grounds::Changes => "changes",
    }
}
