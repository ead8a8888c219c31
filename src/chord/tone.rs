//! The tones a symbol asks for, and which of them are its third, fifth and seventh.

use crate::pitch::Degree;

/// A tone a symbol asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Tone {
    /// Where it stands above the root.
    pub degree: Degree,
    /// Whether it must sound before anything merely implied: the third (or the fourth or second in
    /// its place), the seventh or sixth, an altered fifth, the fifth of a power chord, and every
    /// extension that is written. The root, any other natural fifth, and the 9 that C13 only implies
    /// are not named.
    pub named: bool,
}

/// The third, or what is in its place. A suspended chord may have an added third beside the 4.
pub(super) fn third(tones: &[Tone]) -> Option<Degree> {
    [4, 2, 3]
        .into_iter()
        .find_map(|number| numbered(tones, number))
}

/// The fifth; the lowered one where both are written.
pub(super) fn fifth(tones: &[Tone]) -> Option<Degree> {
    numbered(tones, 5)
}

/// The seventh, or the sixth where there is none.
pub(super) fn seventh(tones: &[Tone]) -> Option<Degree> {
    [7, 6]
        .into_iter()
        .find_map(|number| numbered(tones, number))
}

fn numbered(tones: &[Tone], number: u8) -> Option<Degree> {
    tones
        .iter()
        .map(|tone| tone.degree)
        .find(|degree| degree.number() == number)
}
