//! A chord being put together: the triad and the stack on it; the changes stand in [`changes`].

mod changes;

use super::grammar::{Number, Quality};
use super::tone::{fifth, seventh, third};
use super::{Reading, Tone};
use crate::pitch::Degree;

/// Why something written can't be part of this chord.
#[derive(Debug)]
pub(super) struct Conflict {
    /// What could stand there, or why this can't.
    pub expected: &'static str,
    /// What to write instead.
    pub help: Option<&'static str>,
}

type Outcome = Result<(), Conflict>;

fn conflict(expected: &'static str, help: Option<&'static str>) -> Outcome {
    Err(Conflict { expected, help })
}

/// The tones so far, and what later changes have to know.
#[derive(Debug)]
pub(super) struct Draft {
    tones: Vec<Tone>,
    /// The seventh that the quality stacks: 7, b7 or bb7.
    usual_seventh: Degree,
    /// How far the thirds are stacked: 5, 7, 9, 11 or 13.
    stack: u8,
    omits_fifth: bool,
    alters_fifth: bool,
    /// An altered tension stands by itself, so that a 7 may be meant beside it.
    altered_alone: bool,
    pub altered: bool,
    pub reading: Option<Reading>,
}

impl Draft {
    /// The triad of a quality, and the seventh of those that have one without a number.
    pub fn triad(quality: Option<Quality>) -> Self {
        use Quality::*;
        let (third, fifth) = match quality {
            None | Some(Major | Triangle | Dominant) => (Degree::THIRD, Degree::FIFTH),
            Some(FlatFive) => (Degree::THIRD, Degree::FLAT_FIFTH),
            Some(Minor | MinorMajor) => (Degree::MINOR_THIRD, Degree::FIFTH),
            Some(Augmented | Plus | AugmentedMajor | OldAugmented) => {
                (Degree::THIRD, Degree::SHARP_FIFTH)
            }
            Some(Diminished | Circle | DiminishedMajor | HalfDiminished | OldDiminished) => {
                (Degree::MINOR_THIRD, Degree::FLAT_FIFTH)
            }
        };
        let usual_seventh = match quality {
            Some(Major | Triangle | MinorMajor | DiminishedMajor | AugmentedMajor) => {
                Degree::SEVENTH
            }
            Some(Diminished | Circle | OldDiminished) => Degree::DOUBLE_FLAT_SEVENTH,
            _ => Degree::FLAT_SEVENTH,
        };
        let mut draft = Self {
            tones: Vec::new(),
            usual_seventh,
            stack: 5,
            omits_fifth: false,
            alters_fifth: false,
            altered_alone: false,
            altered: false,
            reading: None,
        };
        draft.put(Degree::known(1, 0), false);
        draft.put(third, true);
        draft.put(fifth, fifth.alter() != 0);
        if let Some(Triangle | MinorMajor | DiminishedMajor | AugmentedMajor | HalfDiminished) =
            quality
        {
            draft.put(usual_seventh, true);
        }
        draft
    }

    /// The tones, by rising degree.
    pub fn tones(&self) -> Vec<Tone> {
        let mut tones = self.tones.clone();
        tones.sort_unstable_by_key(|tone| (tone.degree.number(), tone.degree.alter()));
        tones
    }

    /// Adds what the number of the symbol says.
    pub fn number(&mut self, quality: Option<Quality>, number: Number) -> Outcome {
        use Quality::{Augmented, Major, Minor, Plus};
        match (number, quality) {
            (Number::Stack { to, major }, _) => {
                let seventh = if major {
                    Degree::SEVENTH
                } else {
                    self.usual_seventh
                };
                self.stack_to(seventh, to)
            }
            (Number::Two, None | Some(Major | Minor)) => {
                self.reading = Some(Reading::Two);
                self.natural(Degree::NINTH)
            }
            (Number::Four, None) => {
                self.reading = Some(Reading::Four);
                self.suspend(false, true)
            }
            (Number::Five, None) => {
                // The fifth is what the 5 of a power chord writes, and all it has beside the root.
                self.drop(3);
                self.put(Degree::known(5, 0), true);
                Ok(())
            }
            (Number::Five, Some(Augmented | Plus)) => Ok(()),
            (Number::Six, None | Some(Major | Minor)) => self.natural(Degree::SIXTH),
            (Number::SixNine, None | Some(Major | Minor)) => self
                .natural(Degree::SIXTH)
                .and_then(|()| self.natural(Degree::NINTH)),
            _ => conflict("7, 9, 11 or 13 after this quality", None),
        }
    }

    /// What can be said only when all changes are made.
    pub fn settle(&mut self, quality: Option<Quality>, number: Option<Number>) {
        if self.has(7) {
            for tone in self
                .tones
                .iter_mut()
                .filter(|tone| tone.degree == Degree::SIXTH)
            {
                tone.degree = Degree::THIRTEENTH;
            }
        }
        self.join_equal_keys();
        self.reading = self.reading.or_else(|| self.note(quality, number));
    }

