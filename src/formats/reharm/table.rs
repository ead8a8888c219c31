//! The list of proposals for people: a line each in a table of at most 80 columns, or a paragraph each.

use std::fmt::Write;

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::harmony::{Fit, MelodyFit};
use crate::reharm::{Band, Listed, Ranking, Strain};

/// How wide the table is at the most.
const WIDTH: usize = 80;

/// The columns that hold numbers, with the gaps before them.
const NUMBERS: usize = "  saves  strain".len();

/// What a price is made of: a chord with fewer tensions saves surcharges, and the hand need not move less.
const EFFORT: &str = "motion and surcharges of the whole tune together";

/// The least width of a column of chords.
const NARROW: usize = 12;

/// What the columns of numbers say: `strain: to 2 gentle, 5 medium, 9 bold, more beyond`.
fn key() -> String {
    let bands = Band::ALL.map(|band| match band.most() {
        Some(most) => format!("{most} {band}"),
        None => format!("more {band}"),
    });
    format!(
        "saves: effort, in semitones; strain: to {}\n",
        bands.join(", ")
    )
}

/// The proposals as a table: the first `most` of those that bring something, then what is left over in a
/// line; with no `most` all of them, those that move the bass alone under a heading.
pub fn ranking_text(ranking: &Ranking, most: Option<usize>) -> String {
    if ranking.is_empty() {
        return String::new();
    }
    let shown = ranking.best.iter().take(most.unwrap_or(usize::MAX));
    let idle = ranking.idle.iter().filter(|_| most.is_none());
    let main: Vec<&Listed> = shown.chain(idle).collect();
    let bass: Vec<&Listed> = ranking
        .bass_only
        .iter()
        .filter(|_| most.is_none())
        .collect();
    let columns = Columns::of(main.iter().chain(&bass).copied());
    let mut text = columns.line(["name", "was", "becomes"], ["saves", "strain"]);
    main.iter().for_each(|one| text += &columns.row(one));
    if !bass.is_empty() {
        text += "\nthe bass alone moves, which a hand without roots doesn't play:\n";
        bass.iter().for_each(|one| text += &columns.row(one));
    }
    text + &key() + &left_over(ranking, main.len() + bass.len())
}

/// How many there are besides those that are shown.
fn left_over(ranking: &Ranking, shown: usize) -> String {
    match ranking.len() - shown {
        0 => String::new(),
        more => format!("{more} more: --all lists them\n"),
    }
}

/// The widths of the columns of text.
struct Columns([usize; 3]);

impl Columns {
    fn of<'a>(listed: impl Iterator<Item = &'a Listed> + Clone) -> Self {
        let widest = |cell: fn(&Listed) -> String, least: usize| {
            let widths = listed.clone().map(|one| cell(one).width());
            widths.max().unwrap_or(0).max(least)
        };
        let name = widest(|one| one.name.to_string(), "name".len());
        let was = widest(Listed::was, "was".len());
        let becomes = widest(Listed::becomes, "becomes".len());
        let room = WIDTH.saturating_sub(name + NUMBERS + 4);
        let was = was.min(room.saturating_sub(becomes).max(room / 3).max(NARROW));
        let becomes = becomes.min(room.saturating_sub(was).max(NARROW));
        Self([name, was, becomes])
    }

    fn row(&self, listed: &Listed) -> String {
        let saves = listed
            .price
            .map_or("-".to_owned(), |price| (-price).to_string());
        let strain = listed.judgement.strain.total().to_string();
        let name = listed.name.to_string();
        self.line([&name, &listed.was(), &listed.becomes()], [&saves, &strain])
    }

    fn line(&self, texts: [&str; 3], numbers: [&str; 2]) -> String {
        let mut line = String::new();
        for (text, width) in texts.into_iter().zip(self.0) {
            let text = cut(text, width);
            let gap = width.saturating_sub(text.width()) + 2;
            let _ = write!(line, "{text}{:gap$}", "");
        }
        let [saves, strain] = numbers;
        let _ = writeln!(line, "{saves:>5}  {strain:>6}");
        line
    }
}

