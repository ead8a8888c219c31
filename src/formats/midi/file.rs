//! What stands in a Standard MIDI File, each track's notes and texts with their ticks.

use std::collections::BTreeMap;

use midly::{EventIter, MetaMessage, MidiMessage, Timing, TrackEventKind};

use crate::chart::Meter;
use crate::chart::sizes::MOST_MIDI_BYTES;
use crate::formats::unreadable::UnreadableFile;
use crate::pitch::{Key, Mode, Pitch};
use crate::score::Quarters;

/// A file.
#[derive(Debug, Default)]
pub(super) struct MidiFile {
    /// Ticks a quarter note.
    pub division: u16,
    pub tracks: Vec<Track>,
    /// Microseconds a quarter note, and from which tick on.
    pub tempos: Vec<(u64, u32)>,
    pub meters: Vec<(u64, Meter)>,
    pub keys: Vec<(u64, Option<Key>)>,
    pub markers: Vec<(u64, String)>,
    /// The last tick of the longest track.
    pub end: u64,
}

/// A track.
#[derive(Debug, Default)]
pub(super) struct Track {
    pub name: String,
    pub notes: Vec<TickNote>,
    pub texts: Vec<(u64, String)>,
    /// Whether its notes are drums: General MIDI's channel 10.
    pub drums: bool,
}

/// A note in ticks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct TickNote {
    pub start: u64,
    pub end: u64,
    pub key: Pitch,
}

/// Reads a file.
///
/// # Errors
///
/// A file that is cut off or damaged, that has fewer tracks than its header says, a track without an end,
/// times in frames.
pub(super) fn file(bytes: &[u8]) -> Result<MidiFile, UnreadableFile> {
    let damaged = |why: &str| UnreadableFile::new(format!("this MIDI file is damaged: {why}"));
    if bytes.len() > MOST_MIDI_BYTES {
        let why = format!("this MIDI file has more than {} MiB", MOST_MIDI_BYTES >> 20);
        return Err(UnreadableFile::new(why));
    }
    if !is_whole(bytes) {
        return Err(damaged("it is cut off"));
    }
    let (header, tracks) = midly::parse(bytes).map_err(|error| damaged(&error.to_string()))?;
    let Timing::Metrical(division) = header.timing else {
        return Err(UnreadableFile::new(
            "this MIDI file counts in film frames and not in beats",
        ));
    };
    if division.as_int() == 0 {
        return Err(damaged("a quarter note has no ticks"));
    }
    let said = usize::from(bytes.get(10..12).map_or(0, |two| match two {
        [a, b] => u16::from_be_bytes([*a, *b]),
        _ => 0,
    }));
    let mut file = MidiFile {
        division: division.as_int(),
        ..MidiFile::default()
    };
    for events in tracks {
        let events = events.map_err(|error| damaged(&error.to_string()))?;
        track(events, &mut file)?;
    }
    if file.tracks.len() < said {
        let found = file.tracks.len();
        return Err(damaged(&format!(
            "it says it has {said} tracks, and has {found}"
        )));
    }
    Ok(file)
}

/// Whether every chunk is as long as it says. Bytes behind the last one that are too few for a chunk don't
/// count.
fn is_whole(bytes: &[u8]) -> bool {
    let mut rest = bytes;
    while let Some((head, behind)) = rest.split_at_checked(8) {
        let length = match head {
            [_, _, _, _, a, b, c, d] => u32::from_be_bytes([*a, *b, *c, *d]) as usize,
            _ => return false,
        };
        match behind.get(length..) {
            Some(behind) => rest = behind,
            None => return false,
        }
    }
    true
}

fn track(events: EventIter<'_>, file: &mut MidiFile) -> Result<(), UnreadableFile> {
    let number = file.tracks.len() + 1;
    let damaged =
        |why: &str| UnreadableFile::new(format!("this MIDI file is damaged: track {number} {why}"));
    let mut track = Track::default();
    let mut open: BTreeMap<(u8, u8), u64> = BTreeMap::new();
    let (mut at, mut ended) = (0_u64, false);
    for event in events {
        let event = event.map_err(|error| damaged(&format!("can't be read: {error}")))?;
        at += u64::from(event.delta.as_int());
        match event.kind {
            TrackEventKind::Midi { channel, message } => {
                let channel = channel.as_int();
                note(channel, message, at, &mut open, &mut track);
            }
            TrackEventKind::Meta(MetaMessage::EndOfTrack) => ended = true,
            TrackEventKind::Meta(message) => meta(message, at, &mut track, file),
            _ => {}
        }
    }
    if !ended {
        return Err(damaged("has no end: the file is cut off"));
    }
    // What is never let go sounds to the end of its track.
    for ((_, key), start) in open {
        let key = Pitch::new(key).unwrap_or(Pitch::MIDDLE_C);
        track.notes.push(TickNote {
            start,
            end: at,
            key,
        });
    }
    track.notes.sort_unstable();
    file.end = file.end.max(at);
    file.tracks.push(track);
    Ok(())
}

