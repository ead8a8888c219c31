//! Other chords in place of some: the page of a reharmonisation, which says what it was before.
//!
//! Where it stops: which chords may stand for which is harmony's business, and how they are voiced
//! the arrangement's. Here only the page is rewritten.

use std::ops::Range;
use std::sync::Arc;

use super::bar_sharing::slashes;
use super::{Bar, Beats, Cell, Chart, Chords, Line, NotReplaced, Slot, Span, Spans, Was, Wish};
use crate::chord::{Chord, Symbol};

/// Chords that take the time of some slots in a row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Replacement {
    /// The slots that go, by their index.
    pub slots: Range<usize>,
    /// What comes, in the order it sounds: it fills their time, and no chord crosses a bar line.
    pub chords: Vec<NewChord>,
}

/// A chord that comes in for others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewChord {
    /// The written bar, counted from 1.
    pub bar: usize,
    /// The beat it starts on, from 1.
    pub beat: Beats,
    /// How many beats it lasts.
    pub beats: Beats,
    /// The chord.
    pub chord: Chord,
}

/// A chord of the new page: its cell, and what the left hand is to do under it.
type PlacedChord = (Beats, Cell, Wish);

impl Chart {
    /// The chart with other chords in place of some.
    ///
    /// The `was` row keeps what stood in a bar before the first time it was changed. What the left
    /// hand had under the chords that go is gone, and so are the remarks about it (`deg`, `move`);
    /// everything else stays. A `%` that repeats a bar which changed is written out, since it sounds
    /// as it did; its `was` keeps the `%`. [`Chart::before`] takes all of it back.
    ///
    /// ```
    /// use compline::chart::{Beats, NewChord, Replacement, read};
    /// use compline::chord::Chord;
    ///
    /// let chart = read("| Dm7 G7 | C6 |").unwrap();
    /// let tritone = Replacement {
    ///     slots: 1..2,
    ///     chords: vec![NewChord {
    ///         bar: 1,
    ///         beat: Beats::whole(3),
    ///         beats: Beats::whole(2),
    ///         chord: Chord::read("Db7").unwrap(),
    ///     }],
    /// };
    /// let new = chart.replaced(&[tritone]).unwrap();
    /// assert_eq!(new.tidy(), "     | Dm7 Db7 | C6 |\nwas  | Dm7 G7  | -  |\n");
    /// assert_eq!(new.before(), chart);
    /// ```
    ///
    /// # Errors
    ///
    /// Replacements that overlap, lie off the page, or don't fill the time of what they replace.
    pub fn replaced(&self, replacements: &[Replacement]) -> Result<Self, NotReplaced> {
        let slots = self.slots();
        let gone = gone(&slots, replacements)?;
        let mut chart = self.clone();
        let mut page = Rewriter::new(&slots, &gone, replacements);
        for section in &mut chart.sections {
            for line in &mut section.lines {
                page.line(line)?;
            }
        }
        Ok(chart)
    }
}

/// For each slot, whether it goes.
fn gone(slots: &[Slot], replacements: &[Replacement]) -> Result<Vec<bool>, NotReplaced> {
    let mut gone = vec![false; slots.len()];
    for replacement in replacements {
        let range = replacement.slots.clone();
        let these = gone
            .get_mut(range.clone())
            .filter(|these| !these.is_empty());
        for (goes, slot) in these.ok_or(NotReplaced::NoSlots)?.iter_mut().zip(range) {
            if std::mem::replace(goes, true) {
                let bar = slots.get(slot).map_or(0, |slot| slot.bar);
                return Err(NotReplaced::Overlap { bar });
            }
        }
    }
    Ok(gone)
}

/// The way through the page, bar by bar.
struct Rewriter<'a> {
    slots: &'a [Slot],
    gone: &'a [bool],
    replacements: &'a [Replacement],
    /// The slot the next bar begins with.
    slot: usize,
    /// The written bar, counted from 1.
    bar: usize,
    /// What sounded in the bar before on the old page, and on the new one.
    sounding: (Vec<Cell>, Vec<Cell>),
}

impl<'a> Rewriter<'a> {
    const fn new(slots: &'a [Slot], gone: &'a [bool], replacements: &'a [Replacement]) -> Self {
        Self {
            slots,
            gone,
            replacements,
            slot: 0,
            bar: 0,
            sounding: (Vec::new(), Vec::new()),
        }
    }

    fn line(&mut self, line: &mut Line) -> Result<(), NotReplaced> {
        let mut touched = false;
        for bar in &mut line.bars {
            touched |= self.bar(bar)?;
        }
        if touched {
            remember(&mut line.bars);
        }
        Ok(())
    }

