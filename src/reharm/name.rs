//! The name of a proposal: its place and its technique.
//!
//! It is made of what is written, so it stays when other proposals come and go.

use std::fmt;
use std::ops::Range;
use std::str::FromStr;

use super::NotWays;
use super::techniques::named;
use crate::chart::Slot;

/// The name of a proposal: `3:tritone`, `3.2:related-ii`, `11-12:backdoor`; with `.2` behind it the
/// second of a technique at one place.
///
/// ```
/// use compline::reharm::ProposalName;
/// let name: ProposalName = "3.2:tritone.2".parse().unwrap();
/// assert_eq!((name.technique, name.number), ("tritone", 2));
/// assert_eq!(name.to_string(), "3.2:tritone.2");
/// assert!("3.2:tritones".parse::<ProposalName>().is_err());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ProposalName {
    /// The first chord it replaces.
    pub first: ChordPlace,
    /// The last.
    pub last: ChordPlace,
    /// The technique's name.
    pub technique: &'static str,
    /// Which of the technique's proposals at the place it is, from 1.
    pub number: usize,
}

/// A bar, or one chord of it; both are counted from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ChordPlace {
    /// The written bar.
    pub bar: usize,
    /// The chord of the bar; `None` where all of them are meant.
    pub chord: Option<usize>,
}

impl ProposalName {
    /// The name of a technique's proposal for some slots of a page, the first of its kind there.
    pub(super) fn of(slots: &[Slot], range: Range<usize>, technique: &'static str) -> Option<Self> {
        let place = |at: usize| {
            let bar = slots.get(at)?.bar;
            let inside = |slot: &&Slot| slot.bar == bar;
            let whole = slots
                .iter()
                .filter(inside)
                .all(|slot| range.contains(&slot.index));
            let before = slots.iter().take(at).filter(inside).count();
            let chord = (!whole).then_some(before + 1);
            Some(ChordPlace { bar, chord })
        };
        Some(Self {
            first: place(range.start)?,
            last: place(range.end.checked_sub(1)?)?,
            technique,
            number: 1,
        })
    }
}

impl fmt::Display for ChordPlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.chord {
            Some(chord) => write!(f, "{}.{chord}", self.bar),
            None => write!(f, "{}", self.bar),
        }
    }
}

impl fmt::Display for ProposalName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.first)?;
        if self.last != self.first {
            write!(f, "-{}", self.last)?;
        }
        write!(f, ":{}", self.technique)?;
        match self.number {
            1 => Ok(()),
            number => write!(f, ".{number}"),
        }
    }
}

/// Why a text is no name of a proposal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotName {
    /// It has another form.
    Form(String),
    /// Its technique is none.
    Technique(NotWays),
}

impl fmt::Display for NotName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Form(text) => write!(
                f,
                "`{text}` is no name of a proposal: write a place and a technique, as 3:tritone or 3.2:related-ii"
            ),
            Self::Technique(unknown) => unknown.fmt(f),
        }
    }
}

impl std::error::Error for NotName {}

impl FromStr for ProposalName {
    type Err = NotName;

    fn from_str(text: &str) -> Result<Self, NotName> {
        let form = || NotName::Form(text.to_owned());
        let (place, rest) = text.split_once(':').ok_or_else(form)?;
        let (first, last) = place.split_once('-').unwrap_or((place, place));
        let (technique, number) = match rest.split_once('.') {
            Some((technique, number)) => (technique, counted(number).ok_or_else(form)?),
            None => (rest, 1),
        };
        Ok(Self {
            first: chord_place(first).ok_or_else(form)?,
            last: chord_place(last).ok_or_else(form)?,
            technique: known(technique)?,
            number,
        })
    }
}

fn known(technique: &str) -> Result<&'static str, NotName> {
    let unknown = || NotName::Technique(NotWays::Unknown(technique.to_owned()));
    Ok(named(technique).ok_or_else(unknown)?.name)
}

fn chord_place(text: &str) -> Option<ChordPlace> {
    let (bar, chord) = match text.split_once('.') {
        Some((bar, chord)) => (bar, Some(counted(chord)?)),
        None => (text, None),
    };
    let bar = counted(bar)?;
    Some(ChordPlace { bar, chord })
}

/// A number from 1, in digits.
fn counted(text: &str) -> Option<usize> {
    let digits = text.bytes().all(|byte| byte.is_ascii_digit()) && !text.starts_with('0');
    digits.then(|| text.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    fn name_of(text: &str, range: Range<usize>) -> String {
        let slots = read(text).unwrap().slots();
        ProposalName::of(&slots, range, "tritone")
            .unwrap()
            .to_string()
    }

    #[test]
    fn a_place_names_chords_only_where_it_is_less_than_the_bar() {
        let page = "| Dm7 G7 | C6 | F Fm6 |";
        assert_eq!(name_of(page, 1..2), "1.2:tritone");
        assert_eq!(name_of(page, 0..2), "1:tritone");
        assert_eq!(name_of(page, 0..3), "1-2:tritone");
        assert_eq!(name_of(page, 1..3), "1.2-2:tritone");
        assert_eq!(name_of(page, 2..4), "2-3.1:tritone");
    }

    #[test]
    fn names_are_read_as_they_are_written_and_nothing_else_is() {
        for name in [
            "3:tritone",
            "3.2:related-ii",
            "11-12:backdoor",
            "1.2-2:diatonic.3",
        ] {
            assert_eq!(name.parse::<ProposalName>().unwrap().to_string(), name);
        }
        for wrong in [
            "",
            "3",
            "tritone",
            "0:tritone",
            "3:",
            "3:tritone.0",
            "3.x:tritone",
            "-3:tritone",
            "3-:tritone",
            "03:tritone",
        ] {
            assert!(wrong.parse::<ProposalName>().is_err(), "{wrong}");
        }
        let wrong = "3:tritones"
            .parse::<ProposalName>()
            .unwrap_err()
            .to_string();
        assert_eq!(
            wrong,
            "`tritones` is not a technique; did you mean `tritone`?"
        );
    }
}
