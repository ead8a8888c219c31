//! The changes written after the number, made one after another.

use super::{Draft, Outcome, conflict};
use crate::chord::grammar::{Modifier, Suspension};
use crate::chord::tone::{fifth, seventh, third};
use crate::chord::{Reading, Tone, tension};
use crate::pitch::Degree;

impl Draft {
    /// Makes one change.
    pub fn change(&mut self, change: Modifier) -> Outcome {
        match change {
            Modifier::Suspend(suspension) => self.suspension(suspension),
            Modifier::Alter(degree) => {
                self.altered_alone |= self.may_want_a_seventh(degree);
                self.alter(degree)
            }
            Modifier::AddAltered(degree) if degree.number() == 5 => {
                self.put(degree, true);
                Ok(())
            }
            Modifier::AddAltered(degree) => self.alter(degree),
            Modifier::Bare(number) => self.bare(number),
            Modifier::Add(number) => self.add(number),
            Modifier::Omit(number) => self.omit(number),
            Modifier::MajorStack(to) => self.major_stack(to),
            Modifier::PlusSeven => self.plus_seven(),
            Modifier::Raise => self.raise(),
            Modifier::Altered => self.make_altered(),
        }
    }

    fn suspension(&mut self, suspension: Suspension) -> Outcome {
        self.says_that_the_third_is_gone();
        self.suspend(suspension.second, suspension.fourth)?;
        match suspension.stack {
            Some(to) => self.stack_to(self.usual_seventh, to),
            None => Ok(()),
        }
    }

    fn alter(&mut self, degree: Degree) -> Outcome {
        match degree.number() {
            3 => self.flatten_third(),
            5 => self.alter_fifth(degree),
            7 => self.alter_seventh(degree),
            _ => self.alter_tension(degree),
        }
    }

    /// Whether some mean a seventh chord by this alteration of a triad; `mb6` is the triad to all.
    fn may_want_a_seventh(&self, degree: Degree) -> bool {
        let minor = third(&self.tones) == Some(Degree::MINOR_THIRD);
        degree.number() > 7 && !(minor && degree == Degree::FLAT_THIRTEENTH)
    }

    fn flatten_third(&mut self) -> Outcome {
        if self.has(4) || self.has(2) {
            return conflict(
                "no third in a suspended chord",
                Some("add the third: (add3)"),
            );
        }
        self.drop(3);
        self.put(Degree::MINOR_THIRD, true);
        Ok(())
    }

    /// The first alteration replaces the natural fifth, a second stands beside it.
    fn alter_fifth(&mut self, degree: Degree) -> Outcome {
        if self.omits_fifth {
            return conflict("no alteration of the fifth, which is left out", None);
        }
        self.tones.retain(|tone| tone.degree != Degree::FIFTH);
        self.alters_fifth = true;
        self.put(degree, true);
        Ok(())
    }

    fn alter_seventh(&mut self, degree: Degree) -> Outcome {
        let degree = if degree.alter() == 1 {
            Degree::SEVENTH
        } else {
            degree
        };
        match self.tones.iter().find(|tone| tone.degree.number() == 7) {
            Some(tone) if tone.degree == degree => Ok(()),
            Some(tone)
                if tone.degree == Degree::DOUBLE_FLAT_SEVENTH && degree == Degree::SEVENTH =>
            {
                self.put(Degree::SEVENTH, true);
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
            || number == 13 && self.tones.iter().any(|t| t.degree == Degree::SIXTH)
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
                match number {
                    4 if self.may_suspend() => return self.bare_fourth(),
                    2 if triad && !self.has(2) => self.reading = Some(Reading::Two),
                    9 | 11 | 13 if triad => self.reading = Some(Reading::BracketedNumber),
                    _ => {}
                }
                self.tension(number)
            }
        }
    }

    /// A 4 by itself takes the place of a major third, as in `C4`; beside a #11 it can't be read.
    fn may_suspend(&self) -> bool {
        third(&self.tones) == Some(Degree::THIRD) && !self.has(11)
    }

    fn bare_fourth(&mut self) -> Outcome {
        self.reading = Some(Reading::Four);
        self.suspend(false, true)
    }

    fn add(&mut self, number: u8) -> Outcome {
        match number {
            3 => {
                self.put(Degree::THIRD, true);
                Ok(())
            }
            5 => self.natural(Degree::FIFTH),
            7 => {
                self.reading = Some(Reading::AddSeven);
                self.seventh_by_number()
            }
            _ => self.tension(number),
        }
    }

    fn seventh_by_number(&mut self) -> Outcome {
        let diminished = self.usual_seventh == Degree::DOUBLE_FLAT_SEVENTH;
        self.alter_seventh(if diminished {
            Degree::DOUBLE_FLAT_SEVENTH
        } else {
            Degree::FLAT_SEVENTH
        })
    }

    /// A tension by its number. A 6 without a seventh is the sixth; the 4 of a suspended chord is
    /// its 11 already, the 2 its 9, the 6 its 13.
    fn tension(&mut self, number: u8) -> Outcome {
        match number {
            6 if !self.has(7) => self.natural(Degree::SIXTH),
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
        if number == 3 {
            self.says_that_the_third_is_gone();
        }
        self.drop(number);
        if self.tones.len() < 2 {
            return conflict("a chord of at least two tones", None);
        }
        Ok(())
    }

    /// `C11sus` and `C11no3` can be read in one way only.
    fn says_that_the_third_is_gone(&mut self) {
        self.reading = self.reading.filter(|&reading| reading != Reading::Eleventh);
    }

    /// `m9(maj7)` is the minor ninth chord with its seventh raised; `m7(maj7)` has two sevenths.
    fn major_stack(&mut self, to: u8) -> Outcome {
        let minor = third(&self.tones) == Some(Degree::MINOR_THIRD);
        if minor && self.stack > 7 && seventh(&self.tones) == Some(Degree::FLAT_SEVENTH) {
            self.drop(7);
        }
        self.alter_seventh(Degree::SEVENTH)?;
        if to > 7 {
            self.stack_to(Degree::SEVENTH, to)
        } else {
            Ok(())
        }
    }

    fn plus_seven(&mut self) -> Outcome {
        if third(&self.tones) != Some(Degree::MINOR_THIRD) || self.has(7) {
            return conflict(
                "no (+7): it has been used for both sevenths",
                Some("write 7, maj7 or 7#5"),
            );
        }
        self.reading = Some(Reading::MinorPlusSeven);
        self.alter_seventh(Degree::SEVENTH)
    }

    fn raise(&mut self) -> Outcome {
        if fifth(&self.tones) != Some(Degree::FIFTH) {
            return conflict("no plus: there is no natural fifth to raise", None);
        }
        if self.stack == 7 && self.usual_seventh == Degree::FLAT_SEVENTH {
            self.reading = Some(Reading::AugmentedSeventh);
        }
        self.alter_fifth(Degree::SHARP_FIFTH)
    }

    fn make_altered(&mut self) -> Outcome {
        let dominant = matches!(seventh(&self.tones), None | Some(Degree::FLAT_SEVENTH));
        if third(&self.tones) != Some(Degree::THIRD) || !dominant || self.stack > 7 {
            return conflict(
                "no alt: only a dominant seventh can be altered",
                Some("write 7alt"),
            );
        }
        self.put(Degree::FLAT_SEVENTH, true);
        self.drop(5);
        self.altered = true;
        tension::ALTERED
            .into_iter()
            .try_for_each(|degree| self.alter_tension(degree))
    }
}
