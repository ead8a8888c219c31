//! Reads suppressions: comments in a chart by which a musician says that something is meant as it is. The
//! word in the comment is `waive`.
//!
//! ```text
//! ; waive restless-hand: the leaps are the tune's joke
//! title: Fog on the Slipway
//! [A]
//! ; waive muddy: low on purpose, the bass player rests
//!      | Fm7         | Bb7 |
//! lh   | F2.Ab2.Eb3  | ?   |  ; waive minor-ninth, rubs-the-melody in bar 1.1: the melody asks for it
//! ```
//!
//! A suppression names rules, and gives its reason behind the colon; without a reason it suppresses nothing.
//! Above or beside a row of music it holds for the bars of that line, above or beside a heading for
//! the section, among the header lines, before everything else or below everything else for the
//! whole chart. `in bar 7` (the written bar), `in bars 7-9` or `in bar 7.2` (the second chord in it) says so itself, wherever the suppression stands.
//!
//! A comment that only begins with the word is none: `; waive the coda tonight`. Meant as a waiver is
//! one that names a rule, or nearly one, first of all; or that gives a reason behind a colon and, before
//! it, a rule, nearly one, nothing at all, or a list of single words with commas between them. So a
//! misspelled rule is found, and a sentence to the band is left alone.
//!
//! That a suppression is wrong or of no use is said by the rule `waiver`.

use std::ops::{Range, RangeInclusive};

use super::rule::{Rule, Test};
use super::rules::rule;
use super::suppression::{Mistake, Scope, Suppression, Suppressions};
use super::unknown_rule::UnknownRule;
use crate::chart::{Chart, LineRow, Span};

/// What a comment that suppresses begins with, in large or small letters.
const WORD: &[u8] = b"waive";

/// Reads the suppressions in the comments of a chart's source.
pub(super) fn read(chart: &Chart, source: &str) -> Suppressions {
    let mut suppressions = Suppressions::default();
    let mut words = source.as_bytes().windows(WORD.len());
    if !words.any(|word| word.eq_ignore_ascii_case(WORD)) {
        return suppressions;
    }
    let bars = chart.bars().count();
    for (comment, scope) in comments(chart, source) {
        let text = source.get(comment.clone()).unwrap_or_default();
        add_comment(
            &mut suppressions,
            text.trim_start_matches(';'),
            Span::new(comment),
            &scope,
            bars,
        );
    }
    suppressions
}

/// Reads suppressions that came beside a chart, one a line, as [`waivers`] writes them.
pub(super) fn beside(chart: &Chart, lines: &str) -> Suppressions {
    let mut suppressions = Suppressions::default();
    let bars = chart.bars().count();
    let mut at = 0;
    for line in lines.split('\n') {
        let span = Span::new(at..at + line.len());
        add_comment(&mut suppressions, line, span, &Scope::Chart, bars);
        at += line.len() + 1;
    }
    suppressions
}

/// Adds what a comment suppresses, or what is wrong with it.
fn add_comment(
    suppressions: &mut Suppressions,
    text: &str,
    span: Span,
    scope: &Scope,
    bars: usize,
) {
    let Some((named, reason)) = suppression(text) else {
        return;
    };
    let (names, place) = parted(named);
    if !is_meant(&names, named, reason.is_some()) {
        return;
    }
    // Without a colon it isn't known where the names end.
    let names = match reason {
        Some(_) => names,
        None => names.into_iter().take(1).collect(),
    };
    let reason = reason.unwrap_or_default();
    let scope = match place.map(|place| scope_of(place, bars)) {
        None => scope.clone(),
        Some(Ok(scope)) => scope,
        Some(Err(mistake)) => return suppressions.bad.push((mistake, span)),
    };
    let bad = &mut suppressions.bad;
    bad.extend(lacking(&names, reason).map(|mistake| (mistake, span)));
    for name in names {
        match rule(name) {
            None => bad.push((Mistake::Unknown(UnknownRule::new(name)), span)),
            Some(_) if reason.is_empty() => {}
            Some(rule) => {
                let good = suppressed(rule, reason, span, scope.clone());
                suppressions.good.push(good);
            }
        }
    }
}

