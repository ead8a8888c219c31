//! A left hand that somebody played to a chart: a track of a Standard MIDI File held against the chart's
//! own times.
//!
//! A file doesn't say what its chords are called; the chart does. So all that is asked of the file is what
//! the hand strikes when, counted from the first bar of the chart in the order it is played. What is struck
//! within a quarter of a beat of a chord's place is struck there: that takes in what a player is early or
//! late, rolled chords, and eighths swung as far as 3 : 1. What sounds on through half of a chord is part of
//! it. How far off a player may be is a number of ours, from no source.

use num_rational::Ratio;

use super::file::{MidiFile, TickNote, Track, file};
use super::read::spelled;
use crate::chart::{Chart, PlayOrder, Slot, Wish};
use crate::formats::report::{
    BEHIND_END, HAND_MOVES, HAND_NOTES, Loss, LossReport, NO_CHORD_NOTES, NOT_PLAYED, STRUCK_AGAIN,
    STRUCK_AHEAD, STRUCK_LATE,
};
use crate::formats::unreadable::UnreadableFile;
use crate::pitch::Pitch;
use crate::score::{Quarters, SlotTime, slot_times};

/// The most notes of a hand, as in chart text.
const MOST: usize = 10;

/// A left hand as it was played to a chart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlayedHand {
    /// The chart with what the hand played: as it is written where every pass was played alike, else with
    /// its play order written out.
    pub chart: Chart,
    /// The order in which its slots are played.
    pub played: Vec<usize>,
    /// For each of its bars the bar of the page, from 1, where the play order is written out.
    pub written: Option<Vec<usize>>,
    /// What of the track is nothing that a chart can hold.
    pub report: LossReport,
}

/// What the left hand in a MIDI file plays to a chart. The track is the one with this name, or this number
/// from 1; else the one that calls itself a left hand; else the only one with notes.
///
/// # Errors
///
/// A damaged file; no such track; several tracks, none of which says that it is the left hand.
pub fn left_hand(
    bytes: &[u8],
    track: Option<&str>,
    chart: &Chart,
    order: &PlayOrder,
) -> Result<PlayedHand, UnreadableFile> {
    let file = file(bytes)?;
    let track = chosen(&file, track)?;
    let scroll = chart.unrolled(order);
    let slots = scroll.slots();
    let times = slot_times(&scroll, &slots);
    let mut player = Listener {
        notes: heard(track, file.division),
        slots: &slots,
        times: &times,
        order,
        report: LossReport::default(),
    };
    let hands = player.hands();
    let wishes: Vec<Wish> = slots
        .iter()
        .zip(hands)
        .map(|(slot, hand)| player.wish(slot, hand, chart))
        .collect();
    Ok(written(chart, order, scroll, &wishes, player.report))
}

fn written(
    chart: &Chart,
    order: &PlayOrder,
    scroll: Chart,
    wishes: &[Wish],
    report: LossReport,
) -> PlayedHand {
    let visits = order.performance(&chart.slots(), false).visits().to_vec();
    if let Some(hands) = alike(&visits, wishes, chart.slots().len()) {
        return PlayedHand {
            chart: chart.with_hands(hands),
            played: visits,
            written: None,
            report,
        };
    }
    PlayedHand {
        chart: scroll.with_hands(wishes.iter().cloned()),
        played: (0..wishes.len()).collect(),
        written: Some(order.visits().iter().map(|visit| visit.bar + 1).collect()),
        report,
    }
}

/// What each slot of the page is played with, if it is the same at every visit.
fn alike(visits: &[usize], wishes: &[Wish], slots: usize) -> Option<Vec<Wish>> {
    let mut hands = vec![None; slots];
    for (slot, wish) in visits.iter().zip(wishes) {
        let hand = hands.get_mut(*slot)?;
        if hand.get_or_insert_with(|| wish.clone()) != wish {
            return None;
        }
    }
    let hands = hands.into_iter().map(|hand| hand.unwrap_or(Wish::Silent));
    Some(hands.collect())
}

fn chosen<'a>(file: &'a MidiFile, named: Option<&str>) -> Result<&'a Track, UnreadableFile> {
    let sounds = |track: &&Track| !track.notes.is_empty() && !track.drums;
    if let Some(name) = named {
        let called = |track: &&Track| track.name.eq_ignore_ascii_case(name.trim());
        let number = name
            .trim()
            .parse()
            .ok()
            .and_then(|number: usize| number.checked_sub(1));
        let found = file.tracks.iter().find(called);
        let found = found.or_else(|| file.tracks.get(number?));
        let why = || format!("there is no track `{name}` in it, but {}", listed(file));
        return found.ok_or_else(|| UnreadableFile::new(why()));
    }
    let hand = file
        .tracks
        .iter()
        .find(|track| sounds(track) && track.is_left_hand());
    let mut others = file.tracks.iter().filter(sounds);
    match (hand, others.next(), others.next()) {
        (Some(hand), ..) | (None, Some(hand), None) => Ok(hand),
        (None, None, _) => Err(UnreadableFile::new("no track of this MIDI file has notes")),
        (None, Some(_), Some(_)) => {
            let why = format!(
                "none of its tracks is called a left hand: it has {}",
                listed(file)
            );
            Err(UnreadableFile::new(why).help("say with --track which one it is"))
        }
    }
}

