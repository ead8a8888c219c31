//! Sound: a performance as a WAV file, played by a small voice that sounds like a piano from afar.
//!
//! It is for judging voicings, where they are muddy and where they rub the melody, not for listening pleasure. The voice adds
//! up partials; its constants are our own guesses, shaped after what is known of piano strings, and no instrument was copied.

mod string;
mod wav;

use std::collections::BTreeMap;
use std::fmt;
use std::ops::Range;

use crate::chart::sizes::MOST_MINUTES;
use crate::score::{Part, Quarters, Sign, TimedNote, Timeline};
use string::{RATE, Struck, struck};

/// How a performance is made to sound.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SoundOptions {
    /// Whether a bar of quiet clicks comes first.
    pub count_in: bool,
}

/// The loudest sample, as a share of the largest there is: no clipping, and some room above.
const PEAK: f32 = 0.89;
/// Silence behind the last note, in seconds, in which it dies away.
const TAIL: f64 = 1.5;

/// Left and right samples.
type Stereo = [Vec<f32>; 2];

/// So many samples are mixed at a time: ten seconds, so that a long performance needs little more memory than its
/// file.
const AT_A_TIME: usize = 10 * RATE as usize;

/// A performance would sound for longer than is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooLong {
    /// For how many minutes it would sound, begun ones counted.
    pub minutes: usize,
}

impl fmt::Display for TooLong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { minutes } = self;
        write!(
            f,
            "it would sound for {minutes} minutes, and a WAV file may last {MOST_MINUTES}"
        )
    }
}

impl std::error::Error for TooLong {}

/// Writes a performance as a WAV file: 16 bits, stereo, 44,100 samples a second.
///
/// # Errors
///
/// A performance of more than [`MOST_MINUTES`].
pub fn wav(timeline: &Timeline, options: SoundOptions) -> Result<Vec<u8>, TooLong> {
    let before = if options.count_in {
        count_in(timeline)
    } else {
        Quarters::ZERO
    };
    let clock = SampleClock::of(timeline).after(before);
    let samples = clock.sample(before + timeline.end) + (TAIL * f64::from(RATE)) as usize;
    let minutes = samples.div_ceil(60 * RATE as usize);
    if minutes > MOST_MINUTES {
        return Err(TooLong { minutes });
    }
    let clicks = match options.count_in {
        true => clicks(&clock, timeline),
        false => Vec::new(),
    };
    let mut strings: BTreeMap<Struck, Vec<f32>> = BTreeMap::new();
    for note in &timeline.notes {
        let (key, _) = key(note, &clock, before);
        strings.entry(key).or_insert_with(|| struck(key));
    }
    let notes = timeline.notes.iter().filter_map(|note| {
        let (key, from) = key(note, &clock, before);
        let sound = strings.get(&key)?;
        Some(PlacedSound {
            sound,
            from,
            side: side(note),
        })
    });
    let clicks = clicks.iter().map(|(from, sound)| PlacedSound {
        sound,
        from: *from,
        side: 0.5,
    });
    Ok(file(&clicks.chain(notes).collect::<Vec<_>>(), samples))
}

/// A sound, the sample it begins at, and its side.
struct PlacedSound<'a> {
    sound: &'a [f32],
    from: usize,
    side: f32,
}

/// The key that is struck for a note, and when.
fn key(note: &TimedNote, clock: &SampleClock, before: Quarters) -> (Struck, usize) {
    let from = clock.sample(before + note.start);
    let to = clock.sample(before + note.start + note.length);
    let key = Struck {
        pitch: note.pitch,
        samples: to.saturating_sub(from),
        velocity: velocity(note.part),
    };
    (key, from)
}

