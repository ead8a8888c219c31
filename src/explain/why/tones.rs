//! Which tones of the symbol a voicing leaves out, which it adds, and the reason for each.
//!
//! The reasons are those of [`crate::voicing`] and [`crate::hand`], read backwards: nothing is decided
//! here. A voicing that the chart gives has no reasons of ours.

use crate::chord::{Chord, Family, Tone};
use crate::hand::{HandRule, cancels, fourth_for_third, raise, sixth_for_seventh};
use crate::harmony::{HarmonicContext, Resolution, Scale};
use crate::pitch::{Degree, Name, Pitch, Spelling};
use crate::voicing::{
    Ask, Colour, NoVoicing, Voicing, VoicingSettings, anywhere, fillings, shape, sings_seventh,
};

/// A tone the symbol asks for that nobody in this hand plays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LeftOut {
    /// The tone.
    pub degree: Degree,
    /// Its name over the root.
    pub name: Name,
    /// Why it is silent.
    pub reason: Omission,
}

/// Why a tone of the symbol is silent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Omission {
    /// The root, or the tone that the symbol puts in the bass: it is the bass player's.
    Bass,
    /// The root, while the symbol puts another note in the bass.
    OtherBass(Name),
    /// Another tone takes its place, as a 13 takes the 5's.
    Replaced(Degree),
    /// It cancels a tone that sounds, as a 5 does a b13.
    Cancels(Degree),
    /// `alt` leaves the choice among its alterations to the player.
    Choice,
    /// The natural fifth: it colours nothing, so it goes first.
    Plain,
    /// The symbol implies it without writing it.
    Implied,
    /// It would lie a half step, or a minor ninth, under the root that the melody sings; the 6 stands
    /// for it.
    UnderMelody,
    /// The third: it would lie a half step, or a minor ninth, under the 11 that the melody sings; the 4
    /// stands for it.
    Suspended,
    /// The third: the melody has it, before or after the 4 under which it would rub.
    Resolved,
    /// The melody holds it, and the hand leaves it to the melody.
    Sung,
    /// A fuller shape would have it, but this rule threw out the last of those.
    Thinned(HandRule),
    /// The shape has fewer notes than the symbol names.
    NoRoom,
    /// The chart gives the notes.
    Given,
}

/// A tone that sounds though the symbol does not ask for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Added {
    /// The tone.
    pub degree: Degree,
    /// Its name over the root.
    pub name: Name,
    /// Why it is there.
    pub reason: Addition,
}

/// Why a tone was added.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Addition {
    /// A bare triad is read as players read it: major as a six-nine, minor as a minor ninth.
    Triad,
    /// A bare minor triad at rest is read as a minor six-nine.
    TriadAtRest,
    /// The natural colour of a dominant that goes this way.
    Goes(Resolution),
    /// It belongs to the scale the chord has in its key.
    Fits(Scale),
    /// A bare major triad is the dominant of a minor chord and read as its seventh chord.
    TriadAsDominant,
    /// The colour asked for alters dominants that resolve.
    Altered,
    /// It goes with an alteration the symbol names.
    With(Degree),
    /// It lies a whole step over this tone of the chord.
    Above(Degree),
    /// It stands for this tone of a diminished chord, a whole step below it.
    StandsFor(Degree),
    /// What is usual here is at odds with the melody; this agrees.
    Melody,
    /// The colour asked for adds it.
    Colour,
    /// The chart gives the notes.
    Given,
}

/// The tones of the symbol that the voicing leaves out, by rising degree number. `wanted` says why
/// fuller shapes had nothing, where the voicing was thinned out.
pub(super) fn left_out(
    ask: &Ask<'_>,
    settings: &VoicingSettings,
    voicing: &Voicing,
    wanted: Option<&NoVoicing>,
) -> Vec<LeftOut> {
    let silent = silent(ask.chord, voicing);
    let heard = SoundingDegrees::of(voicing);
    let with_reason = silent.map(|tone| {
        let reason = match heard.omission(ask, *tone) {
            Omission::NoRoom => wanted
                .and_then(|wanted| thinned(ask, settings.colour, tone.degree, wanted))
                .map_or(Omission::NoRoom, Omission::Thinned),
            other => other,
        };
        LeftOut::of(ask, settings.spelling(), tone.degree, reason)
    });
    with_reason.collect()
}

/// The same of a voicing that the chart gives.
pub(super) fn not_given(ask: &Ask<'_>, spelling: Spelling, voicing: &Voicing) -> Vec<LeftOut> {
    silent(ask.chord, voicing)
        .map(|tone| LeftOut::of(ask, spelling, tone.degree, Omission::Given))
        .collect()
}

fn silent<'a>(chord: &'a Chord, voicing: &Voicing) -> impl Iterator<Item = &'a Tone> {
    let heard = SoundingDegrees::of(voicing);
    chord
        .tones()
        .iter()
        .filter(move |tone| !heard.has(tone.degree))
}

