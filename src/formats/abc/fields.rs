//! Fields of the header that hold numbers: meter, unit, tempo.

use crate::chart::Meter;
use crate::score::Quarters;

/// The meter behind `M:`; `None` for free time and for what no chart can write.
pub(super) fn meter(text: &str) -> Option<Meter> {
    match text.trim() {
        "C" => Meter::new(4, 4),
        "C|" => Meter::new(2, 2),
        text => {
            let (upper, lower) = text.split_once('/')?;
            let upper = upper.trim().trim_start_matches('(').trim_end_matches(')');
            let parts: Option<u8> = upper
                .split('+')
                .map(|part| part.trim().parse::<u8>().ok())
                .sum();
            Meter::new(parts?, lower.trim().parse().ok()?)
        }
    }
}

/// The unit of length behind `L:`, in quarters.
pub(super) fn unit(text: &str) -> Option<Quarters> {
    let (upper, lower) = text.trim().split_once('/')?;
    let number = |text: &str| {
        text.trim()
            .parse::<i64>()
            .ok()
            .filter(|n| (1..=1024).contains(n))
    };
    Some(Quarters::new(4 * number(upper)?, number(lower)?))
}

/// The unit where none is given: a sixteenth where the meter is less than 3/4, else an eighth.
pub(super) fn usual_unit(meter: Option<Meter>) -> Quarters {
    let short = |meter: Meter| 4 * u32::from(meter.upper()) < 3 * u32::from(meter.lower());
    match meter.is_some_and(short) {
        true => Quarters::new(1, 4),
        false => Quarters::new(1, 2),
    }
}

/// Quarter notes a minute behind `Q:`: `1/4=120`, `3/8 = 50`, `"Slow" 1/4=60`, or `120` of the unit.
pub(super) fn tempo(text: &str, usual: Quarters) -> Option<Quarters> {
    let outside: Vec<&str> = text.split('"').step_by(2).collect();
    let text = outside.join(" ");
    let (beat, count) = match text.split_once('=') {
        Some((beats, count)) => {
            let beats = beats.split_whitespace().map(unit);
            (beats.sum::<Option<Quarters>>()?, count)
        }
        None => (usual, text.as_str()),
    };
    let count: i64 = count
        .trim()
        .parse()
        .ok()
        .filter(|n| (1..10_000).contains(n))?;
    Some(Quarters::from(beat.ratio() * count))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_the_standard_writes_them() {
        assert_eq!(meter("C|"), Meter::new(2, 2));
        assert_eq!(meter("(2+3)/8"), Meter::new(5, 8));
        assert_eq!(meter("none"), None);
        assert_eq!(unit("1/8"), Some(Quarters::new(1, 2)));
        assert_eq!(usual_unit(meter("2/4")), Quarters::new(1, 4));
        assert_eq!(usual_unit(meter("6/8")), Quarters::new(1, 2));
        assert_eq!(usual_unit(None), Quarters::new(1, 2));
        let eighth = Quarters::new(1, 2);
        assert_eq!(tempo("1/4=120", eighth), Some(Quarters::whole(120)));
        assert_eq!(tempo("\"Slow\" 3/8=50", eighth), Some(Quarters::whole(75)));
        assert_eq!(tempo("120", eighth), Some(Quarters::whole(60)));
        assert_eq!(tempo("\"Slow\"", eighth), None);
    }
}
