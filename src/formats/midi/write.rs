//! An arrangement as a Standard MIDI File.
//!
//! Format 1: a track of tempo, meter, key and section markers, then one each for the melody, the left
//! hand (with the chord symbols as text) and the bass. The played order is written out, since the
//! format has no repeats; swing goes into the times for the same reason.

use midly::num::{u4, u7, u15, u24, u28};
use midly::{Format, Header, MetaMessage, MidiMessage, Smf, Timing, TrackEvent, TrackEventKind};

use crate::arrange::Arrangement;
use crate::chart::Meter;
use crate::pitch::{Key, Mode};
use crate::score::{Part, Performing, Quarters, Sign, Tempo, TimedNote, Timeline};

/// An arrangement as a Standard MIDI File.
///
/// ```
/// use compline::arrange::{Settings, arrange};
/// use compline::{chart, formats::midi, score::Performing};
///
/// let chart = chart::read("tempo: 120\n| C |").unwrap();
/// let arrangement = arrange(chart, &Settings::default(), &mut Default::default()).unwrap();
/// let bytes = midi::midi(&arrangement, &Performing::default());
/// assert_eq!(bytes[..14], *b"MThd\0\0\0\x06\0\x01\0\x02\x01\xe0");
/// ```
pub fn midi(arrangement: &Arrangement, performing: &Performing) -> Vec<u8> {
    let timeline = Timeline::of(arrangement, performing);
    let clock = Clock::of(&timeline);
    let title = arrangement.chart.title().map(plain).unwrap_or_default();
    let texts = chord_texts(&timeline);
    let mut tracks = vec![conductor(&timeline, &title, clock)];
    for track in TRACKS {
        let notes = timeline.notes.iter().filter(|note| note.part == track.part);
        let notes: Vec<TimedNote> = notes.copied().collect();
        if !notes.is_empty() || track.part == Part::Hand {
            tracks.push(played(track, &notes, &texts, (&timeline, clock)));
        }
    }
    let format = Header::new(Format::Parallel, Timing::Metrical(clock.division()));
    let mut bytes = Vec::new();
    let file = Smf {
        header: format,
        tracks: tracks.into_iter().map(Timed::track).collect(),
    };
    // Writing into memory fails only for tracks longer than 32 bits, which no timeline is.
    let written = file.write_std(&mut bytes);
    debug_assert!(written.is_ok());
    bytes
}

/// A track of notes.
#[derive(Debug, Clone, Copy)]
struct NoteTrack {
    part: Part,
    name: &'static str,
    channel: u8,
    /// The General MIDI program, from 0.
    program: u8,
    velocity: u8,
}

/// The tracks, in their order. Programs are General MIDI's acoustic grand piano and acoustic bass (from
/// memory); how loud each is, is ours.
const TRACKS: [NoteTrack; 3] = [
    NoteTrack {
        part: Part::Melody,
        name: "Melody",
        channel: 0,
        program: 0,
        velocity: 88,
    },
    NoteTrack {
        part: Part::Hand,
        name: "Left hand",
        channel: 1,
        program: 0,
        velocity: 64,
    },
    NoteTrack {
        part: Part::Bass,
        name: "Bass",
        channel: 2,
        program: 32,
        velocity: 72,
    },
];

/// How quarters become ticks.
#[derive(Debug, Clone, Copy)]
struct Clock {
    ticks: u16,
}

impl Clock {
    /// Ticks a quarter: the fewest of these that hold every time of a chart exactly. 480 is what
    /// sequencers expect; 20,160 has everything a chart can write in beats of a quarter.
    const DIVISIONS: [u16; 4] = [480, 960, 6720, 20_160];

    fn of(timeline: &Timeline) -> Self {
        let ends = timeline
            .notes
            .iter()
            .flat_map(|n| [n.start, n.start + n.length]);
        let signs = timeline.signs.iter().map(|(at, _)| *at);
        let times: Vec<i64> = ends.chain(signs).map(Quarters::denominator).collect();
        let exact = |ticks: &u16| times.iter().all(|parts| i64::from(*ticks) % parts == 0);
        let ticks = Self::DIVISIONS.into_iter().find(exact);
        Self {
            ticks: ticks.unwrap_or(20_160),
        }
    }

    fn division(self) -> u15 {
        u15::new(self.ticks)
    }

    /// The tick of a place; the nearest one where it lies between two.
    fn at(self, place: Quarters) -> u32 {
        let ticks = (place.ratio() * i64::from(self.ticks)).round().to_integer();
        u32::try_from(ticks).unwrap_or(0)
    }
}

