//! A left hand that somebody played to a chart: a track of a Standard MIDI File held against the chart's
//! own times.
//!
//! A file doesn't say what its chords are called; the chart does. So all that is asked of the file is what
//! the hand strikes when, counted from the first bar of the chart in the order it is played
//! ([`super::struck`]).

use super::file::{MidiFile, Track, file};
use super::struck::Listener;
use crate::chart::{Chart, PlayOrder, Wish};
use crate::formats::report::LossReport;
use crate::formats::unreadable::UnreadableFile;
use crate::score::slot_times;

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
    let scroll = chart.unfolded(order);
    let slots = scroll.slots();
    let times = slot_times(&scroll, &slots);
    let mut listener = Listener::new(file.notes(track), &slots, &times, order);
    let wishes = listener.wishes(chart);
    Ok(written(chart, order, scroll, &wishes, listener.report))
}

fn written(
    chart: &Chart,
    order: &PlayOrder,
    scroll: Chart,
    wishes: &[Wish],
    report: LossReport,
) -> PlayedHand {
    let slots = chart.slots();
    let visits = order.performance(&slots, false).visits().to_vec();
    if let Some(hands) = alike(&visits, wishes, slots.len()) {
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