/// The file of so many samples: mixed once for the loudest of them, and once more to be written.
fn file(sounds: &[PlacedSound<'_>], samples: usize) -> Vec<u8> {
    let starts = || (0..samples).step_by(AT_A_TIME);
    let mixed = |start| mixed(sounds, start..samples.min(start + AT_A_TIME));
    let loudest = starts().map(|start| loudest(&mixed(start)));
    let loudest = loudest.fold(0.0, f32::max);
    let factor = if loudest > 0.0 { PEAK / loudest } else { 1.0 };
    let mut file = wav::begun(samples, RATE);
    starts().for_each(|start| wav::add(&mut file, &mixed(start), factor));
    file
}

/// What sounds during these samples.
fn mixed(sounds: &[PlacedSound<'_>], during: Range<usize>) -> Stereo {
    let mut mix: Stereo = [vec![0.0; during.len()], vec![0.0; during.len()]];
    for PlacedSound { sound, from, side } in sounds {
        if *from >= during.end {
            continue;
        }
        let begun = during.start.saturating_sub(*from);
        let rest = sound.get(begun..).unwrap_or_default();
        add(&mut mix, rest, from.saturating_sub(during.start), *side);
    }
    mix
}

/// When each place of a performance sounds.
struct SampleClock {
    /// From where on, when that is in seconds, and how many seconds a quarter note lasts from there; in
    /// order, the first from the beginning.
    tempi: Vec<(Quarters, f64, f64)>,
}

impl SampleClock {
    fn of(timeline: &Timeline) -> Self {
        let mut clock = Self {
            tempi: vec![(Quarters::ZERO, 0.0, 0.5)],
        };
        for (at, sign) in &timeline.signs {
            if let Sign::Tempo(tempo) = sign {
                let quarter = 60.0 / (f64::from(tempo.beats).max(1.0) * seconds(tempo.beat()));
                clock.tempi.push((*at, clock.second(*at), quarter));
            }
        }
        clock
    }

    /// The same performance with so much before it, in its first tempo.
    fn after(self, before: Quarters) -> Self {
        let first = self
            .tempi
            .iter()
            .rev()
            .find(|(at, ..)| *at == Quarters::ZERO);
        let quarter = first.map_or(0.5, |(.., quarter)| *quarter);
        let wait = seconds(before) * quarter;
        let later = self
            .tempi
            .iter()
            .map(|(at, when, quarter)| (before + *at, when + wait, *quarter));
        let mut tempi = vec![(Quarters::ZERO, 0.0, quarter)];
        tempi.extend(later);
        Self { tempi }
    }

    fn second(&self, at: Quarters) -> f64 {
        let last = self.tempi.iter().rev().find(|(from, ..)| *from <= at);
        last.map_or(0.0, |(from, when, quarter)| {
            when + seconds(at - *from) * quarter
        })
    }

    fn sample(&self, at: Quarters) -> usize {
        (self.second(at) * f64::from(RATE)).round().max(0.0) as usize
    }
}

/// A fraction as a number; seconds, where a quarter note lasts one.
fn seconds(quarters: Quarters) -> f64 {
    quarters.numerator() as f64 / quarters.denominator() as f64
}

/// How hard a part is struck, in hundredths: the melody stands out.
const fn velocity(part: Part) -> u8 {
    match part {
        Part::Melody => 80,
        Part::Hand => 50,
        Part::Bass => 60,
    }
}

/// From 0, left, to 1, right: as the keys lie before a player, close to the middle.
fn side(note: &TimedNote) -> f32 {
    0.5 + (f32::from(note.pitch.midi()) - 64.0) / 120.0
}

fn add(mix: &mut Stereo, sound: &[f32], from: usize, side: f32) {
    let [left, right] = mix;
    for (channel, share) in [(left, (1.0 - side).sqrt()), (right, side.max(0.0).sqrt())] {
        for (sample, part) in channel.iter_mut().skip(from).zip(sound) {
            *sample += part * share;
        }
    }
}

/// A bar of the first meter.
fn count_in(timeline: &Timeline) -> Quarters {
    meter(timeline).map_or(Quarters::whole(4), Quarters::of_bar)
}

fn meter(timeline: &Timeline) -> Option<crate::chart::Meter> {
    timeline.signs.iter().find_map(|(_, sign)| match sign {
        Sign::Meter(meter) => Some(*meter),
        _ => None,
    })
}

/// A quiet click on every beat of the first bar, the first one higher, and when it comes.
fn clicks(clock: &SampleClock, timeline: &Timeline) -> Vec<(usize, Vec<f32>)> {
    let Some(meter) = meter(timeline) else {
        return Vec::new();
    };
    let beat = Quarters::of_bar(meter).ratio() / i64::from(meter.beats_in_bar());
    let beats = 0..i64::from(meter.beats_in_bar());
    let click = |number| {
        let click = string::click(if number == 0 { 1600.0 } else { 1200.0 });
        (clock.sample(Quarters::from(beat * number)), click)
    };
    beats.map(click).collect()
}

fn loudest(mix: &Stereo) -> f32 {
    let samples = mix.iter().flatten();
    samples.fold(0.0_f32, |most, sample| most.max(sample.abs()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arrange::{Cache, Settings, arrange};
    use crate::chart::read;
    use crate::score::Performing;

    fn sound(source: &str, options: SoundOptions) -> Vec<u8> {
        let arrangement = arrange(
            read(source).unwrap(),
            &Settings::default(),
            &mut Cache::default(),
        )
        .unwrap();
        wav(&Timeline::of(&arrangement, &Performing::default()), options).unwrap()
    }

    fn samples(file: &[u8]) -> Vec<i16> {
        file[44..]
            .chunks(2)
            .map(|pair| i16::from_le_bytes([pair[0], pair[1]]))
            .collect()
    }

    #[test]
    fn it_lasts_as_long_as_the_music_and_its_end() {
        let file = sound(
            "tempo: 120\n| Dm7 | G7 | Cmaj7 | % |\n",
            SoundOptions::default(),
        );
        assert_eq!(samples(&file).len(), 2 * (8 * 44_100 + 66_150));
        let counted = sound(
            "tempo: 120\n| Dm7 | G7 | Cmaj7 | % |\n",
            SoundOptions { count_in: true },
        );
        assert_eq!(samples(&counted).len(), 2 * (10 * 44_100 + 66_150));
    }

    #[test]
    fn a_long_performance_is_mixed_as_a_short_one_is_and_one_without_end_is_refused() {
        let sound: Vec<f32> = (1..=50).map(|sample| 1.0 / sample as f32).collect();
        let placed = |from, side| PlacedSound {
            sound: &sound,
            from,
            side,
        };
        let sounds = [
            placed(0, 0.5),
            placed(37, 0.2),
            placed(40, 0.9),
            placed(90, 0.5),
        ];
        let [left, right] = mixed(&sounds, 0..120);
        for at_a_time in [7, 40, 119] {
            let starts = (0..120).step_by(at_a_time);
            let parts = starts.map(|start| mixed(&sounds, start..120.min(start + at_a_time)));
            let [lefts, rights]: [Vec<_>; 2] = parts
                .fold(Default::default(), |[l, r], [left, right]| {
                    [[l, left].concat(), [r, right].concat()]
                });
            assert_eq!((lefts, rights), (left.clone(), right.clone()));
        }
        assert!(left[37] > left[36] && left[119] > 0.0 && right[0] > 0.0);
        let arrangement = arrange(
            read(&format!("tempo: 40\n{}", "| C |\n".repeat(81))).unwrap(),
            &Settings::default(),
            &mut Cache::default(),
        );
        let timeline = Timeline::of(&arrangement.unwrap(), &Performing::default());
        let refused = wav(&timeline, SoundOptions::default()).unwrap_err();
        assert_eq!(refused, TooLong { minutes: 9 });
        assert!(refused.to_string().contains(&MOST_MINUTES.to_string()));
    }

    #[test]
    fn nothing_clips_and_something_sounds() {
        let loudest = samples(&sound("tempo: 200\n| C13 G13 |\n", SoundOptions::default()))
            .iter()
            .map(|sample| sample.unsigned_abs())
            .max();
        assert!(
            loudest.is_some_and(|loudest| (29_000..29_200).contains(&loudest)),
            "{loudest:?}"
        );
    }

    /// The share of the energy below 250 Hz, by a filter of first order run twice.
    fn low_share(midis: &[u8]) -> f64 {
        let mut mix = vec![0.0; 44_100];
        for midi in midis {
            let key = Struck {
                pitch: crate::pitch::Pitch::new(*midi).unwrap(),
                samples: 44_100,
                velocity: 50,
            };
            mix.iter_mut()
                .zip(struck(key))
                .for_each(|(sum, sample)| *sum += f64::from(sample));
        }
        let factor = 1.0 - (-2.0 * std::f64::consts::PI * 250.0 / 44_100.0).exp();
        let (mut once, mut twice, mut low, mut all) = (0.0, 0.0, 0.0, 0.0);
        for sample in mix {
            once += factor * (sample - once);
            twice += factor * (once - twice);
            low += twice * twice;
            all += sample * sample;
        }
        low / all
    }

    #[test]
    fn mud_can_be_measured() {
        let (high, low) = (low_share(&[51, 55, 56, 60]), low_share(&[39, 43, 44, 48]));
        assert!(low > 1.6 * high, "an octave lower: {low} against {high}");
    }
}
