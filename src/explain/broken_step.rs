//! Why a step can't be made as wished, and what would help.

use std::fmt;

use crate::arrange::Broken;
use crate::chart::Slot;
use crate::words::{counted, listed};

impl Broken {
    /// What the arranger can do about it.
    pub fn help(&self) -> String {
        let leap = (self
            .leap
            .is_some_and(|leap| u32::from(leap) < self.least_leap))
        .then(|| format!("leap={} is the least that can be made", self.least_leap));
        let top = (self.top.is_some_and(|top| u32::from(top) < self.least_top)).then(|| {
            let semitones = counted(self.least_top, "semitone");
            format!("the top note moves {semitones} at least: top=free lets it")
        });
        let needs: Vec<String> = leap.into_iter().chain(top).collect();
        match (needs.is_empty(), self.is_one_step()) {
            (false, true) => needs.join("; "),
            _ => format!(
                "loosen one of the wishes on the way: a wider leap=, top=free, or one wish less \
                 between {} and {}",
                place(&self.since),
                place(&self.to)
            ),
        }
    }

    fn is_one_step(&self) -> bool {
        self.since == self.from
    }

    /// The wishes that fail: only those that fail by themselves, if any does.
    fn wishes(&self) -> String {
        let leap = self.leap.map(|leap| (leap, self.least_leap));
        let top = self.top.map(|top| (top, self.least_top));
        let fails = |limit: &(u16, u32)| u32::from(limit.0) < limit.1;
        let alone = leap.filter(fails).is_some() || top.filter(fails).is_some();
        let named = |limit: &(u16, u32)| !alone || fails(limit);
        let top = top.filter(named).map(|(top, _)| match top {
            0 => "`top=held`".to_owned(),
            _ => "`top=step`".to_owned(),
        });
        let leap = leap.filter(named).map(|(leap, _)| format!("`leap={leap}`"));
        let wishes: Vec<String> = top.into_iter().chain(leap).collect();
        listed(&wishes, "and")
    }
}

fn place(slot: &Slot) -> String {
    format!(
        "bar {}, beat {} ({})",
        slot.bar,
        slot.beat,
        slot.symbol.text()
    )
}

impl fmt::Display for Broken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (to, from) = (&self.to, place(&self.from));
        write!(f, "bar {}, beat {}: {} ", to.bar, to.beat, to.symbol.text())?;
        write!(f, "can't follow {from} with {}", self.wishes())?;
        if self.is_one_step() {
            return Ok(());
        }
        write!(
            f,
            ", together with what is wished since {}",
            place(&self.since)
        )
    }
}

impl std::error::Error for Broken {}
