//! What a note of the melody is over every kind of chord, by the table that harmony documents, and which notes
//! are held, by a definition of its own.

use crate::chart::{Beats, MelodyNote};
use crate::chord::Chord;
use crate::harmony::{ChordTime, Fit, Misfit, fit, fit_anew, is_held};
use crate::pitch::Note;

const NAMES: [&str; 12] = [
    "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
];

/// What each of the twelve notes from C up is over a chord on C: `T` a tone, `t` a tension, `a` an altered one,
/// `-` nothing. Then the tones that may not lie a minor ninth under a held note: root, third, fifth and seventh,
/// but of a dominant neither root nor plain fifth.
const OVER: [(&str, &str, &[usize]); 16] = [
    ("maj7", "T-t-T-tT-t-T", &[0, 4, 7, 11]),
    ("", "T-t-T-tT-t-t", &[0, 4, 7]),
    ("6", "T-t-T-tT-T-t", &[0, 4, 7]),
    ("m7", "T-tT-t-T-tT-", &[0, 3, 7, 10]),
    ("m", "T-tT-t-T-ttt", &[0, 3, 7]),
    ("m6", "T-tT-t-T-T-t", &[0, 3, 7]),
    ("m(maj7)", "T-tT-t-T-t-T", &[0, 3, 7, 11]),
    ("7", "TataT-tTatT-", &[4, 10]),
    ("7b9", "TT-aT-tTatT-", &[4, 10]),
    ("7#9", "Ta-TT-tTatT-", &[4, 10]),
    ("7b5", "TataT-T-atT-", &[4, 6, 10]),
    ("sus", "T-t--T-T-tt-", &[0, 7]),
    ("m7b5", "T-tT-tT-t-T-", &[0, 3, 6, 10]),
    ("dim7", "T-tT-tT-tT-t", &[0, 3, 6, 9]),
    ("+", "T-t-T-t-T--t", &[0, 4, 8]),
    ("5", "T-tttt-T-tt-", &[0, 7]),
];

fn note(name: &str, beat: Beats, beats: Beats, beside: [Option<Note>; 2]) -> MelodyNote {
    let note = name.parse().unwrap();
    MelodyNote {
        note,
        beat,
        beats,
        tied: false,
        beside,
    }
}

fn bar() -> ChordTime {
    let [beat, beats] = [1, 4].map(Beats::whole);
    ChordTime {
        beat,
        beats,
        bar_beats: beats,
    }
}

fn letter(fit: Fit) -> char {
    match fit {
        Fit::ChordTone => 'T',
        Fit::Tension => 't',
        Fit::Altered => 'a',
        Fit::BlueThird => 'b',
        Fit::Passing => 'p',
        Fit::Misfit(Misfit::MinorNinth { .. }) => '9',
        Fit::Misfit(_) => '-',
    }
}

#[test]
fn every_note_over_every_kind_of_chord_is_what_the_table_says() {
    for (suffix, row, under) in OVER {
        let chord = Chord::read(&format!("C{suffix}")).unwrap();
        let held = NAMES.map(|name| {
            note(
                &format!("{name}5"),
                Beats::whole(1),
                Beats::whole(4),
                [None; 2],
            )
        });
        let brief = NAMES.map(|name| {
            let [beat, beats] = [3, 1].map(|halves| Beats::new(halves, 2).unwrap());
            note(&format!("{name}5"), beat, beats, [None; 2])
        });
        let told = |notes: &[MelodyNote], anew: bool| -> String {
            let ask = |note| match anew {
                true => fit_anew(&chord, None, note, bar()),
                false => fit(&chord, None, note, bar()),
            };
            notes.iter().map(|note| letter(ask(note))).collect()
        };
        assert_eq!(told(&held, false), row, "C{suffix}");
        let rubs = |at: usize| under.iter().any(|tone| (tone + 1) % 12 == at);
        let anew = row.chars().enumerate().map(|(at, letter)| match letter {
            '-' => '-',
            _ if rubs(at) => '9',
            letter => letter,
        });
        assert_eq!(
            told(&held, true),
            anew.collect::<String>(),
            "C{suffix} anew"
        );
        // A note that goes by is what it is, or passes.
        let brief_row = row.replace('-', "p");
        for anew in [false, true] {
            assert_eq!(told(&brief, anew), brief_row, "C{suffix} in passing");
        }
    }
}

