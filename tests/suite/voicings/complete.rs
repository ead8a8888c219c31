//! Random chords, hands and tunes: nothing faulty is offered, nothing legal is missing.

use proptest::prelude::*;

use super::*;
use crate::data::cases;
use crate::independent::{Claim, Rules, faults, hand_needed};
use Colour::Natural;

/// Symbols of every family, and what each asks for as text, from the program's own reading.
const SUFFIXES: &[&str] = &[
    "",
    "m",
    "dim",
    "aug",
    "5",
    "maj7",
    "maj9",
    "maj13",
    "6",
    "6/9",
    "add9",
    "maj7#11",
    "m7",
    "m9",
    "m11",
    "m13",
    "m6",
    "m6/9",
    "mMaj7",
    "7",
    "9",
    "13",
    "7b9",
    "13b9",
    "7#9",
    "7#5",
    "7b5",
    "7#9b13",
    "7b9b13",
    "7b13",
    "7#11",
    "13#11",
    "7(b9,#11,13)",
    "7(no3)",
    "7(no5)",
    "7alt",
    "m7b5",
    "m9b5",
    "m11b5",
    "dim7",
    "dim7(b13)",
    "dim7(9)",
    "dim(maj7)",
    "sus",
    "sus2",
    "7sus",
    "9sus",
    "13sus",
    "7sus(b9)",
    "11",
    "7sus(add3)",
    "maj7sus",
    "maj11",
    "maj7#5",
    "maj7b5",
    "maj7(11)",
    "m7#5",
    "m(b6)",
    "add11",
    "madd9",
    "(b9)",
    "6(b9)",
    "maj9(no3)",
    "5(b7)",
    "7/E",
    "/Bb",
    "/F#",
    "m/G",
    "m/C#",
    "maj7/D",
    "m7b5/Ab",
    "dim7/F",
    "6/9#11",
    "//C7",
    "//Cm7",
    "m//C",
    "7//Dbmaj7",
];

fn claim(chord: &Chord, voicing: &Voicing, melody: &[Pitch]) -> Claim {
    Claim {
        root: i32::from(chord.root().class().number()),
        bass: chord.bass().map(|bass| i32::from(bass.class().number())),
        tones: chord
            .tones()
            .iter()
            .map(|t| (t.degree.to_string(), t.named))
            .collect(),
        notes: voicing
            .notes
            .iter()
            .map(|n| (i32::from(n.pitch.midi()), n.degree.to_string()))
            .collect(),
        melody: melody.iter().map(|p| i32::from(p.midi())).collect(),
    }
}

#[test]
fn the_default_settings_voice_every_kind_of_chord_in_every_key_colour_and_context() {
    for suffix in SUFFIXES {
        for root in ROOTS {
            for context in [INTO_MAJOR, INTO_MINOR, HALF_DOWN, ELSEWHERE, TONIC] {
                for colour in Colour::ALL {
                    let settings = VoicingSettings {
                        colour,
                        ..VoicingSettings::default()
                    };
                    voiced(&format!("{root}{suffix}"), context, &settings);
                }
            }
        }
    }
}

fn any_context() -> impl Strategy<Value = HarmonicContext> {
    let lone = prop::sample::select(vec![INTO_MAJOR, INTO_MINOR, HALF_DOWN, ELSEWHERE, TONIC]);
    // Any scale with any way on, also where no key would put the chord there.
    let scale = prop::sample::select(Scale::ALL.to_vec());
    let any =
        (lone.clone(), scale).prop_map(|(context, scale)| HarmonicContext { scale, ..context });
    prop_oneof![lone, any]
}

fn any_symbol() -> impl Strategy<Value = String> {
    (
        prop::sample::select(&ROOTS[..]),
        prop::sample::select(SUFFIXES),
    )
        .prop_map(|(root, suffix)| format!("{root}{suffix}"))
}

fn any_rules() -> impl Strategy<Value = Rules> {
    let limits = prop::sample::select(vec!["handbook", "series", "none"]);
    (28..60i32, 8..30i32, 7..=24i32, limits).prop_map(|(low, width, reach, limits)| Rules {
        low,
        high: low + width,
        reach,
        limits: limits.to_owned(),
    })
}

