//! Tunes with chords from a folder of old ABC files, as charts: enough of the notation for folk
//! tunes, nothing for its own sake. What a tune has beyond that is left out, bar by bar.
//!
//! Pitches, lengths and the place of the quoted chords are read as the ABC standard 2.1 has them
//! (Walshaw 2011); the chords' older spellings (`Cd`, `Ca`, `D/f+`) as the collection uses them.

use std::fmt::Write;
use std::path::Path;

use crate::data::data;

/// A length in units of 1/96 of a whole note: quarters, triplets and dots come out even.
type Ticks = i64;
const WHOLE: Ticks = 96;

/// One bar: what is sung and which chords stand where.
#[derive(Debug, Default, Clone)]
struct Bar {
    notes: Vec<(Option<i32>, Ticks)>,
    chords: Vec<(Ticks, String)>,
}

impl Bar {
    fn length(&self) -> Ticks {
        self.notes.iter().map(|(_, ticks)| ticks).sum()
    }
}

/// Every tune of the folder that has at least four whole bars, as the text of a chart.
pub fn charts(folder: &Path) -> Vec<String> {
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "abc"))
        .collect();
    files.sort();
    let texts = files.iter().map(|path| {
        let bytes = std::fs::read(path).unwrap();
        String::from_utf8_lossy(&bytes)
            .replace("\\\n", "")
            .replace("\\\r\n", "")
    });
    texts
        .flat_map(|text| {
            let tunes: Vec<String> = text.split("\nX:").skip(1).filter_map(chart).collect();
            tunes
        })
        .collect()
}

fn chart(tune: &str) -> Option<String> {
    let field = |name: &str| {
        let mut lines = tune.lines();
        lines.find_map(|line| line.strip_prefix(name).map(str::trim))
    };
    let meter = match field("M:")? {
        "C" => "4/4",
        "C|" => "2/2",
        other => other,
    };
    let (upper, lower) = meter.split_once('/')?;
    let (upper, lower): (Ticks, Ticks) = (upper.parse().ok()?, lower.parse().ok()?);
    let unit = match field("L:") {
        Some(length) => fraction(length.trim_start_matches("1/"))?,
        None if upper * 4 < lower * 3 => WHOLE / 16,
        None => WHOLE / 8,
    };
    let compound = lower == 8 && upper % 3 == 0 && upper > 3;
    let beat = WHOLE / lower * if compound { 3 } else { 1 };
    let key = field("K:")?;
    let music: Vec<&str> = tune
        .lines()
        .skip(1)
        .filter(|line| !line.starts_with('%') && line.get(1..2) != Some(":"))
        .collect();
    let bars = bars(&music.join(" "), unit, key)?;
    written(&bars, (upper * WHOLE / lower, beat), meter, key)
}

fn fraction(denominator: &str) -> Option<Ticks> {
    denominator.parse::<Ticks>().ok().map(|n| WHOLE / n)
}

/// Sharps or flats of the signature: the note letters it alters, and by how much.
fn signature(key: &str) -> Option<Vec<(char, i32)>> {
    let mut letters = key.chars();
    let tonic = letters.next()?;
    let rest: String = letters.collect();
    let (alter, mode) = match rest.chars().next() {
        Some('#') => (7, &rest[1..]),
        Some('b') => (-7, &rest[1..]),
        _ => (0, rest.as_str()),
    };
    let minor = mode.starts_with('m') && !mode.starts_with("maj") && !mode.starts_with("mix");
    let fifths = "FCGDAEB".find(tonic)? as i32 - 1 + alter - if minor { 3 } else { 0 };
    let altered = |order: &str, by| {
        let count = fifths.unsigned_abs() as usize;
        order
            .chars()
            .take(count)
            .map(|letter| (letter, by))
            .collect()
    };
    Some(if fifths < 0 {
        altered("BEADGCF", -1)
    } else {
        altered("FCGDAEB", 1)
    })
}

