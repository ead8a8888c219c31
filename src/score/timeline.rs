//! An arrangement as it sounds: the performance in the order it is played.

use std::ops::Range;
use std::sync::Arc;

use super::bar::{PageBar, page};
use super::notated_score::slots_of_bars;
use super::{Bass, Performing, Quarters, Tempo};
use crate::arrange::{Arranged, Arrangement};
use crate::chart::{Beats, Chart, Meter};
use crate::chord::{Chord, Symbol};
use crate::pitch::{Key, Pitch};

/// A performance in time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Timeline {
    /// The notes, each part's in the order they start.
    pub notes: Vec<TimedNote>,
    /// What a reader of the performance should know, and from when on.
    pub signs: Vec<(Quarters, Sign)>,
    /// Where it ends.
    pub end: Quarters,
}

/// A note of a performance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TimedNote {
    /// When it starts, from the beginning.
    pub start: Quarters,
    /// How long it sounds.
    pub length: Quarters,
    /// The key.
    pub pitch: Pitch,
    /// Who plays it.
    pub part: Part,
}

/// Who plays a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// The melody
    Melody,
    /// The left hand
    Hand,
    /// The bass
    Bass,
}

/// Something that holds from a place on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Sign {
    /// A tempo.
    Tempo(Tempo),
    /// A meter.
    Meter(Meter),
    /// A key.
    Key(Key),
    /// A section with this name.
    Section(String),
    /// A chord, or silence.
    Chord(Arc<Symbol>),
}

impl Timeline {
    /// The performance of an arrangement: repeats, endings, jumps and the order of `play` carried out.
    pub fn of(arrangement: &Arrangement, performing: &Performing) -> Self {
        let chart = &arrangement.chart;
        let page = page(chart);
        let slots = slots_of_bars(&arrangement.slots, page.len());
        let mut player = Player::new(arrangement, performing);
        for bar in bars_of_pass(arrangement, performing.pass) {
            if let (Some(bar), Some(slots)) = (page.get(bar), slots.get(bar)) {
                player.play(chart, bar, slots);
            }
        }
        player.timeline
    }
}

impl Arrangement {
    /// How often the performance goes through the tune: how often its first bar is played.
    ///
    /// ```
    /// use compline::{arrange, chart};
    ///
    /// let chart = chart::read("|: C | F |1 G :|2 C ||").unwrap();
    /// let arrangement = arrange::arrange(chart, &Default::default(), &mut Default::default()).unwrap();
    /// assert_eq!(arrangement.passes(), 2);
    /// ```
    pub fn passes(&self) -> usize {
        let first = played_bars(self).next();
        played_bars(self).filter(|bar| Some(*bar) == first).count()
    }
}

/// The bars of one time through the tune, in the order they are played; all of them where none is named.
fn bars_of_pass(arrangement: &Arrangement, pass: Option<usize>) -> Vec<usize> {
    let first = played_bars(arrangement).next();
    let mut number = 0;
    let numbered = played_bars(arrangement).map(|bar| {
        number += usize::from(Some(bar) == first);
        (number, bar)
    });
    let wanted = numbered.filter(|(number, _)| pass.is_none_or(|pass| pass == *number));
    wanted.map(|(_, bar)| bar).collect()
}

/// The bars in the order they are played, each by its place on the page.
fn played_bars(arrangement: &Arrangement) -> impl Iterator<Item = usize> {
    let slots = arrangement.performance.visits().iter();
    let slots = slots.filter_map(|at| arrangement.slots.get(*at));
    let firsts = slots.filter(|one| one.slot.place.chord == 0);
    firsts.map(|one| one.slot.bar.saturating_sub(1))
}

struct Player<'a> {
    slots: &'a [Arranged],
    performing: &'a Performing,
    timeline: Timeline,
    meter: Option<Meter>,
    key: Option<Key>,
    tempo: Option<Option<Tempo>>,
    section: Option<usize>,
    /// The note of the melody that is tied to the bar to come, among the notes.
    tied: Option<usize>,
}

impl<'a> Player<'a> {
    fn new(arrangement: &'a Arrangement, performing: &'a Performing) -> Self {
        Self {
            slots: &arrangement.slots,
            performing,
            timeline: Timeline {
                notes: Vec::new(),
                signs: Vec::new(),
                end: Quarters::ZERO,
            },
            meter: None,
            key: None,
            tempo: None,
            section: None,
            tied: None,
        }
    }

