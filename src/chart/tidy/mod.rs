//! The standard layout: the same chart, with everything in its column.
//!
//! Header lines in their order, a blank line before each section, lines broken where the musician
//! broke them but after four bars at the latest, and bar lines under bar lines: in all rows of a
//! line, and in all lines of a section that have the same number of bars. In a bar of several chords,
//! what belongs to a chord stands under it. Printing what was read
//! from a print gives the same text.
//!
//! Chord symbols stand as the musician wrote them; accidentals of notes are printed as `#` and `b`,
//! octaves as the chart counts them.

mod align;
mod cells;
mod columns;
mod strip;

use std::fmt::{self, Write};
use std::ops::Range;

use self::columns::ColumnWidths;
use self::strip::{BarWords, Printed, Strip};
use super::read::{BARS_IN_A_LINE, fold};
use super::{
    Annotation, Annotations, Chart, Entry, Field, Line, LineRow, MARK, MiddleC, Played, Remarks,
    Section, Wish,
};

impl Chart {
    /// The chart in its standard layout; what `Display` prints.
    ///
    /// ```
    /// let chart = compline::chart::read("key:Eb\n[A]\n|:Fm7|Bb7:|\nmel|C5:3 Ab4|G4:2 F4:2").unwrap();
    /// assert_eq!(chart.tidy(), "\
    /// key: Eb
    ///
    /// [A]
    ///      |: Fm7        | Bb7       :|
    /// mel  |  C5:3 Ab4:1 | G4:2 F4:2  |
    /// ");
    /// ```
    pub fn tidy(&self) -> String {
        self.tidy_in_lines_of(BARS_IN_A_LINE)
    }

    /// The standard layout with at most `bars` bars in a line, at least one.
    ///
    /// A chart read from it has the same music; its lines end where they were broken.
    pub fn tidy_in_lines_of(&self, bars: usize) -> String {
        self.laid_out(bars, &Annotations::default())
    }

    /// The standard layout with remarks of the program: rows under the bars, and lines at the end.
    ///
    /// The rest of it is laid out as without them.
    pub fn annotated(&self, with: &Annotations) -> String {
        self.laid_out(BARS_IN_A_LINE, with)
    }

    fn laid_out(&self, bars: usize, with: &Annotations) -> String {
        let long = self.lines().any(|line| line.bars.len() > bars.max(1));
        let mut text = String::new();
        // Writing into a string cannot fail.
        let _ = if long {
            fold(self.clone(), bars.max(1)).print(with, &mut text)
        } else {
            self.print(with, &mut text)
        };
        text
    }

    /// An entry of the `lh` row as this chart types it.
    pub(crate) fn hand_entry(&self, wish: &Wish) -> String {
        cells::entry(wish, self.header.middle_c())
    }

    fn print(&self, with: &Annotations, to: &mut String) -> fmt::Result {
        for entry in &self.header.entries {
            self.print_entry(entry, to)?;
        }
        let mut slots = match with.rows.is_empty() {
            true => Vec::new(),
            false => self.slots_of_bars(),
        }
        .into_iter();
        for section in &self.sections {
            if !to.is_empty() {
                to.push('\n');
            }
            self.print_section(section, (&with.rows, &mut slots), to)?;
        }
        if !(self.below.is_empty() && with.below.is_empty() || to.is_empty()) {
            to.push('\n');
        }
        self.below.iter().try_for_each(|text| comment(text, to))?;
        let mut below = with.below.iter();
        below.try_for_each(|text| writeln!(to, "{MARK}{text}"))
    }

    /// The slots of each bar.
    fn slots_of_bars(&self) -> Vec<Range<usize>> {
        let mut at = 0;
        let bars = self.bars_with_chords().map(|(_, _, cells)| {
            at += cells.len();
            at - cells.len()..at
        });
        bars.collect()
    }

    fn print_entry(&self, entry: &Entry, to: &mut String) -> fmt::Result {
        let value = match &entry.field {
            Field::Play(names) => self.play_value(names),
            field => field.value(),
        };
        let line = format!("{}: {value}", entry.field.name());
        commented(line.trim_end(), &entry.remarks, to)
    }

