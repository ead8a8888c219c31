//! A chord being put together: the triad, the stack on it, one change after another.

use super::grammar::{Change, Number, Quality, Suspension};
use super::symbol::{fifth, seventh, third};
use super::{Reading, Tone, tension};
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

const MINOR_THIRD: Degree = Degree::known(3, -1);
const THIRD: Degree = Degree::known(3, 0);
const FLAT_FIFTH: Degree = Degree::known(5, -1);
const FIFTH: Degree = Degree::known(5, 0);
const SHARP_FIFTH: Degree = Degree::known(5, 1);
const SIXTH: Degree = Degree::known(6, 0);
const DOUBLE_FLAT_SEVENTH: Degree = Degree::known(7, -2);
const FLAT_SEVENTH: Degree = Degree::known(7, -1);
const SEVENTH: Degree = Degree::known(7, 0);
const NINTH: Degree = Degree::known(9, 0);
const ELEVENTH: Degree = Degree::known(11, 0);
const THIRTEENTH: Degree = Degree::known(13, 0);

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
    pub altered: bool,
    pub reading: Option<Reading>,
}

impl Draft {
    /// The triad of a quality, and the seventh of those that have one without a number.
    pub fn triad(quality: Option<Quality>) -> Self {
        use Quality::*;
        let (third, fifth) = match quality {
            None | Some(Major | Triangle | Dominant) => (THIRD, FIFTH),
            Some(FlatFive) => (THIRD, FLAT_FIFTH),
            Some(Minor | MinorMajor) => (MINOR_THIRD, FIFTH),
            Some(Augmented | Plus | AugmentedMajor | OldAugmented) => (THIRD, SHARP_FIFTH),
            Some(Diminished | Circle | DiminishedMajor | HalfDiminished | OldDiminished) => {
                (MINOR_THIRD, FLAT_FIFTH)
            }
        };
        let usual_seventh = match quality {
            Some(Major | Triangle | MinorMajor | DiminishedMajor | AugmentedMajor) => SEVENTH,
            Some(Diminished | Circle | OldDiminished) => DOUBLE_FLAT_SEVENTH,
            _ => FLAT_SEVENTH,
        };
        let mut draft = Self {
            tones: Vec::new(),
            usual_seventh,
            stack: 5,
            omits_fifth: false,
            alters_fifth: false,
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
                let seventh = if major { SEVENTH } else { self.usual_seventh };
                self.stack_to(seventh, to)
            }
            (Number::Two, None | Some(Major | Minor)) => {
                self.reading = Some(Reading::Two);
                self.natural(NINTH)
            }
            (Number::Four, None) => self.suspend(false, true),
            (Number::Five, None) => {
                self.drop(3);
                Ok(())
            }
            (Number::Five, Some(Augmented | Plus)) => Ok(()),
            (Number::Six, None | Some(Major | Minor)) => self.natural(SIXTH),
            (Number::SixNine, None | Some(Major | Minor)) => {
                self.natural(SIXTH).and_then(|()| self.natural(NINTH))
            }
            _ => conflict("7, 9, 11 or 13 after this quality", None),
        }
    }

    /// Makes one change.
    pub fn change(&mut self, change: Change) -> Outcome {
        match change {
            Change::Suspend(suspension) => self.suspension(suspension),
            Change::Alter(degree) => self.alter(degree),
            Change::AddAltered(degree) if degree.number() == 5 => {
                self.put(degree, true);
                Ok(())
            }
            Change::AddAltered(degree) => self.alter(degree),
            Change::Bare(number) => self.bare(number),
            Change::Add(number) => self.add(number),
            Change::Omit(number) => self.omit(number),
            Change::MajorStack(to) => self.major_stack(to),
            Change::PlusSeven => self.plus_seven(),
            Change::Raise => self.raise(),
            Change::Altered => self.make_altered(),
        }
    }

    /// What can be said only when all changes are made.
    pub fn settle(&mut self, quality: Option<Quality>, number: Option<Number>) {
        if self.has(7) {
            for tone in self.tones.iter_mut().filter(|tone| tone.degree == SIXTH) {
                tone.degree = THIRTEENTH;
            }
        }
        let seventh = matches!(
            number,
            Some(Number::Stack {
                to: 7,
                major: false
            })
        );
        let note = match quality {
            Some(Quality::Circle) if !self.has(7) => Some(Reading::CircleTriad),
            Some(Quality::Triangle) if number.is_none() => Some(Reading::Triangle),
            Some(Quality::Plus) if seventh => Some(Reading::AugmentedSeventh),
            Some(Quality::OldDiminished) => Some(Reading::OldDiminished),
            Some(Quality::OldAugmented) => Some(Reading::OldAugmented),
            _ => None,
        };
        self.reading = self.reading.or(note);
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
        let minor = third(&self.tones) == Some(MINOR_THIRD);
        if to >= 9 && !self.has(9) {
            self.put(NINTH, to == 9);
        }
        match to {
            11 => self.eleventh(seventh),
            13 if seventh == DOUBLE_FLAT_SEVENTH => {
                conflict("7, 9 or 11: the 13 is the diminished seventh itself", None)
            }
            13 => {
                if minor && !self.has(11) {
                    self.put(ELEVENTH, false);
                }
                self.natural(THIRTEENTH)
            }
            _ => Ok(()),
        }
    }

    /// The 11 of an eleventh chord: over a major third it takes the third's place, except under a
    /// major seventh, where the stack is read literally.
    fn eleventh(&mut self, seventh: Degree) -> Outcome {
        let raised = fifth(&self.tones) == Some(SHARP_FIFTH);
        match third(&self.tones) {
            Some(THIRD) if raised => conflict(
                "7, 9 or 13: the 11 clashes with the third",
                Some("a raised 11 is written (#11)"),
            ),
            Some(THIRD) if seventh == SEVENTH => {
                self.reading = Some(Reading::MajorEleventh);
                self.natural(ELEVENTH)
            }
            Some(THIRD) => {
                self.reading = Some(Reading::Eleventh);
                self.suspend(false, true)
            }
            _ => self.natural(ELEVENTH),
        }
    }

    fn suspension(&mut self, suspension: Suspension) -> Outcome {
        self.suspend(suspension.second, suspension.fourth)?;
        match suspension.stack {
            Some(to) => self.stack_to(self.usual_seventh, to),
            None => Ok(()),
        }
    }

    fn suspend(&mut self, second: bool, fourth: bool) -> Outcome {
        if self.tones.iter().any(|tone| tone.degree == MINOR_THIRD) {
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

    fn alter(&mut self, degree: Degree) -> Outcome {
        match degree.number() {
            3 => self.flatten_third(),
            5 => self.alter_fifth(degree),
            7 => self.alter_seventh(degree),
            _ => self.alter_tension(degree),
        }
    }

    fn flatten_third(&mut self) -> Outcome {
        if self.has(4) || self.has(2) {
            return conflict(
                "no third in a suspended chord",
                Some("add the third: (add3)"),
            );
        }
        self.drop(3);
        self.put(MINOR_THIRD, true);
        Ok(())
    }

    /// The first alteration replaces the natural fifth, a second stands beside it.
    fn alter_fifth(&mut self, degree: Degree) -> Outcome {
        if self.omits_fifth {
            return conflict("no alteration of the fifth, which is left out", None);
        }
        self.tones.retain(|tone| tone.degree != FIFTH);
        self.alters_fifth = true;
        self.put(degree, true);
        Ok(())
    }

    fn alter_seventh(&mut self, degree: Degree) -> Outcome {
        let degree = if degree.alter() == 1 { SEVENTH } else { degree };
        match self.tones.iter().find(|tone| tone.degree.number() == 7) {
            Some(tone) if tone.degree == degree => Ok(()),
            Some(tone) if tone.degree == DOUBLE_FLAT_SEVENTH && degree == SEVENTH => {
                self.put(SEVENTH, true);
                Ok(())
            }
            Some(_) => conflict("no second seventh", None),
            None => {
                self.put(degree, true);
                Ok(())
            }
        }
    }

    fn alter_tension(&mut self, degree: Degree) -> Outcome {
        let number = degree.number();
        let natural = Degree::known(number, 0);
        let written = |tone: &Tone| tone.named && tone.degree == natural;
        if self.tones.iter().any(written)
            || number == 13 && self.tones.iter().any(|t| t.degree == SIXTH)
        {
            return conflict(
                "no alteration of a tone that is written natural as well",
                None,
            );
        }
        self.tones.retain(|tone| tone.degree != natural);
        self.put(degree, true);
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

    /// On a chord with a seventh `(13)` is that tension; on a triad some mean the whole stack.
    fn bare(&mut self, number: u8) -> Outcome {
        let triad = seventh(&self.tones).is_none();
        match number {
            7 => self.seventh_by_number(),
            3 | 5 => conflict(
                "a tension such as 9 or 13, or an alteration",
                Some("added tones are written (add3)"),
            ),
            _ => {
                if triad && matches!(number, 9 | 11 | 13) {
                    self.reading = Some(Reading::BracketedNumber);
                }
                self.tension(number)
            }
        }
    }

    fn add(&mut self, number: u8) -> Outcome {
        match number {
            3 => {
                self.put(THIRD, true);
                Ok(())
            }
            5 => self.natural(FIFTH),
            7 => {
                self.reading = Some(Reading::AddSeven);
                self.seventh_by_number()
            }
            _ => self.tension(number),
        }
    }

    fn seventh_by_number(&mut self) -> Outcome {
        let diminished = self.usual_seventh == DOUBLE_FLAT_SEVENTH;
        self.alter_seventh(if diminished {
            DOUBLE_FLAT_SEVENTH
        } else {
            FLAT_SEVENTH
        })
    }

    /// A tension by its number. A 6 without a seventh is the sixth; the 4 of a suspended chord is
    /// its 11 already, the 2 its 9, the 6 its 13.
    fn tension(&mut self, number: u8) -> Outcome {
        match number {
            6 if !self.has(7) => self.natural(SIXTH),
            4 | 11 if self.has(4) => Ok(()),
            2 | 9 if self.has(2) => Ok(()),
            13 if self.has(6) => Ok(()),
            2 | 4 | 6 | 9 | 11 | 13 => self.natural(Degree::known(
                if number < 9 { number + 7 } else { number },
                0,
            )),
            _ => conflict("a degree of a chord: 2 to 7, 9, 11 or 13", None),
        }
    }

    fn omit(&mut self, number: u8) -> Outcome {
        let implied = number == 11 && self.stack >= 11;
        match number {
            5 if self.alters_fifth => {
                return conflict("no fifth to leave out: it is altered", None);
            }
            1 | 3 | 5 => {}
            6 | 7 | 9 | 11 | 13 if implied || self.has(number) => {}
            _ => return conflict("a degree that is in the chord", None),
        }
        self.omits_fifth |= number == 5;
        self.drop(number);
        Ok(())
    }

    fn major_stack(&mut self, to: u8) -> Outcome {
        self.alter_seventh(SEVENTH)?;
        self.stack_to(SEVENTH, to)
    }

    fn plus_seven(&mut self) -> Outcome {
        if third(&self.tones) != Some(MINOR_THIRD) || self.has(7) {
            return conflict(
                "no (+7): it has been used for both sevenths",
                Some("write 7, maj7 or 7#5"),
            );
        }
        self.reading = Some(Reading::MinorPlusSeven);
        self.alter_seventh(SEVENTH)
    }

    fn raise(&mut self) -> Outcome {
        if fifth(&self.tones) != Some(FIFTH) {
            return conflict("no plus: there is no natural fifth to raise", None);
        }
        if self.stack == 7 && self.usual_seventh == FLAT_SEVENTH {
            self.reading = Some(Reading::AugmentedSeventh);
        }
        self.alter_fifth(SHARP_FIFTH)
    }

    fn make_altered(&mut self) -> Outcome {
        let dominant = matches!(seventh(&self.tones), None | Some(FLAT_SEVENTH));
        if third(&self.tones) != Some(THIRD) || !dominant || self.stack > 7 {
            return conflict(
                "no alt: only a dominant seventh can be altered",
                Some("write 7alt"),
            );
        }
        self.put(FLAT_SEVENTH, true);
        self.drop(5);
        self.altered = true;
        tension::ALTERED
            .into_iter()
            .try_for_each(|degree| self.alter_tension(degree))
    }
}