    /// Rewrites a bar where it has to be; says whether it was.
    fn bar(&mut self, bar: &mut Bar) -> Result<bool, NotReplaced> {
        self.bar += 1;
        let first = self.slot;
        let count = self.slots.iter().skip(first);
        self.slot += count.take_while(|slot| slot.bar == self.bar).count();
        let here = first..self.slot;
        let written = bar.chords.clone();
        let old = written.over(&self.sounding.0).to_vec();
        let repeats_new = written == Chords::Again && self.sounding.0 != self.sounding.1;
        if here.clone().any(|slot| self.gone.get(slot) == Some(&true)) {
            self.rewrite(bar, here)?;
        } else if repeats_new {
            bar.chords = Chords::Written(old.clone());
        }
        let touched = bar.chords != written;
        if touched && !bar.is_changed() {
            bar.was = Some(Was::Other(written));
        }
        let new = bar.chords.over(&self.sounding.1).to_vec();
        self.sounding = (old, new);
        Ok(touched)
    }

    fn rewrite(&self, bar: &mut Bar, here: Range<usize>) -> Result<(), NotReplaced> {
        let mut entries: Vec<PlacedChord> = self.kept(here).chain(self.coming()).collect();
        entries.sort_by_key(|(beat, ..)| *beat);
        let full = Beats::whole(bar.beats.into());
        if !fills(&entries, full) {
            return Err(NotReplaced::DoesNotFill { bar: self.bar });
        }
        write_out(&mut entries, bar.beats).ok_or(NotReplaced::NotWritable { bar: self.bar })?;
        if let Some(hand) = &mut bar.hand {
            *hand = entries.iter().map(|(.., wish)| wish.clone()).collect();
            bar.hand_spans = Spans::default();
        }
        bar.chords = Chords::Written(entries.into_iter().map(|(_, cell, _)| cell).collect());
        Ok(())
    }

    /// The chords of the bar that stay.
    fn kept(&self, here: Range<usize>) -> impl Iterator<Item = PlacedChord> + '_ {
        let slots = self.slots.get(here.clone()).unwrap_or_default();
        let stays = self.gone.get(here).unwrap_or_default();
        let kept = slots.iter().zip(stays).filter(|(_, gone)| !**gone);
        kept.map(|(slot, _)| {
            let cell = Cell {
                held: slot.held,
                ..cell(Arc::clone(&slot.symbol), slot.beats)
            };
            (slot.beat, cell, slot.wish.clone())
        })
    }

    /// The chords that come into the bar.
    fn coming(&self) -> impl Iterator<Item = PlacedChord> + '_ {
        let all = self.replacements.iter().flat_map(|r| &r.chords);
        all.filter(|new| new.bar == self.bar).map(|new| {
            let symbol = Arc::new(Symbol::Chord(new.chord.clone()));
            (new.beat, cell(symbol, new.beats), Wish::PLAN)
        })
    }
}

/// Completes the `was` row of a line; a line in which all is as it was has none.
fn remember(bars: &mut [Bar]) {
    for bar in &mut *bars {
        match bar.was.get_or_insert_default() {
            Was::Other(was) if *was == bar.chords => bar.was = Some(Was::AsNow),
            _ => {}
        }
    }
    if !bars.iter().any(Bar::is_changed) {
        bars.iter_mut().for_each(|bar| bar.was = None);
    }
}

fn cell(symbol: Arc<Symbol>, beats: Beats) -> Cell {
    Cell {
        symbol,
        slashes: 0,
        beats,
        held: false,
        span: Span::default(),
    }
}

/// Whether the chords follow each other without a gap from the first beat to the last.
fn fills(entries: &[PlacedChord], beats: Beats) -> bool {
    let mut at = Beats::whole(1);
    let follow = entries.iter().all(|(beat, cell, _)| {
        let follows = *beat == at && cell.beats > Beats::ZERO;
        at = at + cell.beats;
        follows
    });
    follow && at == beats + Beats::whole(1)
}

