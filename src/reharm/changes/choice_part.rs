//! A part of all choices of replacements: what one search looks at, and on which terms.

/// A part of all choices, and how its limits are treated.
#[derive(Debug, Clone, Default)]
pub(super) struct ChoicePart {
    pub left_out: Vec<usize>,
    pub demanded: Vec<usize>,
    /// The limits that are counted.
    pub counted: Vec<usize>,
    /// The multipliers it is searched with.
    pub multipliers: Vec<i64>,
}

impl ChoicePart {
    /// All choices.
    pub fn whole(multipliers: &[i64]) -> Self {
        Self {
            multipliers: multipliers.to_vec(),
            ..Self::default()
        }
    }

    /// Whether no choice is kept out of it.
    pub fn is_whole(&self) -> bool {
        self.left_out.is_empty() && self.demanded.is_empty()
    }
}
