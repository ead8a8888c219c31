//! The min-plus step in effort alone, many rows at a time.
//!
//! # Bytes suffice
//!
//! Of a source only its excess over the least source matters. Let D be the sum of the columns' spans over
//! both ends, so that no step is longer than D. The least source reaches every target with at most D, so
//! a source with an excess above D is best nowhere and ties nowhere: cutting excesses to D + 1 changes
//! nothing, whatever made them large. All sums are then at most 2 D + 1, and bytes are exact if that is
//! at most 255. (Where a rule or a boundary forbids pairs this fails; such steps don't come here.)
//!
//! # Few operations
//!
//! |a - b| = a + b - 2 min(a, b). With bytes doubled beforehand, and key = excess + the sum of the source's
//! bytes, excess + step = key + (sum of the target's bytes) - (sum of minima). The targets lie in lanes;
//! the sources come one after the other, and their minimum stays in registers. The target's own sum is
//! added at the end if nothing overflows until then, which is so if 3 D + 1 is at most 255: of a target's
//! sum only what exceeds the least possible matters, and that is at most D as well.

use crate::optimise::factor_graph::columns::{Block, ByteColumns, LANES, word};

/// The longest step for which bytes are exact.
pub(in crate::optimise) const LONGEST_STEP: u32 = 127;

/// The longest step for which the target's own sum can be added at the end.
const SHORT_STEP: u8 = 84;

/// So many blocks of targets are looked at together.
const TOGETHER: usize = 4;

/// Two ends whose rows fit bytes.
#[derive(Clone, Copy)]
pub(in crate::optimise) struct Lanes<'c> {
    sources: &'c ByteColumns,
    targets: &'c ByteColumns,
    /// D: no step is longer.
    reach: u8,
    /// The least possible sum of a row's bytes at both ends.
    floor: u8,
}

impl<'c> Lanes<'c> {
    /// The lanes between two ends, if a step between them fits bytes.
    pub fn between(sources: &'c ByteColumns, targets: &'c ByteColumns) -> Option<Lanes<'c>> {
        if sources.length != targets.length || sources.origin != targets.origin {
            return None;
        }
        let both = sources.ends.iter().zip(&targets.ends).take(sources.length);
        let ends = both.map(|(a, b)| (a.0.min(b.0), a.1.max(b.1)));
        let spans = ends
            .clone()
            .map(|(low, high)| u32::from(high.abs_diff(low)));
        let reach = spans.sum::<u32>();
        (reach <= LONGEST_STEP).then(|| Lanes {
            sources,
            targets,
            reach: reach as u8,
            floor: sources.origin.above(ends.map(|(low, _)| low)),
        })
    }

    /// How many blocks the sources take, and the targets.
    pub fn blocks(&self) -> (usize, usize) {
        (self.sources.sums.len(), self.targets.sums.len())
    }

    /// How many targets there are.
    pub fn targets(&self) -> usize {
        self.targets.count
    }

    /// out(u) = least over v of excess(v) + motion(v, u), where one excess is 0.
    pub fn least(&self, excesses: &[Block], out: &mut [Block], keys: &mut Vec<u32>) {
        least(self, excesses, out, keys);
    }

    #[inline(always)]
    fn least_of<const N: usize>(&self, excesses: &[Block], out: &mut [Block], keys: &mut Vec<u32>) {
        let narrow = self.reach <= SHORT_STEP;
        let bias = if narrow {
            self.floor.wrapping_add(self.reach)
        } else {
            0
        };
        self.make_keys(excesses, bias, keys);
        let sources = self.sources.words.as_chunks::<N>().0;
        let (many, few) = self
            .targets
            .blocks
            .as_chunks::<N>()
            .0
            .as_chunks::<TOGETHER>();
        let (sums, few_sums) = self.targets.sums.as_chunks::<TOGETHER>();
        let (outs, few_outs) = out.as_chunks_mut::<TOGETHER>();
        for ((targets, sums), out) in many.iter().zip(sums).zip(outs) {
            relax(targets, sums, sources, keys, (narrow, bias), out);
        }
        for ((target, sum), out) in few.iter().zip(few_sums).zip(few_outs) {
            let (target, sum) = (std::array::from_ref(target), std::array::from_ref(sum));
            relax(
                target,
                sum,
                sources,
                keys,
                (narrow, bias),
                std::array::from_mut(out),
            );
        }
    }

    /// For each source its excess, cut above the reach, plus the sum of its bytes and `bias`.
    #[inline(always)]
    fn make_keys(&self, excesses: &[Block], bias: u8, keys: &mut Vec<u32>) {
        keys.resize(excesses.len() * LANES, 0);
        let keys = keys.as_chunks_mut::<LANES>().0;
        for ((excess, own), keys) in excesses.iter().zip(&self.sources.sums).zip(keys) {
            for lane in 0..LANES {
                let cut = excess[lane].min(self.reach + 1);
                keys[lane] = word(cut.wrapping_add(own[lane]).wrapping_add(bias));
            }
        }
    }

    /// Marks with a 1 all sources from which a target is reached with exactly `sum`, which must be the least.
    pub fn tied(&self, target: usize, sum: u8, excesses: &[Block], mark: &mut [Block]) {
        tied(self, target, sum, excesses, mark);
    }

    #[inline(always)]
    fn tied_of<const N: usize>(
        &self,
        target: usize,
        sum: u8,
        excesses: &[Block],
        mark: &mut [Block],
    ) {
        let row = splat_all(&self.targets.words.as_chunks::<N>().0[target]);
        let own = self.targets.sums[target / LANES][target % LANES];
        let want = sum.wrapping_sub(own);
        let blocks = self.sources.blocks.as_chunks::<N>().0.iter();
        let sources = blocks.zip(&self.sources.sums).zip(excesses);
        for (((columns, own), excess), mark) in sources.zip(mark) {
            let minima = minima(columns, &row);
            for lane in 0..LANES {
                let key = excess[lane].min(self.reach + 1).wrapping_add(own[lane]);
                mark[lane] |= u8::from(key.wrapping_sub(minima[lane]) == want);
            }
        }
    }
}