/// Gives the chords their slashes; `None` where no number of slashes says how long they last.
fn write_out(entries: &mut [PlacedChord], beats: u8) -> Option<()> {
    let lengths: Vec<Beats> = entries.iter().map(|(_, cell, _)| cell.beats).collect();
    for ((_, cell, _), slashes) in entries.iter_mut().zip(slashes(&lengths, beats)?) {
        cell.slashes = slashes;
    }
    Some(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    fn new(bar: usize, beat: i64, beats: i64, symbol: &str) -> NewChord {
        NewChord {
            bar,
            beat: Beats::whole(beat),
            beats: Beats::whole(beats),
            chord: Chord::read(symbol).unwrap(),
        }
    }

    fn replaced(text: &str, all: &[(Range<usize>, Vec<NewChord>)]) -> Result<String, NotReplaced> {
        let all: Vec<Replacement> = all
            .iter()
            .cloned()
            .map(|(slots, chords)| Replacement { slots, chords })
            .collect();
        let chart = read(text).unwrap();
        let new = chart.replaced(&all)?;
        let reread = read(&new.tidy()).unwrap();
        assert_eq!(reread, new);
        assert_eq!(new.before().slots().len(), chart.slots().len());
        Ok(new.tidy())
    }

    #[test]
    fn a_span_over_bar_lines_is_rewritten_and_the_rest_stays() {
        let text = "| Em7 A7 | Dm7 | G7 | C6 |\nmel | r:4 | D5:4 | r:4 | r:4 |\nlh | ? F3.A3.C4.E4 | ?A | ? | ? |";
        let spans = [(1..3, vec![new(1, 3, 2, "Eb7"), new(2, 1, 4, "D7")])];
        assert_eq!(
            replaced(text, &spans).unwrap(),
            "     | Em7 Eb7 | D7   | G7  | C6  |\n\
             was  | Em7 A7  | Dm7  | -   | -   |\n\
             mel  | r:4     | D5:4 | r:4 | r:4 |\n\
             lh   | ?       | ?    | ?   | ?   |\n"
        );
    }

    #[test]
    fn what_a_percent_sign_repeats_stays_as_it_was() {
        let spans = [(0..1, vec![new(1, 1, 2, "Am7"), new(1, 3, 2, "D7")])];
        let text = replaced("| D7 | % | % | G7 |", &spans).unwrap();
        assert_eq!(
            text,
            "     | Am7 D7 | D7 | % | G7 |\nwas  | D7     | %  | - | -  |\n"
        );
        let spans = [(1..2, vec![new(2, 1, 4, "Ab7")])];
        let text = replaced("| D7 | % | % |", &spans).unwrap();
        assert_eq!(text, "     | D7 | Ab7 | D7 |\nwas  | -  | %   | %  |\n");
    }

    #[test]
    fn slashes_are_written_where_chords_share_unequally() {
        let text = "meter: 3/4\n| G7 | C |";
        let spans = [(0..1, vec![new(1, 1, 2, "Dm7"), new(1, 3, 1, "G7")])];
        assert!(replaced(text, &spans).unwrap().contains("| Dm7 / G7 |"));
        let uneven = [(0..1, vec![new(1, 1, 1, "Dm7"), new(1, 2, 1, "G7")])];
        assert_eq!(
            replaced(text, &uneven),
            Err(NotReplaced::DoesNotFill { bar: 1 })
        );
        let third = |beat: i64| NewChord {
            beat: Beats::new(beat, 2).unwrap(),
            beats: Beats::new(3, 2).unwrap(),
            ..new(1, 1, 1, "G7")
        };
        let halves = [(0..1, vec![third(2), third(5)])];
        assert_eq!(
            replaced(text, &halves),
            Err(NotReplaced::NotWritable { bar: 1 })
        );
    }

    #[test]
    fn replacements_do_not_meet_and_lie_on_the_page() {
        let one = (0..2, vec![new(1, 1, 4, "C")]);
        let both = [one.clone(), (1..2, vec![new(1, 3, 2, "Db7")])];
        let overlap = Err(NotReplaced::Overlap { bar: 1 });
        assert_eq!(replaced("| Dm7 G7 |", &both), overlap);
        let off = [(1..3, vec![new(1, 3, 2, "Db7")])];
        assert_eq!(replaced("| Dm7 G7 |", &off), Err(NotReplaced::NoSlots));
    }

    #[test]
    fn the_first_chords_of_a_bar_are_what_it_was() {
        let chart = read("| Dm7 G7 | C6 |\nlh | F3.A3.C4.E4 ? | ? |").unwrap();
        let once = Replacement {
            slots: 1..2,
            chords: vec![new(1, 3, 2, "Db7")],
        };
        let twice = Replacement {
            slots: 0..1,
            chords: vec![new(1, 1, 2, "Abm7")],
        };
        let chart = chart.replaced(&[once]).unwrap().replaced(&[twice]).unwrap();
        let text = chart.tidy();
        assert!(
            text.contains("| Abm7 Db7 |") && text.contains("was  | Dm7  G7"),
            "{text}"
        );
        let before = chart.before().tidy();
        assert_eq!(before, "     | Dm7 G7 | C6 |\nlh   | ?      | ?  |\n");
    }

    #[test]
    fn a_bar_that_is_as_it_was_again_says_nothing() {
        let text = "     | Dm7 G7 | C6 |\n";
        let there = replaced(text, &[(1..2, vec![new(1, 3, 2, "Db7")])]).unwrap();
        let back = replaced(&there, &[(1..2, vec![new(1, 3, 2, "G7")])]).unwrap();
        assert_eq!(back, text);
    }

    #[test]
    fn what_the_hand_has_under_the_chords_that_stay_comes_back() {
        let text = "     | Dm7         G7 | % | C6 |\nlh   | F3.A3.C4.E4 ?  | ? | ?  |\n";
        let new = replaced(text, &[(1..2, vec![new(1, 3, 2, "Db7")])]).unwrap();
        assert_eq!(read(&new).unwrap().before().tidy(), text);
    }
}
