//! The analysis of every chord of a tune: its region, numeral, function, and what it leads to.

use std::fmt;

use crate::chord::Chord;
use crate::pitch::Key;

use super::Function;
use super::chord_kind::{ChordKind, RootAndKind};
use super::context::{HarmonicContext, context};
use super::local_key::LocalKey;
use super::neighbours::nexts;
use super::numeral::{Numeral, ScaleStep};
use super::regions::regions;
use super::role::Situation;

/// What a chord is in its tune.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Analysis {
    /// The key of its region.
    pub region: Key,
    /// Its Roman numeral there.
    pub numeral: Numeral,
    /// What it does there.
    pub function: Function,
    /// The degree it leads to, where its function has such a goal: the ii of V7/ii. A goal the chord
    /// doesn't reach is the expected one.
    pub goal: Option<ScaleStep>,
    /// What decides its tensions.
    pub context: HarmonicContext,
}

impl Analysis {
    /// The analysis of `chord` in a region, before the next different chord.
    pub fn of(chord: &Chord, region: Key, next: Option<&Chord>) -> Self {
        let situation = Situation {
            chord: RootAndKind::of(chord),
            local_key: LocalKey::of(region),
            next: next.map(RootAndKind::of),
        };
        let role = situation.role();
        let goal = role.goal.map(|degree| {
            let reached =
                next.filter(|next| situation.local_key.degree(RootAndKind::of(next)) == degree);
            match reached {
                Some(next) => ScaleStep::of(next, region),
                None => ScaleStep::expected(degree, situation.local_key),
            }
        });
        Self {
            region,
            numeral: Numeral::of(chord, region, role.function, goal),
            function: role.function,
            goal,
            context: context(chord, Some(region), next),
        }
    }
}

/// The analysis of each slot's chord (`None`: no chord, or no region), in played order.
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::analyses;
///
/// let chords: Vec<Chord> = ["C6", "A7", "Dm7", "Db7", "C6"]
///     .map(|text| Chord::read(text).unwrap())
///     .into();
/// let row: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
/// let found = analyses(&row, "C".parse().ok(), false);
/// let shown: Vec<String> = found.iter().flatten().map(|s| s.numeral.to_string()).collect();
/// assert_eq!(shown, ["I6", "V7/ii", "ii7", "subV7", "I6"]);
/// ```
pub fn analyses(slots: &[Option<&Chord>], key: Option<Key>, looped: bool) -> Vec<Option<Analysis>> {
    analyses_in(slots, &regions(slots, key, looped), &nexts(slots, looped))
}

/// The same where it is known of each slot in which region it stands, and what its chord leads to.
pub fn analyses_in(
    slots: &[Option<&Chord>],
    regions: &[Option<Key>],
    nexts: &[Option<&Chord>],
) -> Vec<Option<Analysis>> {
    let rows = slots.iter().zip(nexts).zip(regions);
    let mut found: Vec<Option<Analysis>> = rows
        .map(|((slot, next), region)| Some(Analysis::of((*slot)?, (*region)?, *next)))
        .collect();
    with_hindsight(slots, &mut found);
    found
}

/// I7 after its own ii is on its way to IV: no longer a blues tonic. This is a name only; the colour
/// is the same.
fn with_hindsight(slots: &[Option<&Chord>], found: &mut [Option<Analysis>]) {
    let mut before: Option<(RootAndKind, Key)> = None;
    for (slot, analysis) in slots.iter().zip(found) {
        let Some((chord, analysis)) = slot.zip(analysis.as_mut()) else {
            continue;
        };
        let kind = RootAndKind::of(chord);
        let own_ii = before.is_some_and(|(ii, key)| {
            key == analysis.region
                && matches!(ii.kind, ChordKind::Minor | ChordKind::HalfDiminished)
                && ii.up_to(kind) == 5
        });
        if own_ii && analysis.function == Function::BluesTonic && analysis.goal.is_some() {
            analysis.function = Function::SecondaryDominant;
            analysis.numeral =
                Numeral::of(chord, analysis.region, analysis.function, analysis.goal);
        }
        if before.is_none_or(|(earlier, _)| earlier != kind) {
            before = Some((kind, analysis.region));
        }
    }
}

impl fmt::Display for Analysis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.numeral, self.function)?;
        match self.goal {
            Some(goal) => write!(f, " of {goal}"),
            None => Ok(()),
        }
    }
}
