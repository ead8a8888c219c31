//! Writes the JSON of a voiced chart, and its schema.

use std::collections::HashMap;

use super::fragment::{Fragment, Fragments};
use super::settings::settings_json;
use super::text::{line_of, schema_text};
use super::types::{
    AlternativeJson, CandidateJson, CompareJson, FORMAT, MelodyNoteJson, NoteJson, SlotJson,
    SurchargesJson, Told, TotalsJson, VERSION, VoicedChart, VoicingJson,
};
use crate::arrange::{Alternative, Arranged, Arrangement, Compare};
use crate::chart::{self, Chart, MelodyNote, Wish};
use crate::check::waivers;
use crate::chord::Chord;
use crate::formats::Style;
use crate::formats::grounding::{HeardAsJson, TouchJson};
use crate::formats::home::HomeJson;
use crate::pitch::Degree;
use crate::voicing::{Grounding, TotalSurcharges, VoicedNote, Voicing};

/// The JSON of an arrangement: one line, for any number of charts in a row.
pub fn json(arrangement: &Arrangement, style: &Style) -> String {
    let chart = VoicedChart::of(arrangement, style);
    line_of(&chart, SLOT_BYTES * chart.slots.len())
}

/// Nearly as many bytes as a slot takes.
const SLOT_BYTES: usize = 400;

/// The JSON Schema of the JSON, as indented text.
pub fn schema() -> String {
    schema_text::<VoicedChart<'_>>()
}

impl<'a> VoicedChart<'a> {
    /// The arrangement under its stable names.
    pub fn of(arrangement: &'a Arrangement, style: &Style) -> Self {
        let chart: &Chart = &arrangement.chart;
        let groundings = style.grounding.then(|| arrangement.groundings());
        let grounding = |at: usize| groundings.as_ref()?.get(at)?.as_ref();
        let slots = arrangement.slots.iter().enumerate();
        let mut repeated = RepeatedParts::default();
        Self {
            format: FORMAT.into(),
            version: VERSION,
            title: chart.title().map(str::to_owned),
            key: chart.key().map(|key| key.to_string()),
            home: HomeJson::of(arrangement.home, chart.key()),
            spelling: chart.header.spelling().map(|spelling| spelling.to_string()),
            meter: Some(chart.meter().to_string()),
            tempo: chart.tempo(),
            settings: settings_json(&arrangement.settings),
            slots: slots
                .map(|(at, arranged)| slot(chart, arranged, grounding(at), style, &mut repeated))
                .collect(),
            played: arrangement.performance.visits().to_vec(),
            totals: totals(arrangement, style),
            alternatives: alternatives(arrangement),
            warnings: arrangement
                .warnings
                .iter()
                .map(ToString::to_string)
                .collect(),
            waivers: waived(chart),
        }
    }
}

/// What the chart waives: its comments don't come along, so what they waive does by itself.
fn waived(chart: &Chart) -> Vec<String> {
    let waives = |remark: &str| remark.to_ascii_lowercase().contains("waive");
    if !chart.remarks().any(waives) {
        return Vec::new();
    }
    let text = chart.tidy();
    let tidied = chart::read(&text);
    debug_assert!(tidied.is_ok(), "a chart reads as it is printed");
    tidied.map_or_else(|_| Vec::new(), |chart| waivers(&chart, &text))
}

/// What was written for other slots of the chart, by symbol: chords that are written alike are equal.
type RepeatedParts<'a> = HashMap<&'a str, PartsOfChord<'a>>;

/// What was written for other slots with the same chord.
struct PartsOfChord<'a> {
    tones: Fragment<Vec<Degree>>,
    /// Each voicing, and whether the chart gave it.
    voicings: Fragments<(&'a Voicing, bool), VoicingJson>,
}

impl PartsOfChord<'_> {
    fn of(chord: Option<&Chord>) -> Self {
        let tones = chord.map(Chord::tones).unwrap_or_default();
        let degrees: Vec<Degree> = tones.iter().map(|tone| tone.degree).collect();
        Self {
            tones: Fragment::of(degrees),
            voicings: Fragments::default(),
        }
    }
}

