//! Which meter a bar of any length is written in.

use crate::chart::Meter;
use crate::score::Quarters;

/// The meter of a bar that lasts `length` where `usual` is in force; `None` where no meter is so long.
pub(super) fn meter_of(length: Quarters, usual: Meter) -> Option<Meter> {
    if Quarters::of_bar(usual) == length {
        return Some(usual);
    }
    let lower = [usual.lower(), 4, 8, 16].into_iter();
    let mut meters = lower.filter_map(|lower| {
        let upper = length.ratio() * i64::from(lower) / 4;
        let whole = (*upper.denom() == 1).then_some(upper.to_integer());
        Meter::new(u8::try_from(whole?).ok()?, lower)
    });
    meters.next()
}

/// The least length that is at least `length` and has a meter.
pub(super) fn filled_up(length: Quarters) -> Quarters {
    let sixteenths = (length.ratio() * 4).ceil().to_integer().clamp(1, 32);
    if length > Quarters::whole(8) {
        return Quarters::from((length.ratio()).ceil()).min(Quarters::whole(32));
    }
    Quarters::new(sixteenths, 4)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn short_and_long_bars_find_a_meter() {
        for (length, usual, meter) in [
            ((4, 1), "4/4", Some("4/4")),
            ((1, 1), "4/4", Some("1/4")),
            ((1, 2), "4/4", Some("1/8")),
            ((1, 2), "6/8", Some("1/8")),
            ((5, 2), "6/8", Some("5/8")),
            ((1, 3), "4/4", None),
            ((99, 1), "4/4", None),
        ] {
            let found = meter_of(Quarters::new(length.0, length.1), usual.parse().unwrap());
            assert_eq!(found.map(|m| m.to_string()).as_deref(), meter, "{length:?}");
        }
    }
}
