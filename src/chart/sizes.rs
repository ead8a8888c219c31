//! How large a chart may be: what is larger is refused, so that no text takes more than a second or
//! 100 MiB. Every message about it names the limit.

/// The longest chart, in bytes: 8 MiB.
pub const MOST_BYTES: usize = 8 << 20;

/// The longest line, in bytes. The standard layout folds lines of music after four bars, which need
/// about a third of it where they are as full as they may be.
pub const LONGEST_LINE: usize = 64 << 10;

/// The most lines that are read, blank ones not counted.
pub const MOST_LINES: usize = 200_000;

/// The most bars, on the page and played out: six hours of music. Some 6,000 bytes are needed for each
/// while a chart is planned and every voicing of it is explained.
pub const MOST_BARS: usize = 12_000;

/// The most chords, on the page and played out; a `%` counts as what it repeats.
pub const MOST_CHORDS: usize = 15_000;

/// The most chords in a bar.
pub const MOST_CHORDS_IN_A_BAR: usize = 64;

/// The most sections a `play` line may name.
pub const MOST_PLAYED: usize = 10_000;

/// The longest sound that is written, in minutes, of about 10 MiB each.
pub const MOST_MINUTES: usize = 30;

/// The most chords on the page of a tune for which other chords are looked for.
pub const MOST_REHARMONISED: usize = 700;

/// The most chords on the page of a tune for which some of them are chosen together.
pub const MOST_CHOSEN_FROM: usize = 500;
