//! What is known of the best choice of so many replacements while it is searched for.

use crate::optimise::Cost;

/// A choice of so many replacements.
#[derive(Debug, Clone)]
pub(super) struct Best {
    /// The replacements, rising.
    pub taken: Vec<usize>,
    /// Its effort and what it is charged.
    pub score: i64,
    /// No choice of as many has a lower score.
    pub bound: i64,
    /// Whether its score is that bound.
    pub proved: bool,
}

/// What the engine finds for one number of replacements, the limits being counted, priced or not there.
#[derive(Debug, Clone)]
pub(super) struct Relaxed {
    pub taken: Vec<usize>,
    pub score: i64,
    pub bound: i64,
    pub rest: Cost,
    pub keeps: bool,
}

/// What is known of the best choice so far.
#[derive(Debug)]
pub(super) struct Standing {
    pub best: Option<Relaxed>,
    /// The highest bound.
    pub bound: i64,
    /// The multipliers that gave the highest bound without counting.
    pub multipliers: Vec<i64>,
}

/// A choice that keeps the limits, with what bounds others well.
#[derive(Debug, Clone)]
pub(super) struct DraftChoice {
    pub choice: Relaxed,
    /// The multipliers of the limits that gave the highest bound without counting.
    pub multipliers: Vec<i64>,
    /// By how much that bound falls from one replacement less to so many.
    pub fall: i64,
}

impl Standing {
    pub const NOTHING: Self = Self {
        best: None,
        bound: i64::MIN,
        multipliers: Vec::new(),
    };

    pub fn take(&mut self, multipliers: &[i64], found: &Relaxed) {
        if found.bound > self.bound {
            self.multipliers = multipliers.to_vec();
        }
        self.take_counted(found);
    }

    pub fn take_counted(&mut self, found: &Relaxed) {
        self.bound = self.bound.max(found.bound);
        self.take_choice(found);
    }

    pub fn take_choice(&mut self, found: &Relaxed) {
        let key = |choice: &Relaxed| (choice.score, choice.rest);
        let better = self.best.as_ref().is_none_or(|best| key(found) < key(best));
        if found.keeps && better {
            self.best = Some(found.clone());
        }
    }

    /// The bound where parts are still open down to this one.
    pub fn floor(&self, lowest: Option<i64>) -> i64 {
        let best = self.best.as_ref().map(|best| best.score);
        let floor = match (lowest, best) {
            (Some(lowest), Some(best)) => lowest.min(best),
            (one, other) => one.or(other).unwrap_or(self.bound),
        };
        floor.max(self.bound)
    }

    /// Whether nothing can be better than the best that is known by more than so much.
    pub fn is_within(&self, gap: i64) -> bool {
        self.best
            .as_ref()
            .is_some_and(|best| best.score.saturating_sub(self.bound) <= gap)
    }

    pub fn is_settled(&self) -> bool {
        self.is_within(0)
    }

    pub fn best(&self) -> Option<Best> {
        let best = self.best.as_ref()?;
        Some(Best {
            taken: best.taken.clone(),
            score: best.score,
            bound: self.bound.min(best.score),
            proved: self.is_settled(),
        })
    }
}
