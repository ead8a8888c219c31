//! A chart with its play order written out: every bar as often as it is played, and no sign left to follow.

use super::PlayOrder;
use crate::chart::{
    Bar, Cell, Chart, Chords, Closing, Field, Line, LineChanges, LineRow, Opening, Section, Stroke,
    Was,
};

impl Chart {
    /// The chart written out along its play order: the same music, with no repeats, endings, jumps or
    /// `play` line. A section that is played again is written again under its name.
    ///
    /// Comments stand with the first playing of their section; those between rows are left out.
    ///
    /// ```
    /// let chart = compline::chart::read("[A]\n|: C | F :|\n").unwrap();
    /// let order = chart.play_order().unwrap();
    /// assert_eq!(chart.unfolded(&order).tidy(), "[A]\n     | C | F |\n\n[A]\n     | C | F |\n");
    /// ```
    #[must_use]
    pub fn unfolded(&self, order: &PlayOrder) -> Self {
        self.written_out(order.visits().iter().map(|visit| visit.bar))
    }

    /// Some bars in this order, each known by its place among the written bars, from 0.
    pub(in crate::chart) fn written_out(&self, bars: impl Iterator<Item = usize>) -> Self {
        let page: Vec<WrittenBar<'_>> = written(self);
        let mut scroll = Scroll {
            held: self.at_first(),
            ..Scroll::default()
        };
        for at in bars {
            if let Some(bar) = page.get(at) {
                scroll.add(at, bar);
            }
        }
        let mut header = self.header.clone();
        header
            .entries
            .retain(|entry| !matches!(entry.field, Field::Play(_)));
        let mut chart = Self {
            header,
            sections: scroll.sections,
            below: self.below.clone(),
            respelled_keys: self.respelled_keys.clone(),
        };
        chart.untie_loose();
        chart
    }
}

/// A bar of the page with what it takes from its surroundings.
struct WrittenBar<'a> {
    bar: &'a Bar,
    section: usize,
    of: &'a Section,
    /// The key, meter and tempo in force, the bar's own meter aside.
    held: LineChanges,
    /// Its chords, a `%` resolved.
    chords: &'a [Cell],
    /// The chords it had before any were replaced.
    was: &'a [Cell],
}

fn written(chart: &Chart) -> Vec<WrittenBar<'_>> {
    let mut held = chart.at_first();
    let (mut chords, mut was): (&[Cell], &[Cell]) = (&[], &[]);
    let mut page = Vec::new();
    for (section, of) in chart.sections.iter().enumerate() {
        for line in &of.lines {
            held = line.changes.after(held);
            for bar in &line.bars {
                chords = bar.chords.over(chords);
                was = bar.chords_before(was);
                page.push(WrittenBar {
                    bar,
                    section,
                    of,
                    held,
                    chords,
                    was,
                });
            }
        }
    }
    page
}

/// What has been written out so far.
#[derive(Default)]
struct Scroll {
    sections: Vec<Section>,
    /// The bar written last and its section.
    last: Option<(usize, usize)>,
    held: LineChanges,
}

impl Scroll {
    fn add(&mut self, at: usize, written: &WrittenBar<'_>) {
        let follows = self
            .last
            .is_some_and(|(bar, section)| section == written.section && at > bar);
        let next_door = self.last.is_some_and(|(bar, _)| at == bar + 1);
        if !follows {
            self.begin_section(written);
        }
        let changes = written.held.since(self.held);
        self.held = written.held;
        if let Some(section) = self.sections.last_mut() {
            if !changes.is_empty()
                || !section
                    .lines
                    .last()
                    .is_some_and(|line| suits(line, written.bar))
            {
                section.lines.push(line(changes));
            }
            if let Some(line) = section.lines.last_mut() {
                line.bars.push(plain(written, next_door && follows));
            }
        }
        self.last = Some((at, written.section));
    }

    fn begin_section(&mut self, written: &WrittenBar<'_>) {
        let name = &written.of.name;
        let again = self.sections.iter().any(|section| section.name == *name);
        self.sections.push(Section {
            name: name.clone(),
            remarks: if again {
                Default::default()
            } else {
                written.of.remarks.clone()
            },
            lines: Vec::new(),
            span: written.of.span,
        });
    }
}

fn line(changes: LineChanges) -> Line {
    Line {
        changes,
        bars: Vec::new(),
        remarks: Default::default(),
    }
}

