//! Every legal voicing of one slot.
//!
//! For each layout of a shape: is it a voicing of the chord at all (what must sound, what clashes, the
//! span), then each octave it can lie in (range, low intervals, melody). The first shape of the palette
//! with a voicing left is the slot's.

use std::cell::LazyCell;

use crate::chord::Family;
use crate::hand::{
    Hand, Requirements, SoundingNote, Violation, bass, has_ninth_low, in_the_chord, is_whole,
};
use crate::harmony::{Melody, Scale};
use crate::pitch::{Degree, Name, Pitch, Semitones};

use super::ask::Ask;
use super::cluster::{has_cluster, has_cluster_of_11};
use super::filling::TENSION;
use super::shapes::{GUIDE_TONES, Layout, Material, SHAPES, SHELL, Shape};
use super::tiers::tiers;
use super::without_held_keys::{leave, rooted};
use super::{Colour, Surcharges, Voicing, VoicingSettings, lay};

/// The legal voicings of a slot, all of one shape.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Candidates {
    /// At least one voicing, no two with the same keys, sorted by their keys from the lowest up.
    pub voicings: Vec<Voicing>,
    /// The shape they have.
    pub shape: &'static Shape,
    /// Whether an earlier shape of the palette had nothing.
    pub thinned: bool,
}

/// The candidates, without an explanation where there are none.
///
/// In a tier the whole voicings come first, shape by shape; but the first shape of the palette is taken as it
/// is. So a slot is thinned to a shape that says all the symbol does, if there is one.
pub(super) fn first_shape(ask: &Ask<'_>, settings: &VoicingSettings) -> Option<Candidates> {
    let search = CandidateSearch::new(ask, settings);
    let tiers = tiers(ask, settings.colour);
    let fitting = search.of_tiers(&tiers);
    fitting.or_else(|| search.two_notes(&tiers.concat()))
}

/// What a voicing that somebody wrote is charged.
///
/// Where it is a layout of some shape, the tensions its filling leaves out are known; nothing else is
/// charged for being plain.
pub fn charged(voicing: &Voicing, ask: &Ask<'_>, settings: &VoicingSettings) -> Surcharges {
    let tiers = tiers(ask, settings.colour).into_iter().flatten();
    let is_this = |layout: &Layout| {
        let degrees = voicing.notes.iter().map(|note| note.degree.class());
        layout.degrees().map(Degree::class).eq(degrees)
    };
    let search = CandidateSearch::new(ask, settings);
    let notes: Vec<SoundingNote> = voicing.notes.iter().map(SoundingNote::from).collect();
    let left_out = tiers.filter_map(|material| {
        let layouts = SHAPES.iter().flat_map(|shape| (shape.layouts)(&material));
        let these = layouts.filter(is_this);
        these
            .map(|layout| search.left_out(&material, &layout, &notes))
            .map(|left_out| left_out + search.crowding(voicing, left_out))
            .min()
    });
    search.surcharges(voicing, left_out.min().unwrap_or(0))
}

/// Which layouts of a shape are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum WantedLayouts {
    /// Those that say all that the symbol does.
    Whole,
    /// Those that leave something out.
    Partly,
}

/// What stays the same while the layouts of one slot are tried.
pub(super) struct CandidateSearch<'a> {
    ask: &'a Ask<'a>,
    settings: &'a VoicingSettings,
    asked: Requirements,
    bass: Option<Pitch>,
}

impl<'a> CandidateSearch<'a> {
    pub(super) fn new(ask: &'a Ask<'a>, settings: &'a VoicingSettings) -> Self {
        Self {
            ask,
            settings,
            asked: Requirements::of(ask.chord, ask.melody.into()),
            bass: settings
                .hand
                .bass
                .and_then(|octave| bass(ask.chord, octave)),
        }
    }

