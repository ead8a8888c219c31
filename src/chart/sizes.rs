//! How large a chart may be: what is larger is refused, so that no text takes more than a second or
//! 100 MiB. Every message about it names the limit.

/// The longest chart, in bytes: 8 MiB.
pub const MOST_BYTES: usize = 8 << 20;

/// The longest line, in bytes. The standard layout folds lines of music after four bars, which need
/// about a third of it where they are as full as they may be.
pub const LONGEST_LINE: usize = 64 << 10;

/// The most lines that are read, blank ones not counted.
pub const MOST_LINES: usize = 40_000;

/// The most bars, on the page and played out: two hours of music, or a piece of 330 bars through the twelve
/// keys. Some 6,000 bytes are needed for each while a chart is planned and every voicing of it is explained.
pub const MOST_BARS: usize = 4_000;

/// The most chords, on the page and played out; a `%` counts as what it repeats.
pub const MOST_CHORDS: usize = 5_000;

/// The most chords in a bar.
pub const MOST_CHORDS_IN_A_BAR: usize = 64;

/// The most notes of a voicing that is read: more than a hand holds, so that one with too many keys is read
/// and `check` can say so.
pub const MOST_NOTES_OF_A_HAND: usize = 10;

/// The most notes and rests of the melody on the page: sixteenths throughout the most bars, and half of
/// that again.
pub const MOST_EVENTS: usize = 100_000;

/// The most sections a `play` line may name.
pub const MOST_PLAYED: usize = 4_000;

/// The most plans of a tune that are listed.
pub const MOST_ALTERNATIVES: usize = 100;

/// The most symbols `chord` explains at once.
pub const MOST_SYMBOLS: usize = 1_000;

/// The longest file of another format, in bytes, before and after it is unpacked: 16 MiB.
pub const MOST_FOREIGN_BYTES: usize = 16 << 20;

/// The longest tune of ABC, in bytes: 4 MiB.
pub const MOST_TUNE_BYTES: usize = 4 << 20;

/// The longest Standard MIDI File, in bytes: 2 MiB. One of 10 MiB needs half a gigabyte while it is read.
pub const MOST_MIDI_BYTES: usize = 2 << 20;

/// The longest text of a file of another format, in bytes: what is longer would be no line of a chart.
pub const LONGEST_TEXT: usize = LONGEST_LINE;

/// The most measures of all parts of a score together.
pub const MOST_MEASURES: usize = 50_000;

/// The most tunes of a tune book.
pub const MOST_TUNES: usize = 5_000;

/// The most bars of all tunes of a tune book together, by the bar lines in it.
pub const MOST_BOOK_BARS: usize = 80_000;

/// The longest head of a tune book, whose fields hold for each of its tunes, in bytes.
pub const LONGEST_BOOK_HEAD: usize = 4 << 10;

/// The longest sound that is written, in minutes, of about 10 MiB each: so much is mixed within a second.
pub const MOST_MINUTES: usize = 8;

/// The most notes of melody, rests counted, of a tune whose pages are drawn.
pub const MOST_DRAWN_NOTES: usize = 50_000;

/// The longest line of JSON that is read, in bytes: the program's own are a third of it at most.
pub const MOST_JSON_BYTES: usize = 24 << 20;

/// The most chords on the page of a tune for which other chords are looked for.
pub const MOST_REHARMONISED: usize = 700;

/// The most chords of a tune, or of the part of it that is asked about, for which others are chosen together.
pub const MOST_CHOSEN_FROM: usize = 300;

/// The most work of choosing changes, all numbers of them or all versions together: so many values of chords and
/// voicings are looked at, each as often as total weights are told apart. What isn't proved by then is said not to be.
pub const MOST_CHOICE_WORK: usize = 16_000_000;