fn note(
    channel: u8,
    message: MidiMessage,
    at: u64,
    open: &mut BTreeMap<(u8, u8), u64>,
    track: &mut Track,
) {
    let (key, on) = match message {
        MidiMessage::NoteOn { key, vel } => (key.as_int(), vel.as_int() > 0),
        MidiMessage::NoteOff { key, .. } => (key.as_int(), false),
        _ => return,
    };
    track.drums |= channel == 9;
    let before = match on {
        true => open.insert((channel, key), at),
        false => open.remove(&(channel, key)),
    };
    if let (Some(start), Some(key)) = (before.filter(|start| *start < at), Pitch::new(key)) {
        track.notes.push(TickNote {
            start,
            end: at,
            key,
        });
    }
}

fn meta(message: MetaMessage<'_>, at: u64, track: &mut Track, file: &mut MidiFile) {
    match message {
        MetaMessage::TrackName(name) => track.name = text(name),
        MetaMessage::Text(words) => track.texts.push((at, text(words))),
        MetaMessage::Marker(words) => file.markers.push((at, text(words))),
        MetaMessage::Tempo(micros) => file.tempos.push((at, micros.as_int())),
        MetaMessage::TimeSignature(upper, halvings, _, _) => {
            let lower = 1_u8.checked_shl(u32::from(halvings)).unwrap_or(0);
            if let Some(meter) = Meter::new(upper, lower) {
                file.meters.push((at, meter));
            }
        }
        MetaMessage::KeySignature(fifths, minor) => {
            let mode = if minor { "minor" } else { "major" };
            let key = crate::formats::song::key_of_signature(i32::from(fifths), mode);
            debug_assert!(key.is_none_or(|(key, _)| (key.mode() == Mode::Minor) == minor));
            file.keys.push((at, key.map(|(key, _)| key)));
        }
        _ => {}
    }
}

/// Text has no encoding of its own in the standard: UTF-8 if it is that, else Latin-1.
fn text(bytes: &[u8]) -> String {
    match std::str::from_utf8(bytes) {
        Ok(text) => text.trim().to_owned(),
        Err(_) => bytes.iter().copied().map(char::from).collect(),
    }
}

/// A note in quarters.
#[derive(Debug, Clone, Copy)]
pub(super) struct TimedKey {
    pub start: Quarters,
    pub end: Quarters,
    pub key: Pitch,
}

impl MidiFile {
    /// Ticks as quarters.
    pub(super) fn quarters(&self, ticks: u64) -> Quarters {
        let ticks = i64::try_from(ticks).unwrap_or(i64::MAX >> 20);
        Quarters::new(ticks, i64::from(self.division))
    }

    /// The notes of one of its tracks in quarters.
    pub(super) fn notes(&self, track: &Track) -> Vec<TimedKey> {
        let note = |note: &TickNote| TimedKey {
            start: self.quarters(note.start),
            end: self.quarters(note.end),
            key: note.key,
        };
        track.notes.iter().map(note).collect()
    }
}

impl Track {
    /// Whether it says that it is a left hand's.
    pub(super) fn is_left_hand(&self) -> bool {
        let name = self.name.to_lowercase();
        ["left hand", "left-hand", "l.h.", "lh"]
            .iter()
            .any(|known| name.contains(known))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The example of RP-001: format 0, 59 bytes of track, with running status.
    const PUBLISHED: &[u8] = b"MThd\0\0\0\x06\0\0\0\x01\0\x60MTrk\0\0\0\x3b\
        \0\xff\x58\x04\x04\x02\x18\x08\0\xff\x51\x03\x07\xa1\x20\0\xc0\x05\0\xc1\x2e\0\xc2\x46\
        \0\x92\x30\x60\0\x3c\x60\x60\x91\x43\x40\x60\x90\x4c\x20\x81\x40\x82\x30\x40\0\x3c\x40\
        \0\x81\x43\x40\0\x80\x4c\x40\0\xff\x2f\0";

    #[test]
    fn the_published_example_is_read() {
        let file = file(PUBLISHED).unwrap();
        assert_eq!((file.division, file.end), (96, 384));
        assert_eq!(file.tempos, [(0, 500_000)]);
        let notes: Vec<(u64, u64, u8)> = file.tracks[0]
            .notes
            .iter()
            .map(|n| (n.start, n.end, n.key.midi()))
            .collect();
        assert_eq!(
            notes,
            [(0, 384, 48), (0, 384, 60), (96, 384, 67), (192, 384, 76)]
        );
    }

    #[test]
    fn a_file_cut_off_anywhere_is_refused() {
        for cut in 0..PUBLISHED.len() {
            assert!(file(&PUBLISHED[..cut]).is_err(), "cut at {cut}");
        }
        let mut more = PUBLISHED.to_vec();
        more[11] = 4;
        assert!(file(&more).unwrap_err().why.contains("4 tracks"));
        let mut frames = PUBLISHED.to_vec();
        frames[12] = 0xe8;
        assert!(file(&frames).unwrap_err().why.contains("frames"));
    }
}