/// The tracks with notes, as a user can name them.
fn listed(file: &MidiFile) -> String {
    let named = (1..)
        .zip(&file.tracks)
        .filter(|(_, track)| !track.notes.is_empty());
    let named = named.map(|(number, track)| match track.name.as_str() {
        "" => format!("{number} (without a name)"),
        name => format!("{number} `{name}`"),
    });
    let named: Vec<String> = named.collect();
    match named.as_slice() {
        [] => "none with notes".to_owned(),
        _ => named.join(", "),
    }
}

/// A note in quarters.
#[derive(Debug, Clone, Copy)]
struct Heard {
    start: Quarters,
    end: Quarters,
    key: Pitch,
}

fn heard(track: &Track, division: u16) -> Vec<Heard> {
    let quarters = |ticks: u64| {
        Quarters::new(
            i64::try_from(ticks).unwrap_or(i64::MAX >> 20),
            division.into(),
        )
    };
    let note = |note: &TickNote| Heard {
        start: quarters(note.start),
        end: quarters(note.end),
        key: note.key,
    };
    track.notes.iter().map(note).collect()
}

/// What a hand strikes at one time.
type StruckKeys = (Quarters, Vec<Pitch>);

/// What is struck or held in one slot.
#[derive(Debug, Clone, Default)]
struct SlotKeys {
    /// Struck in its place, or held into it.
    keys: Vec<Pitch>,
    /// Struck while it lasts, in order.
    later: Vec<StruckKeys>,
}

/// Goes through what was played.
struct Listener<'a> {
    notes: Vec<Heard>,
    slots: &'a [Slot],
    times: &'a [SlotTime],
    order: &'a PlayOrder,
    report: LossReport,
}