#[test]
fn some_sounds_are_taken_only_where_they_belong_to_the_key() {
    for (symbol, key, sung, wanted) in [
        ("Fmaj7", "C", "B5", 't'),
        ("Cmaj7", "C", "F#5", '-'),
        ("Dm7", "C", "B5", 't'),
        ("Em7", "C", "C#5", '-'),
        ("Dm", "C", "B5", 't'),
        ("Em", "C", "C#5", '-'),
        ("Bm7b5", "C", "C#5", '-'),
        ("Dm7b5", "F", "E5", 't'),
        ("Em6", "C", "C#5", 'T'),
    ] {
        let chord = Chord::read(symbol).unwrap();
        let note = note(sung, Beats::whole(1), Beats::whole(4), [None; 2]);
        let found = letter(fit(&chord, key.parse().ok(), &note, bar()));
        assert_eq!(found, wanted, "{sung} over {symbol} in {key}");
    }
}

/// A chord's time and a note's in half beats from the bar line.
struct Halves {
    bar: i64,
    chord: [i64; 2],
    note: [i64; 2],
}

impl Halves {
    fn heard(&self) -> i64 {
        let [from, to] = self.note;
        (to.min(self.chord[1]) - from.max(self.chord[0])).max(0)
    }

    /// How long the note is heard from the chord's beginning or a strong beat on: the odd beats of an even bar,
    /// the first of any other.
    fn heard_from_strong(&self) -> i64 {
        let first = self.note[0].max(self.chord[0]);
        let end = self.note[1].min(self.chord[1]);
        let strong =
            |at: &i64| *at == self.chord[0] || *at == 0 || self.bar % 4 == 0 && at % 4 == 0;
        (first..end).find(strong).map_or(0, |at| end - at)
    }

    /// Held: half of the chord or a beat from a strong place, unless it goes by step; a beat and half of the
    /// chord in any case.
    fn is_held(&self, goes_by_step: bool) -> bool {
        let half = 2 * self.heard() >= self.chord[1] - self.chord[0];
        let beat = self.heard() >= 2;
        half && beat || (half || self.heard_from_strong() >= 2) && !goes_by_step
    }

    fn time(&self) -> ChordTime {
        let [beat, beats] = [self.chord[0] + 2, self.chord[1] - self.chord[0]];
        let [beat, beats, bar_beats] = [beat, beats, self.bar].map(|n| Beats::new(n, 2).unwrap());
        ChordTime {
            beat,
            beats,
            bar_beats,
        }
    }
}

/// F over Cmaj7 is no tone of it, E is. A tone of the chord never goes by step, however it is left.
#[test]
fn a_note_is_held_where_the_definition_says_so() {
    let chord = Chord::read("Cmaj7").unwrap();
    // The notes beside F: whether they are a step away, and whether they are tones.
    let beside = [
        (None, false, false),
        (Some("E4"), true, true),
        (Some("G4"), true, true),
        (Some("F#4"), true, false),
        (Some("C5"), false, true),
        (Some("F4"), false, false),
        (Some("D4"), false, false),
    ];
    let (mut held, mut brief) = (0, 0);
    for (bar, chord_at) in [
        (8, [0, 8]),
        (8, [4, 8]),
        (6, [0, 6]),
        (4, [0, 2]),
        (6, [2, 4]),
    ] {
        for (from, length) in (0..bar).flat_map(|from| (1..=bar).map(move |length| (from, length)))
        {
            let halves = Halves {
                bar,
                chord: chord_at,
                note: [from, from + length],
            };
            if halves.heard() == 0 {
                continue;
            }
            let beats = [from + 2, length].map(|n| Beats::new(n, 2).unwrap());
            for (before, before_steps, _) in beside {
                for (after, after_steps, resolves) in beside {
                    let read = |name: Option<&str>| name.map(|name| name.parse().unwrap());
                    let around = [read(before), read(after)];
                    let by_step = after_steps && (before_steps || resolves);
                    for (sung, goes_by_step) in [("F4", by_step), ("E4", false)] {
                        let note = note(sung, beats[0], beats[1], around);
                        let found = is_held(&chord, &note, halves.time());
                        assert_eq!(
                            found,
                            halves.is_held(goes_by_step),
                            "{note:?} {:?}",
                            halves.time()
                        );
                        *(if found { &mut held } else { &mut brief }) += 1;
                    }
                }
            }
        }
    }
    assert!(held > 1000 && brief > 1000, "{held} {brief}");
}