/// What a comment lacks: a rule, or the reason for one.
fn lacking(names: &[&str], reason: &str) -> Option<Mistake> {
    if names.is_empty() {
        return Some(Mistake::NoRule);
    }
    let is_any_known = names.iter().any(|name| rule(name).is_some());
    (reason.is_empty() && is_any_known).then_some(Mistake::NoReason)
}

/// A rule that is not to be held against a place.
fn suppressed(rule: &Rule, reason: &str, span: Span, scope: Scope) -> Suppression {
    Suppression {
        rule: rule.name,
        moves: matches!(rule.check, Test::Motion(_)),
        reason: reason.to_owned(),
        span,
        scope,
    }
}

/// The suppressions of a chart that can be used, one a line, each with its place in it: so that they can go
/// with a chart where its comments can't.
///
/// ```
/// use compline::chart;
/// use compline::check::waivers;
///
/// let source = "| Em7 | Am7 | ; waive muddy: low on purpose\nlh | D3.E3.G3 | ? |";
/// let chart = chart::read(source).unwrap();
/// assert_eq!(waivers(&chart, source), ["waive muddy in bars 1-2: low on purpose"]);
/// ```
pub fn waivers(chart: &Chart, source: &str) -> Vec<String> {
    let all = read(chart, source).good.into_iter();
    let said = all.map(|suppression| {
        let place = match &suppression.scope {
            Scope::Chart => String::new(),
            Scope::Bars(bars) if bars.start() == bars.end() => format!(" in bar {}", bars.start()),
            Scope::Bars(bars) => format!(" in bars {}-{}", bars.start(), bars.end()),
            Scope::Chord(bar, chord) => format!(" in bar {bar}.{chord}"),
        };
        let (rule, reason) = (suppression.rule, suppression.reason);
        format!("waive {rule}{place}: {reason}")
    });
    said.collect()
}

/// What stands between `waive` and the colon, and the reason behind it, if the comment begins with
/// that word.
fn suppression(comment: &str) -> Option<(&str, Option<&str>)> {
    let comment = comment.trim();
    let (word, rest) = comment.split_at_checked(WORD.len())?;
    if !word.as_bytes().eq_ignore_ascii_case(WORD) {
        return None;
    }
    let ends = rest.is_empty() || rest.starts_with(|c: char| c.is_whitespace() || c == ':');
    let (named, reason) = match rest.split_once(':') {
        Some((named, reason)) => (named, Some(reason.trim())),
        None => (rest, None),
    };
    ends.then(|| (named.trim(), reason))
}

/// Whether a comment that begins with `waive` is meant as a suppression, and isn't a sentence.
fn is_meant(names: &[&str], named: &str, reasoned: bool) -> bool {
    let known = |name: &&str| rule(name).is_some() || UnknownRule::new(name).nearest.is_some();
    let first = names.first().is_none_or(known);
    if !reasoned {
        return first;
    }
    let listed = named.split(" in ").next().unwrap_or_default().split(',');
    let single = |name: &str| name.split_whitespace().count() <= 1;
    first || names.iter().any(known) || listed.into_iter().all(single)
}

/// The names, and the place behind a last `in`.
fn parted(named: &str) -> (Vec<&str>, Option<&str>) {
    let mut start = 0;
    let mut words = named.split_whitespace().map(|word| {
        let at = named
            .get(start..)
            .and_then(|rest| rest.find(word))
            .unwrap_or(0)
            + start;
        start = at + word.len();
        (at, word)
    });
    let place = words.find(|(_, word)| *word == "in");
    let (names, place) = match place {
        Some((at, _)) => (named.get(..at), named.get(at + 2..).map(str::trim)),
        None => (Some(named), None),
    };
    let names = names.unwrap_or_default().split([',', ' ', '\t']);
    (names.filter(|name| !name.is_empty()).collect(), place)
}

