//! A passage to try techniques on, read from chart text.

use std::collections::BTreeMap;

use crate::chart::{self, Beats, Chart, Slot};
use crate::harmony::{Passage, Spot};
use crate::pitch::{Interval, Name};
use crate::reharm::techniques::named;
use crate::reharm::{Proposal, proposals, proposals_at};

/// A chart taken as one straight passage, its last chord marked off by `next` if wanted.
pub(super) struct Stage {
    chart: Chart,
    slots: Vec<Slot>,
}

impl Stage {
    pub(super) fn new(key: &str, rows: &str) -> Self {
        Self::of(chart::read(&format!("key: {key}\n{rows}")).unwrap())
    }

    pub(super) fn of(chart: Chart) -> Self {
        let slots = chart.slots();
        Self { chart, slots }
    }

    /// The same passage with its tonic on another name.
    pub(super) fn moved(&self, tonic: &str) -> Self {
        let tonic: Name = tonic.parse().unwrap();
        let from = self.chart.key().unwrap().tonic();
        let by = Interval::between(from, tonic).nearer();
        Self::of(self.chart.transposed(by).unwrap())
    }

    pub(super) fn spots(&self) -> Vec<Spot<'_>> {
        let key = self.chart.key();
        let spot = |slot| Spot::of(slot, key).unwrap();
        self.slots.iter().map(spot).collect()
    }

    /// What one technique proposes anywhere in the passage.
    pub(super) fn by(&self, technique: &str) -> Vec<Proposal> {
        let spots = self.spots();
        let passage = Passage {
            spots: &spots,
            next: None,
        };
        let way = named(technique).unwrap();
        (0..spots.len())
            .flat_map(|at| proposals_at(way, &passage, at))
            .collect()
    }

    pub(super) fn all(&self) -> Vec<Proposal> {
        let spots = self.spots();
        proposals(&Passage {
            spots: &spots,
            next: None,
        })
    }

    /// The bars as they are written.
    pub(super) fn written(&self) -> String {
        printed(
            self.slots
                .iter()
                .map(|s| (s.bar, s.beats, s.symbol.text().to_owned())),
        )
    }

    /// The bars with a proposal put in.
    pub(super) fn with(&self, proposal: &Proposal) -> String {
        let slots = self.slots.iter().enumerate();
        let kept = slots.filter(|(at, _)| !proposal.spots.contains(at));
        let mut cells = BTreeMap::new();
        for (_, s) in kept {
            cells.insert((s.bar, s.beat), (s.beats, s.symbol.text().to_owned()));
        }
        for new in &proposal.chords {
            cells.insert(
                (new.bar, new.beat),
                (new.beats, new.chord.symbol().to_owned()),
            );
        }
        printed(
            cells
                .into_iter()
                .map(|((bar, _), (beats, text))| (bar, beats, text)),
        )
    }

    /// Everything a technique makes of the passage, as bars.
    pub(super) fn outcomes(&self, technique: &str) -> Vec<String> {
        self.by(technique).iter().map(|p| self.with(p)).collect()
    }
}

/// `| Dm7:2 G7:2 | Cmaj7:4 |`, so that lengths are compared as well.
fn printed(cells: impl Iterator<Item = (usize, Beats, String)>) -> String {
    let mut text = String::new();
    let mut bar = 0;
    for (number, beats, symbol) in cells {
        text += if number == bar { " " } else { " | " };
        text += &format!("{symbol}:{beats}");
        bar = number;
    }
    text
}

/// Whether a technique makes each of `after` of `before`, all in this key, with the tonic moved; what it
/// makes instead, if it doesn't.
pub(super) fn made(
    key: &str,
    technique: &str,
    before: &str,
    after: &[&str],
    tonic: &str,
) -> Result<(), String> {
    let outcomes = Stage::new(key, before).moved(tonic).outcomes(technique);
    let sounding: Vec<String> = outcomes.iter().map(|one| sounds(one)).collect();
    let is_made = |after: &&&str| {
        let wanted = sounds(&Stage::new(key, after).moved(tonic).written());
        sounding.contains(&wanted)
    };
    match after.iter().find(|after| !is_made(after)) {
        None => Ok(()),
        Some(after) => Err(format!("{technique} on {tonic}: no {after}: {outcomes:#?}")),
    }
}

/// Bars with pitch classes for names, so that C# and Db are the same.
pub(super) fn sounds(bars: &str) -> String {
    let class = |name: Name| name.class().number().to_string();
    let one = |token: &str| match Name::split(token) {
        Some((root, rest)) => match rest.split_once('/').map(|(a, b)| (a, Name::split(b))) {
            Some((ending, Some((bass, rest)))) => {
                format!("{} {ending}/{}{rest}", class(root), class(bass))
            }
            _ => format!("{} {rest}", class(root)),
        },
        None => token.to_owned(),
    };
    let all: Vec<String> = bars.split(' ').map(one).collect();
    all.join(" ")
}

/// The bars of some rows, in the same writing.
pub(super) fn bars(key: &str, rows: &str) -> String {
    Stage::new(key, rows).written()
}

/// The twelve tonics, by their everyday names.
pub(super) const TONICS: [&str; 12] = [
    "C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B",
];