/// Events with the tick each stands at; of two at one tick the lower rank comes first.
#[derive(Default)]
struct Timed<'a> {
    events: Vec<(u32, Rank, TrackEventKind<'a>)>,
    end: u32,
}

/// What comes first at one tick: names and signs, then notes that end, then notes that start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    Text,
    Off,
    On,
}

impl<'a> Timed<'a> {
    fn add(&mut self, at: u32, rank: Rank, kind: TrackEventKind<'a>) {
        self.events.push((at, rank, kind));
    }

    fn meta(&mut self, at: u32, message: MetaMessage<'a>) {
        self.add(at, Rank::Text, TrackEventKind::Meta(message));
    }

    /// The events in order, each with its time after the one before, and the end of the track.
    fn track(mut self) -> Vec<TrackEvent<'a>> {
        self.events.sort_by_key(|(at, rank, _)| (*at, *rank));
        let last = self.events.last().map_or(0, |(at, _, _)| *at);
        let end = TrackEventKind::Meta(MetaMessage::EndOfTrack);
        self.add(self.end.max(last), Rank::On, end);
        let mut before = 0;
        let events = self.events.into_iter().map(|(at, _, kind)| {
            let delta = u28::new(at - before);
            before = at;
            TrackEvent { delta, kind }
        });
        events.collect()
    }
}

fn conductor<'a>(timeline: &'a Timeline, title: &'a str, clock: Clock) -> Timed<'a> {
    let mut track = Timed {
        end: clock.at(timeline.end),
        ..Timed::default()
    };
    if !title.is_empty() {
        track.meta(0, MetaMessage::TrackName(title.as_bytes()));
    }
    for (at, sign) in &timeline.signs {
        let message = match sign {
            Sign::Tempo(new) => MetaMessage::Tempo(tempo(*new)),
            Sign::Meter(meter) => time_signature(*meter),
            Sign::Key(key) => key_signature(*key),
            Sign::Section(name) => MetaMessage::Marker(name.as_bytes()),
            Sign::Chord(_) => continue,
        };
        track.meta(clock.at(*at), message);
    }
    track
}

/// Microseconds a quarter note, as many as fit in three bytes.
fn tempo(tempo: Tempo) -> u24 {
    let quarters_a_minute = tempo.beat().ratio() * i64::from(tempo.beats.max(1));
    let micros = (num_rational::Ratio::from(60_000_000) / quarters_a_minute).round();
    let micros = u32::try_from(micros.to_integer()).unwrap_or(u32::MAX);
    u24::new(micros.min(u24::max_value().as_int()))
}

fn time_signature(meter: Meter) -> MetaMessage<'static> {
    let halvings = u8::try_from(meter.lower().trailing_zeros()).unwrap_or(2);
    // The standard counts 24 clocks a quarter note, and as many clicks as there are beats.
    let clocks = (meter.quarters_in_beat().ratio() * 24).to_integer();
    let clocks = u8::try_from(clocks).unwrap_or(24);
    MetaMessage::TimeSignature(meter.upper(), halvings, clocks, 8)
}

fn key_signature(key: Key) -> MetaMessage<'static> {
    let fifths = i8::try_from(key.fifths()).unwrap_or(0);
    MetaMessage::KeySignature(fifths, key.mode() == Mode::Minor)
}

fn chord_texts(timeline: &Timeline) -> Vec<(Quarters, String)> {
    let signs = timeline.signs.iter();
    let chords = signs.filter_map(|(at, sign)| match sign {
        Sign::Chord(symbol) => Some((*at, plain(symbol.text()))),
        _ => None,
    });
    chords.collect()
}

/// Text with the accidentals that every program can show.
fn plain(text: &str) -> String {
    text.replace('♭', "b").replace('♯', "#")
}

