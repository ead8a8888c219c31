//! Makes a song of a score: which part has the melody, which the chords, which the left hand.

use super::measure::{Measure, MeasureNote};
use super::read_signs::MeasureSigns;
use super::score_file::{ScoreFile, ScorePart};
use crate::chart::{Jump, Meter, Stroke};
use crate::formats::report::{
    CHORD_NOTES, JUMPS, LossReport, OTHER_PARTS, OTHER_VOICES, TEMPO_CHANGES, WORDS,
};
use crate::formats::song::{Song, SongBar, SongChord, SongNote, merged};
use crate::formats::unreadable::UnreadableFile;
use crate::score::Quarters;

/// Which parts a song is made of.
#[derive(Debug, Clone, Copy)]
struct Roles {
    /// The melody: the top voice of the first staff.
    melody: Option<usize>,
    /// The part whose chord symbols count.
    chords: usize,
    /// The left hand: the part, and whether only its second staff.
    hand: Option<(usize, bool)>,
}

/// The song of a score; `part` names the melody's.
///
/// # Errors
///
/// No such part; no chord symbols.
pub(super) fn song(whole: ScoreFile, part: Option<&str>) -> Result<Song, UnreadableFile> {
    let roles = roles(&whole, part)?;
    let main = roles.melody.unwrap_or(roles.chords);
    let signs = signs(&whole);
    let mut song = Song {
        title: whole.title.clone(),
        remarks: whole.remarks.clone(),
        report: lost_in_parts(&whole, &roles),
        ..Song::default()
    };
    let counts = whole.parts.iter().map(|part| part.measures.len());
    let count = counts.max().unwrap_or(0);
    let mut meter = Meter::COMMON;
    let (mut carried, mut next_tempo) = (Vec::new(), None);
    for (at, signs) in (0..count).zip(&signs) {
        let measure = |part: usize| whole.parts.get(part).and_then(|part| part.measures.get(at));
        meter = measure(main)
            .and_then(|measure| measure.meter)
            .unwrap_or(meter);
        let mut bar = bar(&roles, &measure, meter, &mut song.report);
        bar.key = measure(main).and_then(|measure| measure.key);
        bar.tempo = next_tempo.take();
        bar.jumps = carried;
        carried = follow(at, signs, &mut bar, &mut song);
        next_tempo = tempi(signs, &mut bar, &mut song);
        song.bars.push(bar);
    }
    jumps(&mut song);
    Ok(song)
}

/// What was lost in reading the parts that are used, and the names of those that aren't.
fn lost_in_parts(whole: &ScoreFile, roles: &Roles) -> LossReport {
    let mut report = LossReport::default();
    let hand = roles.hand.map(|(at, _)| at);
    let used = [Some(roles.chords), roles.melody, hand];
    for (at, part) in whole.parts.iter().enumerate() {
        let mut measures = part.measures.iter();
        if used.contains(&Some(at)) {
            report.merge(&part.state.report);
        } else if measures.any(|measure| !measure.notes.is_empty()) {
            report.add(OTHER_PARTS, part.name.trim());
        }
    }
    report
}

fn roles(whole: &ScoreFile, named: Option<&str>) -> Result<Roles, UnreadableFile> {
    let with = |what: &dyn Fn(&ScorePart) -> bool| whole.parts.iter().position(what);
    let has_chords = |part: &ScorePart| part.measures.iter().any(|m| !m.chords.is_empty());
    let sings = |part: &ScorePart| {
        let notes = part.measures.iter().flat_map(|measure| &measure.notes);
        notes.clone().any(|note| note.staff == 1) && !is_left_hand(part)
    };
    let melody = match named {
        None => with(&sings),
        Some(name) => {
            let found = with(&|part| part.is_called(name));
            let names: Vec<&str> = whole.parts.iter().map(|part| part.name.trim()).collect();
            let why = || format!("there is no part `{name}` in it, but {}", names.join(", "));
            Some(found.ok_or_else(|| UnreadableFile::new(why()))?)
        }
    };
    let own = melody.filter(|at| whole.parts.get(*at).is_some_and(has_chords));
    let chords = own.or_else(|| with(&has_chords));
    let two_staves = |part: &ScorePart| part.state.staves > 1;
    let below = melody.filter(|at| whole.parts.get(*at).is_some_and(two_staves));
    let hand = with(&is_left_hand).map(|at| (at, false));
    let hand = hand.or_else(|| Some((below.or_else(|| with(&two_staves))?, true)));
    Ok(Roles {
        melody,
        chords: chords.ok_or_else(|| UnreadableFile::no_chords("this score"))?,
        hand,
    })
}

