//! What stands in a bar of the chord line: chords and slashes, `%`, a meter, jumps.

use std::ops::Range;

use super::percent_sign::{among_others, is_percent_sign};
use super::problems::Problems;
use super::symbols::symbol;
use super::text::Text;
use super::words::{Words, is_meter};
use crate::chart::bar_sharing::{beats_with, equal_share};
use crate::chart::sizes::MOST_CHORDS_IN_A_BAR;
use crate::chart::{Beats, Cell, Chords, Diagnostic, HELD, Jump, Marked, Meter, Was};
use crate::chord::Unread;
use crate::words::counted;

/// A bar's contents.
#[derive(Debug)]
pub(super) struct Contents {
    pub meter: Option<Meter>,
    pub beats: u8,
    /// `None` when they could not be read; why is among the problems.
    pub chords: Option<Chords>,
    pub jumps: Vec<Marked>,
    /// Where the chords stand.
    pub music: Range<usize>,
}

/// Reads the contents of a bar in `meter`; notes every mistake in them.
pub(super) fn contents(body: Text<'_>, meter: Meter, problems: &mut Problems) -> Contents {
    let mut tally = BarTally::default();
    let mut words = Words::new(body);
    while let Some(word) = words.next(is_chord) {
        tally.take(word, problems);
    }
    let beats = tally.meter.unwrap_or(meter).beats_in_bar();
    let music = tally
        .music
        .map_or(body.range(), |(a, z)| a.at..z.range().end);
    Contents {
        meter: tally.meter,
        beats,
        chords: tally.chords(body, &music, beats, problems),
        jumps: tally.jumps,
        music,
    }
}

/// Reads a bar of the `was` row: the chords that were there before, which fill its beats, or `-`
/// where it is as it was; `None` when they could not be read.
pub(super) fn before(body: Text<'_>, beats: u8, problems: &mut Problems) -> Option<Was> {
    if body.trim().text == "-" {
        return Some(Was::AsNow);
    }
    let mut tally = BarTally::default();
    let mut words = Words::new(body);
    while let Some(word) = words.next(is_chord) {
        if word.text.starts_with('@') || is_meter(word.text) {
            problems.add(not_before(word));
            return None;
        }
        tally.take(word, problems);
    }
    let music = body.trim_unless_blank().range();
    tally.chords(body, &music, beats, problems).map(Was::Other)
}

/// The words of a bar, sorted.
#[derive(Debug, Default)]
struct BarTally<'a> {
    meter: Option<Meter>,
    again: Option<Text<'a>>,
    cells: Vec<Cell>,
    slashes: usize,
    jumps: Vec<Marked>,
    /// The first and the last chord, slash or `%`.
    music: Option<(Text<'a>, Text<'a>)>,
    /// Something could not be read, so that nothing can be counted.
    broken: bool,
}

impl<'a> BarTally<'a> {
    fn take(&mut self, word: Text<'a>, problems: &mut Problems) {
        let result = if let Some(jump) = word.text.strip_prefix('@') {
            self.jump(word, jump)
        } else if is_meter(word.text) {
            self.meter(word)
        } else {
            self.music = Some((self.music.map_or(word, |(first, _)| first), word));
            self.music_word(word)
        };
        if let Err(problem) = result {
            self.broken = true;
            problems.add(problem);
        }
    }

    fn jump(&mut self, word: Text<'a>, jump: &str) -> Result<(), Diagnostic> {
        let jump = jump.parse().map_err(|_| unknown_jump(word))?;
        let span = word.span();
        self.jumps.push(Marked { jump, span });
        Ok(())
    }

    fn meter(&mut self, word: Text<'a>) -> Result<(), Diagnostic> {
        if self.meter.is_some() || self.music.is_some() {
            return Err(Diagnostic::error(
                word.range(),
                "a meter stands at the beginning of its bar",
                "a chord or `/`",
            ));
        }
        let meter = word.text.parse().map_err(|_| no_meter(word))?;
        self.meter = Some(meter);
        Ok(())
    }

    fn music_word(&mut self, word: Text<'a>) -> Result<(), Diagnostic> {
        if is_percent_sign(word) {
            match self.again.replace(word) {
                None => Ok(()),
                Some(_) => Err(among_others(word)),
            }
        } else if word.text.bytes().all(|b| b == b'/') {
            self.slash(word)
        } else {
            self.chord(word)
        }
    }

    fn slash(&mut self, word: Text<'a>) -> Result<(), Diagnostic> {
        let nothing_before = || {
            let problem =
                Diagnostic::error(word.range(), "a `/` with no chord before it", "a chord");
            problem.help("`/` gives the chord before it in the bar one more beat")
        };
        // After a symbol that could not be read the mistake is told already.
        if self.broken && self.cells.is_empty() {
            return Ok(());
        }
        let cell = self.cells.last_mut().ok_or_else(nothing_before)?;
        // A bar has far fewer beats than this holds, so a count that stops here is too many anyway.
        let more = u8::try_from(word.text.len()).unwrap_or(u8::MAX);
        cell.slashes = cell.slashes.saturating_add(more);
        self.slashes += word.text.len();
        Ok(())
    }

