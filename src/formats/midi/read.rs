//! A song from a Standard MIDI File: a melody track, and chords where texts or markers give them.

use super::file::{MidiFile, TickNote, Track, file};
use crate::chart::Meter;
use crate::chart::sizes::MOST_BARS;
use crate::chord::{Chord, Symbol};
use crate::formats::report::{
    CHORD_NOTES, KEY_CHANGES, Loss, OTHER_PARTS, ROUGHER_TIMES, TEMPO_CHANGES,
};
use crate::formats::song::{Song, SongBar, SongChord, SongNote};
use crate::formats::unreadable::UnreadableFile;
use crate::pitch::{Key, KeyNames, Name, Note, Pitch, Spelling};
use crate::score::Quarters;

/// What a time is rounded to where it was played and not written: a twelfth of a quarter note, which
/// has the sixteenths and the triplets of eighths.
const GRID: i64 = 12;

/// The song in a Standard MIDI File. The melody is the track that is named, else one called a melody, else
/// the first that is neither a left hand nor a bass nor drums.
///
/// # Errors
///
/// A damaged file; no such track; no chords; a file that goes on for too long.
pub fn read(bytes: &[u8], part: Option<&str>) -> Result<Song, UnreadableFile> {
    let file = file(bytes)?;
    let (chords, by_markers) = chords(&file);
    if chords.is_empty() {
        return Err(UnreadableFile::no_chords("this MIDI file"));
    }
    let melody = melody(&file, part)?;
    let hand = file.tracks.iter().position(Track::is_left_hand);
    let mut reader = MidiReader {
        song: Song::default(),
        bars: bars(&file)?,
        keys: Vec::new(),
        chords: Vec::new(),
        file: &file,
    };
    reader.head();
    reader.chords(chords);
    if let Some(track) = melody.and_then(|at| file.tracks.get(at)) {
        reader.melody(track);
    }
    if let Some(track) = hand.and_then(|at| file.tracks.get(at)) {
        reader.hand(track);
    }
    if !by_markers {
        reader.sections();
    }
    reader.tell_other_parts([melody, hand]);
    reader.song.bars = reader.bars.into_iter().map(|(_, bar)| bar).collect();
    Ok(reader.song)
}

/// Texts that are chord symbols; markers where no text is one.
fn chords(file: &MidiFile) -> (Vec<(u64, String)>, bool) {
    let is_chord = |text: &&(u64, String)| {
        let (_, text) = text;
        let starts =
            text.starts_with(|c: char| ('A'..='G').contains(&c)) || text.starts_with("N.C");
        starts && Symbol::read(text).is_ok()
    };
    let texts = file.tracks.iter().flat_map(|track| &track.texts);
    let mut texts: Vec<(u64, String)> = texts.filter(is_chord).cloned().collect();
    texts.sort_by_key(|(at, _)| *at);
    if !texts.is_empty() {
        return (texts, false);
    }
    let markers: Vec<(u64, String)> = file.markers.iter().filter(is_chord).cloned().collect();
    (markers, true)
}

fn melody(file: &MidiFile, part: Option<&str>) -> Result<Option<usize>, UnreadableFile> {
    let with = |what: &dyn Fn(&Track) -> bool| file.tracks.iter().position(what);
    if let Some(name) = part {
        let found = with(&|track| track.name.eq_ignore_ascii_case(name.trim()));
        let names: Vec<&str> = file
            .tracks
            .iter()
            .map(|track| track.name.as_str())
            .collect();
        let why = || format!("there is no track `{name}` in it, but {}", names.join(", "));
        return found.map(Some).ok_or_else(|| UnreadableFile::new(why()));
    }
    let called = |track: &Track, words: &[&str]| {
        let name = track.name.to_lowercase();
        !track.notes.is_empty() && words.iter().any(|word| name.contains(word))
    };
    let melody = with(&|track| called(track, &["melody", "tune", "lead", "vocal"]));
    let other = |track: &Track| track.is_left_hand() || track.drums || called(track, &["bass"]);
    Ok(melody.or_else(|| with(&|track| !track.notes.is_empty() && !other(track))))
}