impl LeftOut {
    /// Takes for the reason that a plainer tone stands in its place, where one does: of these, each a tension and
    /// what stands for it.
    pub(super) fn give_way(&mut self, mut instead: impl Iterator<Item = (Degree, Degree)>) {
        if let Some((_, plain)) = instead.find(|(tension, _)| *tension == self.degree) {
            self.reason = Omission::Replaced(plain);
        }
    }

    fn of(ask: &Ask<'_>, spelling: Spelling, degree: Degree, reason: Omission) -> Self {
        let name = ask.name(degree, spelling);
        Self {
            degree,
            name,
            reason,
        }
    }
}

/// The rule that threw out the last fuller voicing, if one of those shapes has the tone at all.
fn thinned(ask: &Ask<'_>, colour: Colour, degree: Degree, wanted: &NoVoicing) -> Option<HandRule> {
    let shapes: Vec<_> = wanted
        .shapes
        .iter()
        .filter_map(|name| shape(name))
        .collect();
    let fuller = anywhere(ask, colour, Spelling::Practical, &shapes);
    let has_it = fuller.iter().any(|v| SoundingDegrees::of(v).has(degree));
    let (_, violation) = wanted.last.filter(|_| has_it)?;
    Some(violation.rule())
}

/// The tones of the voicing that the symbol does not ask for, by rising degree number.
pub(super) fn added(
    ask: &Ask<'_>,
    settings: &VoicingSettings,
    voicing: &Voicing,
    given: bool,
) -> Vec<Added> {
    let tones = ask.chord.tones();
    let foreign = |degree: &Degree| tones.iter().all(|t| t.degree.class() != degree.class());
    let mut degrees: Vec<Degree> = voicing.notes.iter().map(|note| note.degree).collect();
    degrees.retain(foreign);
    degrees.sort();
    let heard = SoundingDegrees::of(voicing);
    degrees
        .into_iter()
        .map(|degree| Added {
            degree,
            name: ask.name(degree, settings.spelling()),
            reason: if given {
                Addition::Given
            } else {
                heard.addition(ask, settings.colour, degree)
            },
        })
        .collect()
}

/// The degrees that sound.
struct SoundingDegrees(Vec<Degree>);

impl SoundingDegrees {
    fn of(voicing: &Voicing) -> Self {
        Self(voicing.notes.iter().map(|note| note.degree).collect())
    }

    fn has(&self, degree: Degree) -> bool {
        self.0.iter().any(|heard| heard.class() == degree.class())
    }

    fn omission(&self, ask: &Ask<'_>, Tone { degree, named }: Tone) -> Omission {
        let chord = ask.chord;
        if chord.is_altered() && chord.tensions().contains(&degree) {
            return Omission::Choice;
        }
        if self.sixth_instead(ask, degree) {
            return Omission::UnderMelody;
        }
        if self.suspended(ask, degree) {
            return Omission::Suspended;
        }
        if ask.melody.resolves_to == Some(degree) {
            return Omission::Resolved;
        }
        if self.is_left_to_melody(ask, degree) {
            return Omission::Sung;
        }
        if let Some(other) = self.in_its_place(chord, degree) {
            return Omission::Replaced(other);
        }
        let cancelled = |heard: &&Degree| cancels(degree, **heard) || cancels(**heard, degree);
        if let Some(other) = self.0.iter().find(cancelled) {
            return Omission::Cancels(*other);
        }
        let tone = chord.root().class().plus(degree.semitones());
        match (degree.number(), chord.bass()) {
            (_, Some(bass)) if bass.class() == tone => Omission::Bass,
            (1, Some(bass)) => Omission::OtherBass(bass),
            (1, _) => Omission::Bass,
            (5, _) if !named => self
                .fifth_place()
                .map_or(Omission::Plain, Omission::Replaced),
            _ if named => Omission::NoRoom,
            _ => Omission::Implied,
        }
    }

    /// Whether this is the seventh and the 6 sounds for it under a melody on the root.
    fn sixth_instead(&self, ask: &Ask<'_>, degree: Degree) -> bool {
        let sixth = sixth_for_seventh(ask.chord, &ask.melody.held);
        Some(degree) == ask.chord.seventh() && sixth.is_some_and(|sixth| self.has(sixth))
    }

    /// Whether this is the third and the 4 sounds for it under a melody on the 11.
    fn suspended(&self, ask: &Ask<'_>, degree: Degree) -> bool {
        let fourth = fourth_for_third(ask.chord, &ask.melody.held);
        Some(degree) == ask.chord.third() && fourth.is_some_and(|fourth| self.has(fourth))
    }

    /// Whether the melody holds a tone in the stead of a hand that has fewer notes for it.
    fn is_left_to_melody(&self, ask: &Ask<'_>, degree: Degree) -> bool {
        let tone = ask.chord.root().class().plus(degree.semitones());
        let mut held = ask.melody.struck.iter();
        self.0.len() < 4 && degree.number() != 1 && held.any(|key| key.class() == tone)
    }

