//! The sentences behind [`crate::formats::why_text`] and the JSON beside it: one function a kind of reason.

use std::collections::BTreeMap;

use crate::chord::Family;
use crate::explain::why::{
    Added, Addition, Arrival, Closer, Decided, LeftOut, Move, NextBest, Omission, Why,
};
use crate::hand::{HandRule, Loosening, Violation};
use crate::harmony::Resolution;
use crate::voicing::{NoVoicing, VoicedNote, Voicing};
use crate::words::listed;

/// `1 semitone`, `5 semitones`.
pub(crate) fn semitones(count: u64) -> String {
    crate::words::counted(count, "semitone")
}

/// The silent tones and why, those with one reason in one sentence.
pub(crate) fn left_out(why: &Why) -> Vec<String> {
    let tone = |out: &LeftOut| match out.degree.number() {
        1 => format!("the root {}", out.name),
        _ => format!("{} {}", out.degree, out.name),
    };
    by_reason(why.left_out.iter().map(|out| (tone(out), omission(out))))
}

/// The added tones and why, those with one reason in one sentence.
pub(crate) fn added(why: &Why) -> Vec<String> {
    let tone = |added: &Added| format!("{} {}", added.degree, added.name);
    by_reason(
        why.added
            .iter()
            .map(|each| (tone(each), addition(why, each))),
    )
}

/// A sentence for each run of tones with one reason: `9 A and 13 E: reason`.
pub(crate) fn by_reason(tones: impl Iterator<Item = (String, String)>) -> Vec<String> {
    let tones: Vec<(String, String)> = tones.collect();
    let sentence = |group: &[(String, String)]| {
        let names: Vec<String> = group.iter().map(|(tone, _)| tone.clone()).collect();
        let reason = group.first().map_or("", |(_, reason)| reason);
        format!("{}: {reason}", listed(&names, "and"))
    };
    tones.chunk_by(|a, b| a.1 == b.1).map(sentence).collect()
}

/// Why a tone is silent.
pub(crate) fn omission(out: &LeftOut) -> String {
    match out.reason {
        Omission::Bass => "left to the bass".to_owned(),
        Omission::OtherBass(bass) => {
            format!("only implied, and the symbol puts {bass} in the bass")
        }
        Omission::Replaced(by) => format!("the {} takes its place", tone_name(by)),
        Omission::Cancels(other) => format!("it cannot stand beside the {other}"),
        Omission::Choice => "alt leaves the choice of alterations to the player".to_owned(),
        Omission::Plain => "carries no colour, so it goes before anything else".to_owned(),
        Omission::Implied => "the symbol only implies it".to_owned(),
        Omission::UnderMelody => "it would lie a half step or a minor ninth under the melody's root, so the 6 stands for it".to_owned(),
        Omission::Suspended => "it would lie a half step or a minor ninth under the melody's 11, so the 4 stands for it".to_owned(),
        Omission::Resolved => "the melody comes to it by itself, from the note a half step above".to_owned(),
        Omission::Sung => "left to the melody, which holds it".to_owned(),
        Omission::Thinned(rule) => format!("thinned out: the last of the fuller voicings was kept out by {}", ruled(rule)),
        Omission::NoRoom => "the shape has no note left for it".to_owned(),
        Omission::Given => "not among the given notes".to_owned(),
    }
}

/// What a rule is about.
fn ruled(rule: HandRule) -> &'static str {
    match rule {
        HandRule::MustSound => "what must sound",
        HandRule::Clash => "a clash",
        HandRule::Reach => "the hand's reach",
        HandRule::Range => "the range",
        HandRule::LowIntervals => "the low-interval limits",
        HandRule::Melody => "the melody above it",
    }
}

/// Why a tone was added.
pub(crate) fn addition(why: &Why, added: &Added) -> String {
    let chord = why.slot.symbol.chord();
    match added.reason {
        Addition::Triad if chord.is_some_and(|c| c.family() == Family::Major) => {
            "a bare major triad is played as a six-nine".to_owned()
        }
        Addition::Triad => {
            "a bare minor triad is played as a minor seventh, with the 9 where it fits".to_owned()
        }
        Addition::TriadAtRest => "a bare minor triad at rest is played as a six-nine".to_owned(),
        // The colour is worked out for one way on.
        Addition::Goes(way) if why.leads_to.len() > 1 => format!("the first time, {}", goes(way)),
        Addition::Goes(Resolution::Elsewhere) if why.leads_to.is_empty() => {
            "nothing follows the dominant, so its colour stays natural".to_owned()
        }
        Addition::Goes(way) => goes(way).to_owned(),
        Addition::TriadAsDominant => {
            "a bare major triad before its minor chord is played as the dominant seventh it is"
                .to_owned()
        }
        Addition::Fits(scale) => format!("belongs to the {scale} scale, the chord's in its key"),
        Addition::Altered => "dominants that resolve are altered, as asked".to_owned(),
        Addition::With(named) => format!("goes with the {named} of the symbol"),
        Addition::Above(tone) => format!("fits, a whole step over the {}", tone_name(tone)),
        Addition::StandsFor(tone) => {
            format!("stands for the {}, a whole step below it", tone_name(tone))
        }
        Addition::Melody => "agrees with the melody, where the usual colour does not".to_owned(),
        Addition::Colour => "the colour asked for adds it".to_owned(),
        Addition::Given => "among the given notes".to_owned(),
    }
}

