//! The music of a tune: notes, chords, bars.

use super::bar_line::{AbcBarLine, bar_line, ending};
use super::chord::{Quoted, quoted};
use super::decoration::{are_notes, jump_of_decoration};
use super::fields::{meter, tempo, unit};
use super::key::{AbcKey, signature};
use super::length::{broken, length, number, tuplet};
use super::next_bar::NextBar;
use super::note_times::NoteTimes;
use super::odd_lengths;
use super::open_bar::OpenBar;
use super::pitches::Pitches;
use crate::chart::{Jump, Meter, sizes};
use crate::formats::report::{
    BAR_LENGTHS, CHORD_NOTES, GRACE_NOTES, KEY_CHANGES, LYRICS, Loss, MARKS, MODES, OTHER,
    OTHER_PARTS, OTHER_VOICES, TEMPO_CHANGES, UNREAD_CHORDS, WORDS,
};
use crate::formats::song::{Song, jump_of_words};
use crate::pitch::{Key, Note};
use crate::score::Quarters;

/// The longest rest, in bars.
const MOST_BARS: i64 = 1_000;

/// The music read so far.
pub(super) struct TuneBody {
    song: Song,
    /// How many notes and chord symbols it has so far.
    events: usize,
    key: Option<Key>,
    pitches: Pitches,
    meter: Option<Meter>,
    times: NoteTimes,
    /// The bar that is being read.
    open: OpenBar,
    /// What changes with the next bar.
    next: NextBar,
    /// The voice that is read, and whether another one is being passed over.
    voice: Option<String>,
    other_voice: bool,
    /// Whether what stands up to the bar line is laid over it.
    overlay: bool,
    /// The bars that are longer or shorter than the meter that holds.
    odd: Vec<usize>,
}

impl TuneBody {
    pub(super) fn new(song: Song, signature: AbcKey, meter: Option<Meter>, unit: Quarters) -> Self {
        Self {
            open: OpenBar::of("bar 1".to_owned(), meter),
            song,
            events: 0,
            key: signature.key,
            pitches: Pitches::in_key(signature.alters),
            meter,
            times: NoteTimes::of(unit),
            next: NextBar::default(),
            voice: None,
            other_voice: false,
            overlay: false,
            odd: Vec::new(),
        }
    }

    /// The song, the last bar closed.
    pub(super) fn finish(mut self) -> Song {
        self.bar_line(AbcBarLine::default());
        for at in odd_lengths::faults(&self.song.bars, &self.odd) {
            let place = self.song.bars.get(at).map(|bar| bar.place.as_str());
            self.song.report.add(BAR_LENGTHS, place.unwrap_or_default());
        }
        self.song
    }

    /// Whether it has more than a chart can hold.
    pub(super) const fn is_full(&self) -> bool {
        self.song.bars.len() > sizes::MOST_BARS || self.events > sizes::MOST_EVENTS
    }

    fn lose(&mut self, loss: &'static Loss) {
        self.song.report.add(loss, &self.open.bar.place);
    }

    /// A field between lines of music, or within one.
    pub(super) fn field(&mut self, name: char, text: &str) {
        let text = text.trim();
        match name {
            'V' => self.voice(text),
            _ if self.other_voice => {}
            'K' => self.key(text),
            'M' => {
                self.meter = meter(text);
                self.open.bar.meter = self.meter.unwrap_or(Meter::COMMON);
            }
            'L' => self.times.unit = unit(text).unwrap_or(self.times.unit),
            // Parts have letters; what begins otherwise is damage in the book, and an instruction to jump
            // has no place there.
            'P' if text.starts_with(char::is_alphabetic) && jump_of_words(text).is_none() => {
                self.open.bar.section = Some(text.to_owned());
            }
            'P' => self.lose(OTHER),
            'Q' => self.tempo(text),
            'w' | 'W' => {
                let count = text.split_whitespace().count();
                self.song
                    .report
                    .add_many(LYRICS, count, &self.open.bar.place);
            }
            'T' => self.lose(WORDS),
            'I' | 'r' | 'N' | 'R' | '+' => {}
            _ => self.lose(OTHER),
        }
    }

