//! Formulas of chords: `ii-V-I`, `iiø-V7-i`, `I VI7 | ii V`, as a chart to be practised.
//!
//! A chord is a Roman numeral as [`super::Numeral`] prints it, counted from the major scale on the tonic,
//! and its quality. A numeral alone is the key's own seventh chord there; what is no chord of the key is a
//! dominant, if large, and a minor seventh, if small. A minor tonic takes its sixth, since with a minor
//! seventh it would be a ii (common practice, no source).
//!
//! A numeral behind a slash is the degree a chord leads to (`V7/ii`); a number is the bass, as a degree of the major
//! scale on the tonic (`I/5`, `V/7`), and a numeral alone over it is a triad.

use std::fmt;
use std::ops::Range;

use super::ScaleStep;
use crate::chart::{self, Chart};
use crate::chord::Chord;
use crate::pitch::{Degree, Interval, Mode, Name, Semitones};

/// Text that is no formula.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotAFormula {
    /// The bytes that were not understood.
    pub span: Range<usize>,
    /// What could have stood there.
    pub expected: &'static str,
}

impl fmt::Display for NotAFormula {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.expected)
    }
}

impl std::error::Error for NotAFormula {}

const NUMERAL: &str = "a numeral from I to VII or from i to vii, such as ii, bVI or #iv";
const LEADS: &str = "a chord that leads to another degree is a V, a vii, a ii or a subV, such as V7/ii; a bass is a degree of the scale, such as I/5 or V/7";
const QUALITY: &str = "a quality such as 7, maj7, ø, o7, sus, 7b9 or alt";

/// The longest formula, in bytes.
const LONGEST: usize = 1_000;

/// Whether a text begins as a formula does: with a numeral that is no chord symbol and no other word, or
/// with a substitute dominant.
///
/// ```
/// use compline::harmony::is_formula;
///
/// assert!(is_formula("ii-V-I") && is_formula("subV7-I"));
/// assert!(!is_formula("sub"));
/// ```
pub fn is_formula(text: &str) -> bool {
    words(text).next().is_some_and(|word| begins(word.text))
}

/// The formula as a chart in C, or in C minor where it has an i: a chord a bar, the last one twice where
/// that makes the bars even; where it has bar lines, the chords of a bar share it.
///
/// ```
/// use compline::harmony::formula;
///
/// let chart = formula("iiø-V7-i").unwrap();
/// let text = "title: iiø-V7-i\nkey: Cm\n\n     | Dm7b5 | G7 | Cm6 | % |\n";
/// assert_eq!(chart.tidy(), text);
/// ```
///
/// # Errors
///
/// The first word that is no numeral, or no chord with its quality.
pub fn formula(text: &str) -> Result<Chart, NotAFormula> {
    let whole = || NotAFormula {
        span: 0..text.len(),
        expected: "a formula of chords, such as ii-V-I",
    };
    if text.len() > LONGEST || text.chars().any(char::is_control) {
        return Err(whole());
    }
    let mode = match words(text).any(|word| is_minor_tonic(word.text)) {
        true => Mode::Minor,
        false => Mode::Major,
    };
    let bars = bars(text, mode)?;
    let key = if mode == Mode::Minor { "Cm" } else { "C" };
    let source = format!(
        "title: {}\nkey: {key}\n| {} |\n",
        text.trim(),
        bars.join(" | ")
    );
    chart::read(&source).map_err(|_| whole())
}

/// The chords of every bar.
fn bars(text: &str, mode: Mode) -> Result<Vec<String>, NotAFormula> {
    let chord = |word: Word<'_>| chord(word, mode);
    if !text.contains('|') {
        let mut bars: Vec<String> = words(text).map(chord).collect::<Result<_, _>>()?;
        if bars.len() > 1 && bars.len() % 2 == 1 {
            bars.push("%".to_owned());
        }
        return Ok(bars);
    }
    let mut bars: Vec<Vec<String>> = vec![Vec::new()];
    let mut end = 0;
    for word in words(text) {
        if text
            .get(end..word.at)
            .is_some_and(|between| between.contains('|'))
        {
            bars.push(Vec::new());
        }
        end = word.at + word.text.len();
        if let Some(bar) = bars.last_mut() {
            bar.push(chord(word)?);
        }
    }
    let bars = bars.iter().filter(|bar| !bar.is_empty());
    Ok(bars.map(|bar| bar.join(" ")).collect())
}