/// Whether a bar can go on a line: it has the same rows.
fn suits(line: &Line, bar: &Bar) -> bool {
    let same_rows = |other: &Bar| {
        LineRow::ALL
            .iter()
            .all(|row| bar.has(*row) == other.has(*row))
    };
    line.bars.last().is_some_and(same_rows)
}

/// The bar without its signs. A `%` stays one only after the bar that it repeats.
fn plain(written: &WrittenBar<'_>, next_door: bool) -> Bar {
    let mut bar = written.bar.clone();
    bar.opens = Opening::default();
    bar.closes = Closing {
        stroke: match bar.closes.repeat {
            Some(_) => Stroke::Single,
            None => bar.closes.stroke,
        },
        ..Closing::default()
    };
    bar.jumps.clear();
    if !next_door {
        bar.chords = Chords::Written(written.chords.to_vec());
        bar.was = bar.was.map(|_| match written.was == written.chords {
            true => Was::AsNow,
            false => Was::Other(Chords::Written(written.was.to_vec())),
        });
    }
    bar
}

#[cfg(test)]
mod tests {
    use crate::chart::read;

    fn unfolded(source: &str) -> String {
        let chart = read(source).unwrap();
        let order = chart.play_order().unwrap();
        let scroll = chart.unfolded(&order);
        assert_eq!(
            read(&scroll.tidy()).unwrap().slots().len(),
            scroll.slots().len()
        );
        scroll.tidy()
    }

    #[test]
    fn endings_follow_their_pass() {
        let text = unfolded("[A]\n|: C | F |1 G :|2 Am ||\n");
        assert_eq!(
            text,
            "[A]\n     | C | F | G |\n\n[A]\n     | C | F | Am ||\n"
        );
    }

    #[test]
    fn a_percent_sign_away_from_its_bar_is_spelled_out() {
        let text = unfolded("[A]\n|: C |1 F :|2 % | % ||\n");
        assert_eq!(text, "[A]\n     | C | F |\n\n[A]\n     | C | F | % ||\n");
    }

    #[test]
    fn lines_of_other_rows_stay_apart() {
        let text = unfolded("| C | F |\nmel | C5:4 | F4:4 |\n| G |\n");
        assert_eq!(
            text,
            "     | C    | F    |\nmel  | C5:4 | F4:4 |\n\n     | G |\n"
        );
    }

    #[test]
    fn a_tie_goes_on_only_where_its_note_follows() {
        let text = unfolded(
            "[A]\n|: C | F |1 G :|2 Am ||\nmel | C5:4 | r:3 B4:1- | B4:3 C5:1- | B4:3 A4:1 |\n",
        );
        let melody = text.lines().filter(|line| line.starts_with("mel"));
        let melody: Vec<String> = melody.map(|line| line.replace("  ", " ")).collect();
        assert_eq!(
            melody,
            [
                "mel | C5:4 | r:3 B4:1- | B4:3 C5:1- |",
                "mel | C5:4 | r:3 B4:1- | B4:3 A4:1 |"
            ]
        );
        let cut = unfolded("[A]\n|: C | F :|\nmel | C5:4 | C5:4- |\n");
        assert_eq!(
            (cut.matches("C5:4- ").count(), cut.matches("C5:4 ").count()),
            (1, 3)
        );
    }

    #[test]
    fn what_a_bar_was_goes_with_it() {
        let text = unfolded("[A]\n|: D7 |1 Db7 :|2 G7 | D7 ||\nwas | G7 | - | % | - |\n");
        assert_eq!(
            text,
            "[A]\n     | D7 | Db7 |\nwas  | G7 | -   |\n\n[A]\n     | D7 | G7  | D7 ||\nwas  | G7 | Db7 | -  |\n"
        );
    }

    #[test]
    fn an_order_of_sections_is_written_out() {
        let text = unfolded("play: A B A\n[A]\n| C |\n[B]\n| F |\n");
        assert_eq!(
            text,
            "[A]\n     | C |\n\n[B]\n     | F |\n\n[A]\n     | C |\n"
        );
    }

    #[test]
    fn a_jump_back_takes_the_meter_with_it() {
        let text = unfolded("meter: 4/4\n[A]\n| C @fine |\nmeter: 3/4\n| F @dc-al-fine |\n");
        let expected = "meter: 4/4\n\n[A]\n     | C |\nmeter: 3/4\n     | F |\n\n[A]\nmeter: 4/4\n     | C |\n";
        assert_eq!(text, expected);
    }
}
