//! The voicings of a slot: shapes × colour × octaves, held against the hand.
//!
//! [`candidates`] is the way in: a chord in its place under its melody notes, and the settings, give
//! every legal voicing of the first shape that has any, or say what threw the last ones out. Which of
//! them is played is the planner's choice, not this module's.
//!
//! ```
//! use compline::chord::Chord;
//! use compline::harmony::{Melody, HarmonicContext};
//! use compline::voicing::{Ask, VoicingSettings, candidates};
//!
//! let chord = Chord::read("Fm7").unwrap();
//! let ask = Ask { chord: &chord, context: HarmonicContext::default(), melody: &Melody::NONE };
//! let found = candidates(&ask, &VoicingSettings::default()).unwrap();
//! // The usual fillings, without the plainer ones that are charged for.
//! let usual = found.voicings.iter().filter(|voicing| voicing.surcharges.plain == 0);
//! let shown: Vec<String> = usual.map(ToString::to_string).collect();
//! assert_eq!(shown, ["Eb3 G3 Ab3 C4", "Ab3 C4 Eb4 G4"]);
//! ```

mod admitted;
mod anywhere;
mod ask;
mod available;
mod bare;
mod candidate_search;
mod candidates;
mod cluster;
mod colour;
mod filling;
mod grounding;
mod heard_as;
mod no_voicing;
mod palette;
mod read_given;
mod set_surcharge;
mod shapes;
mod surcharge;
mod tiers;
mod without_held_keys;

pub(crate) use admitted::classes_in_shapes;
pub use admitted::{Admitted, admitted};
pub use anywhere::anywhere;
pub use ask::Ask;
pub(crate) use bare::sings_seventh;
pub use candidate_search::{Candidates, charged};
pub use candidates::{candidates, of_palette};
pub use colour::{Colour, NotAColour};
pub use filling::{Filling, fillings};
pub use grounding::{Grounding, Grounds, Touch, grounding};
pub use heard_as::{Completeness, HeardAs, heard_as};
pub use no_voicing::{NoVoicing, Tally};
pub use palette::{NotAPalette, Palette};
pub use read_given::{FREE, read_given};
pub use set_surcharge::{NotASurcharge, SetSurcharge};
pub use shapes::{Form, Layout, Material, SHAPES, Shape, block_nearest, block_root, shape};
pub use surcharge::{SurchargeWeights, Surcharges, TotalSurcharges};

use std::sync::Arc;

use crate::chart::MiddleC;
use crate::hand::{Hand, SoundingNote};
use crate::pitch::{Degree, Name, Note, Pitch, Spelling};

/// Everything that decides which voicings a chord has.
///
/// ```
/// # use compline::voicing::{Colour, VoicingSettings};
/// assert_eq!(VoicingSettings::default().colour, Colour::Natural);
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct VoicingSettings {
    /// The player's hand.
    pub hand: Hand,
    /// The shapes allowed.
    pub palette: Palette,
    /// How much is added to what the symbol says.
    pub colour: Colour,
    /// What a voicing is charged besides motion.
    pub surcharges: SurchargeWeights,
    /// How the notes are named; `None`: as the chart says, and if it doesn't, practically.
    pub spelling: Option<Spelling>,
}

impl VoicingSettings {
    /// How the notes are named.
    pub fn spelling(&self) -> Spelling {
        self.spelling.unwrap_or_default()
    }
}

/// One note of a voicing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct VoicedNote {
    /// The note as it is written over this root.
    pub note: Note,
    /// The key.
    pub pitch: Pitch,
    /// What it is in the chord.
    pub degree: Degree,
}

impl From<&VoicedNote> for SoundingNote {
    fn from(note: &VoicedNote) -> Self {
        Self {
            pitch: note.pitch,
            degree: note.degree,
        }
    }
}

/// What a hand plays in one slot. Prints its notes, lowest first.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Voicing {
    /// The notes, strictly rising. Shared, since a plan takes the same voicing many times.
    pub notes: Arc<[VoicedNote]>,
    /// Its shape; `None` where it is in none of the program's.
    pub shape: Option<&'static Shape>,
    /// A or B, where the shape has forms; see [`Form`] for the two habits of naming them.
    pub form: Option<Form>,
    /// Whether it is an inversion that is neither form although its shape has them.
    pub turned: bool,
    /// The degree that lies lowest.
    pub lowest: Degree,
    /// Whether an earlier shape of the palette had nothing here.
    pub thinned: bool,
    /// What it costs besides the motion into it; nothing for a voicing somebody wrote, until it is
    /// weighed.
    pub surcharges: Surcharges,
}

impl Voicing {
    /// The name of its shape, or [`FREE`].
    pub fn shape_name(&self) -> &'static str {
        self.shape.map_or(FREE, |shape| shape.name)
    }

    /// The keys, lowest first.
    pub fn pitches(&self) -> impl Iterator<Item = Pitch> + '_ {
        self.notes.iter().map(|note| note.pitch)
    }

    /// Its notes as a chart that counts octaves so writes them, joined by `joint`.
    pub fn written(&self, middle_c: MiddleC, joint: &str) -> String {
        let notes = self.notes.iter();
        let notes: Vec<String> = notes.map(|voiced| middle_c.written(voiced.note)).collect();
        notes.join(joint)
    }

    /// Compares by keys from the lowest note up: the order candidates are listed in.
    pub fn by_pitches(&self, other: &Self) -> std::cmp::Ordering {
        self.pitches().cmp(other.pitches())
    }
}

impl std::fmt::Display for Voicing {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (at, voiced) in self.notes.iter().enumerate() {
            let gap = if at == 0 { "" } else { " " };
            write!(f, "{gap}{}", voiced.note)?;
        }
        Ok(())
    }
}

/// Puts a layout on the keyboard over a root, its notes by these names; `None` off the MIDI range.
fn lay(names: &[Name], shape: &'static Shape, layout: &Layout, root: Pitch) -> Option<Voicing> {
    let mut notes = Vec::with_capacity(layout.tones.len());
    for ((degree, semitones), name) in layout.tones.iter().zip(names) {
        let pitch = Pitch::new(root.midi().checked_add(*semitones)?)?;
        let note = Note::spelled(pitch, *name)?;
        notes.push(VoicedNote {
            note,
            pitch,
            degree: *degree,
        });
    }
    let lowest = notes.first()?.degree;
    Some(Voicing {
        notes: notes.into(),
        shape: Some(shape),
        form: layout.form,
        turned: layout.turned,
        lowest,
        thinned: false,
        surcharges: Surcharges::default(),
    })
}
