//! Where every chord of a tune stands: its region, numeral, function, and what it leads to.

use std::fmt;

use crate::chord::Chord;
use crate::pitch::Key;

use super::Function;
use super::analysis::Situation;
use super::home::Home;
use super::look::{Kind, Look};
use super::neighbours::nexts;
use super::numeral::{Numeral, Step};
use super::place::{Place, place};
use super::regions::regions;

/// Where a chord stands in its tune.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    /// The key of its region.
    pub region: Key,
    /// Its Roman numeral there.
    pub numeral: Numeral,
    /// What it does there.
    pub function: Function,
    /// The degree it leads to, where its function has such a goal: the ii of V7/ii. A goal the chord
    /// doesn't reach is the expected one.
    pub goal: Option<Step>,
    /// What decides its tensions.
    pub place: Place,
}

impl Standing {
    /// Where `chord` stands in a region, before the next different chord.
    pub fn of(chord: &Chord, region: Key, next: Option<&Chord>) -> Self {
        let situation = Situation {
            chord: Look::of(chord),
            home: Home::of(region),
            next: next.map(Look::of),
        };
        let analysis = situation.analysis();
        let goal = analysis.goal.map(|degree| {
            let reached = next.filter(|next| situation.home.degree(Look::of(next)) == degree);
            match reached {
                Some(next) => Step::of(next, region),
                None => Step::expected(degree, situation.home),
            }
        });
        Self {
            region,
            numeral: Numeral::of(chord, region, analysis.function, goal),
            function: analysis.function,
            goal,
            place: place(chord, Some(region), next),
        }
    }
}

/// Where each slot's chord stands (`None`: no chord, or no region), in played order.
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::standings;
///
/// let chords: Vec<Chord> = ["C6", "A7", "Dm7", "Db7", "C6"]
///     .map(|text| Chord::read(text).unwrap())
///     .into();
/// let row: Vec<Option<&Chord>> = chords.iter().map(Some).collect();
/// let found = standings(&row, "C".parse().ok(), false);
/// let shown: Vec<String> = found.iter().flatten().map(|s| s.numeral.to_string()).collect();
/// assert_eq!(shown, ["I6", "V7/ii", "ii7", "subV7", "I6"]);
/// ```
pub fn standings(
    slots: &[Option<&Chord>],
    key: Option<Key>,
    looped: bool,
) -> Vec<Option<Standing>> {
    standings_in(slots, &regions(slots, key, looped), &nexts(slots, looped))
}

/// The same where it is known of each slot in which region it stands, and what its chord leads to.
pub fn standings_in(
    slots: &[Option<&Chord>],
    regions: &[Option<Key>],
    nexts: &[Option<&Chord>],
) -> Vec<Option<Standing>> {
    let rows = slots.iter().zip(nexts).zip(regions);
    let mut found: Vec<Option<Standing>> = rows
        .map(|((slot, next), region)| Some(Standing::of((*slot)?, (*region)?, *next)))
        .collect();
    with_hindsight(slots, &mut found);
    found
}

/// I7 after its own ii is on its way to IV: no longer a blues tonic. This is a name only; the colour
/// is the same.
fn with_hindsight(slots: &[Option<&Chord>], found: &mut [Option<Standing>]) {
    let mut before: Option<(Look, Key)> = None;
    for (slot, standing) in slots.iter().zip(found) {
        let Some((chord, standing)) = slot.zip(standing.as_mut()) else {
            continue;
        };
        let look = Look::of(chord);
        let own_ii = before.is_some_and(|(ii, key)| {
            key == standing.region
                && matches!(ii.kind, Kind::Minor | Kind::HalfDiminished)
                && ii.up_to(look) == 5
        });
        if own_ii && standing.function == Function::BluesTonic && standing.goal.is_some() {
            standing.function = Function::SecondaryDominant;
            standing.numeral =
                Numeral::of(chord, standing.region, standing.function, standing.goal);
        }
        if before.is_none_or(|(earlier, _)| earlier != look) {
            before = Some((look, standing.region));
        }
    }
}

impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.numeral, self.function)?;
        match self.goal {
            Some(goal) => write!(f, " of {goal}"),
            None => Ok(()),
        }
    }
}