impl Listener<'_> {
    /// What every slot is played with.
    fn hands(&mut self) -> Vec<Vec<Pitch>> {
        let mut hands = self.struck();
        self.held(&mut hands);
        let mut played: Vec<Vec<Pitch>> = Vec::with_capacity(hands.len());
        for at in 0..hands.len() {
            let sounding = played.last().cloned().unwrap_or_default();
            let keys = self.ahead(&mut hands, &sounding, at);
            let keys = keys.or_else(|| self.late(hands.get_mut(at)?, at));
            let own = hands.get(at).map(|hand| hand.keys.clone());
            played.push(keys.or(own).unwrap_or_default());
        }
        for (at, (hand, keys)) in hands.iter().zip(&played).enumerate() {
            self.tell_later(hand, keys, at);
        }
        played
    }

    fn tell(&mut self, loss: &'static Loss, at: usize) {
        let place = self.slots.get(at).map(|slot| self.place(slot));
        self.report.add(loss, &place.unwrap_or_default());
    }

    /// The place of a slot on the page.
    fn place(&self, slot: &Slot) -> String {
        let visit = slot
            .bar
            .checked_sub(1)
            .and_then(|bar| self.order.visits().get(bar));
        let (bar, pass) = visit.map_or((slot.bar, 1), |visit| (visit.bar + 1, visit.pass));
        let again = if pass > 1 {
            format!(", time {pass}")
        } else {
            String::new()
        };
        format!("bar {bar}, beat {}{again}", slot.beat)
    }

    /// Gives every note to the slot it is struck in, at its place or later.
    fn struck(&mut self) -> Vec<SlotKeys> {
        let mut hands = vec![SlotKeys::default(); self.times.len()];
        let end = self.times.last().map_or(Quarters::ZERO, |time| time.end);
        let mut behind = 0;
        for note in &self.notes {
            let after = self.times.partition_point(|time| time.start <= note.start);
            if let Some(hand) = self.nearest(note, after).and_then(|at| hands.get_mut(at)) {
                hand.keys.push(note.key);
            } else if note.start >= end {
                behind += 1;
            } else if let Some(hand) = after.checked_sub(1).and_then(|at| hands.get_mut(at)) {
                add(&mut hand.later, note);
            }
        }
        self.report.add_many(BEHIND_END, behind, "");
        hands.iter_mut().for_each(|hand| rising(&mut hand.keys));
        hands
    }

    /// The slot in whose place a note is struck; `after` is the first that starts after it.
    fn nearest(&self, note: &Heard, after: usize) -> Option<usize> {
        let off = |at: usize| {
            let slot = self.times.get(at)?;
            let early = slot.start.max(note.start) - slot.start.min(note.start);
            (early <= near(slot)).then_some((early, at))
        };
        let beside = [after.checked_sub(1), Some(after)].into_iter().flatten();
        beside.filter_map(off).min().map(|(_, at)| at)
    }

    /// Adds to every slot what was struck before it and sounds on through half of it.
    fn held(&self, hands: &mut [SlotKeys]) {
        for note in &self.notes {
            let first = self.times.partition_point(|time| time.start <= note.start);
            let later = self.times.iter().zip(hands.iter_mut()).skip(first);
            for (time, hand) in later.take_while(|(time, _)| time.start < note.end) {
                let half = time.start + (time.end - time.start) * Ratio::new(1, 2);
                let struck_here = time.start - note.start <= near(time);
                if note.end >= half && !struck_here {
                    hand.keys.push(note.key);
                    rising(&mut hand.keys);
                }
            }
        }
    }

    /// What is struck for a slot up to half a beat ahead: something else than what is sounding until
    /// then, and alone or held into the slot.
    fn ahead(
        &mut self,
        hands: &mut [SlotKeys],
        sounding: &[Pitch],
        at: usize,
    ) -> Option<Vec<Pitch>> {
        let own = hands.get(at)?.keys.clone();
        let time = self.times.get(at)?;
        let from = time.start - time.beat * Ratio::new(1, 2);
        let before = hands.get_mut(at.checked_sub(1)?)?;
        let (_, keys) = before.later.pop_if(|(start, keys)| {
            let new = keys.as_slice() != sounding;
            new && *start >= from && (own.is_empty() || own == *keys)
        })?;
        self.tell(STRUCK_AHEAD, at);
        Some(keys)
    }

    /// What is struck while a slot lasts, where nothing is in its place.
    fn late(&mut self, hand: &mut SlotKeys, at: usize) -> Option<Vec<Pitch>> {
        let has_chord = self.slots.get(at)?.symbol.chord().is_some();
        if !has_chord || !hand.keys.is_empty() || hand.later.is_empty() {
            return None;
        }
        self.tell(STRUCK_LATE, at);
        Some(hand.later.remove(0).1)
    }

    /// Tells what was struck in a slot beside what it is played with.
    fn tell_later(&mut self, hand: &SlotKeys, keys: &[Pitch], at: usize) {
        let has_chord = self
            .slots
            .get(at)
            .is_some_and(|slot| slot.symbol.chord().is_some());
        for (_, later) in &hand.later {
            let same = later.iter().all(|key| keys.contains(key));
            match (has_chord, same) {
                (false, _) => self.tell(NO_CHORD_NOTES, at),
                (true, true) => self.tell(STRUCK_AGAIN, at),
                (true, false) => self.tell(HAND_MOVES, at),
            }
        }
    }

    /// What a slot is to be played with, as a chart has it.
    fn wish(&mut self, slot: &Slot, mut keys: Vec<Pitch>, chart: &Chart) -> Wish {
        let place = self.place(slot);
        if slot.symbol.chord().is_none() {
            self.report.add_many(NO_CHORD_NOTES, keys.len(), &place);
            return Wish::Silent;
        }
        if keys.is_empty() {
            self.report.add(NOT_PLAYED, &place);
            return Wish::Silent;
        }
        let beyond = keys.len().saturating_sub(MOST);
        self.report.add_many(HAND_NOTES, beyond, &place);
        keys.truncate(MOST);
        let note = |key: &Pitch| slot.spelled(*key).or_else(|| spelled(*key, chart.key()));
        Wish::Given(keys.iter().filter_map(note).collect())
    }
}

/// How far from a slot's place a note is struck there: a quarter of a beat.
fn near(slot: &SlotTime) -> Quarters {
    slot.beat * Ratio::new(1, 4)
}

/// Puts a note to the stroke it belongs to: what is struck within a sixteenth note is one.
fn add(strokes: &mut Vec<StruckKeys>, note: &Heard) {
    match strokes.last_mut() {
        Some((start, keys)) if note.start - *start <= Quarters::new(1, 4) => {
            keys.push(note.key);
            rising(keys);
        }
        _ => strokes.push((note.start, vec![note.key])),
    }
}

