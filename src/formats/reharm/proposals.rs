//! A proposal as JSON.

use schemars::JsonSchema;
use serde::Serialize;

use crate::harmony::{Fit, MelodyFit, distance_from_tonic};
use crate::reharm::{Listed, Strain};

/// A proposal.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Proposal")]
pub(in crate::formats) struct ProposalJson<'a> {
    /// Its name, made of place and technique, which stays when other proposals come and go.
    name: String,
    /// The technique's name.
    technique: &'static str,
    /// The first written bar it touches, counted from 1.
    first_bar: usize,
    /// The last.
    last_bar: usize,
    /// The chords it replaces.
    replaces: &'a [String],
    /// What stands there instead.
    chords: Vec<NewJson>,
    /// How far it bends the tune.
    strain: StrainJson,
    /// How many more links than written lead on, -2 to 3.
    leads_on: i32,
    /// Whether it brings nothing but chords that stand beside it already.
    idle: bool,
    /// Whether only the bass moves, which a hand without roots doesn't play.
    bass_only: bool,
    /// Whether it only puts one chord of the key for another, and nothing more leads on.
    dull: bool,
    /// Whether one of its chords has fewer tones than a written one in its time: what that saves isn't ranked.
    poorer: bool,
    /// By how many semitones of effort, motion and surcharges together, the hand has it easier with it, the best voicings around it;
    /// negative where it has it harder, null where that is not known.
    saves: Option<i64>,
    /// Why it works here.
    why: &'a str,
    /// What the melody's notes become.
    melody: Vec<SungJson>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "New")]
struct NewJson {
    /// The written bar, counted from 1.
    bar: usize,
    /// The beat it starts on, from 1: an exact fraction.
    beat: String,
    /// How many beats it lasts: an exact fraction.
    beats: String,
    /// The symbol.
    symbol: String,
    /// The distance of its triad from the tonic of its key by Lerdahl's rule (Tonal Pitch Space, 2001);
    /// null where the key has no such triad. It is no part of the strain.
    tonal_distance: Option<u32>,
}

/// The strain, part by part.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Strain")]
struct StrainJson {
    /// The sum of the parts.
    total: u32,
    /// `gentle` (0 to 2), `medium` (3 to 5), `bold` (6 to 9) or `beyond`.
    band: &'static str,
    /// For how long another chord sounds.
    length: u32,
    /// For the written tones that no longer sound.
    tones: u32,
    /// For how the last new chord goes on.
    way_on: u32,
    /// For notes outside the key.
    outside: u32,
    /// For what becomes of the melody's long notes.
    degree: u32,
    /// For chords foreign to what the tune is written in, or faster than it moves.
    style: u32,
}

impl StrainJson {
    fn of(strain: Strain) -> Self {
        Self {
            total: strain.total(),
            band: strain.band().name(),
            length: strain.length,
            tones: strain.tones,
            way_on: strain.way_on,
            outside: strain.outside,
            degree: strain.degree,
            style: strain.style,
        }
    }
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Sung")]
struct SungJson {
    /// The written bar, counted from 1.
    bar: usize,
    /// The beat it starts on, from 1: an exact fraction.
    beat: String,
    /// The note, middle C = C4.
    note: String,
    /// What it was over the chord before.
    before: String,
    /// What it is over the new chord.
    after: String,
    /// `chord-tone`, `tension`, `altered`, `blue-third`, `passing` or `refused`.
    verdict: &'static str,
}

impl<'a> ProposalJson<'a> {
    pub(in crate::formats) fn of(listed: &'a Listed) -> Self {
        let (first_bar, last_bar) = listed.bars();
        let new = listed.proposal.chords.iter().map(|new| NewJson {
            bar: new.bar,
            beat: new.beat.to_string(),
            beats: new.beats.to_string(),
            symbol: new.chord.symbol().to_owned(),
            tonal_distance: listed
                .key
                .and_then(|key| distance_from_tonic(&new.chord, key)),
        });
        let judgement = &listed.judgement;
        Self {
            name: listed.name.to_string(),
            technique: listed.proposal.technique,
            first_bar,
            last_bar,
            replaces: &listed.replaced,
            chords: new.collect(),
            strain: StrainJson::of(judgement.strain),
            leads_on: judgement.leads_on,
            idle: judgement.idle,
            bass_only: judgement.bass_only,
            dull: judgement.dull,
            poorer: judgement.poorer,
            saves: listed.price.map(|price| -price),
            why: &listed.proposal.why,
            melody: listed.proposal.melody.iter().map(sung).collect(),
        }
    }
}

fn sung(sung: &MelodyFit) -> SungJson {
    SungJson {
        bar: sung.bar,
        beat: sung.note.beat.to_string(),
        note: sung.note.note.to_string(),
        before: sung.before.to_string(),
        after: sung.after.to_string(),
        verdict: match sung.fit {
            Fit::ChordTone => "chord-tone",
            Fit::Tension => "tension",
            Fit::Altered => "altered",
            Fit::BlueThird => "blue-third",
            Fit::Passing => "passing",
            Fit::Misfit(_) => "refused",
        },
    }
}