/// Whether a part says that it is for the left hand.
fn is_left_hand(part: &ScorePart) -> bool {
    let name = part.name.to_lowercase();
    [
        "left hand",
        "l.h.",
        "main gauche",
        "linke hand",
        "mano sinistra",
    ]
    .iter()
    .any(|known| name.contains(known))
}

/// What all parts together say to a player in each measure, once.
fn signs(whole: &ScoreFile) -> Vec<MeasureSigns> {
    let count = whole
        .parts
        .iter()
        .map(|part| part.measures.len())
        .max()
        .unwrap_or(0);
    let of = |at: usize| {
        let mut all = MeasureSigns::default();
        for part in &whole.parts {
            if let Some(measure) = part.measures.get(at) {
                all.merge(&measure.signs);
                all.words.extend(measure.signs.words.iter().cloned());
            }
        }
        all
    };
    (0..count).map(of).collect()
}

fn bar<'a>(
    roles: &Roles,
    measure: &impl Fn(usize) -> Option<&'a Measure>,
    meter: Meter,
    report: &mut LossReport,
) -> SongBar {
    let used = [
        Some(roles.chords),
        roles.melody,
        roles.hand.map(|(part, _)| part),
    ];
    let measures = used.into_iter().flatten().filter_map(measure);
    let length = measures.map(|m| m.length).max().unwrap_or(Quarters::ZERO);
    let number = measure(roles.chords).map_or("?", |m| m.number.as_str());
    let mut bar = SongBar::of(format!("measure {number}"), meter);
    if length > Quarters::ZERO {
        bar.length = length;
    }
    bar.chords = measure(roles.chords)
        .map(|m| m.chords.clone())
        .unwrap_or_default();
    if let Some(measure) = roles.melody.and_then(measure) {
        bar.melody = melody(&measure.notes, report, &bar.place);
    }
    if let Some((part, lower)) = roles.hand
        && let Some(measure) = measure(part)
    {
        let notes = measure
            .notes
            .iter()
            .filter(|note| !lower || note.staff == 2);
        bar.hand = hand(notes);
    }
    bar
}

/// What a player follows in a bar; given back are the signs that belong to the next one.
fn follow(at: usize, signs: &MeasureSigns, bar: &mut SongBar, song: &mut Song) -> Vec<Jump> {
    bar.section.clone_from(&signs.section);
    bar.opens_repeat = signs.opens_repeat;
    bar.endings.clone_from(&signs.endings);
    bar.closes_repeat = signs.closes_repeat;
    bar.stroke = signs.stroke;
    // A chart's last ending goes on to a double bar line.
    if signs.ending_stops && signs.closes_repeat.is_none() && signs.stroke == Stroke::Single {
        bar.stroke = Stroke::Double;
    }
    for (place, words) in &signs.words {
        words_at((at, *place), words, &bar.place, song);
    }
    // What stands behind the last note and is arrived at belongs to the next bar.
    let mut next = Vec::new();
    for (place, jump) in &signs.jumps {
        match jump.is_target() && *place >= bar.length {
            true => next.push(*jump),
            false => bar.jumps.push(*jump),
        }
    }
    bar.jumps = merged(&bar.jumps);
    next
}

/// The tempi of a bar: the one at its beginning is its own; given back is the last that stands within it.
fn tempi(signs: &MeasureSigns, bar: &mut SongBar, song: &mut Song) -> Option<Quarters> {
    let mut next = None;
    for (place, tempo) in &signs.tempi {
        if *place > Quarters::ZERO {
            song.report.add(TEMPO_CHANGES, &bar.place);
            next = Some(*tempo);
        } else {
            bar.tempo = Some(*tempo);
        }
    }
    next
}

