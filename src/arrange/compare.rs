//! Two plain ways of playing the same chords, to measure a plan against.

use crate::chord::Chord;
use crate::plan::{Chain, Layer, Row};
use crate::voicing::{Voicing, block_nearest, block_root};

use super::Arrangement;
use super::motion::row;

/// The motion of two yardsticks over the same performance, in semitones.
///
/// They answer "compared with what?". Both play the plain seventh chord, ignore the tune and every
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
    let layers: Vec<Layer> = arrangement
        .performance
        .visits()
        .iter()
        .filter_map(|&at| arrangement.slots.get(at))
        .filter(|arranged| arranged.voicing.is_some())
        .filter_map(|arranged| arranged.slot.symbol.chord())
        .map(|chord| ways(chord).iter().filter_map(row).collect::<Vec<Row>>())
        .filter(|rows| !rows.is_empty())
        .map(Layer::new)
        .collect();
    let range = arrangement.settings.voicing.hand.range;
    let centre = i32::from(range.low().midi()) + i32::from(range.high().midi());
    Chain::new(&layers, centre)
        .looped(arrangement.performance.is_looped())
        .solve()
        .map_or(0, |plan| plan.cost.motion)
}
