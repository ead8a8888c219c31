//! What a `?` of the `lh` line may ask for: the arranger's wishes for one slot.
//!
//! Where it stops: which voicings meet a wish is the arrangement's business, and whether wishes can
//! be met at all.

use std::fmt;

use super::voicing_wish::{Form, VoicingWish};
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
/// for the two habits of naming forms see [`Form`].
///
/// ```
/// use compline::chart::{Form, VoicingWish, Wish, read};
///
/// let chart = read("| Dm7 G7 | Cmaj7 |\nlh | ? ?B,without=G3 | ?top=held |").unwrap();
/// let Wish::Plan(wishes) = &chart.slots()[1].wish else { unreachable!() };
/// assert_eq!(wishes.voicing[0], VoicingWish::Form(Form::B));
/// assert_eq!(wishes.to_string(), "B,without=G3");
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
pub struct Wishes {
    /// What is wished for the voicing itself: by kind in the order of [`VoicingWish`], notes of one kind
    /// rising, nothing twice. [`Wishes::with`] keeps it so.
    pub voicing: Vec<VoicingWish>,
    /// `top=`
    pub top: Option<TopWish>,
    /// `leap=`, in semitones, at most 127.
    pub leap: Option<u8>,
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
        voicing: Vec::new(),
        top: None,
        leap: None,
    };

    /// These wishes and one more for the voicing.
    #[must_use]
    pub fn with(mut self, wish: VoicingWish) -> Self {
        self.add(wish);
        self
    }

    /// Adds a wish for the voicing in its place, unless it is there.
    pub(super) fn add(&mut self, wish: VoicingWish) {
        if !self.voicing.iter().any(|old| old.asks_for_the_same(&wish)) {
            let before = |old: &VoicingWish| old.order() <= wish.order();
            self.voicing
                .insert(self.voicing.partition_point(before), wish);
        }
    }

    /// The form that is wished.
    pub(super) fn form(&self) -> Option<Form> {
        self.voicing.iter().find_map(|wish| match wish {
            VoicingWish::Form(form) => Some(*form),
            _ => None,
        })
    }

    /// The note that is wished at the top.
    pub(super) fn top_note(&self) -> Option<Note> {
        self.voicing.iter().find_map(|wish| match wish {
            VoicingWish::Top(note) => Some(*note),
            _ => None,
        })
    }

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
        if let (Some(a), Some(b)) = (self.form(), other.form())
            && a != b
        {
            return Err(Contradiction::Forms);
        }
        let has_top = match (self.top_note(), other.top_note()) {
            (Some(a), Some(b)) if a.pitch() != b.pitch() => return Err(Contradiction::Tops(a, b)),
            (own, _) => own.is_some(),
        };
        for wish in other.voicing {
            // The same key at the top, perhaps under another name.
            if !(has_top && matches!(wish, VoicingWish::Top(_))) {
                self.add(wish);
            }
        }
        self.top = self.top.max(other.top);
        let leaps = self.leap.into_iter().chain(other.leap);
        self.leap = leaps.min();
        self.torn().map_or(Ok(self), Err)
    }

    /// The first note or degree that is wanted and unwanted.
    pub(super) fn torn(&self) -> Option<Contradiction> {
        let all = || self.voicing.iter();
        let no_note = |note: &Note| {
            let unwanted = VoicingWish::Without(*note);
            all().any(|wish| wish.asks_for_the_same(&unwanted))
        };
        let note = all().find_map(|wish| match wish {
            VoicingWish::With(note) | VoicingWish::Top(note) if no_note(note) => Some(*note),
            _ => None,
        });
        let degree = || {
            all().find_map(|wish| match wish {
                VoicingWish::WithDegree(degree) => {
                    let unwanted = VoicingWish::WithoutDegree(*degree);
                    all().any(|wish| *wish == unwanted).then_some(*degree)
                }
                _ => None,
            })
        };
        let note = note.map(Contradiction::Note);
        note.or_else(|| degree().map(Contradiction::Degree))
    }

    /// Every note the wishes name.
    pub(super) fn notes_mut(&mut self) -> impl Iterator<Item = &mut Note> {
        self.voicing.iter_mut().flat_map(VoicingWish::notes_mut)
    }

    /// The wishes as they are typed, each note as `name` has it.
    pub(crate) fn written(&self, name: impl Fn(Note) -> String) -> String {
        let (mut with, mut without) = (WrittenTones::default(), WrittenTones::default());
        let (mut form, mut not, mut top) = (None, Vec::new(), None);
        for wish in &self.voicing {
            match wish {
                VoicingWish::Form(wished) => form = Some(wished.to_string()),
                VoicingWish::With(note) => with.notes.push(name(*note)),
                VoicingWish::Without(note) => without.notes.push(name(*note)),
                VoicingWish::WithDegree(degree) => with.degrees.push(degree.to_string()),
                VoicingWish::WithoutDegree(degree) => without.degrees.push(degree.to_string()),
                VoicingWish::Top(note) => top = Some(format!("top={}", name(*note))),
                VoicingWish::Not(notes) => {
                    let notes: Vec<String> = notes.iter().map(|note| name(*note)).collect();
                    not.push(format!("not={}", notes.join(".")));
                }
            }
        }
        let wishes = form.into_iter().chain(with.text("with"));
        let wishes = wishes.chain(without.text("without")).chain(not).chain(top);
        let wishes = wishes.chain(self.top.map(|top| format!("top={top}")));
        let wishes = wishes.chain(self.leap.map(|leap| format!("leap={leap}")));
        wishes.collect::<Vec<_>>().join(",")
    }
}