    fn key(&mut self, text: &str) {
        let new = signature(text);
        if !new.plain {
            self.lose(MODES);
        }
        if new.key.is_some() && new.key != self.key {
            self.next.key = new.key;
            self.change(KEY_CHANGES);
        }
        self.key = new.key;
        self.pitches.change_key(new.alters);
    }

    fn tempo(&mut self, text: &str) {
        match tempo(text, self.times.unit) {
            Some(tempo) => {
                self.next.tempo = Some(tempo);
                self.change(TEMPO_CHANGES);
            }
            None => self.lose(WORDS),
        }
    }

    /// What changes at the beginning of a bar changes with it; within a bar, with the next one.
    fn change(&mut self, within: &'static Loss) {
        match self.open.has_begun() {
            false => self.next.take(&mut self.open.bar),
            true => self.lose(within),
        }
    }

    /// The first voice is read, every other one is passed over.
    fn voice(&mut self, text: &str) {
        let name = text.split_whitespace().next().unwrap_or_default();
        let first = self.voice.get_or_insert_with(|| name.to_owned());
        let other = first != name;
        if other && !self.other_voice {
            self.lose(OTHER_PARTS);
        }
        self.other_voice = other;
    }

    /// A line of music.
    pub(super) fn music(&mut self, line: &str) {
        let mut rest = line;
        while let Some(c) = rest.chars().next().filter(|_| !self.is_full()) {
            let behind = rest.get(c.len_utf8()..).unwrap_or_default();
            rest = match self.inline(rest) {
                Some(behind) => behind,
                None if self.other_voice => behind,
                None => self.sign(c, rest, behind),
            };
        }
    }

