//! How a chord symbol is read: for people and for programs.

use std::fmt::Write;

use schemars::JsonSchema;
use serde::Serialize;

use crate::chord::{Chord, Symbol, Unread};
use crate::pitch::{Degree, Name, Spelling};
use crate::voicing::{Admitted, admitted};

/// A chord symbol explained, under its stable names.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ChordReport {
    /// The symbol as written.
    symbol: String,
    /// The root; null for no chord.
    root: Option<String>,
    /// The bass after the slash.
    bass: Option<String>,
    /// What the symbol asks for.
    tones: Vec<ToneJson>,
    /// What may be added to the chord on its own.
    tensions: Vec<String>,
    /// What the chord's usual scale holds and a voicing leaves out.
    avoid: Vec<String>,
    /// Every shape the symbol admits, in every colour.
    shapes: Vec<ShapeJson>,
    /// Which of two readings was taken, where two are in use.
    reading: Option<String>,
}

/// A symbol that can't be read.
#[derive(Debug, Serialize, JsonSchema)]
pub struct UnreadSymbolReport<'a> {
    /// What was given.
    symbol: &'a str,
    /// What is wrong with it.
    error: String,
}

/// A line of the JSON of `chord`.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(untagged)]
#[expect(
    dead_code,
    reason = "the schema of the lines is made from it, not the lines"
)]
enum ChordLine<'a> {
    Read(ChordReport),
    Unread(UnreadSymbolReport<'a>),
}

/// The JSON Schema of the lines, as indented text.
pub fn chord_schema() -> String {
    super::json::schema_text::<ChordLine<'static>>()
}

