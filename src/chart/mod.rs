//! Charts: the language a lead sheet is typed in, and the model it is read into.
//!
//! [`read`] turns text into a [`Chart`] or into every [`Diagnostic`] the text has; [`Chart::tidy`]
//! prints the standard layout, [`Chart::slots`] lists the chords that want a voicing,
//! [`Chart::transposed`] moves the chart to another key and [`Chart::with_hands`] writes a left hand
//! into it. What a chord symbol means is `chord`'s business; in which order the bars are played,
//! the [`play_order`]'s.
//!
//! # The language
//!
//! A chart is UTF-8 text (a byte order mark and any line ending will do) and looks like the page:
//!
//! ```text
//! title: Lamplight on the Quay
//! key: Eb
//! play: A A B A  ; optional
//!
//! [A]
//!      |: Fm7        | Bb7       |  Ebmaj7 | Abmaj7   |
//! mel  |  C5:3 Ab4:1 | G4:2 F4:2 |  G4:4   | r:2 G4:2 |
//!      |  Dm7b5      | G7alt     |1 Cm6    | C7b9    :|
//!      |2 Cm6 | % ||
//!
//! [B]
//!      | Am7 / D7b9 / | 3/4 Gm7 / C7 | N.C. | Ebmaj7 @fine ||
//! lh   | ?            | ?            | -    | G3.Bb3.D4.F4 |
//! ```
//!
//! **Comments** run from `;` to the end of the line. They are kept where they stand: above or beside
//! a header line, a section's name or a row, or at the end. A line that begins with `;:` is a remark
//! of the program: it is not read, and not kept.
//!
//! **Header lines**, `name: value`, come first. The names known, in either case and each at most
//! once: `title`; `key` (one whose signature would need more than seven accidentals goes by its
//! other name, and a warning says so: G# is Ab); `meter` (n/2, n/4, n/8 or n/16, n from 1 to 32; 4/4 without one); `tempo`
//! (beats a minute, 1 to 999); `play` (sections in the order they are played); `middle-c` (C3, C4
//! or C5: what this chart calls MIDI 60, for every octave in it). Other names are kept; one
//! that is nearly a known name is asked about in a warning.
//! Names in `play` are parted by commas if there are any; else the whole is one name if a section
//! has it, and else every word is a name. Once the music has begun, only `key:`, `meter:` and
//! `tempo:` may stand on lines of their own; each holds from there on.
//!
//! **Sections** start with `[NAME]`. Names may have spaces and may come again. Bars may follow on
//! the same line.
//!
//! **Rows.** A row without a label carries chords. The rows `was`, `mel` and `lh` belong to the chord
//! row above them and have as many bars; the bar lines in them only part the bars. The first and the
//! last `|` of a row may be left out. `was` holds the chords that stood in a bar before
//! a reharmonisation, chords and slashes only, `%` for those of the bar before as that one was, or `-`
//! where the bar is as it was: the tune's keys are found in them.
//!
//! **A bar of chords** holds chords parted by spaces, in this way:
//!
//! - One chord lasts the bar; n chords share it equally if n divides its beats or its beats divide
//!   n. At most 64.
//! - `/` gives the chord before it one more beat; then every chord and every `/` is a beat, and
//!   together they fill the bar.
//! - `!` right behind a symbol holds it: nothing is proposed in its place.
//! - `%` alone repeats the chords of the bar before, which must have as many beats.
//! - A meter at its beginning (`3/4`) holds for this bar only.
//! - In 6/8, 9/8 and 12/8 a beat is a dotted quarter, otherwise it is the meter's lower number.
//! - `N.C.` is silence; an empty bar is a mistake.
//! - `@segno` `@coda` `@to-coda` `@fine` `@dc` `@ds` `@dc-al-fine` `@dc-al-coda` `@ds-al-fine`
//!   `@ds-al-coda` are jumps. Printed, the first two stand before the chords, the others behind.
//!
//! **Bar lines** are `|`, `||` and `|]`. `|:` and `:|` repeat what is between them; a `:|` without
//! `|:` goes back as [`play_order`] says, and repeats may be nested, 64 deep. `:|x3` plays three times in
//! all (2 to 99). `|1`, `:|2`, `|1,3`, `|1-3` open endings (1 to 99, rising), without a space and not
//! before `/`, which makes them a meter. `:|:`, `:||:` and `::` close one repeat and open the next.
//! Where a closing and an opening cannot be glued together, two bar lines without a space between
//! them are one: `:|x3|2`, `|1|:`. A bar line at the end of a row and one at the start of the next
//! are one as well; an opening at the end of a row is for the next row's first bar. (Repeats and
//! endings are written as in the ABC standard 2.1, Walshaw 2011; counts are this language's own.)
//!
//! **A bar of melody** holds notes and rests with their lengths in beats, `C5:3` `Ab4:3/2` `r:2`; a
//! length left out is 1. They fill the bar exactly. A beat divides down to 64ths and their triplets,
//! quintuplets and septuplets. `-` right behind a note ties it to the next one, which has the same key:
//! `r:3 C5:1- | C5:2 A4:2` is one note of three beats. It is not struck again at the bar line, and where it
//! stands before a repeat sign, an ending or a jump, it goes on in whichever bar is played next. Notes
//! tied within a bar are read as one.
//!
//! **A bar of the left hand** holds an entry for each chord: notes joined by `.`, rising, at most
//! ten; `?` for a voicing to be planned; `-` for silence. A single `?` or `-` stands for all the
//! bar's chords. Under `N.C.` there are no notes.
//!
//! **The standard layout** keeps header lines, comments and line breaks, folds rows after four bars,
//! and puts bar lines under bar lines in each section's lines of the same number of bars. What is
//! printed reads as the same chart, and prints as itself.
//!
//! **Limits**: those of [`sizes`].