/// Empty bars to the end of the file, each with where it starts.
fn bars(file: &MidiFile) -> Result<Vec<(Quarters, SongBar)>, UnreadableFile> {
    let end = file.quarters(file.end);
    let mut changes = file
        .meters
        .iter()
        .map(|(at, meter)| (file.quarters(*at), *meter))
        .peekable();
    let mut meter = Meter::COMMON;
    let mut at = Quarters::ZERO;
    let mut bars = Vec::new();
    while at < end || bars.is_empty() {
        while let Some((_, new)) = changes.next_if(|(from, _)| *from <= at) {
            meter = new;
        }
        let mut bar = SongBar::of(format!("bar {}", bars.len() + 1), meter);
        // A meter that changes within a bar cuts it short.
        if let Some((from, _)) = changes.peek().filter(|(from, _)| *from < at + bar.length) {
            bar.length = *from - at;
        }
        let start = at;
        at += bar.length;
        bars.push((start, bar));
        if bars.len() > MOST_BARS {
            let why = format!("this MIDI file has more than {MOST_BARS} bars");
            return Err(UnreadableFile::new(why));
        }
    }
    Ok(bars)
}

struct MidiReader<'a> {
    file: &'a MidiFile,
    song: Song,
    bars: Vec<(Quarters, SongBar)>,
    /// The keys that the song changes to, and when.
    keys: Vec<(Quarters, Key)>,
    /// The chords, and where they stand.
    chords: Vec<(Quarters, Symbol)>,
}

impl MidiReader<'_> {
    fn head(&mut self) {
        let named = self.file.tracks.first().map(|track| track.name.clone());
        let lone = self.file.tracks.len() == 1;
        self.song.title = named.filter(|name| !name.is_empty() && !lone);
        let file = self.file;
        for (at, micros) in &file.tempos {
            let tempo = Quarters::new(60_000_000, i64::from(*micros).max(1));
            if let Some(bar) = self.changed(*at, TEMPO_CHANGES) {
                bar.tempo = Some(tempo);
            }
        }
        for (at, key) in file.keys.iter().filter_map(|(at, key)| Some((at, (*key)?))) {
            if let Some(bar) = self.changed(*at, KEY_CHANGES) {
                bar.key = Some(key);
            }
        }
        let keys = self.bars.iter().map(|(start, bar)| (*start, bar.key));
        self.keys = keys
            .filter_map(|(start, key)| Some((start, key?)))
            .collect();
    }

    /// The bar with which something changes at a tick: the next one where the tick lies within one.
    fn changed(&mut self, ticks: u64, within: &'static Loss) -> Option<&mut SongBar> {
        let time = self.file.quarters(ticks);
        let at = self.bars.partition_point(|(start, _)| *start < time);
        let exactly = self.bars.get(at).is_some_and(|(start, _)| *start == time);
        if !exactly {
            let place = self
                .bars
                .get(at.saturating_sub(1))
                .map(|(_, bar)| bar.place.as_str());
            self.song.report.add(within, place.unwrap_or_default());
        }
        self.bars.get_mut(at).map(|(_, bar)| bar)
    }

    /// The key in force at a time.
    fn key_at(&self, time: Quarters) -> Option<Key> {
        in_force(&self.keys, time).copied()
    }

    /// A time in quarters: exactly where it is one that is written, else the nearest of the grid.
    fn snapped(&mut self, ticks: u64) -> Quarters {
        let exact = self.file.quarters(ticks);
        let rough = snapped(exact);
        if exact != rough {
            self.song.report.add(ROUGHER_TIMES, "");
        }
        rough
    }

    /// The bar a time lies in, and where in it.
    fn bar_at(&mut self, time: Quarters) -> Option<(&mut SongBar, Quarters)> {
        let at = self
            .bars
            .partition_point(|(start, _)| *start <= time)
            .checked_sub(1)?;
        let (start, bar) = self.bars.get_mut(at)?;
        let within = time - *start;
        (within < bar.length).then_some((bar, within))
    }

    fn name(&self, pitch: Pitch, at: Quarters) -> Option<Note> {
        let chord = in_force(&self.chords, at).and_then(Symbol::chord);
        spelled(pitch, chord, self.key_at(at))
    }

    fn chords(&mut self, chords: Vec<(u64, String)>) {
        for (at, text) in chords {
            let place = self.snapped(at);
            let read = Symbol::read(&text).map(|symbol| (place, symbol));
            self.chords.extend(read);
            if let Some((bar, at)) = self.bar_at(place) {
                bar.chords.push((at, text));
            }
        }
    }

    /// Says which tracks with notes are left out: all but those that were taken.
    fn tell_other_parts(&mut self, taken: [Option<usize>; 2]) {
        for (at, track) in self.file.tracks.iter().enumerate() {
            if !taken.contains(&Some(at)) && !track.notes.is_empty() {
                self.song.report.add(OTHER_PARTS, &track.name);
            }
        }
    }

    /// The top notes of a track, each within its bars.
    fn melody(&mut self, track: &Track) {
        let mut notes: Vec<TickNote> = track.notes.clone();
        notes.sort_by_key(|note| (note.start, std::cmp::Reverse(note.key)));
        let all = notes.len();
        notes.dedup_by_key(|note| note.start);
        self.song
            .report
            .add_many(CHORD_NOTES, all - notes.len(), "");
        for note in notes {
            let (start, mut end) = (self.snapped(note.start), self.snapped(note.end));
            if end <= start {
                end = start + Quarters::new(1, GRID);
            }
            self.add(start, end, note.key);
        }
    }

    fn add(&mut self, start: Quarters, end: Quarters, key: Pitch) {
        let Some(note) = self.name(key, start) else {
            return;
        };
        let mut from = start;
        while from < end {
            let Some((bar, at)) = self.bar_at(from) else {
                return;
            };
            let length = (end - from).min(bar.length - at);
            cut_short(&mut bar.melody, at);
            from += length;
            bar.melody.push(SongNote {
                at,
                length,
                note,
                tied: from < end,
            });
        }
    }

    fn hand(&mut self, track: &Track) {
        for struck in track.notes.chunk_by(|a, b| a.start == b.start) {
            let Some(first) = struck.first() else {
                continue;
            };
            let start = self.snapped(first.start);
            let notes: Vec<Note> = struck
                .iter()
                .filter_map(|note| self.name(note.key, start))
                .collect();
            if let Some((bar, at)) = self.bar_at(start) {
                bar.hand.push(SongChord { at, notes });
            }
        }
    }

    fn sections(&mut self) {
        for (at, name) in &self.file.markers {
            let place = snapped(self.file.quarters(*at));
            if let Some((bar, _)) = self.bar_at(place).filter(|(_, at)| *at == Quarters::ZERO) {
                bar.section = Some(name.clone());
            }
        }
    }
}

