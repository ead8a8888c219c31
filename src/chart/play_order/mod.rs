//! The form of a chart: in which order its written bars are played.
//!
//! Where it stops: it knows bars by their place on the page and nothing of what sounds in them; how
//! a play order is printed is the command's business.
//!
//! # What the signs mean
//!
//! Where a published standard says so it is named; everything else is common practice, no source.
//!
//! **Repeats.** `|:` … `:|` is played twice, `:|x3` three times. Repeats stand within repeats; an
//! inner one is played out in every pass of the outer one. A `:|` without a `|:` goes back to
//! whichever is nearest: the beginning, the bar after the last repeat, the bar after the last double
//! bar (the ABC standard 2.1 names these three), or the heading of the section.
//!
//! **Endings.** `|1` … `:|2` … belong to the innermost open repeat, and to one without `|:` if none is
//! open; an ending right behind the inner one's last `:|`, for a pass that it has had, is one of the repeat around
//! it. The passes are counted up to the highest ending, or to `:|x3` if that is more; every pass
//! has exactly one ending. An ending that is not played in the last pass closes with `:|`. The last
//! ending on the page need not: it stops at `||`, `|]` or `:|` (ABC 2.1), and also at the next heading,
//! or at a `|:` further on unless a `:|` leads from there into yet another ending. A repeat may stand
//! within an ending, its `|:` at the ending's head (`|1|:`) or further on.
//!
//! **Jumps.** `@dc` goes back to the beginning, `@ds` to the bar of `@segno`; `@to-coda` goes on to
//! the bar of `@coda`. Signs to arrive at stand before a bar, instructions act at its end.
//!
//! - An instruction in a repeated bar acts when the repeats bring the bar round for the last time.
//! - A jump back is taken once, the first time; a way to the coda and a fine act only after one
//!   (MusicXML 4.0, `sound`: da capo and dal segno act the first time, to coda the second time).
//! - Bare `@dc` and `@ds` go on to the end, or to a `@fine` if one is met. `al-fine` has to meet it.
//!   After `al-coda` the first `@to-coda` is taken and no `@fine` stops the player before it; after
//!   it one does. `@to-coda` means nothing after any other jump.
//! - After a jump back, repeats played before it are not taken again and their last ending is played
//!   (MusicXML 4.0: `after-jump` is "no" unless it says otherwise). A repeat not played before, such
//!   as one in the coda, is taken (common practice, no source).
//! - A coda that is run into without a jump is played like any other bar.
//!
//! **`play`** names the sections in the order they are played. Where two sections have one name, its
//! first mention plays the first of them, the next mention the next, and after the last the first
//! again. An order that is not the page's takes the page apart: every section is played by itself
//! with its own repeats, a repeat may not run over a heading, instructions to jump are mistakes since
//! `play` has already said where to go, and signs (`@segno`, `@coda`, `@fine`) mean nothing. An order
//! that is the page's changes nothing.
//!
//! # Play orders that cannot be played
//!
//! Each is a [`Diagnostic`](crate::chart::Diagnostic) at its place: a jump to a sign that is not there or is there twice; `al-fine`
//! or `al-coda` where no fine or way to the coda is met; a fine, a way to the coda or a jump that is
//! never acted on; an ending outside a repeat, a pass with no ending or with two, an ending that
//! should go back and does not; a repeat that is never closed; bars that are never played; and a play order
//! longer than [`MOST_BARS`](crate::chart::sizes::MOST_BARS). Since a jump back is taken only once, every other play order has an end.
//!
//! ```
//! let chart = compline::chart::read("|: C | F |1 G :|2 C ||").unwrap();
//! let order = chart.play_order().unwrap();
//! assert_eq!(order.to_string(), "bars 1-2, ending 1 bar 3, repeat 1-2, ending 2 bar 4");
//! assert_eq!((order.bars(), order.beats()), (6, 24));
//! ```

mod order;
mod performer;
mod problems;
mod repeats;
mod section_pass;
mod sections;
mod signs;
mod unfold_repeats;
mod written_bars;

pub use order::{BarRun, PlayOrder, Via, Visit};

use crate::chart::sizes::MOST_CHORDS;
use crate::chart::{Bar, Chart, Diagnostics};

impl Chart {
    /// The order in which the written bars are played; what the signs mean is said in [`play_order`](self).
    ///
    /// # Errors
    ///
    /// Every reason found why the chart cannot be played through, in the order of the page: first
    /// those that show without playing, and only if there are none, what stops the player.
    ///
    /// ```
    /// let chart = compline::chart::read("| C | F @ds |").unwrap();
    /// let problems = chart.play_order().unwrap_err();
    /// assert_eq!(problems[0].message, "a jump to nowhere: there is no `@segno`");
    /// assert_eq!(problems[0].span, 8..11);
    /// ```
    pub fn play_order(&self) -> Result<PlayOrder, Diagnostics> {
        let order = sections::order(self)?;
        let order = order::of(self, order.steps()?, order.edges_of_repeats());
        match self.bar_with_too_many_chords(&order) {
            Some(bar) => Err(vec![problems::too_many_chords(bar.span)].into()),
            None => Ok(order),
        }
    }

    /// The bar at which a play order has had more chords than one may have.
    fn bar_with_too_many_chords(&self, order: &PlayOrder) -> Option<&Bar> {
        let bars = self.bars_with_chords();
        let bars: Vec<(&Bar, usize)> = bars.map(|(_, bar, cells)| (bar, cells.len())).collect();
        let mut chords = 0;
        let played = order
            .visits()
            .iter()
            .filter_map(|visit| bars.get(visit.bar));
        let (bar, _) = played.copied().find(|(_, more)| {
            chords += more;
            chords > MOST_CHORDS
        })?;
        Some(bar)
    }

    /// The sections in the order `play` gives them, by their place in [`Chart::sections`]; `None` where
    /// the page is played as it is written.
    ///
    /// ```
    /// let chart = compline::chart::read("play: B A B\n[A]\n| C |\n[B]\n| F |\n").unwrap();
    /// assert_eq!(chart.order_of_sections(), Some(vec![1, 0, 1]));
    /// ```
    pub fn order_of_sections(&self) -> Option<Vec<usize>> {
        sections::played(self, &mut Vec::new())
    }
}