fn tone_name(tone: crate::pitch::Degree) -> String {
    match tone.number() {
        1 => "root".to_owned(),
        _ => tone.to_string(),
    }
}

fn goes(way: Resolution) -> &'static str {
    match way {
        Resolution::FifthIntoMajor => "the dominant goes down a fifth into a major chord",
        Resolution::FifthIntoMinor => "the dominant goes down a fifth into a minor chord",
        Resolution::HalfStepDown => "the dominant steps down a half tone",
        Resolution::Elsewhere => {
            "the dominant goes neither down a fifth nor down a half tone, so its colour stays natural"
        }
    }
}

/// That a bare triad takes no colour here.
pub(crate) fn stays_plain(why: &Why) -> Option<&'static str> {
    let line = why.context.line?;
    let chord = why.slot.symbol.chord()?;
    let plain = Some(line.moves) == chord.third() && chord.seventh().is_none() && !why.given;
    plain.then_some(
        "a bare triad takes no 6, 7 or 9 here: the tune is written in triads, or the chords beside it say what moves",
    )
}

/// That a voicing is an inversion which is neither form.
pub(crate) fn turned(voicing: &Voicing) -> Option<String> {
    let lowest = voicing.lowest;
    voicing.turned.then(|| {
        format!(
            "the {lowest} lies lowest, neither the third nor the seventh: so the hand moves less"
        )
    })
}

/// Where the hand comes from, and which times it does.
pub(crate) fn from_where(way: &Arrival, all: usize, before: Option<&Why>) -> String {
    let from = match before {
        None => "the performance begins here".to_owned(),
        Some(why) => {
            let slot = &why.slot;
            format!("from {} in bar {}", slot.symbol.text(), slot.bar)
        }
    };
    if way.times.len() == all {
        return from;
    }
    format!("{} time, {from}", which_times(&way.times, all))
}

fn which_times(times: &[usize], all: usize) -> String {
    let nth = |time: &usize| match time {
        1 => "first".to_owned(),
        2 => "second".to_owned(),
        3 => "third".to_owned(),
        4 => "fourth".to_owned(),
        n => format!("number {n}"),
    };
    match times {
        few if few.len() <= 4 => {
            let names: Vec<String> = few.iter().map(nth).collect();
            format!("the {}", listed(&names, "and"))
        }
        [first, ..] => format!("from the {} on, {} of {all}", nth(first), times.len()),
        [] => String::new(),
    }
}

/// What moves, how far, and what stays.
pub(crate) fn moves(way: &Arrival) -> String {
    let motion = u64::from(way.motion());
    if motion == 0 {
        return "nothing moves".to_owned();
    }
    if let Some(sentence) = in_parallel(&way.moves) {
        return format!("{}: {sentence}{}", semitones(motion), kept(way));
    }
    let mut going = Vec::new();
    let mut staying = Vec::new();
    for group in groups(&way.moves) {
        match group[..] {
            [one] if one.semitones() == 0 => {
                staying.push(one.to.note.to_string());
            }
            _ => going.push(movement(&group)),
        }
    }
    let verb = if staying.len() == 1 { "stays" } else { "stay" };
    let staying = match staying.is_empty() {
        true => String::new(),
        false => format!("; {} {verb}", listed(&staying, "and")),
    };
    format!(
        "{}: {}{staying}{}",
        semitones(motion),
        listed(&going, "and"),
        kept(way)
    )
}

/// One sentence where all notes of equally many move alike.
fn in_parallel(moves: &[Move]) -> Option<String> {
    let alike = moves.windows(2).all(|w| match w {
        [a, b] => a.semitones() == b.semitones() && a.from != b.from && a.to != b.to,
        _ => true,
    });
    let first = moves.first().filter(|_| alike && moves.len() > 1)?;
    Some(format!(
        "all {} notes {}",
        moves.len(),
        upward(first.semitones())
    ))
}

/// `up 2`, `down 1`.
fn upward(semitones: i32) -> String {
    let way = if semitones < 0 { "down" } else { "up" };
    format!("{way} {}", semitones.unsigned_abs())
}

/// The keys that sound before and after although the pairing moves their notes on.
fn kept(way: &Arrival) -> String {
    let stays = |note: &VoicedNote| {
        let mut moves = way.moves.iter();
        moves.any(|each| each.semitones() == 0 && each.to.pitch == note.pitch)
    };
    let other = way.held.iter().filter(|note| !stays(note));
    let other: Vec<String> = other.map(|note| note.note.to_string()).collect();
    let verb = if other.len() == 1 { "sounds" } else { "sound" };
    match other.len() {
        0 => String::new(),
        _ => format!(" ({} {verb} before and after)", listed(&other, "and")),
    }
}

