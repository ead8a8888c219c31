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
//! added at the end if nothing overflows until then, which is so if 3 D + 1 is at most 255.

use super::columns::{Block, Columns, LANES, LONGEST};
use super::cost::NEVER;

/// The longest step for which bytes are exact.
const REACH: u32 = 127;

/// So many blocks of targets are looked at together.
const TOGETHER: usize = 4;

/// Room kept from step to step.
#[derive(Default)]
pub(super) struct Room {
    /// The bytes of the sources, doubled, row after row.
    sources: Vec<u8>,
    /// The excess of each source plus the sum of its bytes; of [`Lanes::ready`] the excess alone.
    keys: Vec<u8>,
    best: Vec<Block>,
    /// The least sum of all sources.
    least: u64,
}

/// Two ends whose rows fit bytes.
#[derive(Clone)]
pub(super) struct Lanes<'c> {
    sources: &'c Columns,
    targets: &'c Columns,
    /// By how much the columns of each end have to be raised to be counted from the same entry.
    raise: [[u8; LONGEST]; 2],
    /// D: no step is longer.
    reach: u8,
}

impl<'c> Lanes<'c> {
    /// The lanes between two ends, if a step between them fits bytes.
    pub fn between(sources: &'c Columns, targets: &'c Columns) -> Option<Lanes<'c>> {
        if sources.length() != targets.length() {
            return None;
        }
        let both = || sources.ends.iter().zip(&targets.ends);
        let spans = both().map(|(a, b)| u32::from(a.1.max(b.1).abs_diff(a.0.min(b.0))));
        let reach = u8::try_from(spans.sum::<u32>().min(REACH + 1)).ok()?;
        let mut raise = [[0; LONGEST]; 2];
        for (column, (a, b)) in both().enumerate() {
            // At most the reach, where that fits.
            raise[0][column] = a.0.abs_diff(a.0.min(b.0)) as u8;
            raise[1][column] = b.0.abs_diff(a.0.min(b.0)) as u8;
        }
        (u32::from(reach) <= REACH).then_some(Lanes {
            sources,
            targets,
            raise,
            reach,
        })
    }

    /// out(u) = least over v of sum(v) + motion(v, u).
    pub fn least(&self, sums: &[u64], out: &mut [u64], room: &mut Room) {
        room.least = super::tables::least(sums);
        if room.least >= NEVER {
            return out.fill(NEVER);
        }
        room.best
            .resize(self.targets.count.div_ceil(LANES), [0; LANES]);
        all_least(self, sums, out, room);
    }

    /// The excess of each source over the least, cut above the reach.
    #[inline(always)]
    fn excesses(&self, sums: &[u64], room: &mut Room) {
        let (least, cap) = (room.least, u64::from(self.reach) + 1);
        room.keys.clear();
        // At most 128, as the reach is at most 127.
        let excess = sums.iter().map(|&sum| (sum - least).min(cap) as u8);
        room.keys.extend(excess);
    }

    #[inline(always)]
    fn least_of<const N: usize>(&self, sums: &[u64], out: &mut [u64], room: &mut Room) {
        self.excesses(sums, room);
        let raise = &self.raise[0][..N];
        let raised = raise
            .iter()
            .fold(0u8, |sum, raise| sum.wrapping_add(*raise));
        for (key, own) in room.keys.iter_mut().zip(&self.sources.sums) {
            *key = key.wrapping_add(*own).wrapping_add(raised);
        }
        room.sources.clear();
        room.sources.extend_from_slice(&self.sources.bytes);
        for row in room.sources.as_chunks_mut::<N>().0 {
            for (byte, raise) in row.iter_mut().zip(raise) {
                *byte = byte.wrapping_add(*raise) << 1;
            }
        }
        self.best::<N>(room);
        for (out, &sum) in out.iter_mut().zip(room.best.as_flattened()) {
            *out = room.least + u64::from(sum);
        }
    }

    /// The least sums of all targets above the least source.
    #[inline(always)]
    fn best<const N: usize>(&self, room: &mut Room) {
        let Room {
            sources,
            keys,
            best,
            ..
        } = room;
        let sources = sources.as_chunks::<N>().0;
        let targets = self.targets.blocks.as_chunks::<N>().0;
        let (many, few) = targets.as_chunks::<TOGETHER>();
        let (outs, rest) = best.as_chunks_mut::<TOGETHER>();
        for (targets, out) in many.iter().zip(outs) {
            self.blocks(targets, sources, keys, out);
        }
        for (target, out) in few.iter().zip(rest) {
            let (target, out) = (std::array::from_ref(target), std::array::from_mut(out));
            self.blocks(target, sources, keys, out);
        }
    }

    /// The least sums of some blocks of targets.
    #[inline(always)]
    #[allow(
        clippy::needless_range_loop,
        reason = "lanes side by side in one loop are what the compiler turns into wide instructions"
    )]
    fn blocks<const N: usize, const B: usize>(
        &self,
        targets: &[[Block; N]; B],
        sources: &[[u8; N]],
        keys: &[u8],
        out: &mut [Block; B],
    ) {
        let raised = targets.map(|target| self.raised(1, &target));
        let mut best = [[u8::MAX; LANES]; B];
        if 3 * u32::from(self.reach) < 255 {
            let bias = self.reach;
            for (source, &key) in sources.iter().zip(keys) {
                let key = key.wrapping_add(bias);
                for (best, (columns, _)) in best.iter_mut().zip(&raised) {
                    for (lane, best) in best.iter_mut().enumerate() {
                        let sum = key.wrapping_sub(minima(columns, lane, source));
                        *best = (*best).min(sum);
                    }
                }
            }
            for ((out, best), (_, own)) in out.iter_mut().zip(&best).zip(&raised) {
                for lane in 0..LANES {
                    out[lane] = best[lane].wrapping_add(own[lane]).wrapping_sub(bias);
                }
            }
        } else {
            for (source, &key) in sources.iter().zip(keys) {
                for (best, (columns, own)) in best.iter_mut().zip(&raised) {
                    for lane in 0..LANES {
                        let sum = own[lane].wrapping_add(key);
                        let sum = sum.wrapping_sub(minima(columns, lane, source));
                        best[lane] = best[lane].min(sum);
                    }
                }
            }
            *out = best;
        }
    }

    /// A block's columns counted from the common entry and doubled, and their sum, not doubled.
    #[inline(always)]
    fn raised<const N: usize>(&self, end: usize, block: &[Block; N]) -> ([Block; N], Block) {
        let (mut columns, mut own) = (*block, [0u8; LANES]);
        for (column, &raise) in columns.iter_mut().zip(&self.raise[end]) {
            for lane in 0..LANES {
                let byte = column[lane].wrapping_add(raise);
                own[lane] = own[lane].wrapping_add(byte);
                column[lane] = byte << 1;
            }
        }
        (columns, own)
    }

    /// Makes these sums ready for [`Lanes::tied`].
    pub fn ready(&self, sums: &[u64], room: &mut Room) {
        room.least = super::tables::least(sums);
        self.excesses(sums, room);
        room.keys.resize(sums.len().next_multiple_of(LANES), 0);
    }

    /// Marks all sources from which a target is reached with exactly `sum`, which must be the least.
    pub fn tied(&self, target: &[i16], sum: u64, room: &Room, mark: &mut [bool]) {
        all_tied(self, target, sum, room, mark);
    }

    #[inline(always)]
    fn tied_of<const N: usize>(&self, target: &[i16], sum: u64, room: &Room, mark: &mut [bool]) {
        let mut row = [0u8; N];
        let from = self.targets.ends.iter().zip(&self.raise[1]);
        for ((byte, &entry), ((low, _), &raise)) in row.iter_mut().zip(target).zip(from) {
            *byte = (entry.wrapping_sub(*low) as u8).wrapping_add(raise) << 1;
        }
        let own = row.iter().fold(0u8, |sum, byte| sum + (byte >> 1));
        let want = ((sum - room.least) as u8).wrapping_sub(own);
        let blocks = self.sources.blocks.as_chunks::<N>().0;
        for ((at, keys), block) in (0..).zip(room.keys.as_chunks::<LANES>().0).zip(blocks) {
            let (columns, own) = self.raised(0, block);
            let mut hits = [0u8; LANES];
            for lane in 0..LANES {
                let sum = keys[lane].wrapping_add(own[lane]);
                hits[lane] = u8::from(sum.wrapping_sub(minima(&columns, lane, &row)) == want);
            }
            for (mark, hit) in mark[at * LANES..].iter_mut().zip(hits) {
                *mark |= hit != 0;
            }
        }
    }
}

