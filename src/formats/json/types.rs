//! The types of a voiced chart's JSON, for writing and for reading: stable names that other programs
//! may rely on.
//!
//! Reading asks for little: what it does not use is skipped, so a chart that another program wrote
//! needs no more than its bars, symbols and notes. The schema tells of what is written.

use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

use schemars::JsonSchema;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::bounded::bounded;
use super::fragment::Fragment;
use crate::chart::Beats;
use crate::formats::grounding::{HeardAsJson, TouchJson};
use crate::formats::home::HomeJson;
use crate::pitch::{Degree, Name, Note};

/// The name of the format.
pub(super) const FORMAT: &str = "compline-voiced";

/// Its version.
pub(super) const VERSION: u32 = 2;

/// A value that is text in JSON: known when it is written, still to be judged when it was read.
#[derive(Debug, Clone)]
pub(in crate::formats) enum Told<T> {
    /// To be written.
    Known(T),
    /// As it was read.
    Text(String),
}

impl<T: FromStr + Copy> Told<T> {
    /// The value; `None` where the text is none.
    pub fn value(&self) -> Option<T> {
        match self {
            Self::Known(value) => Some(*value),
            Self::Text(text) => text.parse().ok(),
        }
    }
}

impl<T: fmt::Display> fmt::Display for Told<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Known(value) => value.fmt(f),
            Self::Text(text) => f.write_str(text),
        }
    }
}

impl<T: Serialize> Serialize for Told<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Known(value) => value.serialize(serializer),
            Self::Text(text) => serializer.serialize_str(text),
        }
    }
}

impl<'de, T> Deserialize<'de> for Told<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer).map(Self::Text)
    }
}

/// A voiced chart.
#[derive(Debug, Serialize, Deserialize, JsonSchema)]
pub struct VoicedChart<'a> {
    /// Always `compline-voiced`.
    pub(super) format: Cow<'static, str>,
    /// The version of this format: a program that knows 2 can read any 2.
    pub(super) version: u32,
    /// The chart's title.
    pub(super) title: Option<String>,
    /// The key the notes are in, such as `Eb` or `F#m`.
    pub(super) key: Option<String>,
    /// The key that is home for the whole tune; null only where there is no chord.
    #[serde(skip_deserializing)]
    pub(super) home: Option<HomeJson>,
    /// How the chart says that notes are named: `practical` or `strict`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) spelling: Option<String>,
    /// The meter at the start, such as `4/4`.
    #[schemars(with = "String")]
    pub(super) meter: Option<String>,
    /// Beats a minute.
    pub(super) tempo: Option<u32>,
    /// What the chart was arranged under.
    #[serde(skip_deserializing)]
    #[schemars(!skip_deserializing)]
    pub(super) settings: SettingsJson,
    /// Every chord of the page, in written order.
    #[serde(deserialize_with = "bounded")]
    pub(super) slots: Vec<SlotJson<'a>>,
    /// The slots in the order they are played, by `index`.
    #[serde(deserialize_with = "bounded")]
    pub(super) played: Vec<usize>,
    /// What the plan costs.
    #[serde(skip_deserializing)]
    #[schemars(!skip_deserializing)]
    pub(super) totals: TotalsJson,
    /// The best different plans, the plan itself first, when asked for.
    #[serde(skip_deserializing, skip_serializing_if = "Option::is_none")]
    #[schemars(!skip_deserializing)]
    pub(super) alternatives: Option<Vec<AlternativeJson>>,
    /// What a player should know, a sentence each.
    #[serde(skip_deserializing)]
    #[schemars(!skip_deserializing)]
    pub(super) warnings: Vec<String>,
    /// What the chart waives, as its comments would, each with its place: `waive muddy in bar 3: why`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(default)]
    pub(super) waivers: Vec<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Alternative")]
pub(super) struct AlternativeJson {
    /// From 1: 1 is the plan.
    pub(super) rank: usize,
    /// Motion and surcharges together, in semitones.
    pub(super) effort: u64,
    /// Semitones moved by all notes together.
    pub(super) motion: u64,
    /// What the voicings are charged besides, each time they are struck.
    pub(super) surcharges: SurchargesJson,
    /// The sum over all moves of the largest step of one note, in semitones.
    pub(super) largest_steps: u64,
    /// The sum of the voicings' distances from the middle of the range, in half semitones.
    pub(super) off_centre: u64,
    /// Whether its rank is proved.
    pub(super) optimal: bool,
    /// What each slot holds, as MIDI numbers; null for silence.
    pub(super) voicings: Vec<Option<Vec<u8>>>,
}

