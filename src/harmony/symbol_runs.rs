//! A row of chords in which a symbol that is repeated is one.

use crate::chord::Chord;

/// A chord with the slots that have its symbol one after the other.
pub(super) struct SymbolRun<'a> {
    pub chord: &'a Chord,
    /// The slots, in played order.
    pub slots: Vec<usize>,
}

/// The runs of a row of slots, in played order. Slots without a chord are looked through.
pub(super) fn symbol_runs<'a>(slots: &[Option<&'a Chord>]) -> Vec<SymbolRun<'a>> {
    let sounding = slots.iter().enumerate();
    let sounding = sounding.filter_map(|(slot, chord)| Some((slot, (*chord)?)));
    let mut runs: Vec<SymbolRun<'a>> = Vec::new();
    for (slot, chord) in sounding {
        match runs.last_mut() {
            Some(run) if run.chord.symbol() == chord.symbol() => run.slots.push(slot),
            _ => runs.push(SymbolRun {
                chord,
                slots: vec![slot],
            }),
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_repeated_symbol_is_one_also_over_a_rest() {
        let [c, g] = ["C", "G7"].map(|text| Chord::read(text).unwrap());
        let row = [None, Some(&c), None, Some(&c), Some(&g), Some(&c)];
        let runs = symbol_runs(&row).into_iter();
        let runs: Vec<(&str, Vec<usize>)> = runs.map(|r| (r.chord.symbol(), r.slots)).collect();
        let expected = [("C", vec![1, 3]), ("G7", vec![4]), ("C", vec![5])];
        assert_eq!(runs, expected);
    }
}