    /// Names of one word stand side by side, unless that would read as one name of several words;
    /// then commas part them.
    fn play_value(&self, names: &[Played]) -> String {
        let joined = |by: &str| {
            let names: Vec<&str> = names.iter().map(|n| n.name.as_str()).collect();
            names.join(by)
        };
        let plain = joined(" ");
        let spaced = names.iter().any(|n| n.name.contains(' '));
        let is_a_name = self
            .sections
            .iter()
            .any(|s| s.name.as_deref() == Some(plain.as_str()));
        let commas = names.len() > 1 && (spaced || is_a_name);
        if commas { joined(", ") } else { plain }
    }

    fn print_section(
        &self,
        section: &Section,
        (rows, slots): (&[Annotation], &mut impl Iterator<Item = Range<usize>>),
        to: &mut String,
    ) -> fmt::Result {
        if let Some(name) = &section.name {
            commented(&format!("[{name}]"), &section.remarks, to)?;
        }
        let strips: Vec<Vec<Strip>> = section
            .lines
            .iter()
            .map(|line| strips(line, self.header.middle_c()))
            .collect();
        let columns = ColumnWidths::of(strips.iter().flatten().map(|strip| strip.bars.as_slice()));
        let tall = strips.iter().any(|strips| strips.len() > 1);
        for (at, (line, strips)) in section.lines.iter().zip(&strips).enumerate() {
            // Rows belong together: lines of several keep apart, as systems do on a page.
            if tall && at > 0 {
                to.push('\n');
            }
            print_line(line, strips, &columns, to)?;
            let slots: Vec<Range<usize>> = slots.take(line.bars.len()).collect();
            for row in rows {
                print_annotation(row, &slots, strips, &columns, to)?;
            }
        }
        Ok(())
    }
}

/// The rows a line has, as text.
fn strips(line: &Line, middle_c: MiddleC) -> Vec<Strip> {
    let rows = LineRow::ALL.into_iter().filter(|row| has(line, *row));
    let mut strips: Vec<Strip> = rows
        .map(|row| Strip {
            row,
            bars: line
                .bars
                .iter()
                .map(|bar| cells::cell(bar, row, middle_c))
                .collect(),
        })
        .collect();
    align::align(&mut strips);
    strips
}

fn has(line: &Line, row: LineRow) -> bool {
    line.bars.iter().any(|bar| bar.has(row))
}

fn print_line(
    line: &Line,
    strips: &[Strip],
    columns: &ColumnWidths,
    to: &mut String,
) -> fmt::Result {
    let none = Remarks::default();
    for strip in strips {
        let remarks = line.remarks.get(&strip.row).unwrap_or(&none);
        if strip.row == LineRow::Chords {
            remarks
                .above
                .iter()
                .try_for_each(|text| comment(text, to))?;
            for field in line.changes.fields() {
                writeln!(to, "{}: {}", field.name(), field.value())?;
            }
        } else {
            remarks
                .above
                .iter()
                .try_for_each(|text| comment(text, to))?;
        }
        let text = columns.print(strip.row.label(), &strip.bars);
        end_of_line(text.trim_end(), remarks, to)?;
    }
    Ok(())
}

/// A row of remarks under a line, its words under those of the rows above.
fn print_annotation(
    row: &Annotation,
    slots: &[Range<usize>],
    strips: &[Strip],
    columns: &ColumnWidths,
    to: &mut String,
) -> fmt::Result {
    let bar = |(at, slots): (usize, &Range<usize>)| {
        let mut words = BarWords::of(row.words(slots.clone()));
        align::stand_under(&mut words, at, strips);
        Printed {
            words,
            ..Printed::default()
        }
    };
    let bars: Vec<Printed> = slots.iter().enumerate().map(bar).collect();
    let label = format!("{MARK}{}", row.label);
    writeln!(to, "{}", columns.print_remarks(&label, &bars).trim_end())
}

fn commented(line: &str, remarks: &Remarks, to: &mut String) -> fmt::Result {
    remarks
        .above
        .iter()
        .try_for_each(|text| comment(text, to))?;
    end_of_line(line, remarks, to)
}

fn end_of_line(line: &str, remarks: &Remarks, to: &mut String) -> fmt::Result {
    match &remarks.beside {
        Some(text) => writeln!(to, "{line}  ;{text}"),
        None => writeln!(to, "{line}"),
    }
}

/// A comment on a line of its own. A user's comment that would read as a remark of the program is kept
/// apart from its sign.
fn comment(text: &str, to: &mut String) -> fmt::Result {
    match text.starts_with(':') {
        true => writeln!(to, "; {text}"),
        false => writeln!(to, ";{text}"),
    }
}

impl fmt::Display for Chart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.tidy())
    }
}
