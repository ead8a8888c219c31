//! Bars that are longer or shorter than their meter: the usual typing error in a tune.
//!
//! Not every one is a fault. A tune begins with a pickup and ends with what the pickup lacks, and so does a part between
//! repeat signs, endings and double bar lines (the standard's own examples divide bars there).

use crate::chart::Stroke;
use crate::formats::song::SongBar;
use crate::score::Quarters;

/// The places among `odd` at which nothing explains the length.
pub(super) fn faults(bars: &[SongBar], odd: &[usize]) -> Vec<usize> {
    let is_fault = |at: &usize| {
        let Some(bar) = bars.get(*at) else {
            return false;
        };
        let before = at.checked_sub(1).and_then(|at| bars.get(at));
        let next = bars.get(at + 1);
        bar.length > Quarters::of_bar(bar.meter) || !(begins(before, bar) || ends(bar, next))
    };
    odd.iter().copied().filter(is_fault).collect()
}

/// Whether a part begins with a bar: the tune, a repeat, an ending, a section.
fn begins(before: Option<&SongBar>, bar: &SongBar) -> bool {
    let Some(before) = before else {
        return true;
    };
    bar.opens_repeat || bar.section.is_some() || !bar.endings.is_empty() || closes(before)
}

/// Whether a part ends with it.
fn ends(bar: &SongBar, next: Option<&SongBar>) -> bool {
    next.is_none_or(|next| begins(Some(bar), next))
}

fn closes(bar: &SongBar) -> bool {
    bar.closes_repeat.is_some() || bar.stroke != Stroke::Single
}

#[cfg(test)]
mod tests {
    use crate::formats::readers::reader;

    /// What is said of the bars of a tune in 4/4.
    fn told(music: &str) -> Vec<String> {
        let tune = format!("X:1\nT:Tide Table\nM:4/4\nL:1/4\nK:C\n{music}\n");
        let read = reader("abc").unwrap().tune(tune.as_bytes(), None).unwrap();
        read.report
            .items()
            .into_iter()
            .map(|item| item.text)
            .collect()
    }

    #[test]
    fn a_bar_of_the_wrong_length_is_told_with_its_number() {
        assert_eq!(
            told("\"C\"CDEFG|\"G7\"GABc|\"C\"c4|]"),
            ["1 bar longer or shorter than its meter: written in a meter of that length (bar 1)"]
        );
        assert_eq!(
            told("\"C\"CDEF|\"G7\"GAB|\"C\"c2|\"C\"c4|]"),
            [
                "2 bars longer or shorter than their meter: written in a meter of that length (first: bar 2)"
            ]
        );
    }

    #[test]
    fn a_pickup_and_a_bar_that_a_repeat_divides_are_none() {
        for music in [
            "G|\"C\"CDEF|\"G7\"GABc|\"C\"c3|]",
            "G|:\"C\"CDEF|\"G7\"GAB:|c|\"C\"c4|]",
            "|:\"C\"CDEF|1\"G7\"GAB:|2\"C\"c3||G|\"C\"c4|]",
            "\"C\"CDEF|z4|Z2|\"G7\"G>AB>c|]",
        ] {
            assert_eq!(told(music), [""; 0], "{music}");
        }
    }
}
