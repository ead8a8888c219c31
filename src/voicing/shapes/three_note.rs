//! Three notes without the root: 3-7-9, 7-3-13, 7-3-5, 3-5-7, 5-7-3, and 3-6-9 for sixth chords.
//!
//! The frame with one more tone, for small hands and fast tempos. Printed: E B D and E Bb Db (3-7-9), Bb
//! E G and Bb E A (7-3-5, 7-3-13; T. Richards, spoken clip to *Exploring Jazz Piano* vol. 2; W. Myette, "Three-Note
//! Rootless Chords", 2021), F A C for Dm7 (3-5-7; lesson page "ii7-V7-IM7: Chord Voicings"), A C F# for D7
//! (5-7-3; Diana, "Bouncin' With Bill E.", 2012). DeGreg (*Jazz Keyboard Harmony*, ch. 4) teaches them.
//! A diminished chord keeps third and seventh, with its b5 or its root: C# E C has the seventh raised
//! (Sabatella, *A Jazz Improvisation Almanac*, 2000).

use crate::pitch::Degree;

use super::{Form, Layout, Material, Shape, form_of};
use crate::voicing::colour::Colour;

pub(in crate::voicing) static SHAPE: Shape = Shape {
    name: "three-note",
    about: "third, seventh and one colour, without the root (DeGreg ch. 4)",
    layouts,
};

fn layouts(material: &Material<'_>) -> Vec<Layout> {
    let mut found = Vec::with_capacity(4 * material.fillings.len());
    if let Some(tones) = material.diminished() {
        diminished(material, tones, &mut found);
        return found;
    }
    found.extend(material.of_any_shape());
    for filling in &material.fillings {
        let (third, seventh) = (filling.third, filling.seventh);
        // With the root in the ninth's place this would no longer be a rootless shape.
        if filling.ninth != Degree::ROOT {
            Layout::close(&[third, seventh, filling.ninth], Some(Form::A)).add_to(&mut found);
        }
        Layout::close(&[seventh, third, filling.fifth], Some(Form::B)).add_to(&mut found);
        if filling.fifth.number() == 5 {
            let tones = [third, filling.fifth, seventh];
            Layout::close(&tones, Some(Form::A)).add_to(&mut found);
            Layout::inversion(&tones, 1, None).add_to(&mut found);
        }
    }
    found
}

/// b3, b5 and seventh, and root, b3 and seventh, each in every inversion.
fn diminished(
    material: &Material<'_>,
    [third, fifth, seventh]: [Degree; 3],
    found: &mut Vec<Layout>,
) {
    let mut sets = vec![[third, fifth, seventh]];
    if seventh.class() == 9 {
        sets.push([Degree::ROOT, third, seventh]);
    }
    if seventh.class() == 9 && material.colour == Colour::Altered {
        sets.push([Degree::ROOT, third, Degree::SEVENTH]);
    }
    for tones in sets {
        for (at, lowest) in tones.iter().enumerate() {
            Layout::inversion(&tones, at, form_of(*lowest, third, seventh)).add_to(found);
        }
    }
}
