//! Why nothing can be proposed for a chart.

use super::{AskedPlaces, Ways, reharm};
use crate::arrange::{Problem, Settings, Trouble};
use crate::chart::{Chart, Slot, Wish};

/// Why there is no proposal: the first of these that holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unproposed {
    /// No chord is played.
    NoChords,
    /// The `lh` rows settle what is played under every chord.
    Settled,
    /// Held places keep out all there would be: so many.
    Held(usize),
    /// The melody refuses all there would be without it: so many.
    Melody(usize),
    /// The techniques that are allowed know none, but others so many.
    Ways(usize),
    /// No technique knows anything for chords in this order.
    NoPlace {
        /// How many chords are settled by the `lh` rows, and so left alone.
        settled: usize,
    },
}

impl Unproposed {
    /// Looks for the reason; asked only where [`reharm`] lists nothing.
    ///
    /// # Errors
    ///
    /// A play order that can't be played.
    pub fn of(
        chart: &Chart,
        settings: &Settings,
        ways: &Ways,
        asked: &AskedPlaces,
    ) -> Result<Self, Trouble> {
        let settled = match open_and_settled(&Problem::of(chart, settings)?) {
            (0, 0) => return Ok(Self::NoChords),
            (0, _) => return Ok(Self::Settled),
            (_, settled) => settled,
        };
        let deaf = Settings {
            ignore_melody: true,
            ..settings.clone()
        };
        let found = |settings, ways| {
            let found = reharm(chart, settings, ways, asked);
            found.map(|found| found.listed.len())
        };
        let kept_out = reharm(chart, settings, ways, asked)?.kept_out.len();
        if kept_out > 0 {
            return Ok(Self::Held(kept_out));
        }
        let refused = found(&deaf, ways)?;
        let all = found(settings, &Ways::default())?;
        Ok(match (refused, all) {
            (1.., _) => Self::Melody(refused),
            (0, 1..) => Self::Ways(all),
            (0, 0) => Self::NoPlace { settled },
        })
    }
}

/// How many of the chords that are played are to be planned, and how many are settled by an `lh` row.
fn open_and_settled(problem: &Problem<'_>) -> (usize, usize) {
    let played =
        |slot: &&Slot| slot.symbol.chord().is_some() && problem.performance.times(slot.index) > 0;
    let chords = problem.slots.iter().filter(played);
    let (open, settled): (Vec<_>, Vec<_>) = chords.partition(|slot| slot.wish == Wish::PLAN);
    (open.len(), settled.len())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::read;

    fn why(text: &str, ways: &str) -> Unproposed {
        let (chart, settings) = (read(text).unwrap(), Settings::default());
        let ways = ways.parse().unwrap();
        let asked = AskedPlaces::default();
        let found = reharm(&chart, &settings, &ways, &asked).unwrap();
        assert!(found.listed.is_empty(), "{text}");
        Unproposed::of(&chart, &settings, &ways, &asked).unwrap()
    }

    #[test]
    fn the_reason_is_the_first_that_holds() {
        assert_eq!(why("| N.C. |", "all"), Unproposed::NoChords);
        let given = "| Dm7 | G7 |\nlh | F3.C4 | F3.B3 |";
        assert_eq!(why(given, "all"), Unproposed::Settled);
        let two_five = "key: C\n| Dm7 | G7 | Cmaj7 |";
        assert!(matches!(why(two_five, "turnaround"), Unproposed::Ways(1..)));
        assert!(matches!(
            why("| C5 |", "all"),
            Unproposed::NoPlace { settled: 0 }
        ));
        // Over Db7 the melody's C would be the major seventh.
        let held = "key: C\n| Dm7 | G7 | Cmaj7 |\nmel | r:4 | C5:4 | r:4 |";
        assert_eq!(why(held, "tritone"), Unproposed::Melody(1));
        assert_eq!(
            why("key: C\n| G7 | Cmaj7 |", "tritone"),
            Unproposed::Held(1)
        );
    }
}
