//! Tuplets: which stretches of a bar are written as three in the time of two, and the like.

use super::Quarters;
use super::groups::Groups;

/// So many notes in the time of so many: 3 in the time of 2.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Tuplet {
    /// How many are played.
    pub actual: i64,
    /// In the time of how many.
    pub normal: i64,
}

/// A stretch of a bar that is one tuplet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct TupletStretch {
    pub start: Quarters,
    pub end: Quarters,
    pub tuplet: Tuplet,
}

/// The tuplets of a bar whose notes and rests start at `starts` (rising, the first at 0).
///
/// A tuplet starts and ends where plain note values can. One that is longer than two beats is parted
/// at the beats.
pub(super) fn stretches(starts: &[Quarters], end: Quarters, groups: &Groups) -> Vec<TupletStretch> {
    let mut found = Vec::new();
    let mut open: Option<Quarters> = None;
    let mut last = Quarters::ZERO;
    let points = starts.iter().copied().chain([end]);
    for point in points {
        if !point.is_binary() {
            open = open.or(Some(last));
        } else if let Some(start) = open.take() {
            let parted = parted(start, point, groups).into_iter();
            found.extend(parted.filter_map(|(start, end)| stretch(starts, start, end)));
        }
        last = point;
    }
    found
}

/// The tuplet from `start` to `end`, if anything between them needs one.
fn stretch(starts: &[Quarters], start: Quarters, end: Quarters) -> Option<TupletStretch> {
    let inner = starts.iter().filter(|at| **at > start && **at < end);
    let places = inner.map(|at| (*at - start).denominator());
    let (parts, halvings) = places.fold(
        (1, (end - start).denominator().trailing_zeros()),
        |(parts, halvings), place| {
            let halved = place.trailing_zeros();
            (least_common(parts, place >> halved), halvings.max(halved))
        },
    );
    (parts > 1).then(|| TupletStretch {
        start,
        end,
        tuplet: tuplet(parts, halvings),
    })
}

fn parted(start: Quarters, end: Quarters, groups: &Groups) -> Vec<(Quarters, Quarters)> {
    let beat = if groups.unit < Quarters::whole(1) {
        groups.unit * 3.into()
    } else {
        groups.unit
    };
    let mut edges = vec![start];
    if end - start > beat * 2.into() {
        let beats = (start.ratio() / beat.ratio()).floor().to_integer() + 1..;
        let inner = beats.map(|number| beat * number.into());
        edges.extend(inner.take_while(|edge| *edge < end));
    }
    edges.push(end);
    let ends = edges.iter().skip(1);
    edges.iter().copied().zip(ends.copied()).collect()
}

fn least_common(a: i64, b: i64) -> i64 {
    let (mut x, mut y) = (a, b);
    while y != 0 {
        (x, y) = (y, x % y);
    }
    a / x.max(1) * b
}

/// The finest halving of a quarter note that has a note value.
const FINEST: u32 = 8;

/// So many parts in the time of the next lower power of two: 3 in 2, 5 in 4, 7 in 4, 9 in 8; in the
/// time of fewer, which makes the values longer, where the parts are divided very finely.
fn tuplet(parts: i64, halvings: u32) -> Tuplet {
    let mut normal = 1;
    let mut left = FINEST.saturating_sub(halvings);
    while normal * 2 < parts && left > 0 {
        normal *= 2;
        left -= 1;
    }
    Tuplet {
        actual: parts,
        normal,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(meter: &str, starts: &[(i64, i64)]) -> Vec<String> {
        let meter = meter.parse().unwrap();
        let starts: Vec<Quarters> = starts.iter().map(|(n, d)| Quarters::new(*n, *d)).collect();
        stretches(&starts, Quarters::of_bar(meter), &Groups::of(meter))
            .iter()
            .map(|s| {
                format!(
                    "{}-{} {}:{}",
                    s.start, s.end, s.tuplet.actual, s.tuplet.normal
                )
            })
            .collect()
    }

    #[test]
    fn tuplets_are_found_where_they_start_and_end() {
        assert_eq!(found("4/4", &[(0, 1), (1, 3), (2, 3), (1, 1)]), ["0-1 3:2"]);
        assert_eq!(found("4/4", &[(0, 1), (2, 3), (4, 3), (2, 1)]), ["0-2 3:2"]);
        assert_eq!(found("4/4", &[(0, 1), (1, 1), (6, 5), (2, 1)]), ["1-2 5:4"]);
        assert_eq!(found("6/8", &[(0, 1), (3, 10), (3, 2)]), ["0-3/2 5:4"]);
        assert_eq!(found("4/4", &[(0, 1), (1, 2), (1, 1)]), [""; 0]);
        assert_eq!(found("6/8", &[(0, 1), (3, 4), (3, 2)]), [""; 0]);
    }

    #[test]
    fn a_long_one_is_parted_at_the_beats() {
        assert_eq!(
            found("4/4", &[(0, 1), (1, 3), (10, 3)]),
            ["0-1 3:2", "3-4 3:2"]
        );
    }
}