/// A chord of a formula, and where it stands.
#[derive(Debug, Clone, Copy)]
struct Word<'a> {
    text: &'a str,
    at: usize,
}

impl Word<'_> {
    /// That something else was expected in place of its end.
    fn wrong(self, behind: &str, expected: &'static str) -> NotAFormula {
        let end = self.at + self.text.len();
        NotAFormula {
            span: end - behind.len()..end,
            expected,
        }
    }

    /// The degree that it leads to, as a tonic.
    fn tonic(self, goal: &str) -> Result<Option<Name>, NotAFormula> {
        let read = ScaleStep::read(goal);
        let (step, _) = read.ok_or_else(|| self.wrong(goal, NUMERAL))?;
        Ok(root(step, c()))
    }
}

/// The chords: parted by space, bar lines, and hyphens before a numeral (in II-7 it is a minus).
fn words(text: &str) -> impl Iterator<Item = Word<'_>> {
    let mut at = 0;
    std::iter::from_fn(move || {
        let rest = text.get(at..)?;
        at += rest.find(|c: char| !parts(c))?;
        let rest = text.get(at..)?;
        let end = rest
            .char_indices()
            .find(|(offset, c)| {
                let behind = || rest.get(offset + c.len_utf8()..).unwrap_or_default();
                matches!(c, ' ' | '|' | ',' | '–') || *c == '-' && begins(behind())
            })
            .map_or(rest.len(), |(offset, _)| offset);
        let word = Word {
            text: rest.get(..end)?,
            at,
        };
        at += end;
        Some(word)
    })
}

const fn parts(c: char) -> bool {
    matches!(c, ' ' | '|' | '-' | '–' | ',')
}

/// Whether another chord begins here.
fn begins(text: &str) -> bool {
    let text = text.trim_start_matches(parts);
    text.is_empty() || ScaleStep::read(text).is_some() || text.starts_with("subV")
}

fn is_minor_tonic(word: &str) -> bool {
    let found = ScaleStep::read(word);
    found.is_some_and(|(step, _)| step.is_small() && step.degree() == Degree::ROOT)
}

/// The symbol of a chord in C or in C minor.
fn chord(word: Word<'_>, mode: Mode) -> Result<String, NotAFormula> {
    let (is_substitute, text) = match word.text.strip_prefix("sub") {
        Some(text) => (true, text),
        None => (false, word.text),
    };
    let (step, behind) = ScaleStep::read(text).ok_or_else(|| word.wrong(text, NUMERAL))?;
    let (quality, after) = after_slash(behind);
    let (goal, bass) = match after {
        Some(AfterSlash::Goal(goal)) => (Some(goal), None),
        Some(AfterSlash::Bass(bass)) => (None, Some(bass)),
        None => (None, None),
    };
    if goal.is_some() && !is_substitute && !leads(step, quality) {
        return Err(word.wrong(behind, LEADS));
    }
    let tonic = goal.map_or(Ok(c()), |goal| word.tonic(goal))?;
    let root = match is_substitute {
        // A half step above its goal, whatever its numeral.
        true => tonic.and_then(|tonic| tonic.plus(Interval::new(1, Semitones(1)))),
        false => root(step, tonic),
    };
    let is_diatonic = goal.is_none() && !is_substitute;
    let quality = match bass {
        Some(_) if quality.is_empty() && is_diatonic => triad(step, mode).to_owned(),
        _ => spelled(quality, step, mode, is_diatonic),
    };
    let symbol = root.and_then(|root| symbol(root, &quality, bass));
    symbol.ok_or_else(|| word.wrong(behind, QUALITY))
}

