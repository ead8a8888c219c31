//! The same symbol in another key.

use super::Chord;
use super::grammar::{NameStyle, WrittenName};
use crate::pitch::{Interval, Name};

impl Chord {
    /// The chord an interval away: its names respelled, everything else as written.
    ///
    /// A root that would need two accidentals is respelled with one, and its bass with it. Small
    /// letters stay small, printed accidentals stay printed; a German H becomes an ordinary letter.
    /// `None` where a name has no place within three accidentals.
    ///
    /// ```
    /// # use compline::chord::Chord;
    /// # use compline::pitch::{Interval, Semitones};
    /// let minor_third = Interval::new(2, Semitones(3));
    /// let chord = Chord::read("Am7b5/Eb").unwrap().transposed(minor_third).unwrap();
    /// assert_eq!(chord.symbol(), "Cm7b5/Gb");
    /// ```
    pub fn transposed(&self, by: Interval) -> Option<Self> {
        self.on(readable(self.root.plus(by)?), |bass| bass)
    }

    /// The chord on another root, its other names as far from the root as they were; what the bass
    /// is then called may be changed by `bass`.
    pub(crate) fn on(&self, root: Name, bass: impl Fn(Name) -> Name) -> Option<Self> {
        let printed = self.symbol.contains(['♯', '♭']);
        let last = self.bass.map(|_| self.names.len() - 1);
        let mut edits = Vec::with_capacity(self.names.len());
        for (place, spelling) in self.names.iter().enumerate() {
            let name = readable(self.beside(root, spelling.name)?);
            let name = if Some(place) == last {
                bass(name)
            } else {
                name
            };
            edits.push((spelling, written(name, spelling.style, printed)));
        }
        Self::read(&replaced(&self.symbol, edits)).ok()
    }

    /// The name that is to `root` what `name` is to the chord's own root.
    fn beside(&self, root: Name, name: Name) -> Option<Name> {
        let exact = root.plus(Interval::between(self.root, name));
        let plain = || root.plus(Interval::between(self.root.simplest(), name.simplest()));
        exact.or_else(plain)
    }
}

/// At most one accidental on a root or bass, unless it was a single one anyway: Cb stays.
fn readable(name: Name) -> Name {
    if name.alter().abs() > 1 {
        name.simplest()
    } else {
        name
    }
}

fn written(name: Name, style: NameStyle, printed: bool) -> String {
    let text = name.to_string();
    let (letter, accidentals) = text.split_at(1);
    let accidentals = match style {
        NameStyle::OldSharp if name.alter() > 0 => accidentals.replace('#', "+"),
        _ if printed => accidentals.replace('#', "♯").replace('b', "♭"),
        _ => accidentals.to_owned(),
    };
    match style {
        NameStyle::Small | NameStyle::OldSharp => letter.to_ascii_lowercase() + &accidentals,
        NameStyle::Plain | NameStyle::German => letter.to_owned() + &accidentals,
    }
}

fn replaced(symbol: &str, mut edits: Vec<(&WrittenName, String)>) -> String {
    edits.sort_by_key(|(spelling, _)| spelling.span.start);
    let mut text = symbol.to_owned();
    for (spelling, name) in edits.into_iter().rev() {
        text.replace_range(spelling.span.clone(), &name);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pitch::Semitones;

    fn moved(symbol: &str, steps: i32, semitones: i32) -> String {
        let by = Interval::new(steps, Semitones(semitones));
        let chord = Chord::read(symbol).unwrap();
        chord.transposed(by).unwrap().symbol().to_owned()
    }

    #[test]
    fn names_are_respelled_and_the_rest_stays() {
        for (from, steps, semitones, to) in [
            ("Cmaj7(#11)", 1, 1, "Dbmaj7(#11)"),
            ("(G7)", 1, 2, "(A7)"),
            ("D/f+", 1, 2, "E/g+"),
            ("D/f+", -1, -2, "C/e"),
            ("f#", 1, 1, "g"),
            ("H7", 1, 1, "C7"),
            ("B♭7(♭9)", 1, 1, "C♭7(♭9)"),
            ("D//C7", 1, 2, "E//D7"),
            ("Gb7", 3, 5, "Cb7"),
            ("Cb7", 3, 5, "Fb7"),
            ("Cb7/Eb", 5, 8, "G7/B"),
            ("A/C#", 0, 1, "A#/D"),
            ("C6/9/E", 1, 2, "D6/9/F#"),
        ] {
            assert_eq!(moved(from, steps, semitones), to, "{from}");
        }
    }
}
