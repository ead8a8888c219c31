//! Bar lines and directions in MusicXML: repeats, endings, jumps, sections, tempo.

use super::tree::Element;
use crate::chart::{Jump, Stroke, Times};
use crate::formats::report::{DYNAMICS, LossReport, WORDS};
use crate::formats::song::jump_of_words;
use crate::score::Quarters;

/// What a player follows in a measure.
#[derive(Debug, Default)]
pub(super) struct MeasureSigns {
    pub section: Option<String>,
    pub opens_repeat: bool,
    pub endings: Vec<u8>,
    /// Whether an ending stops with it.
    pub ending_stops: bool,
    pub closes_repeat: Option<Times>,
    pub stroke: Stroke,
    /// The jumps and where they stand in the measure.
    pub jumps: Vec<(Quarters, Jump)>,
    /// Quarter notes a minute, and where they stand.
    pub tempi: Vec<(Quarters, Quarters)>,
    /// Text that means nothing to a player's path, and where it stands.
    pub words: Vec<(Quarters, String)>,
}

impl MeasureSigns {
    /// The same signs, with those that another part has in the same measure.
    pub(super) fn merge(&mut self, other: &Self) {
        self.section = self.section.take().or_else(|| other.section.clone());
        self.opens_repeat |= other.opens_repeat;
        if self.endings.is_empty() {
            self.endings.clone_from(&other.endings);
        }
        self.ending_stops |= other.ending_stops;
        self.closes_repeat = self.closes_repeat.or(other.closes_repeat);
        self.stroke = self.stroke.max(other.stroke);
        self.jumps.extend_from_slice(&other.jumps);
        if self.tempi.is_empty() {
            self.tempi.clone_from(&other.tempi);
        }
    }
}

/// Reads a bar line.
pub(super) fn bar_line(element: Element<'_>, signs: &mut MeasureSigns) {
    let left = element.says("location", "left");
    if let Some(repeat) = element.child("repeat") {
        match repeat.attribute("direction").as_deref() {
            Some("forward") => signs.opens_repeat = true,
            Some("backward") => signs.closes_repeat = Some(times(repeat)),
            _ => {}
        }
    }
    for ending in element.all("ending") {
        match ending.attribute("type").as_deref() {
            Some("start") => {
                signs.endings = passes(&ending.attribute("number").unwrap_or_default());
            }
            _ => signs.ending_stops = true,
        }
    }
    match element.text_of("bar-style") {
        Some("light-light") if !left => signs.stroke = Stroke::Double,
        Some("light-heavy" | "heavy" | "heavy-heavy") if !left && !element.has("repeat") => {
            signs.stroke = Stroke::Final;
        }
        _ => {}
    }
    let at = if left { Quarters::ZERO } else { LAST };
    for (name, jump) in [("segno", Jump::Segno), ("coda", Jump::Coda)] {
        if element.has(name) || element.attribute(name).is_some() {
            signs.jumps.push((at, jump));
        }
    }
}

/// Where something stands that belongs to the end of a measure, however long it is.
pub(super) const LAST: Quarters = Quarters::whole(1_000_000);

fn times(repeat: Element<'_>) -> Times {
    let times = repeat
        .attribute("times")
        .and_then(|times| times.parse().ok());
    match times {
        Some(count @ 3..=99) => Times::Count(count),
        _ => Times::AsUsual,
    }
}

/// The passes of an ending: `1`, `1, 2`, `1-3`, rising.
pub(super) fn passes(text: &str) -> Vec<u8> {
    let mut passes = Vec::new();
    for part in text.split([',', ' ']).filter(|part| !part.is_empty()) {
        let part = part.trim_end_matches('.');
        let (first, last) = part.split_once('-').unwrap_or((part, part));
        let range = first.parse::<u8>().ok().zip(last.parse::<u8>().ok());
        passes.extend(range.into_iter().flat_map(|(first, last)| first..=last));
    }
    passes.retain(|pass| (1..=99).contains(pass));
    passes.sort_unstable();
    passes.dedup();
    passes
}

/// Reads a direction.
pub(super) fn direction(
    element: Element<'_>,
    at: Quarters,
    signs: &mut MeasureSigns,
    (report, place): (&mut LossReport, &str),
) {
    for kind in element.all("direction-type").flat_map(Element::children) {
        match kind.name() {
            "rehearsal" => signs.section = Some(kind.text().to_owned()),
            "segno" => signs.jumps.push((at, Jump::Segno)),
            "coda" => signs.jumps.push((at, Jump::Coda)),
            "words" => match jump_of_words(kind.text()) {
                Some(jump) => signs.jumps.push((at, jump)),
                None => signs.words.push((at, kind.text().trim().to_owned())),
            },
            "metronome" => signs.tempi.extend(metronome(kind).map(|tempo| (at, tempo))),
            "symbol" | "image" => report.add(WORDS, place),
            _ => report.add(DYNAMICS, place),
        }
    }
    if let Some(playing) = element.child("sound") {
        sound(playing, at, signs);
    }
}

/// Reads what is said for playing.
pub(super) fn sound(element: Element<'_>, at: Quarters, signs: &mut MeasureSigns) {
    let tempo = element
        .attribute("tempo")
        .and_then(|tempo| tempo.parse::<f64>().ok());
    let hundredths = tempo.map(|tempo| (tempo * 100.0).round());
    let tempo = hundredths.filter(|tempo| (1.0..1_000_000.0).contains(tempo));
    if let Some(tempo) = tempo {
        // What is said for playing counts more than what is printed at the same place.
        signs.tempi.retain(|(place, _)| *place != at);
        signs.tempi.push((at, Quarters::new(tempo as i64, 100)));
    }
    for (name, jump) in [
        ("dacapo", Jump::DaCapo),
        ("dalsegno", Jump::DalSegno),
        ("tocoda", Jump::ToCoda),
        ("fine", Jump::Fine),
        ("segno", Jump::Segno),
        ("coda", Jump::Coda),
    ] {
        let said = element.attribute(name);
        if said.is_some_and(|said| said != "no" && !said.is_empty()) {
            signs.jumps.push((at, jump));
        }
    }
    if element.says("forward-repeat", "yes") {
        signs.opens_repeat = true;
    }
}

/// Quarter notes a minute of a metronome mark.
fn metronome(element: Element<'_>) -> Option<Quarters> {
    let name = element.text_of("beat-unit")?;
    let value =
        crate::score::NoteValue::all().find(|value| value.name() == name && value.dots == 0)?;
    let dots = u8::from(element.has("beat-unit-dot"));
    let beat = crate::score::NoteValue { dots, ..value }.length();
    let digits = |c: char| !c.is_ascii_digit();
    let text = element.text_of("per-minute")?.trim_start_matches(digits);
    let number = text.split(digits).next()?;
    let beats: i64 = number
        .parse()
        .ok()
        .filter(|beats| (1..10_000).contains(beats))?;
    Some(Quarters::from(beat.ratio() * beats))
}

#[cfg(test)]
mod tests {
    use super::passes;

    #[test]
    fn endings_are_numbered_in_many_ways() {
        assert_eq!(passes("1"), [1]);
        assert_eq!(passes("1, 2"), [1, 2]);
        assert_eq!(passes("1.,2."), [1, 2]);
        assert_eq!(passes("1-3"), [1, 2, 3]);
        assert_eq!(passes(" "), [0; 0]);
    }
}
