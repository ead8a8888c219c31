//! What speaks for a key and against it.
//!
//! All weights are this program's own judgement, not a published model; beside each stands the reading
//! it is there for. Their unit is that of the prices of [`crate::harmony::role`]: 1 is a secondary
//! dominant, 5 a chord that nothing explains.

use std::sync::OnceLock;

use crate::harmony::chord_kind::{ChordKind, RootAndKind};
use crate::harmony::local_key::LocalKey;
use crate::harmony::role::{FOREIGN, Situation};

use super::row::{ChordEvent, ChordRow};

/// How finely costs are counted: the weights below are so many of these. One such part is what every
/// change costs beside its weight, so that of rows which cost the same the one with fewer regions is
/// taken. The number is large enough for as many changes as there are in a tune.
const UNIT: i32 = 64;

/// What it costs to go to a key that is not the home, and to come back. Together they are more than
/// the 4 that a ii-V-I is worth in its own key, by as much as two in a row cost at home at least (Gm7 C7
/// Fmaj7 in C costs 1); where one alone costs more (Fm7 Bb7 Ebmaj7), it has a region. Coming back
/// costs less than going, since it is what is expected.
const AWAY: i32 = 5 * UNIT;
const BACK: i32 = 3 * UNIT;

/// What a change costs beyond that between a ii and its dominant: both belong to one key.
const PARTED: i32 = UNIT;

/// What the tonic is worth as the first chord, and as the last: a tune of which nothing else is known
/// begins and ends with it.
const FIRST_TONIC: i32 = UNIT;
const LAST_TONIC: i32 = 2 * UNIT;

/// What it is worth to be home where no key is given: to a key whose tonic comes first, to one whose
/// tonic comes first and last, and to one in which everything is tonic (else its share). Measured on two
/// collections of folk tunes whose keys are known, with no key told: of 954 tunes 92.9 % were read right
/// without these and 95.6 % with them, of 722 tunes 89.3 % and 92.7 %.
const HOME_FIRST: i32 = 3 * UNIT;
const HOME_BOTH: i32 = 2 * UNIT;
const HOME_SHARE: i32 = 2 * UNIT;

/// What a key's own cadences are worth. A seventh chord that goes home says more than a triad, which
/// may as well be the I on its way to IV. The ii before the dominant is worth something, so that it
/// is drawn into the key it leads to (the Am7 of Am7 D7 Gmaj7 belongs to G).
const SEVENTH_HOME: i32 = 2 * UNIT;
const TRIAD_HOME: i32 = UNIT;
const TWO_FIVE: i32 = UNIT;

/// What a dominant that goes home is worth more with its ii before it. That much is for the cadence as
/// a whole: ii-V's that never arrive (Em7 A7 Ebm7 Ab7) are no keys.
const WHOLE: i32 = UNIT;

/// What that is worth more at the end of a tune: one in C that ends with Bm7b5 E7 Am ends in A minor,
/// while one that ends with E7 Am ends on its vi.
const CLOSING: i32 = 2 * UNIT;

/// How many slots a chord lasts that is not in passing; in most charts they are four bars. If nothing
/// explains it there, it costs twice as much, and so has a region of its own: the bridge of a modal
/// tune that lies a half step higher.
const HELD: u32 = 4;

/// A number for each key, by [`index`].
pub(super) type EachKey = [i32; LocalKey::COUNT];

/// A key's place counted upwards from a tonic, major before minor.
pub(super) fn index(key: LocalKey, from: u8) -> usize {
    usize::from((12 + key.tonic - from) % 12) * 2 + usize::from(key.minor)
}

/// The key at such a place.
pub(super) fn key_at(index: usize, from: u8) -> LocalKey {
    let key = LocalKey::at(index);
    LocalKey {
        tonic: (from + key.tonic) % 12,
        ..key
    }
}

/// What it costs to be in each key with this chord.
pub(super) fn prices(event: &ChordEvent<'_>, from: u8) -> EachKey {
    let known = by_root(event.written, event.next);
    let above = 2 * usize::from((12 + from - event.written.root) % 12);
    let (below, rest) = known.split_at(above);
    let mut prices = [0; LocalKey::COUNT];
    for (price, known) in prices.iter_mut().zip(rest.iter().chain(below)) {
        let held = *known == FOREIGN && event.slots >= HELD;
        *price = (i32::from(*known) << i32::from(held)) * UNIT;
    }
    prices
}

/// How many pairs there are of a kind with what may come next.
const NEXTS: usize = 1 + 12 * ChordKind::COUNT;

/// The prices of a chord in the keys counted upwards from its root. They follow from the kinds of the
/// two chords and how far they lie apart, so each row is worked out once.
fn by_root(chord: RootAndKind, next: Option<RootAndKind>) -> [u8; LocalKey::COUNT] {
    static KNOWN: [OnceLock<[u8; LocalKey::COUNT]>; NEXTS * ChordKind::COUNT] =
        [const { OnceLock::new() }; NEXTS * ChordKind::COUNT];
    let of_next = next.map_or(0, |next| {
        1 + 12 * next.kind as usize + usize::from(chord.up_to(next))
    });
    let price = |at| {
        let local_key = key_at(at, chord.root);
        let situation = Situation {
            chord,
            local_key,
            next,
        };
        situation.role().price
    };
    let work = || std::array::from_fn(price);
    let known = KNOWN.get(NEXTS * chord.kind as usize + of_next);
    known.map_or_else(work, |known| *known.get_or_init(work))
}

/// What a step from one chord to the next says about keys.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct KeyStep {
    /// The keys of which it is a cadence, as bits by [`index`].
    pub keys: u32,
    /// What that is worth in each of them.
    pub worth: i32,
    /// What a change of key costs more here than elsewhere.
    pub parted: i32,
}