    /// The note a whole step up that stands for a tone of a diminished chord.
    fn in_its_place(&self, chord: &Chord, degree: Degree) -> Option<Degree> {
        let raised = raise(degree).filter(|_| chord.family() == Family::Diminished)?;
        self.0.contains(&raised).then_some(raised)
    }

    /// What takes the place of the 5 in a voicing of four notes: #11, 11, b13, 13, b5 or #5.
    fn fifth_place(&self) -> Option<Degree> {
        let takes = |degree: &&Degree| {
            matches!(degree.number(), 11 | 13) || degree.number() == 5 && degree.alter() != 0
        };
        self.0.iter().find(takes).copied()
    }

    fn addition(&self, ask: &Ask<'_>, colour: Colour, degree: Degree) -> Addition {
        let chord = ask.chord;
        if let Some(tone) = self.stood_for(chord, degree) {
            return Addition::StandsFor(tone);
        }
        if is_for_the_melody(ask, colour, degree) {
            return Addition::Melody;
        }
        // What is left of a triad that the melody suspends is no six-nine.
        if chord.seventh().is_none() && ask.melody.resolves_to.is_none() {
            return match chord.family() {
                Family::Minor if ask.context.tonic && self.has(Degree::SIXTH) => {
                    Addition::TriadAtRest
                }
                Family::Major if sings_seventh(chord, &ask.colouring()) => above(chord, degree),
                Family::Major if self.has(Degree::FLAT_SEVENTH) => Addition::TriadAsDominant,
                Family::Minor if degree == Degree::ELEVENTH => above(chord, degree),
                Family::Major | Family::Minor => Addition::Triad,
                _ => above(chord, degree),
            };
        }
        if is_dominant(chord) {
            return of_dominant(ask, colour, degree);
        }
        if chord.family() == Family::Suspended && degree.alter() < 0 {
            return Addition::Fits(ask.context.scale);
        }
        above(chord, degree)
    }

    fn stood_for(&self, chord: &Chord, degree: Degree) -> Option<Degree> {
        let tones = chord.tones().iter().map(|tone| tone.degree);
        let mut silent = tones.filter(|tone| !self.has(*tone));
        let diminished = chord.family() == Family::Diminished;
        silent.find(|tone| diminished && raise(*tone) == Some(degree))
    }
}

fn is_dominant(chord: &Chord) -> bool {
    let class = |degree: Option<Degree>| degree.map(Degree::class);
    class(chord.third()) == Some(4) && class(chord.seventh()) == Some(10)
}

fn of_dominant(ask: &Ask<'_>, colour: Colour, degree: Degree) -> Addition {
    let resolution = ask.context.resolution;
    if colour == Colour::Altered && resolution != Resolution::Elsewhere {
        return Addition::Altered;
    }
    let tones = ask.chord.tones().iter();
    let mut bent = tones
        .filter(|tone| tone.named && tone.degree.number() > 7 && tone.degree.alter() != 0)
        .map(|tone| tone.degree);
    let follows = degree.alter() != 0 && resolution != Resolution::FifthIntoMinor;
    match bent.next().filter(|_| follows) {
        Some(named) => Addition::With(named),
        None if follows_from(ask.coloured_context()) => Addition::Goes(resolution),
        None => Addition::Fits(ask.coloured_context().scale),
    }
}

/// Whether the way on alone explains the scale of a dominant.
fn follows_from(context: HarmonicContext) -> bool {
    match context.resolution {
        Resolution::FifthIntoMajor => context.scale == Scale::Mixolydian,
        Resolution::FifthIntoMinor => matches!(
            context.scale,
            Scale::HarmonicMinorFifth | Scale::PhrygianDominant | Scale::MixolydianFlat13
        ),
        Resolution::HalfStepDown => context.scale == Scale::LydianDominant,
        Resolution::Elsewhere => matches!(context.scale, Scale::Usual | Scale::Mixolydian),
    }
}

fn above(chord: &Chord, degree: Degree) -> Addition {
    let mut tones = chord.tones().iter().map(|tone| tone.degree);
    let tone = tones.find(|tone| (tone.class() + 2) % 12 == degree.class());
    tone.map_or(Addition::Colour, Addition::Above)
}

/// Whether the tone would not be there without the melody.
fn is_for_the_melody(ask: &Ask<'_>, colour: Colour, degree: Degree) -> bool {
    if degree.class() == 5 && fourth_for_third(ask.chord, &ask.melody.held).is_some() {
        return true;
    }
    let within = |melody: &[Pitch]| {
        let all = fillings(ask.chord, ask.coloured_context(), colour, melody);
        all.iter()
            .any(|filling| filling.degrees().contains(&degree))
    };
    within(&ask.colouring()) && !within(&[])
}