    fn play(&mut self, chart: &Chart, page: &PageBar<'_>, slots: &Range<usize>) {
        self.head(chart, page);
        self.melody(page);
        let slots = self.slots.get(slots.clone()).unwrap_or_default();
        for one in slots {
            self.slot(one, page);
        }
        self.timeline.end += Quarters::of_bar(page.meter);
    }

    fn sign(&mut self, at: Quarters, sign: Sign) {
        self.timeline.signs.push((self.timeline.end + at, sign));
    }

    fn head(&mut self, chart: &Chart, page: &PageBar<'_>) {
        if self.tempo.replace(page.tempo) != Some(page.tempo) {
            let tempo = page.tempo.unwrap_or(Tempo::usual(chart.meter()));
            self.sign(Quarters::ZERO, Sign::Tempo(tempo));
        }
        if let Some(key) = page.key.filter(|key| self.key.replace(*key) != Some(*key)) {
            self.sign(Quarters::ZERO, Sign::Key(key));
        }
        if self.meter.replace(page.meter) != Some(page.meter) {
            self.sign(Quarters::ZERO, Sign::Meter(page.meter));
        }
        let moved = self.section.replace(page.section) != Some(page.section);
        let section = chart.sections().get(page.section);
        let name = section.and_then(|section| section.name.clone());
        if let Some(name) = name.filter(|_| moved || page.heads) {
            self.sign(Quarters::ZERO, Sign::Section(name));
        }
    }

    /// When a place of the bar is played, as swing has it.
    fn moment(&self, place: Quarters, meter: Meter) -> Quarters {
        let swing = self.performing.swing;
        self.timeline.end + swing.map_or(place, |swing| swing.moved(place, meter))
    }

    /// A note that lasts from one place of the bar to another.
    fn note(&mut self, (from, to): (Quarters, Quarters), pitch: Pitch, part: Part, meter: Meter) {
        let (start, end) = (self.moment(from, meter), self.moment(to, meter));
        self.timeline.notes.push(TimedNote {
            start,
            length: end - start,
            pitch,
            part,
        });
    }

    fn melody(&mut self, page: &PageBar<'_>) {
        let mut at = Quarters::ZERO;
        let mut tied = self.tied.take();
        for event in page.bar.melody.as_deref().unwrap_or_default() {
            let end = at + Quarters::of_beats(event.beats, page.meter);
            let sounding = tied.take();
            if let Some(pitch) = event.pitch() {
                let note = self.held_on(sounding, pitch, (end, page.meter));
                let note = note.unwrap_or_else(|| {
                    self.note((at, end), pitch, Part::Melody, page.meter);
                    self.timeline.notes.len() - 1
                });
                self.tied = event.tied.then_some(note);
            }
            at = end;
        }
    }

    /// Lets a note that is tied to this bar sound up to a place in it; `None` if it is another key.
    fn held_on(
        &mut self,
        tied: Option<usize>,
        pitch: Pitch,
        (to, meter): (Quarters, Meter),
    ) -> Option<usize> {
        let end = self.moment(to, meter);
        let at = tied?;
        let note = self.timeline.notes.get_mut(at)?;
        (note.pitch == pitch).then(|| {
            note.length = end - note.start;
            at
        })
    }

    fn slot(&mut self, one: &Arranged, page: &PageBar<'_>) {
        let meter = page.meter;
        let start = one.slot.beat - Beats::whole(1);
        let end = start + one.slot.beats;
        let (from, to) = (
            Quarters::of_beats(start, meter),
            Quarters::of_beats(end, meter),
        );
        self.sign(from, Sign::Chord(one.slot.symbol.clone()));
        let beats = i64::from(page.bar.beats);
        let comping = self.performing.comping;
        for (at, length) in comping.strokes(beats, start.ratio(), end.ratio()) {
            let beat = Quarters::of_beats(Beats::whole(1), meter);
            let stroke = (beat * at, beat * (at + length));
            for pitch in one.voicing.iter().flat_map(|voicing| voicing.pitches()) {
                self.note(stroke, pitch, Part::Hand, meter);
            }
        }
        let bass = one.slot.symbol.chord().map(bass_of);
        if let Some(pitch) = bass.filter(|_| self.performing.bass == Bass::Roots) {
            self.note((from, to), pitch, Part::Bass, meter);
        }
    }
}