/// From the lowest up, each key once.
fn rising(keys: &mut Vec<Pitch>) {
    keys.sort_unstable();
    keys.dedup();
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    /// A file of one track at 480 ticks a quarter: (start, end, key), in eighths of a quarter note.
    fn midi(name: &str, notes: &[(u32, u32, u8)]) -> Vec<u8> {
        let mut events: Vec<(u32, [u8; 3])> = Vec::new();
        for (start, end, key) in notes {
            events.push((start * 60, [0x90, *key, 80]));
            events.push((end * 60, [0x80, *key, 0]));
        }
        events.sort_by_key(|(at, event)| (*at, event[0]));
        let mut track = vec![0, 0xff, 3, name.len() as u8];
        track.extend(name.as_bytes());
        let mut now = 0;
        for (at, event) in events {
            let wait = at - now;
            now = at;
            track.extend([
                0x80 | (wait >> 14) as u8,
                0x80 | (wait >> 7 & 0x7f) as u8,
                (wait & 0x7f) as u8,
            ]);
            track.extend(event);
        }
        track.extend([0, 0xff, 0x2f, 0]);
        let mut bytes = b"MThd\0\0\0\x06\0\x01\0\x01\x01\xe0MTrk".to_vec();
        bytes.extend((track.len() as u32).to_be_bytes());
        bytes.extend(track);
        bytes
    }

    /// The hand's row of the tidied chart, and what was told.
    fn played(source: &str, notes: &[(u32, u32, u8)]) -> (String, Vec<String>) {
        let chart = read(source).unwrap();
        let order = chart.play_order().unwrap();
        let hand = left_hand(&midi("Left hand", notes), None, &chart, &order).unwrap();
        let rows = hand.chart.tidy();
        let row = rows.lines().find(|line| line.starts_with("lh")).unwrap();
        let row: Vec<&str> = row.split_whitespace().skip(1).collect();
        let told = hand.report.items().into_iter().map(|item| item.text);
        (row.join(" "), told.collect())
    }

    #[test]
    fn what_is_struck_near_a_chord_is_struck_there() {
        // A rolled chord, one swung by a sixth of a beat, one held over.
        let notes = [(0, 14, 53), (1, 14, 57), (15, 31, 59), (17, 62, 53)];
        let (rows, told) = played("| Dm7 G7 | G7 |", &notes);
        assert_eq!(rows, "| F3.A3 F3.B3 | F3 |");
        assert_eq!(told, [""; 0]);
    }

    #[test]
    fn what_is_no_chords_place_is_told() {
        // Struck again, and other notes while the chord lasts.
        let notes = [(0, 8, 53), (12, 16, 53), (20, 24, 55), (36, 40, 57)];
        let (rows, told) = played("| Dm7 | Am7 | N.C. | G7 |", &notes);
        assert_eq!(rows, "| F3 | A3 | - | - |");
        assert_eq!(
            told,
            [
                "1 chord struck only after its place: taken as if struck there (bar 2, beat 1)",
                "1 chord struck again while it lasts: taken as one (bar 1, beat 1)",
                "1 chord in which the left hand moves: only its first notes are kept (bar 1, beat 1)",
                "1 chord that the hand does not play: taken as silent (bar 4, beat 1)",
            ]
        );
        let (_, told) = played("| Dm7 |", &[(0, 8, 53), (40, 44, 53)]);
        assert_eq!(told, ["1 note behind the end of the chart left out"]);
    }

    #[test]
    fn a_chord_pushed_by_an_eighth_belongs_to_the_next_bar() {
        let notes = [(0, 24, 53), (28, 60, 55), (60, 64, 53)];
        let (rows, told) = played("| Dm7 | G7 | Dm7 |", &notes);
        assert_eq!(rows, "| F3 | G3 | F3 |");
        assert_eq!(
            told,
            [
                "2 chords struck ahead of their places: taken for the next chord (first: bar 2, beat 1)"
            ]
        );
    }

    #[test]
    fn passes_that_are_played_alike_are_one_page() {
        let chart = read("|: Dm7 | G7 :|").unwrap();
        let order = chart.play_order().unwrap();
        let one = [(0, 32, 53), (32, 64, 55), (64, 96, 53), (96, 128, 55)];
        let hand = left_hand(&midi("", &one), None, &chart, &order).unwrap();
        assert_eq!((hand.played, hand.written), (vec![0, 1, 0, 1], None));
        let other = [(0, 32, 53), (32, 64, 55), (64, 96, 53), (96, 128, 57)];
        let hand = left_hand(&midi("", &other), None, &chart, &order).unwrap();
        assert_eq!(hand.written, Some(vec![1, 2, 1, 2]));
        assert_eq!(hand.chart.slots().len(), 4);
    }

    #[test]
    fn a_track_is_named_or_names_itself() {
        let chart = read("| Dm7 |").unwrap();
        let order = chart.play_order().unwrap();
        let bytes = midi("Piano", &[(0, 8, 53)]);
        for name in ["piano", "1"] {
            assert!(left_hand(&bytes, Some(name), &chart, &order).is_ok());
        }
        let refused = left_hand(&bytes, Some("Bass"), &chart, &order).unwrap_err();
        assert_eq!(refused.why, "there is no track `Bass` in it, but 1 `Piano`");
    }
}