/// The moves of one note each, and those that split or meet together.
fn groups(moves: &[Move]) -> Vec<Vec<Move>> {
    let joined = |a: &Move, b: &Move| a.from.pitch == b.from.pitch || a.to.pitch == b.to.pitch;
    moves.chunk_by(joined).map(<[Move]>::to_vec).collect()
}

fn movement(group: &[Move]) -> String {
    let notes = |pick: fn(&Move) -> VoicedNote| -> Vec<String> {
        // By key, so that each is named once.
        let each: BTreeMap<_, _> = group
            .iter()
            .map(|m| (pick(m).pitch, pick(m).note))
            .collect();
        each.values().map(ToString::to_string).collect()
    };
    let (from, to) = (notes(|m| m.from), notes(|m| m.to));
    match group {
        [one] => format!(
            "{} {} to {}",
            one.from.note,
            upward(one.semitones()),
            one.to.note
        ),
        _ if from.len() == 1 => format!("{} opens to {}", listed(&from, "and"), listed(&to, "and")),
        _ => format!("{} meet on {}", listed(&from, "and"), listed(&to, "and")),
    }
}

/// The cheapest other voicing and what it would cost.
pub(crate) fn next_best(voicing: &Voicing, next: Option<&NextBest>) -> String {
    let Some(next) = next else {
        return format!(
            "none: this is the only legal {} voicing here",
            voicing.shape_name()
        );
    };
    let other = &next.priced.voicing;
    format!("{other} ({}) {}", degrees(other), decision(next.decided))
}

fn decision(decided: Decided) -> String {
    match decided {
        Decided::Effort(more) => format!("would cost the tune {} more", semitones(more)),
        Decided::LargestSteps(more) => format!(
            "would move the tune no further, but in larger steps: the largest of each move add up to {} more",
            semitones(more)
        ),
        Decided::OffCentre(_) => {
            "would be as smooth, but the tune would lie further from the middle of the range"
                .to_owned()
        }
        Decided::Order => {
            "would be as good in everything that is compared; the fixed order decided".to_owned()
        }
    }
}

/// Why the shapes that were wanted first had nothing.
pub(crate) fn thinned(wanted: &NoVoicing) -> String {
    let shapes = wanted.shapes.join(" or ");
    let help = wanted
        .loosening
        .as_ref()
        .filter(|help| !matches!(help, Loosening::Shape(_)));
    let help = help.map_or_else(String::new, |help| {
        format!("; what would help: {}", help.beside(wanted.middle_c))
    });
    match wanted.last_in_words() {
        Some((shape, why)) => {
            format!("no {shapes} voicing fits here: in the last {shape} one {why}{help}")
        }
        None => format!("this chord has no {shapes} voicing"),
    }
}

/// How a distance is counted where a slot is played more than once.
pub(crate) fn counted(why: &Why) -> String {
    let times: usize = why.arrivals.iter().map(|way| way.times.len()).sum();
    match times {
        0 | 1 => String::new(),
        many => format!(", over the {many} times it is played"),
    }
}

/// What would lie nearer to where the hand comes from, and why it is not played.
pub(crate) fn nearer_to_before(why: &Why, closer: &Closer) -> String {
    let but = match closer.price {
        Some(0) => "and the tune would move no further with it".to_owned(),
        Some(price) => format!(
            "but would cost the tune {} more in the end",
            semitones(price)
        ),
        None => {
            let reasons = broken(why, &closer.voicing, &closer.violations);
            format!("but {}", not_allowed(&reasons))
        }
    };
    let (voicing, less) = (&closer.voicing, semitones(closer.less));
    format!(
        "{voicing} ({}) would lie {less} nearer to where the hand comes from{}, {but}",
        degrees(voicing),
        counted(why)
    )
}

/// What a voicing breaks in the slot, its notes and the melody's named as on the page.
pub(crate) fn broken(why: &Why, voicing: &Voicing, violations: &[Violation]) -> Vec<String> {
    let own = |pitch| voicing.notes.iter().find(|note| note.pitch == pitch);
    let name = |pitch| match own(pitch) {
        Some(voiced) => voiced.note.to_string(),
        None => why.slot.written(pitch),
    };
    let middle_c = why.slot.middle_c;
    violations
        .iter()
        .map(|violation| violation.spelled(name, middle_c))
        .collect()
}

/// What a voicing breaks: all of it, up to three.
pub(crate) fn not_allowed(reasons: &[String]) -> String {
    match reasons {
        [] => "a wish keeps it out".to_owned(),
        [first, second, third, rest @ ..] if !rest.is_empty() => {
            let few = [first, second, third].map(String::as_str).join("; ");
            format!("{few}; and {} more", rest.len())
        }
        few => few.join("; "),
    }
}

/// The degrees, lowest first.
pub(crate) fn degrees(voicing: &Voicing) -> String {
    let degrees: Vec<String> = voicing.notes.iter().map(|n| n.degree.to_string()).collect();
    degrees.join(" ")
}
