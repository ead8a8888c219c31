//! An arrangement as notated bars.

use std::ops::Range;

use super::bar::{PageBar, page, signs};
use super::ties::ties;
use super::{BarSigns, NoteValue, NotesOrRest, Quarters, ScoreBar, StartStop, Tempo, written};
use crate::arrange::{Arranged, Arrangement};
use crate::chart::{Bar, Chart, Event, Field, Meter};
use crate::pitch::Key;

/// An arrangement as it is written on two staves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Score {
    /// The title.
    pub title: Option<String>,
    /// What the chart says beside title, key, meter, tempo and order: names and values, such as
    /// `composer` or `style`.
    pub remarks: Vec<(String, String)>,
    /// The key at the beginning, if the chart says.
    pub key: Option<Key>,
    /// The tempo at the beginning, if the chart says.
    pub tempo: Option<Tempo>,
    /// The meter the chart is in.
    pub meter: Meter,
    /// Whether there is a melody at all.
    pub has_melody: bool,
    /// The bars in the order they are written.
    pub bars: Vec<ScoreBar>,
}

impl Score {
    /// The score of an arrangement: the page with its repeats, endings and jumps. Where `play` gives
    /// an order of sections that is not the page's, that order is written out, since no other
    /// program's page knows one.
    pub fn of(arrangement: &Arrangement) -> Self {
        let chart = &arrangement.chart;
        let bars = bars(arrangement);
        let mut score = Self {
            title: chart.title().map(str::to_owned),
            remarks: remarks(chart),
            key: bars.first().map_or(chart.key(), |bar| bar.key),
            tempo: bars.first().and_then(|bar| bar.tempo),
            meter: chart.meter(),
            has_melody: chart
                .bars()
                .any(|bar| events(bar.melody.as_deref()).any(|e| e.note.is_some())),
            bars,
        };
        let pickup = score.has_pickup();
        if let Some(first) = score.bars.first_mut().filter(|_| pickup) {
            rests_of_pickup(first);
        }
        score
    }

    /// Whether it begins with a pickup: a first bar that is shorter than the meter. No print counts it (common
    /// practice, no source); places in a chart do.
    pub fn has_pickup(&self) -> bool {
        let first = self.bars.first().filter(|_| self.bars.len() > 1);
        first.is_some_and(|bar| Quarters::of_bar(bar.meter) < Quarters::of_bar(self.meter))
    }

    /// The number that is printed for a bar of the chart that is `number` from 1: 0 for a pickup.
    pub fn printed_number(&self, number: usize) -> usize {
        number.saturating_sub(usize::from(self.has_pickup()))
    }
}

/// The bars of an arrangement, in the order they are written.
fn bars(arrangement: &Arrangement) -> Vec<ScoreBar> {
    let chart = &arrangement.chart;
    let page = page(chart);
    let slots = slots_of_bars(&arrangement.slots, page.len());
    let order = chart.order_of_sections();
    let mut sequence = Vec::new();
    for part in parts(&page, order.as_deref()) {
        let signs = signs(page.get(part.clone()).unwrap_or_default(), order.is_none());
        let of_part = part.zip(signs);
        sequence.extend(of_part.filter_map(|(at, signs)| Some((at, page.get(at)?, signs))));
    }
    let written: Vec<&Bar> = sequence.iter().map(|(_, page, _)| page.bar).collect();
    let ties = ties(&written);
    let bars = sequence.into_iter().zip(ties);
    let bars = bars.map(|((at, page, signs), tie)| {
        let slots = slots.get(at).cloned();
        let slots = slots.and_then(|slots| arrangement.slots.get(slots));
        score_bar(chart, (at, page), slots.unwrap_or_default(), (signs, tie))
    });
    bars.collect()
}

/// In a pickup a rest has its own value: the sign for a whole bar would be read as one of the meter's length (common
/// practice, no source).
fn rests_of_pickup(bar: &mut ScoreBar) {
    let written = bar.melody.iter_mut().chain(&mut bar.hand);
    for rest in written.filter(|written| written.value.is_none()) {
        rest.value = NoteValue::of(rest.length);
    }
}

fn events(melody: Option<&[Event]>) -> impl Iterator<Item = &Event> {
    melody.unwrap_or_default().iter()
}

fn remarks(chart: &Chart) -> Vec<(String, String)> {
    let entries = chart.header.entries.iter();
    let other = entries.filter_map(|entry| match &entry.field {
        Field::Other { name, value } => Some((name.clone(), value.clone())),
        _ => None,
    });
    other.collect()
}