fn played<'a>(
    track: NoteTrack,
    notes: &[TimedNote],
    texts: &'a [(Quarters, String)],
    (timeline, clock): (&Timeline, Clock),
) -> Timed<'a> {
    let channel = u4::new(track.channel);
    let midi = |message| TrackEventKind::Midi { channel, message };
    let mut timed = Timed {
        end: clock.at(timeline.end),
        ..Timed::default()
    };
    timed.meta(0, MetaMessage::TrackName(track.name.as_bytes()));
    let program = u7::new(track.program);
    timed.add(0, Rank::Text, midi(MidiMessage::ProgramChange { program }));
    if track.part == Part::Hand {
        for (at, text) in texts {
            timed.meta(clock.at(*at), MetaMessage::Text(text.as_bytes()));
        }
    }
    for note in notes {
        let (start, end) = (clock.at(note.start), clock.at(note.start + note.length));
        let key = u7::new(note.pitch.midi());
        let vel = u7::new(track.velocity);
        timed.add(start, Rank::On, midi(MidiMessage::NoteOn { key, vel }));
        let vel = u7::new(64);
        let end = end.max(start + 1);
        timed.add(end, Rank::Off, midi(MidiMessage::NoteOff { key, vel }));
    }
    timed
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arrange::{Cache, Settings, arrange};
    use crate::chart::read;

    fn bytes(source: &str) -> Vec<u8> {
        let chart = read(source).unwrap();
        let arrangement = arrange(chart, &Settings::default(), &mut Cache::default()).unwrap();
        midi(&arrangement, &Performing::default())
    }

    fn holds(bytes: &[u8], wanted: &[u8]) -> bool {
        bytes.windows(wanted.len()).any(|window| window == wanted)
    }

    /// The examples of RP-001: 120 beats a minute are 500,000 microseconds; 4/4 with a click a quarter;
    /// 6/8 with a click a dotted quarter; three flats, minor; the end of a track.
    #[test]
    fn published_bytes_are_written() {
        let four = bytes("key: Cm\ntempo: 120\n| Cm7 |");
        assert!(holds(&four, b"\xff\x51\x03\x07\xa1\x20"));
        assert!(holds(&four, b"\xff\x58\x04\x04\x02\x18\x08"));
        assert!(holds(&four, b"\xff\x59\x02\xfd\x01"));
        assert!(four.ends_with(b"\xff\x2f\x00"));
        let six = bytes("meter: 6/8\ntempo: 80\n| C |");
        assert!(holds(&six, b"\xff\x58\x04\x06\x03\x24\x08"));
        assert!(holds(&six, b"\xff\x51\x03\x07\xa1\x20"));
    }

    /// The lengths of RP-001 that fit in a song: 480 ticks are 83 60, eight bars of 4/4 F8 00.
    #[test]
    fn lengths_are_written_as_the_standard_has_them() {
        let one = bytes("meter: 1/4\n| C |");
        assert!(
            holds(&one, b"\x83\x60\x81"),
            "a note is let go after 480 ticks"
        );
        for (number, written) in [
            (0x80u32, &b"\x81\x00"[..]),
            (0x2000, b"\xc0\x00"),
            (0x3fff, b"\xff\x7f"),
            (0x4000, b"\x81\x80\x00"),
            (0x10_0000, b"\xc0\x80\x00"),
            (0x1f_ffff, b"\xff\xff\x7f"),
            (0x20_0000, b"\x81\x80\x80\x00"),
            (0x0fff_ffff, b"\xff\xff\xff\x7f"),
        ] {
            let timed = Timed {
                events: Vec::new(),
                end: number,
            };
            let file = Smf {
                header: Header::new(Format::SingleTrack, Timing::Metrical(u15::new(96))),
                tracks: vec![timed.track()],
            };
            let mut bytes = Vec::new();
            file.write_std(&mut bytes).unwrap();
            let expected = [written, b"\xff\x2f\x00"].concat();
            assert!(bytes.ends_with(&expected), "{number:x}: {bytes:x?}");
        }
    }

    #[test]
    fn a_septuplet_gets_a_finer_clock() {
        let plain = bytes("| C |\nmel | C5:2/3 D5:1/3 r:3 |");
        assert_eq!(plain[12..14], 480u16.to_be_bytes());
        let fine = bytes("| C |\nmel | C5:1/7 D5:6/7 r:3 |");
        assert_eq!(fine[12..14], 6720u16.to_be_bytes());
    }

    #[test]
    fn notes_end_before_others_start_at_the_same_time() {
        let file = bytes("| C | C |\nmel | C5:4 | C5:4 |");
        let smf = Smf::parse(&file).unwrap();
        let notes: Vec<bool> = smf.tracks[1]
            .iter()
            .filter_map(|event| match event.kind {
                TrackEventKind::Midi { message, .. } => match message {
                    MidiMessage::NoteOn { .. } => Some(true),
                    MidiMessage::NoteOff { .. } => Some(false),
                    _ => None,
                },
                _ => None,
            })
            .collect();
        assert_eq!(notes, [true, false, true, false]);
    }
}