pub(crate) mod bar_sharing;
mod beats;
mod before;
mod changes;
mod diagnostic;
mod diagnostics;
pub(crate) mod enharmonic;
mod hands;
mod header;
mod hidden;
mod in_force;
mod jump;
mod melody;
mod meter;
mod model;
mod moved_root;
mod near_heading;
mod nearest;
mod not_replaced;
mod percent_sign;
mod performance;
pub mod play_order;
mod read;
mod remark;
mod replaced;
mod respelled_key;
pub mod sizes;
mod slots;
mod span;
#[cfg(test)]
mod tests;
mod through_keys;
mod tidy;
mod ties;
mod transpose;
mod twin_section;
mod voicing_wish;
mod warnings;
mod wished;
mod wishes;

pub use beats::{Beats, NotBeats};
pub use changes::LineChanges;
pub use diagnostic::{Diagnostic, Level};
pub use diagnostics::Diagnostics;
pub(crate) use enharmonic::lone_root;
pub use header::{Entry, Field, Header, MiddleC, Played};
pub use hidden::is_hidden;
pub use jump::{Jump, NotAJump};
pub use melody::MelodyNote;
pub use meter::{Meter, NotAMeter};
pub use model::{
    Bar, Cell, Chart, Chords, Closing, Event, HELD, Line, LineRow, Marked, Opening, Remarks,
    Section, Stroke, TIE, Times, Was, Wish,
};
pub use nearest::nearest;
pub use not_replaced::NotReplaced;
pub use performance::{Performance, Transition};
pub use play_order::{BarRun, PlayOrder, Via, Visit};
pub use read::{read, read_bytes};
pub use remark::{Annotation, Annotations, MARK, remark_labels, remark_lines, without_remarks};
pub use replaced::{NewChord, Replacement};
pub use respelled_key::RespelledKeys;
pub use slots::{Place, Slot};
pub use span::{Span, Spans};
pub use through_keys::{NotLaid, Stop};
pub use voicing_wish::{Form, VoicingWish};
pub use wished::{NotWished, WishedChart};
pub use wishes::{Contradiction, TopWish, Wishes};
