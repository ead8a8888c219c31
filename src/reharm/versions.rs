//! Several arrangements of a whole tune, from gentle to bold, well apart from each other.
//!
//! Each version has a strain that is welcome in it, and is the choice of changes that costs least on those
//! terms, under limits that keep it apart: of its changes at most half may be among those of any
//! version before it, and of theirs at most half among its own. A change after which less leads
//! on than before is in none: an arrangement goes somewhere; what is out of the tune's style is in bold ones only
//! (common practice, no source).

use super::changes::as_many_as_fit;
use super::{AtMost, Band, ChangeWeights, Listed, Rung, Terms};
use crate::arrange::{Cache, Settings, Trouble};
use crate::chart::{Chart, Replacement};

/// The strain that is welcome in the gentlest version and in the boldest.
const WELCOME: (u32, u32) = (1, 7);

/// How much more than what is welcome a change may strain.
const LEEWAY: u32 = 1;

/// So many bars to a change, where nobody says how many changes are wanted.
const BARS_TO_A_CHANGE: usize = 4;

/// Never fewer changes than this unless so many don't fit: fewer make no arrangement.
const FEWEST: usize = 3;

/// An arrangement of a whole tune.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Version {
    /// The strain of a change that was welcome in it.
    pub welcome: u32,
    /// Its changes, by their places in the list, rising.
    pub taken: Vec<usize>,
    /// The page with them, and what it costs.
    pub rung: Rung,
}

/// How many changes a version has if nobody says: one for every four bars of the page, and at least three.
///
/// ```
/// # use compline::{chart, reharm::usual_changes};
/// let chart = chart::read("| C | % | % | % | % | % | % | % |").unwrap();
/// assert_eq!(usual_changes(&chart), 3);
/// ```
pub fn usual_changes(chart: &Chart) -> usize {
    let bars = chart.bars().count();
    bars.div_ceil(BARS_TO_A_CHANGE).max(FEWEST)
}

/// So many versions of a chart, gentle to bold, each of so many of the listed changes; fewer changes only
/// where so many don't fit, and fewer versions only where no other is far enough from the rest.
///
/// # Errors
///
/// Those of [`changes`](super::changes).
pub fn versions(
    chart: &Chart,
    listed: &[Listed],
    weights: ChangeWeights,
    settings: &Settings,
    (count, changes): (usize, usize),
    cache: &mut Cache,
) -> Result<Vec<Version>, Trouble> {
    let mut found: Vec<Version> = Vec::new();
    for number in 0..count {
        let welcome = welcome(number, count);
        let fits = |one: &Listed| {
            let leads = one.judgement.leads_on >= 0;
            let in_style = !one.judgement.is_out_of_style() || Band::of(welcome) >= Band::Bold;
            leads && in_style && one.judgement.strain.total() <= welcome + LEEWAY
        };
        let near = |at: &usize| listed.get(*at).is_some_and(fits);
        let request = Request {
            chart,
            listed,
            weights,
            settings,
            welcome,
            places: (0..listed.len()).filter(near).collect(),
        };
        found.extend(request.best((changes, count), &found, cache)?);
    }
    Ok(found)
}

/// The strain that is welcome in a version: evenly from the gentlest to the boldest, and half way if there
/// is one only.
fn welcome(number: usize, count: usize) -> u32 {
    let (gentle, bold) = WELCOME;
    let way = u32::try_from(number).unwrap_or(u32::MAX);
    match u32::try_from(count).unwrap_or(u32::MAX).saturating_sub(1) {
        0 => gentle.midpoint(bold),
        steps => gentle + (bold - gentle) * way / steps,
    }
}

/// What is asked of one version.
struct Request<'r> {
    chart: &'r Chart,
    listed: &'r [Listed],
    weights: ChangeWeights,
    settings: &'r Settings,
    welcome: u32,
    /// The changes it may have, by their places in the list.
    places: Vec<usize>,
}

impl Request<'_> {
    /// The best with so many changes, or with as many as fit, as one of so many versions; `None` where there is none.
    fn best(
        &self,
        (changes, versions): (usize, usize),
        others: &[Version],
        cache: &mut Cache,
    ) -> Result<Option<Version>, Trouble> {
        let listed = self.places.iter().filter_map(|at| self.listed.get(*at));
        let listed: Vec<Listed> = listed.cloned().collect();
        let all: Vec<Replacement> = listed.iter().map(Listed::replacement).collect();
        let terms = |count| self.terms(&listed, count, others);
        let rung = as_many_as_fit(
            self.chart,
            &all,
            terms,
            self.settings,
            (changes, versions),
            cache,
        )?;
        Ok(rung.map(|rung| {
            let taken = rung.replacements.iter();
            let taken = taken.filter_map(|at| self.places.get(*at).copied());
            Version {
                welcome: self.welcome,
                taken: taken.collect(),
                rung,
            }
        }))
    }

    fn terms(&self, listed: &[Listed], count: usize, others: &[Version]) -> Terms {
        let near = |listed: &Listed| self.weights.charge_near(self.welcome, listed);
        let apart = others.iter().map(|other| AtMost {
            members: self.shared(listed, other),
            most: count.min(other.taken.len()) / 2,
        });
        let kinds = self.weights.limits(listed).into_iter();
        Terms {
            charges: listed.iter().map(near).collect(),
            limits: kinds.chain(apart).collect(),
        }
    }

    /// The changes that another version has as well, whichever technique they are from.
    fn shared(&self, listed: &[Listed], other: &Version) -> Vec<usize> {
        let theirs = other.taken.iter().filter_map(|at| self.listed.get(*at));
        let theirs: Vec<&Listed> = theirs.collect();
        let has = |one: &Listed| theirs.iter().any(|their| is_same(their, one));
        (0..listed.len())
            .filter(|at| listed.get(*at).is_some_and(has))
            .collect()
    }
}

/// Whether two proposals put the same chords into the same place.
fn is_same(one: &Listed, other: &Listed) -> bool {
    one.slots == other.slots && one.proposal.chords == other.proposal.chords
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_welcome_rises_evenly() {
        let all = |count| (0..count).map(|at| welcome(at, count)).collect::<Vec<_>>();
        assert_eq!(all(1), [4]);
        assert_eq!(all(3), [1, 4, 7]);
        assert_eq!(all(4), [1, 3, 5, 7]);
    }
}
