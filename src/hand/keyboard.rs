//! Where the keys of a piano lie, from left to right, and how large a hand two of them need.
//!
//! No standard fixes the keys; these are the usual measures of a full-size piano. A white key is
//! 23.5 mm wide, so an octave is 164.5 mm. At their back ends the twelve keys of an octave have the
//! same width, 164.5 / 12 mm, and a black key's centre is the middle of its twelfth. A finger is taken
//! to strike the centre of its key. How deep it strikes, and the fingers between the outer two, are
//! left out of account.
//!
//! So an interval has no one width: fifteen semitones are 198.7 to 211.5 mm wide, depending on which
//! keys they are. That is why a measured hand is fairer than a number of semitones.

use crate::pitch::Pitch;

use super::Millimetres;

/// An octave, in tenths of a millimetre.
const OCTAVE: u16 = 1645;

/// The centres of the keys from C to B, in tenths of a millimetre right of C's; the black keys rounded.
const CENTRES: [u16; 12] = [0, 88, 235, 362, 470, 705, 774, 940, 1048, 1175, 1322, 1410];

/// What a hand must span beyond the distance of two keys' centres to strike both, in tenths of a
/// millimetre.
///
/// An inference, not a measurement: with 4.5 mm the hands that Boyle, Boyle & Booker (2015) sort by
/// what they reach fall where that study puts them. From 193 mm they reach a ninth (188.0 mm) with
/// tension, from 216 mm a tenth (211.5 mm) with tension; from 239 mm the tenth is comfortable, which is
/// half a millimetre short of reaching the eleventh (235.0 mm). The edges are quoted from a summary of
/// the study.
const MARGIN: u16 = 45;

/// How far a key's centre lies right of that of MIDI key 0, in tenths of a millimetre.
fn centre(key: Pitch) -> u16 {
    let within = CENTRES.get(usize::from(key.class().number()));
    u16::from(key.midi() / 12) * OCTAVE + within.copied().unwrap_or_default()
}

/// The distance of two keys' centres, in tenths of a millimetre.
///
/// ```
/// use compline::hand::{key, key_distance};
///
/// let tenth = |low, high| key_distance(key(low).unwrap(), key(high).unwrap());
/// assert_eq!(tenth("C3", "E4"), 2115);
/// assert_eq!(tenth("Db3", "F4"), 2262);
/// ```
pub fn key_distance(a: Pitch, b: Pitch) -> u16 {
    centre(a).abs_diff(centre(b))
}

/// The smallest hand that spans these two keys, thumb to little finger, in whole millimetres.
///
/// See [`Reach::Span`](super::Reach::Span) for what that is worth.
pub fn hand_for(a: Pitch, b: Pitch) -> Millimetres {
    Millimetres((key_distance(a, b) + MARGIN).div_ceil(10))
}

/// The smallest hand that spans so many semitones somewhere on the keyboard.
pub(super) fn least_hand_for(semitones: u8) -> Option<Millimetres> {
    (0..12)
        .filter_map(|low| Some(hand_for(Pitch::new(low)?, Pitch::new(low + semitones)?)))
        .min()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Smallest and largest distance of so many semitones, in tenths of a millimetre.
    fn spread(semitones: u8) -> (u16, u16) {
        let distances: Vec<u16> = (48..60)
            .map(|low| {
                let [low, high] = [low, low + semitones].map(|midi| Pitch::new(midi).unwrap());
                key_distance(low, high)
            })
            .collect();
        (
            *distances.iter().min().unwrap(),
            *distances.iter().max().unwrap(),
        )
    }

    #[test]
    fn an_interval_is_as_wide_as_its_keys_make_it() {
        let rounded = |semitones| {
            let (least, most) = spread(semitones);
            (
                least.div_euclid(10) + least % 10 / 5,
                most.div_euclid(10) + most % 10 / 5,
            )
        };
        assert_eq!(spread(12), (1645, 1645));
        assert_eq!(rounded(13), (171, 188));
        assert_eq!(rounded(14), (188, 199));
        assert_eq!(rounded(15), (199, 212));
        assert_eq!(rounded(16), (212, 226));
        assert_eq!(rounded(17), (226, 235));
    }

    #[test]
    fn black_keys_lie_in_the_middle_of_their_twelfth() {
        for (class, centre) in [1, 3, 6, 8, 10].map(|class| (class, CENTRES[class])) {
            // In 24ths of a tenth of a millimetre from the left edge of C.
            let exact = i32::try_from(2 * class + 1).unwrap() * 1645 - 24 * 1175 / 10;
            let off = (24 * i32::from(centre) - exact).abs();
            assert!(off <= 12, "{class}: {off}");
        }
    }

    #[test]
    fn white_keys_are_all_alike() {
        let white = [0, 2, 4, 5, 7, 9, 11].map(|class: usize| CENTRES[class]);
        assert!(white.windows(2).all(|pair| pair[1] - pair[0] == 235));
        assert_eq!(OCTAVE, 7 * 235);
    }
}
