//! The motions from one row to many, sixteen at a time.
//!
//! Every function here fills `sums` with motion plus excess, lane by lane, and
//! returns the least of each lane over all blocks. With the number of
//! entries known and no index that could be out of bounds, the compiler makes
//! vector instructions of the loops over lanes and keeps what it needs in
//! registers.

use super::columns::{Block, Group, LANES, LONGEST};

/// To rows of the same length, when no sum exceeds a byte.
///
/// |a - b| = a + b - 2 min(a, b), so a motion is the sum of all entries of both
/// rows less twice the sum of the minima. The source's part of that is in
/// [`Group::base`] already. All is computed modulo 256, and right in the
/// end because the result lies between 0 and 255.
#[inline(always)]
pub(super) fn by_minima<const N: usize>(
    row: &[u8; N],
    group: &Group<'_>,
    sums: &mut [Block],
) -> Block {
    let own = row
        .iter()
        .fold(0, |sum: u8, &entry| sum.wrapping_add(entry));
    let cells = group.cells.as_chunks::<N>().0;
    let mut least = Block::of(u8::MAX);
    for ((columns, base), out) in cells.iter().zip(group.base).zip(sums) {
        for lane in 0..LANES {
            let mut minima = 0u8;
            for entry in 0..N {
                minima = minima.wrapping_add(row[entry].min(columns[entry].0[lane]));
            }
            let sum = base.0[lane].wrapping_add(own);
            let sum = sum.wrapping_sub(minima.wrapping_add(minima));
            out.0[lane] = sum;
            least.0[lane] = least.0[lane].min(sum);
        }
    }
    least
}

/// To rows of the same length; sums stay at the greatest byte once there.
#[inline(always)]
pub(super) fn saturating<const N: usize>(
    row: &[u8; N],
    group: &Group<'_>,
    sums: &mut [Block],
) -> Block {
    let cells = group.cells.as_chunks::<N>().0;
    let mut least = Block::of(u8::MAX);
    for ((columns, excess), out) in cells.iter().zip(group.excess).zip(sums) {
        for lane in 0..LANES {
            let mut sum = excess.0[lane];
            for entry in 0..N {
                sum = sum.saturating_add(distance(row[entry], columns[entry].0[lane]));
            }
            out.0[lane] = sum;
            least.0[lane] = least.0[lane].min(sum);
        }
    }
    least
}

/// To rows of any length, with the doubling table of [`step`](super::step) if
/// it is another one; sums stay at the greatest byte once there.
pub(super) fn general(row: &[u8], group: &Group<'_>, sums: &mut [Block]) -> Block {
    let mut least = Block::of(u8::MAX);
    let cells = group.cells.chunks_exact(group.length);
    for ((columns, excess), out) in cells.zip(group.excess).zip(sums) {
        let motion = if row.len() == group.length {
            in_order(row, columns)
        } else {
            with_doubling(row, columns)
        };
        for lane in 0..LANES {
            let sum = motion.0[lane].saturating_add(excess.0[lane]);
            out.0[lane] = sum;
            least.0[lane] = least.0[lane].min(sum);
        }
    }
    least
}

fn in_order(row: &[u8], columns: &[Block]) -> Block {
    let mut sum = Block::of(0);
    for (&entry, column) in row.iter().zip(columns) {
        for lane in 0..LANES {
            sum.0[lane] = sum.0[lane].saturating_add(distance(entry, column.0[lane]));
        }
    }
    sum
}

fn with_doubling(row: &[u8], columns: &[Block]) -> Block {
    let mut line = [Block::of(u8::MAX); LONGEST];
    let mut left = Block::of(u8::MAX);
    for (index, &entry) in row.iter().enumerate() {
        // Before the first pair nothing has been moved; later nothing lies to
        // the left of the first column.
        let mut diagonal = Block::of(if index == 0 { 0 } else { u8::MAX });
        left = Block::of(u8::MAX);
        for (cell, column) in line.iter_mut().zip(columns) {
            let above = *cell;
            for lane in 0..LANES {
                let best = above.0[lane].min(diagonal.0[lane]).min(left.0[lane]);
                left.0[lane] = best.saturating_add(distance(entry, column.0[lane]));
            }
            *cell = left;
            diagonal = above;
        }
    }
    left
}

/// One of the two differences is zero. `abs_diff` is the same, but is compiled
/// to 32-bit lanes.
#[inline(always)]
fn distance(a: u8, b: u8) -> u8 {
    a.saturating_sub(b) | b.saturating_sub(a)
}

/// The least byte: halves the lanes as long as that is one instruction.
#[inline(always)]
pub(super) fn least_of(block: &Block) -> u8 {
    let mut half = [0; LANES / 2];
    let mut quarter = [0; LANES / 4];
    for (lane, half) in half.iter_mut().enumerate() {
        *half = block.0[lane].min(block.0[lane + LANES / 2]);
    }
    for (lane, quarter) in quarter.iter_mut().enumerate() {
        *quarter = half[lane].min(half[lane + LANES / 4]);
    }
    quarter.into_iter().fold(u8::MAX, u8::min)
}

/// Tells all places, counted in rows, at which the least byte of all blocks
/// stands; `lanes` has the least of each lane.
#[inline(always)]
pub(super) fn each_place(blocks: &[Block], lanes: &Block, least: u8, mut tell: impl FnMut(usize)) {
    let mut found = lanes_with(lanes, least);
    while found != 0 {
        let lane = found.trailing_zeros() as usize % LANES;
        if blocks.len() == 1 {
            tell(lane);
        } else {
            each_block_with(blocks, lane, least, |block| tell(block * LANES + lane));
        }
        found &= found - 1;
    }
}

/// The lanes in which a byte stands, a bit for each.
#[inline(always)]
fn lanes_with(block: &Block, wanted: u8) -> u32 {
    let mask = |half: usize| {
        let bytes = block.0.as_chunks::<8>().0.get(half).copied();
        let bytes = u64::from_le_bytes(bytes.unwrap_or_default());
        zeros(bytes ^ u64::from_ne_bytes([wanted; 8]))
    };
    mask(0) | mask(1) << 8
}

/// The bytes that are zero, a bit for each.
#[inline(always)]
fn zeros(bytes: u64) -> u32 {
    const LOW: u64 = 0x7F7F_7F7F_7F7F_7F7F;
    // The high bit of each byte that is zero, and nothing else: adding can't carry
    // from a byte whose high bit is masked.
    let high = !(((bytes & LOW) + LOW) | bytes | LOW);
    // Bit 8i moves to 8i + 7j for j from 1 to 8, no two to the same place; to
    // 56 + i with j = 8 - i.
    ((high >> 7).wrapping_mul(0x0102_0408_1020_4080) >> 56) as u32
}

/// Tells the blocks that have a byte in one lane. Some blocks are looked
/// at before the first is told: one branch that can be foretold is faster than
/// many that can't.
#[inline(always)]
fn each_block_with(blocks: &[Block], lane: usize, wanted: u8, mut tell: impl FnMut(usize)) {
    const SOME: usize = 8;
    let lane = lane % LANES;
    let (whole, rest) = blocks.as_chunks::<SOME>();
    let mut start = 0;
    for blocks in whole {
        let mut found = 0u32;
        for (index, block) in blocks.iter().enumerate() {
            found |= u32::from(block.0[lane] == wanted) << index;
        }
        while found != 0 {
            tell(start + found.trailing_zeros() as usize);
            found &= found - 1;
        }
        start += SOME;
    }
    for (index, block) in rest.iter().enumerate() {
        if block.0[lane] == wanted {
            tell(start + index);
        }
    }
}