impl KeyStep {
    /// The step that leads to a chord of the row.
    pub fn to(at: usize, row: &ChordRow<'_>, from: u8) -> Self {
        let event = |at: usize| row.events.get(at);
        let Some((before, to)) = row.before(at).zip(event(at)) else {
            return Self::default();
        };
        let two = row.before(before).and_then(event);
        let Some(chord) = event(before) else {
            return Self::default();
        };
        let last = !row.looped && at + 1 == row.events.len();
        Self::home(two, chord, to, last, from).unwrap_or_else(|| Self::two_five(chord, to, from))
    }

    /// A dominant that goes home.
    fn home(
        two: Option<&ChordEvent<'_>>,
        five: &ChordEvent<'_>,
        one: &ChordEvent<'_>,
        last: bool,
        from: u8,
    ) -> Option<Self> {
        let home = arrives(five, one)?;
        let worth = match five.heard.kind {
            ChordKind::Dominant => SEVENTH_HOME,
            ChordKind::Triad | ChordKind::Augmented => TRIAD_HOME,
            _ => return None,
        };
        let whole = two.is_some_and(|two| is_two_of(two.written, five.heard));
        Some(Self {
            keys: 1 << index(home, from),
            worth: worth + i32::from(whole) * (WHOLE + i32::from(last) * CLOSING),
            parted: 0,
        })
    }

    /// A ii that goes to its dominant.
    fn two_five(two: &ChordEvent<'_>, five: &ChordEvent<'_>, from: u8) -> Self {
        if !is_two_of(two.written, five.written) || !five.written.is_dominant() {
            return Self::default();
        }
        let tonic = (five.written.root + 5) % 12;
        let key = |minor| 1 << index(LocalKey { tonic, minor }, from);
        // One that only goes back and forth is a i and its IV7.
        let vamps = five.next == Some(two.written);
        Self {
            keys: key(false) | key(true),
            worth: i32::from(!vamps) * TWO_FIVE,
            parted: PARTED,
        }
    }
}

/// The key whose tonic a step down a fifth arrives at. A minor chord that goes on as the ii of a further
/// dominant is no goal.
fn arrives(five: &ChordEvent<'_>, one: &ChordEvent<'_>) -> Option<LocalKey> {
    let minor = one.written.kind == ChordKind::Minor;
    let goes_on = one
        .next
        .is_some_and(|next| next.is_dominant() && is_two_of(one.written, next));
    let home = LocalKey {
        tonic: one.written.root,
        minor,
    };
    let falls = five.heard.up_to(one.written) == 5;
    (falls && home.is_tonic(one.written) && !goes_on).then_some(home)
}

/// Whether a chord is a ii a fourth below a dominant.
fn is_two_of(two: RootAndKind, five: RootAndKind) -> bool {
    matches!(two.kind, ChordKind::Minor | ChordKind::HalfDiminished) && two.up_to(five) == 5
}

/// What a change to a key costs in most places.
pub(super) const fn change(to: usize, own: usize) -> i32 {
    1 + if to == own { BACK } else { AWAY }
}

/// Whether a tune of a key begins with this chord: its tonic, or the seventh chord of a blues.
fn begins(first: &ChordEvent<'_>, key: LocalKey) -> bool {
    let blues = first.written.is_dominant() && first.written.root == key.tonic && !key.minor;
    blues || key.is_tonic(first.written)
}

/// What it costs to begin in a key.
pub(super) fn begin(row: &ChordRow<'_>, at: usize, from: u8, own: usize) -> i32 {
    let key = key_at(at, from);
    let tonic = row.events.first().is_some_and(|first| begins(first, key));
    i32::from(at != own) * change(at, own) - i32::from(tonic) * FIRST_TONIC
}

/// What it costs to end in a key: elsewhere as much as to come back.
pub(super) fn end(row: &ChordRow<'_>, at: usize, from: u8, own: usize) -> i32 {
    let key = key_at(at, from);
    let tonic = row.events.last().is_some_and(|last| {
        // A blues rests on a seventh chord, a minor tune may end in major.
        let kinds = matches!(
            last.written.kind,
            ChordKind::Triad | ChordKind::Major | ChordKind::MajorSeventh
        ) || last.written.is_dominant() && !key.minor;
        kinds && last.written.root == key.tonic || key.is_tonic(last.written)
    });
    i32::from(at != own) * change(own, own) - i32::from(tonic) * LAST_TONIC
}

/// What speaks for a key as the home of the whole row: that it begins there, that it begins and ends
/// there, and how much of it is spent on the tonic.
pub(super) fn at_home(row: &ChordRow<'_>, own: usize, from: u8) -> i32 {
    let home = key_at(own, from);
    let rests = |event: &&ChordEvent<'_>| rests(event, home);
    let first = row.events.first().is_some_and(|first| begins(first, home));
    let last = row.events.last().filter(rests).is_some();
    let slots = |events: &mut dyn Iterator<Item = &ChordEvent<'_>>| -> u64 {
        events.map(|event| u64::from(event.slots)).sum()
    };
    let all = slots(&mut row.events.iter()).max(1);
    let on_tonic = slots(&mut row.events.iter().filter(rests));
    let share = u64::from(HOME_SHARE.unsigned_abs()) * on_tonic / all;
    let share = i32::try_from(share).unwrap_or(HOME_SHARE);
    i32::from(first) * HOME_FIRST + i32::from(first && last) * HOME_BOTH + share
}

/// Whether a chord rests in a key: its tonic, the seventh chord of a blues, or the major chord with which
/// a minor tune may end.
fn rests(event: &ChordEvent<'_>, home: LocalKey) -> bool {
    let closing = home.minor && event.written.kind == ChordKind::Triad;
    closing && event.written.root == home.tonic || begins(event, home)
}