    fn chord(&mut self, word: Text<'a>) -> Result<(), Diagnostic> {
        let (word, held) = held_off(word);
        let symbol = symbol(word.text).map_err(|unread| unreadable(word, unread))?;
        if self.cells.is_empty() {
            // Most bars have one chord.
            self.cells.reserve_exact(1);
        }
        // Beyond the most only the number matters.
        if self.cells.len() <= MOST_CHORDS_IN_A_BAR {
            self.cells.push(Cell {
                symbol,
                slashes: 0,
                beats: Beats::ZERO,
                held,
                span: word.span(),
            });
        }
        Ok(())
    }

    fn chords(
        &mut self,
        body: Text<'a>,
        music: &Range<usize>,
        beats: u8,
        problems: &mut Problems,
    ) -> Option<Chords> {
        if self.broken {
            return None;
        }
        if self.music.is_none() {
            problems.add(empty(body));
            return None;
        }
        let result = match self.again {
            Some(_) if self.cells.is_empty() => Ok(Chords::Again),
            Some(again) => Err(among_others(again)),
            None => shared(
                std::mem::take(&mut self.cells),
                self.slashes,
                beats,
                music.clone(),
            ),
        };
        result.map_err(|problem| problems.add(problem)).ok()
    }
}

fn is_chord(word: Text<'_>) -> bool {
    symbol(held_off(word).0.text).is_ok()
}

/// A symbol, and whether a `!` stands right behind it.
fn held_off(word: Text<'_>) -> (Text<'_>, bool) {
    let end = word.text.strip_suffix(HELD).map(str::len);
    let after = |t: &str| !t.is_empty() && !t.ends_with(' ');
    let end = end.filter(|end| word.text.get(..*end).is_some_and(after));
    end.map_or((word, false), |end| (word.split_at(end).0, true))
}

/// Gives every chord its beats, or says why they do not fill the bar.
fn shared(
    mut cells: Vec<Cell>,
    slashes: usize,
    beats: u8,
    place: Range<usize>,
) -> Result<Chords, Diagnostic> {
    let (bar, chords) = (usize::from(beats), cells.len());
    if chords > MOST_CHORDS_IN_A_BAR {
        return Err(too_many(place));
    }
    let written = chords + slashes;
    if slashes > 0 && written != bar {
        return Err(slashes_do_not_fill(place, bar, written));
    }
    cells.shrink_to_fit();
    if slashes > 0 {
        cells
            .iter_mut()
            .for_each(|cell| cell.beats = beats_with(cell.slashes));
    } else {
        let share = equal_share(chords, beats).ok_or_else(|| cannot_share(place, bar, chords))?;
        cells.iter_mut().for_each(|cell| cell.beats = share);
    }
    Ok(Chords::Written(cells))
}

fn unreadable(word: Text<'_>, unread: Unread) -> Diagnostic {
    let span = word.at + unread.span.start..word.at + unread.span.end;
    let message = format!("`{}` is not a chord symbol", word.shown());
    let problem = Diagnostic::error(span, message, unread.expected);
    if is_count(word.text) {
        let help = "how often a repeat is played stands at its end";
        return problem.help(format!("{help}: `:|{}`", word.text));
    }
    match unread.help {
        Some(help) => problem.help(help),
        None => problem,
    }
}

/// Whether a word says how often something is played: `x3`.
fn is_count(word: &str) -> bool {
    let digits = word.strip_prefix('x').unwrap_or_default();
    !digits.is_empty() && digits.len() < 3 && digits.bytes().all(|byte| byte.is_ascii_digit())
}

fn unknown_jump(word: Text<'_>) -> Diagnostic {
    let known: Vec<String> = Jump::ALL.iter().map(Jump::to_string).collect();
    let message = format!("`{}` is no jump", word.shown());
    Diagnostic::error(word.range(), message, "a jump")
        .help(format!("the jumps are {}", known.join(", ")))
}

fn no_meter(word: Text<'_>) -> Diagnostic {
    let message = format!("`{}` is not a meter", word.shown());
    Diagnostic::error(word.range(), message, "a meter such as 4/4, 3/4 or 6/8")
        .help("the upper number is 1 to 32, the lower 2, 4, 8 or 16")
}

fn not_before(word: Text<'_>) -> Diagnostic {
    let message = format!("`{}` does not belong in a `was` row", word.shown());
    Diagnostic::error(
        word.range(),
        message,
        "chords and slashes, or `%` or `-` alone",
    )
    .help("the `was` row holds the chords a bar had before, `-` where it is as it was")
}

fn empty(body: Text<'_>) -> Diagnostic {
    let span = body.trim_unless_blank().range();
    Diagnostic::error(span, "this bar has no chord", "a chord")
        .help("write `%` to repeat the bar before, or `N.C.` for silence")
}

fn too_many(place: Range<usize>) -> Diagnostic {
    let message = format!("more than {MOST_CHORDS_IN_A_BAR} chords in one bar");
    Diagnostic::error(place, message, "fewer chords")
}

fn slashes_do_not_fill(place: Range<usize>, bar: usize, written: usize) -> Diagnostic {
    let beats = counted(bar, "beat");
    Diagnostic::error(
        place,
        format!("this bar has {beats}, but its chords and slashes make {written}"),
        format!("chords and slashes for {beats}"),
    )
    .help("in a bar with slashes every chord and every `/` lasts one beat")
}

fn cannot_share(place: Range<usize>, bar: usize, chords: usize) -> Diagnostic {
    let beats = counted(bar, "beat");
    Diagnostic::error(
        place,
        format!("{} cannot share {beats} equally", counted(chords, "chord")),
        format!("chords and slashes for {beats}"),
    )
    .help("put a `/` after a chord for each further beat it lasts")
}
