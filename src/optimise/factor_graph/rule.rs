//! Which pairs of rows a step allows.

use super::motion::Step;

/// What two neighbouring rows must fulfil beside being cheap. A pair that
/// breaks the rule cannot be taken, however good the rest of the plan is.
///
/// The rule is the same in both directions, as the step is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct StepRule {
    /// The farthest that any entry may travel, or `None` for any distance.
    /// What is held against it is [`Step::largest`].
    pub max_entry_step: Option<u16>,
    /// The farthest that the highest entry may travel; `Some(0)` holds it.
    pub max_top_step: Option<u16>,
}

impl StepRule {
    /// The rule that allows everything.
    pub const FREE: StepRule = StepRule {
        max_entry_step: None,
        max_top_step: None,
    };

    /// Whether the rule allows everything.
    pub fn is_free(&self) -> bool {
        *self == StepRule::FREE
    }

    /// Whether two rows may follow each other, given the step between them.
    pub fn allows(&self, a: &[i16], b: &[i16], step: Step) -> bool {
        let top = || a.last().zip(b.last()).map_or(0, |(x, y)| x.abs_diff(*y));
        self.max_entry_step
            .is_none_or(|max| step.largest <= u32::from(max))
            && self.max_top_step.is_none_or(|max| top() <= max)
    }

    /// The rule that keeps this one and another.
    pub fn and(self, other: StepRule) -> StepRule {
        let stricter = |a: Option<u16>, b: Option<u16>| a.into_iter().chain(b).min();
        StepRule {
            max_entry_step: stricter(self.max_entry_step, other.max_entry_step),
            max_top_step: stricter(self.max_top_step, other.max_top_step),
        }
    }
}