#[derive(Debug, Default, Serialize, JsonSchema)]
#[schemars(rename = "Settings")]
pub(super) struct SettingsJson {
    /// Lowest key, as a MIDI number.
    pub(super) low: u8,
    /// Highest key, as a MIDI number.
    pub(super) high: u8,
    /// What a voicing is charged besides motion.
    pub(super) surcharges: WeightsJson,
    /// Widest span, in semitones; null where a measured hand judged instead.
    pub(super) reach: Option<u8>,
    /// The measured hand, thumb to little finger, in whole millimetres; null where `reach` judged.
    pub(super) hand_mm: Option<u16>,
    /// The name of the table of low-interval limits.
    pub(super) limits: String,
    /// The octave in which the bass was counted in for the limits.
    pub(super) count_bass: Option<i32>,
    /// The shapes, in order of preference.
    pub(super) palette: Vec<&'static str>,
    /// `written`, `natural` or `altered`.
    pub(super) colour: String,
    /// Whether the melody was left out of account.
    pub(super) ignore_melody: bool,
    /// `as-written`: one voicing for each slot of the page. `as-played`: every pass written out.
    pub(super) plan: &'static str,
    /// Whether the step from the last slot back to the first counts.
    #[serde(rename = "loop")]
    pub(super) looped: bool,
    /// Where the top note may go in every step, where that was wished: `held`, `step` or `free`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) top: Option<String>,
    /// How far any note may leap in every step, in semitones, where that was wished.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) leap: Option<u8>,
}

/// The table of surcharges, in semitones of motion.
#[derive(Debug, Default, Serialize, JsonSchema)]
#[schemars(rename = "SurchargeWeights")]
pub(super) struct WeightsJson {
    /// Times the square of the semitones that the lowest note lies below `floor`, or more than 8 above it.
    pub(super) register: u32,
    /// Where that ends, as a MIDI number.
    pub(super) floor: u8,
    /// For each usual tension that a plainer filling leaves out.
    pub(super) plain: u32,
    /// For each hand note in the melody's way; six times for one that rubs a leaning note, ten times for a key that the melody holds.
    pub(super) melody: u32,
}

/// What is charged besides motion, in semitones of motion.
#[derive(Debug, Clone, Default, Serialize, JsonSchema)]
#[schemars(rename = "Surcharges")]
pub(in crate::formats) struct SurchargesJson {
    /// For lying low or high.
    pub(in crate::formats) register: u64,
    /// For usual tensions left out.
    pub(in crate::formats) plain: u64,
    /// For being in the melody's way.
    pub(in crate::formats) melody: u64,
}

/// A legal voicing.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Candidate")]
pub(super) struct CandidateJson {
    /// Its keys, as MIDI numbers.
    pub(super) notes: Vec<u8>,
    /// What it is charged, all together.
    pub(super) surcharge: u32,
}

#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[schemars(rename = "Slot")]
pub(super) struct SlotJson<'a> {
    /// Its place among all slots, from 0.
    #[serde(skip_deserializing)]
    #[schemars(!skip_deserializing)]
    pub(super) index: usize,
    /// The section's name, empty before any heading.
    #[serde(default)]
    #[schemars(!default)]
    pub(super) section: Cow<'a, str>,
    /// The written bar, counted from 1.
    pub(super) bar: usize,
    /// The beat it starts on, from 1: an exact fraction.
    #[schemars(with = "String")]
    pub(super) beat: Told<Beats>,
    /// How many beats it lasts: an exact fraction.
    #[schemars(with = "String")]
    pub(super) beats: Told<Beats>,
    /// The key from here on, where it changes on the way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) key: Option<String>,
    /// The tempo from here on, where it changes on the way, in beats a minute.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) tempo: Option<u32>,
    /// The symbol as written.
    pub(super) symbol: Cow<'a, str>,
    /// Whether the chart holds it, so that nothing is proposed in its place. Left out where it is not.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub(super) held: bool,
    /// The root; null for no chord.
    #[schemars(with = "Option<String>")]
    #[serde(skip_deserializing)]
    #[schemars(!skip_deserializing)]
    pub(super) root: Option<Name>,
    /// The degrees the symbol asks for.
    #[schemars(with = "Vec<String>")]
    #[serde(skip_deserializing)]
    #[schemars(!skip_deserializing)]
    pub(super) tones: Fragment<Vec<Degree>>,
    /// The notes of the melody that sound during the slot, in order. Left out where there are none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) melody: Vec<MelodyNoteJson>,
    /// What was wished for the voicing, as a chart has it behind its `?`, with middle C = C4.
    #[serde(skip_deserializing, skip_serializing_if = "Option::is_none")]
    #[schemars(!skip_deserializing)]
    pub(super) wish: Option<String>,
    /// What the hand plays; null for silence.
    pub(super) voicing: Option<Fragment<VoicingJson>>,
    /// Every legal voicing, in the order that decides between equal plans.
    #[serde(skip_deserializing, skip_serializing_if = "Option::is_none")]
    #[schemars(!skip_deserializing)]
    pub(super) candidates: Option<Vec<CandidateJson>>,
    /// The chords on other roots these notes would be taken for, most likely first, when asked for.
    #[serde(skip_deserializing, skip_serializing_if = "Option::is_none")]
    #[schemars(!skip_deserializing)]
    pub(super) heard_as: Option<Vec<HeardAsJson>>,
    /// What the right hand or the bass would touch to make the chord clear, when asked for.
    #[serde(skip_deserializing, skip_serializing_if = "Option::is_none")]
    #[schemars(!skip_deserializing)]
    pub(super) touch: Option<Vec<TouchJson>>,
}

