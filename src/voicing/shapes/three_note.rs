//! Three notes without the root: 3-7-9, 7-3-13, 7-3-5, and 3-6-9 for sixth chords.
//!
//! The frame with one colour on top, for small hands and fast tempos. The shapes are from memory;
//! DeGreg (*Jazz Keyboard Harmony*, ch. 4) is known to teach three-note rootless voicings.

use crate::pitch::Degree;

use super::{Form, Layout, Material, Shape, form_of};

pub(super) static SHAPE: Shape = Shape {
    name: "three-note",
    about: "third, seventh and one colour, without the root (DeGreg ch. 4)",
    layouts,
};

fn layouts(material: &Material<'_>) -> Vec<Layout> {
    let mut found = Vec::with_capacity(2 * material.fillings.len());
    if let Some([third, fifth, seventh]) = material.diminished() {
        let tones = [third, fifth, seventh];
        for (at, lowest) in tones.iter().enumerate() {
            Layout::inversion(&tones, at, form_of(*lowest, third, seventh)).add_to(&mut found);
        }
        return found;
    }
    for filling in &material.fillings {
        let (third, seventh) = (filling.third, filling.seventh);
        // With the root in the ninth's place this would no longer be a rootless shape.
        if filling.ninth != Degree::known(1, 0) {
            Layout::close(&[third, seventh, filling.ninth], Some(Form::A)).add_to(&mut found);
        }
        Layout::close(&[seventh, third, filling.fifth], Some(Form::B)).add_to(&mut found);
    }
    found
}
