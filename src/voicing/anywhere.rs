//! A slot's layouts on the whole keyboard, whatever the hand may play: what there would be to choose
//! from without any limit.

use crate::pitch::{Name, Pitch, Spelling};

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
    let materials = Material::of(ask.chord, ask.coloured_context(), colour, &ask.colouring());
    let class = ask.chord.root().class();
    let roots: Vec<Pitch> = (0..=u8::MAX)
        .map_while(Pitch::new)
        .filter(|root| root.class() == class)
        .collect();
    let mut found: Vec<Voicing> = Vec::new();
    for shape in shapes {
        for layout in materials.iter().flat_map(shape.layouts) {
            let names = layout.degrees().map(|degree| ask.name(degree, spelling));
            let names: Vec<Name> = names.collect();
            let laid = roots.iter();
            found
                .extend(laid.filter_map(|root| lay(&names, shape.called(&layout), &layout, *root)));
        }
    }
    found.sort_by(Voicing::by_pitches);
    found.dedup_by(|a, b| a.by_pitches(b).is_eq());
    found
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::chord::Chord;
    use crate::harmony::{HarmonicContext, Melody};
    use crate::voicing::shape;

    /// A shell stands once on every root from which all its keys are on the keyboard of MIDI, key 0 and the
    /// highest keys among them.
    #[test]
    fn layouts_stand_on_every_root_of_the_keyboard() {
        for (symbol, class, [third, seventh]) in [
            ("Cmaj7", 0, [4, 11]),
            ("C#m7", 1, [3, 10]),
            ("G7", 7, [4, 10]),
            ("Bmaj7", 11, [4, 11]),
        ] {
            let chord = Chord::read(symbol).unwrap();
            let (context, melody) = (HarmonicContext::default(), &Melody::NONE);
            let ask = Ask {
                chord: &chord,
                context,
                melody,
            };
            let shell = shape("shell").unwrap();
            let found = anywhere(&ask, Colour::Written, Spelling::Practical, &[shell]);
            let keys = |voicing: &Voicing| voicing.pitches().map(Pitch::midi).collect::<Vec<_>>();
            let found: BTreeSet<Vec<u8>> = found.iter().map(keys).collect();
            let layouts = [
                &[0, third, seventh][..],
                &[0, seventh, third + 12],
                &[0, third],
                &[0, seventh],
            ];
            let on = |root: u8| {
                layouts.map(|layout| layout.iter().map(|above| root + above).collect::<Vec<u8>>())
            };
            let all = (class..=127).step_by(12).flat_map(on);
            let wanted: BTreeSet<Vec<u8>> = all
                .filter(|keys| keys.iter().all(|key| *key <= 127))
                .collect();
            assert_eq!(found, wanted, "{symbol}");
        }
    }
}