/// `bar 7`, `bars 7-9` or `bar 7.2`; the word may be left out.
fn scope_of(place: &str, bars: usize) -> Result<Scope, Mistake> {
    let wrong = || Mistake::NoSuchBar(place.to_owned());
    let number = place
        .strip_prefix("bars")
        .or_else(|| place.strip_prefix("bar"));
    let number = number.unwrap_or(place).trim();
    let read = |digits: &str| digits.parse().ok().filter(|number| *number > 0);
    if let Some((first, last)) = number.split_once('-') {
        let both = read(first.trim()).zip(read(last.trim()));
        let both = both.filter(|(first, last)| first <= last && *last <= bars);
        return both
            .map(|(first, last)| Scope::Bars(first..=last))
            .ok_or_else(wrong);
    }
    let (bar, chord) = match number.split_once('.') {
        Some((bar, chord)) => (read(bar), Some(read(chord).ok_or_else(wrong)?)),
        None => (read(number), None),
    };
    let bar = bar.filter(|bar| *bar <= bars).ok_or_else(wrong)?;
    Ok(match chord {
        Some(chord) => Scope::Chord(bar, chord),
        None => Scope::Bars(bar..=bar),
    })
}

/// The comments of a source, from their `;` on, each with what it would hold for.
fn comments(chart: &Chart, source: &str) -> Vec<(Range<usize>, Scope)> {
    let ground = Outline::of(chart);
    let (mut found, mut waiting) = (Vec::new(), Vec::new());
    let (mut line_scope, mut at, mut begun) = (Scope::Chart, 0, false);
    for line in source.split(['\n', '\r']) {
        let content = line.find(';').unwrap_or(line.len());
        let comment = (content < line.len()).then(|| at + content..at + line.trim_end().len());
        let text = line.get(..content).unwrap_or_default();
        let range = at..at + content;
        at += line.len() + 1;
        if text.trim_matches(['\u{feff}', ' ', '\t']).trim().is_empty() {
            waiting.extend(comment);
            continue;
        }
        let scope = ground.scope(&range, text, &line_scope);
        let Some(scope) = scope else {
            // A meter between lines: its comments are for the line below.
            waiting.extend(comment);
            continue;
        };
        let above = if begun { scope.clone() } else { Scope::Chart };
        found.extend(waiting.drain(..).map(|range| (range, above.clone())));
        found.extend(comment.map(|range| (range, scope.clone())));
        (line_scope, begun) = (scope, true);
    }
    found.extend(waiting.into_iter().map(|range| (range, Scope::Chart)));
    found
}

/// Where headings, bars and the end of the header stand in the source.
struct Outline {
    /// The byte each bar starts at, rising.
    bars: Vec<usize>,
    /// The byte each named section's heading starts at, and its bars.
    sections: Vec<(usize, RangeInclusive<usize>)>,
}

impl Outline {
    fn of(chart: &Chart) -> Self {
        let mut first = 1;
        let mut sections = Vec::new();
        for section in chart.sections() {
            let bars = section
                .lines
                .iter()
                .map(|line| line.bars.len())
                .sum::<usize>();
            if section.name.is_some() {
                sections.push((section.span.range().start, first..=first + bars.max(1) - 1));
            }
            first += bars;
        }
        Self {
            bars: chart.bars().map(|bar| bar.span.range().start).collect(),
            sections,
        }
    }

    /// What a comment at this line holds for; `None` for a meter between two lines.
    fn scope(&self, line: &Range<usize>, text: &str, before: &Scope) -> Option<Scope> {
        let first = self.bars.partition_point(|at| *at < line.start);
        let end = self.bars.partition_point(|at| *at <= line.end);
        if first < end {
            return Some(Scope::Bars(first + 1..=end));
        }
        let heading = self.sections.partition_point(|(at, _)| *at < line.start);
        let heading = self.sections.get(heading).filter(|(at, _)| *at <= line.end);
        if let Some((_, bars)) = heading {
            return Some(Scope::Bars(bars.clone()));
        }
        if first == 0 {
            return Some(Scope::Chart);
        }
        let word = text.trim_start().split(|c: char| !c.is_alphabetic()).next();
        let labelled =
            |row: &LineRow| word.is_some_and(|word| row.label().eq_ignore_ascii_case(word));
        let is_row = LineRow::ALL.iter().skip(1).any(labelled);
        is_row.then(|| before.clone())
    }
}

#[cfg(test)]
mod tests;