fn bars(music: &str, unit: Ticks, key: &str) -> Option<Vec<Bar>> {
    let signature = signature(key)?;
    let mut bars = Vec::new();
    let mut bar = Bar::default();
    let mut accidentals: Vec<(char, i32)> = Vec::new();
    let mut triplet = 0;
    let mut rest = music;
    while let Some(c) = rest.chars().next() {
        match c {
            '|' | ':' => {
                bars.push(std::mem::take(&mut bar));
                accidentals.clear();
                rest = rest.trim_start_matches(['|', ':', ']', '[', '1', '2']);
            }
            '"' => {
                let (chord, after) = rest[1..].split_once('"')?;
                bar.chords.push((bar.length(), chord.to_owned()));
                rest = after;
            }
            '(' if rest[1..].starts_with('3') => {
                triplet = 3;
                rest = &rest[2..];
            }
            // A double stop, between `+` signs: its last note is the highest.
            '+' => {
                let (inner, after) = rest[1..].split_once('+')?;
                let last = inner.rfind(|c: char| c.is_ascii_alphabetic())?;
                let start = inner[..last]
                    .rfind(|c: char| !"^_=".contains(c))
                    .map_or(0, |at| at + 1);
                let after_note = &inner[start..];
                let (event, left) = note(after_note, &signature, &mut accidentals, unit)?;
                left.trim_matches([',', '\'']).is_empty().then_some(())?;
                let (_, length, after) = length(after, event.1)?;
                bar.notes.push((event.0, length));
                rest = after;
            }
            '^' | '_' | '=' | 'A'..='G' | 'a'..='g' | 'z' => {
                let (mut event, after) = note(rest, &signature, &mut accidentals, unit)?;
                if triplet > 0 {
                    triplet -= 1;
                    (event.1 % 3 == 0).then_some(())?;
                    event.1 = event.1 / 3 * 2;
                }
                bar.notes.push(event);
                rest = after;
            }
            ' ' | '~' | '.' | ')' | '(' | '-' | 'v' | 'u' => rest = &rest[1..],
            _ => return None,
        }
    }
    bars.push(bar);
    Some(bars)
}

/// A note or rest with its length, and what stands behind it.
fn note<'a>(
    text: &'a str,
    signature: &[(char, i32)],
    accidentals: &mut Vec<(char, i32)>,
    unit: Ticks,
) -> Option<((Option<i32>, Ticks), &'a str)> {
    let body = text.trim_start_matches(['^', '_', '=']);
    let written = &text[..text.len() - body.len()];
    let letter = body.chars().next()?;
    if letter == 'z' {
        let (_, ticks, after) = length(&body[1..], unit)?;
        return Some(((None, ticks), after));
    }
    let upper = letter.to_ascii_uppercase();
    let class = [9, 11, 0, 2, 4, 5, 7][upper as usize - 'A' as usize];
    let mut pitch = 60 + class + if letter.is_lowercase() { 12 } else { 0 };
    if !written.is_empty() {
        let sharps = written.matches('^').count() as i32;
        let flats = written.matches('_').count() as i32;
        accidentals.insert(0, (upper, sharps - flats));
    }
    let all = accidentals.iter().chain(signature);
    pitch += all
        .copied()
        .find(|(l, _)| *l == upper)
        .map_or(0, |(_, by)| by);
    let mut rest = &body[1..];
    while let Some(octave) = rest.chars().next().filter(|c| ",'".contains(*c)) {
        pitch += if octave == ',' { -12 } else { 12 };
        rest = &rest[1..];
    }
    let (_, ticks, after) = length(rest, unit)?;
    Some(((Some(pitch), ticks), after))
}

/// `3/2`, `/2`, `/`, `2` or nothing.
fn length(text: &str, unit: Ticks) -> Option<((), Ticks, &str)> {
    let digits =
        |text: &str| text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let upper = digits(text);
    let (number, rest) = text.split_at(upper);
    let times: Ticks = if number.is_empty() {
        1
    } else {
        number.parse().ok()?
    };
    let Some(rest) = rest.strip_prefix('/') else {
        return Some(((), unit * times, rest));
    };
    let (number, rest) = rest.split_at(digits(rest));
    let by: Ticks = if number.is_empty() {
        2
    } else {
        number.parse().ok()?
    };
    (unit * times % by == 0).then_some(((), unit * times / by, rest))
}

