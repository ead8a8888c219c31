//! Each technique's own example, in all twelve keys.

use super::stage::{Stage, TONICS};
use crate::harmony::techniques::TECHNIQUES;

#[test]
fn every_example_comes_out_in_every_key() {
    for way in TECHNIQUES {
        let example = &way.example;
        let before = Stage::new(example.key, example.before);
        let after = Stage::new(example.key, example.after);
        for tonic in TONICS {
            let (before, after) = (before.moved(tonic), after.moved(tonic));
            let outcomes = before.outcomes(way.name);
            assert!(
                outcomes.contains(&after.written()),
                "{} in {tonic}: {:?} is not among {outcomes:#?}",
                way.name,
                after.written()
            );
        }
    }
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
        assert!(TECHNIQUES[..at].iter().all(|other| other.name != way.name));
    }
}
