//! The min-plus step in effort alone for many lines at once, with rows of any length: a min-plus product
//! of matrices in 16-bit lanes. Excesses are cut as in [`kernel`](super::kernel).

use super::key::{NEVER, least};

/// The lanes that are kept in registers together.
const LANES: usize = 16;

/// Room kept from step to step.
#[derive(Default)]
pub(in crate::optimise) struct ProductRoom {
    /// For each near row what it takes to every far row, filled up to whole lanes.
    steps: Vec<i16>,
    near: Vec<i16>,
    best: Vec<i16>,
}

/// Fills every line of `out`; `false`, and nothing done, if a step is too long. `steps` adds for a near row
/// by its place what its steps to all far rows cost, if that fits.
pub(in crate::optimise) fn product(
    steps: impl FnMut(usize, &mut Vec<i16>) -> bool,
    near: usize,
    far: usize,
    sums: &[u64],
    out: &mut [u64],
    room: &mut ProductRoom,
) -> bool {
    let wide = far.next_multiple_of(LANES);
    let Some(reach) = room.lay_out(steps, near, wide) else {
        return false;
    };
    for (sums, out) in sums.chunks_exact(near).zip(out.chunks_exact_mut(far)) {
        let least = least(sums);
        if least >= NEVER {
            out.fill(NEVER);
            continue;
        }
        room.near.clear();
        let excess = sums.iter().map(|&sum| (sum - least).min(reach + 1) as i16);
        room.near.extend(excess);
        room.line(wide);
        for (out, &best) in out.iter_mut().zip(&room.best) {
            *out = least + best as u64;
        }
    }
    true
}

impl ProductRoom {
    /// Lays out the steps and returns the longest, if twice as much and one fits.
    fn lay_out(
        &mut self,
        mut steps: impl FnMut(usize, &mut Vec<i16>) -> bool,
        near: usize,
        wide: usize,
    ) -> Option<u64> {
        self.steps.clear();
        self.best.resize(wide, 0);
        for row in 0..near {
            if !steps(row, &mut self.steps) {
                return None;
            }
            self.steps.resize((row + 1) * wide, 0);
        }
        let reach = self.steps.iter().fold(0, |reach, &step| step.max(reach));
        (reach <= (i16::MAX - 1) / 2).then_some(reach as u64)
    }

    /// The least sum of each far row.
    fn line(&mut self, wide: usize) {
        least_of(&self.steps, &self.near, wide, &mut self.best);
    }
}

/// Compiled once more for machines with wider registers.
#[multiversion::multiversion(targets("x86_64+avx2"))]
fn least_of(steps: &[i16], near: &[i16], wide: usize, out: &mut [i16]) {
    for (from, out) in out.as_chunks_mut::<LANES>().0.iter_mut().enumerate() {
        let mut best = [i16::MAX; LANES];
        for (steps, &near) in steps.chunks_exact(wide).zip(near) {
            let steps = &steps[from * LANES..][..LANES];
            for (best, &step) in best.iter_mut().zip(steps) {
                *best = (*best).min(near.wrapping_add(step));
            }
        }
        *out = best;
    }
}
