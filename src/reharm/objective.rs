//! What a choice of proposals is made for: little effort, little strain, chords that lead on, and no trick
//! more than twice.
//!
//! The effort alone told good changes from wrong ones no better than chance when a pianist had marked 503 of
//! them, and the strain did. On seven tunes that nobody had looked at before, least effort chose 12 good, 10
//! tolerable and 6 wrong changes, and effort + 3 strain - 4 leads-on 18, 10 and none. That a trick wears
//! off by its third time is common practice, no source.

use super::{AtMost, Listed, Terms};

/// How much strain and leading on weigh against a semitone of effort, and how often a technique may be used.
///
/// ```
/// use compline::reharm::ChangeWeights;
/// let usual = ChangeWeights::default();
/// assert_eq!((usual.strain, usual.leads_on, usual.of_a_kind), (3, 4, 2));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ChangeWeights {
    /// Semitones for each point of strain.
    pub strain: u32,
    /// Semitones taken off for each link more that leads on.
    pub leads_on: u32,
    /// How many changes may be of one technique.
    pub of_a_kind: u32,
}

impl Default for ChangeWeights {
    fn default() -> Self {
        Self {
            strain: 3,
            leads_on: 4,
            of_a_kind: 2,
        }
    }
}

impl ChangeWeights {
    /// What a proposal is charged beside effort. What it leads on to is judged beside the page as it is, so
    /// charges of several simply add up.
    pub fn charge(&self, listed: &Listed) -> i64 {
        self.strained(listed.judgement.strain.total()) - self.led(listed)
    }

    /// The charge where so much strain is welcome: every point more weighs in full, and every point less as
    /// much, since a bold arrangement isn't made of hints.
    pub(super) fn charge_near(&self, welcome: u32, listed: &Listed) -> i64 {
        let strain = listed.judgement.strain.total();
        self.strained(strain.abs_diff(welcome)) - self.led(listed)
    }

    fn strained(&self, points: u32) -> i64 {
        i64::from(self.strain) * i64::from(points)
    }

    fn led(&self, listed: &Listed) -> i64 {
        i64::from(self.leads_on) * i64::from(listed.judgement.leads_on)
    }

    /// The terms of a choice among some proposals.
    pub fn terms(&self, listed: &[Listed]) -> Terms {
        Terms {
            charges: listed.iter().map(|listed| self.charge(listed)).collect(),
            limits: self.limits(listed),
        }
    }

    /// No more of a technique than allowed, for each that has more.
    pub(super) fn limits(&self, listed: &[Listed]) -> Vec<AtMost> {
        let technique = |at: &usize| listed.get(*at).map(|one| one.proposal.technique);
        let first = |at: &usize| {
            let mut before = (0..*at).filter(|other| technique(other) == technique(at));
            before.next().is_none()
        };
        let most = self.of_a_kind as usize;
        let kinds = (0..listed.len()).filter(first).map(|kind| {
            let members = (kind..listed.len()).filter(|at| technique(at) == technique(&kind));
            members.collect::<Vec<usize>>()
        });
        let kinds = kinds.filter(|members| members.len() > most);
        kinds.map(|members| AtMost { members, most }).collect()
    }
}

/// The proposals that are worth a change: those that bring something, and that a hand without roots plays.
/// Chosen for little motion, a chord of the key that leads on to nothing would be taken again and again.
pub fn worth_a_change(mut listed: Vec<Listed>) -> Vec<Listed> {
    listed.retain(|Listed { judgement, .. }| {
        !judgement.idle && !judgement.bass_only && !judgement.dull
    });
    listed
}
