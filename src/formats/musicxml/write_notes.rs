//! Notes, chords and rests in MusicXML.

use super::xml::Xml;
use crate::pitch::Note;
use crate::score::{Beam, Quarters, Written};

/// What every element of a part needs to know.
#[derive(Debug, Clone, Copy)]
pub(super) struct PartContext {
    /// How many durations make a quarter note.
    pub divisions: i64,
    /// Whether there is a melody on a staff of its own.
    pub two_staves: bool,
}

impl PartContext {
    /// A length in the unit of the part.
    pub(super) fn duration(self, length: Quarters) -> i64 {
        (length.ratio() * self.divisions).to_integer()
    }

    /// A direction above the upper staff; `sound` says what it does when it is played.
    pub(super) fn direction(
        self,
        xml: &mut Xml,
        what: impl FnOnce(&mut Xml),
        sound: Option<(&str, &str)>,
    ) {
        xml.within("direction", &[("placement", "above")], |xml| {
            xml.within("direction-type", &[], what);
            self.staff(1, xml);
            if let Some(sound) = sound {
                xml.empty("sound", &[sound]);
            }
        });
    }

    /// The staff, where there are two.
    pub(super) fn staff(self, staff: u8, xml: &mut Xml) {
        if self.two_staves {
            xml.number("staff", staff);
        }
    }
}

/// What stands on a staff, one after the other.
pub(super) fn notes(all: &[Written], staff: u8, pen: PartContext, xml: &mut Xml) {
    for written in all {
        if written.is_rest() {
            xml.within("note", &[], |xml| note(written, None, staff, pen, xml));
        }
        for at in 0..written.notes.len() {
            xml.within("note", &[], |xml| note(written, Some(at), staff, pen, xml));
        }
    }
}

fn note(written: &Written, at: Option<usize>, staff: u8, pen: PartContext, xml: &mut Xml) {
    match at.and_then(|at| written.notes.get(at)) {
        Some(note) => {
            if at != Some(0) {
                xml.empty("chord", &[]);
            }
            pitch(*note, xml);
        }
        None if written.value.is_none() => xml.empty("rest", &[("measure", "yes")]),
        None => xml.empty("rest", &[]),
    }
    xml.number("duration", pen.duration(written.length));
    ties(written, "tie", xml);
    xml.number("voice", staff);
    value(written, at, xml);
    pen.staff(staff, xml);
    if matches!(at, None | Some(0)) {
        beams(written, xml);
    }
    notations(written, at, xml);
}

fn pitch(note: Note, xml: &mut Xml) {
    xml.within("pitch", &[], |xml| {
        xml.leaf("step", &[], &note.name().letter().to_char().to_string());
        if note.name().alter() != 0 {
            xml.number("alter", note.name().alter());
        }
        xml.number("octave", note.octave());
    });
}

fn ties(written: &Written, name: &str, xml: &mut Xml) {
    if written.tie.stops {
        xml.empty(name, &[("type", "stop")]);
    }
    if written.tie.starts {
        xml.empty(name, &[("type", "start")]);
    }
}

fn value(written: &Written, at: Option<usize>, xml: &mut Xml) {
    let Some(value) = written.value else { return };
    xml.leaf("type", &[], value.name());
    for _ in 0..value.dots {
        xml.empty("dot", &[]);
    }
    let printed = at.and_then(|at| written.accidentals.get(at)).copied();
    if let Some(name) = printed.flatten().and_then(accidental) {
        xml.leaf("accidental", &[], name);
    }
    if let Some(tuplet) = written.tuplet {
        xml.within("time-modification", &[], |xml| {
            xml.number("actual-notes", tuplet.actual);
            xml.number("normal-notes", tuplet.normal);
        });
    }
}

/// Its name; the standard has one for three flats as well, and for three sharps.
const fn accidental(alter: i8) -> Option<&'static str> {
    Some(match alter {
        -3 => "triple-flat",
        -2 => "flat-flat",
        -1 => "flat",
        0 => "natural",
        1 => "sharp",
        2 => "double-sharp",
        3 => "triple-sharp",
        _ => return None,
    })
}

fn beams(written: &Written, xml: &mut Xml) {
    // The schema numbers eight beams.
    for (number, beam) in (1..=8).zip(&written.beams) {
        let text = match beam {
            Beam::Begin => "begin",
            Beam::Continue => "continue",
            Beam::End => "end",
            Beam::ForwardHook => "forward hook",
            Beam::BackwardHook => "backward hook",
        };
        xml.leaf("beam", &[("number", &number.to_string())], text);
    }
}

fn notations(written: &Written, at: Option<usize>, xml: &mut Xml) {
    let tied = written.tie.starts || written.tie.stops;
    let marks = written.tuplet_mark;
    let bracket = (marks.starts || marks.stops) && matches!(at, None | Some(0));
    if !tied && !bracket {
        return;
    }
    xml.within("notations", &[], |xml| {
        ties(written, "tied", xml);
        if bracket && marks.stops {
            xml.empty("tuplet", &[("type", "stop")]);
        }
        if bracket && marks.starts {
            xml.empty("tuplet", &[("type", "start")]);
        }
    });
}