/// Ends the last note where the next one starts; one that starts there itself is gone.
fn cut_short(melody: &mut Vec<SongNote>, at: Quarters) {
    if let Some(last) = melody.last_mut().filter(|last| last.at + last.length > at) {
        last.length = at - last.at;
    }
    melody.pop_if(|last| last.length <= Quarters::ZERO);
}

/// A time as a chart can write it.
fn snapped(time: Quarters) -> Quarters {
    let parts = time.denominator();
    let written = parts <= 64 && 20_160 % parts == 0;
    if written {
        time
    } else {
        Quarters::from((time.ratio() * GRID).round() / GRID)
    }
}

/// What holds at a time, of what is in order.
fn in_force<T>(all: &[(Quarters, T)], time: Quarters) -> Option<&T> {
    let before = all.partition_point(|(start, _)| *start <= time);
    let (_, found) = all.get(before.checked_sub(1)?)?;
    Some(found)
}

/// A note's name: what the chord that stands there calls it, else what the key does.
pub(super) fn spelled(pitch: Pitch, chord: Option<&Chord>, key: Option<Key>) -> Option<Note> {
    let usual: Option<Key> = "C".parse().ok();
    let name: Name = match chord {
        Some(chord) => {
            let names = key.map_or(KeyNames::NONE, KeyNames::of);
            chord.name_of(pitch.class(), Spelling::Practical, names)
        }
        None => key.or(usual)?.name_of(pitch.class()),
    };
    Note::spelled(pitch, name)
}
