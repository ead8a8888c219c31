//! Which of two names for one sound a reader of a key expects.
//!
//! Writers call a chromatic chord by its everyday name: the flat II of Ab is A7, not Bbb7. Moved by
//! letters alone it would be A#7 in A, where Bb7 is expected. So a name that has been moved is
//! measured against the new key on the line of fifths, and one that is too far off gives way. How
//! far is too far is common practice, no source: six fifths either way reach from the flat II to
//! the sharp IV; diminished chords, which rise into the next degree, go on to the sharp II.

use std::ops::RangeInclusive;

use crate::chord::Family;
use crate::pitch::{Key, Letter, Name};

/// Fifths from the major tonic with the key's signature: from its flat II (and one more) to #IV.
const NEAR: RangeInclusive<i32> = -6..=6;

/// The same for diminished chords: to the #II.
const NEAR_DIMINISHED: RangeInclusive<i32> = -6..=9;

/// The degrees borrowed from minor, bVII, bIII and bVI, which keep their flats even as Cb: they come among
/// other flats (Gbm7 Cb7 in Db), where the tritone substitute comes alone. An Fb is read as slowly there.
const BORROWED: RangeInclusive<i32> = -4..=-2;

/// The notes of the signature: from the fourth degree to the seventh.
const SIGNATURE: RangeInclusive<i32> = -1..=5;

/// The name for a root that has been moved to `name`: at most one accidental, near the key, and
/// on an E#, B# or Cb outside the signature only what rises (E#dim7) or is borrowed, and on no Fb.
pub(crate) fn root(name: Name, family: Family, key: Key) -> Name {
    let fits = |name: &Name| root_fits(*name, family, key);
    let same = same_sound(name);
    let other = || same.into_iter().flatten().find(fits);
    Some(name)
        .filter(fits)
        .or_else(other)
        .unwrap_or_else(|| name.simplest())
}

/// The name for the root of a minor seventh or half-diminished chord that is called `root` so far: it is read
/// as the II of some key, and no key in use has its II on Cb (Bm7 E7 in Gb). Common practice, no source.
pub(crate) fn second(root: Name) -> Name {
    match (root.letter(), root.alter()) {
        (Letter::C, -1) => root.simplest(),
        _ => root,
    }
}

/// The same for a chord that comes alone among the chords of the key, as a substitute dominant does,
/// or what a voicing might be taken for: no flats about it keep a borrowed degree's own for it, and B7
/// is read sooner than Cb7, unless the signature has the Cb.
pub(crate) fn lone_root(name: Name, family: Family, key: Key) -> Name {
    let root = root(name, family, key);
    let rises = root.alter() > 0;
    match is_odd(root, key) && !rises {
        true => root.simplest(),
        false => root,
    }
}

fn root_fits(name: Name, family: Family, key: Key) -> bool {
    let diminished = matches!(family, Family::Diminished | Family::HalfDiminished);
    let range = if diminished { NEAR_DIMINISHED } else { NEAR };
    let place = from_tonic(name, key);
    let borrowed = BORROWED.contains(&place) && name.letter() != Letter::F;
    let at_home = borrowed || diminished && name.alter() > 0;
    let everyday = SIGNATURE.contains(&place) || name.fifths() <= sharpest(family);
    name.alter().abs() < 2 && range.contains(&place) && (at_home || !is_odd(name, key)) && everyday
}

/// The sharpest root that a chord of this family has outside the signature: F# for a major chord, which is
/// spelled like a tonic, and G# for minor ones and dominants; a diminished one rises into what comes next.
const fn sharpest(family: Family) -> i32 {
    match family {
        Family::Diminished | Family::HalfDiminished => i32::MAX,
        Family::Major => 6,
        _ => 8,
    }
}

/// The name for a root of a major seventh chord that has been moved to `name`: the tonic of a key in use
/// (Dbmaj7, not C#maj7), but for the I, IV and V of the key itself and what it borrows.
pub(super) fn tonic(name: Name, key: Key) -> Name {
    let in_use = |name: &Name| (-6..=6).contains(&name.fifths());
    let place = from_tonic(name, key);
    if in_use(&name) || (-1..=1).contains(&place) || BORROWED.contains(&place) {
        return name;
    }
    let same = same_sound(name);
    same.into_iter().flatten().find(in_use).unwrap_or(name)
}

/// Whether a name is near enough to the key to be a root or bass in it, whatever the chord.
pub(super) fn is_near(name: Name, key: Key) -> bool {
    NEAR.contains(&from_tonic(name, key))
}

/// The name for a bass that is no tone of its chord and has been moved to `name`.
pub(super) fn bass(name: Name, key: Key) -> Name {
    let near = |name: &Name| is_near(*name, key);
    if near(&name) {
        return name;
    }
    let same = same_sound(name);
    same.into_iter().flatten().find(near).unwrap_or(name)
}

/// The name for a note that has been moved to `name` as the root of its chord was, whose tones of that sound
/// are called `tones`.
///
/// A writer who spelled it against the chord (Bb over G7alt, on its way to A) meant to, so that stays.
pub(super) fn note(name: Name, tones: &[Name], key: Key) -> Name {
    let plain = name.alter().abs() < 2 && !is_odd(name, key);
    if plain || tones.contains(&name) {
        return name;
    }
    let tone = tones.iter().find(|tone| tone.alter().abs() < 2);
    tone.copied().unwrap_or_else(|| name.simplest())
}

/// What a note under no chord is by theory that is called `name` in a key: ten fifths above the tonic and more, a
/// white key has the everyday name of a flat (the B of Db is its Cb).
pub(super) fn meant(name: Name, key: Key) -> Name {
    let far = name.alter() == 0 && from_tonic(name, key) >= 10;
    let same = same_sound(name);
    let mut flats = same.into_iter().flatten().filter(|name| name.alter() < 0);
    flats.next().filter(|_| far).unwrap_or(name)
}

/// Whether it is a white key by a black key's name that the signature doesn't call for.
fn is_odd(name: Name, key: Key) -> bool {
    let white = name.alter() != 0 && name.simplest().alter() == 0;
    white && !SIGNATURE.contains(&from_tonic(name, key))
}

fn from_tonic(name: Name, key: Key) -> i32 {
    name.fifths() - key.fifths()
}

/// The names of at most one accidental for this sound: a natural first, then its own side.
fn same_sound(name: Name) -> [Option<Name>; 3] {
    let side = if name.alter() < 0 { -1 } else { 1 };
    [0, side, -side].map(|alter| {
        let mut names = Letter::ALL.into_iter().filter_map(|l| Name::new(l, alter));
        names.find(|other| other.class() == name.class())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lone_root_has_an_everyday_name_unless_the_signature_has_its_own() {
        let alone = |name: &str, family, key: &str| {
            lone_root(name.parse().unwrap(), family, key.parse().unwrap()).to_string()
        };
        assert_eq!(alone("Cb", Family::Dominant, "Eb"), "B");
        assert_eq!(alone("Cb", Family::Dominant, "Gb"), "Cb");
        assert_eq!(alone("Fb", Family::Dominant, "Ab"), "E");
        assert_eq!(alone("Bbb", Family::Major, "Db"), "A");
        assert_eq!(alone("E#", Family::Diminished, "D"), "E#");
    }
}