/// A text in so many columns, what is too long cut off with a sign.
fn cut(text: &str, width: usize) -> String {
    if text.width() <= width {
        return text.to_owned();
    }
    let mut room = width.saturating_sub(1);
    let fits = |c: &char| {
        let wide = c.width().unwrap_or(0);
        let fits = wide <= room;
        room = room.saturating_sub(wide);
        fits
    };
    let kept: String = text.chars().take_while(fits).collect();
    format!("{kept}…")
}

/// Proposals with their reasons: a paragraph each.
pub fn reasons_text<'a>(listed: impl Iterator<Item = &'a Listed>) -> String {
    let paragraphs: Vec<String> = listed.map(reasons).collect();
    paragraphs.join("\n")
}

fn reasons(listed: &Listed) -> String {
    let mut text = format!("{}\n  {}\n", listed.name, listed.proposal.why);
    let melody = melody(&listed.proposal.melody);
    if !melody.is_empty() {
        let _ = writeln!(text, "  melody: {melody}");
    }
    let judgement = &listed.judgement;
    let _ = writeln!(text, "  strain {}", strain(judgement.strain));
    match judgement.leads_on {
        0 => {}
        1.. => text += &format!("  leads on: {} more than written\n", judgement.leads_on),
        _ => text += &format!("  leads on: {} fewer than written\n", -judgement.leads_on),
    }
    match listed.price {
        Some(price @ 1..) => text += &format!("  effort: {price} more, {EFFORT}\n"),
        Some(price @ ..=-1) => text += &format!("  effort: {} less, {EFFORT}\n", -price),
        Some(_) => text += "  effort: the same\n",
        None => {}
    }
    if judgement.poorer {
        text += "  has fewer tones than what is written, so less to voice: what that saves isn't ranked\n";
    }
    if judgement.idle {
        text += "  brings nothing that doesn't stand beside it already\n";
    }
    if judgement.bass_only {
        text += "  moves the bass alone, which a hand without roots doesn't play\n";
    }
    if judgement.dull {
        text += "  puts a chord of the key for another, and nothing more leads on\n";
    }
    text
}

/// `5, medium: length 2, tones 2, outside 1`.
fn strain(strain: Strain) -> String {
    let parts = [
        ("length", strain.length),
        ("tones", strain.tones),
        ("way on", strain.way_on),
        ("outside", strain.outside),
        ("degree", strain.degree),
        ("style", strain.style),
    ];
    let parts = parts.iter().filter(|(_, points)| *points > 0);
    let parts: Vec<String> = parts
        .map(|(name, points)| format!("{name} {points}"))
        .collect();
    let colon = if parts.is_empty() { "" } else { ": " };
    format!(
        "{}, {}{colon}{}",
        strain.total(),
        strain.band(),
        parts.join(", ")
    )
}

/// What each note of the melody becomes: `G4 5 -> b9`, or for one that several new chords hear,
/// `G4 3 -> 3 then b7`.
fn melody(sung: &[MelodyFit]) -> String {
    let same = |a: &MelodyFit, b: &MelodyFit| a.bar == b.bar && a.note == b.note;
    if !sung.is_empty() && sung.iter().all(|sung| sung.before == sung.after) {
        return "every note stays what it was".to_owned();
    }
    // What several chords hear stands once under each: brought together at the first of them.
    let mut notes: Vec<Vec<&MelodyFit>> = Vec::new();
    for one in sung {
        match notes
            .iter_mut()
            .find(|heard| heard.iter().any(|other| same(one, other)))
        {
            Some(heard) => heard.push(one),
            None => notes.push(vec![one]),
        }
    }
    notes.sort_by_key(|heard| heard.first().map(|sung| (sung.bar, sung.note.beat)));
    let notes = notes.iter().filter_map(|heard| note(heard));
    notes.collect::<Vec<_>>().join(", ")
}

/// One note under all the new chords that hear it.
fn note(heard: &[&MelodyFit]) -> Option<String> {
    let first = heard.first()?;
    let mut after: Vec<String> = heard.iter().map(|sung| over(sung)).collect();
    after.dedup();
    let after = after.join(" then ");
    Some(format!("{} {} -> {after}", first.note.note, first.before))
}

fn over(sung: &MelodyFit) -> String {
    match sung.fit {
        Fit::Passing => format!("{} (passing)", sung.after),
        _ => sung.after.to_string(),
    }
}
