//! The shape of a note, a chord or a rest: where its heads, accidentals, dots and stem lie around the column it stands in.
//!
//! Heads a step apart stand on both sides of the stem; accidentals that would touch stand in columns of their own, filled
//! from the outside in (common practice of engraving, no source).

use super::accidental::{Accidental, accidentals};
use super::clef::Clef;
use super::drawing::Length;
use super::head::{Head, heads, line};
use super::pen::{PagePen, SPACE, reach, width};
use crate::score::Written;

/// How thick stems and lines are, from the `engravingDefaults` of the music font's metadata.
pub(super) const STEM: Length = 120;
const LEDGER: Length = 160;
const LEDGER_SIDE: Length = 400;
/// How long a stem is at least: an octave on the staff.
const STEM_LENGTH: Length = 3500;
const DOT_GAP: Length = 350;
/// How far the highest tie reaches beyond the middle of its head.
const TIE: Length = 1400;

/// What one written event looks like.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct NoteShape {
    /// The sign of its heads or of the rest.
    pub sign: &'static str,
    /// The heads, lowest first; none for a rest.
    pub heads: Vec<Head>,
    /// Its accidentals.
    pub accidentals: Vec<Accidental>,
    /// Whether the stem goes up.
    pub up: bool,
    /// Whether it has a stem.
    pub stem: bool,
    /// How many flags it has where it isn't beamed.
    pub flags: u8,
    /// How many beams it has where it is.
    pub beams: u8,
    /// How many dots.
    pub dots: u8,
    /// Whether ties begin at its heads.
    pub tied: bool,
    /// How far it reaches to the left of the column.
    pub left: Length,
    /// How far it reaches to the right.
    pub right: Length,
}

impl NoteShape {
    /// The shape of an event under a clef; `up` is given for beamed notes, which share their stems' direction.
    pub fn of(written: &Written, clef: Clef, up: Option<bool>) -> NoteShape {
        let doublings = written.value.map_or(2, |value| value.doublings);
        let dots = written.value.map_or(0, |value| value.dots);
        if written.is_rest() {
            return NoteShape::of_rest(rest(doublings), dots);
        }
        let notes = written.notes.iter();
        let positions: Vec<i32> = notes.map(|note| clef.position(*note)).collect();
        let up = up.unwrap_or_else(|| stem_up(&positions));
        let sign = head(doublings);
        let heads = heads(&positions, up, doublings >= 2, width(sign) - STEM);
        let accidentals = accidentals(written, &positions, &heads, width(sign));
        let own_flags = written.value.filter(|_| written.beams.is_empty());
        let flags = own_flags.map_or(0, |value| value.flags());
        let farthest = heads.iter().map(|head| head.shift).max().unwrap_or(0) + width(sign);
        let flag_room = if flags > 0 && up { SPACE } else { 0 };
        NoteShape {
            sign,
            left: reach_left(&heads, &accidentals),
            right: farthest + dots_room(dots) + flag_room,
            heads,
            accidentals,
            up,
            stem: doublings < 2,
            flags,
            beams: written.beams.len() as u8,
            dots,
            tied: written.tie.starts,
        }
    }

    fn of_rest(sign: &'static str, dots: u8) -> NoteShape {
        NoteShape {
            sign,
            heads: Vec::new(),
            accidentals: Vec::new(),
            up: false,
            stem: false,
            flags: 0,
            beams: 0,
            dots,
            tied: false,
            left: 0,
            right: width(sign) + dots_room(dots),
        }
    }

    /// The lowest and the highest line or space it has a head on.
    pub fn span(&self) -> (i32, i32) {
        let positions = || self.heads.iter().map(|head| head.position);
        (
            positions().min().unwrap_or(0),
            positions().max().unwrap_or(0),
        )
    }

    /// Where its stem ends, counted down from the upper line of the staff, if nothing else says.
    pub fn tip(&self) -> Length {
        let (low, high) = self.span();
        let length = STEM_LENGTH + 750 * Length::from(self.flags.saturating_sub(2));
        if self.up {
            (line(high) - length).min(2000)
        } else {
            (line(low) + length).max(2000)
        }
    }

