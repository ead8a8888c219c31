//! Which chord comes next: the next *different* one.

use crate::chord::Chord;

use super::look::Look;

/// For each slot the next different chord in played order; `None` where there is none, and for
/// slots without a chord.
///
/// Repeats of a symbol and slots without a chord are looked through, and so are chords on the same
/// root when a dominant looks ahead. With `looped`, the first chord comes after the last.
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
    let mut found = vec![None; slots.len()];
    let mut ahead = Ahead::default();
    // A loop is the tune played twice: the second time round knows what follows the first.
    for _ in 0..(1 + usize::from(looped)) {
        for (slot, found) in slots.iter().zip(&mut found).rev() {
            if let Some(chord) = slot {
                *found = ahead.from(chord);
            }
        }
    }
    found
}

/// What has been met on the way back from the end.
#[derive(Default)]
struct Ahead<'a> {
    later: Option<&'a Chord>,
    other: Option<&'a Chord>,
    other_root: Option<&'a Chord>,
}

impl<'a> Ahead<'a> {
    /// What comes after this chord, which is then the latest met.
    fn from(&mut self, chord: &'a Chord) -> Option<&'a Chord> {
        if self.later.is_some_and(|later| later.root() != chord.root()) {
            self.other_root = self.later;
        }
        if self
            .later
            .is_some_and(|later| later.symbol() != chord.symbol())
        {
            self.other = self.later;
        }
        self.later = Some(chord);
        match Look::of(chord).is_dominant() {
            true => self.other_root,
            false => self.other,
        }
    }
}
