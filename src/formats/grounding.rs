//! What voicings would be taken for and what to touch, as `why` and the JSON write it.

use schemars::JsonSchema;
use serde::Serialize;

use crate::explain::why::words::by_reason;
use crate::pitch::{Degree, Name};
use crate::voicing::{Grounding, Grounds, HeardAs, How, Touch};

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

const fn because(reason: Grounds) -> &'static str {
    match reason {
        Grounds::SilentRoot | Grounds::Silent => "silent",
        Grounds::RootAbove => "not the lowest note",
        Grounds::Bass => "in the bass by the symbol",
        Grounds::Changes => "not among the guide tones of the chord before",
    }
}

/// The two lines of a paragraph of `why`: each with its label.
pub(in crate::formats) fn lines(grounding: &Grounding) -> [(&'static str, String); 2] {
    [
        ("heard as", heard(&grounding.heard_as)),
        ("touch", touch(&grounding.touch)),
    ]
}

/// The chords, those of which as much sounds together.
fn heard(all: &[HeardAs]) -> String {
    if all.is_empty() {
        return "no chord in everyday use on another root".to_owned();
    }
    let group = |group: &[HeardAs]| {
        let symbols: Vec<&str> = group.iter().map(|heard| heard.symbol.as_str()).collect();
        let how = group.first().map_or("", |heard| sounding(heard.how));
        format!("{} {how}", symbols.join(", "))
    };
    let groups = all.chunk_by(|a, b| a.how == b.how).map(group);
    groups.collect::<Vec<_>>().join("; ")
}

const fn sounding(how: How) -> &'static str {
    match how {
        How::Whole => "with every tone",
        How::Rooted => "with the root",
        How::Rootless => "without the root",
    }
}

fn touch(all: &[Touch]) -> String {
    if all.is_empty() {
        return "nothing: the root is lowest, and no guide tone is silent or new".to_owned();
    }
    let tone = |touch: &Touch| match touch.degree {
        Degree::ROOT => format!("the root {}", touch.name),
        degree => format!("{degree} {}", touch.name),
    };
    let tones = all.iter();
    by_reason(tones.map(|each| (tone(each), because(each.reason).to_owned()))).join("; ")
}