fn hand_of(rules: &Rules) -> Hand {
    let pitch = |midi: i32| Pitch::try_from(midi).unwrap();
    Hand {
        range: Range::new(pitch(rules.low), pitch(rules.high)).unwrap(),
        limits: LimitTable::named(&rules.limits).unwrap(),
        reach: Reach::semitones(u8::try_from(rules.reach).unwrap()).unwrap(),
        bass: None,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases(150, 1000)))]

    /// Nothing the program offers has a fault that the second opinion sees.
    #[test]
    fn every_candidate_passes_the_independent_checker(
        symbol in any_symbol(),
        context in any_context(),
        rules in any_rules(),
        colour in prop::sample::select(Colour::ALL.to_vec()),
        palette in prop::sample::select(compline::voicing::SHAPES.map(|shape| shape.name).to_vec()),
        melody in prop::collection::vec(55..90u8, 0..3),
    ) {
        let chord = chord(&symbol);
        let melody: Vec<Pitch> = melody.into_iter().filter_map(Pitch::new).collect();
        let ask = Ask { chord: &chord, context, melody: &held(melody.clone()) };
        let settings = settings(palette, colour, hand_of(&rules));
        for voicing in candidates(&ask, &settings).map(|c| c.voicings).unwrap_or_default() {
            let found = faults(&claim(&chord, &voicing, &melody), &rules);
            prop_assert!(found.is_empty(), "{symbol} {voicing}: {found:?}");
            prop_assert_eq!(settings.hand.judge(&chord, &sounding(&voicing), Sung::for_long(&melody)), []);
        }
    }

    /// A measured hand gets what a boundless one gets, less what is too wide for it.
    #[test]
    fn a_measured_hand_gets_exactly_what_it_spans(
        symbol in any_symbol(),
        mm in 130..=300u16,
        palette in prop::sample::select(compline::voicing::SHAPES.map(|shape| shape.name).to_vec()),
    ) {
        let chord = chord(&symbol);
        let ask = Ask { chord: &chord, context: ELSEWHERE, melody: &Melody::NONE };
        let with = |reach| {
            let hand = Hand { reach, ..free_hand() };
            candidates(&ask, &settings(palette, Natural, hand)).map(|c| c.voicings).unwrap_or_default()
        };
        let boundless = with(Reach::Semitones(Reach::MOST));
        let spanned: Vec<Voicing> = boundless
            .into_iter()
            .filter(|v| hand_needed(&claim(&chord, v, &[])) <= 10 * i32::from(mm))
            .collect();
        let offered = with(Reach::of_hand(&format!("{mm}mm")).unwrap());
        // Where none of those fits, a shape may have thinner ones that do.
        if spanned.is_empty() {
            let narrow = offered.iter().all(|v| hand_needed(&claim(&chord, v, &[])) <= 10 * i32::from(mm));
            prop_assert!(narrow, "{} for {} mm", symbol, mm);
        } else {
            prop_assert_eq!(offered, spanned, "{} for {} mm", symbol, mm);
        }
    }

    /// What the program offers, it recognises and names alike when it reads it back.
    #[test]
    fn an_offered_voicing_is_recognised_when_given(
        symbol in any_symbol(),
        context in any_context(),
        colour in prop::sample::select(Colour::ALL.to_vec()),
        palette in prop::sample::select(compline::voicing::SHAPES.map(|shape| shape.name).to_vec()),
    ) {
        let chord = chord(&symbol);
        let ask = Ask { chord: &chord, context, melody: &Melody::NONE };
        let settings = settings(palette, colour, free_hand());
        for voicing in candidates(&ask, &settings).map(|c| c.voicings).unwrap_or_default() {
            let notes: Vec<_> = voicing.notes.iter().map(|n| n.note).collect();
            let given = compline::voicing::read_given(&chord, &notes).unwrap();
            prop_assert_eq!(&given.notes, &voicing.notes, "{}", symbol);
            prop_assert_ne!(given.shape, None, "{} {}", symbol, voicing);
        }
    }

    /// Every row of the table that fits under the hand is offered, and nothing else: found again by
    /// going through all four-note subsets of the range.
    #[test]
    fn candidates_are_complete(
        (case, root) in (0..COMPLETE.len(), 0..12usize),
        rules in any_rules(),
        tune in prop::option::of((0..3usize, 4..7i32)),
    ) {
        let (suffix, context, rows) = COMPLETE[case];
        let chord = chord(&format!("{}{suffix}", ROOTS[root]));
        // The tune sings a chord tone, so that it has no say in the colour.
        let tune = tune.map(|(tone, octave)| {
            let tones = [0, i32::from(chord.third().unwrap().class()), i32::from(chord.seventh().unwrap().class())];
            root as i32 + tones[tone] + 12 * octave
        });
        let melody: Vec<Pitch> = tune.into_iter().filter_map(|m| Pitch::try_from(m).ok()).collect();
        let ask = Ask { chord: &chord, context, melody: &held(melody.clone()) };
        let found = candidates(&ask, &settings("rootless", Natural, hand_of(&rules)));
        let voicings = found.map(|found| found.voicings).unwrap_or_default();
        // Fewer notes leave a key to the melody, or are the last way out. The 5 for a 13 costs half a tension,
        // and so does an inversion that is neither form.
        let half = SurchargeWeights::default().plain / 2;
        let usual = voicings.iter().filter(|voicing| voicing.notes.len() == 4 && voicing.surcharges.plain <= half);
        let got: Vec<Vec<i32>> = usual.map(midi).collect();
        let want = enumerate(&chord, root as i32, rows, &rules, &melody);
        prop_assert_eq!(got, want, "{} {:?}", chord.symbol(), rules);
    }

    /// Where nothing is left, the loosening that is named does leave something.
    #[test]
    fn a_named_loosening_works(symbol in any_symbol(), rules in any_rules()) {
        use compline::hand::Loosening;
        let chord = chord(&symbol);
        let ask = Ask { chord: &chord, context: ELSEWHERE, melody: &Melody::NONE };
        let mut settings = settings("rootless", Natural, hand_of(&rules));
        let Err(none) = candidates(&ask, &settings) else { return Ok(()) };
        let range = settings.hand.range;
        match &none.loosening {
            Some(Loosening::Low(low)) => settings.hand.range = Range::new(*low, range.high()).unwrap(),
            Some(Loosening::High(high)) => settings.hand.range = Range::new(range.low(), *high).unwrap(),
            Some(Loosening::Reach(reach)) => settings.hand.reach = Reach::Semitones(*reach),
            Some(Loosening::Shape(name)) => settings.palette = format!("rootless,{name}").parse().unwrap(),
            Some(Loosening::Allow(pairs)) => {
                let text: String = settings.hand.limits.rows().map(|(name, gap, limit)| {
                    let allowed = pairs.iter().filter(|p| p.0 == gap).map(|p| p.1).min();
                    let floor = allowed.or(limit.floor).map_or("-".to_owned(), |p| p.midi().to_string());
                    format!("{name} {floor}\n")
                }).collect();
                settings.hand.limits = LimitTable::read(&text).unwrap();
            }
            _ => return Ok(()),
        }
        prop_assert!(candidates(&ask, &settings).is_ok(), "{none:?}");
    }
}

