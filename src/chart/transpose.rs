//! A chart in another key.

use std::sync::Arc;

use super::moved_root::{MovedRoot, led};
use super::{Bar, Beats, Cell, Chart, Chords, Event, Field, Line, Was, Wish, enharmonic};
use crate::chord::{Chord, Symbol};
use crate::pitch::{
    Degree, Interval, Key, KeyNames, Letter, Name, Note, PitchClass, Semitones, Spelling,
};

impl Chart {
    /// The chart an interval away: key, chords, melody and left hand, each spelled by the interval
    /// unless a reader of the new key would expect the other name.
    ///
    /// Where the key would have no signature it is respelled, and everything else with it (from B
    /// an augmented fourth up is F, not E#). A root far from the new key gives way to its everyday
    /// name (the A7 of Ab is Bb7 in A), a bass and the notes that are tones of the chord go with
    /// it, and so do the chords that lead into it by a fifth (Ebm7 Ab7 Dbmaj7). No note takes a double accidental, or an E#, B#, Cb or Fb that is not in the signature,
    /// unless the chart says `spelling: strict`. A chart that doesn't say its key is moved by the interval alone. What sounds is
    /// the same in any case. Which way to go, up or down, is in the interval.
    ///
    /// `None` when a note would leave MIDI's range, or a chord has no name there.
    ///
    /// ```
    /// # use compline::pitch::Interval;
    /// let chart = compline::chart::read("key: C\n| Dm7 | G7/B |").unwrap();
    /// let up = Interval::between("C".parse().unwrap(), "Eb".parse().unwrap());
    /// let moved = chart.transposed(up).unwrap();
    /// assert_eq!(moved.tidy(), "key: Eb\n\n     | Fm7 | Bb7/D |\n");
    /// ```
    pub fn transposed(&self, by: Interval) -> Option<Self> {
        let key = match self.key() {
            Some(key) => Some((key, key_along(key, by)?)),
            None => None,
        };
        let by = key.map_or(by, |(from, to)| along(from, to, by));
        let new_key = key.map(|(_, to)| to);
        if by == Interval::UNISON {
            return Some(self.clone());
        }
        let mut chart = self.clone();
        for entry in &mut chart.header.entries {
            if let (Field::Key(key), Some(to)) = (&mut entry.field, new_key) {
                *key = to;
            }
        }
        let spelling = chart.header.spelling().unwrap_or_default();
        let keys = (self.key(), new_key);
        let roots = Shift::new(by, keys, spelling).roots(self)?;
        let mut shift = Shift::new(by, keys, spelling);
        shift.roots = roots.into_iter();
        for line in chart
            .sections
            .iter_mut()
            .flat_map(|section| &mut section.lines)
        {
            shift.line(line)?;
        }
        Some(chart)
    }
}

fn key_along(key: Key, by: Interval) -> Option<Key> {
    let class = key.tonic().class().plus(by.semitones());
    key.plus(by).or_else(|| Key::usual(class, key.mode()))
}

/// The interval with as many semitones as `by` that leads from key to key by name.
fn along(from: Key, to: Key, by: Interval) -> Interval {
    let up = Interval::between(from.tonic(), to.tonic());
    let octaves = (by.semitones().0 - up.semitones().0).div_euclid(12);
    Interval::new(
        up.steps() + 7 * octaves,
        Semitones(up.semitones().0 + 12 * octaves),
    )
}

/// A key change to a key with more sharps or flats has the same key with five (common practice, no source).
const MOST_ACCIDENTALS: i32 = 6;

/// A move to another key, on its way through the bars.
struct Shift {
    by: Interval,
    key: Option<Key>,
    /// The key it comes from.
    from: Option<Key>,
    /// The key of the chart's head, where it goes.
    home: Option<Key>,
    /// How the notes are named.
    spelling: Spelling,
    /// The names of the roots still to come.
    roots: std::vec::IntoIter<Name>,
    /// The moved chords of the bar, or those that its `%` repeats.
    sounding: Vec<Moved>,
    /// The moved note that is tied from the bar before.
    tied: Option<Note>,
}

/// A cell that has been moved.
struct Moved {
    cell: Cell,
    /// What stood there before.
    before: Arc<Symbol>,
    /// How the name of its root has moved: by the chart's interval, or to another name of that sound.
    by: Interval,
}

impl Moved {
    fn chord(&self) -> Option<&Chord> {
        self.cell.symbol.chord()
    }
}

impl Shift {
    fn new(by: Interval, (from, key): (Option<Key>, Option<Key>), spelling: Spelling) -> Self {
        Self {
            by,
            key,
            from,
            home: key,
            spelling,
            roots: Vec::new().into_iter(),
            sounding: Vec::new(),
            tied: None,
        }
    }

