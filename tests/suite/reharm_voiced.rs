//! The voicing keeps the idea of a replacement: an open third stays open, a line is heard, a bass that stays
//! is minded.

use compline::arrange::{Arranged, Arrangement, Cache, Settings, arrange};
use compline::chart::{self, Chart};
use compline::pitch::{Interval, Name};
use compline::reharm::{AskedPlaces, Listed, Proposed, Ways, reharm, replaced};

const TONICS: [&str; 6] = ["C", "Db", "Eb", "F#", "A", "Bb"];

/// The page in another key, nothing held.
fn proposed(page: &str, tonic: &str) -> (Chart, Proposed) {
    let chart = chart::read(page).unwrap();
    let [from, to]: [Name; 2] = [chart.key().unwrap().tonic(), tonic.parse().unwrap()];
    let chart = chart
        .transposed(Interval::between(from, to).nearer())
        .unwrap();
    let asked = AskedPlaces {
        free: (0..chart.slots().len()).collect(),
        ..AskedPlaces::default()
    };
    let found = reharm(&chart, &Settings::default(), &Ways::default(), &asked).unwrap();
    (chart, found)
}

/// The page with the proposal of this name, planned.
fn planned(chart: &Chart, proposed: &Proposed, name: &str, settings: &Settings) -> Arrangement {
    let named = |one: &&Listed| one.name.to_string() == name;
    let one = proposed.listed.iter().find(named);
    let one = one.unwrap_or_else(|| panic!("no {name} for\n{chart}"));
    let page = replaced(chart, &[one.replacement()], &[0]).unwrap();
    arrange(page, settings, &mut Cache::default()).unwrap()
}

/// The half steps above the root of a chord at which its hand plays.
fn classes(slot: &Arranged) -> Vec<i32> {
    let chord = slot.slot.symbol.chord().unwrap();
    let root = chord.root().class();
    let pitches = slot.voicing.as_ref().unwrap().pitches();
    pitches.map(|pitch| root.up_to(pitch.class()).0).collect()
}

#[test]
fn a_hybrid_leaves_its_third_open() {
    for tonic in TONICS {
        // F/G, Dm/G, G/C and Am/D: the triad lies so far above the root that has no third.
        let page = "key: C\n| Dm7 | G7 | Am7 | Cmaj7 | Fmaj7 |\n";
        for (name, place, triad, third) in [
            ("2:hybrid", 1, 10, 4),
            ("2:hybrid.2", 1, 7, 4),
            ("4:hybrid", 3, 7, 4),
            ("1:hybrid", 0, 7, 3),
        ] {
            let (chart, proposed) = proposed(page, tonic);
            let planned = planned(&chart, &proposed, name, &Settings::default());
            let slot = &planned.slots[place];
            let over: Vec<i32> = classes(slot)
                .iter()
                .map(|above| (above + triad) % 12)
                .collect();
            assert!(slot.slot.symbol.chord().unwrap().bass().is_some());
            assert!(over.len() >= 3, "{name} in {tonic}: {over:?}");
            assert!(!over.contains(&third), "{name} in {tonic}: {over:?}");
        }
    }
}

#[test]
fn a_line_sounds_its_line() {
    for tonic in TONICS {
        for (page, name, line) in [
            (
                "key: Cm\n| Cm | Cm | G7 | Cm |\n",
                "1-2:line-cliche",
                &[0, 11, 10, 9][..],
            ),
            (
                "key: Cm\n| Cm | Cm | G7 | Cm |\n",
                "1-2:line-cliche.3",
                &[7, 8, 9, 8],
            ),
            (
                "key: C\n| C | C | F | C |\n",
                "1-2:line-cliche",
                &[7, 8, 9, 10],
            ),
        ] {
            let (chart, proposed) = proposed(page, tonic);
            let planned = planned(&chart, &proposed, name, &Settings::default());
            for (slot, moving) in planned.slots.iter().zip(line) {
                let heard = classes(slot);
                assert!(
                    heard.contains(moving),
                    "{name} in {tonic}: {moving} in {heard:?}"
                );
            }
        }
    }
}

#[test]
fn a_pedal_keeps_its_bass_in_mind() {
    let page = "key: C\n| Am7 | Dm7 | G7 | Cmaj7 |\n";
    for tonic in TONICS {
        let (chart, proposed) = proposed(page, tonic);
        let mut counted = Settings::default();
        counted.voicing.hand.bass = Some(2);
        let planned = planned(&chart, &proposed, "1-2:pedal", &counted);
        let low = |slot: &Arranged| {
            let chord = slot.slot.symbol.chord().unwrap();
            chord.bass().unwrap_or_else(|| chord.root()).class()
        };
        let bass = low(&planned.slots[2]);
        for slot in &planned.slots[..2] {
            assert_eq!(low(slot), bass, "{tonic}");
            // The hand keeps clear of the half step above the bass, and of its minor ninth.
            let mut pitches = slot.voicing.as_ref().unwrap().pitches();
            assert!(
                pitches.all(|pitch| bass.up_to(pitch.class()).0 != 1),
                "{tonic}"
            );
        }
    }
}

#[test]
fn a_bass_that_is_counted_keeps_the_hand_higher_over_a_pedal() {
    // With the pedal's bass counted low intervals above it are refused as any others.
    let lowest = |bass: Option<i32>| -> i32 {
        let mut sum = 0;
        for tonic in TONICS {
            let (chart, proposed) = proposed("key: C\n| Am7 | Dm7 | G7 | Cmaj7 |\n", tonic);
            let mut settings = Settings::default();
            settings.voicing.hand.bass = bass;
            let planned = planned(&chart, &proposed, "1-2:pedal", &settings);
            let low = |slot: &Arranged| {
                slot.candidates
                    .iter()
                    .map(|one| one.pitches().next().unwrap().midi())
                    .min()
            };
            sum += planned.slots[..2]
                .iter()
                .filter_map(low)
                .map(i32::from)
                .sum::<i32>();
        }
        sum
    };
    assert!(
        lowest(Some(3)) > lowest(None),
        "{} {}",
        lowest(Some(3)),
        lowest(None)
    );
}