fn sounding(voicing: &Voicing) -> Vec<compline::hand::SoundingNote> {
    let notes = voicing.notes.iter();
    notes
        .map(|n| compline::hand::SoundingNote {
            pitch: n.pitch,
            degree: n.degree,
        })
        .collect()
}

type Complete = (
    &'static str,
    HarmonicContext,
    &'static [&'static [(i32, &'static str)]],
);

/// All layouts of a few chords: semitones above the root with their degrees.
const COMPLETE: &[Complete] = &[
    (
        "m7",
        ELSEWHERE,
        &[
            &[(3, "b3"), (7, "5"), (10, "b7"), (14, "9")],
            &[(10, "b7"), (14, "9"), (15, "b3"), (19, "5")],
        ],
    ),
    (
        "maj7",
        ELSEWHERE,
        &[
            &[(4, "3"), (7, "5"), (11, "7"), (14, "9")],
            &[(11, "7"), (14, "9"), (16, "3"), (19, "5")],
            &[(7, "5"), (11, "7"), (14, "9"), (16, "3")],
            &[(2, "9"), (4, "3"), (7, "5"), (11, "7")],
            // Faulty unless the tune sings the root.
            &[(4, "3"), (7, "5"), (9, "6"), (14, "9")],
            &[(9, "6"), (14, "9"), (16, "3"), (19, "5")],
        ],
    ),
    (
        "7",
        INTO_MAJOR,
        &[
            &[(4, "3"), (9, "13"), (10, "b7"), (14, "9")],
            &[(10, "b7"), (14, "9"), (16, "3"), (21, "13")],
            &[(4, "3"), (7, "5"), (10, "b7"), (14, "9")],
            &[(10, "b7"), (14, "9"), (16, "3"), (19, "5")],
        ],
    ),
    (
        "7",
        INTO_MINOR,
        &[
            &[(4, "3"), (8, "b13"), (10, "b7"), (13, "b9")],
            &[(10, "b7"), (13, "b9"), (16, "3"), (20, "b13")],
            &[(8, "b13"), (10, "b7"), (13, "b9"), (16, "3")],
            &[(1, "b9"), (4, "3"), (8, "b13"), (10, "b7")],
            &[(4, "3"), (7, "5"), (10, "b7"), (13, "b9")],
            &[(7, "5"), (10, "b7"), (13, "b9"), (16, "3")],
            &[(10, "b7"), (13, "b9"), (16, "3"), (19, "5")],
            &[(1, "b9"), (4, "3"), (7, "5"), (10, "b7")],
        ],
    ),
    (
        "m7b5",
        ELSEWHERE,
        &[
            &[(3, "b3"), (6, "b5"), (10, "b7"), (12, "1")],
            &[(0, "1"), (3, "b3"), (6, "b5"), (10, "b7")],
            &[(6, "b5"), (10, "b7"), (12, "1"), (15, "b3")],
            &[(10, "b7"), (12, "1"), (15, "b3"), (18, "b5")],
            &[(3, "b3"), (5, "11"), (6, "b5"), (10, "b7")],
            // Faulty for its half step on top.
            &[(10, "b7"), (15, "b3"), (17, "11"), (18, "b5")],
        ],
    ),
];

/// Every rising choice of four keys of the range that is one of the layouts and has no fault.
fn enumerate(
    chord: &Chord,
    root: i32,
    layouts: &[&[(i32, &'static str)]],
    rules: &Rules,
    melody: &[Pitch],
) -> Vec<Vec<i32>> {
    let keys: Vec<i32> = (rules.low..=rules.high).collect();
    let mut found = Vec::new();
    for a in 0..keys.len() {
        for b in a + 1..keys.len() {
            for c in b + 1..keys.len() {
                for d in c + 1..keys.len() {
                    let row = [keys[a], keys[b], keys[c], keys[d]];
                    let named = layouts.iter().find_map(|layout| named(&row, root, layout));
                    let clean = |notes| {
                        let tones = chord
                            .tones()
                            .iter()
                            .map(|t| (t.degree.to_string(), t.named));
                        let melody = melody.iter().map(|p| i32::from(p.midi())).collect();
                        let claim = Claim {
                            root,
                            bass: None,
                            tones: tones.collect(),
                            notes,
                            melody,
                        };
                        // A key that the melody holds is left to it, where the rest may be played.
                        let held = |(key, _): &(i32, String)| claim.melody.contains(key);
                        let mut left = claim.clone();
                        left.notes.retain(|note| !held(note));
                        let leaves = left.notes.len() == 3 && faults(&left, rules).is_empty();
                        // The 6 stands for a seventh only under the root.
                        let six = claim.notes.iter().any(|(_, degree)| degree == "6");
                        let under = |key: &i32| (key - root) % 12 == 0;
                        let stands = !six || claim.melody.iter().any(under);
                        faults(&claim, rules).is_empty() && !leaves && stands
                    };
                    if named.is_some_and(clean) {
                        found.push(row.to_vec());
                    }
                }
            }
        }
    }
    found
}

/// The keys with the layout's degrees, if they are this layout over this root.
fn named(row: &[i32; 4], root: i32, layout: &[(i32, &'static str)]) -> Option<Vec<(i32, String)>> {
    let base = row[0] - layout[0].0;
    let fits = (base - root).rem_euclid(12) == 0
        && row
            .iter()
            .zip(layout)
            .all(|(key, (above, _))| *key == base + above);
    fits.then(|| {
        row.iter()
            .zip(layout)
            .map(|(key, (_, d))| (*key, (*d).to_owned()))
            .collect()
    })
}
