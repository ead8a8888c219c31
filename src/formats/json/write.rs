//! The JSON of a voiced chart: stable names that other programs may rely on, with their schema.

use schemars::JsonSchema;
use serde::Serialize;

use crate::arrange::{Alternative, Arranged, Arrangement, Compare};
use crate::chart::{Beats, Chart, TuneNote, Wish};
use crate::chord::{Chord, Symbol};
use crate::formats::Style;
use crate::formats::grounding::{HeardAsJson, TouchJson};
use crate::hand::Reach;
use crate::pitch::{Degree, Name, Note};
use crate::voicing::{Grounding, VoicedNote, Voicing};

/// A voiced chart.
#[derive(Debug, Serialize, JsonSchema)]
pub struct VoicedChart {
    /// Always `compline-voiced`.
    format: &'static str,
    /// The version of this format: a program that knows 1 can read any 1.
    version: u32,
    /// The chart's title.
    title: Option<String>,
    /// The key the notes are in, such as `Eb` or `F#m`.
    key: Option<String>,
    /// The meter at the start, such as `4/4`.
    meter: String,
    /// Beats a minute.
    tempo: Option<u32>,
    /// What the chart was arranged under.
    settings: SettingsJson,
    /// Every chord of the page, in written order.
    slots: Vec<SlotJson>,
    /// The slots in the order they are played, by `index`.
    played: Vec<usize>,
    /// What the plan costs.
    totals: TotalsJson,
    /// The best different plans, the plan itself first, when asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    alternatives: Option<Vec<AlternativeJson>>,
    /// What a player should know, a sentence each.
    warnings: Vec<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Alternative")]
struct AlternativeJson {
    /// From 1: 1 is the plan.
    rank: usize,
    /// Semitones moved by all notes together.
    motion: u64,
    /// The sum over all moves of the largest step of one note, in semitones.
    largest_steps: u64,
    /// The sum of the voicings' distances from the middle of the range, in half semitones.
    off_centre: u64,
    /// Whether its rank is proved.
    optimal: bool,
    /// What each slot holds, as MIDI numbers; null for silence.
    voicings: Vec<Option<Vec<u8>>>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Settings")]
struct SettingsJson {
    /// Lowest key, as a MIDI number.
    low: u8,
    /// Highest key, as a MIDI number.
    high: u8,
    /// Widest span, in semitones; null where a measured hand judged instead.
    reach: Option<u8>,
    /// The measured hand, thumb to little finger, in whole millimetres; null where `reach` judged.
    hand_mm: Option<u16>,
    /// The name of the table of low-interval limits.
    limits: String,
    /// The octave in which the bass was counted in for the limits.
    count_bass: Option<i32>,
    /// The shapes, in order of preference.
    palette: Vec<&'static str>,
    /// `written`, `natural` or `altered`.
    colour: String,
    /// Whether the tune was left out of account.
    ignore_melody: bool,
    /// `as-written`: one voicing for each slot of the page. `as-played`: every pass written out.
    plan: &'static str,
    /// Whether the step from the last slot back to the first counts.
    #[serde(rename = "loop")]
    looped: bool,
    /// Where the top note may go in every step, where that was wished: `held`, `step` or `free`.
    #[serde(skip_serializing_if = "Option::is_none")]
    top: Option<String>,
    /// How far any note may leap in every step, in semitones, where that was wished.
    #[serde(skip_serializing_if = "Option::is_none")]
    leap: Option<u8>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Slot")]
struct SlotJson {
    /// Its place among all slots, from 0.
    index: usize,
    /// The section's name, empty before any heading.
    section: String,
    /// The written bar, counted from 1.
    bar: usize,
    /// The beat it starts on, from 1: an exact fraction.
    #[schemars(with = "String")]
    beat: Beats,
    /// How many beats it lasts: an exact fraction.
    #[schemars(with = "String")]
    beats: Beats,
    /// The symbol as written.
    symbol: String,
    /// The root; null for no chord.
    #[schemars(with = "Option<String>")]
    root: Option<Name>,
    /// The degrees the symbol asks for.
    #[schemars(with = "Vec<String>")]
    tones: Vec<Degree>,
    /// The notes of the tune that sound during the slot, in order. Left out where there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schemars(default)]
    melody: Vec<TuneNoteJson>,
    /// What was wished for the voicing, as a chart has it behind its `?`, with middle C = C4.
    #[serde(skip_serializing_if = "Option::is_none")]
    wish: Option<String>,
    /// What the hand plays; null for silence.
    voicing: Option<VoicingJson>,
    /// Every legal voicing, as MIDI numbers, in the order that decides between equal plans.
    #[serde(skip_serializing_if = "Option::is_none")]
    candidates: Option<Vec<Vec<u8>>>,
    /// The chords on other roots these notes would be taken for, most likely first, when asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    heard_as: Option<Vec<HeardAsJson>>,
    /// What the right hand or the bass would touch to make the chord clear, when asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    touch: Option<Vec<TouchJson>>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "TuneNote")]
struct TuneNoteJson {
    /// The name with its octave, middle C = C4.
    #[schemars(with = "String")]
    name: Note,
    /// The MIDI number, middle C = 60.
    midi: u8,
    /// The beat of the bar it starts on, from 1; before the slot's for a note held into it.
    #[schemars(with = "String")]
    beat: Beats,
    /// How many beats it lasts, all in all.
    #[schemars(with = "String")]
    beats: Beats,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Voicing")]
pub(in crate::formats) struct VoicingJson {
    /// Lowest first.
    notes: Vec<NoteJson>,
    /// The shape, or `free` for a given voicing of another shape.
    shape: &'static str,
    /// `A` or `B`, by the degree that lies lowest.
    form: Option<String>,
    /// The degree that lies lowest.
    #[schemars(with = "String")]
    lowest: Degree,
    /// Whether the chart gave it.
    given: bool,
    /// Whether an earlier shape of the palette had nothing legal here.
    thinned: bool,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Note")]
struct NoteJson {
    /// The name with its octave, middle C = C4.
    #[schemars(with = "String")]
    name: Note,
    /// The MIDI number, middle C = 60.
    midi: u8,
    /// Its degree in the chord.
    #[schemars(with = "String")]
    degree: Degree,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Totals")]
struct TotalsJson {
    /// Semitones moved by all notes together.
    motion: u64,
    /// The sum over all moves of the largest step of one note, in semitones.
    largest_steps: u64,
    /// The sum of the voicings' distances from the middle of the range, in half semitones.
    off_centre: u64,
    /// Whether it is proved that no plan costs less.
    optimal: bool,
    /// No plan has less motion than this.
    lower_bound: u64,
    /// How entangled the page is: the most slots that one slot had to be weighed against at once; 1
    /// for a tune played straight, 2 for one that goes round.
    width: usize,
    /// With every pass written out: the motion of the same performance with one voicing a slot.
    #[serde(skip_serializing_if = "Option::is_none")]
    as_written: Option<u64>,
    /// The motion of two plain ways of playing the same chords, when asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    compare: Option<CompareJson>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Compare")]
struct CompareJson {
    /// Every chord in root position, its root between C3 and B3.
    #[serde(rename = "block-root")]
    block_root: u64,
    /// Close position in any inversion, planned for least motion.
    #[serde(rename = "block-nearest")]
    block_nearest: u64,
}

/// The JSON of an arrangement: one line, for any number of charts in a row.
pub fn json(arrangement: &Arrangement, style: &Style) -> String {
    line(&VoicedChart::of(arrangement, style))
}

/// A value as one line of JSON.
pub(in crate::formats) fn line(value: &impl Serialize) -> String {
    // Strings, numbers and lists always have a JSON form.
    let mut text = serde_json::to_string(value).unwrap_or_default();
    text.push('\n');
    text
}

/// The JSON Schema of the JSON, as indented text.
pub fn schema() -> String {
    let schema = schemars::schema_for!(VoicedChart);
    let mut text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text.push('\n');
    text
}

impl VoicedChart {
    /// The arrangement under its stable names.
    pub fn of(arrangement: &Arrangement, style: &Style) -> Self {
        let chart: &Chart = &arrangement.chart;
        let groundings = style.grounding.then(|| arrangement.groundings());
        let grounding = |at: usize| groundings.as_ref()?.get(at)?.as_ref();
        let slots = arrangement.slots.iter().enumerate();
        Self {
            format: "compline-voiced",
            version: 1,
            title: chart.title().map(str::to_owned),
            key: chart.key().map(|key| key.to_string()),
            meter: chart.meter().to_string(),
            tempo: chart.tempo(),
            settings: settings(arrangement),
            slots: slots
                .map(|(at, arranged)| slot(arranged, grounding(at), style))
                .collect(),
            played: arrangement.performance.visits().to_vec(),
            totals: totals(arrangement, style),
            alternatives: alternatives(arrangement),
            warnings: arrangement
                .warnings
                .iter()
                .map(ToString::to_string)
                .collect(),
        }
    }
}

fn settings(arrangement: &Arrangement) -> SettingsJson {
    let settings = &arrangement.settings;
    let hand = &settings.voicing.hand;
    let (reach, hand_mm) = match hand.reach {
        Reach::Semitones(reach) => (Some(reach), None),
        Reach::Span(span) => (None, Some(span.0)),
    };
    SettingsJson {
        low: hand.range.low().midi(),
        high: hand.range.high().midi(),
        reach,
        hand_mm,
        limits: hand.limits.name().to_owned(),
        count_bass: hand.bass,
        palette: settings.voicing.palette.names().collect(),
        colour: settings.voicing.colour.to_string(),
        ignore_melody: settings.ignore_melody,
        plan: if settings.as_played {
            "as-played"
        } else {
            "as-written"
        },
        looped: settings.looped,
        top: settings.top.map(|top| top.to_string()),
        leap: settings.leap,
    }
}

fn slot(arranged: &Arranged, grounding: Option<&Grounding>, style: &Style) -> SlotJson {
    let slot = &arranged.slot;
    let chord = slot.symbol.chord();
    let tones = chord.map(|chord| chord.tones()).unwrap_or_default();
    SlotJson {
        index: slot.index,
        section: slot.section.clone(),
        bar: slot.bar,
        beat: slot.beat,
        beats: slot.beats,
        symbol: symbol(&slot.symbol),
        root: chord.map(Chord::root),
        tones: tones.iter().map(|tone| tone.degree).collect(),
        melody: slot.tune.iter().filter_map(tune_note).collect(),
        wish: wish(&slot.wish),
        voicing: arranged
            .voicing
            .as_ref()
            .map(|voicing| voicing_json(voicing, arranged.given)),
        candidates: style
            .candidates
            .then(|| arranged.candidates.iter().map(keys).collect()),
        heard_as: grounding.map(HeardAsJson::all),
        touch: grounding.map(TouchJson::all),
    }
}

fn tune_note(heard: &TuneNote) -> Option<TuneNoteJson> {
    Some(TuneNoteJson {
        name: heard.note,
        midi: heard.note.pitch()?.midi(),
        beat: heard.beat,
        beats: heard.beats,
    })
}

fn wish(wish: &Wish) -> Option<String> {
    match wish {
        Wish::Plan(wishes) if !wishes.is_empty() => Some(wishes.to_string()),
        _ => None,
    }
}

fn symbol(symbol: &Symbol) -> String {
    symbol.text().to_owned()
}

fn keys(voicing: &Voicing) -> Vec<u8> {
    voicing.pitches().map(|pitch| pitch.midi()).collect()
}

/// A voicing under its stable names.
pub(in crate::formats) fn voicing_json(voicing: &Voicing, given: bool) -> VoicingJson {
    VoicingJson {
        notes: voicing.notes.iter().map(note).collect(),
        shape: voicing.shape,
        form: voicing.form.map(|form| form.to_string()),
        lowest: voicing.lowest,
        given,
        thinned: voicing.thinned,
    }
}

fn note(voiced: &VoicedNote) -> NoteJson {
    NoteJson {
        name: voiced.note,
        midi: voiced.pitch.midi(),
        degree: voiced.degree,
    }
}

fn alternatives(arrangement: &Arrangement) -> Option<Vec<AlternativeJson>> {
    if arrangement.alternatives.is_empty() {
        return None;
    }
    let ranked = (1..).zip(&arrangement.alternatives);
    let row = |(rank, plan): (usize, &Alternative)| AlternativeJson {
        rank,
        motion: plan.cost.motion,
        largest_steps: plan.cost.largest,
        off_centre: plan.cost.off_centre,
        optimal: plan.optimal,
        voicings: plan.voicings.iter().map(|v| v.as_ref().map(keys)).collect(),
    };
    Some(ranked.map(row).collect())
}

fn totals(arrangement: &Arrangement, style: &Style) -> TotalsJson {
    let totals = arrangement.totals;
    TotalsJson {
        motion: totals.cost.motion,
        largest_steps: totals.cost.largest,
        off_centre: totals.cost.off_centre,
        optimal: totals.optimal,
        lower_bound: totals.lower_bound.motion,
        width: totals.width,
        as_written: totals.as_written.map(|cost| cost.motion),
        compare: style.compare.then(|| {
            let compare = Compare::of(arrangement);
            CompareJson {
                block_root: compare.block_root,
                block_nearest: compare.block_nearest,
            }
        }),
    }
}
