//! A row of chords in which a symbol that is repeated is one.

use crate::chord::Chord;

/// The runs of one symbol in a row of slots, in played order. Slots without a chord are looked through.
#[derive(Debug)]
pub(crate) struct SymbolRuns<'a> {
    /// The chord of each run.
    pub chords: Vec<&'a Chord>,
    /// For each slot its run; `None` where it has no chord.
    pub of_slots: Vec<Option<usize>>,
}

impl<'a> SymbolRuns<'a> {
    /// Those of a row.
    pub fn of(slots: &[Option<&'a Chord>]) -> Self {
        let mut chords: Vec<&'a Chord> = Vec::new();
        let mut run_of = |chord: &'a Chord| {
            let goes_on = chords
                .last()
                .is_some_and(|last| last.is_written_like(chord));
            if !goes_on {
                chords.push(chord);
            }
            chords.len() - 1
        };
        let of_slots = slots.iter().map(|slot| slot.map(&mut run_of)).collect();
        Self { chords, of_slots }
    }

    /// What was found for each run, slot by slot; `None` where there is no chord.
    pub fn each_slot<T: Copy>(&self, of_runs: &[T]) -> Vec<Option<T>> {
        let found = |run: &Option<usize>| of_runs.get((*run)?).copied();
        self.of_slots.iter().map(found).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_repeated_symbol_is_one_also_over_a_rest() {
        let [c, g] = ["C", "G7"].map(|text| Chord::read(text).unwrap());
        let row = [None, Some(&c), None, Some(&c), Some(&g), Some(&c)];
        let runs = SymbolRuns::of(&row);
        assert_eq!(runs.chords, [&c, &g, &c]);
        let of_slots = [None, Some(0), None, Some(0), Some(1), Some(2)];
        assert_eq!(runs.of_slots, of_slots);
        assert_eq!(
            runs.each_slot(&['a', 'b']),
            [None, Some('a'), None, Some('a'), Some('b'), None]
        );
    }
}