/// The stretches of the page that are written one after the other.
fn parts(page: &[PageBar<'_>], order: Option<&[usize]>) -> Vec<Range<usize>> {
    let Some(order) = order else {
        return std::iter::once(0..page.len()).collect();
    };
    let part = |section: &usize| {
        let start = page.partition_point(|bar| bar.section < *section);
        start..page.partition_point(|bar| bar.section <= *section)
    };
    order.iter().map(part).collect()
}

/// For every bar of the page, which slots are its.
pub(super) fn slots_of_bars(slots: &[Arranged], bars: usize) -> Vec<Range<usize>> {
    let of_bar = |number: usize| {
        let start = slots.partition_point(|one| one.slot.bar < number);
        start..slots.partition_point(|one| one.slot.bar <= number)
    };
    (1..=bars).map(of_bar).collect()
}

fn score_bar(
    chart: &Chart,
    (at, page): (usize, &PageBar<'_>),
    slots: &[Arranged],
    (signs, tie): (BarSigns, StartStop),
) -> ScoreBar {
    let meter = page.meter;
    let section = chart.sections().get(page.section).filter(|_| page.heads);
    let chords = slots.iter().map(|one| {
        let beat = Quarters::of_beats(one.slot.beat, meter);
        let one_beat = Quarters::of_beats(crate::chart::Beats::whole(1), meter);
        (beat - one_beat, one.slot.symbol.clone())
    });
    let melody = melody(page, tie);
    let hand: Vec<NotesOrRest> = slots.iter().map(|one| hand(one, meter)).collect();
    ScoreBar {
        number: at + 1,
        section: section.and_then(|section| section.name.clone()),
        begins_line: page.begins_line,
        meter,
        key: page.key,
        tempo: page.tempo,
        signs,
        chords: chords.collect(),
        melody: written(&melody, meter, page.key),
        hand: written(&hand, meter, page.key),
    }
}

/// The melody of a bar; `tie` says whether its first note comes from a bar before and its last one goes on.
fn melody(page: &PageBar<'_>, tie: StartStop) -> Vec<NotesOrRest> {
    let last = events(page.bar.melody.as_deref()).count().saturating_sub(1);
    let sound = |(number, event): (usize, &Event)| NotesOrRest {
        notes: event.note.into_iter().collect(),
        length: Quarters::of_beats(event.beats, page.meter),
        tie: StartStop {
            starts: tie.starts && number == last,
            stops: tie.stops && number == 0,
        },
    };
    events(page.bar.melody.as_deref())
        .enumerate()
        .map(sound)
        .collect()
}

fn hand(one: &Arranged, meter: Meter) -> NotesOrRest {
    let notes = one.voicing.iter().flat_map(|voicing| voicing.notes.iter());
    NotesOrRest {
        notes: notes.map(|voiced| voiced.note).collect(),
        length: Quarters::of_beats(one.slot.beats, meter),
        tie: StartStop::default(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arrange::{Cache, Settings, arrange};
    use crate::chart::read;

    fn score(source: &str) -> Score {
        let chart = read(source).unwrap();
        Score::of(&arrange(chart, &Settings::default(), &mut Cache::default()).unwrap())
    }

    #[test]
    fn endings_stop_where_the_next_begins() {
        let score = score("|: C | F |1 G :|2 C | Am || F ||");
        let stops: Vec<(usize, bool)> = score
            .bars
            .iter()
            .filter_map(|bar| Some((bar.number, bar.signs.ending_stop.as_ref()?.goes_back)))
            .collect();
        assert_eq!(stops, [(3, true), (5, false)]);
    }

    #[test]
    fn an_order_of_sections_is_written_out_with_its_repeats() {
        let score = score("play: B A B\n[A]\n| C @fine |\n[B]\n|: F | G7 :|\n");
        let numbers: Vec<usize> = score.bars.iter().map(|bar| bar.number).collect();
        assert_eq!(numbers, [2, 3, 1, 2, 3]);
        assert!(score.bars[0].signs.opens_repeat && score.bars[2].signs.jumps.is_empty());
    }

    #[test]
    fn a_melody_note_is_tied_over_the_bar_line() {
        let score = score(
            "| C | F |1 G :|2 C |\nmel | r:3 F#5:1- | F#5:1 F#5:1 F#5:2- | F#5:4 | F#5:4 |\n",
        );
        let ties: Vec<(usize, bool, bool, Option<i8>)> = score
            .bars
            .iter()
            .flat_map(|bar| bar.melody.iter().map(move |w| (bar.number, w)))
            .filter(|(_, w)| !w.is_rest())
            .map(|(bar, w)| (bar, w.tie.stops, w.tie.starts, w.accidentals[0]))
            .collect();
        // A tied note needs no accidental, the next one on its line does. Both endings go on from the bar
        // in front of the first.
        let expected = [
            (1, false, true, Some(1)),
            (2, true, false, None),
            (2, false, false, Some(1)),
            (2, false, true, None),
            (3, true, false, None),
            (4, true, false, None),
        ];
        assert_eq!(ties, expected);
    }

    #[test]
    fn a_hand_that_is_held_over_the_beats_is_tied() {
        let score = score("meter: 5/4\n| C7 |\n");
        let hand = &score.bars[0].hand;
        assert_eq!(hand.len(), 2);
        assert!(hand[0].tie.starts && hand[1].tie.stops);
        assert_eq!(hand[0].notes, hand[1].notes);
    }
}
