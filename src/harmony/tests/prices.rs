//! How far-fetched every reading is: the price of every kind of chord on every degree.
//!
//! A line of the snapshot is a chord in C or in C minor. First comes its price before nothing, then, for each
//! of the twelve roots up from C, before a major seventh chord, a dominant, a minor seventh chord and a
//! half-diminished one on it.

use super::{TONICS, key};
use crate::chord::Chord;
use crate::harmony::chord_kind::RootAndKind;
use crate::harmony::local_key::LocalKey;
use crate::harmony::role::Situation;

/// A chord of each kind that harmony tells apart.
const KINDS: [&str; 10] = ["", "6", "maj7", "7", "sus", "m7", "m7b5", "dim7", "+", "5"];

const NEXT: [&str; 4] = ["maj7", "7", "m7", "m7b5"];

fn kind(tonic: &str, suffix: &str) -> RootAndKind {
    RootAndKind::of(&Chord::read(&format!("{tonic}{suffix}")).unwrap())
}

#[test]
fn every_reading_has_the_price_of_the_table() {
    let nexts = TONICS.map(|tonic| NEXT.map(|suffix| kind(tonic, suffix)));
    let mut table = String::new();
    for home in ["C", "Cm"] {
        let local_key = LocalKey::of(key(home).unwrap());
        let chords = TONICS
            .iter()
            .flat_map(|tonic| KINDS.map(|suffix| (tonic, suffix)));
        for (tonic, suffix) in chords {
            let chord = kind(tonic, suffix);
            let price = |next| {
                let situation = Situation {
                    chord,
                    local_key,
                    next,
                };
                situation.role().price.to_string()
            };
            let before = nexts
                .map(|on| on.map(|next| price(Some(next))).concat())
                .join(" ");
            table += &format!("{home} {tonic}{suffix}: {} {before}\n", price(None));
        }
    }
    insta::assert_snapshot!("prices", table);
}