/// A symbol that can't be read, as one line of JSON.
pub fn unread_symbol_json(symbol: &str, unread: &Unread) -> String {
    let error = unread.to_string();
    super::json::line(&UnreadSymbolReport { symbol, error })
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Tone")]
struct ToneJson {
    degree: String,
    name: String,
    /// 0 = C to 11 = B.
    pitch_class: u8,
    /// Whether it must sound before anything the symbol only implies.
    named: bool,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Shape")]
struct ShapeJson {
    shape: &'static str,
    /// `A` or `B`, by the degree that lies lowest.
    form: Option<String>,
    colour: String,
    /// Lowest first.
    degrees: Vec<String>,
    /// Semitones above the root, lowest first.
    semitones: Vec<u8>,
}

impl ChordReport {
    /// Explains a symbol, its notes named as in the key on its root.
    pub fn of(symbol: &Symbol, spelling: Spelling) -> Self {
        match symbol.chord() {
            Some(chord) => Self::of_chord(chord, spelling),
            None => Self {
                symbol: symbol.text().to_owned(),
                root: None,
                bass: None,
                tones: Vec::new(),
                tensions: Vec::new(),
                avoid: Vec::new(),
                shapes: Vec::new(),
                reading: None,
            },
        }
    }

    fn of_chord(chord: &Chord, spelling: Spelling) -> Self {
        let tones = chord.tones().iter().map(|tone| {
            let name = name(chord, tone.degree, spelling);
            ToneJson {
                degree: tone.degree.to_string(),
                name: name.to_string(),
                pitch_class: name.class().number(),
                named: tone.named,
            }
        });
        Self {
            symbol: chord.symbol().to_owned(),
            root: Some(chord.root().to_string()),
            bass: chord.bass().map(|bass| bass.to_string()),
            tones: tones.collect(),
            tensions: strings(&chord.tensions()),
            avoid: strings(&chord.avoid()),
            shapes: admitted(chord).iter().map(shape).collect(),
            reading: chord.reading().map(|reading| reading.to_string()),
        }
    }

    /// One line of JSON.
    pub fn json(&self) -> String {
        super::json::line(self)
    }
}

fn shape(admitted: &Admitted) -> ShapeJson {
    ShapeJson {
        shape: admitted.shape.name,
        form: admitted.form().map(|form| form.to_string()),
        colour: admitted.colour.to_string(),
        degrees: strings(&admitted.layout.degrees().collect::<Vec<_>>()),
        semitones: admitted.layout.semitones().collect(),
    }
}

fn strings(degrees: &[Degree]) -> Vec<String> {
    degrees.iter().map(ToString::to_string).collect()
}

/// How the forms are named, and how other books name them.
const FORMS: &str = "A lies on its third, B on its seventh. Some books name the forms by the ii-V-I \
they start instead, so that the V of an \"A\" progression lies on its seventh: go by the lowest degree.\n";

/// Explains a symbol in a musician's words, ending in a line feed.
pub fn chord_text(symbol: &Symbol, spelling: Spelling) -> String {
    let Some(chord) = symbol.chord() else {
        return format!("{}\n  no chord: the hand is silent\n", symbol.text());
    };
    let mut text = format!("{}\n", chord.symbol());
    field(&mut text, "root", &chord.root().to_string());
    if let Some(bass) = chord.bass() {
        field(&mut text, "bass", &bass.to_string());
    }
    field(&mut text, "tones", &tones(chord, spelling));
    field(
        &mut text,
        "tensions",
        &list(chord, spelling, &chord.tensions()),
    );
    field(&mut text, "avoid", &list(chord, spelling, &chord.avoid()));
    if let Some(reading) = chord.reading() {
        field(&mut text, "reading", &reading.to_string());
    }
    shapes(&mut text, chord, spelling);
    text
}

/// What a degree is called in the key on the chord's root.
fn name(chord: &Chord, degree: Degree, spelling: Spelling) -> Name {
    chord.name(degree, spelling, chord.key_names())
}

fn field(text: &mut String, name: &str, value: &str) {
    let _ = writeln!(text, "  {name:<10}{value}");
}

fn tones(chord: &Chord, spelling: Spelling) -> String {
    let degrees: Vec<Degree> = chord.tones().iter().map(|tone| tone.degree).collect();
    list(chord, spelling, &degrees)
}

fn list(chord: &Chord, spelling: Spelling, degrees: &[Degree]) -> String {
    if degrees.is_empty() {
        return "none".to_owned();
    }
    let named = degrees
        .iter()
        .map(|&degree| format!("{degree} {}", name(chord, degree, spelling)));
    named.collect::<Vec<_>>().join(", ")
}

fn shapes(text: &mut String, chord: &Chord, spelling: Spelling) {
    let rows: Vec<[String; 4]> = merged(&admitted(chord))
        .into_iter()
        .map(|(layout, colours)| row(chord, spelling, layout, &colours))
        .collect();
    let width = |column: usize| rows.iter().map(|row| row[column].len()).max().unwrap_or(0);
    let widths = [width(0), width(1), width(2)];
    if !rows.is_empty() {
        text.push_str("  shapes\n");
    }
    for [shape, degrees, names, colours] in &rows {
        let [a, b, c] = widths;
        let _ = writeln!(
            text,
            "    {shape:<a$}  {degrees:<b$}  {names:<c$}  {colours}"
        );
    }
    if rows.iter().any(|row| row[0].ends_with(" A")) {
        text.push_str("  ");
        text.push_str(FORMS);
    }
}

fn row(chord: &Chord, spelling: Spelling, admitted: &Admitted, colours: &[String]) -> [String; 4] {
    let form = admitted.form().map(|form| format!(" {form}"));
    let degrees: Vec<Degree> = admitted.layout.degrees().collect();
    let names = degrees
        .iter()
        .map(|&degree| name(chord, degree, spelling).to_string());
    [
        format!("{}{}", admitted.shape, form.unwrap_or_default()),
        strings(&degrees).join(" "),
        names.collect::<Vec<_>>().join(" "),
        colours.join(", "),
    ]
}

/// Each layout once, with all the colours it comes in.
fn merged(admitted: &[Admitted]) -> Vec<(&Admitted, Vec<String>)> {
    let mut rows: Vec<(&Admitted, Vec<String>)> = Vec::new();
    for one in admitted {
        let colour = one.colour.to_string();
        let same = |row: &&mut (&Admitted, Vec<String>)| {
            row.0.shape == one.shape && row.0.layout == one.layout
        };
        match rows.iter_mut().find(same) {
            Some((_, colours)) => colours.push(colour),
            None => rows.push((one, vec![colour])),
        }
    }
    rows
}