/// The tones of a `with=` or a `without=`.
#[derive(Default)]
struct WrittenTones {
    degrees: Vec<String>,
    notes: Vec<String>,
}

impl WrittenTones {
    /// Degrees come first.
    fn text(self, word: &str) -> Option<String> {
        let all: Vec<String> = self.degrees.into_iter().chain(self.notes).collect();
        (!all.is_empty()).then(|| format!("{word}={}", all.join(".")))
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

    /// These notes are wanted.
    fn with(text: &str) -> Wishes {
        let notes = notes(text).into_iter().map(VoicingWish::With);
        notes.fold(Wishes::NONE, Wishes::with)
    }

    #[test]
    fn the_wishes_of_two_are_the_stricter_ones() {
        let one = Wishes {
            top: Some(TopWish::Step),
            leap: Some(5),
            ..with("D4")
        };
        let other = Wishes {
            top: Some(TopWish::Held),
            leap: Some(7),
            ..with("G3.D4")
        };
        let other = other.with(VoicingWish::Not(notes("G3.B3.D4")));
        let other = other.with(VoicingWish::Form(Form::A));
        let both = one.clone().and(other.clone()).unwrap();
        assert_eq!(
            both.to_string(),
            "A,with=G3.D4,not=G3.B3.D4,top=held,leap=5"
        );
        assert_eq!(other.and(one).unwrap(), both);
    }

    #[test]
    fn contradictions_are_told_by_key_not_by_spelling() {
        let form = |form| Wishes::NONE.with(VoicingWish::Form(form));
        let both = form(Form::A).and(form(Form::B));
        assert_eq!(both, Err(Contradiction::Forms));
        let without = Wishes::NONE.with(VoicingWish::Without("Ab3".parse().unwrap()));
        let torn = with("G#3").and(without).unwrap_err();
        assert_eq!(torn.to_string(), "G#3 is wished with and without");
        let top = |note: &str| Wishes::NONE.with(VoicingWish::Top(note.parse().unwrap()));
        assert_eq!(top("G#3").and(top("Ab3")), Ok(top("G#3")));
        let tops = top("G3").and(top("A3")).unwrap_err();
        assert_eq!(tops.to_string(), "G3 and A3 are wished at the top at once");
    }
}