/// The symbol of a chord over this degree of the scale on C; `None` where there is no such chord.
fn symbol(root: Name, quality: &str, bass: Option<Degree>) -> Option<String> {
    let symbol = match bass {
        Some(bass) => format!("{root}{quality}/{}", bass.above(c()?)?),
        None => format!("{root}{quality}"),
    };
    Chord::read(&symbol).is_ok().then_some(symbol)
}

/// What stands behind the slash of a chord.
#[derive(Debug, Clone, Copy)]
enum AfterSlash<'a> {
    /// A numeral: the degree it leads to.
    Goal(&'a str),
    /// A degree of the major scale on the tonic, in the bass.
    Bass(Degree),
}

/// The quality, and what stands behind its slash. A 9 is no bass: it belongs to 6/9.
fn after_slash(behind: &str) -> (&str, Option<AfterSlash<'_>>) {
    let Some((quality, after)) = behind.rsplit_once('/') else {
        return (behind, None);
    };
    if begins(after) {
        return (quality, Some(AfterSlash::Goal(after)));
    }
    match bass(after) {
        Some(bass) => (quality, Some(AfterSlash::Bass(bass))),
        None => (behind, None),
    }
}

/// A bass as reharmonising writes it: `5`, `b7`.
fn bass(text: &str) -> Option<Degree> {
    let signs = [('b', -1), ('♭', -1), ('#', 1), ('♯', 1)].into_iter();
    let mut signs = signs.filter_map(|(sign, alter)| Some((alter, text.strip_prefix(sign)?)));
    let (alter, number) = signs.next().unwrap_or((0, text));
    let number = (1..=7).find(|known: &u8| known.to_string() == number)?;
    Degree::new(number, alter)
}

/// Whether a chord is one that leads to another degree: the dominant, the diminished chord below, the II.
fn leads(step: ScaleStep, quality: &str) -> bool {
    matches!(step.degree().number(), 2 | 5 | 7) || quality.starts_with(['o', '°'])
}

/// What a numeral alone is over a bass: a triad, as slash chords are (common practice, no source).
const fn triad(step: ScaleStep, mode: Mode) -> &'static str {
    match (own(step, mode).as_bytes(), step.is_small()) {
        (b"m7b5", _) => "dim",
        (_, true) => "m",
        (_, false) => "",
    }
}

fn c() -> Option<Name> {
    "C".parse().ok()
}

fn root(step: ScaleStep, tonic: Option<Name>) -> Option<Name> {
    step.degree().above(tonic?)
}

/// The quality as a symbol has it.
fn spelled(quality: &str, step: ScaleStep, mode: Mode, alone: bool) -> String {
    let half_diminished = quality.strip_prefix('ø');
    let diminished = quality.strip_prefix(['o', '°']);
    match (half_diminished, diminished) {
        (Some(rest), _) => return format!("m7b5{}", rest.trim_start_matches('7')),
        (_, Some(rest)) => return format!("dim{rest}"),
        _ if quality.is_empty() && alone => return own(step, mode).to_owned(),
        _ => {}
    }
    let quality = if quality.is_empty() { "7" } else { quality };
    let says_minor = quality.starts_with(['m', '-']) && !quality.starts_with("maj");
    match step.is_small() && !says_minor && !quality.starts_with("sus") {
        true => format!("m{quality}"),
        false => quality.to_owned(),
    }
}

