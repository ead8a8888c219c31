//! Every legal voicing of one slot.
//!
//! For each layout of a shape: is it a voicing of the chord at all (what must sound, what clashes, the
//! span), then each octave it can lie in (range, low intervals, tune). The first shape of the palette
//! with a voicing left is the slot's.

use crate::chord::Chord;
use crate::hand::{Asked, Breach, Hand, Sounding, bass, in_the_chord};
use crate::harmony::Place;
use crate::pitch::{Degree, Name, Note, Pitch, Semitones, Spelling};

use super::no_voicing::NoVoicing;
use super::shapes::{Layout, Material, Shape};
use super::{Colour, Settings, Voicing, lay};

/// The slot that asks for a voicing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ask<'a> {
    /// The chord.
    pub chord: &'a Chord,
    /// Where it stands.
    pub place: Place,
    /// The tune notes that sound during the slot.
    pub melody: &'a [Pitch],
}

impl Ask<'_> {
    /// What a degree of the chord is called here.
    pub fn name(&self, degree: Degree, spelling: Spelling) -> Name {
        self.chord.name(degree, spelling, self.place.names)
    }

    /// What a key is called here.
    pub fn name_of(&self, pitch: Pitch, spelling: Spelling) -> Option<Note> {
        let names = self.place.names;
        Note::spelled(pitch, self.chord.name_of(pitch.class(), spelling, names))
    }
}

/// The legal voicings of a slot, all of one shape.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Candidates {
    /// At least one voicing, no two with the same keys, sorted by their keys from the lowest up.
    pub voicings: Vec<Voicing>,
    /// The shape they have.
    pub shape: &'static str,
    /// Whether an earlier shape of the palette had nothing.
    pub thinned: bool,
}

/// Every legal voicing of the slot in the first shape of the palette that has one.
///
/// Where two layouts have the same keys the earlier layout names the degrees. The work is the same
/// for the same chord, place, tune and settings, so callers may keep results.
///
/// # Errors
///
/// [`NoVoicing`] when no shape has one: what threw the candidates out, and what would help.
pub fn candidates(ask: &Ask<'_>, settings: &Settings) -> Result<Candidates, NoVoicing> {
    first_shape(ask, settings).ok_or_else(|| NoVoicing::explain(ask, settings))
}

/// The candidates, without an explanation where there are none.
pub(super) fn first_shape(ask: &Ask<'_>, settings: &Settings) -> Option<Candidates> {
    let search = Search::new(ask, settings);
    tiers(ask, settings.colour).iter().find_map(|materials| {
        let ranked = settings.palette.shapes().iter().enumerate();
        ranked
            .map(|(rank, shape)| search.of_shape(shape, materials, rank > 0))
            .find(|found| !found.voicings.is_empty())
    })
}

/// What the shapes may be made of: a later tier only where an earlier one leaves nothing.
///
/// The 6 that stands for a major seventh under a tune on the root is as good as the seventh, and the 4
/// that stands for the third of a dominant under a tune on the 11 as good as the third, except where
/// only what is written shall sound: then they are a way out. A chord that is no dominant is only
/// suspended as a way out.
pub(super) fn tiers<'a>(ask: &Ask<'a>, colour: Colour) -> Vec<Vec<Material<'a>>> {
    let usual = Material::new(ask.chord, ask.place, colour, ask.melody);
    let sixth = Material::sixth(ask.chord, ask.place, colour, ask.melody);
    let suspended = Material::suspended(ask.chord, ask.place, colour, ask.melody);
    let dominant = ask
        .chord
        .seventh()
        .is_some_and(|seventh| seventh.class() == 10);
    let mut tiers = vec![vec![usual]];
    let as_good = [(sixth, true), (suspended, dominant)];
    for (material, as_good) in as_good {
        match (material, tiers.first_mut()) {
            (Some(material), Some(first)) if as_good && colour != Colour::Written => {
                first.push(material);
            }
            (Some(material), _) => tiers.push(vec![material]),
            (None, _) => {}
        }
    }
    tiers
}

