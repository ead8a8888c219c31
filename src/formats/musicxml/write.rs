//! A score as MusicXML 4.0.

use super::write_harmony::harmony;
use super::write_notes::{PartContext, notes};
use super::write_signs::{instructions, left_bar_line, right_bar_line, style, targets, tempo};
use super::xml::Xml;
use crate::chart::Meter;
use crate::pitch::{Key, Mode};
use crate::score::{Quarters, Score, ScoreBar, Tempo, Written};

const DOCTYPE: &str = "<!DOCTYPE score-partwise PUBLIC \"-//Recordare//DTD MusicXML 4.0 Partwise//EN\" \
                       \"http://www.musicxml.org/dtds/partwise.dtd\">";

/// A score as MusicXML 4.0: the melody on the upper staff, the left hand on the lower one, the chord
/// symbols above. Without a melody there is one staff.
///
/// ```
/// use compline::arrange::{Settings, arrange};
/// use compline::{chart, formats::musicxml, score::Score};
///
/// let chart = chart::read("title: A Bar\n| Fm7 |").unwrap();
/// let arrangement = arrange(chart, &Settings::default(), &mut Default::default()).unwrap();
/// let text = musicxml::musicxml(&Score::of(&arrangement));
/// assert!(text.contains("<kind text=\"m7\">minor-seventh</kind>"));
/// ```
pub fn musicxml(score: &Score) -> String {
    let mut xml = Xml::document(DOCTYPE);
    xml.within("score-partwise", &[("version", "4.0")], |xml| {
        header(score, xml);
        xml.within("part", &[("id", "P1")], |xml| part(score, xml));
    });
    xml.into_text()
}

fn header(score: &Score, xml: &mut Xml) {
    if let Some(title) = &score.title {
        xml.within("work", &[], |xml| xml.leaf("work-title", &[], title));
    }
    xml.within("identification", &[], |xml| {
        let composer = score.remarks.iter().filter(|(name, _)| name == "composer");
        composer.for_each(|(_, who)| xml.leaf("creator", &[("type", "composer")], who));
        xml.within("encoding", &[], |xml| xml.leaf("software", &[], "Compline"));
        let other = || score.remarks.iter().filter(|(name, _)| name != "composer");
        if other().next().is_some() {
            xml.within("miscellaneous", &[], |xml| {
                for (name, value) in other() {
                    xml.leaf("miscellaneous-field", &[("name", name)], value);
                }
            });
        }
    });
    xml.within("part-list", &[], |xml| {
        xml.within("score-part", &[("id", "P1")], |xml| {
            // A part of its own for the left hand has to say so: nothing else tells it from a melody.
            let name = if score.has_melody {
                "Piano"
            } else {
                "Left hand"
            };
            xml.leaf("part-name", &[("print-object", "no")], name);
            xml.within("score-instrument", &[("id", "P1-I1")], |xml| {
                xml.leaf("instrument-name", &[], "Piano");
            });
            xml.within("midi-instrument", &[("id", "P1-I1")], |xml| {
                xml.number("midi-channel", 1);
                xml.number("midi-program", 1);
            });
        });
    });
}

fn part(score: &Score, xml: &mut Xml) {
    let pen = PartContext {
        divisions: divisions(score),
        two_staves: score.has_melody,
    };
    let pickup = score.has_pickup();
    let (mut meter, mut key, mut tempo) = (None, None, None);
    for (at, bar) in score.bars.iter().enumerate() {
        let short = pickup && at == 0;
        let number = (at + usize::from(!pickup)).to_string();
        let mut attributes = vec![("number", number.as_str())];
        if short {
            attributes.push(("implicit", "yes"));
        }
        let here = if short { score.meter } else { bar.meter };
        let changes = BarChange {
            meter: (meter.replace(here) != Some(here)).then_some(here),
            key: bar.key.filter(|here| key.replace(*here) != Some(*here)),
            tempo: bar.tempo.filter(|here| tempo.replace(*here) != Some(*here)),
        };
        xml.within("measure", &attributes, |xml| {
            measure(score, (at == 0, bar), changes, pen, xml);
        });
    }
}

/// What changes with a bar.
#[derive(Debug, Clone, Copy)]
struct BarChange {
    meter: Option<Meter>,
    key: Option<Key>,
    tempo: Option<Tempo>,
}

/// The least common multiple of what quarter notes are divided into.
fn divisions(score: &Score) -> i64 {
    let staves = score.bars.iter().flat_map(|bar| [&bar.melody, &bar.hand]);
    let parts = staves.flatten().map(|written| written.length.denominator());
    parts.fold(1, |all, part| {
        let (mut a, mut b) = (all, part);
        while b != 0 {
            (a, b) = (b, a % b);
        }
        all / a.max(1) * part
    })
}

fn measure(
    score: &Score,
    (first, bar): (bool, &ScoreBar),
    change: BarChange,
    pen: PartContext,
    xml: &mut Xml,
) {
    left_bar_line(&bar.signs, xml);
    if first || change.meter.is_some() || change.key.is_some() {
        xml.within("attributes", &[], |xml| attributes(first, change, pen, xml));
    }
    if first {
        style(score, pen, xml);
    }
    if let Some(to) = change.tempo {
        tempo(to, pen, xml);
    }
    if let Some(section) = &bar.section {
        pen.direction(xml, |xml| xml.leaf("rehearsal", &[], section), None);
    }
    targets(&bar.signs, pen, xml);
    if pen.two_staves {
        notes(&bar.melody, 1, pen, xml);
        xml.within("backup", &[], |xml| {
            xml.number("duration", pen.duration(Quarters::of_bar(bar.meter)));
        });
    }
    hand(bar, pen, xml);
    instructions(&bar.signs, pen, xml);
    right_bar_line(&bar.signs, xml);
}

/// Each chord symbol stands in the left hand's stream, before the note it sounds with: readers that
/// look at nothing but the order of the elements get its place right.
fn hand(bar: &ScoreBar, pen: PartContext, xml: &mut Xml) {
    let staff = if pen.two_staves { 2 } else { 1 };
    let mut symbols = bar.chords.iter().peekable();
    for written in &bar.hand {
        while let Some((_, symbol)) = symbols.next_if(|(at, _)| *at <= written.at) {
            harmony(symbol, pen, xml);
        }
        let one: &[Written] = std::slice::from_ref(written);
        notes(one, staff, pen, xml);
    }
}

fn attributes(first: bool, change: BarChange, pen: PartContext, xml: &mut Xml) {
    if first {
        xml.number("divisions", pen.divisions);
    }
    if let Some(key) = change.key {
        xml.within("key", &[], |xml| signature(key, xml));
    }
    if let Some(meter) = change.meter {
        xml.within("time", &[], |xml| {
            xml.number("beats", meter.upper());
            xml.number("beat-type", meter.lower());
        });
    }
    if first {
        clefs(pen, xml);
    }
}

fn signature(key: Key, xml: &mut Xml) {
    let mode = match key.mode() {
        Mode::Major => "major",
        Mode::Minor => "minor",
    };
    xml.number("fifths", key.fifths());
    xml.leaf("mode", &[], mode);
}

fn clefs(pen: PartContext, xml: &mut Xml) {
    let clefs: &[(&str, &str, u8)] = match pen.two_staves {
        true => &[("1", "G", 2), ("2", "F", 4)],
        false => &[("1", "F", 4)],
    };
    if pen.two_staves {
        xml.number("staves", 2);
    }
    for (staff, sign, line) in clefs {
        xml.within("clef", &[("number", *staff)], |xml| {
            xml.leaf("sign", &[], sign);
            xml.number("line", line);
        });
    }
}
