//! Chords in a row as the page has them: where those of a bar don't share it equally, with a `/` for every
//! beat more.

use crate::chart::NewChord;
use crate::chart::bar_sharing::slashes_of;

/// The symbols of some chords, one that goes on over a bar line once; in a bar with chords of different
/// lengths each with its beats: `Cm7 / Bbm7 Eb7`.
pub(super) fn in_rhythm(chords: &[NewChord]) -> String {
    let mut words: Vec<String> = Vec::new();
    let mut before: Option<&str> = None;
    for bar in chords.chunk_by(|a, b| a.bar == b.bar) {
        let even = bar.windows(2).all(|pair| match pair {
            [a, b] => a.beats == b.beats,
            _ => true,
        });
        for new in bar {
            let symbol = new.chord.symbol();
            if !even || before != Some(symbol) {
                words.push(symbol.to_owned());
            }
            let more = slashes_of(new.beats).filter(|_| !even);
            words.extend((0..more.unwrap_or(0)).map(|_| "/".to_owned()));
            before = Some(symbol);
        }
    }
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    #[test]
    fn only_an_uneven_bar_shows_its_beats() {
        let shown = |row: &str| {
            let chart = read(row).unwrap();
            let slots = chart.slots();
            let chords = slots.iter().map(|slot| NewChord {
                bar: slot.bar,
                beat: slot.beat,
                beats: slot.beats,
                chord: slot.symbol.chord().unwrap().clone(),
            });
            in_rhythm(&chords.collect::<Vec<_>>())
        };
        assert_eq!(shown("| Cm7 / Bbm7 Eb7 |"), "Cm7 / Bbm7 Eb7");
        assert_eq!(shown("| Cm7 F7 | Bb |"), "Cm7 F7 Bb");
        assert_eq!(shown("| G7 | G7 | C |"), "G7 C");
        assert_eq!(shown("| 3/4 Cm7 / F7 | Bb |"), "Cm7 / F7 Bb");
        assert_eq!(shown("| Cm7 | Cm7 / / F7 |"), "Cm7 Cm7 / / F7");
    }
}
