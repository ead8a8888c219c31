//! What a `?` of the `lh` line may ask for: the arranger's wishes for one slot.
//!
//! Where it stops: which voicings meet a wish is the arrangement's business, and whether wishes can
//! be met at all.

use std::fmt;

use crate::pitch::{Degree, Note};

/// Wishes for the voicing of one slot; by default there are none.
///
/// In a chart they stand behind a `?` of the `lh` line, joined by commas, without spaces; on the
/// command line behind the place they are for (`--wish 3.2:A,leap=5`). They need no quoting in a
/// shell.
///
/// | wish | asks for |
/// |---|---|
/// | `A` or `B` | a voicing of this form: the third or the seventh lowest |
/// | `with=G3.D4` | a voicing with these notes among its own |
/// | `without=G3.D4` | a voicing with none of these notes |
/// | `not=G3.Bb3.D4` | any voicing but this one; may be said of several |
/// | `with=13`, `without=9` | the same by degree, in whatever octave; notes and degrees may be mixed |
/// | `top=E4` | this note at the top |
/// | `top=held` | the top note stays where it was in the voicing before |
/// | `top=step` | the top note moves by a whole step at most |
/// | `top=free` | the top note may go anywhere, whatever is wished for the whole tune |
/// | `leap=5` | no note moves further than so many semitones (0 to 127) into this voicing |
///
/// All of them hold at once. `top` and `leap` hold for every way the performance arrives at the slot,
/// and come before what is wished for the whole tune. "Whole step" and "form" are common practice;
/// for the two habits of naming forms see [`crate::voicing::Form`].
///
/// ```
/// use compline::chart::{FormWish, Wish, read};
///
/// let chart = read("| Dm7 G7 | Cmaj7 |\nlh | ? ?B,without=G3 | ?top=held |").unwrap();
/// let Wish::Plan(wishes) = &chart.slots()[1].wish else { unreachable!() };
/// assert_eq!(wishes.form, Some(FormWish::B));
/// assert_eq!(wishes.to_string(), "B,without=G3");
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
pub struct Wishes {
    /// `A` or `B`.
    pub form: Option<FormWish>,
    /// `with=`: strictly rising, at most ten, with middle C = C4.
    pub with: Vec<Note>,
    /// `without=`: strictly rising, at most ten, with middle C = C4.
    pub without: Vec<Note>,
    /// The degrees behind `with=`, each once.
    pub with_degrees: Vec<Degree>,
    /// The degrees behind `without=`, each once.
    pub without_degrees: Vec<Degree>,
    /// The note behind `top=`, with middle C = C4.
    pub top_note: Option<Note>,
    /// `not=`, one for each: the notes of a voicing, strictly rising, with middle C = C4.
    pub not: Vec<Vec<Note>>,
    /// `top=`
    pub top: Option<TopWish>,
    /// `leap=`, in semitones, at most 127.
    pub leap: Option<u8>,
}

/// The form a voicing should have, in the chart's words; see [`crate::voicing::Form`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FormWish {
    /// The third lies lowest
    A,
    /// The seventh lies lowest
    B,
}

/// Where the top note may go from the voicing before, the most freedom first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TopWish {
    /// `free`: anywhere
    Free,
    /// `step`: a whole step at most
    Step,
    /// `held`: nowhere
    Held,
}

/// Two wishes for one slot that no voicing can meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Contradiction {
    /// Form A and form B
    Forms,
    /// This note is wanted and unwanted
    Note(Note),
    /// This degree is wanted and unwanted
    Degree(Degree),
    /// Two notes are wanted at the top
    Tops(Note, Note),
}

impl Wishes {
    /// No wish at all.
    pub const NONE: Self = Self {
        form: None,
        with: Vec::new(),
        without: Vec::new(),
        with_degrees: Vec::new(),
        without_degrees: Vec::new(),
        top_note: None,
        not: Vec::new(),
        top: None,
        leap: None,
    };

    /// Whether nothing is wished.
    pub fn is_empty(&self) -> bool {
        *self == Self::NONE
    }

    /// The wishes of both: what meets these meets each of the two.
    ///
    /// # Errors
    ///
    /// [`Contradiction`], when nothing can.
    pub fn and(mut self, other: Self) -> Result<Self, Contradiction> {
        match (self.form, other.form) {
            (Some(a), Some(b)) if a != b => return Err(Contradiction::Forms),
            (a, b) => self.form = a.or(b),
        }
        join(&mut self.with, other.with);
        join(&mut self.without, other.without);
        join_degrees(&mut self.with_degrees, other.with_degrees);
        join_degrees(&mut self.without_degrees, other.without_degrees);
        match (self.top_note, other.top_note) {
            (Some(a), Some(b)) if a.pitch() != b.pitch() => return Err(Contradiction::Tops(a, b)),
            (a, b) => self.top_note = a.or(b),
        }
        for voicing in other.not {
            if !self.not.contains(&voicing) {
                self.not.push(voicing);
            }
        }
        self.top = self.top.max(other.top);
        let leaps = self.leap.into_iter().chain(other.leap);
        self.leap = leaps.min();
        self.torn().map_or(Ok(self), Err)
    }