/// Compiled once more for machines with wider registers.
#[multiversion::multiversion(targets("x86_64+avx2"))]
fn all_least<'c>(lanes: &Lanes<'c>, sums: &[u64], out: &mut [u64], room: &mut Room) {
    match lanes.targets.length() {
        1 => lanes.least_of::<1>(sums, out, room),
        2 => lanes.least_of::<2>(sums, out, room),
        3 => lanes.least_of::<3>(sums, out, room),
        4 => lanes.least_of::<4>(sums, out, room),
        5 => lanes.least_of::<5>(sums, out, room),
        _ => lanes.least_of::<6>(sums, out, room),
    }
}

/// Compiled once more for machines with wider registers.
#[multiversion::multiversion(targets("x86_64+avx2"))]
fn all_tied<'c>(lanes: &Lanes<'c>, target: &[i16], sum: u64, room: &Room, mark: &mut [bool]) {
    match lanes.targets.length() {
        1 => lanes.tied_of::<1>(target, sum, room, mark),
        2 => lanes.tied_of::<2>(target, sum, room, mark),
        3 => lanes.tied_of::<3>(target, sum, room, mark),
        4 => lanes.tied_of::<4>(target, sum, room, mark),
        5 => lanes.tied_of::<5>(target, sum, room, mark),
        _ => lanes.tied_of::<6>(target, sum, room, mark),
    }
}

/// The sum of the minima of a row and of one lane, both doubled.
#[inline(always)]
fn minima<const N: usize>(columns: &[Block; N], lane: usize, row: &[u8; N]) -> u8 {
    let mut sum = 0u8;
    for entry in 0..N {
        sum = sum.wrapping_add(columns[entry][lane].min(row[entry]));
    }
    sum
}
