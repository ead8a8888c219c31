//! A bar of the melody: `C5:3 Ab4:1 r`, `C5:1-` for a note that is tied to the next.

use nom::branch::alt;
use nom::bytes::complete::take_till1;
use nom::character::complete::char;
use nom::combinator::{opt, rest};
use nom::sequence::preceded;
use nom::{IResult, Parser};

use super::problems::Problems;
use super::text::Text;
use crate::chart::{Bar, Beats, Diagnostic, Event, MiddleC, TIE};
use crate::pitch::Note;
use crate::words::counted;

/// Reads a bar of `beats` beats; notes every mistake in it.
pub(super) fn melody(
    body: Text<'_>,
    beats: u8,
    middle_c: MiddleC,
    problems: &mut Problems,
) -> Vec<Event> {
    let body = body.trim_unless_blank();
    let mut events = Vec::new();
    let mut whole = true;
    for word in body.words().take(Bar::MOST_EVENTS + 1) {
        match event(word, middle_c) {
            Ok(event) => whole &= add(event, word, &mut events, problems),
            Err(problem) => {
                problems.add(problem);
                whole = false;
            }
        }
    }
    if whole {
        problems.add_some(does_not_fill(body, &events, beats));
    }
    events
}

/// Adds what a word says; a note tied to the one before in the bar makes that one longer. Says whether it
/// could: nothing but the same key can follow a tie.
fn add(event: Event, word: Text<'_>, events: &mut Vec<Event>, problems: &mut Problems) -> bool {
    match events.last_mut().filter(|last| last.tied) {
        None => events.push(event),
        Some(last) if last.pitch() == event.pitch() => {
            last.beats = last.beats + event.beats;
            last.tied = event.tied;
        }
        Some(_) => {
            problems.add(Diagnostic::error(
                word.range(),
                format!("a tie leads to `{}`, another key", word.shown()),
                "the note that is tied",
            ));
            return false;
        }
    }
    true
}

fn event(word: Text<'_>, middle_c: MiddleC) -> Result<Event, Diagnostic> {
    let (untied, tied) = without_tie(word);
    let (name, length) = parted(untied);
    let note = match name.text {
        "r" | "R" if tied => return Err(tied_rest(word)),
        "r" | "R" => None,
        _ => Some(note(name, middle_c)?),
    };
    Ok(Event {
        note,
        beats: length.map_or(Ok(Beats::whole(1)), beats)?,
        tied,
        span: word.span(),
    })
}

/// The word without the tie at its end, and whether it had one.
fn without_tie(word: Text<'_>) -> (Text<'_>, bool) {
    match word.text.strip_suffix(TIE).map(str::len) {
        Some(length) if length > 0 => (word.split_at(length).0, true),
        _ => (word, false),
    }
}

fn tied_rest(word: Text<'_>) -> Diagnostic {
    let message = "a rest can't be tied";
    Diagnostic::error(word.range(), message, "a rest without `-`")
}

/// The note and, if there is a colon, the length behind it.
fn parted(word: Text<'_>) -> (Text<'_>, Option<Text<'_>>) {
    let read: IResult<&str, (&str, Option<&str>)> = (
        take_till1(|c| c == ':'),
        opt(preceded(char(':'), alt((rest,)))),
    )
        .parse(word.text);
    match read {
        Ok((_, (name, length))) => {
            let (name, after) = word.split_at(name.len());
            (name, length.map(|_| after.split_at(1).1))
        }
        Err(_) => (word, None),
    }
}

fn beats(text: Text<'_>) -> Result<Beats, Diagnostic> {
    text.text.parse().map_err(|_| {
        Diagnostic::error(
            text.range(),
            format!("`{}` is not a length in beats", text.shown()),
            "a length such as 1, 3/2 or 2/3",
        )
        .help("a length is up to 9999 beats; a beat divides down to 64ths, triplets, fives and sevens")
    })
}

/// Reads a note in the chart's own octaves; in the result middle C is C4.
pub(super) fn note(text: Text<'_>, middle_c: MiddleC) -> Result<Note, Diagnostic> {
    let written: Note = text.text.parse().map_err(|_| unreadable(text, middle_c))?;
    let octave = written.octave() - middle_c.octave() + MiddleC::C4.octave();
    let note = Note::new(written.name(), octave);
    match note.pitch() {
        Some(_) => Ok(note),
        None => Err(Diagnostic::error(
            text.range(),
            format!(
                "`{}` is too high or too low for any instrument",
                text.shown()
            ),
            "a note that MIDI can play (0 to 127)",
        )),
    }
}

fn unreadable(text: Text<'_>, middle_c: MiddleC) -> Diagnostic {
    let problem = Diagnostic::error(
        text.range(),
        format!("`{}` is not a note", text.shown()),
        "a note with its octave, such as C5, F#4 or Bb3",
    );
    problem.help(format!(
        "middle C is {middle_c} in this chart; a rest is `r`"
    ))
}

fn does_not_fill(body: Text<'_>, events: &[Event], beats: u8) -> Option<Diagnostic> {
    let bar = counted(beats, "beat");
    if events.len() > Bar::MOST_EVENTS {
        return Some(Diagnostic::error(
            body.range(),
            format!("more than {} notes in one bar", Bar::MOST_EVENTS),
            "fewer notes",
        ));
    }
    if events.is_empty() {
        let problem = Diagnostic::error(
            body.range(),
            "this bar of the melody is empty",
            "notes or a rest",
        );
        return Some(problem.help(format!("write `r:{beats}` for a bar of rest")));
    }
    let sum: Beats = events.iter().map(|event| event.beats).sum();
    (sum != Beats::whole(i64::from(beats))).then(|| {
        let unit = if sum == Beats::whole(1) {
            "beat"
        } else {
            "beats"
        };
        let problem = Diagnostic::error(
            body.range(),
            format!("the melody of this bar lasts {sum} {unit}, but the bar has {bar}"),
            format!("notes and rests that add up to {bar}"),
        );
        problem.help("a note without a length lasts one beat: `C5` is `C5:1`")
    })
}
