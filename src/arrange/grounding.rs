//! What each voicing of a plan would be taken for, and what to touch: [`crate::voicing::grounding`]
//! with the chord that sounds before it in the performance.

use std::collections::BTreeMap;

use super::arrangement::Arrangement;
use crate::chord::Chord;
use crate::voicing::{Grounding, grounding};

impl Arrangement {
    /// For each slot what its voicing would be taken for, and what to touch; `None` for silence.
    ///
    /// The chord before is the last that sounds before the slot is first played; in a loop the last
    /// comes before the first. Other chords are called by their names in the key the slot stands in.
    ///
    /// ```
    /// use compline::arrange::{Settings, arrange};
    /// use compline::chart;
    ///
    /// let chart = chart::read("key: C\n| Dm7 | G7 | Cmaj7 |\n").unwrap();
    /// let arrangement = arrange(chart, &Settings::default(), &mut Default::default()).unwrap();
    /// let all = arrangement.groundings();
    /// let two = all[0].as_ref().unwrap();
    /// assert_eq!(two.heard_as[0].symbol, "Fmaj7");
    /// assert_eq!(two.touch[0].name.to_string(), "D");
    /// ```
    pub fn groundings(&self) -> Vec<Option<Grounding>> {
        let before = self.before();
        let slots = self.slots.iter().enumerate();
        slots
            .map(|(at, arranged)| {
                let (chord, voicing) = (self.sounding(at)?, arranged.voicing.as_ref()?);
                let before = before.get(&at).and_then(|at| self.sounding(*at));
                let spelling = self.settings.voicing.spelling();
                Some(grounding(chord, voicing, before, arranged.key, spelling))
            })
            .collect()
    }

    /// The chord of a slot in which the hand sounds.
    fn sounding(&self, at: usize) -> Option<&Chord> {
        let arranged = self.slots.get(at)?;
        arranged.voicing.as_ref().and(arranged.slot.symbol.chord())
    }

    /// For each slot that sounds after another one, that other one the first time.
    fn before(&self) -> BTreeMap<usize, usize> {
        let sounding = self.performance.sounding(|at| self.sounding(at).is_some());
        let mut first: BTreeMap<usize, Option<usize>> = BTreeMap::new();
        for (from, at) in sounding.arrivals() {
            first.entry(at).or_insert(from);
        }
        let first = first.into_iter();
        first.filter_map(|(at, from)| Some((at, from?))).collect()
    }
}

#[cfg(test)]
mod tests {
    use crate::arrange::{Settings, arrange};
    use crate::chart;

    /// The names to touch in each slot.
    fn touched(text: &str, looped: bool) -> Vec<Vec<String>> {
        let settings = Settings {
            looped,
            ..Settings::default()
        };
        let chart = chart::read(text).unwrap();
        let arrangement = arrange(chart, &settings, &mut Default::default()).unwrap();
        let names = arrangement.groundings().into_iter().map(|one| {
            let touch = one.map(|one| one.touch).unwrap_or_default();
            touch.iter().map(|touch| touch.name.to_string()).collect()
        });
        names.collect()
    }

    #[test]
    fn the_chord_before_is_the_one_that_is_heard_before() {
        let silent_bar = "key: C\n| Dm7 | N.C. | G7 |\n";
        assert_eq!(
            touched(silent_bar, false),
            [vec!["D"], vec![], vec!["G", "B"]]
        );
        // Going round, D minor comes after the dominant, whose F it keeps.
        assert_eq!(touched(silent_bar, true)[0], ["D", "C"]);
        // The section played first is written last.
        let turned = "key: C\nplay: B A\n[A]\n| G7 |\n[B]\n| Dm7 |\n";
        assert_eq!(touched(turned, false), [["G", "B"].to_vec(), vec!["D"]]);
    }
}
