//! What several changes strain and lead on to, together.

use crate::reharm::Listed;

/// The sums over some changes.
pub(super) struct Sums {
    pub strain: u32,
    /// How many more links than written lead on.
    pub leads_on: i32,
}

impl Sums {
    pub fn of<'l>(changes: impl Iterator<Item = &'l Listed>) -> Self {
        let none = Self {
            strain: 0,
            leads_on: 0,
        };
        changes.fold(none, |sums, one| Self {
            strain: sums.strain + one.judgement.strain.total(),
            leads_on: sums.leads_on + one.judgement.leads_on,
        })
    }
}