/// What a numeral alone is.
const fn own(step: ScaleStep, mode: Mode) -> &'static str {
    match (
        step.degree().number(),
        step.degree().alter(),
        step.is_small(),
        mode,
    ) {
        (1, 0, true, _) => "m6",
        (2, 0, true, Mode::Minor) | (7, 0, true, Mode::Major) => "m7b5",
        (4, 1, true, _) => "m7b5",
        (_, _, true, _) => "m7",
        (1 | 4, 0, false, Mode::Major) | (2 | 3 | 6, -1, false, _) => "maj7",
        (1, 0, false, Mode::Minor) => "maj7",
        _ => "7",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chords(text: &str) -> String {
        let chart = formula(text).unwrap();
        let slots = chart.slots();
        let mut bar = 1;
        let mut shown = chart.key().unwrap().to_string() + ":";
        for slot in slots {
            shown += if slot.bar > bar { " | " } else { " " };
            bar = slot.bar;
            shown += slot.symbol.text();
        }
        shown
    }

    #[test]
    fn numerals_are_the_chords_of_their_key() {
        for (text, expected) in [
            ("ii-V-I", "C: Dm7 | G7 | Cmaj7 | Cmaj7"),
            ("iiø-V7-i", "Cm: Dm7b5 | G7 | Cm6 | Cm6"),
            ("ii-V-i", "Cm: Dm7b5 | G7 | Cm6 | Cm6"),
            ("I-VI7-ii-V", "C: Cmaj7 | A7 | Dm7 | G7"),
            ("II-7 V7 Imaj7", "C: D-7 | G7 | Cmaj7 | Cmaj7"),
            ("I VI7 | ii V", "C: Cmaj7 A7 | Dm7 G7"),
            ("| iii7 VI7b9 | ii9 V13 |", "C: Em7 A7b9 | Dm9 G13"),
            ("iv7-bVII7-I", "C: Fm7 | Bb7 | Cmaj7 | Cmaj7"),
            ("V7/ii-ii-subV7-I6", "C: A7 | Dm7 | Db7 | C6"),
            // What leads to another degree is no chord of the key by itself.
            ("V/IV-IV", "C: C7 | Fmaj7"),
            // A number is a degree in the bass, and a numeral alone over it a triad.
            ("I-V/7-vi", "C: Cmaj7 | G/B | Am7 | Am7"),
            ("I/5-V", "C: C/G | G7"),
            ("I/3 IV", "C: C/E | Fmaj7"),
            ("V7/3 I6/9", "C: G7/E | C6/9"),
            ("i i/b7 IV/6 bVI", "Cm: Cm6 | Cm/Bb | F/A | Abmaj7"),
            ("ii/5 vii/2", "C: Dm/G | Bdim/D"),
            ("vii/V-V", "C: F#m7 | G7"),
            ("subI-I", "C: Db7 | Cmaj7"),
            ("I-#io7-ii-V7alt", "C: Cmaj7 | C#dim7 | Dm7 | G7alt"),
            ("V", "C: G7"),
            ("vi–IV–V7sus", "C: Am7 | Fmaj7 | G7sus | G7sus"),
            ("♭VI-♭VII-i", "Cm: Abmaj7 | Bb7 | Cm6 | Cm6"),
        ] {
            assert_eq!(chords(text), expected, "{text}");
        }
    }

    #[test]
    fn a_formula_of_the_longest_length_is_read_and_a_longer_one_refused() {
        let longest = format!("{}IV", "I ".repeat(LONGEST / 2 - 1));
        assert_eq!(longest.len(), LONGEST);
        assert!(formula(&longest).is_ok());
        assert_eq!(
            formula(&format!("I{longest}")).unwrap_err().span,
            0..LONGEST + 1
        );
    }

    #[test]
    fn what_is_no_formula_is_told_at_its_place() {
        let wrong = |text: &str| formula(text).unwrap_err().span;
        // A hyphen before what is no numeral is a minus: -Q is no quality.
        assert_eq!(wrong("ii-Q-I"), 2..4);
        assert_eq!(wrong("ii-V7x-I"), 4..6);
        assert_eq!(wrong("ii VIIII I"), 6..8);
        // No tonic leads anywhere: I over V is I/5.
        for (text, span) in [("I/V", 1..3), ("V IV/V", 4..6), ("#IVdim I/V VI7", 8..10)] {
            let told = formula(text).unwrap_err();
            assert_eq!((told.span, told.expected), (span, LEADS), "{text}");
        }
        assert_eq!(wrong(""), 0..0);
        assert_eq!(wrong(&"I-".repeat(600)), 0..1200);
    }

    #[test]
    fn formulas_are_told_from_names_of_files() {
        for text in ["ii-V-I", "bVI7 V7 i", "I", "subV7-I"] {
            assert!(is_formula(text), "{text}");
        }
        for text in ["tune.chart", "songs", "sub", "Dm7 G7", "-", ""] {
            assert!(!is_formula(text), "{text}");
        }
    }
}
