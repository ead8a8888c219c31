//! Bar lines, repeats, endings, jumps and tempo in MusicXML.

use super::write_notes::PartContext;
use super::xml::Xml;
use crate::chart::{Jump, Stroke, Times};
use crate::score::{BarSigns, NoteValue, Score, Tempo};

/// The bar line on the left, where something starts.
pub(super) fn left_bar_line(signs: &BarSigns, xml: &mut Xml) {
    if !signs.opens_repeat && signs.endings.is_empty() {
        return;
    }
    xml.within("barline", &[("location", "left")], |xml| {
        if signs.opens_repeat {
            xml.leaf("bar-style", &[], "heavy-light");
        }
        if !signs.endings.is_empty() {
            ending(&signs.endings, "start", xml);
        }
        if signs.opens_repeat {
            xml.empty("repeat", &[("direction", "forward")]);
        }
    });
}

/// The bar line on the right, where it is more than a line.
pub(super) fn right_bar_line(signs: &BarSigns, xml: &mut Xml) {
    let style = match (signs.closes_repeat, signs.stroke) {
        (Some(_), _) | (None, Stroke::Final) => Some("light-heavy"),
        (None, Stroke::Double) => Some("light-light"),
        (None, Stroke::Single) => None,
    };
    if style.is_none() && signs.ending_stop.is_none() {
        return;
    }
    xml.within("barline", &[("location", "right")], |xml| {
        if let Some(style) = style {
            xml.leaf("bar-style", &[], style);
        }
        if let Some(stop) = &signs.ending_stop {
            let how = if stop.goes_back {
                "stop"
            } else {
                "discontinue"
            };
            ending(&stop.endings, how, xml);
        }
        match signs.closes_repeat {
            Some(Times::Count(times)) => {
                let times = times.to_string();
                let repeat = [("direction", "backward"), ("times", times.as_str())];
                xml.empty("repeat", &repeat);
            }
            Some(Times::AsUsual) => xml.empty("repeat", &[("direction", "backward")]),
            None => {}
        }
    });
}

fn ending(passes: &[u8], how: &str, xml: &mut Xml) {
    let numbers: Vec<String> = passes.iter().map(u8::to_string).collect();
    xml.empty("ending", &[("number", &numbers.join(", ")), ("type", how)]);
}

/// The signs to arrive at, which stand before the first beat.
pub(super) fn targets(signs: &BarSigns, pen: PartContext, xml: &mut Xml) {
    for jump in signs.jumps.iter().filter(|jump| jump.is_target()) {
        let name = match jump {
            Jump::Segno => "segno",
            _ => "coda",
        };
        pen.direction(xml, |xml| xml.empty(name, &[]), Some((name, name)));
    }
}

/// The instructions, which stand behind the last beat. What is played is an attribute of `sound`; how
/// far, only the words say.
pub(super) fn instructions(signs: &BarSigns, pen: PartContext, xml: &mut Xml) {
    for jump in signs.jumps.iter().filter(|jump| !jump.is_target()) {
        let (words, sound) = match jump {
            Jump::DaCapo => ("D.C.", ("dacapo", "yes")),
            Jump::DaCapoAlFine => ("D.C. al Fine", ("dacapo", "yes")),
            Jump::DaCapoAlCoda => ("D.C. al Coda", ("dacapo", "yes")),
            Jump::DalSegno => ("D.S.", ("dalsegno", "segno")),
            Jump::DalSegnoAlFine => ("D.S. al Fine", ("dalsegno", "segno")),
            Jump::DalSegnoAlCoda => ("D.S. al Coda", ("dalsegno", "segno")),
            Jump::ToCoda => ("To Coda", ("tocoda", "coda")),
            Jump::Fine => ("Fine", ("fine", "yes")),
            Jump::Segno | Jump::Coda => continue,
        };
        pen.direction(xml, |xml| xml.leaf("words", &[], words), Some(sound));
    }
}

/// The style at the beginning.
pub(super) fn style(score: &Score, pen: PartContext, xml: &mut Xml) {
    let style = score.remarks.iter().find(|(name, _)| name == "style");
    if let Some((_, style)) = style {
        pen.direction(xml, |xml| xml.leaf("words", &[], style), None);
    }
}

/// A tempo, where it begins.
pub(super) fn tempo(tempo: Tempo, pen: PartContext, xml: &mut Xml) {
    let Some(unit) = NoteValue::of(tempo.beat()) else {
        return;
    };
    let quarters = decimal(tempo);
    let metronome = |xml: &mut Xml| {
        xml.within("metronome", &[], |xml| {
            xml.leaf("beat-unit", &[], unit.name());
            for _ in 0..unit.dots {
                xml.empty("beat-unit-dot", &[]);
            }
            xml.number("per-minute", tempo.beats);
        });
    };
    pen.direction(xml, metronome, Some(("tempo", &quarters)));
}

/// Quarter notes a minute. A beat is a quarter of a quarter at the least, so two places are enough.
fn decimal(tempo: Tempo) -> String {
    let hundredths = (tempo.beat().ratio() * i64::from(tempo.beats) * 100).to_integer();
    let (whole, rest) = (hundredths / 100, hundredths % 100);
    let text = format!("{whole}.{rest:02}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
