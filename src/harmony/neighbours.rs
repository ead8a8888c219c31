//! Which chord comes next: the next *different* one.

use crate::chord::Chord;

use super::chord_kind::{RootAndKind, ground};

/// For each slot the next different chord in played order; `None` where there is none, and for
/// slots without a chord.
///
/// Repeats of a symbol and slots without a chord are looked through, and so are chords on the same
/// root when a dominant looks ahead; a triad over a bass of its own (G/C) stands on that. With `looped`,
/// the first chord comes after the last.
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::nexts;
///
/// let [sus, seven, one] = ["G7sus", "G7", "C"].map(|text| Chord::read(text).unwrap());
/// let row = [Some(&sus), None, Some(&seven), Some(&one)];
/// assert_eq!(nexts(&row, false), [Some(&one), None, Some(&one), None]);
/// ```
pub fn nexts<'a>(slots: &[Option<&'a Chord>], looped: bool) -> Vec<Option<&'a Chord>> {
    let ahead = aheads(slots, looped).into_iter();
    let slots = slots.iter().zip(ahead);
    slots
        .map(|(slot, ahead)| ahead.before((*slot)?).next())
        .collect()
}

/// For each slot in played order what lies ahead just after it.
pub(crate) fn aheads<'a>(slots: &[Option<&'a Chord>], looped: bool) -> Vec<Ahead<'a>> {
    let mut found = vec![Ahead::default(); slots.len()];
    let mut ahead = Ahead::default();
    // A loop is the tune played twice: the second time round knows what follows the first.
    for _ in 0..(1 + usize::from(looped)) {
        for (slot, found) in slots.iter().zip(&mut found).rev() {
            *found = ahead;
            ahead = slot.map_or(ahead, |chord| ahead.before(chord));
        }
    }
    found
}

/// What a chord looks past to find the next different one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Past {
    /// Repeats of its symbol.
    Symbol,
    /// Every chord on its root, as a dominant does.
    Root,
}

impl Past {
    /// What this chord looks past.
    pub(crate) fn of(chord: &Chord) -> Self {
        match RootAndKind::of(chord).is_dominant() {
            true => Self::Root,
            false => Self::Symbol,
        }
    }

    /// Whether who looks ahead from `chord` looks past `after`.
    pub(crate) fn passes(self, chord: &Chord, after: &Chord) -> bool {
        match self {
            Self::Symbol => after.is_written_like(chord),
            Self::Root => ground(after) == ground(chord),
        }
    }
}

/// A chord and what lies ahead of it, as far as a chord before it may look.
///
/// It is made from the end of the tune backwards, so that the next different chord of a chord follows
/// from the chord just after it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Ahead<'a> {
    /// The chord itself.
    chord: Option<&'a Chord>,
    /// The next one with another symbol.
    other: Option<&'a Chord>,
    /// The next one on another root.
    other_root: Option<&'a Chord>,
}

impl<'a> Ahead<'a> {
    /// The same with `chord` in front of it.
    pub(crate) fn before(self, chord: &'a Chord) -> Self {
        // A chord that is struck again looks past itself.
        if self.chord.is_some_and(|after| std::ptr::eq(after, chord)) {
            return self;
        }
        let stop = |past: Past| self.chord.filter(|after| !past.passes(chord, after));
        Self {
            chord: Some(chord),
            other: stop(Past::Symbol).or(self.other),
            other_root: stop(Past::Root).or(self.other_root),
        }
    }

    /// The next chord that the first one doesn't look past.
    pub(crate) fn next(self) -> Option<&'a Chord> {
        match Past::of(self.chord?) {
            Past::Root => self.other_root,
            Past::Symbol => self.other,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dominant_looks_through_its_own_root_and_not_through_a_triad_over_another_bass() {
        let next = |symbols: [&str; 3]| {
            let chords = symbols.map(|text| Chord::read(text).unwrap());
            let row: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
            nexts(&row, false)[0].map(|chord| chord.symbol().to_owned())
        };
        // G/C stands on C, C/B on C still, and F/G on the root of G7.
        assert_eq!(next(["G7", "G/C", "Am7"]).as_deref(), Some("G/C"));
        assert_eq!(next(["C7", "C/B", "Am7"]).as_deref(), Some("Am7"));
        assert_eq!(next(["G7", "F/G", "C6"]).as_deref(), Some("C6"));
        assert_eq!(next(["C#7", "Db7", "Gb6"]).as_deref(), Some("Gb6"));
        // Another chord sees whatever has another symbol.
        assert_eq!(next(["Gm7", "Gm/C", "F"]).as_deref(), Some("Gm/C"));
    }
}