    /// The first note or degree that is wanted and unwanted.
    pub(super) fn torn(&self) -> Option<Contradiction> {
        let unwanted = |note: &&Note| self.without.iter().any(|n| n.pitch() == note.pitch());
        let note = self.with.iter().chain(&self.top_note).find(unwanted);
        let degree = |degree: &&Degree| self.without_degrees.contains(degree);
        let degree = self.with_degrees.iter().find(degree);
        let note = note.map(|note| Contradiction::Note(*note));
        note.or_else(|| degree.map(|degree| Contradiction::Degree(*degree)))
    }

    /// Every note the wishes name.
    pub(super) fn notes_mut(&mut self) -> impl Iterator<Item = &mut Note> {
        let voicings = self.not.iter_mut().flatten();
        self.with
            .iter_mut()
            .chain(&mut self.without)
            .chain(&mut self.top_note)
            .chain(voicings)
    }

    /// The wishes as they are typed, each note as `name` has it.
    pub(crate) fn written(&self, name: impl Fn(Note) -> String) -> String {
        let listed = |word: &'static str, degrees: &[Degree], notes: &[Note]| {
            let degrees = degrees.iter().map(ToString::to_string);
            let all: Vec<String> = degrees
                .chain(notes.iter().map(|note| name(*note)))
                .collect();
            (!all.is_empty()).then(|| format!("{word}={}", all.join(".")))
        };
        let mut wishes: Vec<String> = self.form.iter().map(ToString::to_string).collect();
        wishes.extend(listed("with", &self.with_degrees, &self.with));
        wishes.extend(listed("without", &self.without_degrees, &self.without));
        wishes.extend(
            self.not
                .iter()
                .filter_map(|voicing| listed("not", &[], voicing)),
        );
        wishes.extend(self.top_note.map(|top| format!("top={}", name(top))));
        wishes.extend(self.top.map(|top| format!("top={top}")));
        wishes.extend(self.leap.map(|leap| format!("leap={leap}")));
        wishes.join(",")
    }
}

/// Adds notes, each key once, rising.
fn join(notes: &mut Vec<Note>, more: Vec<Note>) {
    notes.extend(more);
    notes.sort_by_key(|note| note.pitch());
    notes.dedup_by_key(|note| note.pitch());
}

/// Adds degrees, each once.
fn join_degrees(degrees: &mut Vec<Degree>, more: Vec<Degree>) {
    for degree in more {
        if !degrees.contains(&degree) {
            degrees.push(degree);
        }
    }
}

impl TopWish {
    /// Every one of them, the most freedom first.
    pub const ALL: [Self; 3] = [Self::Free, Self::Step, Self::Held];

    /// How many semitones the top note may move; `None` for any number.
    pub const fn semitones(self) -> Option<u8> {
        match self {
            Self::Free => None,
            Self::Step => Some(2),
            Self::Held => Some(0),
        }
    }
}

impl fmt::Display for Wishes {
    /// As typed behind the `?`, with middle C = C4; nothing where there are none.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.written(|note| note.to_string()))
    }
}

impl fmt::Display for FormWish {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::A => "A",
            Self::B => "B",
        })
    }
}

impl fmt::Display for TopWish {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Free => "free",
            Self::Step => "step",
            Self::Held => "held",
        })
    }
}

impl fmt::Display for Contradiction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Forms => f.write_str("form A and form B are wished at once"),
            Self::Note(note) => write!(f, "{note} is wished with and without"),
            Self::Degree(degree) => write!(f, "{degree} is wished with and without"),
            Self::Tops(one, other) => write!(f, "{one} and {other} are wished at the top at once"),
        }
    }
}

impl std::error::Error for Contradiction {}

#[cfg(test)]
mod tests {
    use super::*;

    fn notes(text: &str) -> Vec<Note> {
        text.split('.').map(|note| note.parse().unwrap()).collect()
    }

    #[test]
    fn the_wishes_of_two_are_the_stricter_ones() {
        let one = Wishes {
            with: notes("D4"),
            top: Some(TopWish::Step),
            leap: Some(5),
            ..Wishes::default()
        };
        let other = Wishes {
            form: Some(FormWish::A),
            with: notes("G3.D4"),
            not: vec![notes("G3.B3.D4")],
            top: Some(TopWish::Held),
            leap: Some(7),
            ..Wishes::default()
        };
        let both = one.clone().and(other.clone()).unwrap();
        assert_eq!(
            both.to_string(),
            "A,with=G3.D4,not=G3.B3.D4,top=held,leap=5"
        );
        assert_eq!(other.and(one).unwrap(), both);
    }

    #[test]
    fn contradictions_are_told_by_key_not_by_spelling() {
        let form = |form| Wishes {
            form: Some(form),
            ..Wishes::default()
        };
        let both = form(FormWish::A).and(form(FormWish::B));
        assert_eq!(both, Err(Contradiction::Forms));
        let with = Wishes {
            with: notes("G#3"),
            ..Wishes::default()
        };
        let without = Wishes {
            without: notes("Ab3"),
            ..Wishes::default()
        };
        let torn = with.and(without).unwrap_err();
        assert_eq!(torn.to_string(), "G#3 is wished with and without");
    }
}
