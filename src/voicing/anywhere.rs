//! A slot's layouts on the whole keyboard, whatever the hand may play: what there would be to choose
//! from without any limit.

use crate::pitch::{Pitch, Spelling};

use super::ask::Ask;
use super::shapes::{Material, Shape};
use super::{Colour, Voicing, lay};

/// Every layout of these shapes in every octave of the MIDI range, legal or not, each set of keys
/// once, sorted by keys from the lowest up.
///
/// The melody still has its say in the colour (which tones are added), but not in where they may lie.
///
/// ```
/// use compline::chord::Chord;
/// use compline::harmony::{Melody, HarmonicContext};
/// use compline::pitch::Spelling;
/// use compline::voicing::{Ask, Colour, anywhere, shape};
///
/// let chord = Chord::read("Fm7").unwrap();
/// let ask = Ask { chord: &chord, context: HarmonicContext::default(), melody: &Melody::NONE };
/// let all = anywhere(&ask, Colour::Natural, Spelling::Practical, &[shape("rootless").unwrap()]);
/// assert!(all.iter().any(|voicing| voicing.to_string() == "Ab2 C3 Eb3 G3"));
/// ```
pub fn anywhere(
    ask: &Ask<'_>,
    colour: Colour,
    spelling: Spelling,
    shapes: &[&'static Shape],
) -> Vec<Voicing> {
    let materials = Material::of(ask.chord, ask.context, colour, &ask.colouring());
    let class = ask.chord.root().class();
    let roots: Vec<Pitch> = (0..=u8::MAX)
        .map_while(Pitch::new)
        .filter(|root| root.class() == class)
        .collect();
    let mut found: Vec<Voicing> = Vec::new();
    for shape in shapes {
        for layout in materials.iter().flat_map(shape.layouts) {
            let name = shape.called(&layout);
            let laid = roots.iter();
            found.extend(
                laid.filter_map(|root| {
                    lay(|degree| ask.name(degree, spelling), name, &layout, *root)
                }),
            );
        }
    }
    found.sort_by(Voicing::by_pitches);
    found.dedup_by(|a, b| a.by_pitches(b).is_eq());
    found
}