    /// The names of all roots in written order.
    fn roots(mut self, chart: &Chart) -> Option<Vec<Name>> {
        let mut roots = Vec::new();
        for line in chart.lines() {
            if let Some(key) = line.changes.key {
                self.turn(key)?;
            }
            let bars = line.bars.iter().filter_map(|bar| match &bar.chords {
                Chords::Written(cells) => Some(cells),
                _ => None,
            });
            for chord in bars.flatten().filter_map(|cell| cell.symbol.chord()) {
                roots.push(self.root(chord)?);
            }
        }
        Some(led(roots))
    }

    /// The name of a chord's root, from the chord alone.
    fn root(&self, chord: &Chord) -> Option<MovedRoot> {
        let moved = chord.root().plus(self.by)?;
        let name = self.key.map_or(moved, |key| {
            let root = enharmonic::root(moved, chord.family(), key);
            match (chord.third(), chord.seventh()) {
                (Some(Degree::THIRD), Some(Degree::SEVENTH)) => enharmonic::tonic(root, key),
                (Some(Degree::MINOR_THIRD), Some(Degree::FLAT_SEVENTH)) => enharmonic::second(root),
                _ => root,
            }
        });
        Some(MovedRoot { moved, name })
    }

    /// From here on another key holds: where it goes. Seven sharps or flats are read only where the whole tune
    /// was asked for in them.
    fn turn(&mut self, key: Key) -> Option<Key> {
        let moved = key_along(key, self.by)?;
        let to = match moved.fifths().abs() > MOST_ACCIDENTALS && self.home != Some(moved) {
            true => Key::usual(moved.tonic().class(), moved.mode())?,
            false => moved,
        };
        self.by = along(key, to, self.by);
        self.key = Some(to);
        self.from = Some(key);
        Some(to)
    }

    /// A line that says another key moves to where that key does.
    fn line(&mut self, line: &mut Line) -> Option<()> {
        if let Some(key) = &mut line.changes.key {
            *key = self.turn(*key)?;
        }
        line.bars.iter_mut().try_for_each(|bar| self.bar(bar))
    }

    fn bar(&mut self, bar: &mut Bar) -> Option<()> {
        if let Chords::Written(cells) = &mut bar.chords {
            let mut sounding = Vec::with_capacity(cells.len());
            for cell in cells {
                let root = cell.symbol.chord().and_then(|_| self.roots.next());
                sounding.push(self.cell(cell, root)?);
            }
            self.sounding = sounding;
        }
        if let Some(Was::Other(Chords::Written(cells))) = &mut bar.was {
            for cell in cells {
                let root = cell.symbol.chord().and_then(|chord| self.root(chord));
                self.cell(cell, root.map(|root| root.name))?;
            }
        }
        self.melody(bar.melody.as_deref_mut().unwrap_or_default())?;
        self.tied = bar.tied_note();
        for (place, wish) in bar.hand.iter_mut().flatten().enumerate() {
            self.hand(wish, self.sounding.get(place))?;
        }
        Some(())
    }

    /// A cell with its chord on its new root.
    fn cell(&self, cell: &mut Cell, root: Option<Name>) -> Option<Moved> {
        let mut by = self.by;
        let before = cell.symbol.clone();
        if let Some(chord) = cell.symbol.chord() {
            let moved = self.chord(chord, root?)?;
            by = Interval::between(chord.root(), moved.root());
            cell.symbol = Arc::new(Symbol::Chord(moved));
        }
        let cell = cell.clone();
        Some(Moved { cell, before, by })
    }

    fn chord(&self, chord: &Chord, root: Name) -> Option<Chord> {
        let Some(key) = self.key else {
            return chord.transposed(self.by);
        };
        let by_key = Some(root) == chord.root().plus(self.by) && enharmonic::is_near(root, key);
        chord.on(root, |bass| match tones(chord, root, bass.class()) {
            tones if !tones.is_empty() => tone_in_bass(&tones, bass),
            _ if by_key => enharmonic::bass(bass, key),
            _ => bass,
        })
    }

    /// Each note is named under the chord it begins with, a tied one also behind the bar line.
    fn melody(&self, events: &mut [Event]) -> Option<()> {
        let mut cells = self.sounding.iter();
        let mut under = None;
        let (mut beat, mut change) = (Beats::whole(0), Beats::whole(0));
        for event in events {
            while beat >= change
                && let Some(cell) = cells.next()
            {
                under = Some(cell);
                change = change + cell.cell.beats;
            }
            if let Some(note) = &mut event.note {
                self.note(note, under)?;
                let tied = self
                    .tied
                    .filter(|tied| beat == Beats::ZERO && tied.pitch() == note.pitch());
                *note = tied.unwrap_or(*note);
            }
            beat = beat + event.beats;
        }
        Some(())
    }