/// The bass note, else the root, from E1 to Eb2: the lowest octave of a double bass (common practice,
/// no source).
fn bass_of(chord: &Chord) -> Pitch {
    const LOWEST: i32 = 28;
    let class = chord.lowest().class();
    let above = (i32::from(class.number()) - LOWEST).rem_euclid(12);
    Pitch::try_from(LOWEST + above).unwrap_or(Pitch::MIDDLE_C)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arrange::{Cache, Settings, arrange};
    use crate::chart::read;
    use crate::score::{Swing, comping};

    fn timeline(source: &str, performing: &Performing) -> Timeline {
        let chart = read(source).unwrap();
        let arrangement = arrange(chart, &Settings::default(), &mut Cache::default()).unwrap();
        Timeline::of(&arrangement, performing)
    }

    fn starts(timeline: &Timeline, part: Part) -> Vec<String> {
        let notes = timeline.notes.iter().filter(|note| note.part == part);
        let mut starts: Vec<Quarters> = notes.map(|note| note.start).collect();
        starts.dedup();
        starts.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn repeats_and_changes_of_meter_are_carried_out() {
        let found = timeline("meter: 4/4\n|: C | 3/4 F :|", &Performing::default());
        assert_eq!(found.end, Quarters::whole(14));
        assert_eq!(starts(&found, Part::Hand), ["0", "4", "7", "11"]);
        let meters = found
            .signs
            .iter()
            .filter(|(_, sign)| matches!(sign, Sign::Meter(_)));
        assert_eq!(meters.count(), 4);
    }

    #[test]
    fn a_pass_goes_from_the_first_bar_to_where_it_comes_again() {
        let source = "tempo: 100\n[A]\n|: C | F |1 G :|2 Am | Dm ||\n";
        let pass = |pass| {
            let performing = Performing {
                pass: Some(pass),
                ..Performing::default()
            };
            timeline(source, &performing)
        };
        let lasts = [1, 2, 3].map(|number| pass(number).end);
        assert_eq!(lasts, [12, 16, 0].map(Quarters::whole));
        // Each begins at once, with all that holds there.
        for number in [1, 2] {
            let signs = pass(number).signs.into_iter();
            let at_first = signs.filter(|(at, _)| *at == Quarters::ZERO);
            assert_eq!(at_first.count(), 4, "tempo, meter, section, chord");
        }
    }

    #[test]
    fn compound_beats_are_dotted_quarters() {
        let found = timeline("meter: 6/8\ntempo: 60\n| C F |\n", &Performing::default());
        assert_eq!(starts(&found, Part::Hand), ["0", "3/2"]);
        let (at, Sign::Tempo(tempo)) = &found.signs[0] else {
            panic!("{:?}", found.signs)
        };
        assert_eq!((*at, tempo.beats), (Quarters::ZERO, 60));
        assert_eq!(tempo.beat(), Quarters::new(3, 2));
    }

    #[test]
    fn a_tied_note_sounds_once_in_whatever_bar_is_played_next() {
        let source = "|: C | F |1 G :|2 C ||\nmel | B4:4 | r:7/2 A4:1/2- | A4:2 B4:2- | A4:4 |\n";
        let found = timeline(source, &Performing::default());
        let melody = found.notes.iter().filter(|note| note.part == Part::Melody);
        let shown: Vec<String> = melody
            .map(|note| format!("{} {}", note.start, note.length))
            .collect();
        // The first ending goes on in the repeat, the second one from the same bar as the first.
        assert_eq!(shown, ["0 4", "15/2 5/2", "10 6", "39/2 9/2"]);
    }

    #[test]
    fn swing_moves_the_melody_and_the_hand_alike() {
        let performing = Performing {
            swing: Some(Swing::TRIPLET),
            comping: comping("charleston").unwrap(),
            ..Performing::default()
        };
        let found = timeline("| C |\nmel | C5:3/2 D5:5/2 |", &performing);
        assert_eq!(starts(&found, Part::Melody), ["0", "5/3"]);
        assert_eq!(starts(&found, Part::Hand), ["0", "5/3"]);
    }

    #[test]
    fn the_bass_has_the_root_or_the_note_after_the_slash() {
        let performing = Performing {
            bass: Bass::Roots,
            ..Performing::default()
        };
        let found = timeline("| C | C/E | Eb | N.C. |", &performing);
        let bass: Vec<u8> = found
            .notes
            .iter()
            .filter(|note| note.part == Part::Bass)
            .map(|note| note.pitch.midi())
            .collect();
        assert_eq!(bass, [36, 28, 39]);
    }
}
