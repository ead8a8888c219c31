//! Two plain ways of playing the same chords, to measure a plan against.

use crate::chord::Chord;
use crate::optimise::{Budget, Edge, Model, Value};
use crate::voicing::{Voicing, block_nearest, block_root};

use super::arrangement::Arrangement;
use super::motion::value;

/// The motion of two yardsticks over the same performance, in semitones.
///
/// They answer "compared with what?". Both play the plain seventh chord, ignore the melody and every
/// limit but the range, and are silent where the arrangement is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Compare {
    /// Every chord in root position, its root between C3 and B3.
    pub block_root: u64,
    /// Close position in any inversion within the range, planned for least motion.
    pub block_nearest: u64,
}

impl Compare {
    /// Measures the yardsticks for an arrangement.
    pub fn of(arrangement: &Arrangement) -> Self {
        let range = arrangement.settings.voicing.hand.range;
        Self {
            block_root: least_motion(arrangement, |chord| block_root(chord).into_iter().collect()),
            block_nearest: least_motion(arrangement, |chord| block_nearest(chord, range)),
        }
    }
}

fn least_motion(arrangement: &Arrangement, ways: impl Fn(&Chord) -> Vec<Voicing>) -> u64 {
    let range = arrangement.settings.voicing.hand.range;
    let centre = range.doubled_middle();
    let performance = &arrangement.performance;
    let played = performance.visits().iter();
    let sounding = played
        .filter_map(|&at| arrangement.slots.get(at))
        .filter(|arranged| arranged.voicing.is_some());
    let chords = sounding.filter_map(|arranged| arranged.slot.symbol.chord());
    let values = chords.map(|chord| {
        ways(chord)
            .iter()
            .filter_map(|v| value(v, centre))
            .collect()
    });
    let values = values.filter(|values: &Vec<Value>| !values.is_empty());
    let model = in_a_row(values, performance.is_looped());
    let plan = model.solve(Budget::default());
    plan.map_or(0, |plan| plan.cost.effort)
}

/// One slot after the other, each with these values, and perhaps back to the first.
fn in_a_row(values: impl Iterator<Item = Vec<Value>>, looped: bool) -> Model {
    let (mut model, mut last) = (Model::new(), None);
    for values in values {
        let domain = model.domain(values);
        let variable = model.variable(domain, 1);
        if let Some(last) = last.replace(variable) {
            model.edge(Edge::new(last, variable));
        }
    }
    if let Some(last) = last.filter(|_| looped) {
        model.edge(Edge::new(last, 0));
    }
    model
}
