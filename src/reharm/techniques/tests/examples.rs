//! Each technique's own example, in all twelve keys.

use super::stage::{Stage, TONICS, sounds};
use crate::reharm::techniques::{TECHNIQUES, Technique};

/// The techniques that pass through other keys, whose chords go by those keys' names, and the one whose
/// chord comes alone, by its everyday name: E7 in Db, where a chart moved there has Fb7.
const OTHERWISE_NAMED: [&str; 3] = ["thirds-cycle", "constant-structure", "half-step-approach"];

#[test]
fn every_example_comes_out_in_every_key() {
    for way in TECHNIQUES {
        for tonic in TONICS {
            comes_out(way, tonic);
        }
    }
}

fn comes_out(way: &Technique, tonic: &str) {
    let moved = |rows| Stage::new(way.example.key, rows).moved(tonic);
    let outcomes = moved(way.example.before).outcomes(way.name);
    let wanted = moved(way.example.after).written();
    let found = match OTHERWISE_NAMED.contains(&way.name) {
        true => outcomes.iter().any(|one| sounds(one) == sounds(&wanted)),
        false => outcomes.contains(&wanted),
    };
    assert!(
        found,
        "{} in {tonic}: no {wanted} in {outcomes:#?}",
        way.name
    );
}

#[test]
fn every_technique_says_what_it_is() {
    for (at, way) in TECHNIQUES.iter().enumerate() {
        assert!(way.rule.ends_with('.'), "{}", way.name);
        assert!(
            !way.taught.is_empty() && !way.melody.is_empty(),
            "{}",
            way.name
        );
        let same = |other: &&Technique| other.name == way.name;
        assert!(!TECHNIQUES[..at].iter().any(same), "{}", way.name);
    }
}

#[test]
fn a_reason_names_what_goes_what_comes_and_why() {
    for way in TECHNIQUES {
        let stage = Stage::new(way.example.key, way.example.before);
        for proposal in stage.by(way.name) {
            let (new, rest) = proposal.why.split_once(" for ").unwrap();
            let (old, reason) = rest.split_once(": ").unwrap();
            assert!(new.contains(proposal.chords[0].chord.symbol()), "{new}");
            let first = stage.spots()[proposal.spots.start]
                .chord
                .symbol()
                .to_owned();
            assert!(old.starts_with(&first), "{old}");
            assert!(reason.len() > 20, "{}: {reason}", way.name);
        }
    }
}
