//! The names of roots that have been moved, together: a root that takes its everyday name takes those along
//! that lead into it.
//!
//! Writers spell a cadence on one side of the circle of fifths: D#m7 G#7 C#maj7 becomes Ebm7 Ab7 Dbmaj7, not
//! D#m7 G#7 Dbmaj7 (common practice, no source).

use crate::pitch::{Interval, Name, Semitones};

/// The root of a chord that has been moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct MovedRoot {
    /// Its name by the interval alone.
    pub moved: Name,
    /// The name that its key and its chord ask for.
    pub name: Name,
}

/// The names of roots in the order they are written: where one isn't named by the interval, those before
/// it that lead into it by a fifth, or stand on the same root, follow.
pub(super) fn led(mut roots: Vec<MovedRoot>) -> Vec<Name> {
    let mut next: Option<MovedRoot> = None;
    for root in roots.iter_mut().rev() {
        let led = next.and_then(|next| root.before(next));
        root.name = led.unwrap_or(root.name);
        next = Some(*root);
    }
    roots.into_iter().map(|root| root.name).collect()
}

impl MovedRoot {
    /// The name that the next root asks for.
    fn before(self, next: Self) -> Option<Name> {
        if next.name == next.moved {
            return None;
        }
        let fourth = Interval::new(3, Semitones(5));
        let name = match Interval::between(self.moved, next.moved) {
            Interval::UNISON => Some(next.name),
            up if up == fourth => next.name.plus(Interval::new(4, Semitones(7))),
            _ => None,
        };
        let everyday = |name: &Name| name.alter().abs() < 2 && name.simplest() == *name;
        name.filter(everyday)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_leads_into_a_root_with_another_name_follows() {
        for (moved, names, led_to) in [
            ("D# G# C#", "D# G# Db", "Eb Ab Db"),
            ("D# G# G# C# F#", "D# G# G# Db F#", "Eb Ab Ab Db F#"),
            // Not by a fifth, and nothing that has been renamed.
            ("E C#", "E Db", "E Db"),
            ("D# G# C#", "D# G# C#", "D# G# C#"),
            // Fb for E would be no everyday name.
            ("E A#", "E Bb", "E Bb"),
        ] {
            let names = moved.split(' ').zip(names.split(' '));
            let roots = names.map(|(moved, name)| MovedRoot {
                moved: moved.parse().unwrap(),
                name: name.parse().unwrap(),
            });
            let found = led(roots.collect());
            let told: Vec<String> = found.iter().map(ToString::to_string).collect();
            assert_eq!(told.join(" "), led_to, "{moved}");
        }
    }
}