/// The first line of text over the first note is the style.
fn words_at((bar, place): (usize, Quarters), words: &str, at: &str, song: &mut Song) {
    let known = song.remarks.iter().any(|(_, value)| value == words);
    let styled = song.remarks.iter().any(|(name, _)| name == "style");
    if known || words.is_empty() {
        return;
    }
    if bar == 0 && place == Quarters::ZERO && !styled {
        song.remarks.push(("style".to_owned(), words.to_owned()));
    } else {
        song.report.add(WORDS, at);
    }
}

/// The top voice of the first staff, each note tied to the one before in the bar joined to it.
fn melody(notes: &[MeasureNote], report: &mut LossReport, place: &str) -> Vec<SongNote> {
    let upper = || notes.iter().filter(|note| note.staff == 1);
    let Some(voice) = upper().map(|note| note.voice).min() else {
        return Vec::new();
    };
    let others = upper().filter(|note| note.voice != voice).count();
    report.add_many(OTHER_VOICES, others, place);
    let mut own: Vec<&MeasureNote> = upper().filter(|note| note.voice == voice).collect();
    own.sort_by_key(|note| (note.at, std::cmp::Reverse(note.note.pitch())));
    let before = own.len();
    own.dedup_by_key(|note| note.at);
    report.add_many(CHORD_NOTES, before - own.len(), place);
    let mut melody: Vec<SongNote> = Vec::new();
    for heard in own {
        let last = melody.last_mut().filter(|last| {
            heard.tied && last.note == heard.note && last.at + last.length == heard.at
        });
        match last {
            Some(last) => {
                last.length += heard.length;
                last.tied = heard.ties_on;
            }
            None => melody.push(SongNote {
                at: heard.at,
                length: heard.length,
                note: heard.note,
                tied: heard.ties_on,
            }),
        }
    }
    melody
}

fn hand<'a>(notes: impl Iterator<Item = &'a MeasureNote>) -> Vec<SongChord> {
    let mut notes: Vec<&MeasureNote> = notes.collect();
    notes.sort_by_key(|note| note.at);
    let chords = notes.chunk_by(|a, b| a.at == b.at);
    chords
        .filter_map(|chord| {
            Some(SongChord {
                at: chord.first()?.at,
                notes: chord.iter().map(|heard| heard.note).collect(),
            })
        })
        .collect()
}

/// Makes sense of jumps that are said for playing only, or drawn with one sign for two things.
fn jumps(song: &mut Song) {
    let has = |song: &Song, wanted: &[Jump]| {
        let jumps = song.bars.iter().flat_map(|bar| &bar.jumps);
        jumps.filter(|jump| wanted.contains(jump)).count()
    };
    // A coda sign where the player leaves and one to arrive at look alike.
    if has(song, &[Jump::Coda]) == 2 && has(song, &[Jump::ToCoda]) == 0 {
        replace_first(song, Jump::Coda, Jump::ToCoda);
    }
    let to_coda = has(song, &[Jump::ToCoda]) > 0;
    let said = has(song, &[Jump::DaCapoAlCoda, Jump::DalSegnoAlCoda]) > 0;
    if to_coda && !said {
        replace_first(song, Jump::DaCapo, Jump::DaCapoAlCoda);
        replace_first(song, Jump::DalSegno, Jump::DalSegnoAlCoda);
    }
    for sign in [Jump::Segno, Jump::Coda] {
        let mut seen = false;
        for bar in &mut song.bars {
            let count = bar.jumps.len();
            bar.jumps
                .retain(|jump| *jump != sign || !std::mem::replace(&mut seen, true));
            song.report
                .add_many(JUMPS, count - bar.jumps.len(), &bar.place);
        }
    }
}

fn replace_first(song: &mut Song, from: Jump, to: Jump) {
    let mut jumps = song.bars.iter_mut().flat_map(|bar| &mut bar.jumps);
    if let Some(jump) = jumps.find(|jump| **jump == from) {
        *jump = to;
    }
}
