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

use std::fmt::{self, Write};

use self::columns::{Columns, Strip};
use super::read::{BARS_IN_A_LINE, fold};
use super::{Chart, Entry, Field, Line, MiddleC, Played, Remarks, Row, Section, Wish};

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
        let long = self.lines().any(|line| line.bars.len() > bars.max(1));
        let mut text = String::new();
        // Writing into a string cannot fail.
        let _ = if long {
            fold(self.clone(), bars.max(1)).print(&mut text)
        } else {
            self.print(&mut text)
        };
        text
    }

    /// An entry of the `lh` row as this chart types it.
    pub(crate) fn hand_entry(&self, wish: &Wish) -> String {
        cells::entry(wish, self.header.middle_c())
    }

    fn print(&self, to: &mut String) -> fmt::Result {
        for entry in &self.header.entries {
            self.print_entry(entry, to)?;
        }
        for section in &self.sections {
            if !to.is_empty() {
                to.push('\n');
            }
            self.print_section(section, to)?;
        }
        if !self.below.is_empty() && !to.is_empty() {
            to.push('\n');
        }
        self.below.iter().try_for_each(|text| comment(text, to))
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

    fn print_section(&self, section: &Section, to: &mut String) -> fmt::Result {
        if let Some(name) = &section.name {
            commented(&format!("[{name}]"), &section.remarks, to)?;
        }
        let strips: Vec<Vec<Strip>> = section
            .lines
            .iter()
            .map(|line| strips(line, self.header.middle_c()))
            .collect();
        let columns = Columns::of(strips.iter().flatten().map(|strip| strip.bars.as_slice()));
        let tall = strips.iter().any(|strips| strips.len() > 1);
        for (at, (line, strips)) in section.lines.iter().zip(&strips).enumerate() {
            // Rows belong together: lines of several keep apart, as systems do on a page.
            if tall && at > 0 {
                to.push('\n');
            }
            print_line(line, strips, &columns, to)?;
        }
        Ok(())
    }
}

/// The rows a line has, as text.
fn strips(line: &Line, middle_c: MiddleC) -> Vec<Strip> {
    let rows = Row::ALL.into_iter().filter(|row| has(line, *row));
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

fn has(line: &Line, row: Row) -> bool {
    line.bars.iter().any(|bar| bar.has(row))
}

fn print_line(line: &Line, strips: &[Strip], columns: &Columns, to: &mut String) -> fmt::Result {
    let none = Remarks::default();
    for strip in strips {
        let remarks = line.remarks.get(&strip.row).unwrap_or(&none);
        if strip.row == Row::Chords {
            remarks
                .above
                .iter()
                .try_for_each(|text| comment(text, to))?;
            if let Some(meter) = line.meter {
                writeln!(to, "meter: {meter}")?;
            }
        } else {
            remarks
                .above
                .iter()
                .try_for_each(|text| comment(text, to))?;
        }
        let text = columns.print(strip);
        end_of_line(text.trim_end(), remarks, to)?;
    }
    Ok(())
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

fn comment(text: &str, to: &mut String) -> fmt::Result {
    writeln!(to, ";{text}")
}

impl fmt::Display for Chart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.tidy())
    }
}