    /// A field in brackets within the line.
    fn inline<'a>(&mut self, text: &'a str) -> Option<&'a str> {
        let inner = text.strip_prefix('[')?;
        let name = inner.chars().next().filter(char::is_ascii_alphabetic)?;
        let value = inner.get(1..)?.strip_prefix(':')?;
        let (value, rest) = value.split_once(']')?;
        self.field(name, value);
        Some(rest)
    }

    fn sign<'a>(&mut self, c: char, text: &'a str, behind: &'a str) -> &'a str {
        if let Some((line, rest)) = bar_line(text) {
            self.bar_line(line);
            return rest;
        }
        if self.overlay {
            return behind;
        }
        if let Some((passes, rest)) = ending(text) {
            self.open.bar.endings = passes;
            return rest;
        }
        self.unsounding(c, behind)
            .unwrap_or_else(|| self.sounding(c, text, behind))
    }

    /// What stands between the notes; `None` where this is a note, a rest or their time.
    fn unsounding<'a>(&mut self, c: char, behind: &'a str) -> Option<&'a str> {
        Some(match c {
            '"' => self.quoted(behind),
            '!' | '+' => self.decoration(c, behind),
            '{' => {
                self.lose(GRACE_NOTES);
                behind.split_once('}').map_or("", |(_, rest)| rest)
            }
            '&' => {
                self.overlay = true;
                self.lose(OTHER_VOICES);
                behind
            }
            'O' => self.jump(Jump::Coda, behind),
            'S' => self.jump(Jump::Segno, behind),
            '.' | '~' | 'H' | 'L' | 'M' | 'P' | 'R' | 'T' | 'u' | 'v' => {
                self.lose(MARKS);
                behind
            }
            _ => return None,
        })
    }

    /// A note, notes together, a rest, or what changes their time; anything else is passed over.
    fn sounding<'a>(&mut self, c: char, text: &'a str, behind: &'a str) -> &'a str {
        match c {
            '(' => match tuplet(behind, self.open.bar.meter.is_compound()) {
                Some((tuplet, rest)) => {
                    self.times.tuplet = Some(tuplet);
                    rest
                }
                None => behind,
            },
            '>' | '<' => self.broken(c, text),
            '-' => {
                self.open.tie();
                behind
            }
            '[' => self.chord(behind),
            'z' | 'x' => self.rest(behind),
            'Z' | 'X' => self.bars_of_rest(behind),
            '^' | '_' | '=' | 'A'..='G' | 'a'..='g' => match self.pitches.note(text) {
                Some((note, rest)) => self.note(note, rest),
                None => behind,
            },
            _ => behind,
        }
    }

    fn jump<'a>(&mut self, jump: Jump, behind: &'a str) -> &'a str {
        self.open.bar.jumps.push(jump);
        behind
    }

    fn quoted<'a>(&mut self, text: &'a str) -> &'a str {
        let (inner, rest) = text.split_once('"').unwrap_or((text, ""));
        match quoted(inner) {
            Quoted::Chord(chord) => {
                self.events += 1;
                self.open.chord(chord);
            }
            Quoted::Remark(text) | Quoted::Unread(text) if jump_of_words(&text).is_some() => {
                self.open.bar.jumps.extend(jump_of_words(&text));
            }
            Quoted::Remark(_) => self.lose(WORDS),
            Quoted::Unread(text) if text.is_empty() => {}
            Quoted::Unread(text) => {
                let place = format!("{} (`{text}`)", self.open.bar.place);
                self.song.report.add(UNREAD_CHORDS, &place);
            }
        }
        rest
    }

    /// A decoration between two signs; notes between plus signs are an old way to write them together.
    fn decoration<'a>(&mut self, sign: char, text: &'a str) -> &'a str {
        let Some((name, rest)) = text.split_once(sign) else {
            return text;
        };
        if sign == '+' && are_notes(name) {
            return self.together(name, rest);
        }
        match jump_of_decoration(name) {
            Some(jump) => self.open.bar.jumps.push(jump),
            None => self.lose(MARKS),
        }
        rest
    }

    fn broken<'a>(&mut self, sign: char, text: &'a str) -> &'a str {
        let rest = text.trim_start_matches(sign);
        let (before, after) = broken(sign, text.len() - rest.len());
        self.open.stretch_last(before);
        self.times.broken = Some(after);
        rest
    }

    fn note<'a>(&mut self, note: Note, text: &'a str) -> &'a str {
        let (long, rest) = length(text);
        let time = self.times.next(long);
        self.sound(note, time);
        rest
    }

    fn sound(&mut self, note: Note, time: Quarters) {
        self.events += 1;
        self.open.note(note, time);
    }

    /// Notes struck together: the top one is the melody's.
    fn chord<'a>(&mut self, text: &'a str) -> &'a str {
        match text.split_once(']') {
            Some((inner, rest)) => self.together(inner, rest),
            None => text,
        }
    }

    fn together<'a>(&mut self, inner: &str, rest: &'a str) -> &'a str {
        let struck = self.pitches.struck(inner);
        let (outer, rest) = length(rest);
        if let Some(top) = struck.notes.iter().max_by_key(|note| note.pitch()) {
            let time = self.times.next(struck.length * outer);
            let lower = struck.notes.len() - 1;
            self.song
                .report
                .add_many(CHORD_NOTES, lower, &self.open.bar.place);
            self.sound(*top, time);
        }
        rest
    }

    fn rest<'a>(&mut self, text: &'a str) -> &'a str {
        let (long, rest) = length(text);
        self.open.rest(self.times.next(long));
        rest
    }

    fn bars_of_rest<'a>(&mut self, text: &'a str) -> &'a str {
        let (count, rest) = number(text);
        let count = count.unwrap_or(1).clamp(1, MOST_BARS);
        for _ in 1..count {
            self.open.fill();
            self.bar_line(AbcBarLine::default());
        }
        self.open.fill();
        rest
    }

    /// Closes the bar, if anything stands in it; else what ends here belongs to the bar before.
    fn bar_line(&mut self, line: AbcBarLine) {
        self.overlay = false;
        self.pitches.end_bar();
        self.open.end();
        if self.open.has_begun() {
            let place = format!("bar {}", self.song.bars.len() + 2);
            let mut done = self.open.follow(place, self.meter);
            self.next.take(&mut self.open.bar);
            if self.meter.is_none() {
                done.meter = Meter::COMMON;
            } else if done.length != Quarters::of_bar(done.meter) {
                self.odd.push(self.song.bars.len());
            }
            self.song.bars.push(done);
        }
        line.put_between(self.song.bars.last_mut(), &mut self.open.bar);
    }
}