    fn hand(&self, wish: &mut Wish, under: Option<&Moved>) -> Option<()> {
        let mut moved = |note| self.note(note, under);
        match wish {
            Wish::Plan(wishes) => wishes.notes_mut().try_for_each(&mut moved),
            Wish::Given(notes) => {
                let notes = Arc::make_mut(notes);
                notes.iter_mut().try_for_each(&mut moved)?;
                self.together(notes, under)
            }
            Wish::Silent => Some(()),
        }
    }

    fn note(&self, note: &mut Note, under: Option<&Moved>) -> Option<()> {
        let pitch = note.pitch()?.plus(self.by.semitones())?;
        let class = pitch.class();
        let keys = self.from.zip(self.key);
        let along = keys.zip(under).and_then(|(keys, moved)| {
            let chord = moved.chord();
            let chord = chord.filter(|_| called_by_chord(note.name(), moved, keys.0));
            chord.map(|chord| chord.name_of(class, self.spelling, KeyNames::of(keys.1)))
        });
        let name = match along {
            Some(name) => name,
            None => self.by_interval(note.name(), class, under)?,
        };
        *note = Note::spelled(pitch, name)?;
        Some(())
    }

    /// The name of a note that its chord doesn't explain: as far away as the root of its chord has moved.
    fn by_interval(&self, name: Name, class: PitchClass, under: Option<&Moved>) -> Option<Name> {
        let by = under.map_or(self.by, |moved| moved.by);
        let meant = self.from.map_or(name, |key| enharmonic::meant(name, key));
        match (meant.plus(by), self.key) {
            (Some(name), None) => Some(name),
            (None, None) => plain(class),
            (name, Some(key)) => {
                let name = name.unwrap_or_else(|| key.name_of(class));
                let chord = under.and_then(Moved::chord);
                let tones = chord.map(|chord| tones(chord, chord.root(), class));
                let name = enharmonic::note(name, &tones.unwrap_or_default(), key);
                Some(self.spelling.name(name, KeyNames::of(key)))
            }
        }
    }

    /// Names the notes of a hand together where each has the name that the moved chord has for it, so that no
    /// letter stands twice for an everyday name.
    fn together(&self, notes: &mut [Note], under: Option<&Moved>) -> Option<()> {
        let Some((key, chord)) = self.key.zip(under.and_then(Moved::chord)) else {
            return Some(());
        };
        let key = KeyNames::of(key);
        let alone =
            |note: &Note| chord.name_of(note.name().class(), self.spelling, key) == note.name();
        if !notes.iter().all(alone) {
            return Some(());
        }
        let sounds: Vec<PitchClass> = notes.iter().map(|note| note.name().class()).collect();
        let names = chord.names_together(&sounds, self.spelling, key);
        for (note, name) in notes.iter_mut().zip(names) {
            *note = Note::spelled(note.pitch()?, name)?;
        }
        Some(())
    }
}

/// Whether a note has the name that the chord over it has for its sound, by theory or every day. Its new name is
/// then the one that the moved chord has: the B over Bb7b9 is its Cb, and goes to the Ab of G7b9, not to G#.
fn called_by_chord(name: Name, moved: &Moved, key: Key) -> bool {
    let names = KeyNames::of(key);
    let chord = moved.before.chord();
    chord.is_some_and(|chord| {
        let called = |spelling| chord.name_of(name.class(), spelling, names) == name;
        Spelling::ALL.into_iter().any(called)
    })
}

/// What the chord's tones of this sound are called when it stands on `root`.
fn tones(chord: &Chord, root: Name, class: PitchClass) -> Vec<Name> {
    let tones = chord.tones().iter();
    tones
        .filter_map(|tone| tone.degree.above(root))
        .filter(|name| name.class() == class)
        .collect()
}

/// A bass spelled as a tone of its chord, if that takes no two accidentals.
fn tone_in_bass(tones: &[Name], bass: Name) -> Name {
    let mut tones = tones.iter().filter(|tone| tone.alter().abs() < 2);
    let own = tones.clone().find(|tone| **tone == bass);
    own.or_else(|| tones.next()).copied().unwrap_or(bass)
}

/// A name for a class that no key explains: a white key, or a sharp.
fn plain(class: PitchClass) -> Option<Name> {
    let names = |alter| Letter::ALL.map(|letter| Name::new(letter, alter));
    let mut names = [0, 1].into_iter().flat_map(names).flatten();
    names.find(|name| name.class() == class)
}