fn slot<'a>(
    chart: &Chart,
    arranged: &'a Arranged,
    grounding: Option<&Grounding>,
    style: &Style,
    repeated: &mut RepeatedParts<'a>,
) -> SlotJson<'a> {
    let slot = &arranged.slot;
    let changes = chart.changes_at(slot.place);
    let chord = slot.symbol.chord();
    let of_chord = || PartsOfChord::of(chord);
    let parts = repeated.entry(slot.symbol.text());
    let parts = parts.or_insert_with(of_chord);
    SlotJson {
        index: slot.index,
        section: (&*slot.section).into(),
        bar: slot.bar,
        beat: Told::Known(slot.beat),
        beats: Told::Known(slot.beats),
        key: changes.key.map(|key| key.to_string()),
        tempo: changes.tempo,
        symbol: slot.symbol.text().into(),
        held: slot.held,
        root: chord.map(Chord::root),
        tones: parts.tones.clone(),
        melody: slot.melody_notes.iter().filter_map(melody_note).collect(),
        wish: wish(&slot.wish),
        voicing: arranged.voicing.as_ref().map(|voicing| {
            let key = (voicing, arranged.given);
            let json = || voicing_json(voicing, arranged.given);
            parts.voicings.get(key, json)
        }),
        candidates: style
            .candidates
            .then(|| arranged.candidates.iter().map(candidate).collect()),
        heard_as: grounding.map(HeardAsJson::all),
        touch: grounding.map(TouchJson::all),
    }
}

fn melody_note(heard: &MelodyNote) -> Option<MelodyNoteJson> {
    Some(MelodyNoteJson {
        name: Told::Known(heard.note),
        midi: heard.note.pitch()?.midi(),
        beat: Told::Known(heard.beat),
        beats: Told::Known(heard.beats),
        tied: heard.tied,
    })
}

fn wish(wish: &Wish) -> Option<String> {
    match wish {
        Wish::Plan(wishes) if !wishes.is_empty() => Some(wishes.to_string()),
        _ => None,
    }
}

fn candidate(voicing: &Voicing) -> CandidateJson {
    CandidateJson {
        notes: keys(voicing),
        surcharge: voicing.surcharges.sum(),
    }
}

/// Surcharges under their stable names.
fn surcharges(charged: TotalSurcharges) -> SurchargesJson {
    let TotalSurcharges {
        register,
        plain,
        melody,
    } = charged;
    SurchargesJson {
        register,
        plain,
        melody,
    }
}

fn keys(voicing: &Voicing) -> Vec<u8> {
    voicing.pitches().map(|pitch| pitch.midi()).collect()
}

/// A voicing under its stable names.
pub(in crate::formats) fn voicing_json(voicing: &Voicing, given: bool) -> VoicingJson {
    VoicingJson {
        notes: voicing.notes.iter().map(note).collect(),
        shape: voicing.shape_name(),
        form: voicing.form.map(|form| form.to_string()),
        lowest: Some(voicing.lowest),
        given,
        thinned: voicing.thinned,
        surcharges: surcharges(voicing.surcharges.into()),
    }
}

fn note(voiced: &VoicedNote) -> NoteJson {
    NoteJson {
        name: Told::Known(voiced.note),
        midi: voiced.pitch.midi(),
        degree: Some(voiced.degree),
    }
}

fn alternatives(arrangement: &Arrangement) -> Option<Vec<AlternativeJson>> {
    if arrangement.alternatives.is_empty() {
        return None;
    }
    let ranked = (1..).zip(&arrangement.alternatives);
    let row = |(rank, plan): (usize, &Alternative)| AlternativeJson {
        rank,
        effort: plan.cost.effort,
        motion: plan.cost.effort - plan.surcharges.sum(),
        surcharges: surcharges(plan.surcharges),
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
        effort: totals.cost.effort,
        motion: totals.motion(),
        surcharges: surcharges(totals.surcharges),
        largest_steps: totals.cost.largest,
        off_centre: totals.cost.off_centre,
        optimal: totals.optimal,
        lower_bound: totals.lower_bound.effort,
        width: totals.width,
        as_written: totals.as_written.map(|cost| cost.effort),
        compare: style.compare.then(|| {
            let compare = Compare::of(arrangement);
            CompareJson {
                block_root: compare.block_root,
                block_nearest: compare.block_nearest,
            }
        }),
    }
}
