//! What stands behind a `?` of the left hand: `A,without=G3,leap=5`.

use super::text::Text;
use super::voicing::notes;
use crate::chart::{Contradiction, Diagnostic, Form, MiddleC, TopWish, VoicingWish, Wishes};
use crate::pitch::{Degree, Note};

/// The farthest leap that can be written: the whole keyboard of MIDI.
const FARTHEST: u8 = 127;

/// The wishes, as they are typed; an empty text has none.
///
/// A wish that is given twice or contradicts another is a mistake at its place.
pub(super) fn wishes(text: Text<'_>, middle_c: MiddleC) -> Result<Wishes, Diagnostic> {
    let mut wishes = Wishes::default();
    if text.text.is_empty() {
        return Ok(wishes);
    }
    for piece in text.split(',') {
        wish(piece, middle_c, &mut wishes)?;
        if let Some(torn) = wishes.torn() {
            return Err(contradiction(piece, torn));
        }
    }
    Ok(wishes)
}

fn wish(piece: Text<'_>, middle_c: MiddleC, to: &mut Wishes) -> Result<(), Diagnostic> {
    let Some(equals) = piece.text.find('=') else {
        return form(piece, to);
    };
    let value = piece.split_at(equals + 1).1;
    match piece.split_at(equals).0.text {
        "with" => {
            let (degrees, notes) = tones(value, middle_c)?;
            let degrees = degrees.into_iter().map(VoicingWish::WithDegree);
            let all = degrees.chain(notes.into_iter().map(VoicingWish::With));
            first(piece, to, is_with, all)
        }
        "without" => {
            let (degrees, notes) = tones(value, middle_c)?;
            let degrees = degrees.into_iter().map(VoicingWish::WithoutDegree);
            let all = degrees.chain(notes.into_iter().map(VoicingWish::Without));
            first(piece, to, is_without, all)
        }
        "top" if is_note(value) => {
            let top = one(notes(value, middle_c)?).map(VoicingWish::Top);
            first(piece, to, |wish| matches!(wish, VoicingWish::Top(_)), top)
        }
        "not" => {
            let not = VoicingWish::Not(notes(value, middle_c)?);
            first(piece, to, |wish| *wish == not, [not.clone()])
        }
        "top" => once(piece, &mut to.top, Some(top(value)?)),
        "leap" => once(piece, &mut to.leap, Some(leap(value)?)),
        _ => Err(unknown(piece)),
    }
}

/// Degrees and notes, joined by `.` in any order.
fn tones(value: Text<'_>, middle_c: MiddleC) -> Result<(Vec<Degree>, Vec<Note>), Diagnostic> {
    let degree = |part: &Text<'_>| part.text.parse::<Degree>().ok();
    let parts: Vec<Text<'_>> = value.split('.').collect();
    if !parts.iter().any(|part| degree(part).is_some()) {
        return Ok((Vec::new(), notes(value, middle_c)?));
    }
    let (mut degrees, mut keys): (Vec<Degree>, Vec<Note>) = (Vec::new(), Vec::new());
    for part in parts {
        match degree(&part) {
            Some(degree) if degrees.contains(&degree) => return Err(twice(part)),
            Some(degree) => degrees.push(degree),
            None => keys.extend(notes(part, middle_c)?),
        }
    }
    keys.sort_by_key(|note| note.pitch());
    Ok((degrees, keys))
}

/// Whether this is meant as a note: a capital letter with an octave.
fn is_note(value: Text<'_>) -> bool {
    let octave = value.text.ends_with(|c: char| c.is_ascii_digit());
    value.text.starts_with(|c: char| c.is_ascii_uppercase()) && octave
}

fn one(notes: Vec<Note>) -> Option<Note> {
    notes.into_iter().next()
}

fn form(piece: Text<'_>, to: &mut Wishes) -> Result<(), Diagnostic> {
    let form = match piece.text {
        "A" => Form::A,
        "B" => Form::B,
        _ => return Err(unknown(piece)),
    };
    if to.form().is_some_and(|other| other != form) {
        return Err(contradiction(piece, Contradiction::Forms));
    }
    let is_form = |wish: &VoicingWish| matches!(wish, VoicingWish::Form(_));
    first(piece, to, is_form, [VoicingWish::Form(form)])
}

/// Sets what has not been set before.
fn once<T: Default + PartialEq>(piece: Text<'_>, to: &mut T, value: T) -> Result<(), Diagnostic> {
    if *to != T::default() {
        return Err(twice(piece));
    }
    *to = value;
    Ok(())
}

/// Adds wishes for the voicing, the first of their kind.
fn first(
    piece: Text<'_>,
    to: &mut Wishes,
    is_of_kind: impl Fn(&VoicingWish) -> bool,
    wishes: impl IntoIterator<Item = VoicingWish>,
) -> Result<(), Diagnostic> {
    if to.voicing.iter().any(is_of_kind) {
        return Err(twice(piece));
    }
    wishes.into_iter().for_each(|wish| to.add(wish));
    Ok(())
}

fn is_with(wish: &VoicingWish) -> bool {
    matches!(wish, VoicingWish::With(_) | VoicingWish::WithDegree(_))
}

fn is_without(wish: &VoicingWish) -> bool {
    matches!(
        wish,
        VoicingWish::Without(_) | VoicingWish::WithoutDegree(_)
    )
}

fn top(value: Text<'_>) -> Result<TopWish, Diagnostic> {
    let found = TopWish::ALL
        .into_iter()
        .find(|top| top.to_string() == value.text);
    found.ok_or_else(|| {
        let message = format!("`{}` is no way for the top note", value.text);
        Diagnostic::error(
            value.range(),
            message,
            "held, step, free or a note such as E4",
        )
    })
}

fn leap(value: Text<'_>) -> Result<u8, Diagnostic> {
    let semitones = value.text.parse().ok().filter(|leap| *leap <= FARTHEST);
    semitones.ok_or_else(|| {
        let message = format!("`{}` is no number of semitones", value.text);
        let label = format!("a whole number from 0 to {FARTHEST}");
        Diagnostic::error(value.range(), message, label)
    })
}

fn unknown(piece: Text<'_>) -> Diagnostic {
    let message = match piece.text {
        "" => "a wish is missing here".to_owned(),
        text => format!("`{text}` is not a wish"),
    };
    Diagnostic::error(piece.range(), message, "a wish").help(
        "the wishes are A, B, with=G3.D4, without=9.G3, not=G3.Bb3.D4, top=E4, top=held, top=step, \
         top=free and leap=5, joined by commas without spaces",
    )
}

fn twice(piece: Text<'_>) -> Diagnostic {
    let name = piece.text.split('=').next().unwrap_or_default();
    let message = format!("`{name}` is wished twice");
    Diagnostic::error(piece.range(), message, "one wish of each kind")
        .help("several notes are joined by `.` (with=G3.D4); `not` may stand for several voicings")
}

fn contradiction(piece: Text<'_>, torn: Contradiction) -> Diagnostic {
    Diagnostic::error(
        piece.range(),
        torn.to_string(),
        "nothing against an earlier wish",
    )
}
