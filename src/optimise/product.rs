//! The min-plus step in effort alone for many lines at once, with rows of any length: a min-plus product
//! of matrices in 16-bit lanes. Excesses are cut as in [`kernel`](super::kernel).

use super::cost::NEVER;
use super::tables::least;

/// The lanes that are kept in registers together.
const LANES: usize = 16;

/// Room kept from step to step.
#[derive(Default)]
pub(super) struct Room {
    /// For each near row what it takes to every far row, filled up to whole lanes.
    steps: Vec<i16>,
    near: Vec<i16>,
    best: Vec<i16>,
}

/// Fills every line of `out`; `false`, and nothing done, if a step is too long. `steps` names what every
/// pair costs: for each near row all far rows.
pub(super) fn product(
    steps: impl Iterator<Item = u64>,
    near: usize,
    far: usize,
    sums: &[u64],
    out: &mut [u64],
    room: &mut Room,
) -> bool {
    let wide = far.next_multiple_of(LANES);
    let Some(reach) = room.lay_out(steps, near, far, wide) else {
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

impl Room {
    /// Lays out the steps and returns the longest, if twice as much and one fits.
    fn lay_out(
        &mut self,
        mut steps: impl Iterator<Item = u64>,
        near: usize,
        far: usize,
        wide: usize,
    ) -> Option<u64> {
        const MOST: u64 = (i16::MAX as u64 - 1) / 2;
        let mut reach = 0;
        self.steps.clear();
        self.best.resize(wide, 0);
        for row in 0..near {
            for step in steps.by_ref().take(far) {
                reach = reach.max(step);
                self.steps.push(step.min(MOST) as i16);
            }
            self.steps.resize((row + 1) * wide, 0);
        }
        (reach <= MOST).then_some(reach)
    }

    fn line(&mut self, wide: usize) {
        for from in (0..wide).step_by(LANES) {
            let mut best = [i16::MAX; LANES];
            for (steps, &near) in self.steps.chunks_exact(wide).zip(&self.near) {
                for (best, &step) in best.iter_mut().zip(&steps[from..from + LANES]) {
                    *best = (*best).min(near.wrapping_add(step));
                }
            }
            self.best[from..from + LANES].copy_from_slice(&best);
        }
    }
}