/// The whole bars as a chart: no repeats, and the chord of the bar before where a bar starts without.
fn written(bars: &[Bar], (full, beat): (Ticks, Ticks), meter: &str, key: &str) -> Option<String> {
    let mut sounding: Option<String> = None;
    let (mut chords, mut tune) = (Vec::new(), Vec::new());
    for bar in bars.iter().filter(|bar| bar.length() == full) {
        let mut row: Vec<(Ticks, String)> = Vec::new();
        if bar.chords.first().is_none_or(|(at, _)| *at > 0) {
            row.extend(sounding.clone().map(|chord| (0, chord)));
        }
        for (at, chord) in &bar.chords {
            let symbol = symbol(chord)?;
            (at % beat == 0).then_some(())?;
            row.retain(|(other, _)| other != at);
            row.push((*at, symbol.clone()));
            sounding = Some(symbol);
        }
        if row.is_empty() {
            continue;
        }
        chords.push(chord_bar(&row, full / beat, beat));
        let notes = bar.notes.iter().map(|(pitch, ticks)| {
            let name = pitch.map_or("r".to_owned(), name);
            let by = gcd(*ticks, beat);
            format!("{name}:{}/{}", ticks / by, beat / by)
        });
        tune.push(notes.collect::<Vec<_>>().join(" "));
    }
    (chords.len() >= 4).then_some(())?;
    let minor = key.contains('m') && !key.contains("mix");
    let tonic: String = key
        .chars()
        .take_while(|c| "ABCDEFG#b".contains(*c))
        .collect();
    let key = if minor { format!("{tonic}m") } else { tonic };
    let mut text = format!("key: {key}\nmeter: {meter}\n");
    for (chords, tune) in chords.chunks(4).zip(tune.chunks(4)) {
        let _ = writeln!(
            text,
            "| {} |\nmel | {} |",
            chords.join(" | "),
            tune.join(" | ")
        );
    }
    Some(text)
}

fn chord_bar(row: &[(Ticks, String)], beats: Ticks, beat: Ticks) -> String {
    if let [(_, only)] = row {
        return only.clone();
    }
    let ends = row.iter().skip(1).map(|(at, _)| at / beat).chain([beats]);
    let words = row.iter().zip(ends).map(|((at, symbol), end)| {
        let more = usize::try_from(end - at / beat - 1).unwrap_or(0);
        format!("{symbol}{}", " /".repeat(more))
    });
    words.collect::<Vec<_>>().join(" ")
}

/// A chord in today's spelling; `None` for a single bass note or a remark.
fn symbol(chord: &str) -> Option<String> {
    let (chord, bass) = match chord.split_once('/') {
        // `f+` is F sharp.
        Some((chord, bass)) => (chord, Some(bass.replace('+', "#"))),
        None => (chord, None),
    };
    let root_end = 1 + usize::from(chord.get(1..2).is_some_and(|c| c == "b" || c == "#"));
    let (root, kind) = (chord.get(..root_end)?, chord.get(root_end..)?);
    root.starts_with(|c: char| ('A'..='G').contains(&c))
        .then_some(())?;
    let kind = match kind {
        "d" => "dim",
        "a" => "aug",
        other => other,
    };
    let bass = bass.map(|bass| {
        let (letter, alter) = bass.split_at(1.min(bass.len()));
        format!("/{}{}", letter.to_uppercase(), alter)
    });
    let symbol = format!("{root}{kind}{}", bass.unwrap_or_default());
    compline::chord::Chord::read(&symbol).ok()?;
    Some(symbol)
}

fn name(pitch: i32) -> String {
    let names = [
        "C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
    ];
    format!("{}{}", names[pitch.rem_euclid(12) as usize], pitch / 12 - 1)
}

fn gcd(a: Ticks, b: Ticks) -> Ticks {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[test]
fn folk_tunes_are_read_as_charts_that_sing_what_they_say() {
    let tune =
        "1\nM:6/8\nL:1/8\nK:G\nd|\"G\"g2a bag|\"D7/f+\"f>ed c2z|(3ABc \"Em\"+Ge+3:|\"Cd\"=f6|";
    // A broken rhythm is beyond this reader: the tune is left out.
    assert_eq!(chart(tune), None);
    let tune = tune
        .replace("f>ed c2z", "fed c2z")
        .replace("(3ABc", "(3ABc d");
    let tune = tune.replace(":|", "|\"G\"G6|");
    let text = chart(&tune).unwrap();
    assert_eq!(
        text,
        "key: G\nmeter: 6/8\n\
         | G | D7/F# | D7/F# Em | G |\n\
         mel | G5:2/3 A5:1/3 B5:1/3 A5:1/3 G5:1/3 | F#5:1/3 E5:1/3 D5:1/3 C5:2/3 r:1/3 | A4:2/9 B4:2/9 C5:2/9 D5:1/3 E5:1/1 | G4:2/1 |\n\
         | Cdim |\nmel | F5:2/1 |\n"
    );
    assert!(compline::chart::read(&text).is_ok(), "{text}");
}

/// What the folder of folk tunes gives: read by the library, bar for bar.
#[test]
fn a_collection_of_folk_tunes_is_read() {
    let Some(folder) = data("abc-nottingham") else {
        return;
    };
    let charts = charts(&folder);
    eprintln!("{} folk tunes", charts.len());
    assert!(charts.len() > 500, "{}", charts.len());
    for text in &charts {
        let read = compline::chart::read(text);
        assert!(read.is_ok(), "{read:?}\n{text}");
    }
}
