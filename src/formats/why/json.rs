//! The reasons behind a chart's voicings for programs: one object a line.

use schemars::JsonSchema;
use serde::Serialize;

use crate::explain::why::named::in_c4;
use crate::explain::why::plainer::sentence;
use crate::explain::why::words;
use crate::explain::why::{
    Addition, Arrival, Closer, Decided, Move, Nearer, NextBest, Omission, Plainer, Why,
};
use crate::formats::grounding::{HeardAsJson, TouchJson};
use crate::formats::json::{VoicingJson, line, schema_text, voicing_json};
use crate::hand::Violation;
use crate::voicing::{NoVoicing, VoicedNote, Voicing};

/// Why a slot sounds as it does, under stable names: one object a line.
#[derive(Debug, Serialize, JsonSchema)]
pub struct WhyReport {
    /// The slot's place among all slots, from 0.
    index: usize,
    /// The section's name.
    section: String,
    /// The written bar, counted from 1.
    bar: usize,
    /// The beat it starts on, from 1: an exact fraction.
    beat: String,
    /// The symbol as written.
    symbol: String,
    /// What the hand plays; null for silence.
    voicing: Option<VoicingJson>,
    /// The tones of the symbol that are silent.
    left_out: Vec<ReasonJson>,
    /// The tones that the symbol does not ask for.
    added: Vec<ReasonJson>,
    /// The plain tones that stand where usual tensions would.
    plainer: Vec<PlainerJson>,
    /// The ways the performance comes here, in the order it first does.
    arrivals: Vec<ArrivalJson>,
    /// The slots that sound after it, by index, each once.
    leads_to: Vec<usize>,
    /// The cheapest other legal voicing; null where there is none, or the notes are given.
    next_best: Option<NextJson>,
    /// Why the shapes before this one had nothing; null where the first shape was taken.
    thinned: Option<ThinnedJson>,
    /// Whether a nearer voicing was looked for: not for silence, given notes or a lone chord.
    nearer_sought: bool,
    /// The nearest voicing there would be without the limits; null where none is nearer.
    nearer: Option<BarredJson>,
    /// The nearest to what sounds before alone, legal or not; null where none is nearer.
    closer: Option<CloserJson>,
    /// The chords on other roots these notes would be taken for, most likely first, when asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    heard_as: Option<Vec<HeardAsJson>>,
    /// What the right hand or the bass would touch to make the chord clear, when asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    touch: Option<Vec<TouchJson>>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "ReasonedTone")]
struct ReasonJson {
    /// Its degree in the chord.
    degree: String,
    /// Its name over the root.
    name: String,
    /// The reason, as one stable word.
    reason: &'static str,
    /// The reason in words.
    because: String,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "PlainerTone")]
