//! A bass line that the symbols write: three chords or more whose basses go the same way by half or whole
//! steps, a triad over another bass among them (Em Em/D# Em/D, G D/F# Em). The line is the idea: a triad in it
//! is as plain as its neighbour over the other bass (common practice, no source).

use crate::chord::Chord;

/// Whether the triad at a place in a row of chords stands in such a line, beside a triad over another bass.
pub(super) fn is_in_bass_line(chords: &[&Chord], at: usize) -> bool {
    // The two chords that make a line with this one: this one first, between them, and last.
    let lines = [Some(at), at.checked_sub(1), at.checked_sub(2)];
    lines.into_iter().flatten().any(|first| {
        let line = chords.get(first..first + 3).unwrap_or_default();
        let beside = line.iter().enumerate();
        let mut beside = beside.filter(|(place, _)| (first + place).abs_diff(at) == 1);
        beside.any(|(_, chord)| chord.is_triad_over_bass()) && steps_one_way(line)
    })
}

/// Whether the basses of three chords go up or down by half or whole steps.
fn steps_one_way(line: &[&Chord]) -> bool {
    let step = |pair: &[&Chord]| match pair {
        [from, to] => match from.lowest().class().up_to(to.lowest().class()).0 {
            1 | 2 => 1,
            10 | 11 => -1,
            _ => 0,
        },
        _ => 0,
    };
    let steps: Vec<i32> = line.windows(2).map(step).collect();
    matches!(steps[..], [1, 1] | [-1, -1])
}