/// What stays the same while the layouts of one slot are tried.
pub(super) struct Search<'a> {
    ask: &'a Ask<'a>,
    hand: &'a Hand,
    spelling: Spelling,
    asked: Asked,
    bass: Option<Pitch>,
}

impl<'a> Search<'a> {
    pub(super) fn new(ask: &'a Ask<'a>, settings: &'a Settings) -> Self {
        let hand = &settings.hand;
        Self {
            ask,
            hand,
            spelling: settings.spelling(),
            asked: Asked::of(ask.chord, ask.melody),
            bass: hand.bass.and_then(|octave| bass(ask.chord, octave)),
        }
    }

    fn of_shape(
        &self,
        shape: &'static Shape,
        materials: &[Material<'_>],
        thinned: bool,
    ) -> Candidates {
        let mut voicings = Vec::new();
        for layout in materials.iter().flat_map(shape.layouts) {
            self.each(&layout, |root, breach| {
                if breach.is_none() {
                    let name = |degree| self.ask.name(degree, self.spelling);
                    voicings.extend(lay(name, shape.name, &layout, root));
                }
            });
        }
        voicings.sort_by(Voicing::by_pitches);
        voicings.dedup_by(|a, b| a.by_pitches(b).is_eq());
        for voicing in &mut voicings {
            voicing.thinned = thinned;
        }
        Candidates {
            voicings,
            shape: shape.name,
            thinned,
        }
    }

    /// Calls back for every octave the layout could lie in, with its root's key and the first rule
    /// it breaks there; once only for a layout that is wrong in every octave.
    ///
    /// The octaves are those whose lowest note lies in the range, and at least one, so that a range
    /// too narrow for the shape shows as the reason.
    pub(super) fn each(&self, layout: &Layout, mut tell: impl FnMut(Pitch, Option<Breach>)) {
        let Some(mut root) = self.lowest_root(layout) else {
            return;
        };
        let mut notes = Vec::with_capacity(layout.tones.len());
        if !self.sound(layout, root, &mut notes) {
            return;
        }
        if let Some(breach) = self.wrong_anywhere(&notes) {
            return tell(root, Some(breach));
        }
        loop {
            tell(
                root,
                self.hand.misplaced(&notes, self.bass, self.ask.melody),
            );
            let Some(octave_up) = root.plus(Semitones(12)) else {
                return;
            };
            root = octave_up;
            let inside = self.sound(layout, root, &mut notes)
                && notes
                    .first()
                    .is_some_and(|note| note.pitch <= self.hand.range.high());
            if !inside {
                return;
            }
        }
    }

    fn wrong_anywhere(&self, notes: &[Sounding]) -> Option<Breach> {
        in_the_chord(&self.asked, notes)
            .next()
            .or_else(|| self.hand.spanned(notes))
    }

    /// The root that puts the layout's lowest note at the low end of the range, or as soon above it
    /// as the chord allows.
    fn lowest_root(&self, layout: &Layout) -> Option<Pitch> {
        let first = Semitones(i32::from(layout.semitones().next()?));
        let class = self.ask.chord.root().class().plus(first);
        let lowest = self.hand.range.low().next_of(class)?;
        lowest.plus(Semitones(-first.0))
    }

    /// Fills in the notes of the layout over this root; false off the MIDI range.
    fn sound(&self, layout: &Layout, root: Pitch, notes: &mut Vec<Sounding>) -> bool {
        notes.clear();
        notes.extend(layout.tones.iter().filter_map(|(degree, semitones)| {
            let pitch = root.plus(Semitones(i32::from(*semitones)))?;
            Some(Sounding {
                pitch,
                degree: *degree,
            })
        }));
        notes.len() == layout.tones.len()
    }
}
