//! A cost in one number.

/// Greater than every key of a possible plan. Two of them still fit, so sums are clamped pair by pair.
pub(in crate::optimise) const NEVER: u64 = 1 << 62;

/// Two keys together, of which either may be [`NEVER`].
#[inline(always)]
pub(in crate::optimise) fn join(a: u64, b: u64) -> u64 {
    (a + b).min(NEVER)
}

/// The least key of a line.
pub(in crate::optimise) fn least(line: &[u64]) -> u64 {
    line.iter().fold(NEVER, |least, &key| least.min(key))
}

/// So many bits hold the largest distance of a step, and so many its motion, where steps are measured many
/// at a time.
pub(in crate::optimise) const STEP_BITS: u32 = 16;

/// How a step is made into a key: (motion * 2^`shift` + largest) * `unit`.
#[derive(Clone, Copy)]
pub(in crate::optimise) struct Units {
    pub shift: u32,
    pub unit: u64,
}