#[derive(Debug, Serialize, Deserialize, JsonSchema)]
#[schemars(rename = "MelodyNote")]
pub(super) struct MelodyNoteJson {
    /// The name with its octave, middle C = C4.
    #[schemars(with = "String")]
    pub(super) name: Told<Note>,
    /// The MIDI number, middle C = 60.
    pub(super) midi: u8,
    /// The beat of the bar it starts on, from 1; before the slot's for a note held into it.
    #[schemars(with = "String")]
    pub(super) beat: Told<Beats>,
    /// How many beats it lasts in this bar, all in all.
    #[schemars(with = "String")]
    pub(super) beats: Told<Beats>,
    /// Whether it is tied to the first note of the bar that is played next. Left out where it is not.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub(super) tied: bool,
}

#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[schemars(rename = "Voicing")]
pub(in crate::formats) struct VoicingJson {
    /// Lowest first.
    pub(super) notes: Vec<NoteJson>,
    /// The shape, or `free` for a given voicing of another shape.
    #[serde(skip_deserializing)]
    #[schemars(!skip_deserializing)]
    pub(super) shape: &'static str,
    /// `A` or `B`, by the degree that lies lowest.
    #[serde(skip_deserializing)]
    #[schemars(!skip_deserializing)]
    pub(super) form: Option<String>,
    /// The degree that lies lowest.
    #[schemars(with = "String")]
    #[serde(skip_deserializing)]
    #[schemars(!skip_deserializing)]
    pub(super) lowest: Option<Degree>,
    /// Whether the chart gave it.
    #[serde(skip_deserializing)]
    #[schemars(!skip_deserializing)]
    pub(super) given: bool,
    /// Whether an earlier shape of the palette had nothing legal here.
    #[serde(skip_deserializing)]
    #[schemars(!skip_deserializing)]
    pub(super) thinned: bool,
    /// What it is charged besides motion, each time it is struck.
    #[serde(skip_deserializing)]
    #[schemars(!skip_deserializing)]
    pub(super) surcharges: SurchargesJson,
}

#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[schemars(rename = "Note")]
pub(super) struct NoteJson {
    /// The name with its octave, middle C = C4.
    #[schemars(with = "String")]
    pub(super) name: Told<Note>,
    /// The MIDI number, middle C = 60.
    pub(super) midi: u8,
    /// Its degree in the chord.
    #[schemars(with = "String")]
    #[serde(skip_deserializing)]
    #[schemars(!skip_deserializing)]
    pub(super) degree: Option<Degree>,
}

#[derive(Debug, Default, Serialize, JsonSchema)]
#[schemars(rename = "Totals")]
pub(super) struct TotalsJson {
    /// Motion and surcharges together, in semitones: what is least.
    pub(super) effort: u64,
    /// Semitones moved by all notes together.
    pub(super) motion: u64,
    /// What the voicings are charged besides, each time they are struck.
    pub(super) surcharges: SurchargesJson,
    /// The sum over all moves of the largest step of one note, in semitones.
    pub(super) largest_steps: u64,
    /// The sum of the voicings' distances from the middle of the range, in half semitones.
    pub(super) off_centre: u64,
    /// Whether it is proved that no plan costs less.
    pub(super) optimal: bool,
    /// No plan has less effort than this.
    pub(super) lower_bound: u64,
    /// How entangled the page is: the most slots that one slot had to be weighed against at once; 1
    /// for a tune played straight, 2 for one that goes round.
    pub(super) width: usize,
    /// With every pass written out: the effort of the same performance with one voicing a slot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) as_written: Option<u64>,
    /// The motion of two plain ways of playing the same chords, when asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) compare: Option<CompareJson>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Compare")]
pub(super) struct CompareJson {
    /// Every chord in root position, its root between C3 and B3.
    #[serde(rename = "block-root")]
    pub(super) block_root: u64,
    /// Close position in any inversion, planned for least motion.
    #[serde(rename = "block-nearest")]
    pub(super) block_nearest: u64,
}