/// The least sums of some blocks of targets.
#[inline(always)]
#[allow(
    clippy::needless_range_loop,
    reason = "lanes side by side in one loop are what the compiler turns into wide instructions"
)]
fn relax<const N: usize, const B: usize>(
    targets: &[[Block; N]; B],
    sums: &[Block; B],
    sources: &[[u32; N]],
    keys: &[u32],
    (narrow, bias): (bool, u8),
    out: &mut [Block; B],
) {
    let mut best = [[u8::MAX; LANES]; B];
    if narrow {
        for (source, &key) in sources.iter().zip(keys) {
            let (source, key) = (splat_all(source), splat(key));
            for block in 0..B {
                let minima = minima(&targets[block], &source);
                for lane in 0..LANES {
                    best[block][lane] = best[block][lane].min(key[lane].wrapping_sub(minima[lane]));
                }
            }
        }
        for block in 0..B {
            for lane in 0..LANES {
                let sum = best[block][lane].wrapping_add(sums[block][lane]);
                out[block][lane] = sum.wrapping_sub(bias);
            }
        }
    } else {
        for (source, &key) in sources.iter().zip(keys) {
            let (source, key) = (splat_all(source), splat(key));
            for block in 0..B {
                let minima = minima(&targets[block], &source);
                for lane in 0..LANES {
                    let sum = sums[block][lane].wrapping_add(key[lane]);
                    best[block][lane] = best[block][lane].min(sum.wrapping_sub(minima[lane]));
                }
            }
        }
        *out = best;
    }
}

/// The sums of the minima of a row and of each lane, both doubled.
#[inline(always)]
fn minima<const N: usize>(columns: &[Block; N], row: &[Block; N]) -> Block {
    let mut sums = [0u8; LANES];
    for (column, entry) in columns.iter().zip(row) {
        for lane in 0..LANES {
            sums[lane] = sums[lane].wrapping_add(column[lane].min(entry[lane]));
        }
    }
    sums
}

/// A word in all lanes: of four equal bytes that is one instruction, of one byte it would be two or more.
#[inline(always)]
fn splat(word: u32) -> Block {
    let (bytes, mut block) = (word.to_le_bytes(), [0; LANES]);
    for lane in 0..LANES {
        block[lane] = bytes[lane % 4];
    }
    block
}

#[inline(always)]
fn splat_all<const N: usize>(words: &[u32; N]) -> [Block; N] {
    let mut blocks = [[0; LANES]; N];
    for (block, &word) in blocks.iter_mut().zip(words) {
        *block = splat(word);
    }
    blocks
}

/// Compiled once more for machines with wider registers.
#[multiversion::multiversion(targets("x86_64+avx2"))]
fn least<'c>(lanes: &Lanes<'c>, excesses: &[Block], out: &mut [Block], keys: &mut Vec<u32>) {
    match lanes.targets.length {
        1 => lanes.least_of::<1>(excesses, out, keys),
        2 => lanes.least_of::<2>(excesses, out, keys),
        3 => lanes.least_of::<3>(excesses, out, keys),
        4 => lanes.least_of::<4>(excesses, out, keys),
        5 => lanes.least_of::<5>(excesses, out, keys),
        _ => lanes.least_of::<6>(excesses, out, keys),
    }
}

/// Compiled once more for machines with wider registers.
#[multiversion::multiversion(targets("x86_64+avx2"))]
fn tied<'c>(lanes: &Lanes<'c>, target: usize, sum: u8, excesses: &[Block], mark: &mut [Block]) {
    match lanes.targets.length {
        1 => lanes.tied_of::<1>(target, sum, excesses, mark),
        2 => lanes.tied_of::<2>(target, sum, excesses, mark),
        3 => lanes.tied_of::<3>(target, sum, excesses, mark),
        4 => lanes.tied_of::<4>(target, sum, excesses, mark),
        5 => lanes.tied_of::<5>(target, sum, excesses, mark),
        _ => lanes.tied_of::<6>(target, sum, excesses, mark),
    }
}

/// Adds to sums what the rows cost by themselves, as often as they are visited, and counts them from the
/// least, which is returned. Where a sum leaves a byte its excess is above any reach in either way, for the
/// least is below half of what a byte holds.
#[multiversion::multiversion(targets("x86_64+avx2"))]
pub(in crate::optimise) fn lower(sums: &mut [Block], columns: &ByteColumns, visits: u64) -> u8 {
    if columns.weighed {
        add_efforts(sums, &columns.efforts, visits);
    }
    if let Some(last) = sums
        .last_mut()
        .filter(|_| !columns.count.is_multiple_of(LANES))
    {
        last[columns.count % LANES..].fill(u8::MAX);
    }
    let mut least = [u8::MAX; LANES];
    for sums in &*sums {
        for lane in 0..LANES {
            least[lane] = least[lane].min(sums[lane]);
        }
    }
    let least = least.into_iter().fold(u8::MAX, u8::min);
    for sum in sums.as_flattened_mut() {
        *sum -= least;
    }
    least
}

fn add_efforts(sums: &mut [Block], efforts: &[Block], visits: u64) {
    let visits = u8::try_from(visits).unwrap_or(u8::MAX);
    let efforts = efforts.as_flattened().iter();
    for (sum, effort) in sums.as_flattened_mut().iter_mut().zip(efforts) {
        *sum = sum.saturating_add(effort.saturating_mul(visits));
    }
}