    /// Degrees that name one key of the piano are one tone, called by the lower number: a #5 beside
    /// a b13, a #9 beside a b3.
    fn join_equal_keys(&mut self) {
        let mut joined: Vec<Tone> = Vec::with_capacity(self.tones.len());
        for tone in self.tones() {
            match joined
                .iter_mut()
                .find(|other| other.degree.class() == tone.degree.class())
            {
                Some(other) => other.named |= tone.named,
                None => joined.push(tone),
            }
        }
        self.tones = joined;
    }

    /// The note due to the whole symbol.
    fn note(&self, quality: Option<Quality>, number: Option<Number>) -> Option<Reading> {
        let stack = |major| Some(Number::Stack { to: 7, major });
        match quality {
            Some(Quality::Circle) if !self.has(7) => Some(Reading::CircleTriad),
            Some(Quality::Circle) if number.is_none() => Some(Reading::CircleMajorSeventh),
            Some(Quality::Triangle) if number.is_none() => Some(Reading::Triangle),
            Some(Quality::Plus) if number == stack(false) => Some(Reading::AugmentedSeventh),
            Some(Quality::OldDiminished) => Some(Reading::OldDiminished),
            Some(Quality::OldAugmented) => Some(Reading::OldAugmented),
            _ if self.altered_alone && seventh(&self.tones).is_none() => {
                Some(Reading::BracketedAlteration)
            }
            _ => None,
        }
    }

    fn has(&self, number: u8) -> bool {
        self.tones.iter().any(|tone| tone.degree.number() == number)
    }

    /// Puts a tone in, or names it if it is there.
    fn put(&mut self, degree: Degree, named: bool) {
        match self.tones.iter_mut().find(|tone| tone.degree == degree) {
            Some(tone) => tone.named |= named,
            None => self.tones.push(Tone { degree, named }),
        }
    }

    fn drop(&mut self, number: u8) {
        self.tones.retain(|tone| tone.degree.number() != number);
    }

    /// The seventh and the thirds above it; only the last is named, the others are implied.
    fn stack_to(&mut self, seventh: Degree, to: u8) -> Outcome {
        self.put(seventh, true);
        self.stack = to;
        let minor = third(&self.tones) == Some(Degree::MINOR_THIRD);
        if to >= 9 && !self.has(9) {
            self.put(Degree::NINTH, to == 9);
        }
        match to {
            11 => self.eleventh(seventh),
            13 if seventh == Degree::DOUBLE_FLAT_SEVENTH => {
                conflict("7, 9 or 11: the 13 is the diminished seventh itself", None)
            }
            13 => {
                if minor && !self.has(11) {
                    self.put(Degree::ELEVENTH, false);
                }
                self.natural(Degree::THIRTEENTH)
            }
            _ => Ok(()),
        }
    }

    /// The 11 of an eleventh chord: over a major third it takes the third's place, except under a
    /// major seventh, where the stack is read literally.
    fn eleventh(&mut self, seventh: Degree) -> Outcome {
        let raised = fifth(&self.tones) == Some(Degree::SHARP_FIFTH);
        match third(&self.tones) {
            Some(Degree::THIRD) if raised => conflict(
                "7, 9 or 13: the 11 clashes with the third",
                Some("a raised 11 is written (#11)"),
            ),
            Some(Degree::THIRD) if seventh == Degree::SEVENTH => {
                self.reading = Some(Reading::MajorEleventh);
                self.natural(Degree::ELEVENTH)
            }
            Some(Degree::THIRD) => {
                self.reading = Some(Reading::Eleventh);
                self.suspend(false, true)
            }
            _ => self.natural(Degree::ELEVENTH),
        }
    }

    fn suspend(&mut self, second: bool, fourth: bool) -> Outcome {
        if self
            .tones
            .iter()
            .any(|tone| tone.degree == Degree::MINOR_THIRD)
        {
            return conflict(
                "no sus: it takes away the third that makes the chord minor",
                Some("write 7sus4, or m7(add11) if the third stays"),
            );
        }
        self.drop(3);
        if second {
            self.drop(9);
            self.put(Degree::known(2, 0), true);
        }
        if fourth {
            self.put(Degree::known(4, 0), true);
        }
        Ok(())
    }

    /// A natural tone by its name; a 9 beside a b9 would be two minds about one tone.
    fn natural(&mut self, degree: Degree) -> Outcome {
        let altered =
            |tone: &Tone| tone.degree.number() == degree.number() && tone.degree.alter() != 0;
        if self.tones.iter().any(altered) {
            return conflict("no natural tone beside the same one altered", None);
        }
        self.put(degree, true);
        Ok(())
    }
}
