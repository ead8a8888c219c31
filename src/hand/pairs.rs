//! Every two notes of a voicing.

/// Every two of these, each with those after it, in their order.
///
/// A hand's notes are gone through so for every layout and every octave.
pub(super) fn pairs<T>(items: &[T]) -> impl Iterator<Item = (&T, &T)> {
    let each = items.iter().enumerate();
    each.flat_map(|(at, low)| items.iter().skip(at + 1).map(move |high| (low, high)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_two_are_met_once_in_order() {
        let met: Vec<(&u8, &u8)> = pairs(&[1, 2, 3]).collect();
        assert_eq!(met, [(&1, &2), (&1, &3), (&2, &3)]);
        assert_eq!(pairs(&[1]).count() + pairs::<u8>(&[]).count(), 0);
    }
}
