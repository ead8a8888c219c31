//! The voice: the partials of a struck string, each dying away in two stages.
//!
//! Stiff strings have partials a little above whole multiples; the hammer strikes at about an eighth of the string and
//! leaves out the partials that rest there, and its felt takes the edge off. All constants are our own.

use std::f64::consts::PI;

use crate::pitch::Pitch;

/// Samples a second.
pub(super) const RATE: u32 = 44_100;
const PARTIALS: u32 = 24;
/// How long a string goes on when its key is let go, and how long the hammer takes, in seconds.
const RELEASE: f64 = 0.12;
const ATTACK: f64 = 0.003;

/// A key struck for a while.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Struck {
    pub pitch: Pitch,
    /// How long it is held.
    pub samples: usize,
    /// How hard, in hundredths.
    pub velocity: u8,
}

/// The sound of a struck key, its release included.
pub(super) fn struck(key: Struck) -> Vec<f32> {
    let release = (RELEASE * f64::from(RATE)) as usize;
    let mut sound = vec![0.0_f64; key.samples + release];
    let frequency = 440.0 * 2.0_f64.powf((f64::from(key.pitch.midi()) - 69.0) / 12.0);
    let stiffness = stiffness(f64::from(key.pitch.midi()));
    let hard = f64::from(key.velocity) / 100.0;
    // The stiff string is tuned so that its first partial is the note.
    let base = frequency / (1.0 + stiffness).sqrt();
    for number in 1..=PARTIALS {
        let n = f64::from(number);
        let partial = n * base * (1.0 + stiffness * n * n).sqrt();
        if partial > 0.45 * f64::from(RATE) {
            break;
        }
        let strength =
            hard * (PI * n / 8.5).sin() / n * (-0.9 * partial / (1500.0 + 2500.0 * hard)).exp();
        ring(
            &mut sound,
            partial,
            strength,
            decay(key.pitch, n, partial),
            n * n * 0.7,
        );
    }
    shape(&mut sound, release);
    sound.into_iter().map(|sample| sample as f32).collect()
}

/// Adds one partial: a turning pointer, so that no sine is taken a sample; fast at first, then slow.
fn ring(sound: &mut [f64], frequency: f64, strength: f64, decay: f64, phase: f64) {
    let step = 2.0 * PI * frequency / f64::from(RATE);
    let (turn_sin, turn_cos) = step.sin_cos();
    let (mut sin, mut cos) = phase.sin_cos();
    let fade = |seconds: f64| (-1.0 / (seconds * f64::from(RATE))).exp();
    let (fast_fade, slow_fade) = (fade(decay * 0.35), fade(decay * 1.6));
    let (mut fast, mut slow) = (0.82 * strength, 0.18 * strength);
    for sample in sound {
        *sample += (fast + slow) * sin;
        (sin, cos) = (
            sin * turn_cos + cos * turn_sin,
            cos * turn_cos - sin * turn_sin,
        );
        fast *= fast_fade;
        slow *= slow_fade;
    }
}

/// Seconds in which a partial falls to a third: ten to silence for a low string, halved every 17 keys or so.
fn decay(pitch: Pitch, number: f64, frequency: f64) -> f64 {
    let silence = 15.0 * 2.0_f64.powf((33.0 - f64::from(pitch.midi())) / 17.0);
    silence / 6.91 / (1.0 + 0.12 * (number - 1.0) + (frequency / 3000.0).powi(2))
}

/// How stiff the string of a key is: straight lines between five keys, on a logarithmic scale.
fn stiffness(key: f64) -> f64 {
    const KEYS: [(f64, f64); 5] = [
        (21.0, 2.5e-4),
        (40.0, 1.3e-4),
        (60.0, 3.5e-4),
        (84.0, 2.6e-3),
        (108.0, 1.2e-2),
    ];
    for pair in KEYS.windows(2) {
        if let [(low, from), (high, to)] = *pair
            && key <= high
        {
            let share = ((key - low) / (high - low)).clamp(0.0, 1.0);
            return (from.ln() + share * (to.ln() - from.ln())).exp();
        }
    }
    1.2e-2
}

/// Begins and ends without a click.
fn shape(sound: &mut [f64], release: usize) {
    let attack = ((ATTACK * f64::from(RATE)) as usize).min(sound.len());
    for (at, sample) in sound.iter_mut().take(attack).enumerate() {
        *sample *= at as f64 / attack as f64;
    }
    for (at, sample) in sound.iter_mut().rev().take(release).enumerate() {
        *sample *= (at as f64 / release as f64).powi(2);
    }
}

/// A short quiet click.
pub(super) fn click(frequency: f64) -> Vec<f32> {
    let length = (0.03 * f64::from(RATE)) as usize;
    let mut sound = vec![0.0; length];
    ring(&mut sound, frequency, 0.15, 0.01, 0.0);
    sound.into_iter().map(|sample| sample as f32).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A sound under a Hann window, so that its ends blur no frequency.
    fn windowed(sound: &[f32]) -> Vec<f64> {
        let turn = 2.0 * PI / sound.len() as f64;
        let window = |at: usize| 0.5 - 0.5 * (turn * at as f64).cos();
        let samples = sound.iter().enumerate();
        samples.map(|(at, s)| f64::from(*s) * window(at)).collect()
    }

    /// How strongly a frequency sounds, by a Fourier sum. A pointer is turned on from sample to sample,
    /// which is many times quicker than a sine of each.
    fn strength(sound: &[f64], frequency: f64) -> f64 {
        let (sin, cos) = (2.0 * PI * frequency / f64::from(RATE)).sin_cos();
        let (mut x, mut y) = (1.0, 0.0);
        let (mut a, mut b) = (0.0, 0.0);
        for sample in sound {
            a += sample * x;
            b += sample * y;
            (x, y) = (x * cos - y * sin, x * sin + y * cos);
        }
        a.hypot(b)
    }

    #[test]
    fn fundamentals_are_in_tune_within_three_cents() {
        for midi in [36, 48, 60, 72, 84] {
            let key = Struck {
                pitch: Pitch::new(midi).unwrap(),
                samples: 66_150,
                velocity: 70,
            };
            let sound = windowed(&struck(key)[2_000..60_000]);
            let wanted = 440.0 * 2.0_f64.powf((f64::from(midi) - 69.0) / 12.0);
            let cents = |cents: f64| wanted * 2.0_f64.powf(cents / 1200.0);
            let loudest = (-40..=40).max_by(|a, b| {
                let at = |step: &i32| strength(&sound, cents(f64::from(*step) * 0.5));
                at(a).total_cmp(&at(b))
            });
            assert!(
                loudest.is_some_and(|step| step.abs() <= 6),
                "{midi}: {loudest:?} half cents"
            );
        }
    }

    #[test]
    fn a_note_dies_away_and_ends_in_silence() {
        let sound = struck(Struck {
            pitch: Pitch::MIDDLE_C,
            samples: 88_200,
            velocity: 70,
        });
        let level = |range: std::ops::Range<usize>| {
            sound[range].iter().map(|s| f64::from(s * s)).sum::<f64>()
        };
        assert!(level(4_000..8_000) > 4.0 * level(80_000..84_000));
        assert_eq!(sound.last(), Some(&0.0));
    }
}
