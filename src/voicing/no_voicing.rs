//! A slot in which nothing is left: what threw the candidates out, and what would help.

use crate::chart::{MiddleC, Slot};
use crate::hand::{Hand, HandRule, LimitTable, Loosening, Range, Reach, Violation};
use crate::pitch::{Note, Pitch, Semitones};

use super::ask::Ask;
use super::candidate_search::{CandidateSearch, first_shape};
use super::shapes::{Layout, Material, SHAPES, Shape};
use super::tiers::tiers;
use super::{Voicing, VoicingSettings};

/// How many candidates of a shape fell to a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tally {
    /// The shape.
    pub shape: &'static str,
    /// The first rule they broke.
    pub rule: HandRule,
    /// How many.
    pub count: usize,
}

/// No legal voicing for a chord.
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::{Melody, HarmonicContext};
/// use compline::voicing::{Ask, VoicingSettings, candidates};
///
/// let chord = Chord::read("Fm7").unwrap();
/// let ask = Ask { chord: &chord, context: HarmonicContext::default(), melody: &Melody::NONE };
/// let mut settings = VoicingSettings { palette: "rootless".parse().unwrap(), ..VoicingSettings::default() };
/// settings.hand.range = "C3-F3".parse().unwrap();
/// let none = candidates(&ask, &settings).unwrap_err();
/// assert_eq!(none.loosening.unwrap().to_string(), "--high Ab3");
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoVoicing {
    /// The chord symbol.
    pub symbol: String,
    /// The shapes that were tried, in the palette's order.
    pub shapes: Box<[&'static str]>,
    /// What fell to what, by shape in the palette's order, then by rule.
    pub tally: Vec<Tally>,
    /// The violation of the candidate that got furthest through the rules, with its shape.
    pub last: Option<(&'static str, Violation)>,
    /// The smallest change of one setting that leaves a voicing; it has been tried.
    pub loosening: Option<Loosening>,
    /// The notes that the last violation names, as the page spells them.
    pub names: Vec<Note>,
    /// How the page counts octaves.
    pub middle_c: MiddleC,
}

impl NoVoicing {
    /// With the melody's notes named as they are spelled in a slot, and octaves counted as in its chart.
    #[must_use]
    pub fn in_slot(mut self, slot: &Slot) -> Self {
        let melody = slot.melody_notes.iter().map(|heard| heard.note);
        self.middle_c = slot.middle_c;
        let spelled = |note: &Note| melody.clone().find(|other| other.pitch() == note.pitch());
        for note in &mut self.names {
            *note = spelled(note).unwrap_or(*note);
        }
        if let Some(Loosening::MelodyNote(note)) = &mut self.loosening {
            *note = spelled(note).unwrap_or(*note);
        }
        self
    }

    pub(super) fn explain(ask: &Ask<'_>, settings: &VoicingSettings) -> Self {
        let mut found = Self {
            symbol: ask.chord.symbol().to_owned(),
            shapes: settings.palette.names().collect(),
            tally: Vec::new(),
            last: None,
            loosening: loosening(ask, settings),
            names: Vec::new(),
            middle_c: MiddleC::default(),
        };
        let materials: Vec<_> = tiers(ask, settings.colour).into_iter().flatten().collect();
        let search = CandidateSearch::new(ask, settings);
        for shape in settings.palette.shapes() {
            found.count(shape, &materials, &search);
        }
        let pitches = found
            .last
            .iter()
            .flat_map(|(_, violation)| violation.keys());
        let named = pitches.filter_map(|pitch| ask.name_of(pitch, settings.spelling()));
        found.names = named.collect();
        found
    }

    fn count(
        &mut self,
        shape: &'static Shape,
        materials: &[Material<'_>],
        search: &CandidateSearch<'_>,
    ) {
        let mut broken: Vec<Violation> = Vec::new();
        let mut tried: Vec<Layout> = Vec::new();
        for layout in materials.iter().flat_map(shape.layouts) {
            if !tried.contains(&layout) {
                search.each(&layout, |_, violation| broken.extend(violation));
                tried.push(layout);
            }
        }
        for rule in HandRule::ALL {
            let count = broken
                .iter()
                .filter(|violation| violation.rule() == rule)
                .count();
            if count > 0 {
                self.tally.push(Tally {
                    shape: shape.name,
                    rule,
                    count,
                });
            }
        }
        for violation in broken {
            let furthest = self
                .last
                .is_none_or(|(_, last)| last.rule() < violation.rule());
            if furthest {
                self.last = Some((shape.name, violation));
            }
        }
    }
}

/// How far a setting is loosened, in semitones, before another kind of help is looked for.
const FURTHEST: u8 = 12;

/// The smallest loosening of one setting that leaves a voicing: semitone by semitone the high end,
/// the low end, the reach and the low-interval limits; then one more shape; then one melody note less.
fn loosening(ask: &Ask<'_>, settings: &VoicingSettings) -> Option<Loosening> {
    (1..=FURTHEST)
        .find_map(|step| by_steps(ask, settings, step))
        .or_else(|| by_shape(ask, settings))
        .or_else(|| by_melody(ask, settings))
}

fn by_steps(ask: &Ask<'_>, settings: &VoicingSettings, step: u8) -> Option<Loosening> {
    let hand = &settings.hand;
    let up = Semitones(i32::from(step));
    let (low, high) = (hand.range.low(), hand.range.high());
    let higher = high.plus(up);
    let lower = low.plus(Semitones(-up.0));
    let ranged = |low: Option<Pitch>, high: Option<Pitch>| Range::new(low?, high?);
    let with_range = |range: Range| Hand {
        range,
        ..hand.clone()
    };
    let wider = wider(hand.reach, step);
    let tries = [
        ranged(Some(low), higher).map(|r| (with_range(r), Loosening::High(r.high()))),
        ranged(lower, Some(high)).map(|r| (with_range(r), Loosening::Low(r.low()))),
        wider.map(|semitones| {
            let reach = Reach::Semitones(semitones);
            let hand = Hand {
                reach,
                ..hand.clone()
            };
            (hand, Loosening::Reach(semitones))
        }),
    ];
    tries
        .into_iter()
        .flatten()
        .find(|(hand, _)| leaves_some(ask, settings, hand).is_some())
        .map(|(_, loosening)| loosening)
        .or_else(|| by_limits(ask, settings, step))
}

/// A reach so many semitones wider; none for a measured hand, which nobody should stretch.
fn wider(reach: Reach, step: u8) -> Option<u8> {
    match reach {
        Reach::Semitones(now) => {
            let wider = now.saturating_add(step);
            Reach::semitones(wider).map(|_| wider)
        }
        _ => None,
    }
}

/// With every floor a few semitones lower: the intervals that this lets through.
fn by_limits(ask: &Ask<'_>, settings: &VoicingSettings, step: u8) -> Option<Loosening> {
    let limits = settings.hand.limits.lowered(step);
    let hand = Hand {
        limits,
        ..settings.hand.clone()
    };
    let voicing = leaves_some(ask, settings, &hand)?;
    let mut pairs = forbidden(&voicing, &settings.hand.limits);
    if let Some(octave) = settings.hand.bass {
        let bass = crate::hand::bass(ask.chord, octave);
        let with = |bass: Pitch| voicing.pitches().map(move |pitch| (bass, pitch));
        pairs.extend(bass.into_iter().flat_map(with));
        pairs.retain(|(a, b)| settings.hand.limits.forbids(*a, *b).is_some());
    }
    let allowed = pairs
        .into_iter()
        .map(|(a, b)| (a.max(b).midi() - a.min(b).midi(), a.min(b)));
    Some(Loosening::Allow(allowed.collect()))
}

/// The pairs of a voicing that a table forbids.
fn forbidden(voicing: &Voicing, limits: &LimitTable) -> Vec<(Pitch, Pitch)> {
    let pitches: Vec<Pitch> = voicing.pitches().collect();
    let pairs = pitches.iter().enumerate().flat_map(|(at, low)| {
        let above = pitches.iter().skip(at + 1);
        above.map(move |high| (*low, *high))
    });
    pairs
        .filter(|(low, high)| limits.forbids(*low, *high).is_some())
        .collect()
}

/// The first voicing there is with this hand.
fn leaves_some(ask: &Ask<'_>, settings: &VoicingSettings, hand: &Hand) -> Option<Voicing> {
    let settings = VoicingSettings {
        hand: hand.clone(),
        ..settings.clone()
    };
    first_shape(ask, &settings)?.voicings.into_iter().next()
}

fn by_shape(ask: &Ask<'_>, settings: &VoicingSettings) -> Option<Loosening> {
    let missing = |shape: &&&'static Shape| settings.palette.names().all(|name| name != shape.name);
    let wider = |shape: &'static Shape| {
        let palette = settings.palette.with(shape);
        let settings = VoicingSettings {
            palette,
            ..settings.clone()
        };
        first_shape(ask, &settings).map(|_| Loosening::Shape(shape.name))
    };
    SHAPES.iter().filter(missing).find_map(|shape| wider(shape))
}

fn by_melody(ask: &Ask<'_>, settings: &VoicingSettings) -> Option<Loosening> {
    ask.melody.held.iter().find_map(|melody_note| {
        let mut melody = ask.melody.clone();
        melody.held.retain(|note| note != melody_note);
        melody.struck.retain(|note| note != melody_note);
        melody.lasting.retain(|note| note != melody_note);
        let ask = Ask {
            melody: &melody,
            ..*ask
        };
        let without = first_shape(&ask, settings).is_some();
        let note = || ask.name_of(*melody_note, settings.spelling());
        without.then(note).flatten().map(Loosening::MelodyNote)
    })
}
