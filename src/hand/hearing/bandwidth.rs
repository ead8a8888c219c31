//! How wide the ear's filters are, and how far two notes lie apart in them.
//!
//! Two tones that fall into one critical band blur into each other. The band is about 41 Hz wide at
//! C3, and narrows more slowly than the notes of an octave do on the way down: that is why a third
//! that is clear in the middle of the piano is muddy at its bottom. Plomp and Levelt (1965) tie "the
//! musical practice to avoid thirds at low frequencies" to it (as quoted; not opened).

use super::Hundredths;
use crate::pitch::Pitch;

/// A frequency, in cycles a second.
///
/// ```
/// # use compline::hand::{Hertz, key};
/// assert_eq!(Hertz::of(key("A4").unwrap()), Hertz(440.0));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Hertz(pub f64);

impl Hertz {
    /// The fundamental of a key in equal temperament, A4 = 440 Hz.
    pub fn of(pitch: Pitch) -> Self {
        Self(440.0 * ((f64::from(pitch.midi()) - 69.0) / 12.0).exp2())
    }

    /// Half-way to another frequency.
    pub(super) fn mean(self, other: Self) -> Self {
        Self((self.0 + other.0) / 2.0)
    }

    /// How far apart the two are.
    pub(super) fn apart(self, other: Self) -> f64 {
        (self.0 - other.0).abs()
    }
}

/// How wide the critical band around a frequency is, in Hz.
///
/// 1.72 f^0.65 with f in Hz: the band by which [`roughness`](super::roughness()) counts too, so that
/// both figures of a sentence come from one model (Hutchinson and Knopoff 1978, as the documentation
/// and source of the R package dycon give it; the paper was not opened).
///
/// ```
/// # use compline::hand::{Hertz, critical_band};
/// assert_eq!(critical_band(Hertz(420.0)).to_string(), "87.22");
/// ```
pub fn critical_band(around: Hertz) -> Hundredths {
    Hundredths::of(bandwidth(around))
}

pub(super) fn bandwidth(around: Hertz) -> f64 {
    1.72 * around.0.powf(0.65)
}

/// How far apart the fundamentals of two notes lie, in critical bands at their mean frequency.
///
/// Less than 1 and they share a band. The notes may come in either order.
///
/// ```
/// # use compline::hand::{key, spacing};
/// let third = |low, high| spacing(key(low).unwrap(), key(high).unwrap()).to_string();
/// assert_eq!((third("C3", "Eb3"), third("C4", "Eb4")), ("0.57".into(), "0.73".into()));
/// ```
pub fn spacing(low: Pitch, high: Pitch) -> Hundredths {
    let (low, high) = (Hertz::of(low), Hertz::of(high));
    Hundredths::of(low.apart(high) / bandwidth(low.mean(high)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hand::handbook;

    /// From the formula; 131 Hz is C3.
    #[test]
    fn hutchinson_and_knopoff_1978() {
        for (hertz, wide) in [
            (100.0, "34.32"),
            (131.0, "40.90"),
            (200.0, "53.85"),
            (440.0, "89.90"),
            (500.0, "97.69"),
            (1000.0, "153.30"),
            (2000.0, "240.55"),
            (4000.0, "377.46"),
        ] {
            assert_eq!(critical_band(Hertz(hertz)).to_string(), wide, "{hertz} Hz");
        }
    }

    /// Computed independently from the same formula. No one spacing is the arrangers' limit.
    #[test]
    fn spacings_at_the_limits_of_the_arranging_books() {
        let table = handbook();
        let at_limit = |name: &str| {
            let rows = table.rows();
            let mut rows = rows.filter(|(row, ..)| *row == name);
            let (_, interval, limit) = rows.next().unwrap();
            let low = limit.floor.unwrap();
            let high = low.plus(crate::pitch::Semitones(i32::from(interval)));
            spacing(low, high.unwrap()).to_string()
        };
        for (name, apart) in [
            ("m2", "0.20"),
            ("M2", "0.40"),
            ("m3", "0.57"),
            ("M3", "0.74"),
            ("P4", "0.93"),
            ("P5", "1.04"),
            ("m6", "1.38"),
            ("M6", "1.57"),
            ("m7", "1.75"),
            ("M7", "1.94"),
        ] {
            assert_eq!(at_limit(name), apart, "{name}");
        }
    }

    #[test]
    fn an_interval_widens_on_the_way_up_and_has_no_direction() {
        for semitones in 1..=24 {
            let pairs = (21..=108 - semitones).map(|low| {
                let key = |midi| Pitch::new(midi).unwrap();
                assert_eq!(
                    spacing(key(low), key(low + semitones)),
                    spacing(key(low + semitones), key(low))
                );
                spacing(key(low), key(low + semitones))
            });
            assert!(pairs.is_sorted(), "{semitones}");
        }
    }
}
