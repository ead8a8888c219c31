//! Chord symbols: reading one, its tones, the tensions it can take and the notes to avoid.
//!
//! A symbol is read in two steps. The grammar (`grammar`, one function a grammar symbol) says what
//! is written: a root, a quality, a number, changes to them, a bass. The builder (`build`) says what
//! that means: which degrees the symbol asks for, and which of them it names. Whatever is written
//! and not understood is an [`Unread`], with its place; nothing is guessed. Where two readings of a
//! symbol are in use, one is taken and [`Chord::reading`] says which.
//!
//! The module looks at one symbol alone. What a chord does in its key is `harmony`'s business, which
//! notes of it a hand plays is `voicing`'s.
//!
//! ```
//! use compline::chord::{Chord, Family};
//!
//! let chord = Chord::read("Gb7").unwrap();
//! assert_eq!(chord.family(), Family::Dominant);
//! let names: Vec<String> = chord
//!     .tones()
//!     .iter()
//!     .map(|tone| chord.spell(tone.degree).to_string())
//!     .collect();
//! assert_eq!(names, ["Gb", "Bb", "Db", "Fb"]);
//! ```

mod build;
mod draft;
mod family;
mod grammar;
mod naming;
mod polychord;
mod read;
mod reading;
mod symbol;
mod tension;
mod tone;
mod transpose;
mod unread;

pub use family::Family;
pub use reading::Reading;
pub use symbol::{Chord, Symbol};
pub use tone::Tone;
pub use unread::Unread;
