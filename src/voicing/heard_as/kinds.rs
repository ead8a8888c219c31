//! The kinds of chord that notes are taken for: which tones make one, and which may be silent.

use crate::chord::Family;
use crate::pitch::Degree;

/// A kind of chord, on any root.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct ChordQuality {
    /// What is written behind the root.
    pub suffix: &'static str,
    /// Without these it is not this chord: third and seventh (or what stands for them), an altered
    /// fifth, every extension the symbol names.
    needs: &'static [Degree],
    /// These may be silent: the root, a natural fifth, a ninth the symbol only implies.
    may: &'static [Degree],
    /// Whether it is a triad, a sixth chord or a seventh chord, without extensions.
    pub plain: bool,
}

impl ChordQuality {
    /// Everything the symbol stands for.
    pub fn tones(&self) -> impl Iterator<Item = Degree> {
        self.needs.iter().chain(self.may).copied()
    }

    /// What each of these places above the root (0 to 11) is in it, if they are this chord.
    pub fn degrees(&self, above: &[u8]) -> Option<Vec<Degree>> {
        let needed = |degree: &Degree| above.contains(&degree.class());
        self.needs.iter().all(needed).then_some(())?;
        let tone = |place: &u8| self.tones().find(|tone| tone.class() == *place);
        above.iter().map(tone).collect()
    }

    /// How many of its tones are silent while these places sound.
    pub fn silent(&self, above: &[u8]) -> usize {
        let silent = |tone: &Degree| !above.contains(&tone.class());
        self.tones().filter(silent).count()
    }

    /// As much of its family as decides how its root is spelled.
    pub fn family(&self) -> Family {
        let has = |degree| self.tones().any(|tone| tone == degree);
        if has(B3) && has(B5) {
            Family::HalfDiminished
        } else {
            Family::Major
        }
    }
}

const R: Degree = Degree::ROOT;
const B9: Degree = Degree::FLAT_NINTH;
const N9: Degree = Degree::NINTH;
const S9: Degree = Degree::SHARP_NINTH;
const B3: Degree = Degree::MINOR_THIRD;
const N3: Degree = Degree::THIRD;
const N4: Degree = Degree::known(4, 0);
const N11: Degree = Degree::ELEVENTH;
const S11: Degree = Degree::SHARP_ELEVENTH;
const B5: Degree = Degree::FLAT_FIFTH;
const N5: Degree = Degree::FIFTH;
const S5: Degree = Degree::SHARP_FIFTH;
const B13: Degree = Degree::FLAT_THIRTEENTH;
const N6: Degree = Degree::SIXTH;
const N13: Degree = Degree::THIRTEENTH;
const BB7: Degree = Degree::DOUBLE_FLAT_SEVENTH;
const B7: Degree = Degree::FLAT_SEVENTH;
const N7: Degree = Degree::SEVENTH;

const fn plain(
    suffix: &'static str,
    needs: &'static [Degree],
    may: &'static [Degree],
) -> ChordQuality {
    ChordQuality {
        suffix,
        needs,
        may,
        plain: true,
    }
}

const fn extended(
    suffix: &'static str,
    needs: &'static [Degree],
    may: &'static [Degree],
) -> ChordQuality {
    ChordQuality {
        plain: false,
        ..plain(suffix, needs, may)
    }
}

/// Every kind, the more everyday before the rarer: the order that decides last. It is ours.
///
/// The extended ones are the chords whose four-note rootless forms are taught (Levine, *The Jazz
/// Piano Book*, ch. 7, and the method books; their layouts partly from memory).
pub(super) static KINDS: [ChordQuality; 35] = [
    plain("", &[R, N3, N5], &[]),
    plain("m", &[R, B3, N5], &[]),
    plain("maj7", &[N3, N7], &[R, N5]),
    plain("7", &[N3, B7], &[R, N5]),
    plain("m7", &[B3, B7], &[R, N5]),
    plain("m7b5", &[B3, B5, B7], &[R]),
    plain("dim7", &[B3, B5, BB7], &[R]),
    plain("6", &[N3, N6], &[R, N5]),
    plain("m6", &[B3, N6], &[R, N5]),
    plain("mMaj7", &[B3, N7], &[R, N5]),
    plain("7sus", &[N4, B7], &[R, N5]),
    plain("7#5", &[N3, S5, B7], &[R]),
    plain("maj7#5", &[N3, S5, N7], &[R]),
    plain("dim", &[R, B3, B5], &[]),
    plain("aug", &[R, N3, S5], &[]),
    plain("sus4", &[R, N4, N5], &[]),
    extended("9", &[N3, B7, N9], &[R, N5]),
    extended("m9", &[B3, B7, N9], &[R, N5]),
    extended("maj9", &[N3, N7, N9], &[R, N5]),
    extended("6/9", &[N3, N6, N9], &[R, N5]),
    extended("13", &[N3, B7, N13], &[R, N5, N9]),
    extended("7b9", &[N3, B7, B9], &[R, N5]),
    extended("13b9", &[N3, B7, N13, B9], &[R, N5]),
    extended("7alt", &[N3, B7, B13, S9], &[R]),
    extended("7b9b13", &[N3, B7, B13, B9], &[R, N5]),
    extended("7#9", &[N3, B7, S9], &[R, N5]),
    extended("9sus", &[N4, B7, N9], &[R, N5]),
    extended("13sus", &[N4, B7, N13], &[R, N5, N9]),
    extended("m6/9", &[B3, N6, N9], &[R, N5]),
    extended("mMaj9", &[B3, N7, N9], &[R, N5]),
    extended("m11", &[B3, B7, N11], &[R, N5, N9]),
    extended("m9b5", &[B3, B5, B7, N9], &[R]),
    extended("m7b5(11)", &[B3, N11, B5, B7], &[R]),
    extended("maj7#11", &[N3, N7, S11], &[R, N5]),
    extended("maj9#11", &[N3, N7, S11, N9], &[R, N5]),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chord::Chord;

    /// The chord symbol reader knows nothing of this table, and agrees with it.
    #[test]
    fn every_kind_is_what_its_symbol_says() {
        for kind in &KINDS {
            let chord = Chord::read(&format!("C{}", kind.suffix)).unwrap();
            let mut ours: Vec<Degree> = kind.tones().collect();
            ours.sort();
            let mut read: Vec<Degree> = chord.tones().iter().map(|tone| tone.degree).collect();
            if chord.is_altered() {
                // Which alterations sound is the player's choice.
                read.retain(|degree| ours.contains(degree));
            }
            assert_eq!(ours, read, "{chord}");
        }
    }
}