struct PlainerJson {
    /// The note that sounds.
    note: String,
    /// Its degree in the chord.
    degree: String,
    /// The tension in whose place it stands.
    tension: String,
    /// The note of the melody that the tension would rub; null where it would rub none.
    rubs: Option<String>,
    /// In words.
    because: String,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Arrival")]
struct ArrivalJson {
    /// The slot that sounded before, by index; null where the performance begins.
    from: Option<usize>,
    /// Which times the slot is played after that one, from 1.
    times: Vec<usize>,
    /// How far all notes move together, in semitones.
    motion: u32,
    /// Note by note, lowest first.
    moves: Vec<MoveJson>,
    /// The keys that sound in both voicings.
    held: Vec<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Move")]
struct MoveJson {
    /// The note before.
    from: String,
    /// The note now.
    to: String,
    /// Up is more than 0; 0 stays.
    semitones: i32,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "NextBest")]
struct NextJson {
    voicing: VoicingJson,
    /// By how much the effort of the whole tune grows: exact, in semitones.
    price: u64,
    /// The effort of the whole tune at best with it: motion and surcharges.
    effort: u64,
    /// What decided against it: `effort`, `largest-steps`, `off-centre` or `order`.
    decided_by: &'static str,
    /// By how much: semitones, for `off-centre` half semitones, 0 for `order`.
    by: u64,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Thinned")]
struct ThinnedJson {
    /// The shapes that had nothing, first choice first.
    shapes: Vec<&'static str>,
    /// The rule that the one that got furthest broke; null where the chord has no such shape.
    rule: Option<String>,
    /// In words.
    because: String,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Barred")]
struct BarredJson {
    voicing: VoicingJson,
    /// How many semitones less would move to and from its neighbours over the performance.
    less: u64,
    /// Everything it breaks.
    breaches: Vec<ViolationJson>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Closer")]
struct CloserJson {
    voicing: VoicingJson,
    /// How many semitones less would move into it over the performance.
    less: u64,
    /// How many semitones of motion the whole tune gets worse by: exact; null where it may not be
    /// played.
    price: Option<u64>,
    /// Everything it breaks.
    breaches: Vec<ViolationJson>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Violation")]
struct ViolationJson {
    /// The rule.
    rule: String,
    /// What is wrong.
    because: String,
}

/// The reasons as JSON, a line a slot; with `grounding`, also what a voicing would be taken for.
pub fn why_json<'a>(slots: impl IntoIterator<Item = &'a Why>, grounding: bool) -> String {
    let slots = slots.into_iter();
    slots
        .map(|why| line(&WhyReport::of(why, grounding)))
        .collect()
}

/// The JSON Schema of the lines, as indented text.
pub fn why_schema() -> String {
    schema_text::<WhyReport>()
}

impl WhyReport {
    /// The reasons of one slot; with `grounding`, also what its voicing would be taken for.
    pub fn of(why: &Why, grounding: bool) -> Self {
        let why = in_c4(why);
        let why = why.as_ref();
        let (slot, voicing) = (&why.slot, why.voicing.as_ref());
        let grounds = why.grounding.as_ref().filter(|_| grounding);
        Self {
            index: slot.index,
            section: slot.section.to_string(),
            bar: slot.bar,
            beat: slot.beat.to_string(),
            symbol: slot.symbol.text().to_owned(),
            voicing: voicing.map(|voicing| voicing_json(voicing, why.given)),
            left_out: left_out(why),
            added: added(why),
            plainer: why.plainer.iter().map(plainer).collect(),
            arrivals: why.arrivals.iter().map(arrival).collect(),
            leads_to: why.leads_to.clone(),
            next_best: why.next_best.as_ref().map(next_best),
            thinned: why.thinned.as_ref().map(thinned),
            nearer_sought: why.nearer != Nearer::NotSought,
            nearer: nearer(why),
            closer: why.closer.as_ref().map(|found| closer(why, found)),
            heard_as: grounds.map(HeardAsJson::all),
            touch: grounds.map(TouchJson::all),
        }
    }
}

fn left_out(why: &Why) -> Vec<ReasonJson> {
    let tones = why.left_out.iter();
    tones
        .map(|out| ReasonJson {
            degree: out.degree.to_string(),
            name: out.name.to_string(),
            reason: omission(out.reason),
            because: words::omission(out),
        })
        .collect()
}

fn plainer(plainer: &Plainer) -> PlainerJson {
    PlainerJson {
        note: plainer.note.note.to_string(),
        degree: plainer.note.degree.to_string(),
        tension: plainer.tension.to_string(),
        rubs: plainer.rubs.map(|note| note.to_string()),
        because: sentence(plainer),
    }
}

fn added(why: &Why) -> Vec<ReasonJson> {
    let tones = why.added.iter();
    tones
        .map(|added| ReasonJson {
            degree: added.degree.to_string(),
            name: added.name.to_string(),
            reason: addition(added.reason),
            because: words::addition(why, added),
        })
        .collect()
}

fn omission(reason: Omission) -> &'static str {
    match reason {
        Omission::Bass => "bass",
        Omission::OtherBass(_) => "other-bass",
        Omission::Replaced(_) => "replaced",
        Omission::Cancels(_) => "cancels",
        Omission::Choice => "choice",
        Omission::Plain => "plain",
        Omission::Implied => "implied",
        Omission::Suspended => "suspended",
        Omission::UnderMelody => "under-melody",
        Omission::Resolved => "resolved-by-melody",
        Omission::Sung => "sung",
        Omission::Thinned(_) => "thinned",
        Omission::NoRoom => "no-room",
        Omission::Given => "given",
    }
}

fn addition(reason: Addition) -> &'static str {
    match reason {
        Addition::Triad | Addition::TriadAtRest | Addition::TriadAsDominant => "triad",
        Addition::Fits(_) => "fits",
        Addition::Goes(_) => "goes",
        Addition::Altered => "altered",
        Addition::With(_) => "with",
        Addition::Above(_) => "above",
        Addition::StandsFor(_) => "stands-for",
        Addition::Melody => "melody",
        Addition::Colour => "colour",
        Addition::Given => "given",
    }
}

fn arrival(way: &Arrival) -> ArrivalJson {
    let movement = |each: &Move| MoveJson {
        from: each.from.note.to_string(),
        to: each.to.note.to_string(),
        semitones: each.semitones(),
    };
    let name = |note: &VoicedNote| note.note.to_string();
    ArrivalJson {
        from: way.from,
        times: way.times.clone(),
        motion: way.motion(),
        moves: way.moves.iter().map(movement).collect(),
        held: way.held.iter().map(name).collect(),
    }
}

fn next_best(next: &NextBest) -> NextJson {
    let (decided_by, by) = match next.decided {
        Decided::Effort(more) => ("effort", more),
        Decided::LargestSteps(more) => ("largest-steps", more),
        Decided::OffCentre(more) => ("off-centre", more),
        Decided::Order => ("order", 0),
    };
    NextJson {
        voicing: voicing_json(&next.priced.voicing, false),
        price: next.priced.price,
        effort: next.priced.total.effort,
        decided_by,
        by,
    }
}

fn thinned(wanted: &NoVoicing) -> ThinnedJson {
    ThinnedJson {
        shapes: wanted.shapes.to_vec(),
        rule: wanted.last.map(|(_, breach)| breach.rule().to_string()),
        because: words::thinned(wanted),
    }
}

fn nearer(why: &Why) -> Option<BarredJson> {
    let Nearer::Barred(barred) = &why.nearer else {
        return None;
    };
    Some(BarredJson {
        voicing: voicing_json(&barred.voicing, false),
        less: barred.less,
        breaches: breaches(why, &barred.voicing, &barred.violations),
    })
}

fn closer(why: &Why, closer: &Closer) -> CloserJson {
    CloserJson {
        voicing: voicing_json(&closer.voicing, false),
        less: closer.less,
        price: closer.price,
        breaches: breaches(why, &closer.voicing, &closer.violations),
    }
}

fn breaches(why: &Why, voicing: &Voicing, breaches: &[Violation]) -> Vec<ViolationJson> {
    let each = |(breach, because): (&Violation, String)| ViolationJson {
        rule: breach.rule().to_string(),
        because,
    };
    let words = words::broken(why, voicing, breaches);
    breaches.iter().zip(words).map(each).collect()
}
