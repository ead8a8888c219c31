//! A sample that is the same for the same seed.

/// `count` of `all`, each as likely as any other, in their old order.
pub fn sample<T>(all: Vec<T>, seed: u64, count: usize) -> Vec<T> {
    let mut state = seed;
    let mut keyed: Vec<(u64, usize, T)> = (all.into_iter().enumerate())
        .map(|(at, one)| (next(&mut state), at, one))
        .collect();
    keyed.sort_by_key(|(key, ..)| *key);
    keyed.truncate(count);
    keyed.sort_by_key(|(_, at, _)| *at);
    keyed.into_iter().map(|(.., one)| one).collect()
}

/// The next number of the generator SplitMix64 (Steele, Lea and Flood 2014).
fn next(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let mut mixed = *state;
    mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    mixed ^ (mixed >> 31)
}