    /// The candidates of the first tier that has any.
    pub(super) fn of_tiers(&self, tiers: &[Vec<Material<'_>>]) -> Option<Candidates> {
        tiers.iter().find_map(|materials| self.of_tier(materials))
    }

    /// The candidates of the first shape of the palette that has any, whole ones before others.
    fn of_tier(&self, materials: &[Material<'_>]) -> Option<Candidates> {
        let shapes = self.settings.palette.shapes();
        let later = shapes.iter().skip(1);
        let first = shapes.iter().take(1);
        let first =
            first.flat_map(|s| [WantedLayouts::Whole, WantedLayouts::Partly].map(|l| (s, l)));
        let order = first
            .chain(later.clone().map(|shape| (shape, WantedLayouts::Whole)))
            .chain(later.map(|shape| (shape, WantedLayouts::Partly)));
        let wanted = shapes.first().map(|shape| shape.name);
        let mut thinned = false;
        for (shape, which) in order {
            let thinned_here = thinned && Some(shape.name) != wanted;
            let laid = self.laid(shape, materials, which);
            let found = self.of_shape(shape, &laid, thinned_here);
            if !found.voicings.is_empty() {
                return Some(found);
            }
            // Where a chord has no layout in a shape nothing is thinned out by going on to the next.
            thinned |= !laid.is_empty();
        }
        None
    }

    /// Two notes, in the palette or not, where nothing else fits under the melody; neither on a key that
    /// it holds, or only one would be left. Where the limits leave nothing without a melody either, it is
    /// not to blame, and there is no way out.
    fn two_notes(&self, materials: &[Material<'_>]) -> Option<Candidates> {
        let alone = Ask {
            melody: &Melody::NONE,
            ..*self.ask
        };
        let held = &self.ask.melody.held;
        if held.is_empty() || first_shape(&alone, self.settings).is_none() {
            return None;
        }
        let two = [&GUIDE_TONES, &SHELL].into_iter();
        let each = two.map(|shape| {
            let mut laid: Vec<(Layout, u32)> = Vec::new();
            for which in [WantedLayouts::Whole, WantedLayouts::Partly] {
                laid.extend(self.laid(shape, materials, which));
            }
            laid.retain(|(layout, _)| layout.tones.len() == 2);
            let mut found = self.of_shape(shape, &laid, true);
            let shares = |voicing: &Voicing| voicing.pitches().any(|key| held.contains(&key));
            found.voicings.retain(|voicing| !shares(voicing));
            found
        });
        each.into_iter().find(|found| !found.voicings.is_empty())
    }

    /// These layouts of a shape, each with what it leaves out.
    fn laid(
        &self,
        shape: &Shape,
        materials: &[Material<'_>],
        which: WantedLayouts,
    ) -> Vec<(Layout, u32)> {
        let mut notes = Vec::new();
        let mut laid: Vec<(Layout, u32)> = Vec::new();
        for material in materials {
            for layout in (shape.layouts)(material) {
                let root = self.lowest_root(&layout);
                let sound = root.is_some_and(|root| self.sound(&layout, root, &mut notes));
                let is_new = || !laid.iter().any(|(other, _)| *other == layout);
                let lone = self.is_shell_of_triad(shape, &notes);
                if sound && self.which(lone, &notes) == which && is_new() {
                    let added = u32::from(lone && self.settings.colour != Colour::Written);
                    let left_out = self.left_out(material, &layout, &notes) + TENSION * added;
                    laid.push((layout, left_out));
                }
            }
        }
        laid
    }

    /// How many half tensions a layout is charged: those its filling leaves out, one for an inversion that
    /// is neither form, and as many as two tensions for a #9 below the third.
    fn left_out(&self, material: &Material<'_>, layout: &Layout, notes: &[SoundingNote]) -> u32 {
        let turned = TENSION / 2 * u32::from(layout.turned);
        let ninth = 2 * TENSION * u32::from(has_ninth_low(&self.asked, notes));
        material.left_out + turned + ninth
    }

    /// Whether it is a shell of two notes of a triad: all that a shell can have of its symbol. In other
    /// colours than *written* a 6 or a seventh is left out.
    fn is_shell_of_triad(&self, shape: &Shape, notes: &[SoundingNote]) -> bool {
        let triad = self.ask.chord.seventh().is_none() && self.ask.chord.third().is_some();
        *shape == SHELL && triad && notes.len() == 2
    }

    fn which(&self, lone_shell: bool, notes: &[SoundingNote]) -> WantedLayouts {
        match lone_shell || is_whole(&self.asked, notes) {
            true => WantedLayouts::Whole,
            false => WantedLayouts::Partly,
        }
    }

    fn of_shape(&self, shape: &'static Shape, laid: &[(Layout, u32)], thinned: bool) -> Candidates {
        let spelling = self.settings.spelling();
        let (mut voicings, mut known) = (Vec::new(), Vec::new());
        for (layout, left_out) in laid {
            let mut name = |degree| self.name(degree, &mut known);
            let names = LazyCell::new(|| layout.degrees().map(&mut name).collect::<Vec<Name>>());
            self.each(layout, |root, violation| {
                let leaves = self.may_leave(layout, root);
                if violation.is_none() || leaves {
                    let laid = lay(&names, shape.called(layout), layout, root);
                    let laid = laid.map(|voicing| self.ask.lettered(voicing, spelling));
                    voicings.extend(laid.and_then(|voicing| {
                        self.weighed(voicing, *left_out, leaves, violation.is_none())
                    }));
                }
            });
        }
        // Stable: of two names for the same keys the less plain one stays.
        voicings.sort_by(Voicing::by_pitches);
        voicings.dedup_by(|a, b| a.by_pitches(b).is_eq());
        for voicing in &mut voicings {
            voicing.thinned = thinned;
        }
        Candidates {
            voicings,
            shape,
            thinned,
        }
    }

    /// What a degree is called here. The layouts of a shape share theirs, so it is worked out once and then `known`.
    fn name(&self, degree: Degree, known: &mut Vec<(Degree, Name)>) -> Name {
        if let Some((_, name)) = known.iter().find(|(other, _)| *other == degree) {
            return *name;
        }
        let name = self.ask.name(degree, self.settings.spelling());
        known.push((degree, name));
        name
    }

    /// A voicing with what it is charged: without the keys that the melody holds, if it `leaves` them and that
    /// may be played; else as it is, if it is `legal`.
    fn weighed(
        &self,
        voicing: Voicing,
        left_out: u32,
        leaves: bool,
        legal: bool,
    ) -> Option<Voicing> {
        let lesser = match leaves {
            true => leave(&voicing, &self.ask.melody.held),
            false => None,
        };
        if let Some(lesser) = lesser.filter(|lesser| self.allows(lesser)) {
            let root = rooted(&voicing) && !rooted(&lesser);
            let left_out = left_out.saturating_sub(TENSION * u32::from(root));
            let crowding = self.crowding(&lesser, left_out);
            return Some(self.charged(lesser, left_out + crowding + self.thinness(&voicing)));
        }
        let left_out = left_out + self.crowding(&voicing, left_out);
        legal.then(|| self.charged(voicing, left_out))
    }

    /// How many half tensions a cluster is charged: a whole tension, in a filling that leaves one out, and for an 11
    /// that a minor chord takes as a way out; in the Phrygian scale, which has no 9, it is usual.
    fn crowding(&self, voicing: &Voicing, left_out: u32) -> u32 {
        let chord = self.ask.chord;
        let plainer = left_out >= TENSION && has_cluster(chord, voicing);
        let way_out = chord.family() == Family::Minor && self.ask.context.scale != Scale::Phrygian;
        match plainer || way_out && has_cluster_of_11(chord, voicing) {
            true => TENSION,
            false => 0,
        }
    }

    /// How many half tensions are left out with the keys that are left to the melody: one, and a whole
    /// tension where the melody leaves a key before half of the chord is over, or the symbol names the tone.
    fn thinness(&self, voicing: &Voicing) -> u32 {
        let Melody { held, lasting, .. } = self.ask.melody;
        let named = |degree| {
            let mut named = self.ask.chord.named_beyond_frame();
            named.any(|named| named == degree)
        };
        let mut left = voicing.notes.iter().filter(|n| held.contains(&n.pitch));
        match left.all(|note| lasting.contains(&note.pitch) && !named(note.degree)) {
            true => TENSION / 2,
            false => TENSION,
        }
    }

    /// Whether a layout has a note on a key that the melody holds, over this root. A tone that the melody
    /// resolves to by itself is no such note: what is left without it is a material of its own.
    fn may_leave(&self, layout: &Layout, root: Pitch) -> bool {
        let Melody {
            held, resolves_to, ..
        } = self.ask.melody;
        let above = held.iter().map(|held| root.up_to(*held).0);
        let resolved = resolves_to.map(|tone| i32::from(tone.class()));
        let mut above = above.filter(|above| Some(above.rem_euclid(12)) != resolved);
        above.any(|above| layout.semitones().any(|tone| i32::from(tone) == above))
    }

    /// Whether the hand may play the voicing.
    fn allows(&self, voicing: &Voicing) -> bool {
        let notes: Vec<SoundingNote> = voicing.notes.iter().map(SoundingNote::from).collect();
        let held = &self.ask.melody.held;
        self.wrong_anywhere(&notes).is_none()
            && self.hand().misplaced(&notes, self.bass, held).is_none()
    }

    fn charged(&self, voicing: Voicing, left_out: u32) -> Voicing {
        Voicing {
            surcharges: self.surcharges(&voicing, left_out),
            ..voicing
        }
    }

    /// What a voicing is charged that leaves so many half tensions out.
    fn surcharges(&self, voicing: &Voicing, left_out: u32) -> Surcharges {
        let weights = self.settings.surcharges;
        let lowest = voicing.pitches().next();
        Surcharges {
            register: lowest.map_or(0, |lowest| weights.of_height(lowest)),
            plain: weights.of_plainness(left_out),
            melody: weights.of_melody(voicing, self.ask.melody),
        }
    }

    const fn hand(&self) -> &Hand {
        &self.settings.hand
    }

    /// Calls back for every octave the layout could lie in, with its root's key and the first rule
    /// it breaks there; once only for a layout that is wrong in every octave.
    ///
    /// The octaves are those whose lowest note lies in the range, and at least one, so that a range
    /// too narrow for the shape shows as the reason.
    pub(super) fn each(&self, layout: &Layout, mut tell: impl FnMut(Pitch, Option<Violation>)) {
        let Some(mut root) = self.lowest_root(layout) else {
            return;
        };
        let mut notes = Vec::with_capacity(layout.tones.len());
        if !self.sound(layout, root, &mut notes) {
            return;
        }
        if let Some(violation) = self.wrong_anywhere(&notes) {
            return tell(root, Some(violation));
        }
        loop {
            tell(
                root,
                self.hand()
                    .misplaced(&notes, self.bass, &self.ask.melody.held),
            );
            let Some(octave_up) = root.plus(Semitones(12)) else {
                return;
            };
            root = octave_up;
            let inside = self.sound(layout, root, &mut notes)
                && notes
                    .first()
                    .is_some_and(|note| note.pitch <= self.hand().range.high());
            if !inside {
                return;
            }
        }
    }

    fn wrong_anywhere(&self, notes: &[SoundingNote]) -> Option<Violation> {
        in_the_chord(&self.asked, notes)
            .next()
            .or_else(|| self.hand().spanned(notes))
            .or_else(|| self.hand().fingered(notes))
    }

    /// The root that puts the layout's lowest note at the low end of the range, or as soon above it
    /// as the chord allows.
    fn lowest_root(&self, layout: &Layout) -> Option<Pitch> {
        let first = Semitones(i32::from(layout.semitones().next()?));
        let class = self.ask.chord.root().class().plus(first);
        let lowest = self.hand().range.low().next_of(class)?;
        let root = |lowest: Pitch| lowest.plus(Semitones(-first.0));
        // At the bottom of the keyboard the root may lie off it: then the octave above is the lowest.
        root(lowest).or_else(|| root(lowest.plus(Semitones(12))?))
    }

    /// Fills in the notes of the layout over this root; false off the MIDI range.
    fn sound(&self, layout: &Layout, root: Pitch, notes: &mut Vec<SoundingNote>) -> bool {
        notes.clear();
        notes.extend(layout.tones.iter().filter_map(|(degree, semitones)| {
            let pitch = root.plus(Semitones(i32::from(*semitones)))?;
            Some(SoundingNote {
                pitch,
                degree: *degree,
            })
        }));
        notes.len() == layout.tones.len()
    }
}
