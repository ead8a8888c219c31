//! How far the hand moves into each voicing.

use super::arrangement::{Arranged, Arrangement};
use crate::chart::Performance;
use crate::optimise::{Row, Value, step};
use crate::voicing::Voicing;

/// A voicing as the planner sees it: a row of keys. There always is one, since the notes of a voicing
/// are strictly rising.
pub(crate) fn row(voicing: &Voicing) -> Option<Row> {
    let pitches = voicing.pitches().map(|pitch| i16::from(pitch.midi()));
    let row = Row::new(pitches.collect());
    debug_assert!(row.is_some(), "the notes of a voicing rise");
    row
}

/// A voicing as a value: its row, and what it costs by itself. `centre` is the range's
/// [doubled middle](crate::hand::Range::doubled_middle).
pub(crate) fn value(voicing: &Voicing, centre: i32) -> Option<Value> {
    let row = row(voicing)?;
    // Between two keys of the keyboard: far less than 32 bits.
    let off_centre = u32::try_from(row.off_centre(centre)).unwrap_or(u32::MAX);
    Some(Value {
        effort: voicing.surcharges.sum(),
        off_centre,
        ..Value::new(row)
    })
}

impl Arrangement {
    /// For each slot the motions in semitones from what the hand played before: one for each way the
    /// performance comes there, in the order it does, each once. None for the first voicing and for
    /// silence; in a loop the first voicing follows the last.
    pub fn motions(&self) -> Vec<Vec<u32>> {
        into_each(&self.slots, &self.performance)
    }
}

fn into_each(slots: &[Arranged], performance: &Performance) -> Vec<Vec<u32>> {
    // All keys one after the other, and where those of each slot end.
    let (mut keys, mut ends) = (Vec::new(), vec![0]);
    for arranged in slots {
        let pitches = arranged.voicing.iter().flat_map(Voicing::pitches);
        keys.extend(pitches.map(|pitch| i16::from(pitch.midi())));
        ends.push(keys.len());
    }
    let row_of = |slot: usize| {
        let (start, end) = ends.get(slot).zip(ends.get(slot + 1))?;
        let row = keys.get(*start..*end)?;
        (!row.is_empty()).then_some(row)
    };
    let sounding = performance.sounding(|slot| row_of(slot).is_some());
    let mut motions = vec![Vec::new(); slots.len()];
    for (from, to) in sounding.arrivals() {
        let ends = from.and_then(row_of).zip(row_of(to));
        if let Some(((before, now), motions)) = ends.zip(motions.get_mut(to)) {
            let motion = step(before, now).motion;
            if !motions.contains(&motion) {
                motions.push(motion);
            }
        }
    }
    motions
}