    /// Where its stem stands, to the right of the column.
    pub fn stem_x(&self) -> Length {
        if self.up { width(self.sign) - STEM } else { 0 }
    }

    /// How far it reaches above and below the staff with its stem, accidentals and ties.
    pub fn extent(&self) -> (Length, Length) {
        if self.heads.is_empty() {
            return (0, 0);
        }
        let (low, high) = self.span();
        let (mut above, mut below) = (500 - line(high), line(low) + 500 - 4000);
        if self.stem {
            above = above.max(-self.tip());
            below = below.max(self.tip() - 4000);
        }
        for one in &self.accidentals {
            let ((lowest, highest), at) = (reach(one.sign), line(one.position));
            above = above.max(highest - at);
            below = below.max(at - lowest - 4000);
        }
        if self.tied {
            if self.ties_over(self.heads.len() - 1) {
                above = above.max(TIE - line(high));
            }
            if !self.ties_over(0) {
                below = below.max(line(low) + TIE - 4000);
            }
        }
        (above.max(0), below.max(0))
    }

    /// Whether the tie at a head, counted from the lowest, bends upwards: away from the stem; in a chord away from its
    /// middle.
    pub fn ties_over(&self, head: usize) -> bool {
        match self.heads.len() {
            1 => !self.up,
            several => head * 2 >= several,
        }
    }

    /// Draws heads, ledger lines, accidentals, dots; stem and flags unless a beam takes them.
    pub fn draw(&self, pen: &mut PagePen, x: Length, top: Length, tip: Option<Length>) {
        for head in &self.heads {
            ledgers(pen, head, x, top, width(self.sign));
            pen.sign(self.sign, x + head.shift, top + line(head.position));
        }
        for one in &self.accidentals {
            pen.sign(one.sign, x + one.x, top + line(one.position));
        }
        self.dots(pen, x, top);
        if self.stem {
            self.stem(pen, x, top, tip);
        }
    }

    fn dots(&self, pen: &mut PagePen, x: Length, top: Length) {
        let right = x
            + self.heads.iter().map(|head| head.shift).max().unwrap_or(0)
            + width(self.sign)
            + DOT_GAP;
        let mut spaces: Vec<i32> = self.heads.iter().map(|head| head.position | 1).collect();
        if self.heads.is_empty() {
            spaces.push(1);
        }
        spaces.dedup();
        for (place, position) in (0..i32::from(self.dots))
            .flat_map(|place| spaces.iter().map(move |space| (place, *space)))
        {
            pen.sign("augmentationDot", right + place * 500, top + line(position));
        }
    }

    fn stem(&self, pen: &mut PagePen, x: Length, top: Length, tip: Option<Length>) {
        let (low, high) = self.span();
        let end = tip.unwrap_or(top + self.tip());
        let start = if self.up {
            top + line(low) - 170
        } else {
            top + line(high) + 170
        };
        pen.rectangle(x + self.stem_x(), start.min(end), STEM, (start - end).abs());
        if let Some(flag) = flag(self.flags, self.up).filter(|_| tip.is_none()) {
            pen.sign(flag, x + self.stem_x(), end);
        }
    }
}

/// How far heads and accidentals reach to the left of the column.
fn reach_left(heads: &[Head], accidentals: &[Accidental]) -> Length {
    let heads = heads.iter().map(|head| -head.shift);
    let accidentals = accidentals.iter().map(|one| -one.x);
    heads.chain(accidentals).max().unwrap_or(0).max(0)
}

/// The room that dots take behind a head or a rest.
fn dots_room(dots: u8) -> Length {
    Length::from(dots) * (DOT_GAP + 400)
}

/// Away from the head that is farthest from the middle line; down where both sides are alike.
fn stem_up(positions: &[i32]) -> bool {
    let (low, high) = (
        positions.iter().min().copied().unwrap_or(0),
        positions.iter().max().copied().unwrap_or(0),
    );
    -low > high
}

const fn head(doublings: i8) -> &'static str {
    match doublings {
        2.. => "noteheadWhole",
        1 => "noteheadHalf",
        _ => "noteheadBlack",
    }
}

const fn rest(doublings: i8) -> &'static str {
    match doublings {
        2.. => "restWhole",
        1 => "restHalf",
        0 => "restQuarter",
        -1 => "rest8th",
        -2 => "rest16th",
        _ => "rest32nd",
    }
}

const fn flag(flags: u8, up: bool) -> Option<&'static str> {
    match (flags, up) {
        (0, _) => None,
        (1, true) => Some("flag8thUp"),
        (1, false) => Some("flag8thDown"),
        (2, true) => Some("flag16thUp"),
        (2, false) => Some("flag16thDown"),
        (_, true) => Some("flag32ndUp"),
        (_, false) => Some("flag32ndDown"),
    }
}

/// The short lines of notes above and below the staff.
fn ledgers(pen: &mut PagePen, head: &Head, x: Length, top: Length, head_width: Length) {
    let side = head.position.signum();
    for position in (6..=head.position.abs()).filter(|position| position % 2 == 0) {
        let y = top + line(position * side) - LEDGER / 2;
        pen.rectangle(
            x + head.shift - LEDGER_SIDE,
            y,
            head_width + 2 * LEDGER_SIDE,
            LEDGER,
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::accidental::touches;
    use super::*;
    use crate::chart::Meter;
    use crate::score::{NotesOrRest, Quarters, written};

    fn shape(notes: &[&str], clef: Clef) -> NoteShape {
        let notes = notes.iter().map(|note| note.parse().unwrap()).collect();
        let bar = [NotesOrRest {
            notes,
            length: Quarters::whole(2),
            tie: Default::default(),
        }];
        NoteShape::of(&written(&bar, Meter::COMMON, None)[0], clef, None)
    }

    #[test]
    fn a_second_stands_on_both_sides_of_its_stem() {
        let shape = shape(&["F3", "A3", "B3", "E4"], Clef::Bass);
        let shifted: Vec<bool> = shape.heads.iter().map(|head| head.shift != 0).collect();
        assert_eq!(
            shifted,
            [false, true, false, false],
            "stem down: counted from the top"
        );
        assert!(!shape.up && shape.left > 0);
    }

    #[test]
    fn accidentals_that_would_touch_stand_apart() {
        let shape = shape(&["Eb3", "Gb3", "Bb3", "Db4"], Clef::Bass);
        assert_eq!(shape.accidentals.len(), 4);
        for (at, one) in shape.accidentals.iter().enumerate() {
            for other in shape
                .accidentals
                .iter()
                .skip(at + 1)
                .filter(|other| touches(one.sign, one.position, other))
            {
                let apart =
                    one.x + width(one.sign) <= other.x || other.x + width(other.sign) <= one.x;
                assert!(apart, "{one:?} {other:?}");
            }
        }
    }

    #[test]
    fn stems_point_to_the_middle_and_reach_it() {
        let (high, low) = (shape(&["A5"], Clef::Treble), shape(&["C4"], Clef::Treble));
        assert!(!high.up && low.up);
        assert_eq!((high.tip(), low.tip()), (2500, 1500));
        assert_eq!(
            shape(&["A6"], Clef::Treble).tip(),
            2000,
            "as far as the middle line"
        );
    }

    #[test]
    fn a_dot_stands_in_a_space() {
        let bar = [NotesOrRest {
            notes: vec!["B4".parse().unwrap()],
            length: Quarters::whole(3),
            tie: Default::default(),
        }];
        let shape = NoteShape::of(
            &written(&bar, Meter::new(3, 4).unwrap(), None)[0],
            Clef::Treble,
            None,
        );
        let mut pen = PagePen::default();
        shape.dots(&mut pen, 0, 0);
        assert_eq!(shape.dots, 1);
        assert!(
            matches!(&pen.marks[..], [super::super::drawing::Item::Text { at, .. }] if at.y == 1500)
        );
    }
}
